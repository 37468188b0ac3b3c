"""A table file is read strictly, and its tolerance follows from what was printed."""

from __future__ import annotations

from pathlib import Path

import pytest

from dewglass.site.checks import Check, Row, Table, TableError, evaluate, find_function, read_table

HEAD = {
    "title": '"Square roots"',
    "source": '"Barlow\'s Tables, 1814"',
    "how_known": '"from memory"',
    "calculators": '["dew-point"]',
    "function": '"math:sqrt"',
    "unit": '""',
    "tolerance": '"printed"',
}
ROW = '[[row]]\narguments = {}\nexpected = "1.414"\n'


def write(folder: Path, rows: str = ROW, **changed: str | None) -> Path:
    lines = [f"{key} = {value}" for key, value in (HEAD | changed).items() if value is not None]
    path = folder / "roots.toml"
    path.write_text("\n".join([*lines, rows]), encoding="utf-8")
    return path


def table(**changed: object) -> Table:
    parts = {
        "file": "roots.toml",
        "title": "Square roots",
        "source": "Barlow",
        "how_known": "from memory",
        "calculators": ("dew-point",),
        "function": "math:fsum",
        "unit": "m",
        "tolerance": "printed",
        "rows": (),
    }
    return Table(**{**parts, **changed})  # type: ignore[arg-type]


def test_reads_what_is_written(tmp_path: Path) -> None:
    read = read_table(write(tmp_path))
    assert (read.title, read.calculators) == ("Square roots", ("dew-point",))
    assert read.rows == (Row({}, "1.414"),)


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"source": None}, "roots.toml: “source” is missing."),
        ({"source": '""'}, "roots.toml: “source” must be text, and not empty."),
        ({"calculators": '"dew-point"'}, "“calculators” must be a list, and not empty."),
        ({"calculators": "[1]"}, "“calculators” must list names in quotes."),
        ({"sauce": '"x"'}, "“sauce” is not known. Use: title, source,"),
        ({"function": '"math.sqrt"'}, "“function” must read package.module:name."),
        ({"tolerance": '"loose"'}, '“tolerance” must be "printed", { absolute = … } or'),
        ({"tolerance": "{ absolute = 0 }"}, "with a number above zero"),
        ({"tolerance": "{ relative = 0.1 }"}, "“tolerance_why” is missing: say why"),
    ],
)
def test_says_what_is_wrong_in_the_head(
    tmp_path: Path, changed: dict[str, str | None], sentence: str
) -> None:
    with pytest.raises(TableError) as caught:
        read_table(write(tmp_path, **changed))
    assert sentence in str(caught.value)


@pytest.mark.parametrize(
    ("rows", "sentence"),
    [
        ("[[row]]\nexpected = '1'", "row 1 must hold “arguments” and “expected” only."),
        ("[[row]]\narguments = {}\nexpected = 1.4", "“expected” must be the printed number in"),
        ("[[row]]\narguments = {}\nexpected = 'nan'", "such as \"3169.7\"; it is 'nan'."),
        (f"{ROW}[[row]]\narguments = 2\nexpected = '1'", "row 2: “arguments” must be a table"),
        ("row = []", "“row” must be a list, and not empty."),
        ("[[row", "roots.toml: not valid TOML:"),
    ],
)
def test_says_what_is_wrong_in_a_row(tmp_path: Path, rows: str, sentence: str) -> None:
    with pytest.raises(TableError) as caught:
        read_table(write(tmp_path, rows))
    assert sentence in str(caught.value)


@pytest.mark.parametrize(
    ("tolerance", "expected", "allowed"),
    [
        ("printed", "3169.7", 0.05),
        ("printed", "47", 0.5),
        ("printed", "0.0200", 0.00005),
        ("printed", "2441.68e3", 5.0),
        ("printed", "-1.5e-5", 5e-7),
        ({"absolute": 0.3}, "75.7", 0.3),
        ({"relative": 0.02}, "-50", 1.0),
    ],
)
def test_allows_half_the_last_printed_digit_or_what_is_stated(
    tolerance: str | dict[str, float], expected: str, allowed: float
) -> None:
    assert table(tolerance=tolerance).allowed(expected) == pytest.approx(allowed, rel=1e-12)


@pytest.mark.parametrize(("computed", "ok"), [(0.55, True), (0.45, True), (0.5501, False)])
def test_a_value_on_the_limit_passes_and_beyond_it_fails(computed: float, ok: bool) -> None:
    where = table(function="types:SimpleNamespace", attribute="value")
    assert evaluate(where, Row({"value": computed}, "0.5")).ok is ok


def test_takes_the_part_that_is_named() -> None:
    where = table(function="types:SimpleNamespace", attribute="pair", index=1)
    check = evaluate(where, Row({"pair": [1.0, 2.0]}, "2.0"))
    assert (check.computed, check.ok) == (2.0, True)


def test_an_error_in_the_function_is_a_failed_check() -> None:
    check = evaluate(table(function="math:sqrt"), Row({"side": 2}, "1.414"))
    assert not check.ok
    assert "keyword arguments" in check.sentence()


def test_what_is_not_a_number_fails() -> None:
    where = table(function="types:SimpleNamespace", attribute="value")
    assert not evaluate(where, Row({"value": float("nan")}, "2.0")).ok


def test_a_function_that_is_not_there_is_named() -> None:
    with pytest.raises(TableError, match=r"roots\.toml: “function” names math:cubic, not found"):
        find_function(table(function="math:cubic"))


def test_a_failed_row_says_all_that_is_needed() -> None:
    row = Row({"side": 2}, "1.414")
    check = Check(table(), row, 1.5, 0.086, 0.0005, False)
    assert check.sentence() == (
        "Square roots (roots.toml): math:fsum(side = 2) gives 1.5 m; Barlow prints 1.414; "
        "off by 0.086, allowed 0.0005"
    )
