"""Air changes from the water poured in, with the vapour in both airs from a reference library."""

from __future__ import annotations

from collections.abc import Callable

from CoolProp.HumidAirProp import HAPropsSI

from calculators.keeping.air_change import air_change
from calculators.tank.card import TankCard


def _vapour(temperature: float, humidity: float) -> float:
    state = ("T", temperature + 273.15, "P", 101325.0, "R", humidity)
    return HAPropsSI("W", *state) / HAPropsSI("Vda", *state)


def test_water_poured_in(record_check: Callable[..., None]) -> None:
    worst, points = 0.0, 0
    for room, room_humidity in ((10.0, 0.6), (20.0, 0.4), (24.0, 0.5)):
        for air, humidity in ((24.0, 0.7), (26.0, 0.8), (29.0, 0.85)):
            tank = TankCard(room_temperature=room, room_humidity=room_humidity)
            volume = tank.tank_length * tank.tank_width
            volume *= tank.tank_height - tank.substrate_depth
            lost = _vapour(air, humidity) - _vapour(room, room_humidity)
            reference = 1e-6 * 998.207 / 86400 * 40 / (volume * lost)  # 40 mL a day
            ours = air_change(
                tank, air_temperature=air, relative_humidity=humidity, top_up=40e-6 / 86400
            )
            worst = max(worst, abs(ours.air_changes.middle / reference - 1.0))
            points += 1
    record_check(
        title="Air changes from the water poured in",
        source="water in moist air by CoolProp 8.0, ASHRAE RP-1485; conservation of water",
        calculators=["air-change"],
        function="calculators.keeping.air_change:air_change",
        unit="1",
        worst=worst,
        allowed=0.002,
        points=points,
        tolerance_why="each absolute humidity is within 0.05 %, and their difference within 0.2 %",
    )
