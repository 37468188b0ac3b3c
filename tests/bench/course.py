"""How long a course of 72 hours takes, beside two other ways to solve the same equations.

``python tests/bench/course.py`` follows each invented tank through three days and nights with two
vents: the course as pages use it, with the thermostat's cycles, by SciPy's BDF at a like error, and
by explicit Euler at its stability limit (from 20 minutes of it). The bar: 300 ms in CPython.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from itertools import pairwise

import numpy as np
from scipy.integrate import solve_ivp

from calculators.tank.balance import balance
from calculators.tank.card import TankCard
from calculators.tank.course import HYSTERESIS, Vent, course
from calculators.tank.geometry import Tank
from calculators.tank.rates import Climate, Rates

HOUR = 3600.0
END = 72 * HOUR
VENTS = (Vent(18 * HOUR, 20 * HOUR, 0.010), Vent(42 * HOUR, 42.5 * HOUR, 0.030))
BAR = 0.300  # s


def timed(work: Callable[[], object], rounds: int = 5) -> float:
    """Return the least processor time [s] of ``work``: what else runs only adds to it."""
    times = []
    for _ in range(rounds):
        begin = time.process_time()
        work()
        times.append(time.process_time() - begin)
    return min(times)


def with_scipy(tank: Tank, climate: Climate) -> None:
    """Solve the same course with SciPy, restarted at the same switches."""
    rates, y = begun(tank, climate)
    edges = sorted({0.0, END, *(t for vent in VENTS for t in (vent.opens, vent.closes))})
    for early, late in pairwise(edges):
        rates.gap = sum(vent.area for vent in VENTS if vent.opens <= early < vent.closes)
        done = solve_ivp(
            lambda t, v: rates(t, list(v)), (early, late), y, method="BDF", rtol=1e-4, atol=1e-3,
            max_step=900.0,
        )  # fmt: skip
        y = list(done.y[:, -1])


def begun(tank: Tank, climate: Climate) -> tuple[Rates, list[float]]:
    """Return rates and unknowns at the start, the mat steady."""
    rates = Rates(tank, climate)
    rest = balance(tank, climate.mean)
    rates.heater_power, rates.gain = rest.heater_power, tank.card.heater_power / HYSTERESIS
    return rates, rates.begin(rest.state)


def explicit(tank: Tank, climate: Climate) -> float:
    """Return the time [s] explicit Euler would take at its stability limit, 2 / |λ|."""
    rates, y = begun(tank, climate)
    here = np.array(rates(0.0, y))
    nudges = [1e-3] * rates.vapour + [0.1] + [1e-5] * (rates.size - rates.vapour - 1)
    columns = [
        (np.array(rates(0.0, [v + d * (i == k) for i, v in enumerate(y)])) - here) / d
        for k, d in enumerate(nudges)
    ]
    step = 2.0 / float(np.max(np.abs(np.linalg.eigvals(np.array(columns).T))))

    def walk() -> None:
        now = list(y)
        for k in range(int(1200.0 / step)):
            now = [v + step * r for v, r in zip(now, rates(k * step, now), strict=True)]

    return timed(walk, 3) * END / 1200.0


def main() -> None:
    """Print what each way takes, and the ratio to the course."""
    for name, card in TankCard.ready.items():
        tank = Tank.of(card)
        warm = card.room_temperature
        climate = Climate.between(warm + 2, card.room_humidity, warm - 2, card.room_humidity + 0.06)
        mean = timed(lambda t=tank, c=climate: course(t, c, 0.0, END, VENTS))  # type: ignore[misc]
        found = course(tank, climate, 0.0, END, VENTS)
        cycles = timed(
            lambda t=tank, c=climate: course(t, c, 0.0, END, VENTS, cycles=True),  # type: ignore[misc]
            3,
        )
        scipy = timed(lambda t=tank, c=climate: with_scipy(t, c), 3)  # type: ignore[misc]
        euler = explicit(tank, climate)
        print(
            f"{name}: {1e3 * mean:.0f} ms, {found.evaluations} evaluations "
            f"({'within' if mean <= BAR else 'OVER'} {1e3 * BAR:.0f} ms); with cycles "
            f"{1e3 * cycles:.0f} ms; SciPy BDF {scipy / mean:.1f} times as long; "
            f"explicit Euler {euler / mean:.1f} times"
        )


if __name__ == "__main__":
    main()
