"""Tables of a Markdown page, made to be read on a phone without scrolling sideways.

A Python-Markdown extension. In: the tables of a page. Out: the same with a class of ours, which
keeps the theme's scrolling wrapper off, and with each cell's heading on the cell: where there is
no room for columns, the styles show a wide table row by row, each cell under its heading. The
roles keep it a table for a screen reader however it is laid out.
"""

from __future__ import annotations

from typing import Any
from xml.etree.ElementTree import Element

from markdown import Markdown
from markdown.extensions import Extension
from markdown.treeprocessors import Treeprocessor

MOST_COLUMNS = 3  # side by side on a phone
AFTER_INLINE = 15  # Python-Markdown's own number for inline text is 20
ROLES = {"thead": "rowgroup", "tbody": "rowgroup", "tr": "row", "th": "columnheader", "td": "cell"}


class _Tables(Treeprocessor):  # type: ignore[misc]  # Python-Markdown has no types
    def run(self, root: Element) -> None:
        for table in root.iter("table"):
            headings = ["".join(cell.itertext()).strip() for cell in table.iter("th")]
            wide = len(headings) > MOST_COLUMNS
            table.set("class", "dg-columns dg-wide" if wide else "dg-columns")
            if not wide:
                continue
            table.set("role", "table")
            for part in table.iter():
                if part.tag in ROLES:
                    part.set("role", ROLES[part.tag])
            for row in table.iter("tr"):
                for heading, cell in zip(headings, row.findall("td"), strict=False):
                    cell.set("data-label", heading)


class TablesExtension(Extension):  # type: ignore[misc]
    """Python-Markdown's side: ``markdown_extensions: [dewglass.site.tables]``."""

    def extendMarkdown(self, md: Markdown) -> None:
        md.treeprocessors.register(_Tables(md), "dewglass-tables", AFTER_INLINE)


def makeExtension(**settings: Any) -> TablesExtension:
    """Return the extension; Python-Markdown asks for it by this name."""
    return TablesExtension(**settings)
