"""Evaporation against published pool formulas and readings.

The formulas below serve only as references; the calculators rest on the analogy of heat and mass
transfer. The reader is told a factor, and these tests hold it to account.
"""

import math
from collections.abc import Callable

import pytest

from calculators.air.mixture import humidity_ratio, vapour_pressure
from calculators.surfaces.evaporation import (
    STATED_UNCERTAINTY,
    evaporation_flux,
    mass_transfer_coefficient,
)

SEA_LEVEL = 101325.0
HOUR = 3600.0

# Unoccupied pool, kg/(m² h), air at 50 %: water and air temperature [°C], evaporation, density
# difference [kg/m³]. Table after Shah (2008), ASHRAE Trans. 114(2), as quoted in a public
# implementation.
POOL_TABLE = (
    (28.0, 28.0, 0.1360, 0.0219),
    (28.0, 29.0, 0.1171, 0.0168),
    (28.0, 30.0, 0.0968, 0.0116),
    (29.0, 28.0, 0.1651, 0.0282),
    (29.0, 29.0, 0.1463, 0.0231),
    (29.0, 30.0, 0.1268, 0.0180),
    (30.0, 28.0, 0.1959, 0.0347),
    (30.0, 29.0, 0.1771, 0.0295),
    (30.0, 30.0, 0.1575, 0.0244),
)
POOL_SIZE = 1.0  # m, area / perimeter: in this range the size no longer matters


def _pressures(water: float, air: float) -> tuple[float, float]:
    return vapour_pressure(water, 1.0, SEA_LEVEL), vapour_pressure(air, 0.5, SEA_LEVEL)


def shah(water: float, air: float) -> float:
    """E = 35 ρw (ρr - ρw)^(1/3) (Ww - Wr), kg/(m² h), densities of the DRY air (Shah 2002)."""
    at_water, in_air = _pressures(water, air)
    dry_at_water = (SEA_LEVEL - at_water) / (287.055 * (water + 273.15))
    dry_in_air = (SEA_LEVEL - in_air) / (287.055 * (air + 273.15))
    step = humidity_ratio(at_water, SEA_LEVEL) - humidity_ratio(in_air, SEA_LEVEL)
    return 35.0 * dry_at_water * (dry_in_air - dry_at_water) ** (1.0 / 3.0) * step


def ashrae(water: float, air: float) -> float:
    """E = 1.44178e-4 (pw - pa) Fa, kg/(m² h) with Pa; activity factor Fa 0.5, a still pool."""
    at_water, in_air = _pressures(water, air)
    return 1.44178e-4 * (at_water - in_air) * 0.5


def smith_lof_jones(water: float, air: float) -> float:
    """Smith, Löf & Jones (1998), ASHRAE Trans. 104(1A): still pools at 74 % of the older form.

    The older ASHRAE form, (0.089 + 0.0782 v) (pw - pa) / latent heat, in W/m², at v = 0.
    """
    at_water, in_air = _pressures(water, air)
    return 0.74 * 0.089 * (at_water - in_air) / 2.43e6 * HOUR


def still_pool(water: float, air: float) -> float:
    _, in_air = _pressures(water, air)
    return HOUR * evaporation_flux(water, air, in_air, SEA_LEVEL, POOL_SIZE)


def bowl(water: float, air: float) -> float:
    """A bowl of 16 cm, brim-full, in air that a heated wall stirs at 5 cm/s."""
    _, in_air = _pressures(water, air)
    return HOUR * evaporation_flux(water, air, in_air, SEA_LEVEL, 0.04, 0.05)


def tabulated(water: float, air: float) -> float:
    return next(row[2] for row in POOL_TABLE if row[:2] == (water, air))


REFERENCES = (tabulated, ashrae, smith_lof_jones)


def _mean_deviation(
    ours: Callable[[float, float], float], reference: Callable[..., float]
) -> float:
    rows = [abs(ours(w, a) / reference(w, a) - 1.0) for w, a, _, _ in POOL_TABLE]
    return sum(rows) / len(rows)


@pytest.mark.parametrize(("water", "air", "rate", "difference"), POOL_TABLE)
def test_the_table_is_read_right(water: float, air: float, rate: float, difference: float) -> None:
    # The table follows from the formula with dry-air densities: rows and formula confirm each
    # other. 1 %: the table's own saturation formula is not known.
    assert shah(water, air) == pytest.approx(rate, rel=0.01)
    at_water, in_air = _pressures(water, air)
    step = (SEA_LEVEL - in_air) / (287.055 * (air + 273.15))
    step -= (SEA_LEVEL - at_water) / (287.055 * (water + 273.15))
    assert step == pytest.approx(difference, abs=2e-4)


