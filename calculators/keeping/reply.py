"""An answer to a keeper's letter: the ``keeper-reply`` calculator.

In: what a keeper wrote, and single numbers that the volunteer typed, which win. Out: what was
understood, a reply in plain words to copy, and the questions to ask back. The plan is
``first_change``'s. Nothing is kept.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Annotated, Any, Literal

from annotated_types import Interval

from calculators.errors import InputError, NoAnswer, OutOfRange
from calculators.fields import Address, Answer, Copied, Pasted
from calculators.keeping import targets
from calculators.keeping.letter.alarms import alarms
from calculators.keeping.letter.questions import Question, questions
from calculators.keeping.letter.read import Letter, read_letter
from calculators.keeping.letter.tank import FIELDS, Known, card_of, in_words, known, typed
from calculators.keeping.letter.write import Found, write
from calculators.keeping.plan import Checked, Seen, first_change, first_change_quick
from calculators.quantities import (
    HOURS,
    LENGTH,
    POWER,
    RELATIVE_HUMIDITY,
    TEMPERATURE,
    Says,
)
from calculators.tank.card import Lid, Species, TankCard

NotSaid = Literal["not said"]
PAGES = {"dry": "too-dry.html", "damp": "too-damp.html", "in range": "your-tank.html"}


@dataclass(frozen=True)
class Understood:
    """One value the reply rests on, and the words it came from."""

    what: Annotated[str, Says("What")]
    value: Annotated[str, Says("Understood as")]
    words: Annotated[str, Says("From")]


@dataclass(frozen=True, kw_only=True)
class Reply(Answer):
    """What to write back, and what it rests on."""

    reply: Annotated[str, Copied(link="tank_link"), Says("Your reply, to read over and send")]
    tank_link: Annotated[str, Address("Their tank, worked out"), Says("A link with their tank")]
    first_step: Annotated[str, Says("The one next step")]
    wait: Annotated[float | None, HOURS, Says("Wait before it is judged")]
    understood: Annotated[
        tuple[Understood, ...], Says("What was understood", "wrong? type it above")
    ]
    questions: Annotated[tuple[Question, ...], Says("Ask back, the most important first")]


_SIDE = Interval(ge=0.2, le=3.0)


def keeper_reply(
    letter: Annotated[
        str, Pasted(), Says("What the keeper wrote", "it stays in this page and is kept nowhere")
    ] = "",
    tank_length: Annotated[float | None, LENGTH, _SIDE, Says("Tank length")] = None,
    tank_width: Annotated[
        float | None, LENGTH, Interval(ge=0.15, le=1.5), Says("Tank width")
    ] = None,
    tank_height: Annotated[
        float | None, LENGTH, Interval(ge=0.2, le=1.5), Says("Tank height")
    ] = None,
    reading: Annotated[
        float | None, RELATIVE_HUMIDITY, Interval(ge=0.05, le=1.0), Says("Their gauge reads")
    ] = None,
    air_temperature: Annotated[
        float | None, TEMPERATURE, Interval(ge=0.0, le=45.0), Says("Air temperature in the tank")
    ] = None,
    room_temperature: Annotated[
        float | None, TEMPERATURE, Interval(ge=5.0, le=40.0), Says("Room temperature")
    ] = None,
    room_humidity: Annotated[
        float | None, RELATIVE_HUMIDITY, Interval(ge=0.1, le=0.95), Says("Room humidity")
    ] = None,
    set_point: Annotated[
        float | None, TEMPERATURE, Interval(ge=15.0, le=35.0), Says("Thermostat set point")
    ] = None,
    heater_power: Annotated[
        float | None, POWER, Interval(ge=0.0, le=500.0), Says("Heat mat, power", "0 if none")
    ] = None,
    lid: Annotated[NotSaid | Lid, Says("Lid")] = "not said",
    species: Annotated[NotSaid | Species, Says("Species")] = "not said",
    gauge_checked: Annotated[NotSaid | Checked, Says("Has the gauge been checked?")] = "not said",
    seen: Annotated[NotSaid | Seen, Says("It has read like this for")] = "not said",
) -> Reply:
    """Return the reply to ``letter``; lengths [m], temperatures [°C], humidities [1], power [W].

    What is typed wins over the letter. Raises nothing of its own: where nothing reproduces the
    numbers, the reply says so and asks for them again.
    """
    return _reply(letter, _given(locals()), first_change)


def keeper_reply_quick(letter: str, **inputs: Any) -> Reply:
    """Return the same reply with middle values only, for a first look."""
    return _reply(letter, _given(inputs), first_change_quick)


def _given(inputs: dict[str, Any]) -> dict[str, Any]:
    return {
        name: value
        for name, value in inputs.items()
        if name != "letter" and value not in (None, "not said")
    }


def _reply(text: str, given: dict[str, Any], planner: Any) -> Reply:
    letter = read_letter(text)
    facts = known(given, letter)
    told = alarms(text, facts.values.get("air_temperature"))
    plan, trouble, card = None, "", None
    checked: Checked = facts.values.get("gauge_checked", "not yet")
    seen: Seen = facts.values.get("seen", "one reading")
    try:
        card = card_of(facts)
        if card is not None:
            plan = planner(card, None, checked, seen)
    except (InputError, NoAnswer, OutOfRange) as error:
        trouble = str(error)
    asked = questions(facts, letter, bool(told))
    written = write(Found(facts, plan, trouble, told, asked, seen))
    return Reply(
        reply=written.text,
        tank_link=_link(card, plan is not None, checked, seen),
        first_step=written.first_step,
        wait=written.wait,
        understood=_understood(facts, letter),
        questions=asked,
        advice=written.likely,
        cautions=told,
        notes=_notes(letter, facts),
    )


def _link(card: TankCard | None, planned: bool, checked: Checked, seen: Seen) -> str:
    """Return the address, relative to a page of the guide, that carries the tank; or nothing."""
    if card is None or not planned or card.true_reading is None:
        return ""
    page = PAGES[targets.side(card.true_reading, card.species)]
    inputs = {each.name: typed(each.name, getattr(card, each.name)) for each in fields(card)}
    inputs |= {"gauge_checked": checked, "seen": seen}
    query = "&".join(f"{name}={_escaped(text)}" for name, text in inputs.items())
    return f"{page}#first-change?{query}"


def _escaped(text: str) -> str:
    """Return text as an address carries it in a query; spaces become plus signs."""
    safe = "-._*"
    return "".join(
        each if each.isascii() and (each.isalnum() or each in safe) else "+" if each == " "
        else "".join(f"%{byte:02X}" for byte in each.encode())
        for each in text
    )  # fmt: skip


def _understood(facts: Known, letter: Letter) -> tuple[Understood, ...]:
    """What was said first, what cannot be next, what was assumed last."""
    rows = [
        Understood(
            FIELDS[name].label.replace("Your", "Their"), in_words(name, value), facts.words[name]
        )
        for name, value in facts.values.items()
        if not name.startswith(("fresh_pool", "marine_pool"))
        and (name, value) != ("moss_area", 0.0)
    ]
    rows.sort(key=lambda row: row.words.startswith("assumed"))
    refused = [Understood(label, why, f"“{words}”") for label, why, words in facts.refused]
    size = letter.facts.get("size_without_unit")
    if size and "tank_length" not in facts.values:
        refused.append(Understood("Size", "not used: in cm or inches?", f"“{size.words}”"))
    return (*refused, *rows)


def _notes(letter: Letter, facts: Known) -> tuple[str, ...]:
    told = [
        "The letter is read by fixed rules, which miss much. Look down the list of what was "
        "understood before you send anything.",
    ]
    others = [fact for fact in letter.also if facts.words.get(fact.field, "").startswith("“")]
    if others:
        words = "; ".join(f"“{fact.words}”" for fact in others)
        told.append(f"The letter gives other numbers too, which were left out: {words}.")
    if any(name.startswith("fresh_pool") for name in facts.values):
        told.append(
            "The pools are assumed to cover a fifteenth of the floor each, away from the heat."
        )
    told.append("Order and waiting times are common practice, no published source.")
    return tuple(told)
