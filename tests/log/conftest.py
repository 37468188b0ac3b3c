"""An invented log for the tests of the log reader, written in many ways."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from typing import NamedTuple

import pytest


class Reading(NamedTuple):
    moment: datetime
    temperature: float
    humidity: float
    room: float


Log = list[Reading]


def invent(
    days: float = 6.0,
    step: float = 30.0,
    start: datetime = datetime(2026, 2, 20, 0, 0),
    jump: float = 0.0,
    seed: int = 1,
    middle: float = 72.0,
) -> Log:
    """Return a tank that breathes once a day, with a gauge's noise; ``jump`` comes half way."""
    luck = random.Random(seed)
    count = int(days * 1440 / step)
    drift = 0.0
    rows = []
    for n in range(count):
        hours = n * step / 60
        drift = 0.97 ** (step / 60) * drift + luck.gauss(0, 0.25)
        wave = math.sin(2 * math.pi * hours / 24)
        humidity = middle - 4 * wave + drift + (jump if n >= count // 2 else 0.0)
        rows.append(
            Reading(
                start + timedelta(minutes=n * step),
                round(25.5 + 1.5 * wave + luck.gauss(0, 0.05), 1),
                round(min(99.0, max(5.0, humidity)), 1),
                round(20 + wave, 1),
            )
        )
    return rows


@pytest.fixture(scope="session")
def invented() -> Callable[..., Log]:
    return invent


@pytest.fixture(scope="session")
def base() -> Log:
    return invent()


def iso(
    rows: Sequence[Reading], header: str = "Time,Temperature (°C),Relative humidity (%)"
) -> str:
    """Return the plainest form of a log."""
    lines = [header]
    lines += [f"{r.moment:%Y-%m-%d %H:%M:%S},{r.temperature},{r.humidity}" for r in rows]
    return "\n".join(lines) + "\n"


@pytest.fixture(scope="session")
def plain() -> Callable[..., str]:
    return iso
