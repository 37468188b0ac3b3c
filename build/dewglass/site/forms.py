"""Count the calculators in the Markdown and in the built pages: none may get lost on the way.

In: the folder of Markdown and that of HTML. Out: a sentence for each page where they differ.
A fence that fails to become a form is published as plain text without an error: so we count.
"""

from __future__ import annotations

from html.parser import HTMLParser
from pathlib import Path

from dewglass.site.fence import ELEMENT, fences_in


class _Page(HTMLParser):
    """Counts the calculators of a page, and those of them that hold an answer."""

    def __init__(self) -> None:
        super().__init__()
        self.forms, self.answered, self._waiting = 0, 0, False

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        if tag == ELEMENT:
            self.forms += 1
            self._waiting = True
        elif tag == "output" and self._waiting:
            self.answered += 1
            self._waiting = False


def forms(html: str) -> tuple[int, int]:
    """Return how many calculators ``html`` holds, and how many of them hold an answer."""
    page = _Page()
    page.feed(html)
    page.close()
    return page.forms, page.answered


def built(page: Path) -> Path:
    """Return where the Markdown file ``page`` lies as HTML, both relative to their folders."""
    return page.with_name("index.html") if page.stem == "README" else page.with_suffix(".html")


def miscounted(docs: Path, site: Path) -> list[str]:
    """Return a sentence for each page of ``docs`` whose calculators did not all reach ``site``."""
    wrong = []
    for source in sorted(docs.rglob("*.md")):
        name = source.relative_to(docs)
        page = site / built(name)
        wanted = sum(1 for _ in fences_in(source.read_text(encoding="utf-8")))
        if not page.exists():
            if wanted:
                wrong.append(f"{name.as_posix()} was not built.")
            continue
        found, answered = forms(page.read_text(encoding="utf-8"))
        if found != wanted:
            wrong.append(
                f"{name.as_posix()} places {wanted} calculators, but {found} stand in the page. "
                "Put an example of a fence inside a longer fence."
            )
        elif answered != found:
            wrong.append(f"{name.as_posix()}: {found - answered} calculators hold no answer.")
    return wrong
