"""Hourly logs with a change whose truth is known, to see how often the interval holds it.

The humidity has a daily rhythm, a step of one point, a memory (a first-order autoregression of
standard deviation one point) and a gauge's noise; some have a room whose temperature wanders and
moves the humidity, some have holes of a few hours to a day, one has a rhythm whose size wanders.
"""

from __future__ import annotations

from array import array
from typing import NamedTuple

import numpy as np
from scipy.signal import lfilter

from calculators.keeping.log.change import measure_change
from calculators.keeping.log.moisture import Means, saturated, wider

PRESSURE = 101325.0
HOUR = 3600.0
STEP = 0.01


class Case(NamedTuple):
    """Days before and after, correlation from hour to hour, noise [points], and what else."""

    before: int
    after: int
    correlation: float
    noise: float = 0.0
    room: bool = False
    holes: bool = False
    restless: bool = False


CASES = {
    "white": Case(14, 14, 0.0),
    "white, a week": Case(7, 7, 0.0, room=True),
    "short memory": Case(14, 14, 0.5),
    "short memory, room, holes": Case(14, 14, 0.5, room=True, holes=True),
    "middling memory": Case(14, 14, 0.9),
    "middling memory, room": Case(14, 14, 0.9, room=True),
    "middling memory, noise, holes": Case(14, 14, 0.95, noise=0.3, holes=True),
    "long memory": Case(14, 14, 0.97),
    "long memory, room": Case(14, 14, 0.97, room=True),
    "longest memory, noise": Case(28, 28, 0.99, noise=0.1),
    "longest memory, room, holes": Case(28, 28, 0.99, room=True, holes=True),
    "restless rhythm": Case(14, 14, 0.9, noise=0.2, restless=True),
    "one week": Case(7, 7, 0.95),
    "five days, holes": Case(5, 5, 0.95, holes=True),
    "three days": Case(3, 3, 0.9),
    "three days, room": Case(3, 3, 0.9, noise=0.1, room=True),
    "two weeks and five days": Case(14, 5, 0.95, noise=0.2),
}


def memory(luck: np.random.Generator, count: int, correlation: float) -> np.ndarray:
    """Return a stationary first-order autoregression of standard deviation one."""
    shocks = luck.normal(size=count) * np.sqrt(1 - correlation**2)
    shocks[0] = luck.normal()
    return np.asarray(lfilter([1], [1, -correlation], shocks))


def covers(luck: np.random.Generator, case: Case) -> bool:
    """Return whether the 95 % interval of one simulated log holds the true step."""
    count = 24 * (case.before + case.after + 1)
    hours = np.arange(count)
    wave = 2 * np.pi * (hours / 24 + luck.uniform())
    size = 2.0 + (0.5 * memory(luck, count, 0.99) if case.restless else 0.0)
    points = memory(luck, count, case.correlation) + case.noise * luck.normal(size=count)
    points += size * np.sin(wave) + 0.5 * np.sin(2 * wave)
    room = 20 + memory(luck, count, 0.98) + 1.5 * np.sin(wave)
    if case.room:
        points += 0.8 * (room - 20)
    humidity = 0.70 + 0.01 * points + np.where(hours >= 24 * case.before, STEP, 0.0)
    warmth = 25 + np.sin(wave + 1)
    there = np.ones(count, dtype=bool)
    if case.holes:
        for _ in range((case.before + case.after) // 4):
            start = luck.integers(count)
            there[start : start + luck.integers(4, 30)] = False
    vapour = humidity * np.array(saturated(list(warmth), PRESSURE))
    hourly = Means(
        HOUR,
        array("q", hours[there].tolist()),
        array("d", warmth[there]),
        array("d", vapour[there]),
        array("d", room[there] if case.room else []),
        array("d", [HOUR] * int(there.sum())),
    )
    spans = wider(hourly, 4)
    found = measure_change(spans, 24 * HOUR * case.before, PRESSURE, spans.room)
    if found is None:  # the holes left less than two days on a side: draw again
        return covers(luck, case)
    low, high = found.humidity.interval()
    return low <= STEP <= high
