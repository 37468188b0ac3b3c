"""A fact from a letter, and what every reader of letters shares."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

NUMBER = r"(?<![\d.,])(\d+(?:[.,]\d+)?)"
_USUAL = {
    "’": "'", "′": "'", "”": '"', "“": '"', "″": '"', "º": "°", "×": "x", "–": "-", "—": "-",
    "−": "-", "\u00a0": " ",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Fact:
    """One fact: the card's field (or the calculator's input), as typed, and the words it is from.

    ``sure`` is False where the words could belong to the room as well as to the tank.
    """

    field: str
    typed: str
    words: str
    sure: bool = True


def plain(text: str) -> str:
    """Return ``text`` with the odd signs of phones and word processors made usual ones."""
    for odd, usual in _USUAL.items():
        text = text.replace(odd, usual)
    return text


def sentences(text: str) -> Iterator[str]:
    """Yield the sentences of ``text``; a point inside a number ends none."""
    for part in re.split(r"[;!?\n]+|\.(?!\d)", text):
        if part.strip():
            yield part


def quoted(words: str) -> str:
    """Return words from a letter on one line."""
    return " ".join(words.split())


def value(digits: str) -> float:
    """Return a number with a point or a comma in it."""
    return float(digits.replace(",", "."))
