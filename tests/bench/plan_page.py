"""How soon the plan answers on its page: first numbers, then bands, against CPython in one run.

    python tests/bench/plan_page.py SITE

Bars: first numbers within 150 ms of a change, bands within 1 s, in Chromium on the 2-core machine.
The ratio to CPython, named beside it, is what to compare between machines.
"""

from __future__ import annotations

import json
import statistics
import sys
import time
from pathlib import Path

from playwright.sync_api import sync_playwright

sys.path[:0] = [
    str(Path(__file__).resolve().parents[2]),
    str(Path(__file__).resolve().parents[2] / "build"),
]

from calculators.ask import answer  # noqa: E402
from tests.browser.engines import CHROMIUM_FLAGS, program, served  # noqa: E402

RUNS = 9
INPUTS = {"tank": "wrack", "gauge_checked": "with the salt test", "seen": "most of three days"}

CHANGE = """async humidity => {
  const element = document.querySelector('#first-change');
  const field = element.querySelector('[name=room_humidity]');
  const began = performance.now();
  let first = 0;
  return await new Promise(resolve => {
    new MutationObserver((_, observer) => {
      const busy = element.hasAttribute('data-stale');
      if (!busy && !first) first = performance.now() - began;
      if (!busy && !element.hasAttribute('data-provisional')) {
        observer.disconnect();
        resolve([first, performance.now() - began]);
      }
    }).observe(element, {attributes: true});
    field.value = String(humidity);
    field.dispatchEvent(new Event('input', {bubbles: true}));
  });
}"""


def cpython(quick: bool) -> float:
    """The median time [ms] of the same answers in CPython."""
    times = []
    for run in range(RUNS):
        began = time.perf_counter()
        answer("first-change", {**INPUTS, "room_humidity": str(30 + run)}, quick)
        times.append(1000 * (time.perf_counter() - began))
    return statistics.median(times)


def browser(site: Path) -> tuple[float, float]:
    """The medians [ms] from a change to the first numbers and to the bands."""
    with sync_playwright() as playwright, served(site, "") as base:
        launched = playwright.chromium.launch(
            executable_path=program("chromium", "chromium-browser"), args=CHROMIUM_FLAGS
        )
        page = launched.new_page()
        page.goto(base + "too-dry.html")
        page.locator("#first-change").scroll_into_view_if_needed()
        live = '#first-change[data-answer="live"]:not([data-provisional])'
        page.locator(live).wait_for(timeout=120_000)
        pairs = [page.evaluate(CHANGE, 30 + run) for run in range(RUNS)]
        launched.close()
    return tuple(statistics.median(part) for part in zip(*pairs, strict=True))  # type: ignore[return-value]


def main() -> None:
    first, bands = browser(Path(sys.argv[1]))
    quick, full = cpython(True), cpython(False)
    print(json.dumps({
        "first_numbers_ms": round(first), "bands_ms": round(bands),
        "cpython_first_ms": round(quick), "cpython_bands_ms": round(quick + full),
        "first_ratio_to_cpython": round(first / quick, 2),
        "bands_ratio_to_cpython": round(bands / (quick + full), 2),
    }))  # fmt: skip


if __name__ == "__main__":
    main()
