"""Letters from invented keepers: what is read out of them, and what the reply then says."""

from __future__ import annotations

from dataclasses import fields
from typing import Any
from urllib.parse import parse_qsl, urlsplit

import pytest

from calculators.ask import answer
from calculators.fields import Signature, fields_of
from calculators.keeping.letter.read import read_letter
from calculators.keeping.reply import keeper_reply
from calculators.tank.card import TankCard

# What a careful reader takes from each letter; a field with None must not be read out of it.
LETTERS: list[tuple[str, dict[str, str | None]]] = [
    (
        "Tank 60x35x36 cm, room 19C, humidity 58%, lid mesh, heat mat 20W, clypeatus, bubbler on",
        {"tank_length": "60 cm", "tank_width": "35 cm", "tank_height": "36 cm",
         "room_temperature": "19 °C", "reading": "58 %", "room_humidity": None, "lid": "mesh",
         "heater_power": "20 W", "species": "Caribbean", "air_flow": "1 L/min"},
    ),
    (
        "Hi! My 20 gallon tank reads 58% humidity and 79F. The room is 66°F with 30% humidity. "
        "Glass lid with gaps. No bubbler. It's been like this for two weeks.",
        {"tank_volume": "20 gal", "reading": "58 %", "air_temperature": "79 °F",
         "room_temperature": "66 °F", "room_humidity": "30 %", "lid": "glass with gaps",
         "air_flow": "0 L/min", "seen": "most of three days"},
    ),
    (
        'My tank is 24" x 14" x 14", house at 19C / 66F, 40%. The hygrometer says 65-70%, screen '
        "top with plastic wrap.",
        {"tank_length": "24 in", "tank_height": "14 in", "room_temperature": "19 °C",
         "air_temperature": None, "room_humidity": "40 %", "reading": "67.5 %",
         "lid": "film over mesh"},
    ),
    (
        "humidity 92 in the tank, temp 80, 24x14x14 in. room 72 F, humidity 60",
        {"reading": "92 %", "air_temperature": "80 °F", "tank_width": "14 in",
         "room_temperature": "72 °F", "room_humidity": "60 %"},
    ),
    (
        "58% in the tank, 19C in the room. Thermostat set to 26. I haven't salt tested the gauge",
        {"reading": "58 %", "room_temperature": "19 °C", "set_point": "26 °C",
         "gauge_checked": None},
    ),
    (
        "In my bedroom it's 66F and 35%. gauge reads 62 % this morning",
        {"room_temperature": "66 °F", "room_humidity": "35 %", "reading": "62 %",
         "seen": "one reading"},
    ),
    ("the tank is in a 19C room", {"room_temperature": "19 °C", "air_temperature": None}),
    (
        "My 75 litre tank (glass top) sits at 26 °C, 55 percent; living room 18 °C and 28 percent",
        {"tank_volume": "75 L", "air_temperature": "26 °C", "reading": "55 %",
         "room_temperature": "18 °C", "room_humidity": "28 %", "lid": "glass"},
    ),
    (
        "120 x 45 x 45 tank. The humidity is 95% all week. I add 1 cup of water a day",
        {"tank_length": None, "size_without_unit": "120 x 45 x 45", "reading": "95 %",
         "seen": "most of three days", "water_poured": "237 mL/d"},
    ),
    ("36x18x18, it is 82F and 70% in there", {"tank_length": "36 in", "reading": "70 %"}),
    ("90x45x45, 26°C in the tank at 71%", {"tank_length": "90 cm", "tank_height": "45 cm"}),
    (
        "2ft x 1ft x 1ft tank, no heat mat, no moss",
        {"tank_length": "2 ft", "heater_power": "0 W", "moss_place": "none"},
    ),
    (
        "C. rugosus and a strawberry hermit, six inches of sand. substrate is 6 inches deep",
        {"species": "Indo-Pacific", "substrate_depth": "6 in"},
    ),
    (
        "I calibrated the hygrometer with salt. Acrylic lid. Air pump 1.5 L/min",
        {"gauge_checked": "with the salt test", "lid": "glass", "air_flow": "1.5 L/min"},
    ),
    (
        "two hygrometers agree: RH 66. Damp moss against the heated wall",
        {"gauge_checked": "against a second gauge", "reading": "66 %",
         "moss_place": "at the heated wall"},
    ),
    ("The pool water is 22C and I want 80% humidity", {"air_temperature": None, "reading": None}),
    ("I have had them for 3 weeks. Humidity 60%", {"seen": None, "reading": "60 %"}),
    ("Luftfeuchte? 24,5 °C in the tank, 61,5 % humidity",
     {"air_temperature": "24.5 °C", "reading": "61.5 %"}),
    ("100% happy with 50% coir", {"reading": None, "room_humidity": None}),
    ("A 40W light bulb over it", {"heater_power": None}),
    ("the lid is a wire mesh one. it keeps reading 48%", {"lid": "mesh", "reading": "48 %"}),
    ("asdf qwer !!! ???", {"reading": None, "tank_length": None, "air_temperature": None}),
    ("", {"reading": None}),
]  # fmt: skip


