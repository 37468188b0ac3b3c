"""The same log as moisture: what temperature did to the reading, and what water did.

In: a ``Series``. Out: vapour pressures, means over equal stretches of time, the daily swing of
relative humidity in two parts, and the hours a cold pane was wet.
"""

from __future__ import annotations

from array import array
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import compress, pairwise, repeat
from operator import gt, mul

from calculators.air import mixture
from calculators.keeping.log.reading import Progress, no_progress
from calculators.keeping.log.series import Series
from calculators.quantities import DAY, HOUR

_COLDEST, _WARMEST, _PER_KELVIN = -40, 60, 10
_TELL_EVERY = 100_000


@cache
def _table(pressure: float) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return saturated vapour pressures [Pa] every 0.1 K from -40 °C, and their differences."""
    count = (_WARMEST - _COLDEST) * _PER_KELVIN
    values = [
        mixture.vapour_pressure(_COLDEST + n / _PER_KELVIN, 1.0, pressure) for n in range(count + 1)
    ]
    steps = [b - a for a, b in pairwise(values)]
    return (*values, values[-1]), (*steps, 0.0, 0.0)


def saturated(temperature: Sequence[float], pressure: float) -> array[float]:
    """Return the vapour pressure [Pa] of saturated air at each temperature [°C, -40 to 60].

    Straight lines between values of ``mixture.vapour_pressure`` a tenth of a kelvin apart: at
    most 12 parts in a million off, 5 above freezing, and fast enough for a million readings.
    """
    base, slope = _table(pressure)
    return array(
        "d",
        [
            base[n := int(x := (t - _COLDEST) * _PER_KELVIN)] + (x - n) * slope[n]
            for t in temperature
        ],
    )


def vapour_pressures(
    series: Series, pressure: float, progress: Progress = no_progress
) -> array[float]:
    """Return the vapour pressure [Pa] of each reading; ``series`` must lack no temperature."""
    result = array("d")
    count = len(series.time)
    for start in range(0, count, _TELL_EVERY):
        part = slice(start, start + _TELL_EVERY)
        limits = saturated(series.temperature[part], pressure)
        result.extend(array("d", list(map(mul, series.humidity[part], limits))))
        progress(min(1.0, (start + _TELL_EVERY) / count))
    return result


@dataclass(frozen=True, slots=True)
class Means:
    """Means over equal stretches of time; stretches without a reading are left out.

    ``place`` counts stretches from 1970; ``weight`` is the time covered [s].
    """

    width: float
    place: array[int]
    temperature: array[float]
    vapour: array[float]
    room: array[float]
    weight: array[float]

    def start(self, index: int) -> float:
        """Return when a stretch starts [s]."""
        return self.place[index] * self.width


def means(
    series: Series, vapour: Sequence[float], width: float, progress: Progress = no_progress
) -> Means:
    """Return time-weighted means of temperature, vapour pressure and room over ``width`` [s]."""
    time, weight = series.time, series.weight
    result = Means(width, array("q"), array("d"), array("d"), array("d"), array("d"))
    columns = [(series.temperature, result.temperature), (vapour, result.vapour)]
    if series.room:
        columns.append((series.room, result.room))
    start, count, told = 0, len(time), 0
    while start < count:
        place = int(time[start] // width)
        # Rounding can put a reading on the far edge of its own stretch: always go on.
        end = max(start + 1, bisect_left(time, (place + 1) * width, start))
        share = weight[start:end]
        whole = sum(share)
        if whole > 0:
            result.place.append(place)
            result.weight.append(whole)
            for values, target in columns:
                part = values[start:end]
                if series.even:
                    target.append(sum(part) / (end - start))
                else:
                    target.append(sum(map(mul, share, part)) / whole)
        start = end
        if start - told > _TELL_EVERY:
            told = start
            progress(start / count)
    return result


def wider(narrow: Means, times: int) -> Means:
    """Return means over ``times`` as long stretches, from ``narrow`` ones."""
    result = Means(narrow.width * times, array("q"), array("d"), array("d"), array("d"), array("d"))
    start, count = 0, len(narrow.place)
    while start < count:
        place = narrow.place[start] // times
        end = bisect_left(narrow.place, (place + 1) * times, start)
        share = narrow.weight[start:end]
        whole = sum(share)
        result.place.append(place)
        result.weight.append(whole)
        for values, target in (
            (narrow.temperature, result.temperature),
            (narrow.vapour, result.vapour),
            (narrow.room, result.room),
        ):
            if values:
                target.append(sum(map(mul, share, values[start:end])) / whole)
        start = end
    return result


@dataclass(frozen=True, slots=True)
class Swing:
    """The mean daily swing of relative humidity, as fractions: ``whole`` is the two parts' sum."""

    whole: float
    by_temperature: float
    by_moisture: float
    days: int


def split_swing(
    vapour_low: float, saturated_low: float, vapour_high: float, saturated_high: float
) -> tuple[float, float]:
    """Return what temperature and what moisture added to a rise of relative humidity.

    Relative humidity is e / s. Each factor is changed alone, once before and once after the
    other, and the mean of both is its part (Shapley's value for two factors): the parts add up to
    the whole exactly, whatever the order. L. S. Shapley 1953, in Contributions to the Theory of
    Games II; used for decomposition by Shorrocks 2013, J. Econ. Inequality 11:99 (from memory).
    """
    moisture = (vapour_high - vapour_low) * 0.5 * (1.0 / saturated_low + 1.0 / saturated_high)
    warmth = (1.0 / saturated_high - 1.0 / saturated_low) * 0.5 * (vapour_low + vapour_high)
    return warmth, moisture


def daily_swing(hourly: Means, pressure: float, shift: float = 0.0) -> Swing | None:
    """Return the mean swing between each day's driest and dampest hour, in its two parts.

    Days count from midnight and need 18 hours with readings. ``shift`` [s] is added to the time
    for the clock on the wall. None when no day is whole enough.
    """
    limits = saturated(hourly.temperature, pressure)
    days: dict[int, list[int]] = {}
    for n in range(len(hourly.place)):
        days.setdefault(int((hourly.start(n) + shift) // DAY), []).append(n)
    warmths, moistures = [], []
    for members in days.values():
        if sum(hourly.weight[n] for n in members) < 18 * HOUR:
            continue
        humid = {n: hourly.vapour[n] / limits[n] for n in members}
        low, high = min(members, key=humid.__getitem__), max(members, key=humid.__getitem__)
        warmth, moisture = split_swing(
            hourly.vapour[low], limits[low], hourly.vapour[high], limits[high]
        )
        warmths.append(warmth)
        moistures.append(moisture)
    if not warmths:
        return None
    count = len(warmths)
    by_temperature, by_moisture = sum(warmths) / count, sum(moistures) / count
    return Swing(by_temperature + by_moisture, by_temperature, by_moisture, count)


def wet_time(series: Series, vapour: Sequence[float], room: float | None, pressure: float) -> float:
    """Return for how long [s] a pane as cold as the room was below the dew point.

    A pane is warmer than the room on its inner side, so this is the most it can have been.
    ``room`` [°C] is used where the log has no room column. nan when neither is known.
    """
    if series.room:
        # Where the room is not known no pane is called wet.
        temperatures = [t if t == t else _WARMEST for t in series.room]
        limits = saturated(temperatures, pressure)
        return sum(compress(series.weight, map(gt, vapour, limits)))
    if room is None:
        return float("nan")
    limit = mixture.vapour_pressure(room, 1.0, pressure)
    return sum(compress(series.weight, map(gt, vapour, repeat(limit))))
