"""How large must the heat mat be: the ``heater-sizing`` calculator.

In: a tank card and the coldest room it meets. Out: the heat it needs there, path by path, the next
common mat, and how warm the glass under it gets.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Annotated

from annotated_types import Interval

from calculators.fields import Answer, Chart
from calculators.keeping import targets
from calculators.keeping.cautions import ELECTRIC, MAT, SMOKE_ALARM
from calculators.quantities import (
    AIR_CHANGES,
    ENERGY_PER_MONTH,
    POWER,
    SHARE,
    TEMPERATURE,
    TEMPERATURE_DIFFERENCE,
    THICKNESS,
    Says,
    both,
    shown,
)
from calculators.tank.card import TankCard
from calculators.tank.geometry import Tank
from calculators.tank.heater import COMMON_SIZES, Need, needed, next_size, wall_while_on
from calculators.tank.nodes import Room

NEAR_THE_LIMIT = 0.75
"""Share of targets.HOT_GLASS from which the glass is warned of."""


@dataclass(frozen=True)
class Loss:
    """Heat that leaves the tank by one path."""

    path: Annotated[str, Says("Path")]
    heat: Annotated[float, POWER, Says("Heat lost")]


@dataclass(frozen=True, kw_only=True)
class HeaterSize(Answer):
    """The heat a tank needs in its coldest room, and the mat that gives it."""

    heater_power: Annotated[
        float | None, POWER, Says("Next common mat", "with a quarter in reserve; none if none is")
    ]
    heat_needed: Annotated[float, POWER, Says("Heat needed", "in the coldest room, on average")]
    share_on: Annotated[
        float | None, SHARE, Says("That mat is on", "share of the time, in the coldest room")
    ]
    wall_temperature: Annotated[
        float | None, TEMPERATURE, Says("The glass under it gets", "inside, after a long spell on")
    ]
    energy: Annotated[
        float, ENERGY_PER_MONTH, Says("Energy", "at the usual room temperature, all month")
    ]
    losses: Annotated[
        tuple[Loss, ...],
        Chart(along="path", lines=("heat",)),
        Says("Where the heat goes", "in the coldest room"),
    ]


def heater_sizing(
    tank: TankCard,
    coldest_room: Annotated[
        float,
        TEMPERATURE,
        Interval(ge=5.0, le=35.0),
        Says("Coldest room", "in the early morning, in the coldest week"),
    ] = 16.0,
    insulation: Annotated[
        float | None,
        THICKNESS,
        Interval(ge=0.0, le=0.1),
        Says("Insulation to try", "over the panes without a mat; empty for what the tank has"),
    ] = None,
) -> HeaterSize:
    """Return the mat for ``tank`` in ``coldest_room`` [°C, 5 to 35].

    ``insulation`` [m] takes the place of the card's. The heat is that of the steady balance held at
    the set point: panes, lid, floor and buried glass, the mat's own back, and the air change with
    the water it carries off. Errors: NoAnswer for a mat without an area, or one too small to warm
    the tank at all.
    """
    card = tank if insulation is None else replace(tank, wall_insulation=insulation)
    need = _needed(card, coldest_room)
    usual = _needed(card, card.room_temperature)
    power = next_size(need.heater_power) if need.heater_power > 0.0 else None
    wall = mat = None
    if power is not None:
        wall, mat = wall_while_on(need, power)
    return HeaterSize(
        heater_power=power,
        heat_needed=need.heater_power,
        share_on=None if power is None else need.heater_power / power,
        wall_temperature=wall,
        energy=usual.heater_power,
        losses=_losses(need),
        advice=_advice(card, need, power, coldest_room),
        cautions=(*_hot_glass(need, mat), MAT, ELECTRIC, SMOKE_ALARM),
        notes=_notes(card, need),
    )


def _needed(card: TankCard, room_temperature: float) -> Need:
    """The room keeps its relative humidity as it cools: a cold room is a dry one in winter."""
    there = replace(card, room_temperature=room_temperature)
    return needed(Tank.of(there), Room.of(there))


def _losses(need: Need) -> tuple[Loss, ...]:
    heat = need.balance.heat
    rows = (
        ("Panes", heat.panes),
        ("Lid", heat.lid),
        ("Floor, through the substrate", heat.floor),
        ("Panes below the substrate", heat.buried_panes),
        ("Back of the mat", heat.mat_back),
        ("Air change, warm air", heat.air_change),
        ("Air change, water vapour", heat.evaporation),
    )
    return tuple(Loss(path, lost) for path, lost in rows)


def _advice(card: TankCard, need: Need, power: float | None, coldest: float) -> str:
    if need.heater_power <= 0.0:
        return (
            f"At {both(coldest, TEMPERATURE)} the room is warm enough: the tank needs no mat to "
            f"hold {both(card.set_point, TEMPERATURE)}."
        )
    heat = shown(need.heater_power, POWER, "metric")
    if power is None:
        return (
            f"This room is too cold for this tank: it would take {heat}, and no common mat gives "
            f"more than {COMMON_SIZES[-1]:.0f} W. Warm the room or insulate the panes first."
        )
    told = f"The tank needs about {heat} in the coldest room: take a mat of {power:.0f} W. "
    have = card.heater_power
    if have >= power:
        told += f"Yours of {have:.0f} W is large enough."
    elif have >= need.heater_power:
        told += f"Yours of {have:.0f} W just holds it, with little in reserve."
    elif have > 0.0:
        told += (
            f"Yours of {have:.0f} W is too small for that night: insulate the panes without a mat, "
            "or change the mat."
        )
    return told


def _hot_glass(need: Need, mat: float | None) -> tuple[str, ...]:
    if mat is None:
        return ()
    across = mat - need.balance.panes_temperature
    if across < NEAR_THE_LIMIT * targets.HOT_GLASS:
        return ()
    return (
        f"The glass at the mat may get {both(across, TEMPERATURE_DIFFERENCE)} warmer than the rest "
        f"of the pane. Annealed glass is likely to crack above about "
        f"{both(targets.HOT_GLASS, TEMPERATURE_DIFFERENCE, 0)}: choose a mat with a larger area, "
        "or two, and ask its maker.",
    )


def _notes(card: TankCard, need: Need) -> tuple[str, ...]:
    back = need.balance.heat.mat_back / need.heater_power if need.heater_power > 0.0 else 0.0
    notes = [
        "Good to about 20 %: the films of still air on the glass are the least sure part. The next "
        "common size carries a reserve of a quarter (common practice).",
        "The glass is reckoned with still room air outside; a draught needs more.",
    ]
    if card.air_changes is None:
        leak = both(need.setting.tank.air_changes, AIR_CHANGES)
        notes.append(f"The lid’s leak is assumed: all its air, {leak}.")
    if back > 0.3:
        notes.append(
            f"{shown(back, SHARE, 'metric')} of the heat leaves by the back of the mat into the "
            "room. If its maker permits it, foam behind an air gap saves most of that."
        )
    return tuple(notes)
