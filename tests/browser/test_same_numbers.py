"""Every calculator of every page: the browser's live answers are CPython's, and nobody is told.

One walk through the guide with a browser serves all the tests here. On each page it compares the
prepared answers as a reader without scripts has them, then every calculator's live ones.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from calculators.ask import answer
from tests.browser.engines import served

pytestmark = [pytest.mark.browser, pytest.mark.gate]

PATIENCE = 180_000  # [ms] for one live answer: the longest takes seconds, on a busy machine more

READ = """element => Object.fromEntries([
  ...[...element.querySelectorAll('output[name]')].flatMap(output => [
    [output.name, output.dataset.value],
    [`${output.name}, low`, output.dataset.low],
    [`${output.name}, high`, output.dataset.high]]),
  ...[...element.querySelectorAll('[data-rows]')].flatMap(figure =>
    [...figure.querySelectorAll('[data-body] > *')].flatMap((row, number) =>
      [...row.querySelectorAll('[data-column]')].map(cell =>
        [`${figure.dataset.rows}[${number}].${cell.dataset.column}`, cell.dataset.value]))),
  ['advice', element.querySelector('[data-words="advice"]').textContent],
])"""

TYPED = """element => Object.fromEntries(
  [...element.querySelectorAll('[data-field] :is(input, select, textarea)[name]')]
  .map(entry => [entry.name, entry.dataset.typed ?? entry.value]))"""


@dataclass
class Walk:
    """What one walk through the guide found."""

    base: str
    calculators: int = 0
    wrong: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)


@pytest.fixture(scope="module")
def walk(built_site: Path, chromium_browser: Any) -> Iterator[Walk]:
    """Visit every page, and wait until each of its calculators is live."""
    scripted = chromium_browser.new_context()
    page = scripted.new_page()
    plain = chromium_browser.new_context(java_script_enabled=False).new_page()
    with served(built_site) as base:
        found = Walk(base)
        scripted.on("request", lambda request: found.asked.append(request.url))
        page.on("pageerror", lambda error: found.complaints.append(f"{page.url}: {error}"))
        for path in sorted(built_site.rglob("*.html")):
            name = path.relative_to(built_site).as_posix()
            page.goto(base + name)
            if "<dewglass-calculator" in path.read_text(encoding="utf-8"):
                plain.goto(base + name)
                compare(name, page, plain, found)
        yield found
    scripted.close()
    plain.context.close()


def compare(name: str, page: Any, plain: Any, found: Walk) -> None:
    """Hold the prepared and the live answers of one page to CPython's."""
    for prepared in plain.locator("dewglass-calculator").all():
        place = prepared.get_attribute("id")
        document = answer(prepared.get_attribute("name"), prepared.evaluate(TYPED))
        wanted = {**flat(document["answers"]), "advice": {"value": document["advice"]}}
        live = page.locator(f"#{place}")
        live.scroll_into_view_if_needed()
        page.locator(
            f'#{place}[data-answer="live"]:not([data-provisional], [data-stale])'
        ).wait_for(timeout=PATIENCE)
        for kind, element in (("prepared", prepared), ("live", live)):
            shown = element.evaluate(READ)
            found.wrong += [f"{name}, {place}, {kind}: {d}" for d in differences(shown, wanted)]
        found.calculators += 1


def flat(answers: dict[str, Any]) -> dict[str, Any]:
    """Answers, the ends of their bands and the cells of their rows under one name each."""
    result: dict[str, Any] = {}
    for name, raw in answers.items():
        if isinstance(raw, list):
            for number, row in enumerate(raw):
                result |= {f"{name}[{number}].{column}": cell for column, cell in row.items()}
        else:
            result[name] = raw
            result |= {
                f"{name}, {end}": {"value": raw[end]} for end in ("low", "high") if end in raw
            }
    return result


def differences(shown: dict[str, str | None], wanted: dict[str, Any]) -> list[str]:
    """Name each answer that is not CPython's to 1e-9, or that only one of the two has."""
    wrong = [
        f"{name}: browser {text}, CPython nothing"
        for name, text in shown.items()
        if text and name not in wanted
    ]
    for name, raw in wanted.items():
        text, value = shown.get(name), raw["value"]
        if isinstance(value, int | float) and not isinstance(value, bool):
            same = bool(text) and math.isclose(float(text), value, rel_tol=1e-9, abs_tol=1e-12)
        else:
            same = (text or "") == ("" if value is None else str(value))
        if not same:
            wrong.append(f"{name}: browser {text}, CPython {value}")
    return wrong


def test_live_and_prepared_answers_are_cpythons(walk: Walk) -> None:
    assert walk.calculators > 0, "no page of the site holds a calculator"
    assert not walk.wrong, "\n".join(walk.wrong)


def test_no_request_leaves_the_site(walk: Walk) -> None:
    allowed = (walk.base, "data:", f"blob:{walk.base}")
    assert len(walk.asked) > walk.calculators
    assert [url for url in walk.asked if not url.startswith(allowed)] == []


def test_no_script_fails_on_any_page(walk: Walk) -> None:
    assert walk.complaints == []
