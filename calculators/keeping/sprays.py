"""Spraying and fogging, with what they cost in this tank.

In: a fitted tank. Out: where a day's spray would go: into the air, on the glass, into the base.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.air.mixture import absolute_humidity, vapour_pressure
from calculators.quantities import DAY, LEVEL_PER_DAY, VAPOUR_PER_DAY, Says
from calculators.tank.balance import Balance
from calculators.tank.capacities import WATER_DENSITY
from calculators.tank.geometry import Tank
from calculators.tank.nodes import Room

POROSITY = 0.35
"""Free room for water at the base of a sand and coir mix [1]; loose sand, from memory."""


@dataclass(frozen=True)
class Spray:
    """One way to wet the tank, by where its water goes a day."""

    way: Annotated[str, Says("Way")]
    added: Annotated[float, VAPOUR_PER_DAY, Says("Water added")]
    carried_off: Annotated[float, VAPOUR_PER_DAY, Says("At most this much can leave as vapour")]
    left_behind: Annotated[float, VAPOUR_PER_DAY, Says("Stays on glass, moss and substrate")]
    base_rises: Annotated[float, LEVEL_PER_DAY, Says("Free water at the base may rise by")]
    spoils: Annotated[str, Says("What it spoils")]


WAYS = (
    ("Spraying the tank daily, as with 100 mL (3.4 fl oz)", 0.100 / DAY),
    ("A fogger for an hour a day, as with 250 mL (8.5 fl oz)", 0.250 / DAY),
)
"""Amounts assumed: a hand spray, and a small fogger's maker's rating."""


def sprays(tank: Tank, now: Balance, room: Room) -> tuple[Spray, ...]:
    """Return what spraying and fogging would add, by the water the leak can carry off.

    At most the leak carries n V (ρ at the highest humidity - ρ now) more; the rest wets glass and
    substrate and sinks to the base, spread over the floor at POROSITY.
    """
    most = absolute_humidity(
        now.air_temperature,
        vapour_pressure(now.air_temperature, now.highest_humidity, room.pressure),
    )
    here = absolute_humidity(now.air_temperature, now.vapour_pressure)
    carried = max(0.0, tank.air_changes * tank.air_volume * (most - here))
    rows = []
    for way, added in WAYS:
        leaves = min(carried, added)
        left = added - leaves
        rows.append(
            Spray(
                way=way,
                added=added,
                carried_off=leaves,
                left_behind=left,
                base_rises=left / (WATER_DENSITY * POROSITY * tank.floor_area),
                spoils="Wet glass and substrate: mould, bacterial bloom, drips, and in time a "
                "flooded base that drowns moulting crabs. The humidity falls again within hours.",
            )
        )
    return tuple(rows)
