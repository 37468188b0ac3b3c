"""Rows to numbers: the one pass over the whole text.

In: text and what the reader chose. Out: a ``Log`` of plain arrays in the file's order, and every
line that could not be read, by its number. Works a few thousand lines at a time, so that a
million lines need little memory and the page hears how far it is.
"""

from __future__ import annotations

import math
from array import array
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from calculators.errors import NoAnswer
from calculators.keeping.log.choice import Choice, Columns, Question
from calculators.keeping.log.columns import propose
from calculators.keeping.log.table import Layout, Row, chunks, find_layout, is_missing, number
from calculators.keeping.log.times import TimeReader

Progress = Callable[[float], None]
NAN = math.nan
FINDINGS_KEPT = 50


def no_progress(share: float) -> None:
    """Say nothing."""


def when(seconds: float) -> str:
    """Return a time as text: ``2026-02-03 14:05``."""
    try:
        moment = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(seconds=seconds)
    except OverflowError:
        return "?"
    return f"{moment:%Y-%m-%d %H:%M}"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing found in the log: its line, what it is, and what was done about it."""

    line: int
    what: str
    done: str


@dataclass(slots=True)
class Findings:
    """Everything found: the first ones by line, and how often each kind came up."""

    totals: Counter[str] = field(default_factory=Counter)
    first: list[Finding] = field(default_factory=list)

    def add(self, kind: str, line: int, what: str, done: str, count: int = 1) -> None:
        """Count a finding of ``kind`` and keep its words when it is among the first ones."""
        self.totals[kind] += count
        if self.totals[kind] <= FINDINGS_KEPT:
            self.first.append(Finding(line, what, done))


@dataclass(slots=True)
class Log:
    """A log's columns as arrays: time [s], temperature and room [°C], humidity as a fraction.

    A reading that is missing is nan. ``lines`` are line numbers in the file.
    """

    time: array[float]
    humidity: array[float]
    temperature: array[float]
    room: array[float]
    lines: array[int]
    columns: Columns
    layout: Layout
    questions: tuple[Question, ...]
    findings: Findings
    zones: frozenset[float] = frozenset()


def read_log(text: str, choice: Choice, progress: Progress = no_progress) -> Log:
    """Return the log in ``text``; NoAnswer with one sentence when there is none."""
    if "\r" in text:
        text = text.replace("\r\n", "\n").replace("\r", "\n")
    text = text.removeprefix("\ufeff")
    layout = find_layout(text)
    columns, questions = propose(layout, choice)
    log = Log(
        array("d"), array("d"), array("d"), array("d"), array("L"),
        columns, layout, questions, Findings(),
    )  # fmt: skip
    times = TimeReader(columns.order, layout.cells(columns.time[0]))
    total = max(1, len(text))
    for line, reached, rows in chunks(text, layout):
        _add(log, times, line, rows)
        progress(reached / total)
    log.zones = frozenset(times.zones)
    if len(log.time) < 2:
        raise NoAnswer(
            f"Only {len(log.time)} line of this text could be read as a reading, and a log needs "
            "at least two. Give the table that the logger exports, as CSV."
        )
    return log


def _add(log: Log, times: TimeReader, line: int, rows: list[Row]) -> None:
    columns, width = log.columns, log.layout.width
    numbers: Sequence[int] = range(line, line + len(rows))
    wanted = [c for c in (*columns.time, columns.humidity, columns.temperature, columns.room)
              if c is not None]  # fmt: skip
    if set(map(len, rows)) != {width}:
        rows, numbers = _usable(log, rows, line, max(wanted) + 1)
        if not rows:
            return
    if len(columns.time) == 1:
        place = columns.time[0]
        seconds = times.joined([row[place] for row in rows])
    else:
        day, *clock = columns.time
        joined = [row[clock[0]] for row in rows]
        if len(clock) > 1:
            joined = [f"{row[clock[0]]} {row[clock[1]]}" for row in rows]
        seconds = times.apart([row[day] for row in rows], joined)
    if not math.isfinite(sum(seconds)):
        rows, numbers, seconds = _timed(log, rows, numbers, seconds)
    log.time.extend(seconds)
    log.lines.extend(numbers)
    whole = columns.humidity_whole
    humidity = _column(log, rows, numbers, columns.humidity)
    log.humidity.extend([value / whole for value in humidity])
    for column, target in ((columns.temperature, log.temperature), (columns.room, log.room)):
        if column is None:
            continue
        values = _column(log, rows, numbers, column)
        target.extend([(value - 32.0) / 1.8 for value in values] if columns.fahrenheit else values)


def _usable(
    log: Log, rows: Sequence[Row], line: int, needed: int
) -> tuple[list[Row], Sequence[int]]:
    """Return the rows that have every needed column; name the others."""
    kept: list[Row] = []
    numbers: list[int] = []
    for place, row in enumerate(rows, start=line):
        if len(row) >= needed:
            kept.append(row)
            numbers.append(place)
        elif any(cell.strip() for cell in row):
            log.findings.add(
                "unreadable line",
                place,
                f"{len(row)} of {log.layout.width} columns",
                "line left out",
            )
    return kept, numbers


def _timed(
    log: Log, rows: Sequence[Row], numbers: Sequence[int], seconds: Sequence[float]
) -> tuple[list[Row], list[int], list[float]]:
    """Return the rows whose time could be read; name the others."""
    kept = [place for place, value in enumerate(seconds) if value == value]
    first = log.columns.time[0]
    for place, value in enumerate(seconds):
        if value != value:
            cell = rows[place][first].strip()[:40]
            blank = not any(cell.strip() for cell in rows[place])
            if not blank:
                log.findings.add(
                    "unreadable line", numbers[place], f"“{cell}” is no time", "line left out"
                )
    return (
        [rows[place] for place in kept],
        [numbers[place] for place in kept],
        [seconds[place] for place in kept],
    )


def _column(log: Log, rows: Sequence[Row], numbers: Sequence[int], place: int) -> list[float]:
    """Return one column as numbers; nan and a finding where a cell is none."""
    cells = [row[place] for row in rows]
    try:
        if log.columns.decimal_comma:
            values = [float(cell.replace(",", ".")) for cell in cells]
        else:
            values = list(map(float, cells))
        if math.isfinite(sum(values)):
            return values
    except ValueError:
        pass
    values = []
    for line, cell in zip(numbers, cells, strict=True):
        value = number(cell)
        if value is None or not math.isfinite(value):
            value = NAN
            name = log.columns.names[place]
            if is_missing(cell):
                log.findings.add(
                    "empty reading", line, f"no reading in “{name}”", "this reading left empty"
                )
            else:
                log.findings.add(
                    "unreadable number",
                    line,
                    f"“{cell.strip()[:40]}” in “{name}” is no number",
                    "this reading left empty",
                )
        values.append(value)
    return values
