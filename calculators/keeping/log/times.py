"""Dates and clocks as people write them, to seconds.

In: cells of text. Out: seconds since 1970-01-01 by the log's own clock. Parsing one date costs
far more than looking it up, and a log repeats its dates and clock times, so both are remembered.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from datetime import date
from functools import lru_cache
from itertools import pairwise
from statistics import median
from typing import Literal

from calculators.keeping.log.words import month
from calculators.quantities import DAY, HOUR

Order = Literal["day first", "month first", "year first"]
ORDERS: tuple[Order, ...] = ("day first", "month first", "year first")
_EPOCH = date(1970, 1, 1).toordinal()
REMEMBERED = 200_000

_NUMERIC = re.compile(r"(\d{1,4})\s?[-./年]\s?(\d{1,2})\s?[-./月]\s?(\d{1,4})[日.,]?")
_COMPACT = re.compile(r"((?:19|20)\d\d)(\d\d)(\d\d)")
_DAY_WORD = re.compile(
    r"(\d{1,2})[.\s\-/]*(?:de\s+)?([^\W\d_]{3,})[.,\s\-/]*(?:de\s+)?(\d{4}|\d\d)"
)
_WORD_DAY = re.compile(r"([^\W\d_]{3,})[.\s\-]*(\d{1,2})[.,\s\-]+(\d{4}|\d\d)")
_YEAR_WORD = re.compile(r"(\d{4})[.\s\-/]*([^\W\d_]{3,})[.\s\-/]*(\d{1,2})")
_WORDED = ((_DAY_WORD, (2, 1, 0)), (_WORD_DAY, (2, 0, 1)), (_YEAR_WORD, (0, 1, 2)))
_WEEKDAY = re.compile(r"[^\W\d_]+[.,]*\s+(?=.*\d.*\d)")
_CLOCK_TEXT = (
    r"(?:(?P<before>上午|下午|오전|오후)\s*)?(?P<h>\d{1,2})(?:[:.h]|\s?[时時]\s?)(?P<m>\d\d)"
    r"(?:(?:[:.m]|\s?分\s?)(?P<s>\d\d)(?:[.,](?P<f>\d+))?)?\s*[秒分]?s?"
    r"\s*(?P<half>[ap]\.?\s?m\.?)?\s*(?P<zone>Z|UTC|GMT|[+-]\d\d:?\d\d|[+-]\d\d)?"
)
_CLOCK = re.compile(_CLOCK_TEXT, re.IGNORECASE)
_HOUR_HALF = re.compile(r"(\d{1,2})\s*([ap])\.?\s?m\.?", re.IGNORECASE)
_COMPACT_CLOCK = re.compile(r"([01]\d|2[0-4])([0-5]\d)([0-5]\d)?")
_FOURTEEN = re.compile(r"(19|20)\d{10}(\d\d)?")
_COUNT = re.compile(r"\d{9,16}(\.\d+)?")
_BOTH = re.compile(rf"(?P<date>.*?\d.*?)[\sT,_]+(?P<clock>{_CLOCK_TEXT})", re.IGNORECASE)

# The layout, the columns and the order of dates are found by looking at the same few hundred cells.
_remembered = lru_cache(maxsize=8192)


def _days(year: int, month_number: int, day: int) -> float:
    if year < 100:
        year += 2000
    try:
        return DAY * (date(year, month_number, day).toordinal() - _EPOCH)
    except ValueError:
        return math.nan


def parse_date(text: str, order: Order) -> float:
    """Return the seconds at the start of the day written as ``text``, or nan.

    ``order`` settles dates in figures that do not start with a four-digit year.
    """
    cell = text.strip().strip("\"'").strip()
    match = _NUMERIC.fullmatch(cell)
    if match:
        first, second, third = match.groups()
        a, b, c = int(first), int(second), int(third)
        if len(first) > 2:
            return _days(a, b, c) if len(first) == 4 and len(third) < 3 else math.nan
        if len(third) == 3 or len(third) == 1:
            return math.nan
        if order == "year first" and len(third) == 2:
            return _days(a, b, c)
        return _days(c, a, b) if order == "month first" else _days(c, b, a)
    match = _COMPACT.fullmatch(cell)
    if match:
        return _days(*map(int, match.groups()))
    for pattern, places in _WORDED:
        match = pattern.fullmatch(cell)
        if match:
            parts = match.groups()
            number = month(parts[places[1]])
            if number:
                return _days(int(parts[places[0]]), number, int(parts[places[2]]))
    match = _WEEKDAY.match(cell)
    return parse_date(cell[match.end() :], order) if match else math.nan


def parse_clock(text: str) -> tuple[float, float | None]:
    """Return seconds after midnight and the offset from UTC [s] written, or (nan, None).

    Understands 24- and 12-hour clocks, 24:00, fractions of a second and zones.
    """
    cell = text.strip().strip("\"'").strip()
    if not cell:
        return 0.0, None
    match = _CLOCK.fullmatch(cell)
    if match:
        hour, minute, second = int(match["h"]), int(match["m"]), int(match["s"] or 0)
        fraction = float("0." + match["f"]) if match["f"] else 0.0
        half = {"上午": "a", "오전": "a", "下午": "p", "오후": "p"}.get(match["before"] or "", "")
        half = half or (match["half"] or "")[:1].lower()
        zone = _zone(match["zone"])
    elif match := _HOUR_HALF.fullmatch(cell):
        hour, minute, second, fraction = int(match[1]), 0, 0, 0.0
        half, zone = match[2].lower(), None
    elif match := _COMPACT_CLOCK.fullmatch(cell):
        hour, minute, second, fraction = int(match[1]), int(match[2]), int(match[3] or 0), 0.0
        half, zone = "", None
    else:
        return math.nan, None
    if (half and not 1 <= hour <= 12) or hour > 24 or minute > 59 or second > 60:
        return math.nan, None
    if half:
        hour = hour % 12 + (12 if half == "p" else 0)
    return HOUR * hour + 60.0 * minute + second + fraction, zone


def _zone(text: str | None) -> float | None:
    if not text:
        return None
    digits = re.sub(r"\D", "", text)
    if not digits:
        return 0.0
    seconds = HOUR * int(digits[:2]) + 60.0 * int(digits[2:] or 0)
    return -seconds if text[0] == "-" else seconds


@_remembered
def split_cell(text: str) -> tuple[str, str]:
    """Return the date and the clock of a cell that holds both; the clock may be empty."""
    cell = text.strip().strip("\"'").strip()
    if _FOURTEEN.fullmatch(cell):
        return cell[:8], cell[8:]
    match = _BOTH.fullmatch(cell)
    if match:
        return match["date"], match["clock"]
    head, _, tail = cell.rpartition(" ")
    if head and _HOUR_HALF.fullmatch(tail):
        return head, tail
    match = re.fullmatch(r"(\d{8})T(\d{4,6})Z?", cell)
    return (match[1], match[2]) if match else (cell, "")


class _Days(dict[str, float]):
    """Dates met so far."""

    def __init__(self, order: Order) -> None:
        super().__init__()
        self.order = order

    def __missing__(self, text: str) -> float:
        value = parse_date(text, self.order)
        if len(self) < REMEMBERED:
            self[text] = value
        return value


class _Heads(_Days):
    """Dates met so far, each with the sign that joins it to its clock as its last letter."""

    def __init__(self, order: Order, joint: str) -> None:
        super().__init__(order)
        self.joint = joint

    def __missing__(self, text: str) -> float:
        value = parse_date(text[:-1], self.order) if text.endswith(self.joint) else math.nan
        if len(self) < REMEMBERED:
            self[text] = value
        return value


class _Clocks(dict[str, float]):
    """Clock times met so far, as seconds of UTC where a zone is written; and the first zone."""

    def __init__(self) -> None:
        super().__init__()
        self.zones: set[float] = set()
        self.first_zone = 0.0

    def __missing__(self, text: str) -> float:
        value, zone = parse_clock(text)
        if zone is not None:
            if not self.zones:
                self.first_zone = zone
            self.zones.add(zone)
            value -= zone
        if len(self) < REMEMBERED:
            self[text] = value
        return value


class TimeReader:
    """Reads cells of one log to seconds; nan where a cell is no time."""

    def __init__(self, order: Order, sample: Sequence[str]) -> None:
        self._days = _Days(order)
        self._clocks = _Clocks()
        self._epoch = epoch_scale(sample)
        joints = [cell.strip() for cell in sample if cell.strip()]
        self._joint = "T" if sum("T" in cell[:11] for cell in joints) * 2 > len(joints) else " "
        self._heads = _Heads(order, self._joint)
        places = {cell.find(self._joint) + 1 for cell in joints}
        self._cut = places.pop() if len(places) == 1 else 0

    @property
    def zones(self) -> set[float]:
        """The offsets from UTC met so far [s]."""
        return self._clocks.zones

    def joined(self, cells: Sequence[str]) -> list[float]:
        """Return the times of cells that hold date and clock together (or a Unix time)."""
        if self._epoch:
            return [self._epoch_cell(cell) for cell in cells]
        days, heads, clocks, cut = self._days, self._heads, self._clocks, self._cut
        if cut:
            times = [heads[cell[:cut]] + clocks[cell[cut:]] for cell in cells]
        else:
            parts = [cell.partition(self._joint) for cell in cells]
            times = [days[head] + clocks[tail] for head, _, tail in parts]
        return self._finish(times, lambda row: self._slow(cells[row]))

    def apart(self, dates: Sequence[str], clocks: Sequence[str]) -> list[float]:
        """Return the times of a column of dates and one of clocks."""
        days, remembered = self._days, self._clocks
        times = [days[day] + remembered[clock] for day, clock in zip(dates, clocks, strict=True)]
        # A date column may carry a clock of its own, usually 00:00, beside the true one.
        return self._finish(
            times, lambda row: days[split_cell(dates[row])[0]] + remembered[clocks[row]]
        )

    def _finish(self, times: list[float], again: Callable[[int], float]) -> list[float]:
        if not math.isfinite(sum(times)):
            for row, value in enumerate(times):
                if value != value:
                    times[row] = again(row)
        zone = self._clocks.first_zone
        return [value + zone for value in times] if zone else times

    def _slow(self, cell: str) -> float:
        head, tail = split_cell(cell)
        return self._days[head] + self._clocks[tail]

    def _epoch_cell(self, cell: str) -> float:
        try:
            value = float(cell.strip().strip("\"'")) * self._epoch
        except ValueError:
            return math.nan
        return value if 6e8 < value < 4e9 else math.nan


def epoch_scale(sample: Sequence[str]) -> float:
    """Return the seconds in one count of a plain Unix time, or 0 when cells are none."""
    values = []
    for cell in sample:
        text = cell.strip().strip("\"'")
        if _COUNT.fullmatch(text) and not _FOURTEEN.fullmatch(text):
            values.append(float(text))
    if len(values) < 0.7 * max(1, sum(1 for cell in sample if cell.strip())):
        return 0.0
    middle = median(values)
    for scale in (1.0, 1e-3, 1e-6):
        if 6e8 < middle * scale < 4e9:
            return scale
    return 0.0


@_remembered
def is_time(cell: str) -> bool:
    """Return True when ``cell`` holds a date, alone or with a clock."""
    head, tail = split_cell(cell)
    return any(parse_date(head, order) == parse_date(head, order) for order in ORDERS) and (
        not tail or parse_clock(tail)[0] == parse_clock(tail)[0]
    )


@_remembered
def is_clock(cell: str) -> bool:
    """Return True when ``cell`` holds a clock time alone."""
    text = cell.strip().strip("\"'")
    has_mark = ":" in text or bool(_HOUR_HALF.fullmatch(text)) or bool(re.search("[时時]", text))
    return has_mark and parse_clock(text)[0] == parse_clock(text)[0]


def find_order(cells: Sequence[str], header: str = "") -> tuple[Order, bool]:
    """Return the order of day, month and year in ``cells`` of a log, and whether it is sure.

    Three kinds of evidence, strongest first: a number that cannot be a month; the header's own
    pattern (MM/DD/YYYY); dates that follow each other in one order and leap in the other.
    """
    dates = list(dict.fromkeys(split_cell(cell)[0] for cell in cells if is_time(cell)))
    read = {order: [parse_date(text, order) for text in dates] for order in ORDERS}
    if not dates or read["day first"] == read["month first"] == read["year first"]:
        return "year first", True
    bad = {order: sum(day != day for day in days) for order, days in read.items()}
    fewest = min(bad.values())
    able = [order for order in ORDERS if bad[order] <= fewest + 0.02 * len(dates)]
    if all(read[order] == read[able[0]] for order in able):
        return able[0], True
    named = re.search(r"\b(dd?)[-/. ]mm?\b|\b(mm?)[-/. ]dd?\b|\b(yy)[-/. ]mm?\b", header.lower())
    if named:
        order = ORDERS[next(i for i, found in enumerate(named.groups()) if found)]
        if order in able:
            return order, True
    leap = {order: _leap(read[order]) for order in able}
    able.sort(key=lambda order: (leap[order], ORDERS.index(order)))
    best = able[0]
    rivals = [order for order in able[1:] if read[order] != read[best]]
    if len(dates) > 1 and all(leap[order] > 5 * leap[best] + 10 * DAY for order in rivals):
        return best, True
    twelve = any(re.search(r"\d\s*[ap]\.?m", cell, re.IGNORECASE) for cell in cells)
    guess: Order = "month first" if twelve and "." not in dates[0] else "day first"
    return (guess if guess in able else best), False


def _leap(days: Sequence[float]) -> float:
    known = [day for day in days if day == day]
    return max((abs(b - a) for a, b in pairwise(known)), default=0.0)
