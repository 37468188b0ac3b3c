"""Every printed row of every published table in tests/tables."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from dewglass.site.checks import Check, Row, Table, evaluate, read_tables

TABLES = read_tables(Path(__file__).resolve().parents[1] / "tables")
ROWS = [
    pytest.param(table, row, id=f"{table.file.removesuffix('.toml')}-{number}")
    for table in TABLES
    for number, row in enumerate(table.rows, 1)
]


@pytest.mark.parametrize(("table", "row"), ROWS)
def test_row(table: Table, row: Row, record_row: Callable[[Check], None]) -> None:
    record_row(evaluate(table, row))
