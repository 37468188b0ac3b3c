"""Surfaces against reference libraries on dense grids: ht (plates), gsw (TEOS-10), SciPy."""

from collections.abc import Callable

import gsw
import ht
import numpy as np
from ht.conv_external import (
    Nu_horizontal_plate_laminar_Baehr,
    Nu_horizontal_plate_laminar_Churchill_Ozoe,
)
from ht.conv_free_immersed import (
    Nu_horizontal_plate_McAdams,
    Nu_horizontal_plate_VDI,
    Nu_vertical_plate_Churchill,
)
from scipy.integrate import solve_bvp

from calculators.surfaces import brine, convection, radiation

SAME_EQUATION = 1e-9  # relative: both sides compute one published equation in double precision


def test_vertical_plate(record_grid: Callable[..., None]) -> None:
    points = [(ra, pr) for ra in np.geomspace(1.0, 1e12, 60) for pr in (0.6, 0.7, 0.8, 7.0)]
    record_grid(
        title="Vertical plate, Churchill and Chu, on a grid",
        source="Churchill & Chu 1975, as coded in ht 1.2",
        calculators=["heater-sizing", "glass-condensation", "tank-balance", "first-change"],
        allowed=SAME_EQUATION,
        function=convection.nusselt_vertical,
        reference=lambda ra, pr: Nu_vertical_plate_Churchill(pr, ra / pr),
        points=points,
        unit="relative",
    )


def test_warm_floor(record_grid: Callable[..., None]) -> None:
    grid = [*np.geomspace(1e4, 4.7e6, 40), *np.geomspace(1.01e7, 1e11, 40)]
    record_grid(
        title="Warm floor, McAdams, on a grid",
        source="McAdams 1954, as coded in ht 1.2",
        calculators=["evaporation", "tank-balance", "first-change"],
        allowed=SAME_EQUATION,
        function=convection.nusselt_horizontal_unstable,
        reference=lambda ra: Nu_horizontal_plate_McAdams(0.7, ra / 0.7, True),
        points=grid,
        unit="relative",
    )


def test_warm_floor_where_the_laws_meet(record_grid: Callable[..., None]) -> None:
    # The two published laws jump by 6.5 % where one hands over to the other, at Ra 1e7; here they
    # hand over where they are equal, at 4.7e6, so that no answer jumps.
    grid = np.geomspace(4.7e6, 1e7, 20)
    record_grid(
        title="Warm floor between the laminar and the turbulent law",
        source="McAdams 1954, as coded in ht 1.2",
        tolerance_why="the jump between the source's own two laws at 1e7",
        calculators=["evaporation", "tank-balance", "first-change"],
        allowed=0.15 * 1e7 ** (1 / 3) / (0.54 * 1e7**0.25) - 1.0 + 1e-9,
        function=convection.nusselt_horizontal_unstable,
        reference=lambda ra: Nu_horizontal_plate_McAdams(0.7, ra / 0.7, True),
        points=grid,
        unit="relative",
    )


def test_warm_floor_against_another_formula(record_grid: Callable[..., None]) -> None:
    grid = np.geomspace(1e3, 1e9, 60)
    record_grid(
        title="Warm floor against another accepted formula",
        source="VDI Heat Atlas, as coded in ht 1.2",
        tolerance_why="accepted formulas for horizontal plates differ by 30 to 45 %",
        calculators=["evaporation", "tank-balance", "first-change"],
        allowed=0.45,
        function=convection.nusselt_horizontal_unstable,
        reference=lambda ra: Nu_horizontal_plate_VDI(0.7, ra / 0.7, True),
        points=grid,
        unit="relative",
    )


def test_cold_floor(record_grid: Callable[..., None]) -> None:
    grid = np.geomspace(5e5, 1e10, 50)
    record_grid(
        title="Cold floor, McAdams, on a grid",
        source="McAdams 1954, as coded in ht 1.2",
        calculators=["evaporation", "tank-balance", "first-change"],
        allowed=SAME_EQUATION,
        function=convection.nusselt_horizontal_stable,
        reference=lambda ra: Nu_horizontal_plate_McAdams(0.7, ra / 0.7, False),
        points=grid,
        unit="relative",
    )


