"""Python answers in every engine, over http under a strict policy and from a folder as a file."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from calculators.ask import answer
from dewglass.site.runtime import ROOT, Packed, pack, preload_links, script_tags
from tests.browser.engines import Engine, served

pytestmark = pytest.mark.browser

ASK = "await dewglass.runtime.ask('page', 'dew-point', {})"
SHIM = ROOT / "node_modules" / "iframe-worker" / "shim" / "index.js"


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A site of two bare pages, one with a theme's stand-in for workers."""
    folder = tmp_path_factory.mktemp("site")
    packed = pack(folder)
    write(folder / "index.html", packed, preload_links(packed))
    write(folder / "shimmed.html", packed, '<script src="shim.js"></script>')
    (folder / "shim.js").write_bytes(SHIM.read_bytes())
    return folder


def write(path: Path, packed: Packed, head: str) -> None:
    """Write a bare page."""
    path.write_text(
        f'<!doctype html><html lang="en"><meta charset="utf-8"><title>Bare</title>{head}'
        f"<body>{script_tags(packed)}</body></html>"
    )


@pytest.fixture(params=["http", "file"])
def address(request: pytest.FixtureRequest, site: Path) -> Iterator[str]:
    """The site's address, both ways."""
    if request.param == "file":
        yield site.as_uri() + "/"
    else:
        with served(site) as url:
            yield url


def same(live: Any, prepared: Any) -> bool:
    """Whether two documents are the same, numbers but for the last digits.

    The browser's Python has another library of elementary functions (musl's), whose results may
    differ from this machine's in the last of some 16 digits; 1e-9 leaves room for what follows.
    """
    if isinstance(prepared, dict):
        return live.keys() == prepared.keys() and all(same(live[k], prepared[k]) for k in prepared)
    if isinstance(prepared, list | tuple):
        return len(live) == len(prepared) and all(map(same, live, prepared))
    if isinstance(prepared, float):
        return math.isclose(live, prepared, rel_tol=1e-9, abs_tol=1e-12)
    return bool(live == prepared)


@pytest.mark.parametrize("page", ["index.html", "shimmed.html"])
def test_answers(engine: Engine, address: str, page: str) -> None:
    engine.open(address + page)
    assert same(engine.evaluate(ASK), answer("dew-point", {}))
    assert engine.evaluate("dewglass.runtime.state") == "ready"
