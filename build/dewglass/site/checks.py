"""Published checks: rows of published tables held against our own numbers.

In: ``tests/tables/*.toml``, one published table each, and the functions they name. Out: one
``Check`` per row, with what was printed, what we compute and how far apart the two may be.

A table file holds ``title``, ``source``, ``how_known``, ``calculators`` (the catalogue names that
rest on this function), ``function`` ("package.module:name"), ``unit``, ``tolerance`` and the rows::

    [[row]]
    arguments = { temperature = 25.0 }
    expected = "3169.7"

``expected`` is text, so that its printed digits are known; "2441.68e3" states thousands. Where the
function returns more than a number, ``index`` or ``attribute`` says which part is meant.
``tolerance`` is "printed" (half the last printed digit), ``{ absolute = … }`` in ``unit`` or
``{ relative = … }``; the latter two say why in ``tolerance_why``.
"""

from __future__ import annotations

import importlib
import math
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any

REQUIRED: dict[str, type | tuple[type, ...]] = {
    "title": str,
    "source": str,
    "how_known": str,
    "calculators": list,
    "function": str,
    "unit": str,
    "tolerance": (str, dict),
    "row": list,
}
OPTIONAL: dict[str, type | tuple[type, ...]] = {
    "tolerance_why": str,
    "index": int,
    "attribute": str,
}
# Only so that a value exactly on the limit is not refused for the last bit of its binary form.
ROUNDING = 1e-12


class TableError(ValueError):
    """A table file cannot be used: names the file, the key and what to write instead."""


@dataclass(frozen=True, slots=True)
class Row:
    """One printed value: the arguments it was printed for, and its digits as text."""

    arguments: Mapping[str, Any]
    expected: str


@dataclass(frozen=True, slots=True)
class Table:
    """One published table and the function of ours that it checks."""

    file: str
    title: str
    source: str
    how_known: str
    calculators: tuple[str, ...]
    function: str
    unit: str
    tolerance: str | Mapping[str, float]
    rows: tuple[Row, ...]
    tolerance_why: str = ""
    index: int | None = None
    attribute: str = ""

    def allowed(self, expected: str) -> float:
        """Return how far from the printed ``expected`` our value may be, in ``unit``."""
        if isinstance(self.tolerance, str):
            exponent = Decimal(expected).as_tuple().exponent
            assert isinstance(exponent, int)  # read_table lets no infinity or NaN through
            return float(Decimal(5).scaleb(exponent - 1))
        if "absolute" in self.tolerance:
            return self.tolerance["absolute"]
        return self.tolerance["relative"] * abs(float(expected))


@dataclass(frozen=True, slots=True)
class Check:
    """A row and what became of it; ``computed`` is NaN and ``error`` says why if it failed."""

    table: Table
    row: Row
    computed: float
    deviation: float
    allowed: float
    ok: bool
    error: str = ""

    def sentence(self) -> str:
        """Say in one line what was checked and how it came out."""
        given = ", ".join(f"{name} = {value}" for name, value in self.row.arguments.items())
        head = f"{self.table.title} ({self.table.file}): {self.table.function}({given})"
        if self.error:
            return f"{head} failed: {self.error}"
        return (
            f"{head} gives {self.computed:.9g} {self.table.unit}; {self.table.source} prints "
            f"{self.row.expected}; off by {self.deviation:.3g}, allowed {self.allowed:.3g}"
        )


def read_tables(folder: Path) -> tuple[Table, ...]:
    """Return every table in ``folder``, in the order of file names. Raises TableError."""
    return tuple(read_table(path) for path in sorted(folder.glob("*.toml")))


