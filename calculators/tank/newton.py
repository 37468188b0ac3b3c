"""A small set of equations solved together.

In: a function that gives residuals, one that gives their slopes (good to some 20 %). Out: the
unknowns that make every residual vanish. Broyden's method: each round corrects the slopes by what
the last step taught, so that a set that is dear to evaluate needs few evaluations.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from operator import mul
from typing import Any, NamedTuple

Vector = list[float]
Matrix = list[list[float]]

_ROUNDS = 40
_MEMORY = 12  # corrections kept before the slopes are taken afresh
_PATIENCE = 1000
_SLOWEST = 0.1
_LEAST_DAMPING = 0.02
_POOR = 0.7  # a round that leaves more than this of the residual calls for fresh slopes


class Evaluation(NamedTuple):
    """Residuals at some unknowns, how large they are in relation, what the slopes need."""

    residuals: Vector
    left: float
    details: Any


def factorise(matrix: Matrix) -> tuple[Matrix, list[int]]:
    """Return the LU factors of ``matrix`` (in its place) and the order of its rows.

    Gaussian elimination with partial pivoting. Raises ZeroDivisionError when singular.
    """
    size = len(matrix)
    order = list(range(size))
    for column in range(size):
        pivot = max(range(column, size), key=lambda row: abs(matrix[row][column]))
        if pivot != column:
            matrix[column], matrix[pivot] = matrix[pivot], matrix[column]
            order[column], order[pivot] = order[pivot], order[column]
        top = matrix[column]
        inverse = 1.0 / top[column]
        for row in range(column + 1, size):
            line = matrix[row]
            if line[column]:
                factor = line[column] * inverse
                line[column] = factor
                for k in range(column + 1, size):
                    line[k] -= factor * top[k]
    return matrix, order


def substitute(factors: tuple[Matrix, list[int]], right: Sequence[float]) -> Vector:
    """Return x of A x = ``right`` from the factors of A."""
    matrix, order = factors
    result = [right[row] for row in order]
    size = len(result)
    for row in range(1, size):
        line = matrix[row]
        total = result[row]
        for k in range(row):
            total -= line[k] * result[k]
        result[row] = total
    for row in range(size - 1, -1, -1):
        line = matrix[row]
        total = result[row]
        for k in range(row + 1, size):
            total -= line[k] * result[k]
        result[row] = total / line[row]
    return result


def solve(
    evaluate: Callable[[Vector], Evaluation],
    slopes: Callable[[Any], Matrix],
    start: Vector,
    longest: float,
    tolerance: float,
    stop: Callable[[Vector, float], bool],
) -> tuple[Vector, Evaluation]:
    """Return unknowns whose residuals vanish, and their evaluation; ``left`` says how nearly.

    Ends when ``left`` is at most ``tolerance``, when ``stop`` is true of unknowns and ``left``, or
    when nothing is gained any more. ``longest`` bounds a step of any unknown. With fresh slopes
    where a round gains little, and shorter steps where it loses. Source: Kelley (1995), Iterative
    Methods for Linear and Nonlinear Equations, SIAM, section 7.3 (Broyden's method from its steps).
    """
    x, here = list(start), evaluate(start)
    factors = factorise(slopes(here.details))
    steps: list[Vector] = []
    squares: list[float] = []
    damping = 1.0
    for _ in range(_ROUNDS):
        if here.left <= tolerance or stop(x, here.left):
            break
        step = [-value for value in substitute(factors, here.residuals)]
        for k in range(len(steps) - 1):
            share = sum(map(mul, steps[k], step)) / squares[k]
            step = [a + share * b for a, b in zip(step, steps[k + 1], strict=True)]
        if steps:
            share = sum(map(mul, steps[-1], step)) / squares[-1]
            step = [a / (1.0 - share) for a in step] if share < 0.9 else step
        # Each unknown is held back by itself: one that must go far does not stop the others.
        factor = damping
        if max(step) * damping > longest or min(step) * damping < -longest:
            factor = 0.5 * damping
            step = [max(-longest, min(longest, a * damping)) for a in step]
        elif damping < 1.0:
            step = [a * damping for a in step]
        candidate = [a + b for a, b in zip(x, step, strict=True)]
        there = evaluate(candidate)
        if there.left > 2.0 * here.left and factor > _LEAST_DAMPING:
            # Worse: from here again, with fresh slopes, or with a shorter step if they are fresh.
            if steps:
                factors, steps, squares = factorise(slopes(here.details)), [], []
            else:
                damping = 0.5 * factor
            continue
        full = factor == 1.0 and there.left < _POOR * here.left and len(steps) < _MEMORY
        x, here = candidate, there
        damping = min(1.0, 2.0 * damping)
        if full:
            steps.append(step)
            squares.append(sum(map(mul, step, step)))
        else:
            factors, steps, squares = factorise(slopes(here.details)), [], []
    return x, here


def relax(
    evaluate: Callable[[Vector], Evaluation],
    slopes: Callable[[Any], Matrix],
    start: Vector,
    longest: float,
    tolerance: float,
) -> tuple[Vector, Evaluation]:
    """Return unknowns as ``solve`` does, by letting them drift to rest: slower, and surer.

    Residuals must be rates that rise towards rest (negative slopes on the diagonal). Steps of
    implicit Euler, each unknown at its own pace, longer as the residuals fall: pseudo-transient
    continuation, Kelley & Keyes (1998), SIAM J. Numer. Anal. 35:508. Where a search from slopes
    alone sits in a hollow that is no root, this walks on.
    """
    x, here = list(start), evaluate(start)
    holds = [abs(row[k]) for k, row in enumerate(slopes(here.details))]
    pace = 1.0
    for _ in range(_PATIENCE):
        if here.left <= tolerance:
            break
        matrix = slopes(here.details)
        for k, row in enumerate(matrix):
            row[k] -= holds[k] / pace
        step = substitute(factorise(matrix), here.residuals)
        if sum(map(mul, step, here.residuals)) >= 0.0:
            # Against the drift: a root behind, or a hollow that a long step would leap out of.
            pace = max(0.25 * pace, _SLOWEST)
            if pace > _SLOWEST:
                continue
        x = [a - max(-longest, min(longest, b)) for a, b in zip(x, step, strict=True)]
        there = evaluate(x)
        # Slow down by more than it speeds up, so that no two states can take turns for ever.
        pace = max(pace * (0.25 if there.left > here.left else 1.7), _SLOWEST)
        here = there
    return x, here
