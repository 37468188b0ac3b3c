"""What a small screen asks of a page's text: tables without scrolling, numbers with their units.

A Python-Markdown extension. In: the elements of a page. Out: the same, where

- a table has a class of ours, which keeps the theme's scrolling wrapper off; one too wide for a
  phone has each cell's heading on the cell, so that the styles can show it row by row, and roles
  that keep it a table for a screen reader however it is laid out;
- a number and its unit are not parted at the end of a line.
"""

from __future__ import annotations

import re
from typing import Any
from xml.etree.ElementTree import Element

from markdown import Markdown
from markdown.extensions import Extension
from markdown.treeprocessors import Treeprocessor

COLUMNS = 3  # that stand side by side on a phone whatever they hold
LETTERS = 60  # in a row of more columns that still do
AFTER_INLINE = 15  # Python-Markdown's own number for inline text is 20
ROLES = {"thead": "rowgroup", "tbody": "rowgroup", "tr": "row", "th": "columnheader", "td": "cell"}
AS_TYPED = {"code", "pre", "script", "style"}
UNIT = re.compile(
    r"(?<=\d) (?=(?:°[CF]|%|K|W|[kmµ]?g|[cmkµ]?m|in|oz|fl oz|[mµ]?L|gal|[kh]?Pa|ppm|kWh)(?![\w]))"
)
NO_BREAK = "\N{NO-BREAK SPACE}"


class _Phones(Treeprocessor):  # type: ignore[misc]  # Python-Markdown carries no types
    def run(self, root: Element) -> None:
        for table in root.iter("table"):
            _mark(table)
        _bind(root)


def _mark(table: Element) -> None:
    headings = [_words(cell) for cell in table.iter("th")]
    rows = [row.findall("td") for row in table.iter("tr")]
    longest = max(sum(len(_words(cell)) for cell in row) for row in rows)
    wide = len(headings) > COLUMNS and longest > LETTERS
    table.set("class", "dg-columns dg-wide" if wide else "dg-columns")
    if not wide:
        return
    table.set("role", "table")
    for part in table.iter():
        if part.tag in ROLES:
            part.set("role", ROLES[part.tag])
    for row in rows:
        for heading, cell in zip(headings, row, strict=False):
            cell.set("data-label", heading)


def _words(cell: Element) -> str:
    return "".join(cell.itertext()).strip()


def _bind(element: Element) -> None:
    if element.text and element.tag not in AS_TYPED:
        element.text = UNIT.sub(NO_BREAK, element.text)
    for child in element:
        _bind(child)
        if child.tail:
            child.tail = UNIT.sub(NO_BREAK, child.tail)


class PhonesExtension(Extension):  # type: ignore[misc]
    """Python-Markdown's side: ``markdown_extensions: [dewglass.site.phones]``."""

    def extendMarkdown(self, md: Markdown) -> None:
        md.treeprocessors.register(_Phones(md), "dewglass-phones", AFTER_INLINE)


def makeExtension(**settings: Any) -> PhonesExtension:
    """Return the extension; Python-Markdown asks for it by this name."""
    return PhonesExtension(**settings)
