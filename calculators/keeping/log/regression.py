"""Least squares for hourly readings that lean on the hour before.

In: rows of known columns and one or more measured columns, with the hour of each row. Out: the
coefficients with intervals that allow for autocorrelation. Standard library only.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from operator import mul

Matrix = list[list[float]]
_HIGHEST = 0.9995
# A cut-off keeps Student's t finite when hardly anything is independent.
_LEAST_FREEDOM = 2.0


@dataclass(frozen=True, slots=True)
class Estimate:
    """One coefficient: its value, standard error, degrees of freedom, and the autocorrelation."""

    value: float
    error: float
    freedom: float
    correlation: float

    def interval(self, confidence: float = 0.95) -> tuple[float, float]:
        """Return the two-sided confidence interval by Student's t."""
        half = student(0.5 + 0.5 * confidence, self.freedom) * self.error
        return self.value - half, self.value + half


def solve(matrix: Matrix, right: Matrix) -> tuple[Matrix, float]:
    """Return the solution of a symmetric positive system, and the log of its determinant.

    Gaussian elimination with pivots; ZeroDivisionError when columns depend on each other.
    """
    size = len(matrix)
    rows = [list(a) + list(b) for a, b in zip(matrix, right, strict=True)]
    log_determinant = 0.0
    scale = max(abs(row[n]) for n, row in enumerate(matrix)) or 1.0
    for n in range(size):
        pivot = max(range(n, size), key=lambda k: abs(rows[k][n]))
        if abs(rows[pivot][n]) < 1e-12 * scale:
            raise ZeroDivisionError("columns depend on each other")
        rows[n], rows[pivot] = rows[pivot], rows[n]
        lead = rows[n][n]
        log_determinant += math.log(abs(lead))
        rows[n] = [value / lead for value in rows[n]]
        for k in range(size):
            if k != n and rows[k][n]:
                factor = rows[k][n]
                rows[k] = [a - factor * b for a, b in zip(rows[k], rows[n], strict=True)]
    return [row[size:] for row in rows], log_determinant


class Autoregression:
    """Regression with first-order autocorrelation, by restricted maximum likelihood.

    y = X b + u, and u is a stationary first-order autoregression in continuous time: readings k
    hours apart correlate as phi^k, so that holes in a log do no harm. phi maximises the restricted
    likelihood (Patterson & Thompson 1971, Biometrika 58:545; the autoregressive case in Cooper &
    Thompson 1977, Biometrika 64:625; from memory). The sums that the likelihood needs are taken
    once, for all measured columns together.
    """

    def __init__(self, known: Matrix, measured: Matrix, hours: Sequence[int]) -> None:
        """``known``, ``measured``: columns; ``hours``: whole numbers in rising order."""
        self._width = len(known)
        columns = [*known, *measured]
        self._count = len(hours)
        rows = list(zip(*columns, strict=True))
        first = rows[0]
        self._first = [[a * b for b in first] for a in first]
        groups: dict[int, list[int]] = {}
        for n in range(1, self._count):
            groups.setdefault(hours[n] - hours[n - 1], []).append(n)
        self._groups = []
        for lag, members in groups.items():
            now = [[column[n] for n in members] for column in columns]
            before = [[column[n - 1] for n in members] for column in columns]
            self._groups.append(
                (lag, len(members), _products(now, now), _products(now, before),
                 _products(before, before))
            )  # fmt: skip

    def _system(self, phi: float) -> tuple[Matrix, float]:
        """Return the weighted cross products of all columns, and the log variance terms."""
        size = len(self._first)
        total = [row[:] for row in self._first]
        log_variances = 0.0
        for lag, count, now, mixed, before in self._groups:
            r = phi**lag
            scale = 1.0 / (1.0 - r * r)
            log_variances += count * math.log(1.0 - r * r)
            for i in range(size):
                row, a, b, c = total[i], now[i], mixed[i], before[i]
                for j in range(size):
                    row[j] += scale * (a[j] - r * (b[j] + mixed[j][i]) + r * r * c[j])
        return total, log_variances

    def _fit(self, phi: float, place: int) -> tuple[float, list[float], Matrix, float]:
        """Return minus twice the restricted likelihood, coefficients, inverse and variance."""
        width, y = self._width, self._width + place
        total, log_variances = self._system(phi)
        left = [row[:width] for row in total[:width]]
        unit = [[float(i == j) for j in range(width)] for i in range(width)]
        right = [[total[i][y], *unit[i]] for i in range(width)]
        solution, log_determinant = solve(left, right)
        coefficients = [row[0] for row in solution]
        inverse = [row[1:] for row in solution]
        explained = sum(b * total[i][y] for i, b in enumerate(coefficients))
        freedom = self._count - width
        variance = max(1e-300, (total[y][y] - explained) / freedom)
        deviance = freedom * math.log(variance) + log_variances + log_determinant
        return deviance, coefficients, inverse, variance

    def at(self, phi: float, coefficient: int, place: int = 0) -> Estimate:
        """Return one coefficient of measured column ``place`` for a given autocorrelation."""
        _, values, inverse, variance = self._fit(phi, place)
        effective = self._count * (1.0 - phi) / (1.0 + phi)
        freedom = max(_LEAST_FREEDOM, effective - 2.0)
        error = math.sqrt(max(0.0, variance * inverse[coefficient][coefficient]))
        return Estimate(values[coefficient], error, freedom, phi)

    def estimate(self, coefficient: int, place: int = 0) -> Estimate:
        """Return one coefficient of measured column ``place``, autocorrelation fitted."""
        grid = [0.0, 0.3, 0.6, 0.8, 0.9, 0.95, 0.98, 0.99, _HIGHEST]
        scores = [self._fit(phi, place)[0] for phi in grid]
        best = min(range(len(grid)), key=scores.__getitem__)
        low, high = grid[max(0, best - 1)], grid[min(len(grid) - 1, best + 1)]
        ratio = (math.sqrt(5.0) - 1.0) / 2.0
        left, right = high - ratio * (high - low), low + ratio * (high - low)
        at_left, at_right = self._fit(left, place)[0], self._fit(right, place)[0]
        for _ in range(20):
            if at_left < at_right:
                high, right, at_right = right, left, at_left
                left = high - ratio * (high - low)
                at_left = self._fit(left, place)[0]
            else:
                low, left, at_left = left, right, at_right
                right = low + ratio * (high - low)
                at_right = self._fit(right, place)[0]
        return self.at(0.5 * (low + high), coefficient, place)


