"""What to ask a keeper back, the most important first.

In: what is known. Out: questions with the reason for each; the order is common practice.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.keeping.letter.read import Letter
from calculators.keeping.letter.size import SIDES
from calculators.keeping.letter.tank import Known
from calculators.quantities import Says


@dataclass(frozen=True)
class Question:
    """A question for the keeper, and why it is asked."""

    question: Annotated[str, Says("Ask")]
    why: Annotated[str, Says("Because")]


def questions(found: Known, letter: Letter, alarmed: bool) -> tuple[Question, ...]:
    """Return what is still to be asked; ``alarmed`` where something came before any number."""
    rows = []

    def ask(question: str, why: str, *names: str) -> None:
        if not names or not all(found.said(name) for name in names):
            rows.append(Question(question, why))

    if not alarmed:
        ask(
            "Are both pools full, and is any crab limp, weak, or out of its shell?",
            "animals come before any number",
        )
    ask(
        "What does the gauge read, in percent, hanging free in the middle of the tank?",
        "everything else hangs on it",
        "reading",
    )
    ask(
        "What is the air temperature in the tank at that moment?",
        "the same air reads drier when it is warmer",
        "air_temperature",
    )
    ask(
        "Has the gauge had a salt test, or been held against a second one?",
        "an unchecked gauge may be several points off",
        "gauge_checked",
    )
    ask(
        "Does it read like this at the same hour for three days?",
        "only a lasting fault needs a change",
        "seen",
    )
    ask(
        "What are temperature and humidity in the room?",
        "the room’s air is what leaks in",
        "room_temperature",
        "room_humidity",
    )
    size = letter.facts.get("size_without_unit")
    if size and not all(name in found.values for name in SIDES):
        ask(f"Is the tank’s size, {size.words}, in centimetres or in inches?", "both are usual")
    else:
        ask(
            "How long, wide and high is the tank inside, in cm or inches?",
            "a small tank dries faster",
            *SIDES,
        )
    ask("What kind of lid: glass, glass with gaps, film over mesh, or mesh?",
        "most water leaves there", "lid")  # fmt: skip
    ask("How many watts has the heat mat, and what is the thermostat set to?",
        "warmer air needs more water", "heater_power", "set_point")  # fmt: skip
    ask("Is there an air pump, is there damp moss, and does water run down the glass?",
        "each gives or takes water", "air_flow", "moss_place")  # fmt: skip
    ask("Which species are they?", "it sets the target", "species")
    ask("How much water do you pour in, in a week?",
        "it tells a leaky lid from a dry floor", "water_poured")  # fmt: skip
    return tuple(rows)
