"""The folder works by double click, with its search, and asks nobody else for anything."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from calculators.ask import answer
from tests.browser.engines import Engine, served

pytestmark = pytest.mark.browser

PATIENCE = 120  # [s]


def waited(read: Callable[[], Any], good: Callable[[Any], bool]) -> Any:
    """Read again and again until it is good; fail with the last that was read."""
    deadline = time.monotonic() + PATIENCE
    while not good(last := read()):
        assert time.monotonic() < deadline, last
        time.sleep(0.2)
    return last


@pytest.fixture(params=["http", "file"])
def address(request: pytest.FixtureRequest, built_site: Path) -> Iterator[str]:
    """The guide's address, both ways."""
    if request.param == "file":
        yield built_site.as_uri() + "/"
    else:
        with served(built_site) as url:
            yield url


READ = """(() => {
  const element = document.querySelector('#dew-point');
  element.scrollIntoView();
  return [element.dataset.answer, element.querySelector('output[name=dew_point]').dataset.value,
          element.querySelector('[data-state]').textContent];
})()"""


def test_the_folder_calculates_by_double_click(built_site: Path, engine: Engine) -> None:
    engine.open((built_site / "targets.html").as_uri())
    waited(lambda: engine.evaluate(READ), lambda read: read[0] == "live")
    engine.evaluate(
        """(() => { const field = document.querySelector('#dew-point [name=air_temperature]');
        field.value = '24'; field.dispatchEvent(new Event('input', {bubbles: true})); })()"""
    )
    humidity = engine.evaluate(
        "document.querySelector('#dew-point [name=relative_humidity]').value"
    )
    typed = {"air_temperature": "24", "relative_humidity": humidity}
    wanted = answer("dew-point", typed)["answers"]["dew_point"]["value"]
    waited(
        lambda: engine.evaluate(READ),
        lambda read: float(read[1]) == pytest.approx(wanted, rel=1e-9),
    )


OPEN = """(() => {
  const toggle = document.querySelector('#__search');
  if (!toggle.checked) toggle.click();
  document.querySelector('.md-search__input').focus();
  return document.querySelector('.md-search-result__meta').textContent;
})()"""
TYPE = """(() => {
  const field = document.querySelector('.md-search__input');
  field.value = 'hydrometer';
  field.dispatchEvent(new Event('keyup', {bubbles: true}));
})()"""
FOUND = "[...document.querySelectorAll('.md-search-result__link')].map(link => link.href)"
# Every file a page took: from this folder or this host, or from nowhere.
TAKEN = "performance.getEntriesByType('resource').map(entry => entry.name)"


def test_the_search_finds_and_asks_nobody(engine: Engine, address: str) -> None:
    engine.open(f"{address}index.html")
    waited(lambda: engine.evaluate(OPEN), lambda said: "search" in said and "Init" not in said)
    engine.evaluate(TYPE)
    links = waited(lambda: engine.evaluate(FOUND), bool)
    assert any(link.startswith(f"{address}pools.html") for link in links)
    own = (address, f"blob:{address}", "blob:null", "blob:file:", "data:")
    assert [name for name in engine.evaluate(TAKEN) if not name.startswith(own)] == []
