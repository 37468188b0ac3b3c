"""Readings in order of time, and how long each one stands for.

In: columns of a clean log. Out: a ``Series``. Works on whole columns at once: a loop in Python
over a million readings would take longer than a reader waits.
"""

from __future__ import annotations

import math
from array import array
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import compress, count, islice, repeat
from operator import add, and_, eq, gt, sub


@dataclass(frozen=True, slots=True)
class Series:
    """Readings in order of time; made by ``Series.of``.

    ``time`` [s] runs on without jumps: after a change of the clocks ``shifts`` holds (time, what
    to add for the clock on the wall). ``weight`` [s] is how long a reading stands for: half of
    the time to each neighbour, and only half a usual step on the side of a gap; ``even`` says
    that all stand for the same time. ``breaks`` are the readings before which a gap lies.
    ``humidity`` is a fraction, ``temperature`` and ``room`` are in °C; a missing one is nan, an
    absent column empty.
    """

    time: array[float]
    humidity: array[float]
    temperature: array[float]
    room: array[float]
    weight: array[float]
    even: bool
    breaks: Sequence[int]
    step: float
    gap: float
    shifts: tuple[tuple[float, float], ...]

    def corrected(self, correction: float) -> Series:
        """Return the series with ``correction`` [1] added to every humidity, kept within 0 to 1."""
        if correction == 0.0:
            return self
        shifted = (min(max(each + correction, 0.0), 1.0) for each in self.humidity)
        return replace(self, humidity=array("d", shifted))

    @classmethod
    def of(
        cls,
        columns: Sequence[array[float]],
        step: float,
        gap: float,
        shifts: tuple[tuple[float, float], ...] = (),
    ) -> Series:
        """Return the series of ``columns`` (time, humidity, temperature, room) and its weights.

        ``step`` is the usual time between readings, ``gap`` the least that counts as a gap [s].
        """
        time, humidity, celsius, room = columns
        steps = differences(time)
        holes = breaks(steps, gap)
        weight = weights(steps, holes, step)
        even = min(weight, default=0.0) == max(weight, default=0.0)
        return cls(time, humidity, celsius, room, weight, even, holes, step, gap, shifts)

    def wall(self, time: float) -> float:
        """Return what the clock on the wall said at ``time``."""
        return time + next((add for start, add in reversed(self.shifts) if time >= start), 0.0)

    def only(self, *, temperature: bool = False) -> Series:
        """Return the readings that have a humidity (and a temperature)."""
        wanted = (self.humidity, self.temperature) if temperature else (self.humidity,)
        if all(column and math.isfinite(sum(column)) for column in wanted):
            return self
        known = bytes(map(eq, self.humidity, self.humidity))  # nan is not equal to itself
        if temperature:
            known = bytes(map(and_, known, map(eq, self.temperature, self.temperature)))
        columns = (self.time, self.humidity, self.temperature, self.room)
        kept = [array("d", list(compress(column, known))) for column in columns]
        return Series.of(kept, self.step, self.gap, self.shifts)


def differences(values: Sequence[float]) -> array[float]:
    """Return each value less the one before it."""
    return array("d", list(map(sub, islice(values, 1, None), values)))


def breaks(steps: Sequence[float], gap: float) -> list[int]:
    """Return the readings that come more than ``gap`` [s] after the one before."""
    if not steps or max(steps) <= gap:
        return []
    return list(compress(count(1), map(gt, steps, repeat(gap))))


def weights(steps: Sequence[float], holes: Sequence[int], step: float) -> array[float]:
    """Return how long each reading stands for [s]; see ``Series``.

    ``steps`` [s] lie between the readings, ``holes`` as ``breaks`` has them.
    """
    if not steps:
        return array("d", [step])
    if min(steps) == max(steps) == step:
        return array("d", [step]) * (len(steps) + 1)
    sides = [0.5 * width for width in steps]
    half = 0.5 * step
    for n in holes:
        sides[n - 1] = half
    first, last = min(half, sides[0] or half), min(half, sides[-1] or half)
    return array("d", list(map(add, [first, *sides], [*sides, last])))
