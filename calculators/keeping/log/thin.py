"""A picture's worth of points that hides nothing.

In: a ``Series`` of any length. Out: the places of at most ``MOST_POINTS`` readings, among them the
lowest and the highest of every stretch, so that no peak and no dip of a million is lost.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence

from calculators.keeping.log.reading import Progress, no_progress

MOST_POINTS = 1500


def thin(
    time: Sequence[float], lines: Sequence[Sequence[float]], progress: Progress = no_progress
) -> list[int]:
    """Return the places to draw: of each stretch, where each of ``lines`` is least and greatest.

    Stretches are equally long in time. ``lines`` hold no nan. The first and the last reading
    are always drawn.
    """
    count = len(time)
    if count <= MOST_POINTS:
        return list(range(count))
    stretches = (MOST_POINTS - 2) // (2 * len(lines))
    first, width = time[0], (time[-1] - time[0]) / stretches
    kept = {0, count - 1}
    start = 0
    for n in range(1, stretches + 1):
        end = count if n == stretches else bisect_left(time, first + n * width, start)
        if end > start:
            for values in lines:
                part = values[start:end]
                kept.add(start + part.index(min(part)))
                kept.add(start + part.index(max(part)))
        start = end
        progress(n / stretches)
    return sorted(kept)
