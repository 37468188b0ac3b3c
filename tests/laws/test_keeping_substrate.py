"""Laws of sand, coir and water: nothing is made or lost."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.keeping.substrate import free_water, substrate
from calculators.tank.card import TankCard

DAY = 86400.0


@given(st.floats(0.0, 1e-3), st.floats(0.0, 1e-3), st.floats(1.0, 60.0), st.floats(0.0, 5e-3))
def test_all_water_is_accounted_for(
    added: float, lost: float, days: float, room_left: float
) -> None:
    depth = free_water(added / DAY, lost / DAY, days * DAY, room_left, 0.2, 0.25)
    standing = depth * 0.2 * 0.25
    excess = (added - lost) * days - room_left
    assert standing == pytest.approx(max(0.0, excess), abs=1e-12)


@given(st.floats(0.0, 1e-3 / DAY), st.floats(0.0, 90.0))
def test_the_bounds_stand_in_order_and_within_the_bed(sprayed: float, days: float) -> None:
    tank = TankCard()
    water = substrate(tank, sprayed=sprayed, days=days * DAY).free_water_depth
    assert 0.0 <= water.low <= water.middle <= water.high <= tank.substrate_depth


def test_without_spray_no_water_stands() -> None:
    assert substrate(TankCard(), days=90 * DAY).free_water_depth.high == 0.0


def test_depth_is_the_greater_of_both_rules() -> None:
    assert substrate(TankCard(), tallest_crab=0.03).depth_needed == 0.15
    assert substrate(TankCard(), tallest_crab=0.10).depth_needed == pytest.approx(0.30)


def test_more_sand_is_heavier_and_less_damp() -> None:
    little, much = (substrate(TankCard(), sand_parts=parts) for parts in (2.0, 8.0))
    assert much.dry_mass.middle > little.dry_mass.middle
    assert much.water_to_add.middle < little.water_to_add.middle
    assert much.dry_mass.middle == pytest.approx(much.sand_mass.middle + much.coir_mass.middle)


def test_daily_spraying_floods_the_base_in_the_end() -> None:
    result = substrate(TankCard(), sprayed=300e-6 / DAY, days=60 * DAY, relative_humidity=0.9)
    assert result.free_water_depth.middle > 0.005
    assert result.advice.startswith("Stop spraying")
