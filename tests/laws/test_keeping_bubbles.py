"""Laws of bubbled air."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.keeping.bubbles import bubbling, vapour_brought
from calculators.tank.card import TankCard

INSIDE = (26.0, 0.8)
ROOM = (20.0, 0.4)


@given(st.floats(10.0, 30.0), st.floats(0.1, 0.99))
def test_bubbles_dry_the_air_exactly_when_their_ceiling_is_below_it(
    pool: float, humidity: float
) -> None:
    result = bubbling(
        TankCard(air_flow=1e-3 / 60, pump_draws_from="tank"),
        pool_temperature=pool,
        relative_humidity=humidity,
    )
    if result.humidity_ceiling < min(humidity, 0.9999) - 1e-3:
        assert result.net_vapour.high < 0.0
    elif result.humidity_ceiling > humidity + 1e-3:
        assert result.net_vapour.middle > 0.0


@given(st.floats(1e-6, 1e-4), st.floats(10.0, 30.0))
def test_twice_the_air_brings_twice_the_vapour(flow: float, pool: float) -> None:
    once = vapour_brought(flow, pool, INSIDE, ROOM)
    assert vapour_brought(2 * flow, pool, INSIDE, ROOM) == pytest.approx(2 * once)


def test_a_cool_bubbled_pool_lowers_the_humidity() -> None:
    tank = TankCard(air_flow=1e-3 / 60)
    result = bubbling(tank, pool_temperature=20.0, relative_humidity=0.76)
    assert result.net_vapour.high < 0.0
    assert "Turn the bubbles down" in result.advice
    assert result.flow_setting is None


def test_bubbles_that_do_not_saturate_do_better_from_the_tank() -> None:
    """So a dry room's air is the worse one to draw, whenever bubbles are coarse."""
    room = vapour_brought(1e-5, 25.0, INSIDE, ROOM, saturated=0.9)
    tank = vapour_brought(1e-5, 25.0, INSIDE, INSIDE, saturated=0.9)
    assert tank > room


def test_only_a_pump_in_the_room_is_fresh_air() -> None:
    outside = TankCard(air_flow=1e-3 / 60, pump_draws_from="room")
    assert bubbling(outside).air_changes_added > 0.0
    assert bubbling(replace(outside, pump_draws_from="tank")).air_changes_added == 0.0


def test_at_its_target_a_tank_keeps_its_setting() -> None:
    tank = TankCard(air_flow=1e-3 / 60, air_changes=1.0 / 3600)
    result = bubbling(tank, pool_temperature=25.5, relative_humidity=0.75)
    assert result.flow_setting is not None
    assert result.flow_setting.middle == pytest.approx(tank.air_flow)
    assert result.advice.startswith("Leave the flow regulator")