@pytest.mark.parametrize(("letter", "wanted"), LETTERS, ids=[text[:30] for text, _ in LETTERS])
def test_facts_are_read_as_a_reader_would(letter: str, wanted: dict[str, str | None]) -> None:
    facts = read_letter(letter).facts
    found = {name: facts[name].typed if name in facts else None for name in wanted}
    assert found == wanted


def test_every_fact_quotes_words_of_the_letter() -> None:
    for letter, _ in LETTERS:
        plain = " ".join(letter.replace("×", "x").split())
        for fact in read_letter(letter).facts.values():
            assert fact.words in plain, fact


WHOLE = (
    "Tank 60x35x36 cm. In the tank 26C and 58% for two weeks. Room 18C and 28%. Glass lid with "
    "gaps, heat mat 50W, clypeatus, no bubbler, no moss. The gauge is salt tested."
)


def asked(letter: str = "", **typed: str) -> dict[str, Any]:
    found = answer("keeper-reply", {"letter": letter, **typed})
    assert "problems" not in found, found
    return found


def test_a_whole_letter_gives_the_plan_of_first_change_and_one_step() -> None:
    found = asked(WHOLE)
    plan = answer("first-change", {"tank": "wrack", "gauge_checked": "with the salt test",
                                   "seen": "most of three days"})  # fmt: skip
    assert found["answers"]["first_step"]["value"] == plan["answers"]["do_now"]["value"]
    reply = found["answers"]["reply"]["value"]
    assert reply.count("The one next step:") == 1
    assert "Wait 1 day," in reply
    assert "58 %" in reply
    assert "Take care:" in reply


def test_the_link_carries_the_tank_and_the_same_plan() -> None:
    link = asked(WHOLE)["answers"]["tank_link"]["value"]
    parts = urlsplit(link)
    assert parts.path == "too-dry.html"
    calculator, _, query = parts.fragment.partition("?")
    inputs = dict(parse_qsl(query, keep_blank_values=True))
    assert {each.name for each in fields(TankCard)} <= set(inputs)
    there = answer(calculator, inputs)
    assert there["answers"]["do_now"]["value"] == asked(WHOLE)["answers"]["first_step"]["value"]
    assert there["answers"]["humidity_now"]["value"] == pytest.approx(58.0, abs=0.1)


def test_what_is_typed_wins_over_the_letter() -> None:
    found = asked(WHOLE, reading="94 %", room_humidity="70 %", room_temperature="77 °F")
    rows = {row["what"]["value"]: row for row in found["answers"]["understood"]}
    assert rows["Their gauge reads"]["words"]["value"] == "typed by you"
    assert rows["Their gauge reads"]["value"]["value"] == "94 %"
    assert found["answers"]["tank_link"]["value"].startswith("too-damp.html")
    assert "too damp" in found["answers"]["reply"]["value"]


