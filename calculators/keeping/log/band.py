"""How much of the time the humidity was in the band, by the clock and not by the number of rows.

In: a ``Series`` and the band. Out: shares of the time, the longest run outside, and whether the
fault lasts or passes.
"""

from __future__ import annotations

import math
import re
from bisect import bisect_left
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise, repeat
from operator import gt, lt
from typing import Literal

from calculators.keeping.log.series import Series
from calculators.quantities import DAY, HOUR

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


def totals(
    values: Sequence[float], weight: Sequence[float], even: bool = False
) -> dict[float, float]:
    """Return for how long [s] each value was read; values that are nan do not count.

    ``even`` says that every weight is the same. A gauge shows few different values, so that all
    shares and quantiles together need the readings only once.
    """
    result: dict[float, float] = {}
    if even and weight:
        one = weight[0]
        result = {value: one * times for value, times in Counter(values).items()}
    else:
        for (value, amount), times in Counter(zip(values, weight, strict=True)).items():
            result[value] = result.get(value, 0.0) + amount * times
    if not math.isfinite(sum(result)):
        result = {value: amount for value, amount in result.items() if value == value}
    return result


def together(*parts: Mapping[float, float]) -> dict[float, float]:
    """Return the sum of ``totals`` of several times."""
    result: dict[float, float] = {}
    for part in parts:
        for value, amount in part.items():
            result[value] = result.get(value, 0.0) + amount
    return result


def shares(read: Mapping[float, float], low: float, high: float) -> Shares:
    """Return the shares of the time of ``totals`` below ``low``, between, and above ``high``."""
    whole = sum(read.values())
    if not whole:
        return Shares(math.nan, math.nan, math.nan)
    under = sum(amount for value, amount in read.items() if value < low)
    over = sum(amount for value, amount in read.items() if value > high)
    return Shares(under / whole, 1.0 - (under + over) / whole, over / whole)


def by_day(series: Series, day_from: float, night_from: float) -> bytes:
    """Return 1 for each reading by day, 0 by night; hours of the wall clock in seconds."""
    time, parts, start = series.time, [], 0
    changes = [moment for moment, _ in series.shifts]
    while start < len(time):
        clock = series.wall(time[start]) % DAY
        if day_from <= night_from:
            day = day_from <= clock < night_from
        else:
            day = not night_from <= clock < day_from
        # All readings are alike until the next edge of day or night, or change of the clocks.
        until = time[start] + min((edge - clock) % DAY or DAY for edge in (day_from, night_from))
        until = min([until, *(moment for moment in changes if moment > time[start])])
        # Rounding can put a reading on the far side of its own edge: always go on.
        end = max(start + 1, bisect_left(time, until, start))
        parts.append((b"\x01" if day else b"\x00") * (end - start))
        start = end
    return b"".join(parts)


def runs(series: Series, low: float, high: float) -> list[Run]:
    """Return every stretch outside the band, in order of time; a gap ends a stretch."""
    time, weight = series.time, series.weight
    breaks = series.breaks
    found = []
    for test, edge, too_dry in ((lt, low, True), (gt, high, False)):
        marks = bytes(map(test, series.humidity, repeat(edge)))
        for match in re.finditer(b"\x01+", marks):
            start, end = match.span()
            inner = breaks[bisect_left(breaks, start + 1) : bisect_left(breaks, end)]
            for a, b in pairwise([start, *inner, end]):
                found.append(Run(time[a], time[b - 1], sum(weight[a:b]), too_dry))
    return sorted(found, key=lambda run: run.start)


def lasting(series: Series, low: float, high: float, found: Sequence[Run]) -> Lasting:
    """Return whether the humidity's fault lasts, by ``RULE``."""
    if sum(series.weight) < ENOUGH:
        return "cannot tell yet"
    since = series.time[-1] - LATELY
    now = shares(lately(series), low, high)
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


def lately(series: Series) -> dict[float, float]:
    """Return ``totals`` of the humidity of the last three days of the log."""
    start = bisect_left(series.time, series.time[-1] - LATELY)
    return totals(series.humidity[start:], series.weight[start:], series.even)


def quantiles(read: Mapping[float, float], wanted: Sequence[float]) -> list[float]:
    """Return the values below which the ``wanted`` shares of the time of ``totals`` lie.

    The inverse of the weighted distribution, without interpolation: always a value that was
    read. nan when there is none.
    """
    if not read:
        return [math.nan] * len(wanted)
    ordered = sorted(read)
    reached = list(accumulate(map(read.__getitem__, ordered)))
    whole = reached[-1]
    places = (bisect_left(reached, share * whole * (1.0 - 1e-12)) for share in wanted)
    return [ordered[min(place, len(ordered) - 1)] for place in places]
