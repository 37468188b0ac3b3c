"""Air changes from the way moisture falls after a lid was opened.

In: times and vapour pressures. Out: every clear decay, with its rate, its fit and its length.
"""

from __future__ import annotations

import math
from array import array
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

from calculators.quantities import HOUR

_STRETCH = 0.5 * HOUR
_LEAST_FALL, _LEAST_SHARE = 120.0, 0.08  # [Pa] and of the value before: above a gauge's noise
_LONGEST, _REST = 6 * HOUR, 0.5 * HOUR
_FEWEST, _MOST = 6, 240
_GOOD_FIT, _SEEN = 0.95, 1.2
_MOST_DECAYS = 50


@dataclass(frozen=True, slots=True)
class Decay:
    """One decay: rate [1/s], how well an exponential fits (r²), when it began, its length [s]."""

    rate: float
    fit: float
    start: float
    lasts: float


def fit_decay(time: Sequence[float], values: Sequence[float]) -> tuple[float, float]:
    """Return the rate [1/s] and r² of the best ``level + height exp(-rate time)``.

    For each rate the level and the height follow by least squares; the rate is found by
    golden-section search on its logarithm, from a tenth to three hundred times the inverse of
    the time spanned. Tracer decay with a free end level, as in ASTM E741 (from memory).
    """
    first, span = time[0], time[-1] - time[0]
    moments = [t - first for t in time]
    count = len(moments)
    mean = sum(values) / count
    total = sum((v - mean) ** 2 for v in values)

    def residual(log_rate: float) -> float:
        rate = math.exp(log_rate)
        shape = [math.exp(-rate * t) for t in moments]
        middle = sum(shape) / count
        spread = sum((s - middle) ** 2 for s in shape)
        joint = sum((s - middle) * (v - mean) for s, v in zip(shape, values, strict=True))
        return total - joint * joint / spread if spread > 0 else total

    low, high = math.log(0.1 / span), math.log(300.0 / span)
    steps = 24
    grid = [low + (high - low) * n / steps for n in range(steps + 1)]
    best = min(range(steps + 1), key=lambda n: residual(grid[n]))
    low, high = grid[max(0, best - 1)], grid[min(steps, best + 1)]
    ratio = (math.sqrt(5.0) - 1.0) / 2.0
    left, right = high - ratio * (high - low), low + ratio * (high - low)
    at_left, at_right = residual(left), residual(right)
    for _ in range(60):
        if at_left < at_right:
            high, right, at_right = right, left, at_left
            left = high - ratio * (high - low)
            at_left = residual(left)
        else:
            low, left, at_left = left, right, at_right
            right = low + ratio * (high - low)
            at_right = residual(right)
    middle = 0.5 * (low + high)
    return math.exp(middle), 1.0 - residual(middle) / total if total > 0 else 0.0


def find_decays(time: Sequence[float], vapour: array[float], gap: float) -> list[Decay]:
    """Return the clear decays of vapour pressure [Pa], in order of time.

    A decay is a fall of at least 8 % and 120 Pa within an hour that goes on without a rest of
    half an hour, fits an exponential with r² of 0.95 or more, and lasts long enough (1.2 times
    the inverse of its rate) to show where it ends.
    """
    stretches: list[tuple[int, int, float, float]] = []
    start, count = 0, len(time)
    while start < count:
        end = bisect_left(time, (time[start] // _STRETCH + 1) * _STRETCH, start)
        end = max(end, start + 1)
        part = vapour[start:end]
        stretches.append((start, end, min(part), max(part)))
        start = end
    found: list[Decay] = []
    done = -math.inf
    for n in range(len(stretches) - 1):
        begin, end, _, most = stretches[n]
        least = min(stretches[n][2], stretches[n + 1][2])
        if most - least < max(_LEAST_FALL, _LEAST_SHARE * most) or time[end - 1] <= done:
            continue
        top = begin + vapour[begin:end].index(most)
        if time[top] <= done:
            continue
        decay, done = _follow(time, vapour, top, gap)
        if decay is not None:
            found.append(decay)
            if len(found) >= _MOST_DECAYS:
                break
    return found


def _follow(
    time: Sequence[float], vapour: Sequence[float], top: int, gap: float
) -> tuple[Decay | None, float]:
    """Follow the fall from ``top`` to its end; return the decay, if clear, and where it ends."""
    last = bisect_right(time, time[top] + _LONGEST)
    lowest, bottom = vapour[top], top
    slack = 0.05 * _LEAST_FALL
    for n in range(top + 1, last):
        if time[n] - time[n - 1] > min(gap, _REST) or time[n] - time[bottom] > _REST:
            break
        if vapour[n] > lowest + 0.3 * (vapour[top] - lowest) + slack:
            break
        if vapour[n] < lowest - 1e-9:
            lowest, bottom = vapour[n], n
    end = bottom + 1
    # The fall begins where the level before it was last seen.
    level = vapour[top] - 0.05 * (vapour[top] - lowest)
    top = next(n for n in range(bottom, top - 1, -1) if vapour[n] >= level)
    if end - top < _FEWEST:
        return None, time[bottom]
    stride = 1 + (end - top) // _MOST
    moments, values = time[top:end:stride], vapour[top:end:stride]
    rate, fit = fit_decay(moments, values)
    lasts = moments[-1] - moments[0]
    if fit < _GOOD_FIT or rate * lasts < _SEEN or rate * lasts > 250.0:
        return None, time[bottom]
    return Decay(rate, fit, time[top], lasts), time[bottom]