def averaged(estimate: Estimate) -> Estimate:
    """Return ``estimate`` for measured columns that are means over stretches that touch.

    Means of a first-order autoregression in continuous time are none themselves: with a
    stretches' length over the memory, neighbours correlate as
    r = (1 - exp(-a))² / (2 (a - 1 + exp(-a))) and only later ones fall as exp(-a) (Working 1960,
    Econometrica 28:916, for the long memory; the rest is the double integral of exp(-|t|)). Fitted
    as one, they would claim the variance (1 + r) / (1 - r) in the long run where the truth is
    1 + 2 r / (1 - exp(-a)): up to half too much. The error is brought down by the root of that
    ratio.
    """
    wanted = estimate.correlation
    low, high = 1e-4, 1e4
    for _ in range(60):
        middle = math.sqrt(low * high)
        if _neighbours(middle) > wanted:
            low = middle
        else:
            high = middle
    true = 1.0 + 2.0 * wanted / -math.expm1(-low)
    claimed = (1.0 + wanted) / (1.0 - wanted)
    return replace(estimate, error=estimate.error * math.sqrt(true / claimed))


def _neighbours(a: float) -> float:
    """Return how neighbouring means correlate, ``a`` the stretch over the memory."""
    fall = math.expm1(-a)
    # The series keeps figures that the difference would lose.
    under = a * a * (0.5 - a / 6.0 + a * a / 24.0) if a < 0.01 else a + fall
    return fall * fall / (2.0 * under)


def _products(left: Matrix, right: Matrix) -> Matrix:
    return [[sum(map(mul, a, b)) for b in right] for a in left]


def student(share: float, freedom: float) -> float:
    """Return the quantile of Student's t: below it lies ``share`` (0.5 to 1) of the probability.

    By bisection on the incomplete beta function (Abramowitz & Stegun 26.7.1).
    """
    low, high = 0.0, 1.0
    while _student_below(high, freedom) < share:
        high *= 2.0
    for _ in range(200):
        middle = 0.5 * (low + high)
        if _student_below(middle, freedom) < share:
            low = middle
        else:
            high = middle
        if high - low < 1e-13 * high:
            break
    return 0.5 * (low + high)


def _student_below(t: float, freedom: float) -> float:
    x = freedom / (freedom + t * t)
    return 1.0 - 0.5 * _beta(x, 0.5 * freedom, 0.5)


def _beta(x: float, a: float, b: float) -> float:
    """Return the regularised incomplete beta function, by its continued fraction (DLMF 8.17.22)."""
    if x <= 0.0 or x >= 1.0:
        return 0.0 if x <= 0.0 else 1.0
    if x > (a + 1.0) / (a + b + 2.0):
        return 1.0 - _beta(1.0 - x, b, a)
    front = math.exp(
        math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)
        + a * math.log(x) + b * math.log1p(-x)
    )  # fmt: skip
    # Lentz's method.
    tiny = 1e-300
    c, d = 1.0, 1.0 - (a + b) * x / (a + 1.0)
    d = 1.0 / (d or tiny)
    result = d
    for m in range(1, 500):
        even = m * (b - m) * x / ((a + 2 * m - 1.0) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1.0))
        for term in (even, odd):
            d = 1.0 / ((1.0 + term * d) or tiny)
            c = (1.0 + term / c) or tiny
            result *= d * c
        if abs(d * c - 1.0) < 1e-15:
            break
    return front * result / a
