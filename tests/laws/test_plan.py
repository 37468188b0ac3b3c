"""The first-change plan: the trade's order, and where a tank's numbers overrule it."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from calculators.keeping.plan import NEXT, NOW, Plan, Step, first_change, first_change_quick
from calculators.keeping.remedies import REMEDIES
from calculators.tank.card import TankCard

WRACK, KELP, SAMPHIRE = (TankCard.ready[name] for name in ("wrack", "kelp", "samphire"))
HOUR = 3600.0


@cache
def plan(card: TankCard) -> Plan:
    return first_change(card, None, "with the salt test", "most of three days")


def step(card: TankCard, title: str) -> Step:
    (found,) = [each for each in plan(card).plan if each.step == title]
    return found


def test_the_order_is_the_trades() -> None:
    """Common practice, no source: gauge, seal, moss, air-stones, pools to the wall, the mat."""
    titles = [each.step for each in plan(WRACK).plan]
    assert titles[:6] == [
        "Check the gauge", "Close the gaps in the lid", "Damp moss against the heated wall",
        "Air-stones in the pools", "Pools against the heated wall", "A larger heat mat",
    ]  # fmt: skip
    titles = [each.step for each in plan(KELP).plan]
    assert titles[1:5] == [
        "Vent while someone is at home", "Dry moss in place of damp", "Air-stones off or down",
        "Pools away from the heated wall",
    ]  # fmt: skip


@pytest.mark.parametrize("card", [WRACK, KELP], ids=["wrack", "kelp"])
def test_exactly_one_step_is_the_one_to_do_now(card: TankCard) -> None:
    now = [each for each in plan(card).plan if each.when == NOW]
    assert len(now) == 1
    assert plan(card).do_now == now[0].step


def test_an_unchecked_gauge_comes_first() -> None:
    found = first_change(WRACK, None, "not yet", "most of three days")
    assert [each.step for each in found.plan if each.when == NOW] == ["Check the gauge"]
    assert [each.step for each in found.plan if each.when == NEXT] == ["Close the gaps in the lid"]


def test_one_reading_is_no_fault_yet() -> None:
    found = first_change(WRACK, None, "with the salt test", "one reading")
    assert "may be a passing peak" in found.advice
    assert "three days" in found.do_now


def test_a_tank_in_range_is_left_alone() -> None:
    found = plan(SAMPHIRE)
    assert "Change nothing" in found.advice
    assert not [each for each in found.plan if each.when == NOW]


def test_every_band_holds_its_middle() -> None:
    for card in (WRACK, KELP):
        for each in plan(card).plan:
            for band in (each.humidity, each.water):
                if band is not None:
                    assert band.low <= band.middle <= band.high
            if each.humidity is not None:
                assert each.humidity.low >= 0.0
                assert each.humidity.high <= 1.0


def test_a_quick_look_has_the_same_middles() -> None:
    quick = first_change_quick(WRACK, None, "with the salt test", "most of three days")
    for one, other in zip(quick.plan, plan(WRACK).plan, strict=True):
        assert (one.step, one.when, one.stands) == (other.step, other.when, other.stands)
        if one.humidity is not None and other.humidity is not None:
            assert one.humidity.middle == pytest.approx(other.humidity.middle, abs=1e-9)


def test_a_cool_bubbled_pool_lowers_the_humidity() -> None:
    cold = replace(
        WRACK, lid="glass", room_temperature=14.0, wall_insulation=0.05, reading=0.72,
        heater_power=100.0, heater_area=0.12, species="Indo-Pacific",
    )  # fmt: skip
    stones = step(cold, "Air-stones in the pools")
    assert stones.humidity is not None
    assert stones.humidity.middle < 0.72
    assert stones.when == "Not here"
    assert any("Air-stones would lower" in each for each in plan(cold).cautions)


def test_a_mesh_lid_cannot_be_out_evaporated() -> None:
    open_top = replace(WRACK, lid="mesh", reading=0.38, room_humidity=0.45)
    assert plan(open_top).do_now == "Close the gaps in the lid"
    assert any("mesh lid" in each for each in plan(open_top).cautions)
    seal = step(open_top, "Close the gaps in the lid").humidity
    pool = step(open_top, "A wider fresh pool").humidity
    assert seal is not None
    assert pool is not None
    assert seal.middle > pool.middle + 0.05


def test_in_a_cold_room_the_pane_is_the_limit_so_insulation_comes_first() -> None:
    cold = replace(
        WRACK, lid="glass", room_temperature=8.0, room_humidity=0.5, heater_power=120.0,
        heater_area=0.125, fresh_pool_length=0.25, fresh_pool_width=0.2,
        pools_place="at the heated wall", reading=0.63,
    )  # fmt: skip
    found = plan(cold)
    assert found.highest_humidity < found.target_humidity
    assert found.do_now == "Insulate the panes without a heater"
    assert any("insulate before you add water" in each for each in found.cautions)


def test_venting_into_a_more_humid_room_does_nothing() -> None:
    summer = replace(KELP, room_temperature=27.0, room_humidity=0.95, set_point=27.0, reading=0.955)
    found = plan(summer)
    vented = step(summer, "Vent while someone is at home")
    assert any("venting brings in as much water" in each for each in found.cautions) or (
        vented.when == "Not here"
    )


def test_spraying_is_shown_with_its_cost_and_never_advised() -> None:
    found = plan(WRACK)
    assert len(found.not_recommended) == 2
    for each in found.not_recommended:
        assert each.carried_off + each.left_behind == pytest.approx(each.added)
        assert "mould" in each.spoils
    assert not any("spray" in remedy.how.lower() for remedy in REMEDIES)


def test_every_step_has_its_caution_and_its_wait() -> None:
    for remedy in REMEDIES:
        assert remedy.caution
        assert remedy.how.count(".") >= 2
        assert remedy.wait >= 24 * HOUR
