"""The nodes of a tank, and the tank in its room with all that stays the same.

In: a Tank, a Room. Out: a Setting, which ``flows`` reads. Properties of air are taken once, at the
middle between room and set point; what has a temperature of its own is a node.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, sqrt
from typing import NamedTuple

from calculators.air.mixture import (
    MOLAR_MASS_AIR,
    STANDARD_PRESSURE,
    WATER_GAS_CONSTANT,
    humidity_ratio,
    moist_air_density,
    vapour_pressure,
)
from calculators.air.saturation import enhancement_factor
from calculators.air.transport import conductivity, heat_capacity, viscosity
from calculators.air.virial import GAS_CONSTANT
from calculators.quantities import ZERO_CELSIUS
from calculators.surfaces.brine import water_activity
from calculators.surfaces.convection import GRAVITY
from calculators.surfaces.evaporation import lewis_factor
from calculators.surfaces.radiation import GLASS_EMISSIVITY
from calculators.tank.card import TankCard
from calculators.tank.geometry import MESH_OPEN, Tank

DRY_AIR_HEAT = heat_capacity(0.0)  # J/(kg K)
VAPOUR_HEAT = (heat_capacity(0.1) - DRY_AIR_HEAT) / 0.1  # J/(kg K), 1860
DRY_AIR_GAS_CONSTANT = GAS_CONSTANT / MOLAR_MASS_AIR  # J/(kg K)


FRESH, MARINE, SUBSTRATE, MOSS, PANEL, PANES, LID, AIR = range(8)
"""The nodes, in the order of every tuple here: seven surfaces, then the air."""


class State(NamedTuple):
    """Temperatures of the nodes [°C] and the vapour pressure of the tank's air [Pa]."""

    fresh_pool: float
    marine_pool: float
    substrate: float
    moss: float
    panel: float
    panes: float
    lid: float
    air: float
    vapour_pressure: float


@dataclass(frozen=True)
class Room:
    """The air outside the tank: temperature [°C], vapour pressure [Pa], air pressure [Pa]."""

    temperature: float
    vapour_pressure: float
    pressure: float = STANDARD_PRESSURE

    @classmethod
    def of(cls, card: TankCard, pressure: float = STANDARD_PRESSURE) -> Room:
        """Return the room on a tank card."""
        humidity = vapour_pressure(card.room_temperature, card.room_humidity, pressure)
        return cls(card.room_temperature, humidity, pressure)


class Face(NamedTuple):
    """One inner surface as the loop in ``flows`` needs it."""

    node: int
    area: float  # m², for heat by the air, and for vapour
    offered: float  # m², to the radiant mean
    length: float  # m, of the natural film
    facing: int  # 1 up, 0 upright, -1 down
    stroke: float  # m, the way of the wall's stream over it; 0 if it does not reach
    swept: float  # share of the area that the stream reaches
    wet: float  # share of the area that is free water, times the evaporation factor; 0 if dry
    light: float  # share of the vapour difference that the film feels
    activity: float  # of the water


class Bubbles(NamedTuple):
    """Air blown through one pool."""

    node: int
    flow: float  # kg/s of dry air
    activity: float


