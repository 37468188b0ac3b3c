"""Every page through axe on a phone: names, structure and contrast, in light and in dark."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.browser.engines import served
from tests.conftest import ROOT

pytestmark = pytest.mark.browser

AXE = ROOT / "node_modules" / "axe-core" / "axe.min.js"
# What a dark page can spoil; all else is the same page as in light.
COLOURS = ["color-contrast", "link-in-text-block"]
RULES = {"light": {}, "dark": {"runOnly": {"type": "rule", "values": COLOURS}}}


@pytest.mark.parametrize("scheme", RULES)
def test_axe_finds_nothing(built_site: Path, chromium_browser: Any, scheme: str) -> None:
    context = chromium_browser.new_context(
        color_scheme=scheme, viewport={"width": 390, "height": 844}
    )
    page = context.new_page()
    found = []
    with served(built_site, "") as base:
        for path in sorted(built_site.rglob("*.html")):
            name = path.relative_to(built_site).as_posix()
            page.goto(base + name)
            page.evaluate(
                "document.querySelectorAll('details').forEach(part => { part.open = true; })"
            )
            page.add_script_tag(path=AXE)
            options = {"resultTypes": ["violations"], **RULES[scheme]}
            report = page.evaluate("options => axe.run(options)", options)
            found += [
                f"{name}: {each['id']}: {node['html'][:160]}"
                for each in report["violations"]
                for node in each["nodes"][:3]
            ]
            wide = page.evaluate(
                "document.documentElement.scrollWidth - document.documentElement.clientWidth"
            )
            if wide > 0:
                found.append(f"{name}: {wide} pixels wider than the screen")
    context.close()
    assert not found, "\n".join(found)
