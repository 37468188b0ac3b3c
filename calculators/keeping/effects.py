"""What each remedy would do in one tank: the balance before and after, with its band.

In: a tank card and its room. Out: an ``Effect`` for every remedy, from a fit to the reading that is
repeated over a small fixed design of what nobody knows. The middle comes from the middle tank; the
band holds 10 to 90 %: each uncertain thing is moved to its own band's ends, one at a time, the tank
is fitted to the reading again, and the deviations are added as squares.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import sqrt
from typing import Any

from calculators.errors import NoAnswer
from calculators.keeping.remedies import REMEDIES, Remedy
from calculators.quantities import Range
from calculators.tank.balance import Balance, balance
from calculators.tank.fit import Fit, fit
from calculators.tank.geometry import (
    EVAPORATION_FACTOR,
    FILM_FACTOR,
    MOSS_CONTACT,
    POOL_CONTACT,
    WETNESS,
    Tank,
)
from calculators.tank.nodes import Room, State
from calculators.tank.openings import assumed_air_changes

GAUGE_ERROR = 0.04
"""How far an unchecked gauge is off [1], 10 to 90 %; common practice, no source."""
CHECKED_GAUGE_ERROR = 0.02
"""The same after a salt test."""


@dataclass(frozen=True)
class Effect:
    """One remedy in one tank; ``why_not`` is set where it changes nothing, and the rest is None.

    ``humidity`` [1] and ``water`` [kg/s], the change in vapour carried off, with their bands; from
    a quick look both bands are as wide as nothing.
    """

    remedy: Remedy
    why_not: str = ""
    after: Balance | None = None
    tank: Tank | None = None
    humidity: Range | None = None
    water: Range | None = None


@dataclass(frozen=True)
class Study:
    """The fitted tank as it is, and every remedy's effect, in the trade's order."""

    fit: Fit
    room: Room
    effects: tuple[Effect, ...]


def carried_off(found: Balance) -> float:
    """Return the vapour [kg/s] that leaves with the air: what has to be poured in."""
    return -found.vapour.air_change


def study(now: Fit, room: Room, side: str, gauge_error: float, quick: bool = False) -> Study:
    """Return the effects of all remedies for ``side``, "dry" or "damp", in a fitted tank.

    ``quick`` leaves the design out: middle values only.
    """
    remedies = [remedy for remedy in REMEDIES if remedy.side == side]
    middle = [_apply(remedy, now, room) for remedy in remedies]
    if quick:
        return Study(now, room, tuple(middle))
    runs: dict[str, list[tuple[float, float]]] = {each.remedy.name: [] for each in middle}
    for pair in _design(Tank.of(now.tank.card), gauge_error):
        for moved, reading in pair:
            _vary(moved, reading, room, now, middle, runs)
    return Study(now, room, tuple(_banded(each, runs[each.remedy.name]) for each in middle))


def _apply(remedy: Remedy, now: Fit, room: Room) -> Effect:
    changed = remedy.change(now.tank, now.balance)
    if isinstance(changed, str):
        return Effect(remedy, why_not=changed)
    after = balance(changed, room, now.balance.state)
    water = carried_off(after) - carried_off(now.balance)
    humidity = after.relative_humidity
    return Effect(
        remedy,
        after=after,
        tank=changed,
        humidity=Range(humidity, humidity, humidity),
        water=Range(water, water, water),
    )


def _vary(
    moved: Tank,
    reading: float | None,
    room: Room,
    now: Fit,
    middle: Iterable[Effect],
    runs: dict[str, list[tuple[float, float]]],
) -> None:
    """Fit the moved tank to the reading again and note what each remedy then differs by."""
    try:
        again = fit(moved, room, reading, moved.card.water_poured, now.balance.state)
    except NoAnswer:
        return  # this corner of the design cannot be the reader's tank
    for each in middle:
        if each.after is None:
            continue
        changed = each.remedy.change(again.tank, again.balance)
        if isinstance(changed, str):
            continue
        after = _balance(changed, room, each.after.state)
        if after is None:
            continue
        water = carried_off(after) - carried_off(again.balance)
        was = carried_off(each.after) - carried_off(now.balance)
        runs[each.remedy.name].append(
            (after.relative_humidity - each.after.relative_humidity, water - was)
        )


def _balance(tank: Tank, room: Room, start: State) -> Balance | None:
    try:
        return balance(tank, room, start)
    except NoAnswer:
        return None


def _design(tank: Tank, gauge_error: float) -> tuple[tuple[tuple[Tank, float | None], ...], ...]:
    reading = tank.card.true_reading
    pairs: list[tuple[tuple[Tank, float | None], ...]] = []

    def ends(*changes: dict[str, Any]) -> None:
        pairs.append(tuple((replace(tank, **change), reading) for change in changes))

    if reading is None:
        if tank.card.air_changes is None:
            leak = assumed_air_changes(tank.card.lid)
            ends({"air_changes": leak.low}, {"air_changes": leak.high})
    else:
        readings = max(reading - gauge_error, 0.05), min(reading + gauge_error, 1.0)
        pairs.append(tuple((tank, each) for each in readings))
    solved = reading is not None and (
        tank.card.air_changes is not None or tank.card.water_poured is not None
    )
    if not solved:  # else the fit finds the wetness itself
        ends({"wetness": WETNESS.low}, {"wetness": WETNESS.high})
    ends(
        {"evaporation_factor": EVAPORATION_FACTOR.low},
        {"evaporation_factor": EVAPORATION_FACTOR.high},
    )
    ends({"film_factor": FILM_FACTOR.low}, {"film_factor": FILM_FACTOR.high})
    ends(
        {"pool_contact": POOL_CONTACT.low, "moss_contact": MOSS_CONTACT.low},
        {"pool_contact": POOL_CONTACT.high, "moss_contact": MOSS_CONTACT.high},
    )
    return tuple(pairs)


def _banded(effect: Effect, runs: list[tuple[float, float]]) -> Effect:
    if effect.humidity is None or effect.water is None:
        return effect
    humidity = _band(effect.humidity.middle, [run[0] for run in runs])
    water = _band(effect.water.middle, [run[1] for run in runs])
    held = Range(humidity.middle, max(humidity.low, 0.0), min(humidity.high, 1.0))
    return replace(effect, humidity=held, water=water)


def _band(middle: float, deviations: list[float]) -> Range:
    down = sqrt(sum(each * each for each in deviations if each < 0.0))
    up = sqrt(sum(each * each for each in deviations if each > 0.0))
    return Range(middle, middle - down, middle + up)
