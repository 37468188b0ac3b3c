"""Bubbled air against reference libraries, and the trade's own four figures."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from CoolProp.CoolProp import PropsSI
from CoolProp.HumidAirProp import HAPropsSI

from calculators.keeping.bubbles import vapour_brought
from calculators.keeping.glass import highest_humidity


@pytest.mark.parametrize(("pool", "printed"), [(20, 0.70), (22, 0.79), (24, 0.89), (25, 0.94)])
def test_the_four_figures_of_the_trade(
    pool: float, printed: float, record_check: Callable[..., None]
) -> None:
    """Pools in 26 °C air: the printed share must be the rounded ratio of IAPWS-95 values."""
    reference = PropsSI("P", "T", pool + 273.15, "Q", 0, "Water")
    reference /= PropsSI("P", "T", 26 + 273.15, "Q", 0, "Water")
    assert reference == pytest.approx(printed, abs=0.005)
    record_check(
        title=f"Highest humidity that bubbles from a {pool} °C pool can give in 26 °C air",
        source="IAPWS-95 saturation pressures, by CoolProp 8.0",
        calculators=["bubbling"],
        function="calculators.keeping.glass:highest_humidity",
        unit="1",
        worst=abs(highest_humidity(26.0, pool) - reference),
        allowed=0.0003,
        points=1,
        tolerance_why="the real-gas factor of moist air is left out of the ratio of pressures",
    )


def _air(temperature: float, humidity: float) -> tuple[float, float]:
    state = ("T", temperature + 273.15, "P", 101325.0, "R", humidity)
    return HAPropsSI("W", *state), 1.0 / HAPropsSI("Vda", *state)


def test_vapour_brought(record_check: Callable[..., None]) -> None:
    worst, points = 0.0, 0
    flow = 1e-3 / 60
    for pool in (18.0, 22.0, 26.0):
        for humidity in (0.6, 0.8):
            for drawn in ((19.0, 0.3), (24.0, 0.6), (26.0, humidity)):
                _, dry = _air(*drawn)
                inside, _ = _air(26.0, humidity)
                full, _ = _air(pool, 1.0)
                reference = flow * dry * (full - inside)
                ours = vapour_brought(flow, pool, (26.0, humidity), drawn)
                worst = max(worst, abs(ours - reference) * 3.6e6)
                points += 1
    record_check(
        title="Vapour that 1 L/min of bubbled air brings",
        source="humidity ratios and dry-air densities by CoolProp 8.0, ASHRAE RP-1485",
        calculators=["bubbling"],
        function="calculators.keeping.bubbles:vapour_brought",
        unit="g/h",
        worst=worst,
        allowed=0.001,
        points=points,
        tolerance_why="each humidity ratio is within 0.05 % of 0.02: 0.0007 g/h in 72 g of air",
    )
