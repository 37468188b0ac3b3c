"""Which column is what: a proposal from names and content, questions where they do not settle it.

In: a ``Layout`` and what the reader already answered. Out: ``Columns`` ready to read with, and
the ``Question``s that a page or a terminal puts; each holds the answer assumed meanwhile.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from calculators.errors import NoAnswer
from calculators.keeping.log import words
from calculators.keeping.log.choice import FOUND, Choice, Columns, Facts, Question
from calculators.keeping.log.marks import in_fahrenheit, settle_order
from calculators.keeping.log.table import Layout, is_missing, number
from calculators.keeping.log.times import epoch_scale, is_clock, is_time, split_cell


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
    order = settle_order(layout, time, names, choice, questions)
    columns = Columns(
        time=time,
        humidity=humidity,
        temperature=temperature,
        room=room,
        order=order,
        fahrenheit=in_fahrenheit(layout, facts, temperature, names, choice, questions),
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
        f"Type a name or a number from 1 to {len(names)}.",
        field,
    )


def _share(test: object, cells: Sequence[str]) -> float:
    filled = [cell for cell in cells if not is_missing(cell)]
    return sum(map(test, filled)) / len(filled) if filled else 0.0  # type: ignore[call-overload]


def _time(layout: Layout, names: Sequence[str], choice: Choice) -> tuple[int, ...]:
    shares = [_share(is_time, layout.cells(n)[:80]) for n in range(layout.width)]
    clocks = [_share(is_clock, layout.cells(n)[:80]) for n in range(layout.width)]
    chosen = _chosen(choice.time_column, "time_column", names)
    if chosen is None:
        able = [n for n, share in enumerate(shares) if share > min(0.6, 0.9 * max(shares))]
        able = [n for n in able if shares[n] > 0.25]
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


def _figures(layout: Layout, time: Sequence[int]) -> list[Facts]:
    facts = []
    for n in range(layout.width):
        if n in time:
            continue
        cells = layout.cells(n)
        filled = [cell for cell in cells if not is_missing(cell)]
        values = [value for cell in filled if (value := number(cell)) is not None]
        if len(values) >= 0.6 * len(filled) and values:
            header = layout.header[n]
            facts.append(Facts(n, words.role(header), words.is_room(header), values))
    return facts


def _like_humidity(item: Facts) -> bool:
    good = sum(0.0 <= value <= 105.0 for value in item.values)
    return good >= 0.8 * len(item.values)


def _like_temperature(item: Facts) -> bool:
    return -40.0 <= item.middle <= 140.0 and len(set(item.values)) > 0


def _like_count(item: Facts) -> bool:
    """Return True for running numbers and for columns that never change."""
    values = item.values
    if len(set(values)) == 1 and len(values) > 3:
        return True
    rising = all(a < b for a, b in pairwise(values))
    return rising and all(value == int(value) for value in values) and len(values) > 3


def _humidity(
    facts: Sequence[Facts], names: Sequence[str], choice: Choice, questions: list[Question]
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
    facts: Sequence[Facts],
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
    field: str, what: str, items: Sequence[Facts], names: Sequence[str], *, none: bool = False
) -> Question:
    shown = [
        f"{names[item.index]} ({min(item.values):g} to {max(item.values):g})" for item in items
    ]
    choices = tuple(names[item.index] for item in items) + (("none",) if none else ())
    return Question(
        field, f"Which column is {what}: {' or '.join(shown)}?", choices, names[items[0].index]
    )
