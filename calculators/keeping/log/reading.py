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
from itertools import compress
from operator import not_

from calculators.errors import NoAnswer
from calculators.keeping.log.choice import Choice, Columns, Question
from calculators.keeping.log.columns import propose
from calculators.keeping.log.table import Block, Layout, blocks, find_layout, is_missing, number
from calculators.keeping.log.times import REMEMBERED, TimeReader

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

    A reading that is missing is nan. ``lines`` are line numbers in the file: a range while every
    line was read, for a range of a million costs nothing.
    """

    time: array[float]
    humidity: array[float]
    temperature: array[float]
    room: array[float]
    lines: Sequence[int]
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
        array("d"), array("d"), array("d"), array("d"), range(0),
        columns, layout, questions, Findings(),
    )  # fmt: skip
    reader = _Reader(log)
    wanted = [*columns.time, columns.humidity, columns.temperature, columns.room]
    needed = 1 + max(column for column in wanted if column is not None)
    total = max(1, len(text))
    for block in blocks(text, layout, needed):
        reader.add(block)
        progress(block.reached / total)
    log.zones = frozenset(reader.times.zones)
    if len(log.time) < 2:
        raise NoAnswer(
            f"Only {len(log.time)} line of this text could be read as a reading, and a log needs "
            "at least two. Give the table that the logger exports, as CSV."
        )
    return log


class _Numbers(dict[str, float]):
    """Cells met so far as numbers inside the calculators; nan where a cell is none.

    A gauge has few different readings, so that looking one up costs less than reading it.
    """

    def __init__(self, take: float, part: float) -> None:
        """A cell's number less ``take``, divided by ``part``, is the value inside."""
        super().__init__()
        self._take, self._part = take, part

    def __missing__(self, cell: str) -> float:
        try:
            # Ten times as fast as a pattern; but 1_0 is ten to Python and a slip in a log.
            value = float(cell) if "_" not in cell else None
        except ValueError:
            value = number(cell)
        inside = NAN
        if value is not None and math.isfinite(value):
            inside = (value - self._take) / self._part
        if len(self) < REMEMBERED:
            self[cell] = inside
        return inside


class _Reader:
    """Adds blocks of lines to a log."""

    def __init__(self, log: Log) -> None:
        columns = log.columns
        self.times = TimeReader(columns.order, log.layout.cells(columns.time[0]))
        self._log = log
        self._humidity = _Numbers(0.0, columns.humidity_whole)
        self._temperature = _Numbers(32.0, 1.8) if columns.fahrenheit else _Numbers(0.0, 1.0)

    def add(self, block: Block) -> None:
        """Add the readings of ``block``; name what could not be read."""
        log, columns = self._log, self._log.columns
        for line, cells in block.short:
            log.findings.add(
                "unreadable line",
                line,
                f"{cells} of {log.layout.width} columns",
                "line left out",
            )
        if not block.lines:
            return
        seconds = self._seconds(block)
        if not math.isfinite(sum(seconds)):
            block, seconds = self._timed(block, seconds)
        log.time.extend(array("d", seconds))
        self._number(block.lines)
        self._take(block, columns.humidity, self._humidity, log.humidity)
        for column, target in ((columns.temperature, log.temperature), (columns.room, log.room)):
            if column is not None:
                self._take(block, column, self._temperature, target)

    def _seconds(self, block: Block) -> list[float]:
        day, *clock = self._log.columns.time
        if not clock:
            return self.times.joined(block.columns[day])
        joined = block.columns[clock[0]]
        if len(clock) > 1:
            halves = block.columns[clock[1]]
            joined = [f"{text} {half}" for text, half in zip(joined, halves, strict=True)]
        return self.times.apart(block.columns[day], joined)

    def _timed(self, block: Block, seconds: Sequence[float]) -> tuple[Block, list[float]]:
        """Return the lines whose time could be read; name the others."""
        first = self._log.columns.time[0]
        good = [value == value for value in seconds]
        for place in compress(range(len(good)), map(not_, good)):
            if any(column[place].strip() for column in block.columns):
                cell = block.columns[first][place].strip()[:40]
                self._log.findings.add(
                    "unreadable line",
                    block.lines[place],
                    f"“{cell}” is no time",
                    "line left out",
                )
        kept = [list(compress(column, good)) for column in block.columns]
        return (
            Block(list(compress(block.lines, good)), kept, block.reached),
            list(compress(seconds, good)),
        )

    def _number(self, lines: Sequence[int]) -> None:
        log, so_far = self._log, self._log.lines
        if isinstance(lines, range) and isinstance(so_far, range):
            if not so_far:
                log.lines = lines
                return
            if so_far.stop == lines.start:
                log.lines = range(so_far.start, lines.stop)
                return
        if not isinstance(so_far, array):
            so_far = log.lines = array("L", so_far)
        so_far.extend(array("L", lines))

    def _take(self, block: Block, place: int, known: _Numbers, target: array[float]) -> None:
        """Add one column as numbers; nan and a finding where a cell is none."""
        log, cells = self._log, block.columns[place]
        values = [known[cell] for cell in cells]
        target.extend(array("d", values))
        if math.isfinite(sum(values)):
            return
        name = log.columns.names[place]
        for line, cell, value in zip(block.lines, cells, values, strict=True):
            if value == value:
                continue
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
