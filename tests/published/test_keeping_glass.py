"""The humidity a pane allows, against a reference library on a grid."""

from __future__ import annotations

from collections.abc import Callable

from CoolProp.HumidAirProp import HAPropsSI

from calculators.keeping.glass import highest_humidity


def test_highest_humidity(record_check: Callable[..., None]) -> None:
    worst, points = 0.0, 0
    for air in range(18, 33, 2):
        for below in range(0, 15, 2):
            surface = air - below
            kelvin = surface + 273.15
            ratio = HAPropsSI("W", "T", kelvin, "P", 101325.0, "R", 1.0)
            reference = HAPropsSI("R", "T", air + 273.15, "P", 101325.0, "W", ratio)
            worst = max(worst, abs(highest_humidity(air, surface) - reference))
            points += 1
    record_check(
        title="Humidity at which a cold pane gets wet",
        source="CoolProp 8.0, ASHRAE RP-1485",
        calculators=["glass-condensation"],
        function="calculators.keeping.glass:highest_humidity",
        unit="1",
        worst=worst,
        allowed=0.0005,
        points=points,
    )