def test_cold_floor_against_another_formula(record_grid: Callable[..., None]) -> None:
    grid = np.geomspace(1e3, 1e7, 60)  # no surface in a tank goes beyond
    record_grid(
        title="Cold floor against another accepted formula",
        source="VDI Heat Atlas, as coded in ht 1.2",
        tolerance_why="accepted formulas for horizontal plates differ by 30 to 45 %",
        calculators=["evaporation", "tank-balance", "first-change"],
        allowed=0.45,
        function=convection.nusselt_horizontal_stable,
        reference=lambda ra: Nu_horizontal_plate_VDI(0.7, ra / 0.7, False),
        points=grid,
        unit="relative",
    )


def test_forced_plate(record_grid: Callable[..., None]) -> None:
    points = [(re, pr) for re in np.geomspace(1.0, 5e5, 50) for pr in (0.6, 0.7, 1.0, 7.0)]
    record_grid(
        title="Forced laminar plate on a grid",
        source="Baehr & Stephan, as coded in ht 1.2",
        calculators=["evaporation", "tank-balance", "first-change"],
        allowed=SAME_EQUATION,
        function=convection.nusselt_forced_laminar,
        reference=Nu_horizontal_plate_laminar_Baehr,
        points=points,
        unit="relative",
    )


def test_forced_plate_against_another_formula(record_grid: Callable[..., None]) -> None:
    points = [(re, pr) for re in np.geomspace(10.0, 5e5, 50) for pr in (0.6, 0.65, 0.7)]
    record_grid(
        title="Forced laminar plate against the formula for every Prandtl number",
        source="Churchill & Ozoe 1973, as coded in ht 1.2",
        tolerance_why="two fits to one solution",
        calculators=["evaporation", "tank-balance", "first-change"],
        allowed=0.05,
        function=convection.nusselt_forced_laminar,
        reference=Nu_horizontal_plate_laminar_Churchill_Ozoe,
        points=points,
        unit="relative",
    )


def _similarity(prandtl: float) -> tuple[float, float, float]:
    """Solve Ostrach's two equations: largest f', and f'' and θ' at the wall."""

    def slope(_: np.ndarray, y: np.ndarray) -> np.ndarray:
        f, f1, f2, theta, theta1 = y
        return np.vstack(
            (f1, f2, 2.0 * f1**2 - 3.0 * f * f2 - theta, theta1, -3.0 * prandtl * f * theta1)
        )

    def ends(wall: np.ndarray, far: np.ndarray) -> np.ndarray:
        return np.array([wall[0], wall[1], wall[3] - 1.0, far[1], far[3]])

    eta = np.linspace(0.0, 12.0, 200)
    start = np.vstack(
        (
            0.5 * (1.0 - np.exp(-eta)),
            0.7 * eta * np.exp(-eta),
            0.7 * (1.0 - eta) * np.exp(-eta),
            np.exp(-0.5 * eta),
            -0.5 * np.exp(-0.5 * eta),
        )
    )
    answer = solve_bvp(slope, ends, eta, start, tol=1e-8, max_nodes=20000)
    assert answer.success
    wall = answer.sol(0.0)
    peak = float(np.max(answer.sol(np.linspace(0.0, 12.0, 20001))[1]))
    return peak, float(wall[2]), float(wall[4])


def test_speed_of_the_air_at_a_warm_wall(record_check: Callable[..., None]) -> None:
    peak, shear, gradient = _similarity(0.72)
    # Ostrach's table at Pr 0.72 (from memory): the same solution, seen at the wall.
    assert abs(shear - 0.6760) < 5e-5
    assert abs(gradient + 0.5046) < 5e-5
    record_check(
        title="Fastest air at a warm wall: the similarity equations solved afresh",
        source="Ostrach 1953, NACA Report 1111, equations solved with SciPy; its table's wall "
        "gradients 0.6760 and -0.5046 are met",
        tolerance_why="half the last digit of the constant",
        calculators=["tank-balance", "first-change"],
        function="calculators.surfaces.convection:boundary_layer_speed",
        unit="1",
        worst=abs(convection.PEAK_SPEED - 2.0 * peak),
        allowed=1e-4,
        points=1,
    )


