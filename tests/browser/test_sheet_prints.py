"""The tank's sheet on paper: one page of A4 and of Letter, alone or each on its own."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.browser.engines import program, served

pytestmark = pytest.mark.browser

PAGE = "your-tank.html"
SHEETS = ("tank-sheet", "tank-sheet-2", "tank-sheet-3")
FORMATS = ("A4", "Letter")


@pytest.fixture(scope="module")
def address(built_site: Path) -> Iterator[str]:
    with served(built_site) as base:
        yield base


def pages(page: Any, paper: str, folder: Path) -> list[str]:
    """The text of every page that is printed."""
    file = folder / f"{paper}.pdf"
    page.pdf(path=file, format=paper)
    text = subprocess.run(
        [program("pdftotext"), "-layout", str(file), "-"],
        check=True, capture_output=True, text=True,
    ).stdout  # fmt: skip
    return text.split("\f")[:-1]


def live(page: Any, name: str) -> Any:
    sheet = page.locator(f"#{name}")
    sheet.scroll_into_view_if_needed()
    page.locator(f'#{name}[data-answer="live"]:not([data-provisional], [data-stale])').wait_for(
        timeout=60_000
    )
    return sheet


@pytest.mark.parametrize("paper", FORMATS)
def test_the_button_prints_one_sheet_on_one_page(
    address: str, chromium_page: Any, tmp_path: Path, paper: str
) -> None:
    chromium_page.goto(address + PAGE)
    chromium_page.evaluate("window.print = () => {}")
    for name in SHEETS:
        sheet = live(chromium_page, name)
        title = sheet.locator('output[name="tank_named"]').inner_text()
        sheet.locator('[data-do="print"]').click()
        printed = pages(chromium_page, paper, tmp_path)
        assert len(printed) == 1, name
        for words in (title, "The first step", "How often", "Take care", "Readings by hand"):
            assert words in printed[0]
    # Once printed, the page is whole again.
    assert chromium_page.locator("html[data-printing], [data-printed]").count() == 0


@pytest.mark.parametrize("paper", FORMATS)
def test_with_scripts_off_each_sheet_has_a_page_of_its_own(
    address: str, chromium_browser: Any, tmp_path: Path, paper: str
) -> None:
    context = chromium_browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(address + PAGE)
    printed = pages(page, paper, tmp_path)
    context.close()
    sheets = [text for text in printed if "Readings by hand" in text]
    assert len(sheets) == 3
    for text, name in zip(sheets, ("Wrack", "Kelp", "Samphire"), strict=True):
        assert f"{name} (invented)" in text
        assert "How often" in text
        assert "What to measure" not in text
    others = [text for text in printed if text not in sheets]
    assert not any(re.search("Take care|How much", text) for text in others)


FULLEST = {
    "lid": "mesh",
    "air_flow": "2",
    "moss_place": "at the heated wall",
    "moss_area": "300",
    "wall_insulation": "10",
    "reading": "52",
}


@pytest.mark.parametrize("paper", FORMATS)
def test_a_tank_with_everything_still_fits(
    address: str, chromium_page: Any, tmp_path: Path, paper: str
) -> None:
    chromium_page.goto(address + PAGE)
    chromium_page.evaluate("window.print = () => {}")
    sheet = live(chromium_page, "tank-sheet")
    sheet.locator("details.dg-card > summary").click()
    sheet.locator('[name="tank_name"]').fill("The long tank by the window of the east wing")
    sheet.locator('[name="started"]').fill("2026-02-03")
    for name, value in FULLEST.items():
        field = sheet.locator(f'[name="{name}"]').first
        if field.evaluate("field => field.tagName") == "SELECT":
            field.select_option(value)
        else:
            field.fill(value)
    sheet.locator('output[name="gauge_reads"][data-value^="52"]').wait_for()
    live(chromium_page, "tank-sheet")
    sheet.locator('[data-do="print"]').click()
    printed = pages(chromium_page, paper, tmp_path)
    assert len(printed) == 1
    assert "The long tank" in printed[0]
    assert "February 2026" in printed[0]


def test_an_example_leaves_the_readers_tank_alone(address: str, chromium_page: Any) -> None:
    chromium_page.goto(address + PAGE)
    example = live(chromium_page, "tank-sheet-2")
    example.locator("details.dg-card > summary").click()
    before = chromium_page.url
    example.locator('[name="reading"]').fill("91")
    live(chromium_page, "tank-sheet-2")
    assert chromium_page.evaluate("Object.keys(localStorage).filter(k => /card/.test(k))") == []
    assert chromium_page.url == before
    own = live(chromium_page, "tank-sheet")
    assert own.locator('[name="reading"]').input_value() == "58"
    # And the reader's own tank does not turn up in the example.
    own.locator("details.dg-card > summary").click()
    own.locator('[name="reading"]').fill("61")
    live(chromium_page, "tank-sheet")
    assert example.locator('[name="reading"]').input_value() == "91"


@pytest.mark.parametrize("paper", FORMATS)
def test_a_plan_prints_on_one_page(
    address: str, chromium_page: Any, tmp_path: Path, paper: str
) -> None:
    chromium_page.goto(address + "too-dry.html")
    chromium_page.evaluate("window.print = () => {}")
    live(chromium_page, "first-change").locator('[data-do="print"]').click()
    printed = pages(chromium_page, paper, tmp_path)
    assert len(printed) == 1
    assert "Do this now" in printed[0]
    assert "Damp moss against the heated wall" in printed[0]
