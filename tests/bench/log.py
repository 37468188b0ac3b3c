"""Measure the log reader: rows a second, memory, and how often its intervals cover the truth.

python tests/bench/log.py [--rows 1000000] [--simulations 200]

Of 2 000 simulated logs of each kind (standard error 0.4 to 0.6 %), by the 95 % interval:

white: 95.3%; white, a week: 96.0%; short memory: 95.3%; short memory, room, holes: 95.4%;
middling memory: 95.0%; middling memory, room: 93.5%; middling memory, noise, holes: 93.0%;
long memory: 95.9%; long memory, room: 95.0%; longest memory, noise: 94.5%;
longest memory, room, holes: 94.5%; restless rhythm: 95.7%; one week: 94.8%;
five days, holes: 95.4%; three days: 93.9%; three days, room: 93.7%;
two weeks and five days: 93.2%.

In the browser's Python under Node, seconds of processor on a busy machine: 100 000 rows 1.0,
1 000 000 rows 9.3, 184 MB; the same before whole columns were worked on at once: 1.5 and 15.7.
"""

from __future__ import annotations

import argparse
import math
import random
import resource
import time
from datetime import datetime, timedelta

import numpy as np

from calculators.keeping.readings import PROGRESS, readings
from tests.log.simulated import CASES, covers

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


def cover(simulations: int) -> None:
    luck = np.random.default_rng()
    for name, case in CASES.items():
        hits = sum(covers(luck, case) for _ in range(simulations))
        print(f"{name}: {hits / simulations:.1%} of {simulations} intervals hold the truth")


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--rows", type=int, default=1_000_000)
    options.add_argument("--simulations", type=int, default=200)
    chosen = options.parse_args()
    for rows in (chosen.rows // 10, chosen.rows):
        speed(rows)
    cover(chosen.simulations)


if __name__ == "__main__":
    main()
