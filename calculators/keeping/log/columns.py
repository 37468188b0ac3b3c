"""Which column is what: a proposal from names and content, questions where they do not settle it.

In: a ``Layout`` and what the reader already answered. Out: ``Columns`` ready to read with, and
the ``Question``s that a page or a terminal puts; each holds the answer assumed meanwhile.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from calculators.errors import NoAnswer
from calculators.keeping.log import words
from calculators.keeping.log.table import Layout, is_missing, number
from calculators.keeping.log.times import (
    ORDERS,
    Order,
    epoch_scale,
    find_order,
    is_clock,
    is_time,
    split_cell,
)

FOUND = "found"


@dataclass(frozen=True, slots=True)
class Choice:
    """What the reader settled; "" or "found" leaves it to the file.

    A column is chosen by its name or its number from 1; "none" says there is no such column.
    """

    time_column: str = ""
    temperature_column: str = ""
    humidity_column: str = ""
    room_column: str = ""
    date_order: str = FOUND
    temperature_unit: str = FOUND


@dataclass(frozen=True, slots=True)
class Question:
    """One thing the file cannot tell; ``name`` is the input that answers it."""

    name: str
    sentence: str
    choices: tuple[str, ...]
    assumed: str


@dataclass(frozen=True, slots=True)
class Columns:
    """Where everything stands, counting columns from 0.

    ``humidity_whole`` is what the log writes for saturated air: 100 or 1.
    """

    time: tuple[int, ...]
    humidity: int
    temperature: int | None
    room: int | None
    order: Order
    fahrenheit: bool
    decimal_comma: bool
    humidity_whole: float
    names: tuple[str, ...]

    def name(self, column: int | None) -> str:
        """Return what a reader calls ``column``."""
        return "none" if column is None else self.names[column]


@dataclass(slots=True)
class _Facts:
    """One column of figures, from the sample."""

    index: int
    role: words.Role
    room: bool
    values: list[float]

    @property
    def middle(self) -> float:
        return median(self.values)


def propose(layout: Layout, choice: Choice) -> tuple[Columns, tuple[Question, ...]]:
    """Return the columns of ``layout`` and what to ask; NoAnswer when a needed one is missing."""
    names = tuple(name or f"column {n}" for n, name in enumerate(layout.header, start=1))
    questions: list[Question] = []
    time = _time(layout, names, choice)
    facts = _figures(layout, time)
    humidity = _humidity(facts, names, choice, questions)
    temperature = _temperature(facts, names, choice, humidity, questions)
    room = _chosen(choice.room_column, "room_column", names)
    if room is None and not _none(choice.room_column):
        rooms = [
            item.index
            for item in facts
            if item.room and item.role == "temperature" and item.index != temperature
        ]
        room = rooms[0] if rooms else None
    scale_values = next((f.values for f in facts if f.index == humidity), [])
    in_fractions = bool(scale_values) and max(scale_values) <= 1.0 < 20 * max(scale_values)
    order = _order(layout, time, names, choice, questions)
    columns = Columns(
        time=time,
        humidity=humidity,
        temperature=temperature,
        room=room,
        order=order,
        fahrenheit=_fahrenheit(layout, facts, temperature, names, choice, questions),
        decimal_comma=_decimal_comma(layout, (humidity, temperature, room)),
        humidity_whole=1.0 if in_fractions else 100.0,
        names=names,
    )
    return columns, tuple(questions)


def _none(text: str) -> bool:
    return text.strip().lower() == "none"


def _chosen(text: str, field: str, names: Sequence[str]) -> int | None:
    wanted = text.strip().lower()
    if wanted in ("", FOUND, "none"):
        return None
    lowered = [name.lower() for name in names]
    if wanted in lowered:
        return lowered.index(wanted)
    digits = wanted.removeprefix("column").strip()
    if digits.isdigit() and 1 <= int(digits) <= len(names):
        return int(digits) - 1
    label = field.replace("_", " ").capitalize()
    raise NoAnswer(
        f"{label}: there is no column “{text}” in this log. Its columns are: {', '.join(names)}. "
        f"Type a name or a number from 1 to {len(names)}."
    )


def _share(test: object, cells: Sequence[str]) -> float:
    filled = [cell for cell in cells if not is_missing(cell)]
    return sum(map(test, filled)) / len(filled) if filled else 0.0  # type: ignore[call-overload]


def _time(layout: Layout, names: Sequence[str], choice: Choice) -> tuple[int, ...]:
    shares = [_share(is_time, layout.cells(n)[:80]) for n in range(layout.width)]
    clocks = [_share(is_clock, layout.cells(n)[:80]) for n in range(layout.width)]
    chosen = _chosen(choice.time_column, "time_column", names)
    if chosen is None:
        able = [n for n, share in enumerate(shares) if share > 0.6]
        if not able:
            able = [n for n in range(layout.width) if epoch_scale(layout.cells(n))]
        if not able:
            raise NoAnswer(
                "No column of this log holds dates. Export it again with the date and the time "
                f"of each reading. Its columns are: {', '.join(names)}."
            )
        # The column that changes most is the time of a reading; another may be a day's label.
        chosen = max(able, key=lambda n: (len(set(layout.cells(n))), -n))
        dated = [n for n in able if not _holds_clock(layout.cells(n))]
        if dated and not _holds_clock(layout.cells(chosen)):
            chosen = dated[0]
    if not _holds_clock(layout.cells(chosen)) and not epoch_scale(layout.cells(chosen)):
        near = [n for n, share in enumerate(clocks) if share > 0.6 and n != chosen]
        if near:
            clock = min(near, key=lambda n: (abs(n - chosen - 1), n))
            halves = [
                n
                for n in (clock + 1,)
                if n < layout.width and _share(_is_half, layout.cells(n)) > 0.9
            ]
            return (chosen, clock, *halves)
    return (chosen,)


def _holds_clock(cells: Sequence[str]) -> bool:
    """Return True when the cells carry clock times that differ, beside their dates."""
    clocks = {split_cell(cell)[1] for cell in cells if is_time(cell)}
    return len(clocks) > 1 or (len(cells) < 2 and clocks != {""} and bool(clocks))


def _is_half(cell: str) -> bool:
    return cell.strip().lower().replace(".", "") in ("am", "pm")


def _figures(layout: Layout, time: Sequence[int]) -> list[_Facts]:
    facts = []
    for n in range(layout.width):
        if n in time:
            continue
        cells = layout.cells(n)
        filled = [cell for cell in cells if not is_missing(cell)]
        values = [value for cell in filled if (value := number(cell)) is not None]
        if len(values) >= 0.6 * len(filled) and values:
            header = layout.header[n]
            facts.append(_Facts(n, words.role(header), words.is_room(header), values))
    return facts


def _like_humidity(item: _Facts) -> bool:
    good = sum(0.0 <= value <= 105.0 for value in item.values)
    return good >= 0.8 * len(item.values)


def _like_temperature(item: _Facts) -> bool:
    return -40.0 <= item.middle <= 140.0 and len(set(item.values)) > 0


def _like_count(item: _Facts) -> bool:
    """Return True for running numbers and for columns that never change."""
    values = item.values
    if len(set(values)) == 1 and len(values) > 3:
        return True
    rising = all(a < b for a, b in pairwise(values))
    return rising and all(value == int(value) for value in values) and len(values) > 3


def _humidity(
    facts: Sequence[_Facts], names: Sequence[str], choice: Choice, questions: list[Question]
) -> int:
    chosen = _chosen(choice.humidity_column, "humidity_column", names)
    if chosen is not None:
        return chosen
    named = [item for item in facts if item.role == "humidity" and _like_humidity(item)]
    inside = [item for item in named if not item.room] or named
    if inside:
        if len(inside) > 1:
            questions.append(_which("humidity_column", "the relative humidity", inside, names))
        return inside[0].index
    temperature = _chosen(choice.temperature_column, "temperature_column", names)
    open_ = [
        item
        for item in facts
        if item.role in ("", "time") and _like_humidity(item) and item.index != temperature
    ]
    if len(open_) > 1:
        open_ = [item for item in open_ if not _like_count(item)] or open_
    by_name = bool(open_)
    if not by_name:
        # The names say that no column is humidity; names can be damaged, so content is asked.
        able = [f for f in facts if _like_humidity(f) and f.index != temperature]
        open_ = [item for item in able if item.middle >= 30.0 and not _like_count(item)]
    if not open_:
        raise NoAnswer(
            "No column of this log looks like relative humidity, 0 to 100 %. Its columns are: "
            f"{', '.join(names)}. If one of them is, name it as the humidity column."
        )
    best = max(open_, key=lambda item: item.middle)
    others = [item for item in open_ if item is not best]
    has_temperature = any(item.role == "temperature" for item in facts)
    clear = best.middle >= 40.0 and all(item.middle <= 36.0 for item in others)
    settled = clear and len(others) <= 1
    if not by_name or ((others or not has_temperature) and not settled):
        questions.append(_which("humidity_column", "the relative humidity", [best, *others], names))
    return best.index


def _temperature(
    facts: Sequence[_Facts],
    names: Sequence[str],
    choice: Choice,
    humidity: int,
    questions: list[Question],
) -> int | None:
    chosen = _chosen(choice.temperature_column, "temperature_column", names)
    if chosen is not None or _none(choice.temperature_column):
        return chosen
    room = _chosen(choice.room_column, "room_column", names)
    taken = (humidity, room)
    rest = [item for item in facts if item.index not in taken and _like_temperature(item)]
    named = [item for item in rest if item.role == "temperature"]
    inside = [item for item in named if not item.room] or named
    if inside:
        # Of several, the one that stands next to the humidity belongs to it.
        inside.sort(key=lambda item: (abs(item.index - humidity), item.index))
        if len(inside) > 1:
            questions.append(
                _which("temperature_column", "the temperature in the tank", inside, names)
            )
        return inside[0].index
    unnamed = [item for item in rest if item.role in ("", "time") and not _like_count(item)]
    unnamed.sort(key=lambda item: (abs(item.index - humidity), item.index))
    if not unnamed:
        return None
    if len(unnamed) > 1:
        questions.append(
            _which("temperature_column", "the temperature in the tank", unnamed, names, none=True)
        )
    return unnamed[0].index


def _which(
    field: str, what: str, items: Sequence[_Facts], names: Sequence[str], *, none: bool = False
) -> Question:
    shown = [
        f"{names[item.index]} ({min(item.values):g} to {max(item.values):g})" for item in items
    ]
    choices = tuple(names[item.index] for item in items) + (("none",) if none else ())
    return Question(
        field, f"Which column is {what}: {' or '.join(shown)}?", choices, names[items[0].index]
    )


def _order(
    layout: Layout,
    time: Sequence[int],
    names: Sequence[str],
    choice: Choice,
    questions: list[Question],
) -> Order:
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


def _fahrenheit(
    layout: Layout,
    facts: Sequence[_Facts],
    temperature: int | None,
    names: Sequence[str],
    choice: Choice,
    questions: list[Question],
) -> bool:
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


def _decimal_comma(layout: Layout, wanted: Sequence[int | None]) -> bool:
    cells = [cell for n in wanted if n is not None for cell in layout.cells(n)]
    return sum("," in cell for cell in cells) > sum("." in cell for cell in cells)
