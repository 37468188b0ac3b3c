"""How long a long log takes on its page, against CPython on the same file in one run.

    python tests/bench/log_page.py SITE [--rows 1000000]

Bars, in Chromium on the 2-core machine: 100 000 rows within 2 s, a million within 20 s, the page's
process below 600 MB, no pause of the page that a reader would feel. The ratio to CPython, named
beside it, is what to compare between machines. Processor seconds and the pause of an idle page tell
what other programs on the machine took.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from playwright.sync_api import sync_playwright

sys.path[:0] = [
    str(Path(__file__).resolve().parents[2]),
    str(Path(__file__).resolve().parents[2] / "build"),
]

from calculators.ask import answer  # noqa: E402
from calculators.keeping.log.decode import decode  # noqa: E402
from tests.bench.log import invent  # noqa: E402
from tests.browser.engines import CHROMIUM_FLAGS, program, served  # noqa: E402

# The longest time between two turns of the page's own loop, asked for every 4 ms.
WATCH = """() => {
  let last = performance.now();
  window.longest = 0;
  window.watch = setInterval(() => {
    const now = performance.now();
    window.longest = Math.max(window.longest, now - last);
    last = now;
  }, 4);
  const element = document.querySelector('#readings');
  window.read = new Promise(resolve => {
    element.addEventListener('answered', ({ detail }) => {
      const took = performance.now() - window.began;
      setTimeout(() => requestAnimationFrame(() => resolve({
        took, longest: window.longest, used: detail.answers.readings_used.value,
      })), 300);
    }, { once: true });
  });
  element.querySelector('input[type=file]').addEventListener('change', () => {
    window.began = performance.now();
  }, { capture: true });
}"""


def processes() -> dict[int, tuple[int, str]]:
    """Return every process that can be read: its parent and its command."""
    found = {}
    for place in Path("/proc").glob("[0-9]*"):
        try:
            parent = int((place / "stat").read_text().rpartition(")")[2].split()[1])
            found[int(place.name)] = (parent, (place / "cmdline").read_bytes().decode("latin-1"))
        except OSError:
            continue
    return found


def used_by_page() -> tuple[float, float]:
    """Return what the page's process has used: at most so many MB, and processor seconds."""
    everyone = processes()

    def ours(pid: int) -> bool:
        while pid in everyone:
            if pid == own:
                return True
            pid = everyone[pid][0]
        return False

    own = int(Path("/proc/self").resolve().name)
    peaks, seconds = [0.0], [0.0]
    for pid, (_, command) in everyone.items():
        if "--type=renderer" in command and ours(pid):
            for line in Path(f"/proc/{pid}/status").read_text().splitlines():
                if line.startswith("VmHWM"):
                    peaks.append(int(line.split()[1]) / 1024)
            fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
            seconds.append((int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK"))
    return max(peaks), max(seconds)


def on_page(site: Path, file: Path) -> dict[str, Any]:
    """Read ``file`` on the page of a fresh browser."""
    with sync_playwright() as playwright, served(site, "") as base:
        launched = playwright.chromium.launch(
            executable_path=program("chromium", "chromium-browser"), args=CHROMIUM_FLAGS
        )
        page = launched.new_page()
        page.set_default_timeout(120_000)
        page.goto(base + "read-your-log.html")
        page.locator("#readings").scroll_into_view_if_needed()
        page.locator('#readings[data-answer="live"]').wait_for()
        page.wait_for_timeout(500)
        page.evaluate(WATCH)
        page.wait_for_timeout(2000)
        idle = page.evaluate("window.longest")
        page.evaluate("window.longest = 0")
        before, busy = used_by_page()
        page.set_input_files("#readings input[type=file]", str(file))
        result: dict[str, Any] = page.evaluate("window.read")
        peak, busy_then = used_by_page()
        result |= {"peak_megabytes": peak, "before_megabytes": before, "idle": idle}
        result |= {"busy": busy_then - busy}
        launched.close()
    return result


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("site", type=Path)
    options.add_argument("--rows", type=int, default=1_000_000)
    chosen = options.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        for rows in (chosen.rows // 10, chosen.rows):
            file = Path(folder) / f"{rows}.csv"
            file.write_text(invent(rows), encoding="utf-8")
            seen = on_page(chosen.site, file)
            began, busy = time.perf_counter(), time.process_time()
            document = answer("readings", {"log": decode(file.read_bytes())})
            seconds, busy = time.perf_counter() - began, time.process_time() - busy
            assert seen["used"] == document["answers"]["readings_used"]["value"]
            print(json.dumps({
                "rows": rows, "file_megabytes": round(file.stat().st_size / 1e6, 1),
                "page_s": round(seen["took"] / 1000, 2),
                "cpython_s": round(seconds, 2), "cpython_processor_s": round(busy, 2),
                "ratio_to_cpython": round(seen["took"] / 1000 / seconds, 2),
                "page_processor_s": round(seen["busy"], 2),
                "processor_ratio_to_cpython": round(seen["busy"] / busy, 2),
                "longest_pause_ms": round(seen["longest"]), "idle_pause_ms": round(seen["idle"]),
                "peak_megabytes": round(seen["peak_megabytes"]),
                "before_megabytes": round(seen["before_megabytes"]),
            }), flush=True)  # fmt: skip


if __name__ == "__main__":
    main()
