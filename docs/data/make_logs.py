"""Make the invented logs of the three tanks that lie beside this file.

``python docs/data/make_logs.py``. In: the tanks Wrack, Kelp and Samphire of the invented Saltmarsh
Lane Keepers' Circle, a room by day and by night, and what was opened or closed when. Out: one log
each, two weeks, a line every ten minutes. The tank model, fitted to the reading
on the tank's card, gives the air; then comes noise from a
fixed seed: slow weather of 1 point of relative humidity and 0.2 °C with a memory of 12 hours, and a
gauge's own of 0.4 points and 0.08 °C from line to line.
"""

from __future__ import annotations

import dataclasses
import math
import random
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import NamedTuple

from calculators.tank.card import TankCard
from calculators.tank.course import Vent, course
from calculators.tank.fit import fit
from calculators.tank.geometry import Tank
from calculators.tank.rates import Climate

HERE = Path(__file__).parent
DAY, HOUR, STEP = 86400.0, 3600.0, 600.0
DAYS = 14
WEATHER, WEATHER_WARMTH, MEMORY = 0.010, 0.2, 12 * HOUR
GAUGE, GAUGE_WARMTH = 0.004, 0.08
LEFT_OPEN = 0.45  # of the air changes, once the gaps of a lid are closed


class Story(NamedTuple):
    """A tank's two weeks: the room by day and night, vents, and a lid closed at some moment."""

    tank: str
    start: datetime
    climate: Climate
    told: str
    vents: tuple[Vent, ...] = ()
    closed: float = DAYS * DAY


def evenings(days: range, hours: float, area: float) -> tuple[Vent, ...]:
    """Return a vent of ``area`` [m²] from 18:00 for some ``hours`` on each of ``days``."""
    return tuple(Vent(day * DAY + 18 * HOUR, day * DAY + (18 + hours) * HOUR, area) for day in days)


STORIES = (
    Story(
        "wrack",
        datetime(2026, 1, 9),
        Climate.between(19.0, 0.28, 16.5, 0.32),
        "the lid's gaps were closed on 2026-01-16 at 18:00",
        closed=7 * DAY + 18 * HOUR,
    ),
    Story(
        "kelp",
        datetime(2026, 7, 6),
        Climate.between(27.0, 0.62, 23.0, 0.74),
        "in the second week the lid was slid back from 18:00 to 20:00 each day",
        vents=evenings(range(7, DAYS), 2.0, 0.010),
    ),
    Story("samphire", datetime(2026, 3, 2), Climate.between(22.0, 0.43, 19.5, 0.48), "no change"),
)


def air(story: Story) -> Iterator[tuple[float, float, float]]:
    """Yield time [s], temperature [°C] and relative humidity of the tank's air, without noise."""
    card = TankCard.ready[story.tank]
    tank = fit(Tank.of(card), story.climate.mean, card.reading).tank
    end = DAYS * DAY
    parts = [(tank, 0.0, min(story.closed, end))]
    if story.closed < end:
        tight = dataclasses.replace(tank, air_changes=LEFT_OPEN * tank.air_changes)
        parts.append((tight, story.closed, end))
    state = None
    for part, begin, stop in parts:
        run = course(part, story.climate, begin, stop, story.vents, start=state)
        state = run.states[-1]
        warmth = [each.air for each in run.states]
        for n in range(math.ceil(begin / STEP), math.ceil(stop / STEP)):
            yield n * STEP, run.at(warmth, n * STEP), run.humidity_at(n * STEP)


def normal(luck: random.Random) -> float:
    """Return a number near a standard normal one: twelve even ones, the same in every Python."""
    return sum(luck.random() for _ in range(12)) - 6.0


def log(story: Story) -> str:
    """Return the text of one log."""
    luck = random.Random(f"the log of {story.tank}")
    keep = math.exp(-STEP / MEMORY)
    fresh = math.sqrt(1.0 - keep * keep)
    damp, warm = normal(luck), normal(luck)
    lines = [
        f"# Invented: the tank {story.tank.capitalize()} by the tank model with noise "
        f"(make_logs.py); {story.told}",
        "time,temperature °C,humidity %",
    ]
    for time, celsius, humidity in air(story):
        damp = keep * damp + fresh * normal(luck)
        warm = keep * warm + fresh * normal(luck)
        celsius += WEATHER_WARMTH * warm + GAUGE_WARMTH * normal(luck)
        humidity += WEATHER * damp + GAUGE * normal(luck)
        clock = story.start + timedelta(seconds=time)
        lines.append(f"{clock:%Y-%m-%d %H:%M},{celsius:.1f},{100 * min(humidity, 0.999):.1f}")
    return "\n".join(lines) + "\n"


def main() -> None:
    """Write every log beside this file."""
    for story in STORIES:
        (HERE / f"{story.tank}.csv").write_text(log(story), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
