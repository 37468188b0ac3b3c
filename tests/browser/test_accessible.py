"""Every page through axe: names, contrast, structure, in light and in dark."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.browser.engines import served
from tests.conftest import ROOT

pytestmark = pytest.mark.browser

AXE = ROOT / "node_modules" / "axe-core" / "axe.min.js"


@pytest.mark.parametrize("scheme", ["light", "dark"])
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
            for card in page.locator("details.dg-card > summary").all():
                card.click()
            page.add_script_tag(path=AXE)
            report = page.evaluate("axe.run({resultTypes: ['violations']})")
            found += [
                f"{name}: {each['id']}: {each['nodes'][0]['html'][:160]}"
                for each in report["violations"]
            ]
    context.close()
    assert not found, "\n".join(found)
