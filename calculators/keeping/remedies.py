"""The remedies, in the trade's order, each a change of the tank.

In: a fitted tank. Out: the tank after one remedy, or the sentence why it has nothing to change
here. Order, waiting times and how-to are common practice, no source; what each would do is left to
the balance.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, Literal

from calculators.errors import InputError
from calculators.keeping.cautions import CLIMB_OUT, ELECTRIC, GLOVES, MAT, PUMP, STALE_AIR, WATCH
from calculators.keeping.targets import MOST_AIR
from calculators.quantities import (
    DAY,
    HOUR,
    LENGTH,
    SHARE,
    TEMPERATURE,
    THICKNESS,
    both,
    shown,
)
from calculators.tank.balance import Balance
from calculators.tank.geometry import Tank
from calculators.tank.heater import next_size
from calculators.tank.nodes import Room
from calculators.tank.openings import assumed_air_changes, exchange_flow

Change = Callable[[Tank, Balance], "Tank | str"]


@dataclass(frozen=True)
class Remedy:
    """One step of the trade.

    ``change`` returns the tank after it, or a sentence why it changes nothing here. ``lasting`` is
    False for what ends when the lid closes. ``wait`` [s] is the time before judging it.
    """

    name: str
    title: str
    side: Literal["dry", "damp"]
    how: str
    caution: str
    wait: float
    change: Change
    lasting: bool = True


def _with(tank: Tank, **card: Any) -> Tank | str:
    try:
        return replace(tank, card=replace(tank.card, **card))
    except InputError as error:
        return f"It does not fit. {error}"


VENT_WIDTH = 0.04
"""How far the lid is opened to vent [m]; common practice, no source."""
TIGHT = assumed_air_changes("glass").middle


def seal(tank: Tank, now: Balance) -> Tank | str:
    """Close the lid in steps: to a third of the leak, but never tighter than a glass lid."""
    tight = max(TIGHT, tank.air_changes / 3.0)
    if tank.air_changes <= 1.3 * TIGHT:
        return "The tank is already about as tight as a glass lid should be."
    lid = "glass" if tank.card.lid != "glass" else tank.card.lid
    sealed = replace(tank, card=replace(tank.card, lid=lid, air_changes=None))
    return replace(sealed, air_changes=tight)


def damp_moss(tank: Tank, now: Balance) -> Tank | str:
    """A tenth of the floor's area of damp moss against the heated wall."""
    area = 0.1 * tank.floor_area
    if tank.card.moss_place == "at the heated wall" and tank.moss_area >= area:
        return "There is as much moss at the heated wall as the floor can spare."
    return _with(tank, moss_place="at the heated wall", moss_area=area)


def stones_on(tank: Tank, now: Balance) -> Tank | str:
    """Air-stones in the pools, a litre a minute through a flow regulator."""
    if tank.card.air_flow >= 1e-3 / 60.0:
        return "Air-stones run already; turning them up mostly adds splash."
    if not tank.fresh_pool_area and not tank.marine_pool_area:
        return "There is no pool to put them in."
    return _with(tank, air_flow=1e-3 / 60.0)


def pools_to_wall(tank: Tank, now: Balance) -> Tank | str:
    """Both pools against the heated wall."""
    if tank.card.pools_place == "at the heated wall":
        return "The pools stand there already."
    if not tank.panel_area:
        return "There is no heated wall."
    return _with(tank, pools_place="at the heated wall")


def larger_mat(tank: Tank, now: Balance) -> Tank | str:
    """The next common size, where the mat cannot hold the set point."""
    if not now.heater_too_small:
        return (
            f"Your mat holds the set point; it is on {shown(now.share_on, SHARE, 'metric')} of the "
            "time. A larger one would change nothing."
        )
    power = next_size(1.3 * max(tank.card.heater_power, 1.0))
    if power is None:
        return "No common mat is larger. Warm the room, or insulate the tank."
    area = min(0.9 * tank.card.tank_length * tank.air_height,
               max(tank.card.heater_area, power / 400.0))  # fmt: skip
    return _with(tank, heater_power=power, heater_area=area)


def insulate(tank: Tank, now: Balance) -> Tank | str:
    """Ten millimetres of foam over the panes that carry no mat."""
    if tank.card.wall_insulation >= 0.020:
        return "The panes are well insulated already."
    return _with(tank, wall_insulation=tank.card.wall_insulation + 0.010)


def wider_pool(tank: Tank, now: Balance) -> Tank | str:
    """A fresh pool of twice the surface."""
    card = tank.card
    if not tank.fresh_pool_area:
        return _with(tank, fresh_pool_length=0.15, fresh_pool_width=0.10)
    side = 2.0**0.5
    return _with(
        tank,
        fresh_pool_length=card.fresh_pool_length * side,
        fresh_pool_width=card.fresh_pool_width * side,
    )


def pump_from_tank(tank: Tank, now: Balance) -> Tank | str:
    """The pump's air drawn from the tank instead of the room."""
    if tank.card.air_flow == 0.0:
        return "There is no air pump."
    if tank.card.pump_draws_from == "tank":
        return "It draws from the tank already."
    return _with(tank, pump_draws_from="tank")


def vent(tank: Tank, now: Balance) -> Tank | str:
    """The lid open by VENT_WIDTH along the front, while somebody is at home."""
    room = Room.of(tank.card)
    flow = exchange_flow(
        tank.card.tank_length,
        VENT_WIDTH,
        1.0,
        now.air_temperature,
        now.vapour_pressure,
        room.temperature,
        room.vapour_pressure,
    )
    if flow == 0.0:
        return "The room’s air is the lighter: through an open lid little would change places."
    return replace(tank, air_changes=tank.air_changes + flow / tank.air_volume)


