"""Text to rows: where the table starts, what parts its cells, what its columns are called.

In: the text of a file. Out: a ``Layout``, and rows of cells by line number. Every line is split
on its own, so that one stray quote cannot swallow the lines after it.
"""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from calculators.errors import NoAnswer
from calculators.keeping.log.times import epoch_scale, is_clock, is_time

Row = list[str]
_DELIMITERS = (",", ";", "\t", "|", " ")
_FIRST, _SPREAD = 80, 400
_CHUNK = 1 << 18
_NUMBER = re.compile(
    r"[\s\"']*([-+−]?\d+(?:[.,]\d*)?(?:[eE][-+]?\d+)?|[-+−]?[.,]\d+)"
    r"\s*(?:[°º℃℉%][^\d]{0,4}|[CFcf]|%?\s?[rR][hHfF])?[\s\"']*"
)
MISSING = frozenset(
    (
        *("", "-", "--", "---", "----", "–", "—", ".", "..", "*", "?", "x", "na", "n/a", "nan"),
        *("null", "none", "nil", "error", "err", "fault", "ol", "lo", "hi", "inf", "-inf"),
    )
)


@dataclass(frozen=True, slots=True)
class Layout:
    """How a file is laid out; line numbers count from 1."""

    delimiter: str
    width: int
    header: tuple[str, ...]
    has_header: bool
    first_line: int
    first_offset: int
    sample: tuple[Row, ...]

    def cells(self, column: int) -> list[str]:
        """Return the sampled cells of one column."""
        return [row[column] for row in self.sample]


@dataclass(frozen=True, slots=True)
class Block:
    """Some lines of a table: their numbers, their cells by column, the offset reached in the text.

    ``short`` are the lines that lack columns: their numbers and how many they have.
    """

    lines: Sequence[int]
    columns: list[list[str]]
    reached: int
    short: Sequence[tuple[int, int]] = ()


def number(cell: str) -> float | None:
    """Return the number in ``cell``, with a decimal point or comma and perhaps a unit."""
    match = _NUMBER.fullmatch(cell)
    return float(match[1].replace(",", ".").replace("−", "-")) if match else None


def is_missing(cell: str) -> bool:
    """Return True when ``cell`` says that there is no reading."""
    return cell.strip().strip("\"'").strip().lower() in MISSING


def split(lines: Sequence[str], delimiter: str, quoted: bool) -> list[Row]:
    """Return the cells of each line, one row a line."""
    if delimiter == " ":
        return [line.split() for line in lines]
    if not quoted:
        return [line.split(delimiter) for line in lines]
    try:
        rows = list(csv.reader(lines, delimiter=delimiter, skipinitialspace=True))
        if len(rows) == len(lines):
            return rows
    except csv.Error:
        pass
    return [_one(line, delimiter) for line in lines]


def _one(line: str, delimiter: str) -> Row:
    if line.count('"') % 2:
        # A quote without its partner: take the line as if it had none.
        return line.replace('"', "").split(delimiter)
    try:
        return next(csv.reader([line], delimiter=delimiter, skipinitialspace=True), [])
    except csv.Error:
        return line.split(delimiter)


def blocks(text: str, layout: Layout, needed: int) -> Iterator[Block]:
    """Yield the table a few thousand lines at a time, cut into columns.

    A line that lacks columns is kept when it has the first ``needed`` ones.
    """
    start, line, end = layout.first_offset, layout.first_line, len(text)
    while end > start and text[end - 1] == "\n":
        end -= 1
    quoted = '"' in text
    while start < end:
        cut = text.find("\n", start + _CHUNK, end)
        cut = end if cut < 0 else cut
        part = text[start:cut]
        lines = part.count("\n") + 1
        columns = _columns(part, layout, lines, quoted and '"' in part)
        if columns is None:
            yield _uneven(part, layout, needed, line, cut, quoted and '"' in part)
        else:
            yield Block(range(line, line + lines), columns, cut)
        line += lines
        start = cut + 1


