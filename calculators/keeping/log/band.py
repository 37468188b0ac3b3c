"""How much of the time the humidity was in the band, by the clock and not by the number of rows.

In: a ``Series`` and the band. Out: shares of the time, the longest run outside, and whether the
fault lasts or passes.
"""

from __future__ import annotations

import re
from array import array
from bisect import bisect_left
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import compress, pairwise, repeat
from operator import and_, gt, lt
from typing import Literal

from calculators.keeping.log.clean import HOUR, Series

DAY = 24 * HOUR
# Common practice, no source: single peaks and dips are normal, only a lasting fault is acted on.
LATELY, MOST_OF_IT, LONG_RUN, ENOUGH = 3 * DAY, 0.5, 24 * HOUR, 2 * DAY
RULE = (
    "A fault counts as lasting when the humidity was outside the band for more than half of the "
    "last 3 days, or for one stretch of more than 24 hours that reaches into them; all else is "
    "passing. This rule is common practice; no study stands behind it."
)
Lasting = Literal[
    "in the band", "passing", "lasting, too dry", "lasting, too damp", "lasting, both",
    "cannot tell yet",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Shares:
    """Shares of the time below, in and above the band; nan when there was no such time."""

    below: float
    inside: float
    above: float


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of time outside the band on one side: times and length in seconds."""

    start: float
    end: float
    lasts: float
    too_dry: bool


def shares(series: Series, low: float, high: float, when: Sequence[int] | None = None) -> Shares:
    """Return the shares of time that humidity spent below ``low``, between, and above ``high``.

    Each reading counts for the time it stands for (``Series.weight``); ``when`` marks with 1
    the readings to count.
    """
    humidity, weight = series.humidity, series.weight
    below, above = map(lt, humidity, repeat(low)), map(gt, humidity, repeat(high))
    if when is None:
        whole = sum(weight)
        under, over = sum(compress(weight, below)), sum(compress(weight, above))
    else:
        whole = sum(compress(weight, when))
        under = sum(compress(weight, map(and_, below, when)))
        over = sum(compress(weight, map(and_, above, when)))
    if not whole:
        return Shares(float("nan"), float("nan"), float("nan"))
    return Shares(under / whole, 1.0 - (under + over) / whole, over / whole)


def by_day(series: Series, day_from: float, night_from: float) -> bytes:
    """Return 1 for each reading by day, 0 by night; hours of the wall clock in seconds."""
    times: Sequence[float] = series.time
    if series.shifts:
        times = [series.wall(time) for time in times]
    if day_from <= night_from:
        return bytes([day_from <= time % DAY < night_from for time in times])
    return bytes([not night_from <= time % DAY < day_from for time in times])


def runs(series: Series, low: float, high: float) -> list[Run]:
    """Return every stretch outside the band, in order of time; a gap ends a stretch."""
    time, weight = series.time, series.weight
    breaks = []
    if len(time) > 1 and max(map(_step, pairwise(time))) > series.gap:
        breaks = [n for n, (a, b) in enumerate(pairwise(time), start=1) if b - a > series.gap]
    found = []
    for test, edge, too_dry in ((lt, low, True), (gt, high, False)):
        marks = bytes(map(test, series.humidity, repeat(edge)))
        for match in re.finditer(b"\x01+", marks):
            start, end = match.span()
            inner = breaks[bisect_left(breaks, start + 1) : bisect_left(breaks, end)]
            for a, b in pairwise([start, *inner, end]):
                found.append(Run(time[a], time[b - 1], sum(weight[a:b]), too_dry))
    return sorted(found, key=lambda run: run.start)


def _step(pair: tuple[float, float]) -> float:
    return pair[1] - pair[0]


def lasting(series: Series, low: float, high: float, found: Sequence[Run]) -> Lasting:
    """Return whether the humidity's fault lasts, by ``RULE``."""
    if sum(series.weight) < ENOUGH:
        return "cannot tell yet"
    since = series.time[-1] - LATELY
    now = shares(_recent(series), low, high)
    long_dry = any(r.lasts > LONG_RUN and r.end >= since and r.too_dry for r in found)
    long_damp = any(r.lasts > LONG_RUN and r.end >= since and not r.too_dry for r in found)
    if now.below + now.above > MOST_OF_IT:
        long_dry = long_dry or now.below >= 0.25 * now.above
        long_damp = long_damp or now.above >= 0.25 * now.below
        long_dry, long_damp = long_dry and now.below > 0, long_damp and now.above > 0
    if long_dry and long_damp:
        return "lasting, both"
    if long_dry or long_damp:
        return "lasting, too dry" if long_dry else "lasting, too damp"
    return "passing" if found else "in the band"


def _recent(series: Series) -> Series:
    """Return the humidity of the last three days of the log."""
    time = series.time
    start = bisect_left(time, time[-1] - LATELY)
    return Series(
        time[start:], series.humidity[start:], array("d"), array("d"),
        series.weight[start:], series.step, series.gap, (),
    )  # fmt: skip


def lately(series: Series, wanted: Sequence[float]) -> list[float]:
    """Return quantiles of the humidity of the last three days of the log."""
    recent = _recent(series)
    return quantiles(recent.humidity, recent.weight, wanted)


def quantiles(
    values: Sequence[float], weight: Sequence[float], wanted: Sequence[float]
) -> list[float]:
    """Return the values below which the ``wanted`` shares of the weight lie.

    The inverse of the weighted distribution, without interpolation: always a value that was
    read. Values that are nan do not count; nan when there is none.
    """
    totals: dict[float, float]
    if weight and min(weight) == max(weight):
        totals = {value: float(count) for value, count in Counter(values).items()}
    else:
        totals = {}
        for value, amount in zip(values, weight, strict=True):
            totals[value] = totals.get(value, 0.0) + amount
    ordered = sorted(value for value in totals if value == value)
    if not ordered:
        return [float("nan")] * len(wanted)
    whole = sum(totals[value] for value in ordered)
    result = []
    for share in wanted:
        goal, reached = share * whole * (1.0 - 1e-12), 0.0
        answer = ordered[-1]
        for value in ordered:
            reached += totals[value]
            if reached >= goal:
                answer = value
                break
        result.append(answer)
    return result
