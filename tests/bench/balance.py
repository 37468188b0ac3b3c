"""How long a balance takes, and whether it is found in every tank the card allows.

``python tests/bench/balance.py`` times it beside a plain fixed-point iteration of the same
equations; ``--tanks 100000`` solves as many tanks drawn at random and names what fails.
"""

from __future__ import annotations

import argparse
import random
import statistics
import time
import typing

from annotated_types import Interval

from calculators.errors import InputError, NoAnswer, OutOfRange
from calculators.tank.balance import Balance, balance
from calculators.tank.card import TankCard
from calculators.tank.flows import flows
from calculators.tank.geometry import Tank
from calculators.tank.nodes import AIR, Room, Setting, State
from calculators.tank.steady import first_guess, left_open, slopes_at

HINTS = typing.get_type_hints(TankCard, include_extras=True)
OFTEN_ZERO = {"heater_power", "air_flow", "wall_insulation", "moss_area", "substrate_depth"}


def random_card(draw: random.Random) -> TankCard:
    """Return a tank card drawn evenly from all that is allowed, edges included now and then."""
    while True:
        values: dict[str, object] = {}
        for name, hint in HINTS.items():
            marks = getattr(hint, "__metadata__", ())
            base = getattr(hint, "__origin__", hint)
            interval = next((mark for mark in marks if isinstance(mark, Interval)), None)
            if interval is not None:
                low, high = float(interval.ge), float(interval.le)
                chance = draw.random()
                if name in OFTEN_ZERO and chance < 0.2:
                    value: float | None = 0.0
                elif name == "air_changes":
                    value = None if chance < 0.3 else low * (high / low) ** draw.random()
                elif chance < 0.02:
                    value = low
                elif chance < 0.04:
                    value = high
                elif name in {"heater_area", "moss_area"} or "pool" in name:
                    value = high * draw.random() ** 3
                else:
                    value = draw.uniform(low, high)
                values[name] = value
            elif typing.get_args(base):
                values[name] = draw.choice(typing.get_args(base))
        try:
            return TankCard(**values)  # type: ignore[arg-type]
        except InputError:
            continue


def solve_many(count: int, seed: int = 1) -> tuple[list[Balance], list[tuple[TankCard, str]]]:
    """Return the balances of ``count`` tanks drawn at random, and the tanks that failed."""
    draw = random.Random(seed)
    solved, failed = [], []
    for _ in range(count):
        card = random_card(draw)
        try:
            solved.append(balance(Tank.of(card), Room.of(card)))
        except (NoAnswer, OutOfRange, ArithmeticError, ValueError) as error:
            failed.append((card, f"{type(error).__name__}: {error}"))
    return solved, failed


def fixed_point(setting: Setting, heater_power: float, most: int = 20_000) -> tuple[State, int]:
    """Return the state a plain fixed-point iteration comes to, and its rounds.

    Every node takes, each round, the temperature at which what it gains now would vanish, all else
    held; so does the vapour. Conductances as they are at the start, steps halved for safety.
    """
    state, _ = first_guess(setting, heater_power, None)
    slopes = slopes_at(setting, state, flows(setting, state, heater_power))
    nodes = [*setting.present, AIR]
    for count in range(1, most + 1):
        found = flows(setting, state, heater_power)
        if max(left_open(found, heater_power)) <= 1e-8:
            return state, count
        values = list(state)
        for node in nodes:
            values[node] -= 0.5 * found.gains[node] / slopes[node][node]
        values[8] = max(values[8] - 0.5 * found.vapour_gain / slopes[8][8], 1.0)
        state = State._make(values)
    return state, most


def best(call: typing.Callable[[], object], times: int) -> float:
    """Return the least processor time [ms] of ``times`` calls: what other work cannot lengthen."""
    spent = []
    for _ in range(times):
        started = time.process_time()
        call()
        spent.append(time.process_time() - started)
    return 1e3 * min(spent)


def compare(count: int, seed: int) -> None:
    """Print the time of a balance, and beside it that of the fixed-point iteration."""
    draw = random.Random(seed)
    cards = [*TankCard.ready.values(), *(random_card(draw) for _ in range(count))]
    ours, plain, lost = [], [], 0
    for card in cards:
        tank, room = Tank.of(card), Room.of(card)
        found = balance(tank, room)
        ours.append(best(lambda: balance(Tank.of(card), Room.of(card)), 7))  # noqa: B023
        started = time.process_time()
        try:
            _, rounds = fixed_point(Setting(tank, room), found.heater_power)
        except (OutOfRange, ValueError, OverflowError):
            rounds = 20_000
        if rounds < 20_000:
            plain.append((1e3 * (time.process_time() - started), ours[-1]))
        else:
            lost += 1
    names = list(TankCard.ready)
    for name, spent in zip(names, ours, strict=False):
        print(f"{name}: {spent:.2f} ms")
    tail = statistics.quantiles(ours, n=20)[-1]
    print(f"{len(ours)} tanks: median {statistics.median(ours):.2f} ms, 95 % below {tail:.2f} ms")
    ratios = [slow / fast for slow, fast in plain]
    print(
        f"plain fixed-point iteration, told the mat's power: median "
        f"{statistics.median(slow for slow, _ in plain):.1f} ms, {statistics.median(ratios):.0f} "
        f"times as long; no answer for {lost} of {len(ours)}"
    )
    warm = TankCard.ready["kelp"]
    near = balance(Tank.of(warm), Room.of(warm)).state
    spent = best(lambda: balance(Tank.of(warm), Room.of(warm), near), 20)
    print(f"kelp from its own state: {spent:.2f} ms")


def main() -> None:
    """Run what the arguments ask for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--tanks", type=int, default=0)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    if not given.tanks:
        compare(60, given.seed)
    else:
        started = time.process_time()
        solved, failed = solve_many(given.tanks, given.seed)
        spent = time.process_time() - started
        worst_heat = max(found.heat_left for found in solved)
        worst_mass = max(found.mass_left for found in solved)
        print(
            f"{len(solved)} solved, {len(failed)} failed, {1e3 * spent / given.tanks:.2f} ms each"
        )
        print(f"worst left open: heat {worst_heat:.2e}, mass {worst_mass:.2e}")
        for card, error in failed[:10]:
            print(error, card)


if __name__ == "__main__":
    main()