def _columns(part: str, layout: Layout, lines: int, quoted: bool) -> list[list[str]] | None:
    """Return the columns of ``part``, or None when its lines are not all of one width.

    One split for all lines together, with a mark after each line: a list for each line would
    cost six times as much in the browser. The marks show whether every line is whole.
    """
    delimiter, width = layout.delimiter, layout.width
    if quoted or delimiter == " ":
        return None
    cells = part.replace("\n", f"{delimiter}\n{delimiter}").split(delimiter)
    step = width + 1
    if len(cells) != lines * step - 1 or cells[width::step].count("\n") != lines - 1:
        return None
    return [cells[place::step] for place in range(width)]


def _uneven(part: str, layout: Layout, needed: int, line: int, reached: int, quoted: bool) -> Block:
    """Return a block whose lines differ in width or hold quotes; lines too short stand apart."""
    rows = split(part.split("\n"), layout.delimiter, quoted)
    whole = [place for place, row in enumerate(rows) if len(row) >= needed]
    short = [
        (line + place, len(row))
        for place, row in enumerate(rows)
        if len(row) < needed and any(cell.strip() for cell in row)
    ]
    columns = [
        [row[column] if column < len(row) else "" for row in map(rows.__getitem__, whole)]
        for column in range(layout.width)
    ]
    return Block([line + place for place in whole], columns, reached, short)


def find_layout(text: str) -> Layout:
    """Return the layout of ``text``; NoAnswer with one sentence when it holds no log."""
    _refuse_other_kinds(text)
    first = _first_lines(text)
    spread = _spread_lines(text)
    best: tuple[float, str, int] | None = None
    for delimiter in _DELIMITERS:
        width, score = _score(spread, delimiter)
        if score > 0 and (best is None or score > best[0] + 1e-9):
            best = (score, delimiter, width)
    if best is None:
        raise NoAnswer(
            "This text is no log that can be read: no line of it has a date and a number side by "
            "side. Give the table that the logger exports, with a time and a relative humidity "
            "on each line."
        )
    return _layout(text, first, spread, best[1], best[2])


def _refuse_other_kinds(text: str) -> None:
    start = text[:2000].lstrip().lower()
    if not start:
        raise NoAnswer("The log is empty. Give the table that the logger exports, as CSV.")
    kinds = (("<", "a web page or XML"), ("{", "JSON"), ("[{", "JSON"), ("%pdf", "a PDF"))
    for mark, kind in kinds:
        if start.startswith(mark):
            raise NoAnswer(
                f"This text is {kind}, not a table. Export the log as CSV and give that file."
            )
    if text[:2000].count("\0") > 20:
        raise NoAnswer(
            "This file holds no text. Export the log from its program as CSV and give that file."
        )


def _first_lines(text: str) -> list[str]:
    cut = 0
    for _ in range(_FIRST):
        cut = text.find("\n", cut) + 1
        if not cut:
            return text.split("\n")
    return text[: cut - 1].split("\n")