def test_radiation(record_grid: Callable[..., None]) -> None:
    grid = [(a, b, 0.84) for a in range(-10, 61, 5) for b in range(-10, 61, 7) if a != b]
    record_grid(
        title="Net radiation on a grid",
        source="ht 1.2 q_rad",
        calculators=["heater-sizing", "glass-condensation", "tank-balance", "first-change"],
        allowed=2e-6,  # ht carries the older Stefan-Boltzmann constant, CODATA 2014
        function=radiation.net_exchange,
        reference=lambda a, b, emissivity: ht.q_rad(emissivity, a + 273.15, b + 273.15),
        points=grid,
        unit="relative",
    )


SALINITIES = np.linspace(0.0, 0.050, 26)
TEMPERATURES = np.linspace(0.0, 40.0, 21)
SEA = [(float(s), float(t)) for s in SALINITIES for t in TEMPERATURES]


def _density(salinity: float, temperature: float) -> float:
    return float(gsw.rho_t_exact(1000.0 * salinity, temperature, 0.0))


def test_seawater_density(record_grid: Callable[..., None]) -> None:
    record_grid(
        title="Density of sea water, 0 to 50 g/kg, 0 to 40 °C",
        source="TEOS-10, gsw 3.6",
        tolerance_why="0.05 g/kg of salt; the 1980 equation is published to practical salinity 42 "
        "and carried on to 50 here",
        calculators=["marine-pool"],
        allowed=0.035,
        function=brine.seawater_density,
        reference=_density,
        points=SEA,
        unit="kg/m³",
    )


def test_seawater_density_within_its_published_range(record_grid: Callable[..., None]) -> None:
    inside = [(s, t) for s, t in SEA if s <= 0.042]
    record_grid(
        title="Density of sea water within the equation's own range, 0 to 42 g/kg",
        source="TEOS-10, gsw 3.6",
        tolerance_why="three times the 1980 equation's stated standard error of 0.0036 kg/m³",
        calculators=["marine-pool"],
        allowed=0.0108,
        function=brine.seawater_density,
        reference=_density,
        points=inside,
        unit="kg/m³",
    )


def test_salinity_from_a_hydrometer(record_check: Callable[..., None]) -> None:
    points = [
        (marking, float(s)) for marking in brine.MARKINGS for s in np.linspace(0.02, 0.042, 23)
    ]
    worst = 0.0
    for marking, s in points:
        water = _density(0.0, marking.water_at)
        reading = _density(s, marking.sample_at) / water
        found = brine.salinity_from_specific_gravity(
            reading, marking.sample_at, marking.sample_at, marking.water_at
        )
        worst = max(worst, abs(found - s))
    record_check(
        title="Salinity from a hydrometer at the temperature of its marking",
        source="TEOS-10, gsw 3.6",
        tolerance_why="the density's 0.0108 kg/m³ over 0.75 kg/m³ per g/kg, rounded up; a "
        "hydrometer is read to about 1 g/kg",
        calculators=["marine-pool"],
        function="calculators.surfaces.brine:salinity_from_specific_gravity",
        unit="kg/kg",
        worst=worst,
        allowed=2e-5,
        points=len(points),
    )


def _activity(salinity: float, temperature: float) -> float:
    lowering = gsw.chem_potential_water_t_exact(
        1000.0 * salinity, temperature, 0.0
    ) - gsw.chem_potential_water_t_exact(0.0, temperature, 0.0)
    return float(np.exp(1000.0 * lowering / (461.523 * (temperature + 273.15))))


def test_water_activity(record_grid: Callable[..., None]) -> None:
    record_grid(
        title="Vapour pressure lowering of sea water, 0 to 50 g/kg, 0 to 40 °C",
        source="TEOS-10 chemical potential, gsw 3.6",
        tolerance_why="half of the 2.6 % that the published osmotic coefficient states, at 35 g/kg",
        calculators=["marine-pool", "evaporation"],
        allowed=2.45e-4,
        function=brine.water_activity,
        reference=_activity,
        points=SEA,
        unit="1",
    )
