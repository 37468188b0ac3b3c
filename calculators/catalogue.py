"""Every calculator a page may name, in one explicit tuple."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from calculators.fields import Answer


@dataclass(frozen=True, slots=True)
class Calculator:
    """A calculator as pages name it.

    ``question`` is what a keeper asks; ``sources`` the anchors on the words-and-sources page;
    ``practice_only`` says why there is no published check, where there is none.
    """

    name: str
    title: str
    question: str
    function: Callable[..., Answer]
    practice_only: str = ""


CATALOGUE: tuple[Calculator, ...] = ()