def _spread_lines(text: str) -> list[str]:
    """Return lines spread evenly over the text, so that every season of a log is seen."""
    if len(text) < 60_000:
        lines = [line for line in text.split("\n") if line.strip()]
        step = max(1, len(lines) // _SPREAD)
        return lines[::step]
    lines = []
    for part in range(_SPREAD):
        start = text.find("\n", len(text) * part // _SPREAD) + 1
        end = text.find("\n", start)
        if start and end - start < 10_000:
            line = text[start : end if end > 0 else None]
            if line.strip():
                lines.append(line)
    return lines


def _score(lines: Sequence[str], delimiter: str) -> tuple[int, float]:
    """Return the usual width of the lines under ``delimiter``, and how much looks like a log."""
    rows = split(lines, delimiter, any('"' in line for line in lines))
    width = _usual(rows)
    whole = [row for row in rows if len(row) == width]
    if width < 2 or (len(whole) < 2 < len(lines)):
        return 0, 0.0
    columns = list(zip(*whole, strict=True))
    times = any(_often(is_time, column) or epoch_scale(column) for column in columns)
    numbers = sum(_numeric(column) for column in columns)
    if not times or not numbers:
        return width, 0.0
    return width, 1.0 + len(whole) / len(rows) + 0.01 * min(numbers, 3)


def _usual(rows: Sequence[Row]) -> int:
    counts = Counter(len(row) for row in rows if len(row) > 1)
    return counts.most_common(1)[0][0] if counts else 0


def _often(test: object, cells: Sequence[str]) -> bool:
    """Return True when a third of the filled cells pass: the rest of a short file may be hurt."""
    filled = [cell for cell in cells if cell.strip()][:60]
    return bool(filled) and sum(map(test, filled)) >= len(filled) / 3  # type: ignore[call-overload]


def _numeric(cells: Sequence[str]) -> bool:
    filled = [cell for cell in cells if not is_missing(cell)]
    return bool(filled) and sum(number(cell) is not None for cell in filled) >= 0.5 * len(filled)


def is_time_row(row: Row) -> bool:
    """Return True when some cell of ``row`` is a date or a Unix time."""
    return any(is_time(cell) or epoch_scale([cell]) for cell in row)


def _layout(
    text: str, first: Sequence[str], spread: Sequence[str], delimiter: str, width: int
) -> Layout:
    rows = split(first, delimiter, any('"' in line for line in first))
    start = next(
        (
            place
            for place, row in enumerate(rows)
            if len(row) == width and is_time_row(row) and any(map(_NUMBER.fullmatch, row))
        ),
        None,
    )
    if start is None:
        start = next((place for place, row in enumerate(rows) if len(row) >= width), 0)
    above = rows[:start]
    if delimiter == " ":
        # Names of several words do not line up with columns parted by spaces.
        above = [row for row in above if len(row) == width]
    header, has_header = _header(above, width)
    sample = [
        row
        for row in split(spread, delimiter, any('"' in line for line in spread))
        if len(row) == width and (is_time_row(row) or _has_clock(row))
    ]
    named = max((n for n, name in enumerate(header, start=1) if name), default=0)
    if has_header and delimiter == "," and named < width - 1:
        _refuse_double_commas(sample, named, width)
    if any(cell.strip() for row in sample for cell in row[named:]):
        # Fewer names than columns: nobody can tell which name is whose, so content decides.
        header = ("",) * width
    return Layout(
        delimiter=delimiter,
        width=width,
        header=header,
        has_header=has_header,
        first_line=start + 1,
        first_offset=sum(len(line) + 1 for line in first[:start]),
        sample=tuple(sample),
    )


def _has_clock(row: Row) -> bool:
    return any(is_clock(cell) for cell in row)


def _header(above: Sequence[Row], width: int) -> tuple[tuple[str, ...], bool]:
    """Return the columns' names from the lines above the data; a line of units joins them."""
    names = [""] * width
    found = 0
    for row in reversed(above):
        filled = sum(bool(cell.strip()) for cell in row)
        if filled < 2 or len(row) < min(width, 2) or (found and len(row) != width) or found == 2:
            break
        if sum(number(cell) is not None for cell in row) > 0.5 * filled:
            break
        cells = [cell.strip().strip('"') for cell in row[:width]]
        cells += [""] * (width - len(cells))
        names = [f"{cell} {name}".strip() for cell, name in zip(cells, names, strict=True)]
        found += 1
    return tuple(names), found > 0


def _refuse_double_commas(sample: Sequence[Row], head_width: int, width: int) -> None:
    extra = width - head_width
    whole = all(re.fullmatch(r"\s*-?\d+\s*", cell) for row in sample for cell in row[-2 * extra :])
    if whole and head_width - extra >= 1:
        raise NoAnswer(
            "In this file a comma parts the columns and also stands inside the numbers, so "
            "nobody can tell them apart. Export the log again with semicolons between columns."
        )
