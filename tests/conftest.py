"""What tests of every folder share: the built site."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--site", type=Path, help="test this built site instead of building one")


@pytest.fixture(scope="session")
def built_site(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the built site: the one given by --site, or a fresh strict build."""
    given: Path | None = request.config.getoption("--site")
    if given is not None:
        return given.resolve()
    site = tmp_path_factory.mktemp("built") / "guide"
    done = subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "--strict", "--site-dir", str(site)],
        cwd=ROOT,
        check=False,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return site


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Tell how hard the pages are to read, once, after the tests that need no browser."""
    if terminalreporter.config.option.markexpr != "not browser":
        return
    from tests.reading import report

    terminalreporter.section("Reading grade of each page (Flesch-Kincaid; aim: about 8)")
    for line in report(ROOT / "docs"):
        terminalreporter.write_line(line)
