"""How long a reader waits for Python's first answer: Pyodide as it comes against ours.

    python tests/bench/start.py [--runs 5] [--json dist/start.json]

In: Node's packages and an installed Chromium. Out: milliseconds from navigation to the first
answer, medians over runs taken in turn, with an empty cache (cold) and a filled one (warm), and the
ratios; exit status 1 when one is over the bar. Both run in a worker and load the same calculators
from one server on this machine, which sends everything compressed and lets browsers keep it.
"""

from __future__ import annotations

import argparse
import gzip
import http.server
import json
import mimetypes
import platform
import shutil
import statistics
import sys
import tempfile
import threading
from pathlib import Path
from typing import Any, ClassVar

from playwright.sync_api import Browser, BrowserContext, sync_playwright

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "build")]

from dewglass.site.runtime import FOLDER, pack, preload_links, script_tags  # noqa: E402
from tests.browser.engines import CHROMIUM_FLAGS, program  # noqa: E402

BAR = 0.45
NAMES = ["ours", "untouched"]

OURS = """<!doctype html><html lang="en"><meta charset="utf-8"><title>Ours</title>
{links}<body><p id="answer"></p>{script}<script>
addEventListener("DOMContentLoaded", async () => {{
  const document_ = await dewglass.runtime.ask("bench", "dew-point", {{}});
  window.took = performance.now();
  document.getElementById("answer").textContent = JSON.stringify(document_);
}});</script></body></html>"""

UNTOUCHED = """<!doctype html><html lang="en"><meta charset="utf-8"><title>Untouched</title>
<body><p id="answer"></p><script>
const worker = new Worker("untouched.js");
worker.onmessage = ({ data }) => {
  window.took = performance.now();
  document.getElementById("answer").textContent = data;
};</script></body></html>"""

UNTOUCHED_WORKER = """
importScripts("pyodide/pyodide.js");
(async () => {
  const pyodide = await loadPyodide({ indexURL: new URL("pyodide/", location).href });
  pyodide.unpackArchive(await (await fetch("calculators.zip")).arrayBuffer(), "zip");
  postMessage(pyodide.runPython(`
import json
from calculators.ask import answer
json.dumps(answer("dew-point", {}))`));
})();
"""


class Handler(http.server.BaseHTTPRequestHandler):
    """Sends the prepared files, compressed, to be kept."""

    protocol_version = "HTTP/1.1"
    files: ClassVar[dict[str, tuple[str, bytes, bool]]] = {}

    def do_GET(self) -> None:
        found = self.files.get(self.path)
        self.send_response(200 if found else 404)
        kind, body, squeezed = found or ("text/plain", b"", False)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(body)))
        self.send_header("Cache-Control", "max-age=3600")
        if squeezed:
            self.send_header("Content-Encoding", "gzip")
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *_: object) -> None:
        pass


def prepare(folder: Path) -> None:
    """Lay out both pages in ``folder`` and what they load."""
    packed = pack(folder)
    script = script_tags(packed)
    page = OURS.format(links=preload_links(packed), script=script)
    (folder / "ours.html").write_text(page)
    # The same calculators, compiled ahead too, as an archive that Pyodide unpacks by itself.
    data = (folder / FOLDER / packed.files["calculators"]).read_bytes()
    (folder / "calculators.zip").write_bytes(gzip.decompress(data))
    (folder / "untouched.html").write_text(UNTOUCHED)
    (folder / "untouched.js").write_text(UNTOUCHED_WORKER)
    shutil.copytree(ROOT / "node_modules" / "pyodide", folder / "pyodide")


def load(folder: Path) -> None:
    """Take every file into memory, compressed where that helps."""
    for path in folder.rglob("*"):
        if path.is_file():
            kind = mimetypes.guess_type(path.name)[0] or "application/octet-stream"
            data = path.read_bytes()
            squeezed = gzip.compress(data, 9)
            smaller = len(squeezed) < 0.97 * len(data)
            entry = (kind, squeezed if smaller else data, smaller)
            Handler.files[f"/{path.relative_to(folder).as_posix()}"] = entry


def took(context: BrowserContext, address: str) -> float:
    """Open ``address`` and return the milliseconds until its first answer."""
    page = context.new_page()
    page.goto(address)
    page.wait_for_function("window.took", timeout=60_000)
    answered = json.loads(page.inner_text("#answer"))
    assert "answers" in answered, answered
    milliseconds = float(page.evaluate("window.took"))
    page.close()
    return milliseconds


def measure(browser: Browser, base: str, runs: int) -> dict[str, dict[str, list[float]]]:
    """Take each in turn, cold and then warm, ``runs`` times after one that does not count."""
    times = {name: {"cold": [], "warm": []} for name in NAMES}
    for run in range(runs + 1):
        for name in NAMES if run % 2 else NAMES[::-1]:
            context = browser.new_context()
            # The third visit is the warm one: browsers keep compiled code after the second.
            cold, _, warm = (took(context, f"{base}{name}.html") for _ in range(3))
            context.close()
            if run:
                times[name]["cold"].append(cold)
                times[name]["warm"].append(warm)
    return times


def main() -> int:
    """Measure, print, and hold against the bar."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--runs", type=int, default=5)
    parser.add_argument("--json", type=Path, default=ROOT / "dist" / "start.json")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as temporary:
        prepare(Path(temporary))
        load(Path(temporary))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    with sync_playwright() as playwright:
        executable = program("chromium", "chromium-browser", "google-chrome")
        browser = playwright.chromium.launch(executable_path=executable, args=CHROMIUM_FLAGS)
        version = browser.version
        times = measure(browser, f"http://127.0.0.1:{server.server_address[1]}/", options.runs)
        browser.close()
    server.shutdown()

    result: dict[str, Any] = {
        "what": "milliseconds from navigation to Python's first answer, medians",
        "runs": options.runs,
        "browser": f"Chromium {version}",
        "machine": platform.machine(),
        "bar": BAR,
    }
    passed = True
    for state in ("cold", "warm"):
        medians = {name: statistics.median(times[name][state]) for name in NAMES}
        ratio = medians["ours"] / medians["untouched"]
        passed &= ratio <= BAR
        result[state] = {**medians, "ratio": ratio, "all": {n: times[n][state] for n in NAMES}}
        print(
            f"{state}: ours {medians['ours']:.0f} ms, untouched {medians['untouched']:.0f} ms, "
            f"ratio {ratio:.2f} (bar {BAR})"
        )
    options.json.parent.mkdir(parents=True, exist_ok=True)
    options.json.write_text(json.dumps(result, indent=2) + "\n")
    return 0 if passed else 1


if __name__ == "__main__":
    sys.exit(main())