class Setting:
    """A tank in its room, with all that stays the same while its temperatures change."""

    def __init__(self, tank: Tank, room: Room) -> None:
        self.tank, self.room = tank, room
        card, pressure = tank.card, room.pressure
        middle = 0.5 * (room.temperature + max(card.set_point, room.temperature))
        density = moist_air_density(middle, room.vapour_pressure, pressure)
        self.carries = conductivity(middle)
        self.kinematic = viscosity(middle) / density
        self.prandtl = viscosity(middle) * DRY_AIR_HEAT / self.carries
        self.buoyancy = GRAVITY * self.prandtl / self.kinematic**2
        # Vapour for heat through one film: k / h = 1 / (ρ cp Le^(2/3)), then Stefan's p / (Rv T).
        speed_for_heat = 1.0 / (density * DRY_AIR_HEAT * lewis_factor(middle, pressure))
        self.vapour_for_heat = (
            speed_for_heat * pressure / (WATER_GAS_CONSTANT * (middle + ZERO_CELSIUS))
        )
        self.enhancement = enhancement_factor(middle, pressure)
        self.room_ratio = humidity_ratio(room.vapour_pressure, pressure)
        self.brine = water_activity(tank.salinity, min(middle, 40.0))

        self.faces = self._faces()
        self.offered = sum(face.offered for face in self.faces)
        self.present = tuple(face.node for face in self.faces)
        closed = 1.0 - MESH_OPEN if card.lid == "mesh" else 1.0
        self.lid_area_outside = tank.floor_area * closed
        # A share o of a mesh lid shows the room itself: as an outer film h (1 + o) / (1 - o).
        opened = 1.0 - closed
        self.lid_emits = GLASS_EMISSIVITY * tank.floor_area * (1.0 + opened) / (1.0 - opened)

        fresh, marine = tank.fresh_pool_area, tank.marine_pool_area
        self.dishes = (
            tank.dish_conductance(fresh) if fresh else 0.0,
            tank.dish_conductance(marine) if marine else 0.0,
        )
        self.contacts = (
            tank.wall_contact_conductance(fresh, card.fresh_pool_length),
            tank.wall_contact_conductance(marine, card.marine_pool_length),
        )
        self.moss_conductance = tank.moss_contact * tank.moss_contact_area
        base = {"none": -1, "substrate": SUBSTRATE, "panel": PANEL, "panes": PANES}
        self.moss_base = base[tank.moss_base]
        self.ground_conductance = tank.floor_conductance + tank.side_conductance
        self.mat_inward = tank.panel_area / tank.panel_resistance
        self.mat_outward = tank.panel_area / tank.back_resistance
        both_ways = self.mat_inward + self.mat_outward
        self.mat_heard = self.mat_inward / both_ways if both_ways else 0.0  # share that goes inward

        dry_room = (pressure - room.vapour_pressure) / (
            DRY_AIR_GAS_CONSTANT * (room.temperature + ZERO_CELSIUS)
        )
        self.pump_flow = card.air_flow * dry_room  # kg/s of dry air
        self.pump_from_room = card.pump_draws_from == "room"
        pools = [
            (FRESH, fresh, 1.0),
            (MARINE, marine, self.brine),
        ]
        stirred = [pool for pool in pools if pool[1] > 0.0 and self.pump_flow > 0.0]
        self.bubbles = tuple(
            Bubbles(node, self.pump_flow / len(stirred), activity) for node, _, activity in stirred
        )

    def _faces(self) -> tuple[Face, ...]:
        tank, card, offered = self.tank, self.tank.card, self.tank.radiators
        level = tank.floor_area / (2.0 * (card.tank_length + card.tank_width))
        closed = 1.0 - MESH_OPEN if card.lid == "mesh" else 1.0
        factor = tank.evaporation_factor
        moss_up = tank.moss_base == "substrate"
        moss_side = sqrt(tank.moss_area)

        def pool(length: float, width: float) -> tuple[float, float]:
            quarter = length * width / (2.0 * (length + width)) if length and width else 0.0
            return quarter, 4.0 * quarter

        fresh, fresh_way = pool(card.fresh_pool_length, card.fresh_pool_width)
        marine, marine_way = pool(card.marine_pool_length, card.marine_pool_width)
        # The stream is as wide as the mat; without a mat there is a breath of air everywhere.
        wide = tank.panel_area / tank.panel_height if tank.panel_area else card.tank_length
        swept = min(wide / card.tank_length, 1.0)
        at_pools = swept if card.pools_place == "away" else 1.0
        # fmt: off
        faces = (
            Face(FRESH, tank.fresh_pool_area, offered.fresh_pool, fresh, 1, fresh_way, at_pools,
                 factor, 1.0, 1.0),
            Face(MARINE, tank.marine_pool_area, offered.marine_pool, marine, 1, marine_way,
                 at_pools, factor, 1.0, self.brine),
            Face(SUBSTRATE, tank.substrate_area, offered.substrate, level, 1, card.tank_width,
                 swept, factor * tank.wetness, tank.wetness, 1.0),
            Face(MOSS, tank.moss_area, offered.moss, moss_side / (4.0 if moss_up else 1.0),
                 1 if moss_up else 0, moss_side if moss_up else 0.0, swept, factor, 1.0, 1.0),
            Face(PANEL, tank.bare_panel_area, offered.panel, tank.panel_height, 0, 0.0, 0.0,
                 0.0, 1.0, 1.0),
            Face(PANES, tank.panes_area, offered.panes, tank.air_height, 0, 0.0, 0.0,
                 0.0, 1.0, 1.0),
            Face(LID, tank.floor_area * closed, offered.lid, level, -1, 0.0, 0.0, 0.0, 1.0,
                 inf if card.lid == "mesh" else 1.0),  # drops do not stay on mesh
        )
        # fmt: on
        return tuple(
            face
            for face in faces
            if face.area > 0.0 or (face.node == PANEL and tank.panel_area > 0.0)
        )
