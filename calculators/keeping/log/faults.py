"""Readings no air could have made, and readings that look like a failed gauge.

In: a ``Log`` in order of time. Out: the same log without the impossible ones, each named. A
suspect reading that could be true stays, and is named too.

The limits here are common practice, no source: they part what a gauge can do from what the air
of a room or a tank can.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from itertools import islice
from operator import eq

from calculators.keeping.log.reading import NAN, Findings, Log, Progress, no_progress, when
from calculators.keeping.log.series import differences
from calculators.quantities import HOUR

LOWEST_TEMPERATURE, HIGHEST_TEMPERATURE = -40.0, 60.0  # [°C], where the moist-air equations hold
HIGHEST_HUMIDITY = 1.05  # a gauge near saturation may read a little over
SPIKE_HUMIDITY, SPIKE_TEMPERATURE = 0.20, 8.0
SPIKE_WITHIN = 0.5 * HOUR
STUCK_FOR = 24 * HOUR


def name_faults(log: Log, holes: Sequence[int], progress: Progress = no_progress) -> None:
    """Leave out what cannot be, name what may not be, and every gap before one of ``holes``."""
    _impossible_humidity(log, log.findings)
    progress(0.2)
    _impossible_temperature(log, log.findings)
    progress(0.4)
    _spikes(log, log.findings)
    progress(0.8)
    _stuck(log, log.findings)
    for n in holes:
        log.findings.add(
            "gap",
            log.lines[n],
            f"nothing for {(log.time[n] - log.time[n - 1]) / HOUR:.1f} hours before "
            f"{when(log.time[n])}",
            "not counted for either side",
        )
    progress(1.0)


def edges(values: Sequence[float]) -> tuple[float, float]:
    """Return the least and the greatest value that is no nan; (nan, nan) when there is none."""
    if values and math.isfinite(sum(values)):
        return min(values), max(values)
    known = [value for value in values if value == value]
    return (min(known), max(known)) if known else (NAN, NAN)


def _impossible_humidity(log: Log, found: Findings) -> None:
    humidity = log.humidity
    low, high = edges(humidity)
    if low <= 0.0 or high > 1.0:
        for n, value in enumerate(humidity):
            if value <= 0.0 or value > HIGHEST_HUMIDITY:
                kind = "humidity of 0 %" if value == 0.0 else "impossible humidity"
                found.add(
                    kind,
                    log.lines[n],
                    f"{100 * value:.4g} % is no humidity of air: the gauge failed",
                    "this reading left out",
                )
                humidity[n] = NAN
            elif value > 1.0:
                found.add(
                    "humidity above 100 %", log.lines[n], f"{100 * value:.4g} %", "read as 100 %"
                )
                humidity[n] = 1.0


def _impossible_temperature(log: Log, found: Findings) -> None:
    for name, values in (("temperature", log.temperature), ("room temperature", log.room)):
        if not values:
            continue
        low, high = edges(values)
        if not (low < LOWEST_TEMPERATURE or high > HIGHEST_TEMPERATURE):
            continue
        for n, value in enumerate(values):
            if value < LOWEST_TEMPERATURE or value > HIGHEST_TEMPERATURE:
                found.add(
                    f"impossible {name}",
                    log.lines[n],
                    f"{value:.4g} °C is outside {LOWEST_TEMPERATURE:g} to "
                    f"{HIGHEST_TEMPERATURE:g} °C",
                    "this reading left out",
                )
                values[n] = NAN


def _spikes(log: Log, found: Findings) -> None:
    """Leave out single readings that jump away from both neighbours and back within minutes."""
    time = log.time
    for name, values, size in (
        ("humidity", log.humidity, SPIKE_HUMIDITY),
        ("temperature", log.temperature, SPIKE_TEMPERATURE),
    ):
        low, high = edges(values)
        if not high - low > size:
            continue
        jumps = differences(values)
        least, most = edges(jumps)
        if not (most > size and least < -size):
            continue
        big = [n for n, jump in enumerate(jumps) if jump > size or jump < -size]
        for n in big:
            if n + 1 >= len(jumps):
                continue
            up, back = jumps[n], jumps[n + 1]
            spike = up * back < 0 and abs(back) > size and abs(up + back) < 0.25 * size
            if spike and time[n + 2] - time[n] <= 2 * SPIKE_WITHIN:
                value = values[n + 1]
                text = f"{100 * value:.3g} %" if name == "humidity" else f"{value:.3g} °C"
                found.add(
                    f"{name} spike",
                    log.lines[n + 1],
                    f"{text} for a single reading, its neighbours far away",
                    "this reading left out",
                )
                values[n + 1] = NAN


def _stuck(log: Log, found: Findings) -> None:
    """Name humidity that does not move for a day; it stays, because it may be true."""
    humidity, time = log.humidity, log.time
    same = bytes(map(eq, islice(humidity, 1, None), humidity))
    for match in re.finditer(b"\x01{11,}", same):
        start, end = match.start(), match.end() + 1
        lasts = time[end - 1] - time[start]
        value = humidity[start]
        if lasts >= STUCK_FOR:
            kind = "stuck at 100 %" if value >= 0.999 else "humidity that does not move"
            found.add(
                kind,
                log.lines[start],
                f"{100 * value:.3g} % without a change for {lasts / HOUR:.0f} hours from "
                f"{when(time[start])}",
                "kept: check the gauge, a wet or dead sensor does this",
            )
