"""Addresses of headings: none may take the address of a calculator on the same page.

``page.html#fresh-air`` is the calculator; a heading “Fresh air” is ``#fresh-air_1``, as
Python-Markdown numbers whatever comes second.
"""

from __future__ import annotations

from markdown.extensions.toc import slugify

from calculators.catalogue import CATALOGUE

CALCULATORS = frozenset(entry.name for entry in CATALOGUE)


def heading(text: str, separator: str) -> str:
    """Return the anchor of a heading with the words ``text``."""
    slug = str(slugify(text, separator))
    return f"{slug}_1" if slug in CALCULATORS else slug
