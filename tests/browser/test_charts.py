"""Pictures on a page: charts drawn from an answer's table, and the tank drawn from its card."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

import pytest

import calculators.ask
from calculators.catalogue import CATALOGUE, Calculator
from calculators.fields import Answer, Chart
from calculators.quantities import (
    HOURS,
    RELATIVE_HUMIDITY,
    TEMPERATURE,
    VAPOUR_PER_DAY,
    Says,
)
from dewglass.form.view import render
from dewglass.site import runtime
from tests.browser.engines import Engine, served

pytestmark = pytest.mark.browser

SHOWN = """texts => texts.map(text => [...text.childNodes].filter(
node => node.nodeType === 3 || getComputedStyle(node).display !== 'none'
).map(node => node.textContent).join(''))"""
AXE = runtime.ROOT / "node_modules" / "axe-core" / "axe.min.js"


@dataclass(frozen=True)
class Hour:
    """A row of the long log."""

    time: Annotated[float, HOURS, Says("Hours from the start")]
    humidity: Annotated[float | None, RELATIVE_HUMIDITY, Says("Relative humidity")]
    temperature: Annotated[float, TEMPERATURE, Says("Temperature")]
    dew_point: Annotated[float, TEMPERATURE, Says("Dew point")]
    low: Annotated[float, RELATIVE_HUMIDITY, Says("Target, from")]
    high: Annotated[float, RELATIVE_HUMIDITY, Says("Target, to")]


@dataclass(frozen=True)
class Reading:
    """A row of the short log."""

    clock: Annotated[str, Says("Time")]
    humidity: Annotated[float, RELATIVE_HUMIDITY, Says("Relative humidity")]


@dataclass(frozen=True)
class Path_:
    """A row of the bars."""

    path: Annotated[str, Says("Path")]
    into: Annotated[float, VAPOUR_PER_DAY, Says("Into the air")]
    out: Annotated[float, VAPOUR_PER_DAY, Says("Out of the air")]


@dataclass(frozen=True, kw_only=True)
class Pictures(Answer):
    """Each kind of chart."""

    log: Annotated[
        tuple[Hour, ...],
        Chart("time", ("humidity", "temperature", "dew_point"), ("low", "high")),
        Says("The log"),
    ]
    short: Annotated[tuple[Reading, ...], Chart("clock", ("humidity",)), Says("One day")]
    paths: Annotated[
        tuple[Path_, ...], Chart("path", ("into", "out")), Says("Water vapour in and out")
    ]


def pictures() -> Pictures:
    """Return an invented log of ten days."""
    hours = []
    for step in range(480):
        time = step / 2
        day = math.sin(time / 24 * 2 * math.pi)
        humidity = None if 200 <= step < 212 else 0.74 + 0.06 * day + 0.02 * math.sin(time / 3)
        hours.append(Hour(time * 3600, humidity, 26 - 1.2 * day, 21 + 0.5 * day, 0.75, 0.85))
    gram_a_day = 1e-3 / 86400
    return Pictures(
        log=tuple(hours),
        short=tuple(Reading(f"2026-02-03 {h:02}:00", 0.7 + 0.01 * (h % 5)) for h in range(24)),
        paths=(
            Path_("Fresh pool", 41 * gram_a_day, 0.0),
            Path_("Marine pool", 37.5 * gram_a_day, 0.0),
            Path_("Substrate", 60.2 * gram_a_day, 0.0),
            Path_("Air swapped with the room through the lid and its gaps", 0.0, 118 * gram_a_day),
            Path_("Water that runs down the glass", 0.0, 20.7 * gram_a_day),
        ),
        advice="",
    )


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with one page that holds every kind of chart."""
    folder = tmp_path_factory.mktemp("charts")
    packed = runtime.pack(folder)
    entry = Calculator("pictures", "Pictures", "What does the log look like?", pictures)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(calculators.ask, "CATALOGUE", (*CATALOGUE, entry))
        body = render("pictures", {})
    tank = render("glass-condensation", {"tank": "kelp"})
    head = [
        '<meta charset="utf-8"><meta name="viewport" content="width=device-width">',
        "<title>Charts</title>",
        runtime.style_links(packed), runtime.script_tags(packed), runtime.chart_tag(packed),
    ]  # fmt: skip
    style = "<style>html{font-size:125%}body{margin:.8rem;font-family:sans-serif}</style>"
    page = (
        f'<!doctype html><html lang="en"><head>{"".join(head)}{style}</head>'
        f'<body data-md-color-scheme="default"><main class="md-typeset"><h1>Charts</h1>'
        f"{body}{tank}</main></body></html>"
    )
    (folder / "index.html").write_text(page, encoding="utf-8")
    dark = page.replace('scheme="default"', 'scheme="slate"').replace(
        "body{", "body{background:#1b2524;color:#e4ecea;"
    )
    (folder / "dark.html").write_text(dark, encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def address(site: Path) -> Iterator[str]:
    with served(site) as base:
        yield base


@pytest.fixture
def phone(chromium_browser: Any, address: str) -> Iterator[Any]:
    context = chromium_browser.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True
    )
    page = context.new_page()
    page.goto(address)
    page.locator("figure[data-rows=log] .dg-chart > svg").first.wait_for()
    yield page
    context.close()


