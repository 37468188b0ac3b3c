"""Set up and run Dewglass: the commands behind the Makefile.

Standard library only, because it runs before anything is installed. In: a command from COMMANDS.
Out: an exit status, and lines that say what is going on. Every step of the set-up leaves a stamp of
what it was made from, so that a second run does only what has changed and needs no network.
"""

from __future__ import annotations

import argparse
import hashlib
import os
import shutil
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterable
from pathlib import Path
from xml.etree import ElementTree

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
SCRIPTS = VENV / ("Scripts" if os.name == "nt" else "bin")
PYTHON = SCRIPTS / ("python.exe" if os.name == "nt" else "python")
CACHE = ROOT / ".cache"
OLDEST = (3, 11)
BEST = "python3.13"  # the browser's Python is 3.13 too, so its library can be compiled beforehand
OLDEST_NODE = 18
NEEDS_NETWORK = "The first run needs the internet; later runs do not."


class Stop(Exception):
    """What went wrong, in a sentence for the person at the terminal."""


def say(line: str) -> None:
    """Print ``line`` at once, also into a pipe."""
    print(line, flush=True)


def environment() -> dict[str, str]:
    """Return the variables for a child process: the virtual environment's programs come first."""
    ours = {
        "VIRTUAL_ENV": str(VENV),
        "PATH": f"{SCRIPTS}{os.pathsep}{os.environ['PATH']}",
        "NO_MKDOCS_2_WARNING": "1",  # known: see "Why these parts" in DEVELOPERS.md
    }
    kept = {key: value for key, value in os.environ.items() if key != "PYTHONHOME"}
    return kept | ours


def run(*command: str | Path) -> int:
    """Run ``command`` in the project's folder, its output passing through; return its status."""
    sys.stdout.flush()
    return subprocess.run(command, cwd=ROOT, env=environment(), check=False).returncode


def quietly(failure: str, *command: str | Path) -> None:
    """Run ``command``; show its output only if it fails, with the sentence ``failure``."""
    done = subprocess.run(
        command, cwd=ROOT, env=environment(), check=False, text=True,
        encoding="utf-8", errors="replace", stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
    )  # fmt: skip
    if done.returncode:
        raise Stop(f"{done.stdout.strip()}\n\n{failure}")


def once(what: str, stamp: Path, made_from: Iterable[str | Path], work: Callable[[], None]) -> None:
    """Do ``work`` unless ``stamp`` says it was done from the same files and words."""
    digest = hashlib.sha256()
    for part in made_from:
        digest.update(part.read_bytes() if isinstance(part, Path) else part.encode())
        digest.update(b"\0")
    if stamp.exists() and stamp.read_text() == digest.hexdigest():
        return
    say(f"{what} …")
    start = time.monotonic()
    work()
    stamp.parent.mkdir(parents=True, exist_ok=True)
    stamp.write_text(digest.hexdigest())
    say(f"  done in {time.monotonic() - start:.0f} s")


# --- Python ------------------------------------------------------------------------------------


def _answers(command: list[str | Path]) -> str | None:
    """Return what ``command`` prints, or None where it fails or is only a stand-in that cannot."""
    try:
        done = subprocess.run(command, check=False, capture_output=True, text=True, timeout=60)
    except (OSError, subprocess.TimeoutExpired):
        return None
    return done.stdout.strip() if done.returncode == 0 else None


def _usable(python: str | Path) -> bool:
    """Tell whether ``python`` runs, is new enough and can make a virtual environment."""
    probe = f"import sys, venv, ensurepip; sys.exit(sys.version_info < {OLDEST})"
    return _answers([python, "-c", probe]) is not None


def virtual_environment() -> None:
    """Make .venv with the best Python here; leave a working one alone."""
    if _usable(PYTHON):
        if _answers([PYTHON, "-m", "pip", "--version"]) is None:
            quietly("pip could not be set up.", PYTHON, "-m", "ensurepip", "--upgrade")
        return
    python = next((name for name in (BEST, sys.executable) if _usable(name)), None)
    if python is None:
        raise Stop(
            f"{sys.executable} cannot make a virtual environment: its venv or ensurepip module is "
            "missing. On Debian or Ubuntu, install the package python3-venv and run this again."
        )
    say(f"Making the virtual environment .venv with {python} …")
    quietly(".venv could not be made.", python, "-m", "venv", "--clear", VENV)


def packages(name: str) -> None:
    """Install requirements/NAME.txt, every file checked against its hash."""
    locked = ROOT / "requirements" / f"{name}.txt"
    version = _answers([PYTHON, "-c", "import sys; print(sys.version)"]) or ""
    once(
        f"Installing the Python packages in requirements/{name}.txt",
        VENV / f".dewglass-{name}",
        [version, locked],
        lambda: quietly(
            f"The packages in requirements/{name}.txt could not be installed. {NEEDS_NETWORK}",
            PYTHON, "-m", "pip", "install", "--require-hashes", "--requirement", locked,
        ),
    )  # fmt: skip


