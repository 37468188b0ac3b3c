"""Made to fit the reader's tank: the leak and the wetness that reproduce what was measured.

In: a tank, its room, the gauge's corrected reading and, where known, the water poured in a day or
measured air changes. Out: the same tank with what was unknown solved for, or NoAnswer saying which
measure cannot be right. Two unknowns with one reading have many answers: which one is kept, and
what would tell them apart, stands in ``Fit.open_question``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import exp, log
from typing import Literal

from calculators.air.mixture import absolute_humidity, vapour_pressure
from calculators.errors import NoAnswer
from calculators.quantities import HOUR, RELATIVE_HUMIDITY, TEMPERATURE, WATER_PER_DAY, both
from calculators.tank.balance import Balance, balance
from calculators.tank.capacities import WATER_DENSITY
from calculators.tank.geometry import Tank
from calculators.tank.nodes import Room, State

TIGHTEST, LEAKIEST = 0.01 / HOUR, 100.0 / HOUR
"""Air changes [1/s] between which a leak is looked for: a jar, and no lid at all."""
DRIEST, WETTEST = 0.0, 1.0
"""Wetness of the substrate [1]: bone dry, and a puddle."""
SLOWEST, FASTEST = 0.4, 2.5
"""Evaporation factor [1] where no wetness will do: a little beyond what published pools span."""
CLOSE = 1e-4
"""How near the fitted humidity must come to the reading [1]: a hundredth of a per cent."""

Evidence = Literal["assumed", "leak from the reading", "wetness from the reading",
                   "leak from the water, wetness from the reading"]  # fmt: skip


@dataclass(frozen=True)
class Fit:
    """A tank that reproduces the reading, its balance, and how it came to be.

    ``evidence`` says what was solved for; ``open_question`` what one measurement would settle.
    """

    tank: Tank
    balance: Balance
    evidence: Evidence
    open_question: str = ""


def fit(
    tank: Tank,
    room: Room,
    reading: float | None,
    water_poured: float | None = None,
    start: State | None = None,
) -> Fit:
    """Return ``tank`` fitted to ``reading`` [1] and ``water_poured`` [m³/s].

    The tank's card says whether air changes were measured. Raises NoAnswer where nothing between
    TIGHTEST and LEAKIEST, DRIEST and WETTEST reproduces what was measured.
    """
    if reading is None:
        return Fit(tank, balance(tank, room, start), "assumed", QUESTIONS["assumed"])
    measured_leak = tank.card.air_changes is not None
    if water_poured and not measured_leak:
        tank = replace(tank, air_changes=_leak_from_water(tank, room, reading, water_poured))
        return _fit_wetness(
            tank, room, reading, start, "leak from the water, wetness from the reading"
        )
    if measured_leak:
        return _fit_wetness(tank, room, reading, start, "wetness from the reading")
    return _fit_leak(tank, room, reading, start)


SEALED = "a sealed lid"
MEASURES: dict[Evidence, str] = {
    "wetness from the reading": "the air changes as given",
    "leak from the water, wetness from the reading": "the water poured in as given",
}
QUESTIONS = {
    "assumed": (
        "No reading was given, so the leak is only assumed for this kind of lid. Type what your "
        "gauge reads, and the plan is made for your tank."
    ),
    "leak": (
        "Two causes fit this reading: a leaky lid over damp substrate, or a tighter lid over dry "
        "substrate. Note the water you pour in for a week: much water means a leak, little means "
        "dry surfaces."
    ),
}


def _humidity(tank: Tank, room: Room, start: State | None) -> tuple[float, Balance]:
    found = balance(tank, room, start)
    return found.relative_humidity, found


def _fit_leak(tank: Tank, room: Room, reading: float, start: State | None) -> Fit:
    def at(leak: float) -> Tank:
        return replace(tank, air_changes=exp(leak))

    ends = log(TIGHTEST), log(LEAKIEST)
    guess = log(min(max(tank.air_changes, TIGHTEST), LEAKIEST))
    found = _solve(at, room, reading, ends, guess, start)
    if isinstance(found, Fit):
        return replace(found, evidence="leak from the reading", open_question=QUESTIONS["leak"])
    tight, leaky = found
    if reading < min(tight, leaky):
        raise NoAnswer(_too_dry(tank, room, reading, min(tight, leaky)))
    # Damper than even a sealed tank of this wetness: then the surfaces are wetter than assumed.
    sealed = replace(tank, air_changes=0.05 / HOUR)
    wetter = _fit_wetness(sealed, room, reading, start, "wetness from the reading")
    return replace(wetter, open_question=QUESTIONS["leak"])


def _fit_wetness(
    tank: Tank, room: Room, reading: float, start: State | None, evidence: Evidence
) -> Fit:
    def at(wetness: float) -> Tank:
        return replace(tank, wetness=wetness)

    found = _solve(at, room, reading, (DRIEST, WETTEST), tank.wetness, start)
    if isinstance(found, Fit):
        return replace(found, evidence=evidence)
    dry, wet = found
    edge = DRIEST if reading < min(dry, wet) else WETTEST
    found = _solve(
        lambda factor: replace(tank, wetness=edge, evaporation_factor=factor),
        room, reading, (SLOWEST, FASTEST), tank.evaporation_factor, start,
    )  # fmt: skip
    if isinstance(found, Fit):
        return replace(found, evidence=evidence)
    dry, wet = min(dry, *found), max(wet, *found)
    low, high = min(dry, wet), max(dry, wet)
    side = "damper" if reading > high else "drier"
    measure = MEASURES[evidence] if tank.card.air_changes or tank.card.water_poured else SEALED
    raise NoAnswer(
        f"A reading of {_percent(reading)} is {side} than this tank can be: with {measure} it "
        f"comes to between {_percent(low)} and {_percent(high)}, whatever the substrate does. One "
        "of them is off: check the gauge with salt, then measure the room’s temperature and "
        "humidity again, with the same gauge, and the sizes on the card."
    )


def _solve(
    at: Callable[[float], Tank],
    room: Room,
    reading: float,
    ends: tuple[float, float],
    guess: float,
    start: State | None,
) -> Fit | tuple[float, float]:
    """Return the Fit where the humidity is ``reading``, or the humidities at both ``ends``.

    From ``guess`` in growing steps, each way, until the reading lies between two of them; then
    regula falsi with the Illinois weights. Every balance starts from its neighbour's.
    """
    low, high = ends
    a = min(max(guess, low), high)
    here, found = _humidity(at(a), room, start)
    first, fa = a, here - reading
    if abs(fa) < CLOSE:
        return Fit(at(a), found, "assumed")
    reached = {}
    for end in (high, low) if fa > 0.0 else (low, high):
        step, b, state = (end - first) / 8.0, first, found.state
        a = first
        fa = fb = here - reading
        while b != end:
            b = min(b + step, end) if step > 0.0 else max(b + step, end)
            there, other = _humidity(at(b), room, state)
            fb, state, step = there - reading, other.state, 2.0 * step
            if abs(fb) < CLOSE:
                return Fit(at(b), other, "assumed")
            if fa * fb < 0.0:
                return _between(at, room, reading, (a, fa), (b, fb), state)
            a, fa = b, fb
        reached[end] = fb + reading
    return reached[low], reached[high]


def _between(
    at: Callable[[float], Tank],
    room: Room,
    reading: float,
    one: tuple[float, float],
    other: tuple[float, float],
    state: State,
) -> Fit:
    (a, fa), (b, fb) = one, other
    for _ in range(60):
        middle = (a * fb - b * fa) / (fb - fa)
        here, found = _humidity(at(middle), room, state)
        gap, state = here - reading, found.state
        if abs(gap) < CLOSE:
            return Fit(at(middle), found, "assumed")
        if gap * fb < 0.0:
            a, fa = b, fb
        else:
            fa *= 0.5
        b, fb = middle, gap
    raise NoAnswer("No leak or wetness of this tank comes out at this reading. Check its measures.")


def _leak_from_water(tank: Tank, room: Room, reading: float, water_poured: float) -> float:
    """Return the air changes [1/s] that carry off the water poured in, at the reading.

    Steady: what is poured in leaves with the air, (n V + pump) (ρ_tank - ρ_room). What condenses
    runs back and is not poured again. Raises NoAnswer where the air cannot carry it.
    """
    card = tank.card
    warm = max(card.set_point, card.room_temperature)
    here = absolute_humidity(warm, vapour_pressure(warm, reading, room.pressure))
    outside = absolute_humidity(room.temperature, room.vapour_pressure)
    poured = water_poured * WATER_DENSITY
    if here <= outside:
        raise NoAnswer(
            f"At {_percent(reading)} and {both(warm, TEMPERATURE)} the tank holds no more vapour "
            "than the room, so it cannot lose the water you pour in. Check the gauge, and measure "
            "the room’s humidity with the same gauge."
        )
    pump = card.air_flow if card.pump_draws_from == "room" else 0.0
    leak = (poured / (here - outside) - pump) / tank.air_volume
    if not TIGHTEST <= leak <= LEAKIEST:
        less = "little" if leak < TIGHTEST else "much"
        raise NoAnswer(
            f"{both(water_poured, WATER_PER_DAY)} is too {less} water for a reading of "
            f"{_percent(reading)}. Measure over a whole week what you pour in, less what splashes "
            "out, and check the gauge with salt."
        )
    return leak


def _too_dry(tank: Tank, room: Room, reading: float, driest: float) -> str:
    return (
        f"A reading of {_percent(reading)} is drier than the room’s own air would be at "
        f"{both(tank.card.set_point, TEMPERATURE)} ({_percent(driest)}), and a tank with water in "
        "it cannot be that dry. Check the gauge with salt, and the room with the same gauge."
    )


def _percent(value: float) -> str:
    return both(value, RELATIVE_HUMIDITY)