def chart(page: Any, name: str) -> Any:
    return page.locator(f"figure[data-rows={name}] .dg-chart")


def test_lines_of_one_unit_share_a_panel_and_each_has_a_dash_and_a_name(phone: Any) -> None:
    log = chart(phone, "log")
    assert log.locator("> svg").count() == 2
    keys = log.locator(".dg-key li").all_inner_texts()
    assert [key.strip() for key in keys] == [
        "Relative humidity, %", "Target", "Temperature, °C", "Dew point, °C",
    ]  # fmt: skip
    second = log.locator("> svg").nth(1)
    dashes = second.locator('g[data-part="line"] > g').evaluate_all(
        "groups => groups.map(group => group.getAttribute('stroke-dasharray'))"
    )
    assert len(set(dashes)) == 2, dashes
    first = log.locator("> svg").nth(0)
    assert first.locator('g[data-part="area"]').count() == 1
    label = first.get_attribute("aria-label")
    assert "Relative humidity in %, lowest " in label
    assert first.get_attribute("role") == "img"


def test_a_gap_in_the_log_is_a_gap_in_the_line(phone: Any) -> None:
    line = chart(phone, "log").locator("> svg").first.locator('g[data-part="line"]').last
    assert line.locator("path").get_attribute("d").count("M") == 2


def test_the_numbers_stay_behind_the_picture(phone: Any) -> None:
    behind = phone.locator("figure[data-rows=log] details.dg-behind")
    assert not behind.locator("table").is_visible()
    behind.locator("summary").click()
    assert behind.locator("tbody tr").count() == 480
    assert behind.locator("table").is_visible()


def test_the_axis_follows_the_readers_units(phone: Any) -> None:
    ticks = chart(phone, "log").locator("> svg").nth(1).locator('g[data-part^="y-axis tick label"]')
    metric = [float(text) for text in ticks.locator("text").all_text_contents()]
    assert 20 <= min(metric) <= max(metric) <= 28
    phone.locator('#pictures input[value="us"]').check()
    chart(phone, "log").get_by_text("Dew point, °F").wait_for()
    us = [float(text) for text in ticks.locator("text").all_text_contents()]
    assert 68 <= min(us) <= max(us) <= 82
    assert "oz" in chart(phone, "paths").locator("svg").first.get_attribute("aria-label")


def test_letters_are_large_enough_on_a_phone_and_nothing_sticks_out(phone: Any) -> None:
    sizes = phone.locator(".dg-chart > svg text").evaluate_all(
        "texts => texts.map(text => parseFloat(getComputedStyle(text).fontSize)"
        " * text.getScreenCTM().a)"
    )
    assert min(sizes) >= 12
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390
    edges = phone.locator(".dg-chart > svg text").evaluate_all(
        "texts => texts.map(text => text.getBoundingClientRect())"
        ".map(({left, right}) => [left, right])"
    )
    assert min(left for left, _ in edges) >= 0
    assert max(right for _, right in edges) <= 390


def test_a_long_log_can_be_looked_at_closer_by_keyboard_and_by_touch(phone: Any) -> None:
    moves = phone.locator("figure[data-rows=log] .dg-moves")
    assert phone.locator("figure[data-rows=short] .dg-moves").count() == 0
    ticks = chart(phone, "log").locator("> svg").nth(1).locator('g[data-part^="x-axis tick label"]')

    def shown() -> list[float]:
        return [float(text) for text in ticks.locator("text").all_text_contents()]

    whole = shown()
    moves.get_by_text("Closer").focus()
    for _ in range(2):
        phone.keyboard.press("Enter")
    assert phone.evaluate("document.activeElement.textContent") == "Closer"
    near = shown()
    assert max(near) - min(near) < (max(whole) - min(whole)) / 2
    assert "Shown: 90 to 150 h" in moves.locator("[role=status]").inner_text()
    moves.get_by_text("Later").tap()
    assert min(shown()) > min(near)
    for _ in range(6):
        if moves.get_by_text("Later").get_attribute("aria-disabled") == "false":
            moves.get_by_text("Later").tap()
    assert moves.get_by_text("Later").get_attribute("aria-disabled") == "true"
    assert max(shown()) >= max(whole)
    moves.get_by_text("Whole").tap()
    assert shown() == whole
    assert moves.locator("[role=status]").inner_text() == ""


