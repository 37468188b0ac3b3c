"""How hard each page of the guide is to read: a report beside the tests, never a gate."""

from __future__ import annotations

import re
from pathlib import Path

import readability

_FENCE = re.compile(r"^(`{3,}|~{3,}).*?^\1\s*$", re.MULTILINE | re.DOTALL)
_NOISE = re.compile(r"^\s*(\||#|!!!|<|!\[|\[\^).*$", re.MULTILINE)
_LINK = re.compile(r"!?\[([^\]]*)\]\([^)]*\)(\{[^}]*\})?")


def grade(markdown: str) -> float:
    """Return the Flesch-Kincaid grade of a page's running text.

    Fences, tables, headings and addresses are left out; the arithmetic is that of the library
    ``readability``, which takes one sentence a line and its words parted by spaces.
    """
    text = _LINK.sub(r"\1", _NOISE.sub("", _FENCE.sub("", markdown)))
    text = re.sub(r"[*_`>#]|^\s*(-|\d+\.)\s", " ", text, flags=re.MULTILINE)
    sentences = re.split(r"(?<=[.!?])\s+|\n\s*\n", " ".join(text.split(" ")))
    lines = [re.sub(r"([.,;:!?()])", r" \1 ", " ".join(each.split())) for each in sentences]
    tokens = "\n".join(line.strip() for line in lines if re.search(r"[a-z]", line))
    measures = readability.getmeasures(tokens, lang="en")
    return float(measures["readability grades"]["Kincaid"])


def report(docs: Path) -> list[str]:
    """Return a line for each page, the hardest first."""
    grades = {path.name: grade(path.read_text(encoding="utf-8")) for path in docs.glob("*.md")}
    return [f"{value:5.1f}  {name}" for name, value in sorted(grades.items(), key=lambda p: -p[1])]
