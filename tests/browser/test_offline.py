"""Nothing leaves the reader's device, and the folder works by double click."""

from __future__ import annotations

import time
from pathlib import Path
from typing import Any

import pytest

from calculators.ask import answer
from tests.browser.engines import Engine, served

pytestmark = pytest.mark.browser


def test_no_request_leaves_the_site(built_site: Path, chromium_browser: Any) -> None:
    context = chromium_browser.new_context()
    asked: list[str] = []
    context.on("request", lambda request: asked.append(request.url))
    page = context.new_page()
    with served(built_site) as base:
        for path in sorted(built_site.rglob("*.html")):
            page.goto(base + path.relative_to(built_site).as_posix())
            if page.locator("dewglass-calculator").count():
                page.locator("dewglass-calculator").first.scroll_into_view_if_needed()
                page.locator('[data-answer="live"]').first.wait_for(timeout=60_000)
        page.goto(base + "index.html")
        page.keyboard.press("/")
        page.keyboard.type("humidity", delay=30)
        page.locator(".md-search-result__item").first.wait_for(timeout=30_000)
        allowed = (base, "data:", f"blob:{base}")
        strangers = [url for url in asked if not url.startswith(allowed)]
    context.close()
    assert len(asked) > 10
    assert strangers == []


READ = """(() => {
  const element = document.querySelector('#dew-point');
  element.scrollIntoView();
  return [element.dataset.answer, element.querySelector('output[name=dew_point]').dataset.value,
          element.querySelector('[data-state]').textContent];
})()"""


def test_the_folder_calculates_by_double_click(built_site: Path, engine: Engine) -> None:
    engine.open((built_site / "targets.html").as_uri())
    deadline = time.monotonic() + 90
    while (read := engine.evaluate(READ))[0] != "live":
        assert time.monotonic() < deadline, read
        time.sleep(0.3)
    engine.evaluate(
        """(() => { const field = document.querySelector('#dew-point [name=air_temperature]');
        field.value = '24'; field.dispatchEvent(new Event('input', {bubbles: true})); })()"""
    )
    wanted = answer("dew-point", {
        "air_temperature": "24",
        "relative_humidity": engine.evaluate(
            "document.querySelector('#dew-point [name=relative_humidity]').value"
        ),
    })["answers"]["dew_point"]["value"]  # fmt: skip
    while float((read := engine.evaluate(READ))[1]) != pytest.approx(wanted, rel=1e-9):
        assert time.monotonic() < deadline, (read, wanted)
        time.sleep(0.2)