@pytest.mark.parametrize(
    ("reference", "name", "allowed"),
    [
        (tabulated, "pool table after Shah", 0.35),
        (ashrae, "ASHRAE form, activity factor 0.5", 0.35),
        # Looser: this formula alone stands 35 % above the other two.
        (smith_lof_jones, "Smith, Löf & Jones 1998", 0.45),
    ],
)
def test_mean_deviation_of_a_still_pool(
    record_check: Callable[..., None],
    reference: Callable[[float, float], float],
    name: str,
    allowed: float,
) -> None:
    record_check(
        title=f"Still pool, mean deviation: {name}",
        source="nine rows, water and air 28 to 30 °C, 50 %",
        how_known="formula read at its source or in a public implementation",
        tolerance_why="the published methods differ from each other by 35 %, and accepted formulas "
        "for horizontal plates by up to 45 %",
        calculators=["evaporation"],
        function="calculators.surfaces.evaporation:evaporation_flux",
        unit="relative",
        worst=_mean_deviation(still_pool, reference),
        allowed=allowed,
        points=len(POOL_TABLE),
    )


def test_the_stated_factor_holds_for_four_in_five(record_check: Callable[..., None]) -> None:
    factors = [
        math.exp(abs(math.log(reference(water, air) / still_pool(water, air))))
        for water, air, _, _ in POOL_TABLE
        for reference in REFERENCES
    ]
    outside = sum(factor > STATED_UNCERTAINTY for factor in factors)
    record_check(
        title="Still pool: share of published values outside the stated factor",
        source="pool table, ASHRAE form, Smith, Löf & Jones",
        how_known="formulas read at their source or in a public implementation",
        tolerance_why="the band is stated for four values in five",
        calculators=["evaporation", "tank-balance", "first-change"],
        function="calculators.surfaces.evaporation:evaporation_flux",
        unit="share",
        worst=outside / len(factors),
        allowed=0.20,
        points=len(factors),
    )


def test_a_bowl_lies_within_the_stated_factor(record_check: Callable[..., None]) -> None:
    factors = [
        math.exp(abs(math.log(reference(water, air) / bowl(water, air))))
        for water, air, _, _ in POOL_TABLE
        for reference in REFERENCES
    ]
    record_check(
        title="A 16 cm bowl in slowly stirred air against pool formulas, worst factor",
        source="pool table, ASHRAE form, Smith, Löf & Jones",
        how_known="formulas read at their source or in a public implementation",
        tolerance_why="the formulas are made for large pools in halls; none for a bowl was found",
        calculators=["evaporation", "tank-balance", "first-change"],
        function="calculators.surfaces.evaporation:evaporation_flux",
        unit="factor",
        worst=max(factors),
        allowed=STATED_UNCERTAINTY,
        points=len(factors),
    )


def test_driving_difference_of_a_textbook_pan(record_check: Callable[..., None]) -> None:
    # Incropera & DeWitt, 7th ed., problem 6.53: a 230 mm pan at 23 °C loses 1.5e-5 kg/s to dry
    # air; the solution's transfer coefficient is 0.0179 m/s (from memory: saturated vapour of
    # 0.0202 kg/m³ at 296 K). 4 %: Stefan's factor, which the book leaves out, is 1.4 %; the
    # book's steam table, read between 5 K steps and 0.15 K lower, is another 2 %.
    dry = evaporation_flux(23.0, 23.0, 0.0, SEA_LEVEL, 0.0575, 1.0)
    surface = vapour_pressure(23.0, 1.0, SEA_LEVEL)
    speed = mass_transfer_coefficient(23.0, surface, 23.0, 0.0, SEA_LEVEL, 0.0575, 1.0)
    area = math.pi * 0.230**2 / 4.0
    record_check(
        title="Transfer coefficient of a textbook pan, 1.5e-5 kg/s from 230 mm in dry air",
        source="Incropera & DeWitt, 7th ed., problem 6.53",
        how_known="statement read, solution from memory",
        tolerance_why="the book leaves out Stefan's factor (1.4 %) and reads its steam table "
        "between 5 K steps (2 %)",
        calculators=["evaporation"],
        function="calculators.surfaces.evaporation:evaporation_flux",
        unit="relative",
        worst=abs(1.5e-5 / area / (dry / speed) / 0.0179 - 1.0),
        allowed=0.04,
        points=1,
    )


def test_a_jar_in_a_cellar(record_check: Callable[..., None]) -> None:
    # A cylindrical jar, 5.5 in across, full at first, in a closed room at 50 °F and 40 %: 3/8 in
    # lost in 18 days (one reading, told on a public forum; nothing else was measured). Depth under
    # the rim 0 to 9.5 mm, 5 mm taken; the skin a little cooler than the room, 0.5 K taken.
    air = vapour_pressure(10.0, 0.40, SEA_LEVEL)
    ours = 86400.0 * evaporation_flux(9.5, 10.0, air, SEA_LEVEL, 0.1397 / 4.0, 0.0, 0.005)
    measured = 9.525 / 18.0  # kg/(m² d), as mm/d
    record_check(
        title="A 14 cm jar in a still cellar, factor",
        source="one reading told on a public forum",
        how_known="read second-hand",
        tolerance_why="the skin's temperature and the depth under the rim are assumed",
        calculators=["evaporation"],
        function="calculators.surfaces.evaporation:evaporation_flux",
        unit="factor",
        worst=math.exp(abs(math.log(ours / measured))),
        allowed=STATED_UNCERTAINTY,
        points=1,
    )
