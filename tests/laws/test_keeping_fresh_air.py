"""Laws of fresh air: gas is neither made nor lost, and nothing is airtight."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import OutOfRange
from calculators.keeping.fresh_air import (
    HIGHEST_RISE,
    carbon_dioxide_given,
    fresh_air,
    steady_rise,
)
from calculators.tank.card import TankCard

HOUR = 3600.0
KNOWN = TankCard(air_changes=0.1 / HOUR)


def test_the_worked_example_of_the_trade() -> None:
    """300 g in 100 L: airtight about 0.5 % a day; 0.1 and 0.5 air changes about 2100, 420 ppm."""
    slow = fresh_air(KNOWN, crab_mass=0.3, air_volume=0.1)
    assert slow.sealed_rise.middle == pytest.approx(0.005, abs=0.0005)
    assert slow.co2_rise.middle == pytest.approx(2100e-6, abs=50e-6)
    fast = fresh_air(replace(KNOWN, air_changes=0.5 / HOUR), crab_mass=0.3, air_volume=0.1)
    assert fast.co2_rise.middle == pytest.approx(420e-6, abs=5e-6)


@given(st.floats(0.001, 3.0), st.floats(0.005, 3.0))
def test_the_least_air_changes_hold_the_line(mass: float, volume: float) -> None:
    least = fresh_air(KNOWN, crab_mass=mass, air_volume=volume).least_air_changes.middle
    assert steady_rise(carbon_dioxide_given(mass), volume, least) == pytest.approx(HIGHEST_RISE)


def test_the_bands_stand_in_order() -> None:
    result = fresh_air(TankCard())
    for band in (result.co2_rise, result.sealed_rise, result.least_air_changes):
        assert band.low < band.middle < band.high


def test_a_pump_in_the_room_is_fresh_air_and_one_in_the_tank_is_not() -> None:
    pump = replace(KNOWN, air_flow=1e-3 / 60)
    inside = replace(pump, pump_draws_from="tank")
    assert fresh_air(pump).co2_rise.middle < fresh_air(KNOWN).co2_rise.middle
    assert fresh_air(inside).co2_rise == fresh_air(KNOWN).co2_rise


def test_airtight_is_refused() -> None:
    with pytest.raises(OutOfRange):
        steady_rise(1e-9, 0.1, 0.0)


def test_a_tank_as_warm_as_its_room_gets_no_size_of_gap() -> None:
    warm = TankCard(room_temperature=26.0, room_humidity=0.75)
    assert fresh_air(warm).least_gap is None


def test_bad_air_is_said_first() -> None:
    tight = replace(KNOWN, air_changes=0.02 / HOUR)
    assert fresh_air(tight, crab_mass=0.3).advice.startswith("Open a gap now")
