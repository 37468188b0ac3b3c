"""One clean series from a log, and every fault found on the way.

In: a ``Log`` in the file's order. Out: a ``Series`` in order of time, with how long each reading
stands for. Nothing is dropped without being counted; a suspect reading that could be true stays.
"""

from __future__ import annotations

import math
from array import array
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta
from itertools import islice, pairwise
from operator import le, lt

from calculators.keeping.log.faults import name_faults
from calculators.keeping.log.reading import Log, Progress, no_progress, when
from calculators.keeping.log.series import Series, breaks, differences
from calculators.quantities import HOUR

GAP_STEPS, GAP_AT_LEAST = 5.0, 2 * HOUR


def clean(log: Log, progress: Progress = no_progress) -> Series:
    """Return the clean series of ``log``; what was found is added to its findings."""
    _newest_first(log)
    steps = differences(log.time)
    progress(0.2)
    step = usual_step(steps)
    least, most = min(steps), max(steps)
    progress(0.3)
    shifts: tuple[tuple[float, float], ...] = ()
    if not log.zones and (least <= 0 or most > step + 0.5 * HOUR):
        shifts = _clock_changes(log, steps, step)
    if shifts or least <= 0:
        _sort(log)
        _duplicates(log)
        steps = differences(log.time)
        step = usual_step(steps)
    gap = max(GAP_STEPS * step, GAP_AT_LEAST)
    progress(0.4)
    name_faults(log, breaks(steps, gap), lambda share: progress(0.4 + 0.4 * share))
    columns = (log.time, log.humidity, log.temperature, log.room)
    series = Series.of(columns, step, gap, shifts)
    progress(1.0)
    return series


def _columns(log: Log) -> Iterator[tuple[str, array[float]]]:
    for name in ("time", "humidity", "temperature", "room"):
        values = getattr(log, name)
        if values:
            yield name, values


def _take(log: Log, order: Sequence[int]) -> None:
    for name, values in tuple(_columns(log)):
        setattr(log, name, array("d", [values[place] for place in order]))
    log.lines = array("L", [log.lines[place] for place in order])


def usual_step(steps: Sequence[float]) -> float:
    """Return the usual time between readings [s]: the middle of the steps forward.

    Of a long log, some 20 000 steps spread evenly are enough.
    """
    forward = sorted(step for step in steps[:: 1 + len(steps) // 20_000] if step > 0)
    return forward[len(forward) // 2] if forward else HOUR


def _newest_first(log: Log) -> None:
    time = log.time
    if time[0] <= time[-1]:
        return
    back = sum(map(lt, islice(time, 1, None), time))
    if back > 0.5 * len(time):
        for _, values in _columns(log):
            values.reverse()
        log.lines = log.lines[::-1]
        log.findings.add(
            "order", log.lines[-1], "the newest reading stands first", "read from the end"
        )


def _clock_changes(
    log: Log, steps: Sequence[float], step: float
) -> tuple[tuple[float, float], ...]:
    """Undo the jumps of one hour that daylight saving makes in the log's clock.

    Taken for a change of the clocks: within one step the clock goes back by one hour, or skips
    one, in the small hours of a spring or autumn night, and time runs on as usual after it.
    """
    time = log.time
    if step > 2 * HOUR:
        return ()
    odd = [n for n, width in enumerate(steps) if not -0.5 * HOUR <= width - step <= 0.5 * HOUR]
    if len(odd) > 200:
        # With so many holes an hour more or less says nothing about the clocks.
        odd = [n for n in odd if steps[n] <= 0]
    shifts: list[tuple[float, float]] = []
    shift = 0.0
    changes: list[tuple[int, float]] = []
    for n in odd:
        width = steps[n]
        change = next(
            (c for c in (HOUR, -HOUR) if abs(width - (step - c)) <= min(0.5 * step, 600.0) + 1.0),
            0.0,
        )
        here = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(seconds=time[n])
        season = here.month in ((9, 10, 11, 4) if change > 0 else (3, 4, 9, 10))
        # The step back must be followed by a whole hour that repeats the clock.
        goes_on = change < 0 or all(width > 0 for width in steps[n + 1 : n + 4])
        small_hours = here.hour <= 3 or here.hour == 23
        sunday = here.weekday() in (5, 6) or (width < 0 and n + 1 < len(steps))
        likely = season and small_hours and sunday and goes_on
        if change and likely and abs(shift + change) < 2 * HOUR:
            shift += change
            changes.append((n + 1, shift))
            shifts.append((time[n + 1] + shift, -shift))
            what = "was set back" if change > 0 else "was set forward"
            log.findings.add(
                "clock change",
                log.lines[n + 1],
                f"the log's clock {what} by one hour ({when(time[n + 1])})",
                "all readings kept, time counted on without the jump",
            )
    changes.append((len(time), 0.0))
    for (start, later), (end, _) in pairwise(changes):
        time[start:end] = array("d", [value + later for value in time[start:end]])
    return tuple(shifts)


def _sort(log: Log) -> None:
    time = log.time
    if all(map(le, time, islice(time, 1, None))):
        return
    latest, out = -math.inf, []
    for place, value in enumerate(time):
        if value < latest:
            out.append(place)
        else:
            latest = value
    for place in out[:50]:
        log.findings.add(
            "out of order",
            log.lines[place],
            f"{when(time[place])} stands after a later reading",
            "kept, put in its place",
        )
    if len(out) > 50:
        log.findings.add("out of order", 0, "", "", len(out) - 50)
    _take(log, sorted(range(len(time)), key=time.__getitem__))


def _duplicates(log: Log) -> None:
    """Leave out readings that repeat another one whole; two different ones share their time."""
    same = [n for n, width in enumerate(differences(log.time), start=1) if width == 0]
    twice = set()
    columns = [values for _, values in _columns(log)]
    for n in same:
        start = n - 1
        while start and log.time[start - 1] == log.time[n]:
            start -= 1
        if any(
            all(_equal(values[n], values[other]) for values in columns)
            for other in range(max(start, n - 20), n)
            if other not in twice
        ):
            twice.add(n)
            log.findings.add(
                "duplicate", log.lines[n], f"{when(log.time[n])} again, word for word", "used once"
            )
        else:
            log.findings.add(
                "same time",
                log.lines[n],
                f"{when(log.time[n])} again, with another reading",
                "both kept, each for half of the time",
            )
    if twice:
        _take(log, [n for n in range(len(log.time)) if n not in twice])


def _equal(a: float, b: float) -> bool:
    return a == b or (a != a and b != b)
