"""Did it work? The change of a log at a marked moment, with how sure it is.

In: means over a few hours, and the moment. Out: the change of dew point and of relative humidity
with 95 % intervals, a verdict, and how many more days would settle it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from calculators.air import mixture
from calculators.keeping.log.moisture import Means, saturated
from calculators.keeping.log.regression import Autoregression, Estimate, Matrix, averaged
from calculators.quantities import DAY, HOUR

Verdict = Literal["worked", "did nothing", "made it worse", "cannot tell yet"]
STRETCH = 4 * HOUR  # long enough to average a gauge's noise away, short enough to see the day
SETTLING = DAY  # left out after the change: a tank is judged the next day at the same hour
AT_MOST = 28 * DAY  # on each side: older readings are of another season
LEAST = 2 * DAY  # on each side
# A moment picked as the greatest of some 25 days' must pass for all of them (Bonferroni).
PICKED = 1.0 - 0.05 / 25
MATTERS = 0.03  # a change of relative humidity below this is within what a gauge can be off
MOST_DAYS = 60.0


@dataclass(frozen=True, slots=True)
class Change:
    """What changed at ``moment``: kelvins of dew point and fractions of relative humidity."""

    moment: float
    dew_point: Estimate
    humidity: Estimate
    before: float
    days_before: float
    days_after: float
    for_room: bool


def measure_change(
    spans: Means, moment: float, pressure: float, room: Sequence[float] | None = None
) -> Change | None:
    """Return the change at ``moment`` [s]; None with less than two days on either side.

    ``spans`` are means over ``STRETCH``. Regression on a step at ``moment``, a daily rhythm (one
    and two waves a day) and, when given, the temperature of the ``room`` [°C]; errors lean on
    each other as means of a first-order autoregression do (see ``regression``). The interval is
    Student's t with the effective number of independent means, n (1 - phi) / (1 + phi), less two.
    tests/bench/log.py measures how often it holds the truth.
    """
    kept = [
        n
        for n in range(len(spans.place))
        if spans.start(n) - moment >= -AT_MOST
        and spans.start(n) + spans.width <= moment + SETTLING + AT_MOST
        and (
            spans.start(n) + spans.width <= moment + 1.0
            or spans.start(n) >= moment + SETTLING - 1.0
        )
    ]
    after = [float(spans.start(n) >= moment) for n in kept]
    days_after = sum(after) * spans.width / DAY
    days_before = len(kept) * spans.width / DAY - days_after
    if min(days_before, days_after) * DAY < LEAST:
        return None
    vapour = [spans.vapour[n] for n in kept]
    limits = saturated([spans.temperature[n] for n in kept], pressure)
    humidity = [e / s for e, s in zip(vapour, limits, strict=True)]
    dew = [mixture.dew_point(e, pressure) for e in vapour]
    known: Matrix = [[1.0] * len(kept), after]
    for waves in (1, 2):
        angles = [2.0 * math.pi * waves * spans.start(n) / DAY for n in kept]
        known += [[math.sin(a) for a in angles], [math.cos(a) for a in angles]]
    for_room = False
    if room:
        chosen = [room[n] for n in kept]
        if all(map(math.isfinite, chosen)) and max(chosen) - min(chosen) > 0.2:
            middle = sum(chosen) / len(chosen)
            known.append([t - middle for t in chosen])
            for_room = True
    model = Autoregression(known, [dew, humidity], [spans.place[n] for n in kept])
    try:
        changes = averaged(model.estimate(1, 0)), averaged(model.estimate(1, 1))
    except ZeroDivisionError:
        return None
    before = [h for h, late in zip(humidity, after, strict=True) if not late]
    return Change(
        moment, *changes, sum(before) / len(before), days_before, days_after, for_room
    )  # fmt: skip


def propose_moment(spans: Means, pressure: float) -> float | None:
    """Return the likeliest moment of a change in dew point [s]; None in a log under 4 days.

    The place where the cumulative sum of departures from the mean, scaled by
    sqrt(n / (k (n - k))), is greatest: the likelihood's choice of one step in independent
    readings (Hinkley 1970, Biometrika 57:1; from memory), with two days kept on each side.
    """
    dew = [mixture.dew_point(e, pressure) for e in spans.vapour]
    count = len(dew)
    if not count or spans.start(count - 1) - spans.start(0) < 2 * LEAST:
        return None
    mean = sum(dew) / count
    reached, best, at = 0.0, 0.0, -1
    for k in range(1, count):
        reached += dew[k - 1] - mean
        early = spans.start(k) - spans.start(0) < LEAST
        late = spans.start(count - 1) + spans.width - spans.start(k) < LEAST + SETTLING
        size = abs(reached) * math.sqrt(count / (k * (count - k)))
        if not early and not late and size > best:
            best, at = size, k
    return spans.start(at) if at > 0 else None


def judge(
    change: Change, low: float, high: float, confidence: float = 0.95
) -> tuple[Verdict, float | None]:
    """Return the verdict for a band from ``low`` to ``high``, and how many more days it needs.

    Wanted is a change towards the middle of the band. Worked: the whole interval of the
    relative humidity lies that way of nought. Did nothing: the whole interval lies within 3 %
    of nought, less than gauges are off. The days needed follow from the error's fall with the
    time on both sides; None when more days after the change alone cannot settle it.
    """
    wanted = 1.0 if change.before < 0.5 * (low + high) else -1.0
    least, most = sorted(wanted * edge for edge in change.humidity.interval(confidence))
    if least > -MATTERS and most < MATTERS:
        return "did nothing", None
    if least > 0:
        return "worked", None
    if most < 0:
        return "made it worse", None
    half = 0.5 * (most - least)
    middle = abs(change.humidity.value)
    goal = 0.95 * max(middle, MATTERS - middle)
    # half² is in proportion to 1 / days before + 1 / days after.
    unit = half * half / (1.0 / change.days_before + 1.0 / change.days_after)
    left = goal * goal / unit - 1.0 / change.days_before
    if left <= 0:
        return "cannot tell yet", None
    more = math.ceil(1.0 / left - change.days_after)
    return "cannot tell yet", float(max(1, more)) if more <= MOST_DAYS else None
