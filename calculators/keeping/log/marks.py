"""How a log writes its dates and numbers: order and unit.

In: a ``Layout`` and the columns found. Out: what was read from names and cells, and questions.
"""

from __future__ import annotations

from collections.abc import Sequence

from calculators.keeping.log import words
from calculators.keeping.log.choice import Choice, Facts, Question
from calculators.keeping.log.table import Layout
from calculators.keeping.log.times import ORDERS, Order, epoch_scale, find_order, is_time


def settle_order(
    layout: Layout,
    time: Sequence[int],
    names: Sequence[str],
    choice: Choice,
    questions: list[Question],
) -> Order:
    """Return the order of day, month and year; ask when the dates leave it open."""
    for order in ORDERS:
        if choice.date_order == order:
            return order
    cells = layout.cells(time[0])
    if epoch_scale(cells):
        return "year first"
    found, sure = find_order(cells, layout.header[time[0]])
    if not sure:
        example = next((cell.strip() for cell in cells if is_time(cell)), "")
        questions.append(
            Question(
                "date_order",
                f"In “{example}”, does the day or the month stand first?",
                ("day first", "month first"),
                found,
            )
        )
    return found


def in_fahrenheit(
    layout: Layout,
    facts: Sequence[Facts],
    temperature: int | None,
    names: Sequence[str],
    choice: Choice,
    questions: list[Question],
) -> bool:
    """Return True when the temperature is in °F: by name, cells or size; ask if unclear."""
    if temperature is None:
        return False
    if choice.temperature_unit in ("°C", "°F"):
        return choice.temperature_unit == "°F"
    cells = layout.cells(temperature)
    unit = words.temperature_unit(layout.header[temperature])
    if not unit:
        found = [words.temperature_unit(cell.lstrip("-0123456789., ")) for cell in cells]
        unit = max(set(found), key=found.count) if found else ""
    if unit:
        return unit == "°F"
    item = next((item for item in facts if item.index == temperature), None)
    middle = item.middle if item else 0.0
    guess = "°F" if middle >= 45.0 else "°C"
    if 36.0 < middle < 58.0:
        questions.append(
            Question(
                "temperature_unit",
                f"The temperatures in “{names[temperature]}” are about {middle:.0f}: are they in "
                "°C or in °F?",
                ("°C", "°F"),
                guess,
            )
        )
    return guess == "°F"
