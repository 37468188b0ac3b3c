"""Measure the log reader: rows a second, memory, and how often its intervals cover the truth.

python tests/bench/log.py [--rows 1000000] [--simulations 400]
"""

from __future__ import annotations

import argparse
import math
import random
import resource
import time
from datetime import datetime, timedelta

import numpy as np
from scipy.signal import lfilter

from calculators.keeping.log.regression import Autoregression
from calculators.keeping.readings import PROGRESS, readings

START = datetime(2024, 1, 1)


def invent(rows: int) -> str:
    luck = random.Random(7)
    lines = ["Time,Temperature °C,Humidity %"]
    for n in range(rows):
        wave = math.sin(n / 229.2)
        moment = START + timedelta(minutes=n)
        lines.append(
            f"{moment:%Y-%m-%d %H:%M:%S},{25 + 2 * wave:.1f},{75 - 8 * wave + luck.random():.1f}"
        )
    return "\n".join(lines)


def speed(rows: int) -> None:
    text = invent(rows)
    pauses: list[float] = []
    last = time.perf_counter()

    def hear(_: float) -> None:
        nonlocal last
        now = time.perf_counter()
        pauses.append(now - last)
        last = now

    PROGRESS.set(hear)
    last = start = time.perf_counter()
    busy = time.process_time()
    readings(text)
    seconds, busy = time.perf_counter() - start, time.process_time() - busy
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(
        f"{rows} rows: {seconds:.2f} s ({busy:.2f} s of processor), {rows / seconds:.0f} rows/s, "
        f"longest silence {max(pauses):.2f} s, peak {memory:.0f} MB"
    )


def cover(simulations: int, days: int, phi: float, noise: float) -> None:
    luck = np.random.default_rng(11)
    count, hits = 48 * days, 0
    hours = np.arange(count)
    for _ in range(simulations):
        shocks = luck.normal(size=count) * np.sqrt(1 - phi**2)
        shocks[0] = luck.normal()
        y = lfilter([1], [1, -phi], shocks) + noise * luck.normal(size=count)
        y += 3 * np.sin(2 * np.pi * hours / 24) + np.where(hours >= 24 * days, 1.0, 0.0)
        keep = (hours < 24 * days) | (hours >= 24 * days + 24)
        places = np.unique(hours[keep] // 4)
        mean = y.reshape(-1, 4).mean(axis=1)[places]
        angles = 2 * np.pi * (places + 0.5) / 6
        known = [np.ones(len(places)), (places >= 6 * days) * 1.0]
        known += [f(k * angles) for k in (1, 2) for f in (np.sin, np.cos)]
        model = Autoregression([list(c) for c in known], [list(mean)], [int(p) for p in places])
        low, high = model.estimate(1).interval()
        hits += low <= 1.0 <= high
    print(f"{days} days each side, phi {phi}, noise {noise}: {hits / simulations:.1%} cover")


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--rows", type=int, default=1_000_000)
    options.add_argument("--simulations", type=int, default=400)
    chosen = options.parse_args()
    for rows in (chosen.rows // 10, chosen.rows):
        speed(rows)
    for case in ((5, 0.95, 0.0), (7, 0.95, 0.0), (14, 0.5, 0.0), (14, 0.9, 0.0), (14, 0.97, 0.0),
                 (14, 0.95, 0.3), (28, 0.99, 0.1)):  # fmt: skip
        cover(chosen.simulations, *case)


if __name__ == "__main__":
    main()
