"""Answering a keeper: pasting, correcting, copying, and nothing kept."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.browser.engines import served

pytestmark = pytest.mark.browser

PAGE = "answer-a-keeper.html"
NAME = "keeper-reply"
LETTER = (
    "Hi! My tank is 30x14x16 in. It reads 93% and 80F, all week. The room is 77F with 70%. "
    "Glass lid, bubbler on, heat mat 25W, perlatus. The gauge is salt tested."
)


@pytest.fixture(scope="module")
def address(built_site: Path) -> Iterator[str]:
    with served(built_site) as base:
        yield base


def settled(page: Any) -> Any:
    page.locator(f"#{NAME}").scroll_into_view_if_needed()
    page.locator(f'#{NAME}[data-answer="live"]:not([data-stale], [data-provisional])').wait_for(
        timeout=60_000
    )
    return page.locator(f"#{NAME}")


def pasted(page: Any, address: str) -> Any:
    page.goto(address + PAGE)
    calculator = settled(page)
    calculator.locator('[name="letter"]').fill(LETTER)
    page.locator('[data-rows="understood"]').get_by_text("“30x14x16 in”").first.wait_for()
    return settled(page)


def words(calculator: Any, name: str) -> str:
    return str(calculator.locator(f'output[name="{name}"]').inner_text())


def test_a_pasted_letter_is_understood_and_answered(address: str, chromium_page: Any) -> None:
    calculator = pasted(chromium_page, address)
    table = calculator.locator('[data-rows="understood"]').inner_text()
    assert "“30x14x16 in”" in table
    assert "“It reads 93%”" in table
    reply = words(calculator, "reply")
    assert "The one next step" in reply
    assert "\n\n" in reply  # paragraphs stay paragraphs


def test_what_is_typed_wins(address: str, chromium_page: Any) -> None:
    calculator = pasted(chromium_page, address)
    calculator.locator('[name="reading"]').fill("62")
    calculator.get_by_text("typed by you").wait_for()
    settled(chromium_page)
    assert "62 %" in words(calculator, "reply")
    assert "typed by you" in calculator.locator('[data-rows="understood"]').inner_text()


def test_nothing_is_kept_and_nothing_stands_in_the_address(
    address: str, chromium_page: Any
) -> None:
    sent: list[str] = []
    chromium_page.on(
        "request", lambda request: sent.append(request.url + (request.post_data or ""))
    )
    calculator = pasted(chromium_page, address)
    calculator.locator('[name="room_temperature"]').fill("19.25")
    calculator.get_by_text("typed by you").wait_for()
    settled(chromium_page)
    kept = chromium_page.evaluate("JSON.stringify({...localStorage, ...sessionStorage})")
    for secret in ("perlatus", "19.25", "30x14", "card"):
        assert secret not in kept
        assert secret not in chromium_page.url
    assert not any("perlatus" in each for each in sent)
    assert calculator.locator('[data-do="copy-link"]').count() == 0


def test_the_copy_is_plain_text_with_a_link_that_opens_the_tank(
    address: str, chromium_browser: Any
) -> None:
    context = chromium_browser.new_context()
    context.grant_permissions(["clipboard-read", "clipboard-write"])
    page = context.new_page()
    calculator = pasted(page, address)
    calculator.locator('[data-do="copy-text"]').click()
    page.get_by_text("Copied", exact=True).wait_for()
    copied = page.evaluate("navigator.clipboard.readText()").replace("\r\n", "\n")
    assert copied.startswith("Thank you")
    assert "<" not in copied
    link = copied.split()[-1]
    assert link.startswith(f"{address}too-damp.html#first-change?")
    reader = context.new_page()
    reader.goto(link)
    reader.locator('#first-change[data-answer="live"]:not([data-provisional])').wait_for(
        timeout=60_000
    )
    there = reader.locator('#first-change output[name="do_now"]').inner_text()
    assert there == words(calculator, "first_step")
    reading = reader.locator('#first-change [name="reading"]').input_value()
    assert reading == "93"
    context.close()


def test_the_volunteers_own_tank_stays(address: str, chromium_page: Any) -> None:
    chromium_page.goto(address + "too-dry.html")
    own = chromium_page.locator("#first-change")
    own.scroll_into_view_if_needed()
    own.locator("details.dg-card > summary").click()
    own.locator('[name="tank_length"]').fill("71")
    before = chromium_page.evaluate("localStorage.getItem('dewglass.card.tank')")
    assert before
    pasted(chromium_page, address)
    assert chromium_page.evaluate("localStorage.getItem('dewglass.card.tank')") == before


def test_with_scripts_off_the_example_is_answered(address: str, chromium_browser: Any) -> None:
    context = chromium_browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(address + PAGE)
    assert "The one next step" in words(page.locator(f"#{NAME}"), "reply")
    assert page.locator(f"#{NAME} [data-link] a").get_attribute("href").startswith("too-dry.html#")
    context.close()