def ourselves() -> None:
    """Put ``calculators`` and ``dewglass`` on the virtual environment's path."""
    once(
        "Linking the project into .venv",
        VENV / ".dewglass-link",
        [str(ROOT), ROOT / "pyproject.toml"],
        lambda: quietly(
            "The project could not be linked into .venv.",
            PYTHON, "-m", "pip", "install", "--no-index", "--no-deps", "--no-build-isolation",
            "--editable", ROOT,
        ),
    )  # fmt: skip


# --- Node and what the browser runs ------------------------------------------------------------


def _node() -> str | None:
    """Return the version of a Node that is new enough and has npm, or None."""
    path = environment()["PATH"]
    node, npm = shutil.which("node", path=path), shutil.which("npm", path=path)
    version = _answers([node, "--version"]) if node and npm else None
    major = (version or "").lstrip("v").split(".")[0]
    return version if major.isdigit() and int(major) >= OLDEST_NODE else None


def browser_side() -> None:
    """Fetch the browser's Python and tools from npm, and pack what a page will load."""
    if _node() is None:
        packages("node")
    version = _node()
    if version is None:
        raise Stop("Node did not start. Install Node 18 or newer from nodejs.org; run this again.")
    npm = shutil.which("npm", path=environment()["PATH"]) or "npm"
    lock = ROOT / "package-lock.json"
    once(
        "Fetching the browser's Python and tools",
        ROOT / "node_modules" / ".dewglass",
        [version, ROOT / "package.json", lock],
        lambda: quietly(f"npm could not install them. {NEEDS_NETWORK}", npm, "ci"),
    )
    site = ROOT / "build" / "dewglass" / "site"
    page = ROOT / "build" / "dewglass" / "page"
    once(
        "Packing Python for the browser",
        CACHE / "packed" / ".dewglass",
        [version, lock, site / "runtime.py", site / "archives.py", *_files(page)],
        _pack,
    )


def _files(folder: Path) -> list[Path]:
    return [path for path in sorted(folder.rglob("*")) if path.is_file()]


def _pack() -> None:
    """Fill the cache that every build of the site draws from."""
    if run(PYTHON, "-m", "dewglass.site.runtime", "--out", CACHE / "packed"):
        raise Stop("The browser's Python could not be packed.")


def set_up(*sets: str) -> None:
    """Bring the working folder up to date for the requirement files named."""
    virtual_environment()
    for name in sets:
        packages(name)
    ourselves()
    browser_side()


# --- Commands ----------------------------------------------------------------------------------


def _free(port: int) -> bool:
    with socket.socket() as probe:
        if os.name != "nt":
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind(("127.0.0.1", port))
        except OSError:
            return False
    return True


def _announce(port: int) -> None:
    """Say where the guide is as soon as it answers there."""
    while True:
        time.sleep(0.2)
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)) == 0:
                break
    say(f"The guide is at http://127.0.0.1:{port}/ (Ctrl-C stops it).")


def guide(port: int) -> int:
    """Build the guide, serve it on this machine and follow changes of its Markdown."""
    if not 1 <= port <= 65535:
        raise Stop(f"{port} is not a port. Choose one from 1024 to 65535, such as 8001.")
    if not _free(port):
        other = port + 1 if port < 65535 else 8000
        raise Stop(f"Port {port} is taken by another program. Try: make guide PORT={other}")
    set_up("guide")
    say("Building the pages …")
    threading.Thread(target=_announce, args=(port,), daemon=True).start()
    return run(
        PYTHON, "-m", "mkdocs", "serve", "--livereload", "--dev-addr", f"127.0.0.1:{port}"
    )  # fmt: skip


def _chromium_here() -> bool:
    """Tell whether a Chromium for the tests stands ready: the system's or Playwright's own."""
    if any(map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))):
        return True
    probe = (
        "import pathlib, sys; from playwright.sync_api import sync_playwright as start\n"
        "with start() as p: sys.exit(not pathlib.Path(p.chromium.executable_path).exists())"
    )
    return _answers([PYTHON, "-c", probe]) is not None


def browsers() -> bool:
    """Install the browsers of the tests where that can be done; tell whether Chromium is here.

    Tests in Firefox and WebKit skip themselves where those are missing (and fail if CI is set).
    """
    wanted = {
        "chromium": "chromium",
        "firefox-esr": "firefox-esr",
        "poppler-utils": "pdftotext",
        "webkit2gtk-driver": "WebKitWebDriver",
        "xvfb": "Xvfb",
    }
    missing = [package for package, program in wanted.items() if not shutil.which(program)]
    if missing and shutil.which("apt-get") and hasattr(os, "geteuid") and os.geteuid() == 0:
        say(f"Installing browsers for the tests: {', '.join(missing)} …")
        run("apt-get", "-qq", "update")
        for package in missing:  # one by one: a system that lacks one of them may have the others
            run("apt-get", "-qq", "--yes", "--no-install-recommends", "install", package)
    if not _chromium_here():
        say("Fetching a browser for the tests …")
        run(PYTHON, "-m", "playwright", "install", "chromium")
    return _chromium_here()


