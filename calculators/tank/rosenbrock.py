"""Differential equations of a few unknowns, some fast and some slow, step by step.

In: rates of change, a state, fixed tolerances. Out: steps whose error is held to the tolerances.
The method is ROS34PW2: four stages, third order, L-stable, and third order even with slopes that
are out of date, so that slopes, which cost a dozen evaluations, serve many steps.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import inf
from operator import mul
from typing import NamedTuple

from calculators.errors import NoAnswer, OutOfRange
from calculators.tank.newton import Matrix, Vector, factorise, substitute

Rates = Callable[[float, Vector], Vector]

# ROS34PW2: Rang & Angermann (2005), New Rosenbrock W-methods of order 3 for partial differential
# algebraic equations of index 1, BIT 45:761; read in PETSc's TSROSWRA34PW2, the weights between
# steps with it. The laws check the order conditions.
DIAGONAL = 0.43586652150845900
STAGES = (
    (),
    (0.87173304301691801,),
    (0.84457060015369423, -0.11299064236484185),
    (0.0, 0.0, 1.0),
)
IMPLICIT = (
    (),
    (-0.87173304301691801,),
    (-0.90338057013044082, 0.054180672388095326),
    (0.24212380706095346, -1.2232505839045147, 0.54526025533510214),
)
WEIGHTS = (0.24212380706095346, -1.2232505839045147, 1.5452602553351020, DIAGONAL)
LOWER_WEIGHTS = (0.37810903145819369, -0.096042292212423178, 0.5, 0.21793326075422950)
BETWEEN = (
    (1.0564298455794094, -1.3864882699759573, 0.5721822314575016),
    (2.296429974281067, -8.262611700275677, 4.742931142090097),
    (-1.307599564525376, 7.250979895056055, -4.398120075195578),
    (-1.045260255335102, 2.398120075195581, -0.9169932983520199),
)

_SHRINK, _GROW = 0.2, 4.0  # bounds of one change of step
_REFUSED = 0.6  # a refused step shrinks at least to this
_KEEP = (0.9, 1.3)  # a change this small is not worth new factors
_SAFETY = 0.85
_STALE = 20  # steps after which slopes are taken afresh
_LEAST_STEP = 1e-6  # s


def _inverse() -> tuple[tuple[float, ...], ...]:
    """Return the inverse of the lower triangle IMPLICIT with DIAGONAL."""
    rows: list[list[float]] = []
    for i in range(4):
        row = [0.0] * 4
        row[i] = 1.0 / DIAGONAL
        for j in range(i):
            row[j] = -sum(IMPLICIT[i][k] * rows[k][j] for k in range(j, i)) / DIAGONAL
        rows.append(row)
    return tuple(map(tuple, rows))


def _through(weights: Sequence[float]) -> tuple[float, ...]:
    return tuple(sum(w * _INVERSE[k][j] for k, w in enumerate(weights)) for j in range(4))


# The usual change of unknowns (Hairer & Wanner, Solving ODEs II, IV.7) spares products with slopes.
_INVERSE = _inverse()
_TIMES = tuple(sum(row) for row in STAGES)
_A = tuple(_through(row)[:i] for i, row in enumerate(STAGES))
_C = tuple(tuple(-value for value in _INVERSE[i][:i]) for i in range(4))
_M = _through(WEIGHTS)
_ERROR = tuple(m - low for m, low in zip(_M, _through(LOWER_WEIGHTS), strict=True))
_BETWEEN = tuple(_through([row[power] for row in BETWEEN]) for power in range(3))


class Step(NamedTuple):
    """One accepted step: from ``start`` at ``time`` [s] over ``size`` [s] to ``end``."""

    time: float
    size: float
    start: Vector
    end: Vector
    stages: tuple[Vector, Vector, Vector, Vector]

    def at(self, share: float) -> Vector:
        """Return the unknowns after ``share`` (0 to 1) of the step, third order."""
        one, two, three, four = (
            share * (p + share * (q + share * r)) for p, q, r in zip(*_BETWEEN, strict=True)
        )
        return [
            y + one * a + two * b + three * c + four * d
            for y, a, b, c, d in zip(self.start, *self.stages, strict=True)
        ]


class Stepper:
    """Walks along ``rates`` [per s]; ``tolerances`` is the error allowed a step, by unknown.

    ``nudges`` are the differences by which slopes are taken; once an unknown has moved by its
    ``reach`` they are taken afresh. Whoever changes the rates at once (an
    event) sets ``size``, of the next step [s]. ``evaluations`` counts calls of ``rates``.
    """

    def __init__(self, rates: Rates, tolerances: Vector, nudges: Vector, reach: Vector) -> None:
        self.rates, self.nudges, self.reach = rates, nudges, reach
        self.sharpness = [1.0 / tolerance for tolerance in tolerances]
        self.size = 1.0
        self.evaluations = 0
        self._slopes: Matrix = []
        self._factors: tuple[Matrix, list[int]] | None = None
        self._factored = 0.0
        self._age = _STALE
        self._taken: Vector = []

    def renew(self) -> None:
        """Take the slopes afresh at the next step: the rates now answer otherwise."""
        self._age = _STALE

    def _rates(self, time: float, y: Vector) -> Vector:
        self.evaluations += 1
        return self.rates(time, y)

    def _renew(self, time: float, y: Vector, here: Vector) -> None:
        columns = []
        for k, nudge in enumerate(self.nudges):
            moved = list(y)
            moved[k] += nudge
            there = self._rates(time, moved)
            columns.append([(b - a) / nudge for a, b in zip(here, there, strict=True)])
        self._slopes = [list(row) for row in zip(*columns, strict=True)]
        self._factors, self._age, self._taken = None, 0, y

    def _strayed(self, y: Vector) -> bool:
        moved = zip(y, self._taken, self.reach, strict=True)
        return any(not -far < new - old < far for new, old, far in moved)

    def _factor(self, size: float) -> tuple[Matrix, list[int]]:
        if self._factors is None or size != self._factored:
            matrix = [[-value for value in row] for row in self._slopes]
            diagonal = 1.0 / (size * DIAGONAL)
            for k, row in enumerate(matrix):
                row[k] += diagonal
            self._factors, self._factored = factorise(matrix), size
        return self._factors

    def step(self, time: float, y: Vector, most: float) -> Step:
        """Return the next step from ``y`` at ``time`` [s], at most ``most`` [s] long.

        Raises NoAnswer when no step is short enough.
        """
        here = self._rates(time, y)
        if self._age >= _STALE or self._strayed(y):
            self._renew(time, y, here)
        fresh = self._age == 0
        refused = 0
        while True:
            wanted = self.size
            # Two even steps, rather than one and a crumb.
            size = wanted if 2.0 * wanted < most else 0.5 * most if wanted < most else most
            try:
                step, error = self._try(time, y, here, size)
            except OutOfRange:
                # A stage may overshoot what the equations hold for; a shorter one does not.
                if size < _LEAST_STEP:
                    raise
                error = inf
            change = _SAFETY * min(max(error, 1e-9), 1e9) ** (-1.0 / 3.0)
            if error <= 1.0:
                self._age += 1
                if not _KEEP[0] <= change <= _KEEP[1]:
                    grown = size * min(change, _GROW)
                    self.size = grown if size >= wanted else max(grown, wanted)
                return step
            refused += 1
            if refused > 1 and not fresh:
                self._renew(time, y, here)
                fresh = True
            self.size = size * max(min(change, _REFUSED), _SHRINK)
            if self.size < _LEAST_STEP:
                raise NoAnswer(
                    "The course of this tank could not be followed. Check the measures of the "
                    "tank, the mat and the pools."
                )

    def _try(self, time: float, y: Vector, here: Vector, size: float) -> tuple[Step, float]:
        factors, per = self._factor(size), 1.0 / size
        ((a21,), (a31, a32), (a41, a42, a43)) = _A[1:]
        c21, c31, c32, c41, c42, c43 = (per * c for row in _C[1:] for c in row)
        one = substitute(factors, here)
        there = [v + a21 * a for v, a in zip(y, one, strict=True)]
        found = self._rates(time + _TIMES[1] * size, there)
        two = substitute(factors, [f + c21 * a for f, a in zip(found, one, strict=True)])
        pair = list(zip(one, two, strict=True))
        there = [v + a31 * a + a32 * b for v, (a, b) in zip(y, pair, strict=True)]
        found = self._rates(time + _TIMES[2] * size, there)
        three = substitute(
            factors, [f + c31 * a + c32 * b for f, (a, b) in zip(found, pair, strict=True)]
        )
        both = list(zip(one, two, three, strict=True))
        there = [v + a41 * a + a42 * b + a43 * c for v, (a, b, c) in zip(y, both, strict=True)]
        found = self._rates(time + size, there)
        four = substitute(
            factors,
            [f + c41 * a + c42 * b + c43 * c for f, (a, b, c) in zip(found, both, strict=True)],
        )
        m1, m2, m3, m4 = _M
        e1, e2, e3, e4 = _ERROR
        end = [
            v + m1 * a + m2 * b + m3 * c + m4 * d
            for v, (a, b, c), d in zip(y, both, four, strict=True)
        ]
        misses = [
            e1 * a + e2 * b + e3 * c + e4 * d for (a, b, c), d in zip(both, four, strict=True)
        ]
        error = max(map(abs, map(mul, misses, self.sharpness)))
        return Step(time, size, y, end, (one, two, three, four)), error
