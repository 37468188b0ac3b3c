"""What the calculators say when they refuse.

In: a value that cannot be used. Out: one sentence a keeper can act on.
"""

from __future__ import annotations

from dataclasses import dataclass


class OutOfRange(ValueError):
    """A published equation was asked for an answer outside the range where it holds."""

    def __init__(
        self, what: str, value: float, low: float, high: float, unit: str, source: str = ""
    ) -> None:
        self.what, self.value, self.low, self.high, self.unit = what, value, low, high, unit
        where = f" ({source})" if source else ""
        super().__init__(
            f"{what} of {value:.6g} {unit} is outside {low:g} to {high:g} {unit}, "
            f"the range this equation{where} holds for."
        )


class NoAnswer(ValueError):
    """The inputs are each allowed, but together they have no answer; the sentence says why.

    ``field`` names the input where a reader should look, or is empty.
    """

    def __init__(self, sentence: str, field: str = "") -> None:
        self.field = field
        super().__init__(sentence)


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong with one input: ``field`` is the input's name, ``sentence`` what to do."""

    field: str
    sentence: str


class InputError(ValueError):
    """Every input that cannot be used, all at once."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        self.problems = problems
        super().__init__("\n".join(problem.sentence for problem in problems))
