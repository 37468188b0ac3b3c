"""A whole letter read: every fact once, in the order of the parts below."""

from __future__ import annotations

from dataclasses import dataclass

from calculators.keeping.letter.climate import climate
from calculators.keeping.letter.facts import Fact, plain
from calculators.keeping.letter.size import size
from calculators.keeping.letter.trade import trade


@dataclass(frozen=True, slots=True)
class Letter:
    """What a letter says: by field the first fact found; ``also`` holds others that differ."""

    facts: dict[str, Fact]
    also: tuple[Fact, ...]


def read_letter(text: str) -> Letter:
    """Return the facts of ``text``; where two differ, the first is kept and the other told."""
    text = plain(text)
    facts: dict[str, Fact] = {}
    also = []
    for fact in (*size(text), *climate(text), *trade(text)):
        first = facts.setdefault(fact.field, fact)
        if first.typed != fact.typed:
            also.append(fact)
    return Letter(facts, tuple(also))
