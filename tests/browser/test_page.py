"""A calculator in the reader's hands: typing, units, links, trouble, scripts off."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from calculators.ask import answer
from tests.browser.engines import served

pytestmark = pytest.mark.browser

PAGE = "targets.html"
NAME = "dew-point"


@pytest.fixture(scope="module")
def address(built_site: Path) -> Iterator[str]:
    with served(built_site) as base:
        yield base


def live(page: Any, name: str = NAME) -> Any:
    """The first calculator of that name, once it is live."""
    calculator = page.locator(f"dewglass-calculator#{name}")
    calculator.scroll_into_view_if_needed()
    page.locator(f'#{name}[data-answer="live"]').wait_for(timeout=60_000)
    return calculator


def settled(page: Any, name: str = NAME) -> None:
    page.locator(f'#{name}[data-answer="live"]:not([data-stale], [data-provisional])').wait_for(
        timeout=30_000
    )


def output(calculator: Any, name: str = "dew_point") -> float:
    return float(calculator.locator(f'output[name="{name}"]').get_attribute("data-value"))


def test_typing_gives_the_answer_and_never_takes_the_focus(
    address: str, chromium_page: Any
) -> None:
    chromium_page.goto(address + PAGE)
    calculator = live(chromium_page)
    field = calculator.locator('[name="air_temperature"]')
    field.click()
    field.press("Control+a")
    for key in "23.5":
        field.press(key)
    settled(chromium_page)
    assert field.input_value() == "23.5"
    assert field.evaluate("field => field === document.activeElement")
    humidity = calculator.locator('[name="relative_humidity"]').input_value()
    wanted = answer(NAME, {"air_temperature": "23.5", "relative_humidity": humidity})
    assert output(calculator) == pytest.approx(wanted["answers"]["dew_point"]["value"], rel=1e-9)


def test_a_value_out_of_range_keeps_the_last_answer_and_says_what_is_allowed(
    address: str, chromium_page: Any
) -> None:
    chromium_page.goto(address + PAGE)
    calculator = live(chromium_page)
    before = output(calculator)
    field = calculator.locator('[name="air_temperature"]')
    field.fill("126")
    problem = calculator.locator('[data-field="air_temperature"] .dg-problem')
    problem.wait_for(state="visible")
    assert "0 °C (32 °F) to 60 °C (140 °F)" in problem.inner_text()
    assert field.get_attribute("aria-invalid") == "true"
    assert field.input_value() == "126"
    assert output(calculator) == before
    assert "last numbers that could be used" in calculator.locator("[data-state]").inner_text()
    field.fill("26")
    settled(chromium_page)
    assert field.get_attribute("aria-invalid") is None
    assert not problem.is_visible()


def test_units_switch_holds_for_the_visit_and_loses_nothing(
    address: str, chromium_page: Any
) -> None:
    chromium_page.goto(address + PAGE)
    calculator = live(chromium_page)
    field = calculator.locator('[name="air_temperature"]')
    field.fill("26.37")
    settled(chromium_page)
    before = output(calculator)
    calculator.locator('input[value="us"]').check()
    assert field.input_value() == "79.47"
    dew_point = calculator.locator('output[name="dew_point"]')
    assert "°F" in dew_point.inner_text()
    assert "°C" not in dew_point.inner_text()
    assert output(calculator) == before
    chromium_page.goto(address + "pools.html")
    pool = chromium_page.locator("#evaporation")
    assert pool.locator('input[value="us"]').is_checked()
    assert pool.locator('[data-field="length"] .dg-unit').inner_text() == "in"
    chromium_page.goto(address + PAGE)
    calculator = live(chromium_page)
    calculator.locator('[name="air_temperature"]').fill("26.37")
    calculator.locator('input[value="metric"]').check()
    calculator.locator('input[value="us"]').check()
    assert calculator.locator('[name="air_temperature"]').input_value() == "26.37"


def test_a_unit_typed_by_hand_is_understood(address: str, chromium_page: Any) -> None:
    chromium_page.goto(address + PAGE)
    calculator = live(chromium_page)
    calculator.locator('[name="air_temperature"]').fill("79 F")
    settled(chromium_page)
    typed = {"air_temperature": "79F", "relative_humidity":
             calculator.locator('[name="relative_humidity"]').input_value()}  # fmt: skip
    wanted = answer(NAME, typed)["answers"]["dew_point"]["value"]
    assert output(calculator) == pytest.approx(wanted, rel=1e-9)


def test_a_link_carries_the_inputs_to_another_reader(
    address: str, chromium_page: Any, chromium_browser: Any
) -> None:
    chromium_page.goto(address + PAGE)
    calculator = live(chromium_page)
    calculator.locator('[name="air_temperature"]').fill("24.5")
    settled(chromium_page)
    link = chromium_page.url
    assert "#dew-point?" in link
    assert "air_temperature=24.5" in link
    stranger = chromium_browser.new_context().new_page()
    stranger.goto(link)
    assert output(live(stranger)) == output(calculator)
    stranger.context.close()


def test_the_copy_button_says_what_it_did(address: str, chromium_browser: Any) -> None:
    context = chromium_browser.new_context(permissions=["clipboard-read", "clipboard-write"])
    page = context.new_page()
    page.goto(address + PAGE)
    calculator = live(page)
    button = calculator.locator('[data-do="copy-link"]')
    button.click()
    page.get_by_text("Copied").first.wait_for()
    assert "#dew-point?" in page.evaluate("navigator.clipboard.readText()")
    context.close()


def test_a_screen_reader_is_told_the_answer(address: str, chromium_page: Any) -> None:
    chromium_page.goto(address + PAGE)
    calculator = live(chromium_page)
    calculator.locator('[name="air_temperature"]').fill("25")
    settled(chromium_page)
    chromium_page.locator(f"#{NAME} .dg-say:not(:empty)").wait_for(state="attached")
    assert "Dew point: " in calculator.locator(".dg-say").text_content()


def test_with_scripts_off_the_prepared_answers_stand_and_say_so(
    address: str, chromium_browser: Any
) -> None:
    context = chromium_browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(address + PAGE)
    calculator = page.locator("#dew-point")
    assert calculator.get_attribute("data-answer") == "prepared"
    assert output(calculator)
    text = calculator.inner_text()
    assert "Scripts are off" in text
    assert "°C" in text
    assert "°F" in text
    assert calculator.locator('[name="air_temperature"]').get_attribute("readonly") is not None
    context.close()


def test_when_python_does_not_come_the_answers_stay_and_the_page_says_why(
    address: str, chromium_page: Any
) -> None:
    chromium_page.route("**/*.bin", lambda route: route.abort())
    chromium_page.goto(address + PAGE)
    calculator = chromium_page.locator("#dew-point")
    before = output(calculator)
    calculator.scroll_into_view_if_needed()
    chromium_page.locator("#dew-point[data-failed]").wait_for(timeout=60_000)
    assert output(calculator) == before
    assert "could not be loaded" in calculator.locator("[data-state]").inner_text()
    calculator.locator('[name="air_temperature"]').fill("20")
    chromium_page.get_by_text("They were made for:").wait_for()
    chromium_page.unroute("**/*.bin")
    calculator.locator('[data-do="again"]').click()
    settled(chromium_page)
    assert output(calculator) != before


def test_every_part_can_be_reached_by_keyboard(address: str, chromium_page: Any) -> None:
    chromium_page.goto(address + PAGE)
    calculator = live(chromium_page)
    calculator.locator('[name="air_temperature"]').focus()
    reached = []
    for _ in range(8):
        reached.append(chromium_page.evaluate(
            "document.activeElement.name || document.activeElement.dataset.do || ''"
        ))  # fmt: skip
        chromium_page.keyboard.press("Tab")
    assert "relative_humidity" in reached
    assert "other_temperature" in reached
    assert "copy-link" in reached


def test_one_tank_card_is_shared_and_says_what_is_still_assumed(
    address: str, chromium_page: Any
) -> None:
    chromium_page.goto(address + "heat.html")
    calculator = live(chromium_page, "heater-sizing")
    card = calculator.locator("details.dg-card")
    assert "An example tank" in card.locator("summary").inner_text()
    card.locator("summary").click()
    calculator.locator('[name="tank_length"]').fill("77")
    settled(chromium_page, "heater-sizing")
    assert "Your tank: 77 × 35 × 36 cm" in card.locator("summary").inner_text()
    assumed = card.locator(".dg-assumed").inner_text()
    assert "glass thickness" in assumed
    assert "tank length" not in assumed
    chromium_page.goto(address + "where-the-water-goes.html")
    other = live(chromium_page, "tank-balance")
    assert other.locator('[name="tank_length"]').input_value() == "77"
    other.locator("details.dg-card > summary").click()
    other.locator('select[data-ready="tank"]').select_option("kelp")
    settled(chromium_page, "tank-balance")
    assert "Another tank: 80 × 45 × 42 cm" in other.locator("summary").first.inner_text()
    other.locator('[data-do="own-card"]').click()
    assert other.locator('[name="tank_length"]').input_value() == "77"
