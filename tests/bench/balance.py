"""How long a balance takes, and whether it is found in every tank the card allows.

``python tests/bench/balance.py`` times it beside a plain fixed-point iteration of the same
equations; ``--tanks 100000`` solves as many tanks drawn at random and names what fails.
"""

from __future__ import annotations

import argparse
import random
import time
import typing

from annotated_types import Interval

from calculators.errors import InputError, NoAnswer, OutOfRange
from calculators.tank.balance import Balance, balance
from calculators.tank.card import TankCard
from calculators.tank.geometry import Tank
from calculators.tank.nodes import Room

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


def main() -> None:
    """Run what the arguments ask for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--tanks", type=int, default=0)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    if given.tanks:
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