def _pytest(name: str, *arguments: str) -> tuple[int, int]:
    """Run pytest; return how many tests passed and failed. Not having run is a failure."""
    report = CACHE / f"{name}.xml"
    report.unlink(missing_ok=True)
    status = run(PYTHON, "-m", "pytest", "-q", f"--junit-xml={report}", *arguments)
    if status not in (0, 1) or not report.exists():
        return 0, 1
    suite = next(ElementTree.parse(report).iter("testsuite"))
    total, failed, errors, skipped = (
        int(suite.get(key, "0")) for key in ("tests", "failures", "errors", "skipped")
    )
    return total - failed - errors - skipped, failed + errors


def test() -> int:
    """Run every check: style, types, layers and tests, the last in a real browser too."""
    CACHE.mkdir(exist_ok=True)
    (CACHE / "summary.txt").unlink(missing_ok=True)
    set_up("guide", "test")
    # node_modules/.bin is what npm put there for this project; npx would look further.
    types = ROOT / "node_modules" / ".bin" / ("tsc.cmd" if os.name == "nt" else "tsc")
    tools: dict[str, list[str | Path]] = {
        "Style": [PYTHON, "-m", "ruff", "check", "."],
        "Format": [PYTHON, "-m", "ruff", "format", "--check", "."],
        "Types": [PYTHON, "-m", "mypy"],
        "Layers": [SCRIPTS / "lint-imports"],
        "Page scripts": [types, "--project", "tsconfig.json"],
    }
    passed, failures = 0, list[str]()
    for name, command in tools.items():
        say(f"\n== {name}")
        if run(*command) == 0:
            passed += 1
        else:
            failures.append(name)
    failed = len(failures)
    have_browser = browsers()
    runs = [("tests", ["-n", "2", "-m", "not browser"])]
    if have_browser:
        # One at a time: a browser needs the machine's two cores for itself.
        runs.append(("browser-tests", ["-m", "browser"]))
    for name, arguments in runs:
        say(f"\n== {name}")
        good, bad = _pytest(name, *arguments)
        passed, failed = passed + good, failed + bad
    if not have_browser:
        say("\nNo browser could be installed, so the tests that need one were NOT run.")
        say("Install Chromium (Debian: apt install chromium) and run this again.")
        failed += bool(os.environ.get("CI"))
    if failures:
        say(f"\nNot in order: {', '.join(failures)} (see above).")
    summary = f"{passed} passed, {failed} failed"
    (CACHE / "summary.txt").write_text(f"{summary}\n")
    say(f"\n{summary}")
    return 1 if failed else 0


def bench() -> int:
    """Run the measurements in tests/bench, one after another."""
    set_up("guide", "test")
    browsers()
    scripts = sorted((ROOT / "tests" / "bench").glob("*.py"))
    return max([run(PYTHON, script) for script in scripts], default=0)


def publish() -> int:
    """Check everything that is published, then write dist/; refuse if one number is wrong."""
    set_up("guide", "test")
    if not browsers():
        raise Stop("Publishing needs a browser to compare its answers. Install Chromium first.")
    return run(PYTHON, "-m", "dewglass.site.publish")


def lock() -> int:
    """Choose the newest packages that requirements/*.in allow, and write their hashes down."""
    virtual_environment()
    quietly("uv could not be installed.", PYTHON, "-m", "pip", "install", "uv")
    for name in ("guide", "test", "node"):
        quietly(
            f"requirements/{name}.in could not be resolved.",
            PYTHON, "-m", "uv", "pip", "compile", f"requirements/{name}.in",
            "--output-file", f"requirements/{name}.txt", "--upgrade", "--universal",
            "--python-version", ".".join(map(str, OLDEST)), "--generate-hashes",
            "--no-header", "--no-emit-index-url", "--no-emit-find-links",
        )  # fmt: skip
    return 0


def setup() -> int:
    """Install what the other commands need, and do nothing else."""
    set_up("guide", "test")
    return 0


COMMANDS: dict[str, Callable[..., int]] = {
    "setup": setup,
    "guide": guide,
    "test": test,
    "bench": bench,
    "publish": publish,
    "lock": lock,
}


def main() -> int:
    """Run the command named on the command line."""
    if sys.version_info < OLDEST:
        here = ".".join(map(str, sys.version_info[:3]))
        raise Stop(f"Dewglass needs Python 3.11 or newer; this is Python {here}.")
    parser = argparse.ArgumentParser(description="Set up and run Dewglass.")
    commands = parser.add_subparsers(dest="command", required=True)
    for name, function in COMMANDS.items():
        command = commands.add_parser(name, help=function.__doc__, description=function.__doc__)
        if name == "guide":
            command.add_argument("--port", type=int, default=8000, help="default: 8000")
    arguments = vars(parser.parse_args())
    return COMMANDS[arguments.pop("command")](**arguments)


if __name__ == "__main__":
    try:
        sys.exit(main())
    except Stop as stop:
        print(stop, file=sys.stderr)
        sys.exit(1)
    except KeyboardInterrupt:
        sys.exit(0)
