"""Laws of air change: three ways to one number."""

from __future__ import annotations

from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.air import mixture
from calculators.errors import InputError, NoAnswer
from calculators.keeping.air_change import air_change
from calculators.keeping.leaks import combine, decay_rate
from calculators.quantities import Range
from calculators.tank.card import TankCard

HOUR = 3600.0


def _humidity(vapour: float, temperature: float = 26.0) -> float:
    full = mixture.absolute_humidity(
        temperature, mixture.vapour_pressure(temperature, 1.0, mixture.STANDARD_PRESSURE)
    )
    return vapour / full


def _vapour(temperature: float, humidity: float) -> float:
    return mixture.absolute_humidity(
        temperature, mixture.vapour_pressure(temperature, humidity, mixture.STANDARD_PRESSURE)
    )


@given(st.floats(0.05, 20.0), st.floats(60.0, 20000.0))
def test_a_decay_gives_its_rate_back(rate: float, time: float) -> None:
    left = exp(-rate / HOUR * time)
    if 1e-12 < left < 1.0:
        assert decay_rate(1.0, left, time) == pytest.approx(rate / HOUR, rel=1e-6)


@given(st.floats(0.2, 3.0), st.floats(0.5, 3.0), st.floats(0.3, 2.7))
def test_a_climb_after_venting_holds_the_true_air_changes(
    changes: float, feeding: float, cooler: float
) -> None:
    """A one-box tank: dc/dt = n (room - c) + k (source - c), whose answer is known exactly."""
    tank = TankCard(room_temperature=20.0, room_humidity=0.4)
    room, source = _vapour(20.0, 0.4), _vapour(26.0 - cooler, 1.0)
    usual = (changes * room + feeding * source) / (changes + feeding)
    rate = (changes + feeding) / HOUR
    first = usual - 0.5 * (usual - room)
    time = 0.7 / rate
    second = usual - (usual - first) * exp(-rate * time)
    band = air_change(
        tank,
        relative_humidity=_humidity(usual),
        first_reading=_humidity(first),
        second_reading=_humidity(second),
        minutes_between=time,
    ).air_changes
    assert band.low <= changes / HOUR <= band.high


def test_a_fall_towards_the_room_is_a_low_end() -> None:
    tank = TankCard(room_temperature=20.0, room_humidity=0.4)
    room = _vapour(20.0, 0.4)
    first, second = (_humidity(room + 0.01 * exp(-0.5 * hours)) for hours in (0.0, 1.0))
    band = air_change(
        tank, first_reading=first, second_reading=second, minutes_between=HOUR
    ).air_changes
    assert band.low <= 0.5 / HOUR <= band.high


def test_methods_that_overlap_narrow_the_band_and_others_widen_it() -> None:
    near, agree = combine([Range(1.0, 0.5, 2.0), Range(1.4, 0.7, 2.8)])
    assert agree
    assert near.high / near.low < 4.0
    apart, agree = combine([Range(1.0, 0.8, 1.2), Range(5.0, 4.0, 6.0)])
    assert not agree
    assert (apart.low, apart.high) == (0.8, 6.0)


def test_the_pumps_air_is_taken_off() -> None:
    still = TankCard(air_flow=0.0)
    bubbled = TankCard(air_flow=0.5e-3 / 60)
    water = 80e-6 / 86400
    less = air_change(bubbled, top_up=water).air_changes.middle
    volume = 0.6 * 0.35 * 0.21
    more = air_change(still, top_up=water).air_changes.middle
    assert more - less == pytest.approx(0.5e-3 / 60 / volume)


def test_bigger_gaps_and_colder_rooms_change_more_air() -> None:
    def of(area: float, room: float) -> float:
        tank = TankCard(room_temperature=room)
        return air_change(tank, gap_area=area, gap_rise=0.02).air_changes.middle

    assert of(2e-3, 20.0) > of(1e-3, 20.0)
    assert of(1e-3, 10.0) > of(1e-3, 20.0)


def test_a_room_as_damp_as_the_tank_says_nothing_about_water() -> None:
    with pytest.raises(NoAnswer, match="room's air holds as much"):
        air_change(TankCard(room_temperature=27.0, room_humidity=0.9), top_up=20e-6 / 86400)


def test_half_a_pair_of_readings_is_refused() -> None:
    with pytest.raises(InputError, match="type both"):
        air_change(TankCard(), first_reading=0.5)


def test_a_pump_that_explains_all_the_water_leaves_the_least_and_no_fault() -> None:
    bubbled = TankCard(air_flow=5e-3 / 60)
    result = air_change(bubbled, top_up=5e-6 / 86400, gap_area=0.0)
    assert 0.0 < result.air_changes.low <= result.air_changes.high
