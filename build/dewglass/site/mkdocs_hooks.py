"""The one file that knows MkDocs: thin hooks over the plain modules beside it.

What flows: every page's Markdown is scanned for broken fences before it is parsed; its HTML is
counted against its fences afterwards; the assets' hashed names go into the page.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from mkdocs.exceptions import PluginError

from dewglass.site import fence

FORM = "<dewglass-calculator "


def on_page_markdown(markdown: str, page: Any, config: Any, files: Any) -> str:
    """Stop the build at a broken fence, with file and line."""
    source = Path(page.file.abs_src_path).read_text(encoding="utf-8-sig")
    skipped = source.count("\n") - markdown.count("\n") if source.endswith(markdown) else 0
    problems = fence.problems_in(markdown, page.file.src_uri, skipped)
    if problems:
        raise PluginError("\n".join(problems))
    return markdown


def on_page_content(html: str, page: Any, config: Any, files: Any) -> str:
    """Stop the build when a fence did not become a form."""
    wanted = sum(1 for _ in fence.fences_in(page.markdown))
    found = html.count(FORM)
    if wanted != found:
        raise PluginError(
            f"{page.file.src_uri}: {wanted} calculator fences are written, but {found} calculators "
            "are in the page. Check that each fence is closed, and not indented into a list."
        )
    return html
