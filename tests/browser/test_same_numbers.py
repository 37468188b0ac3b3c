"""Every calculator of every page: the browser's live answers are CPython's."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from calculators.ask import answer
from tests.browser.engines import served

pytestmark = [pytest.mark.browser, pytest.mark.gate]


@pytest.fixture(scope="module")
def address(built_site: Path) -> Iterator[str]:
    with served(built_site) as base:
        yield base


def pages(site: Path) -> list[str]:
    found = [
        path.relative_to(site).as_posix()
        for path in sorted(site.rglob("*.html"))
        if "<dewglass-calculator " in path.read_text(encoding="utf-8")
    ]
    assert found, "no page of the site holds a calculator"
    return found


def typed(calculator: Any) -> dict[str, str]:
    """The inputs a calculator's answers are for, as its fields hold them."""
    entries = calculator.locator("[data-field] :is(input, select, textarea)")
    return {
        entry.get_attribute("name"): entry.get_attribute("data-typed") or entry.input_value()
        for entry in entries.all()
    }


def differences(shown: dict[str, str | None], expected: dict[str, Any]) -> list[str]:
    """Name each answer that is not CPython's to 1e-9."""
    wrong = []
    for name, raw in expected.items():
        text = shown.get(name)
        value = raw["value"]
        if isinstance(value, int | float) and not isinstance(value, bool):
            same = bool(text) and math.isclose(float(text), value, rel_tol=1e-9, abs_tol=1e-12)
        else:
            same = (text or "") == ("" if value is None else str(value))
        if not same:
            wrong.append(f"{name}: browser {text}, CPython {value}")
    return wrong


def flat(answers: dict[str, Any]) -> dict[str, Any]:
    """Answers and the cells of rows under one name each."""
    result: dict[str, Any] = {}
    for name, raw in answers.items():
        if isinstance(raw, list):
            for number, row in enumerate(raw):
                result |= {f"{name}[{number}].{column}": cell for column, cell in row.items()}
        else:
            result[name] = raw
    return result


READ = """element => Object.fromEntries([
  ...[...element.querySelectorAll('output')].map(o => [o.name, o.dataset.value]),
  ...[...element.querySelectorAll('[data-rows]')].flatMap(figure =>
    [...figure.querySelectorAll('[data-body] > *')].flatMap((row, number) =>
      [...row.querySelectorAll('[data-column]')].map(cell =>
        [`${figure.dataset.rows}[${number}].${cell.dataset.column}`, cell.dataset.value]))),
])"""


def test_live_and_prepared_answers_are_cpythons(
    built_site: Path, address: str, chromium_page: Any
) -> None:
    wrong = []
    for page in pages(built_site):
        chromium_page.goto(address + page)
        for calculator in chromium_page.locator("dewglass-calculator").all():
            name, place = calculator.get_attribute("name"), calculator.get_attribute("id")
            expected = flat(answer(name, typed(calculator))["answers"])
            prepared = calculator.evaluate(READ)
            wrong += [f"{page}, {place}, prepared: {d}" for d in differences(prepared, expected)]
            calculator.scroll_into_view_if_needed()
            chromium_page.locator(f'#{place}[data-answer="live"]:not([data-provisional])').wait_for(
                timeout=60_000
            )
            live = calculator.evaluate(READ)
            wrong += [f"{page}, {place}, live: {d}" for d in differences(live, expected)]
    assert not wrong, "\n".join(wrong)