@pytest.mark.parametrize(
    ("letter", "word"),
    [
        ("One crab is limp and out of its shell.", "exotic-animal vet"),
        ("There was water on the plug and the GFCI tripped", "breaker"),
        ("The heat mat has a brown spot", "unplug it now"),
        ("There is standing water in the corner", "Water standing at the base"),
        ("both pools are dry", "Fill both pools"),
        ("The tank is at 64F and 74%", "too cold"),
    ],
)
def test_what_cannot_wait_comes_first(letter: str, word: str) -> None:
    found = asked(letter)
    assert word in found["answers"]["reply"]["value"].split("\n\n")[1]
    assert any(word in caution for caution in found["cautions"])


def test_a_plain_no_raises_no_alarm() -> None:
    assert asked("Nobody is limp, no standing water, no burning smell.")["cautions"] == []


def test_a_cold_tank_is_warmed_before_its_humidity() -> None:
    found = asked(WHOLE, air_temperature="18 °C")
    assert found["answers"]["first_step"]["value"].startswith("Bring the air back")


@pytest.mark.parametrize("letter", ["", "asdf qwer 12345 %%% !!!", "help my tank is too dry"])
def test_nothing_known_asks_and_changes_nothing(letter: str) -> None:
    found = asked(letter)
    assert found["answers"]["tank_link"]["value"] == ""
    assert found["answers"]["wait"]["value"] is None
    first, second = (row["question"]["value"] for row in found["answers"]["questions"][:2])
    assert "limp" in first
    assert "gauge read" in second
    assert "change nothing" in found["answers"]["reply"]["value"].lower()


def test_questions_are_only_for_what_is_missing() -> None:
    questions = " ".join(row["question"]["value"] for row in asked(WHOLE)["answers"]["questions"])
    for known in ("room?", "long, wide and high", "kind of lid", "species", "salt test"):
        assert known not in questions
    assert "pour in" in questions


def test_a_size_without_a_unit_is_asked_for_and_not_used() -> None:
    found = asked("120 x 45 x 45 tank at 60 % humidity")
    assert any("centimetres or in inches" in row["question"]["value"]
               for row in found["answers"]["questions"])  # fmt: skip
    assert found["answers"]["tank_link"]["value"] == ""


def test_numbers_that_cannot_be_are_told_and_not_used() -> None:
    found = asked("The tank is 600 x 35 x 36 cm, humidity 58%")
    refused = [row for row in found["answers"]["understood"]
               if row["value"]["value"].startswith("not used")]  # fmt: skip
    assert [row["what"]["value"] for row in refused] == ["Tank length"]


def test_numbers_that_do_not_fit_together_are_asked_for_again() -> None:
    found = asked(WHOLE, reading="6 %", room_humidity="90 %", room_temperature="26 °C")
    assert found["answers"]["first_step"]["value"] == "Measure again"
    assert found["answers"]["tank_link"]["value"] == ""


def test_one_reading_is_watched_before_anything_is_changed() -> None:
    found = asked(WHOLE.replace("for two weeks", "this morning"))
    assert found["answers"]["wait"]["value"] == 72.0
    assert "three days" in found["answers"]["first_step"]["value"]


def test_the_quick_look_differs_only_in_bands() -> None:
    full, quick = asked(WHOLE), answer("keeper-reply", {"letter": WHOLE}, quick=True)
    assert quick["answers"]["first_step"] == full["answers"]["first_step"]


def test_ranges_are_those_of_the_tank_card() -> None:
    card = {each.name: each for each in fields_of(TankCard)}
    for field in Signature.of(keeper_reply).inputs:
        if field.name in card and field.quantity:
            assert (field.low, field.high) == (card[field.name].low, card[field.name].high)