def dry_moss(tank: Tank, now: Balance) -> Tank | str:
    """Damp moss out, dry moss in."""
    if not tank.moss_area:
        return (
            "There is no damp moss to take out. Dry moss takes up a few grams, then it is full: "
            "change it when it feels damp."
        )
    return _with(tank, moss_place="none", moss_area=0.0)


def stones_off(tank: Tank, now: Balance) -> Tank | str:
    """Air-stones off."""
    if tank.card.air_flow == 0.0:
        return "No air-stones run."
    return _with(tank, air_flow=0.0)


def pools_away(tank: Tank, now: Balance) -> Tank | str:
    """Both pools away from the heated wall."""
    if tank.card.pools_place == "away":
        return "The pools stand away from it already."
    return _with(tank, pools_place="away")


def lasting_gap(tank: Tank, now: Balance) -> Tank | str:
    """A small gap that stays: one air change an hour more."""
    return replace(tank, air_changes=tank.air_changes + 1.0 / HOUR)


def heat(tank: Tank, now: Balance) -> Tank | str:
    """One kelvin more, where mat and animals allow it."""
    if now.heater_too_small:
        return larger_mat(tank, now)
    if tank.card.set_point + 1.0 > MOST_AIR:
        return f"The air is as warm as it should be ({both(tank.card.set_point, TEMPERATURE)})."
    return _with(tank, set_point=tank.card.set_point + 1.0)


REMEDIES: tuple[Remedy, ...] = (
    Remedy(
        "seal", "Close the gaps in the lid", "dry",
        "Tape or fit a strip over the slits you can see, the largest first. Leave one small gap "
        "that you know.",
        STALE_AIR, 1 * DAY, seal,
    ),
    Remedy(
        "damp-moss", "Damp moss against the heated wall", "dry",
        "Soak sphagnum in dechlorinated water, squeeze it, and stand a pad of about a tenth of the "
        "floor’s area against the heated wall. Wet it again when it feels dry.",
        f"{GLOVES} {MAT}", 2 * DAY, damp_moss,
    ),
    Remedy(
        "air-stones", "Air-stones in the pools", "dry",
        f"Put a small stone in each pool and turn the regulator up until it just bubbles, about "
        f"1 L/min (16 gal/h) in all. {PUMP}",
        f"{ELECTRIC} {CLIMB_OUT}", 2 * DAY, stones_on,
    ),
    Remedy(
        "pools-to-wall", "Pools against the heated wall", "dry",
        "Slide both pools up to the heated glass so that they touch it. Feel the water after a "
        "day: it should be no warmer than the air.",
        CLIMB_OUT, 2 * DAY, pools_to_wall,
    ),
    Remedy(
        "larger-mat", "A larger heat mat", "dry",
        "Fit the next size to a side wall above the substrate, on the same thermostat. Check the "
        "wall’s warmth by hand after two hours.",
        f"{ELECTRIC} {MAT}", 2 * DAY, larger_mat,
    ),
    Remedy(
        "insulate", "Insulate the panes without a heater", "dry",
        f"Lay a sheet of foam or cork, {both(0.010, THICKNESS)} more, on the outside of every pane "
        "that carries no mat; a removable one in front for the night. Check the thermostat again "
        "afterwards.",
        f"{MAT} Leave an air gap behind the mat.", 2 * DAY, insulate,
    ),
    Remedy(
        "wider-pool", "A wider fresh pool", "dry",
        "Change the fresh pool for one of twice the surface; depth does not matter for the air. "
        "Fill it with dechlorinated water.",
        CLIMB_OUT, 2 * DAY, wider_pool,
    ),
    Remedy(
        "pump-from-tank", "Let the pump draw its air from the tank", "dry",
        "Lead the pump’s intake into the tank by a tube through the lid, and seal around it. The "
        "loop adds no fresh air, so keep the known gap.",
        f"{ELECTRIC} {STALE_AIR}", 2 * DAY, pump_from_tank,
    ),
    Remedy(
        "vent", "Vent while someone is at home", "damp",
        f"Open the lid by about {both(VENT_WIDTH, LENGTH)} along the front for half an hour while "
        "you watch. Judge the next day at the same hour, not at once.",
        WATCH, 1 * DAY, vent, lasting=False,
    ),
    Remedy(
        "dry-moss", "Dry moss in place of damp", "damp",
        "Take the damp moss out and lay dry moss in its place. Change it as soon as it feels damp.",
        GLOVES, 2 * DAY, dry_moss,
    ),
    Remedy(
        "stones-off", "Air-stones off or down", "damp",
        "Turn the regulator down, or switch the pump off. Stir the pools by hand once a day "
        "meanwhile.",
        f"{ELECTRIC} {PUMP}", 2 * DAY, stones_off,
    ),
    Remedy(
        "pools-away", "Pools away from the heated wall", "damp",
        "Move both pools so that they no longer touch the heated glass. Look for water that ran "
        "down behind them.",
        CLIMB_OUT, 2 * DAY, pools_away,
    ),
    Remedy(
        "lasting-gap", "A small gap that stays", "damp",
        "Leave a slit of a few millimetres along the back of the lid, too narrow for the smallest "
        "animal. Widen it in steps.",
        WATCH, 1 * DAY, lasting_gap,
    ),
    Remedy(
        "heat", "Warm the air a little", "damp",
        f"Raise the set point by 1 °C (2 °F), but not above {both(MOST_AIR, TEMPERATURE)}. Warmer "
        "air reads drier, though it holds more water.",
        f"{ELECTRIC} {MAT}", 2 * DAY, heat,
    ),
)  # fmt: skip
"""Common practice, no source, for order and waiting; see the page of sources."""
