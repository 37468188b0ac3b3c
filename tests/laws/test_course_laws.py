"""Laws of the course of a tank: it rests where the balance rests, and no water is lost."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from calculators.air.mixture import MASS_RATIO, dew_point
from calculators.air.saturation import saturation_pressure
from calculators.errors import InputError, OutOfRange
from calculators.keeping.venting import venting
from calculators.quantities import DAY, HOUR, ZERO_CELSIUS
from calculators.surfaces.sorption import fibre_moisture
from calculators.tank.balance import balance
from calculators.tank.capacities import fibre_humidity
from calculators.tank.card import TankCard
from calculators.tank.course import HYSTERESIS, Lamp, Vent, course
from calculators.tank.flows import flows
from calculators.tank.geometry import Tank
from calculators.tank.nodes import DRY_AIR_GAS_CONSTANT, Room
from calculators.tank.rates import Climate, Rates

TANKS = {name: Tank.of(card) for name, card in TankCard.ready.items()}
names = pytest.mark.parametrize("name", TANKS)


def still(name: str) -> Climate:
    return Climate.of(TankCard.ready[name])


@names
def test_a_tank_at_rest_stays_at_rest(name: str) -> None:
    tank = TANKS[name]
    rest = balance(tank, still(name).mean)
    found = course(tank, still(name), 0.0, 2 * DAY)
    for state in found.states:
        assert state[:8] == pytest.approx(rest.state[:8], abs=0.02)
    assert found.humidity[-1] == pytest.approx(rest.relative_humidity, abs=1e-3)


@names
def test_a_vented_tank_comes_back_to_rest(name: str) -> None:
    rest = balance(TANKS[name], still(name).mean)
    found = course(TANKS[name], still(name), 0.0, 6 * DAY, [Vent(HOUR, 3 * HOUR, 0.02)])
    assert found.humidity_at(2 * HOUR) < rest.relative_humidity - 1e-3
    assert found.humidity[-1] == pytest.approx(rest.relative_humidity, abs=2e-3)


@names
def test_a_wider_gap_and_a_longer_one_never_dry_less(name: str) -> None:
    lowest = []
    for area in (0.0, 0.002, 0.005, 0.015, 0.05):
        found = course(TANKS[name], still(name), 0.0, 3 * HOUR, [Vent(0.0, 2 * HOUR, area)])
        lowest.append(min(found.humidity))
    assert lowest == sorted(lowest, reverse=True)
    late = course(TANKS[name], still(name), 0.0, 3 * HOUR, [Vent(0.0, 3 * HOUR, 0.015)])
    assert min(late.humidity) <= lowest[3] + 1e-4


def test_water_is_conserved() -> None:
    """What air and glass hold more is what water gave, less what the room and the floor took."""
    tank, climate = TANKS["samphire"], still("samphire")
    vent = Vent(HOUR, 2 * HOUR, 0.02)
    found = course(tank, climate, 0.0, 6 * HOUR, [vent])
    rates = Rates(tank, climate)
    rest = balance(tank, climate.mean)
    rates.heater_power = rest.heater_power
    rates.gain = tank.card.heater_power / HYSTERESIS
    rates.begin(rest.state)
    room = climate.mean

    def held(k: int) -> float:
        state = found.states[k]
        dry = room.pressure - state.vapour_pressure
        mass = tank.air_volume * dry / (DRY_AIR_GAS_CONSTANT * (state.air + ZERO_CELSIUS))
        return mass * MASS_RATIO * state.vapour_pressure / dry

    def left(k: int, open_gap: bool) -> float:
        """Vapour the room takes less what the wet surfaces give, now [kg/s]."""
        state = found.states[k]
        now = flows(rates.setting, state, found.heater_power[k])
        rates.gap = vent.area if open_gap else 0.0
        ratio = MASS_RATIO * state.vapour_pressure / (room.pressure - state.vapour_pressure)
        gone = rates.through_gap(state) * (ratio - rates.setting.room_ratio)
        return gone + now.air_change + now.fog - sum(now.bubbles) - sum(now.vapour)

    # Glass of this tank stays wet only under its lid, which takes water throughout.
    total, passed = 0.0, 0.0
    for k, (early, late) in enumerate(zip(found.times, found.times[1:], strict=False)):
        open_gap = vent.opens <= early < vent.closes
        step = 0.5 * (left(k, open_gap) + left(k + 1, open_gap)) * (late - early)
        total += step
        passed += abs(step)
    change = held(len(found.times) - 1) - held(0)
    if max(found.glass_water) == found.glass_water[0] == min(found.glass_water):
        assert change == pytest.approx(-total, abs=0.02 * max(passed, 1e-5))


def test_moss_runs_dry_and_then_gives_no_more() -> None:
    card = TankCard(
        lid="mesh", moss_place="at the heated wall", moss_area=0.02, room_humidity=0.3,
        fresh_pool_length=0.0, marine_pool_length=0.0,
    )  # fmt: skip
    found = course(Tank.of(card), Climate.of(card), 0.0, 20 * DAY)
    water = found.moss_water
    assert all(late <= early + 1e-6 for early, late in pairwise(water))
    dry = 0.02 * 0.6
    assert 0.0 < water[-1] < 0.3 * dry
    # In the end it is in balance with the air at its own temperature.
    last = found.states[-1]
    full = Rates(Tank.of(card), Climate.of(card)).setting.enhancement * saturation_pressure(
        last.moss
    )
    assert fibre_humidity(last.moss, water[-1] / dry) == pytest.approx(
        last.vapour_pressure / full, abs=0.02
    )


def test_fibre_humidity_undoes_fibre_moisture() -> None:
    for humidity in (0.0, 0.1, 0.5, 0.9, 0.98):
        content = fibre_moisture(24.0, humidity)
        assert fibre_humidity(24.0, content) == pytest.approx(humidity, abs=1e-6)
    assert fibre_humidity(24.0, 5.0) == 1.0


def test_the_thermostat_keeps_to_its_band_and_its_power() -> None:
    card = TankCard.ready["samphire"]
    found = course(TANKS["samphire"], still("samphire"), 0.0, 12 * HOUR, cycles=True)
    settled = [s.air for t, s in zip(found.times, found.states, strict=True) if t > 4 * HOUR]
    assert max(settled) <= card.set_point + 0.5 * HYSTERESIS + 0.4  # the wall is still warm
    assert min(settled) >= card.set_point - 0.5 * HYSTERESIS - 0.4
    assert set(found.heater_power) == {0.0, card.heater_power}
    rest = balance(TANKS["samphire"], still("samphire").mean)
    mean = found.mean(found.heater_power, 4 * HOUR, 12 * HOUR)
    assert mean == pytest.approx(rest.heater_power, rel=0.1)


def test_night_is_damper_by_the_gauge_and_a_lamp_is_drier() -> None:
    card = TankCard.ready["wrack"]
    climate = Climate.between(21.0, 0.30, 17.0, 0.38)
    assert climate.room(15 * HOUR).temperature == pytest.approx(21.0)
    assert climate.room(27 * HOUR).temperature == pytest.approx(17.0)
    dark = course(Tank.of(card), climate, 0.0, 3 * DAY)
    lit = course(Tank.of(card), climate, 0.0, 3 * DAY, lamp=Lamp(8 * HOUR, 20 * HOUR, 10.0))
    noon = 2 * DAY + 14 * HOUR
    air = [state.air for state in lit.states]
    assert lit.at(air, noon) > dark.at([state.air for state in dark.states], noon)


def test_a_course_says_how_long_and_refuses_what_it_cannot() -> None:
    found = course(TANKS["wrack"], still("wrack"), 0.0, 4 * HOUR, [Vent(0.0, 2 * HOUR, 0.02)])
    time = found.time_to(found.humidity[0] - 0.02, 0.0)
    assert time is not None
    assert found.humidity_at(time) == pytest.approx(found.humidity[0] - 0.02, abs=1e-9)
    assert found.time_to(0.05, 0.0) is None
    with pytest.raises(OutOfRange):
        found.humidity_at(5 * HOUR)
    with pytest.raises(OutOfRange):
        course(TANKS["wrack"], still("wrack"), HOUR, HOUR)


def test_venting_into_a_damper_room_does_not_dry() -> None:
    card = TankCard(room_temperature=29.0, room_humidity=0.90, air_changes=0.3 / HOUR, reading=0.85)
    answer = venting(card, gap=0.03)
    assert answer.room_dew_point > answer.tank_dew_point
    assert answer.verdict.startswith("No")
    assert answer.lowest_humidity > 0.85 - 1e-6
    assert answer.minutes_to_target is None
    assert answer.advice.startswith(("Do not vent", "Leave the lid shut"))


def test_venting_answers_are_of_one_piece() -> None:
    card = replace(TankCard.ready["samphire"], reading=0.95)
    answer = venting(card, gap=0.05, minutes=4 * HOUR)
    assert answer.lowest_humidity >= answer.driest_possible - 0.02
    assert len(answer.humidity_over_time) <= 300
    assert answer.humidity_over_time[0].relative_humidity == pytest.approx(0.95, abs=1e-3)
    assert answer.lowest_humidity < answer.rebound_hour
    room = Room.of(card)
    assert answer.room_dew_point == dew_point(room.vapour_pressure, room.pressure)
    with pytest.raises(InputError, match="Gap"):
        venting(TankCard.ready["wrack"], gap=0.4)
