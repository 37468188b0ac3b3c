"""A tank fitted to what its keeper measured: it reproduces it, or says what cannot be right."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.errors import NoAnswer
from calculators.tank.balance import balance
from calculators.tank.card import TankCard
from calculators.tank.fit import CLOSE, fit
from calculators.tank.geometry import Tank
from calculators.tank.nodes import Room

DAY, HOUR = 86400.0, 3600.0
WRACK, KELP = TankCard.ready["wrack"], TankCard.ready["kelp"]


def fitted(card: TankCard):  # type: ignore[no-untyped-def]
    return fit(Tank.of(card), Room.of(card), card.true_reading, card.water_poured)


@settings(max_examples=60, deadline=None)
@given(
    leak=st.floats(0.1, 30.0),
    wetness=st.floats(0.02, 0.9),
    warmth=st.floats(15.0, 25.0),
    damp=st.floats(0.2, 0.8),
)
def test_a_fit_finds_a_tank_that_reads_what_was_read(
    leak: float, wetness: float, warmth: float, damp: float
) -> None:
    card = replace(WRACK, room_temperature=warmth, room_humidity=damp, reading=None)
    true = replace(Tank.of(card), air_changes=leak / HOUR, wetness=wetness)
    room = Room.of(card)
    reading = balance(true, room).relative_humidity
    if reading > 0.995:
        return  # fog: every leak reads the same
    known = replace(card, reading=reading)
    again = fit(Tank.of(known), room, reading)
    assert again.balance.relative_humidity == pytest.approx(reading, abs=2 * CLOSE)


def test_water_and_reading_together_find_the_leak_itself() -> None:
    card = replace(WRACK, reading=None)
    true = replace(Tank.of(card), air_changes=2.5 / HOUR, wetness=0.3)
    room = Room.of(card)
    found = balance(true, room)
    poured = -found.vapour.air_change / 997.0
    again = fit(Tank.of(card), room, found.relative_humidity, poured)
    assert again.tank.air_changes == pytest.approx(2.5 / HOUR, rel=0.02)
    assert again.tank.wetness == pytest.approx(0.3, rel=0.1)
    assert again.open_question == ""


def test_the_leak_from_water_is_the_arithmetic_anyone_can_do() -> None:
    # 100 L at 26 °C and 80 % hold 19.6 g/m3 (CoolProp 8.0), a room at 20 °C and 40 % 6.9 g/m3;
    # half of it changed every hour carries off 12.7 x 0.1 x 0.5 x 24 = 15 g a day.
    card = TankCard(
        tank_length=0.5, tank_width=0.5, tank_height=0.5, substrate_depth=0.1,
        room_temperature=20.0, room_humidity=0.4, reading=0.8, water_poured=15.2e-6 / DAY,
        lid="glass", fresh_pool_length=0.14, fresh_pool_width=0.14,
    )  # fmt: skip
    assert fitted(card).tank.air_changes * HOUR == pytest.approx(0.5, abs=0.01)


def test_one_reading_leaves_two_causes_and_says_what_would_tell_them_apart() -> None:
    found = fitted(WRACK)
    assert "Two causes fit" in found.open_question
    assert "water you pour in" in found.open_question


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"reading": 0.10}, "drier than the room’s own air would be"),
        ({"reading": 0.30, "water_poured": 20e-6 / DAY, "room_humidity": 0.9},
         "no more vapour than the room"),
        ({"reading": 0.58, "water_poured": 4e-3 / DAY}, "too much water"),
    ],
)  # fmt: skip
def test_what_cannot_be_right_is_named(change: dict[str, float], sentence: str) -> None:
    with pytest.raises(NoAnswer, match=sentence):
        fitted(replace(WRACK, **change))


def test_without_a_reading_nothing_is_guessed_in_silence() -> None:
    found = fitted(replace(KELP, reading=None))
    assert found.evidence == "assumed"
    assert "only assumed" in found.open_question