def test_live_rows_are_drawn_as_the_prepared_ones_were(phone: Any) -> None:
    bars = chart(phone, "paths").locator("> svg").first
    before = bars.get_attribute("aria-label")
    assert "Fresh pool 41 g a day" in before
    phone.evaluate(
        """() => { const figure = document.querySelector('figure[data-rows=paths]');
        const cell = figure.querySelector('td[data-column=into]');
        cell.dataset.value = '82'; cell.textContent = '82 g a day';
        figure.dispatchEvent(new CustomEvent('rows', {bubbles: true})); }"""
    )
    assert "Fresh pool 82 g a day" in bars.get_attribute("aria-label")


def test_bars_say_what_comes_in_and_what_goes_out(phone: Any) -> None:
    bars = chart(phone, "paths")
    assert bars.locator(".dg-bars-heading").all_inner_texts() == ["Into the air", "Out of the air"]
    fills = [
        bars.locator("> svg").nth(number).locator('g[data-part="bar"]')
        .get_attribute("fill-opacity") for number in (0, 1)
    ]  # fmt: skip
    assert fills[0] != fills[1]
    widths = (
        bars.locator("> svg")
        .first.locator('g[data-part="bar"] rect')
        .evaluate_all("bars => bars.map(bar => bar.getBBox().width)")
    )
    assert widths[0] / widths[2] == pytest.approx(41 / 60.2, rel=0.02)


@pytest.mark.parametrize("name", ["index.html", "dark.html"])
def test_charts_and_drawing_pass_axe(site: Path, chromium_page: Any, name: str) -> None:
    with served(site, "") as base:
        chromium_page.goto(base + name)
        chart(chromium_page, "log").locator("> svg").first.wait_for()
        for card in chromium_page.locator("details > summary").all():
            card.click()
        chromium_page.evaluate("document.querySelector('[data-stale]')?.remove()")
        chromium_page.add_script_tag(path=AXE)
        report = chromium_page.evaluate("axe.run({resultTypes: ['violations']})")
    found = [f"{each['id']}: {each['nodes'][0]['html'][:200]}" for each in report["violations"]]
    assert not found, "\n".join(found)


def test_the_tanks_picture_follows_what_is_typed(phone: Any) -> None:
    tank = phone.locator("#glass-condensation")
    tank.locator("details.dg-card > summary").click()
    drawing = tank.locator("svg.dg-drawing")
    assert "air pump" in drawing.text_content()
    tank.locator('[name="tank_length"]').fill("90")
    phone.locator('#glass-condensation svg.dg-drawing:has-text("90 cm")').wait_for(timeout=60_000)
    assert drawing.evaluate("svg => svg.namespaceURI") == "http://www.w3.org/2000/svg"
    phone.locator('#glass-condensation input[value="us"]').check()
    texts = drawing.locator("text").evaluate_all(SHOWN)
    assert any("35.4 in long" in text for text in texts)
    assert not any("cm" in text for text in texts)


def test_the_tanks_labels_do_not_overlap_as_they_are_set(phone: Any) -> None:
    tank = phone.locator("#glass-condensation")
    tank.locator("details.dg-card > summary").click()
    boxes = tank.locator("svg.dg-drawing text").evaluate_all(
        "texts => texts.map(text => [text.textContent, text.getBBox()])"
        ".map(([name, b]) => [name, b.x, b.y + 2, b.x + b.width, b.y + b.height - 2])"
    )
    for number, (one, a, b, c, d) in enumerate(boxes):
        for other, e, f, g, h in boxes[number + 1 :]:
            assert c <= e or g <= a or d <= f or h <= b, (one, other)


def test_charts_are_drawn_in_a_folder_opened_by_double_click(site: Path, engine: Engine) -> None:
    engine.open((site / "index.html").as_uri())
    count = "document.querySelectorAll('.dg-chart > svg').length"
    for _ in range(100):
        if engine.evaluate(count) == 5:
            break
        engine.evaluate("new Promise(done => setTimeout(done, 100))")
    assert engine.evaluate(count) == 5


def test_with_scripts_off_the_table_stands(address: str, chromium_browser: Any) -> None:
    context = chromium_browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(address)
    assert page.locator("figure[data-rows=paths] table").is_visible()
    assert page.locator("svg.dg-drawing").count() == 1
    context.close()