def read_table(path: Path) -> Table:
    """Return the table in ``path``. Raises TableError naming the file and the key."""
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
    except tomllib.TOMLDecodeError as error:
        raise TableError(f"{path.name}: not valid TOML: {error}") from error
    known = {**REQUIRED, **OPTIONAL}
    for key in data:
        if key not in known:
            raise TableError(f"{path.name}: “{key}” is not known. Use: {', '.join(known)}.")
    for key, kind in known.items():
        if key in data:
            _need(
                isinstance(data[key], kind) and (data[key] not in ("", []) or key == "unit"),
                path,
                key,
                kind,
            )
        elif key in REQUIRED:
            raise TableError(f"{path.name}: “{key}” is missing.")
    if not all(isinstance(name, str) for name in data["calculators"]):
        raise TableError(f"{path.name}: “calculators” must list names in quotes.")
    if data["function"].count(":") != 1:
        raise TableError(f"{path.name}: “function” must read package.module:name.")
    _check_tolerance(path, data)
    rows = tuple(_row(path, number, row) for number, row in enumerate(data.pop("row"), 1))
    calculators = tuple(data.pop("calculators"))
    return Table(file=path.name, rows=rows, calculators=calculators, **data)


def _need(holds: bool, path: Path, key: str, kind: type | tuple[type, ...]) -> None:
    words = {str: "text", int: "a whole number", list: "a list", dict: "a table"}
    if not holds:
        kinds = kind if isinstance(kind, tuple) else (kind,)
        raise TableError(
            f"{path.name}: “{key}” must be {' or '.join(words[k] for k in kinds)}, and not empty."
        )


def _check_tolerance(path: Path, data: Mapping[str, Any]) -> None:
    tolerance = data["tolerance"]
    if tolerance == "printed":
        return
    if not (
        isinstance(tolerance, dict)
        and set(tolerance) in ({"absolute"}, {"relative"})
        and all(isinstance(limit, int | float) and limit > 0 for limit in tolerance.values())
    ):
        raise TableError(
            f'{path.name}: “tolerance” must be "printed", {{ absolute = … }} or '
            "{ relative = … } with a number above zero."
        )
    if not data.get("tolerance_why"):
        raise TableError(
            f"{path.name}: “tolerance_why” is missing: say why half the last printed "
            "digit is not the limit."
        )


def _row(path: Path, number: int, row: object) -> Row:
    if not (isinstance(row, dict) and set(row) == {"arguments", "expected"}):
        raise TableError(f"{path.name}: row {number} must hold “arguments” and “expected” only.")
    arguments, expected = row["arguments"], row["expected"]
    if not isinstance(arguments, dict):
        raise TableError(f"{path.name}: row {number}: “arguments” must be a table of values.")
    try:
        printed = Decimal(expected) if isinstance(expected, str) else None
    except InvalidOperation:
        printed = None
    if printed is None or not printed.is_finite():
        raise TableError(
            f"{path.name}: row {number}: “expected” must be the printed number in quotes, "
            f'such as "3169.7"; it is {expected!r}.'
        )
    return Row(arguments, str(expected))


def find_function(table: Table) -> Callable[..., Any]:
    """Return the function that ``table`` names. Raises TableError."""
    module, name = table.function.split(":")
    try:
        function = getattr(importlib.import_module(module), name)
    except (ImportError, AttributeError) as error:
        raise TableError(
            f"{table.file}: “function” names {table.function}, not found: {error}"
        ) from error
    if not callable(function):
        raise TableError(f"{table.file}: “function” names {table.function}, which is no function.")
    return function  # type: ignore[no-any-return]


def evaluate(table: Table, row: Row) -> Check:
    """Compute one row. An error raised by the function is a failed check, not a crash."""
    allowed = table.allowed(row.expected)
    function = find_function(table)
    try:
        value = function(**row.arguments)
        if table.attribute:
            value = getattr(value, table.attribute)
        if table.index is not None:
            value = value[table.index]
        computed = float(value)
    except Exception as error:  # whatever the function raises, the reader of the report sees it
        return Check(table, row, math.nan, math.nan, allowed, False, f"{error!r}")
    deviation = abs(computed - float(row.expected))
    slack = ROUNDING * abs(float(row.expected))
    return Check(table, row, computed, deviation, allowed, deviation <= allowed + slack)


def evaluate_all(tables: tuple[Table, ...]) -> tuple[Check, ...]:
    """Compute every row of ``tables``."""
    return tuple(evaluate(table, row) for table in tables for row in table.rows)
