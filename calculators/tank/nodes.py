"""What flows between the parts of a tank at one moment: heat and vapour from a given state.

In: a tank in its room, the temperatures of its nodes and the vapour pressure of its air, the power
of its mat. Out: what each node gains. Steady balance and time course both stand on ``flows``.

Every inner surface trades heat with the air through one film (the published plate formulas with
the density difference of moist air), vapour through the same film by the analogy of heat and mass
transfer, and radiation with the radiant mean of all of them. Wet surfaces give and take vapour;
dry ones only take it, below the dew point. Vapour crosses each surface at that surface's
temperature: the surface pays or gains the latent heat, the air warms or cools the vapour.
Properties of air are taken once, at the middle between room and set point.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, log, sqrt
from typing import NamedTuple

from calculators.air.mixture import (
    MASS_RATIO,
    MOLAR_MASS_AIR,
    STANDARD_PRESSURE,
    WATER_GAS_CONSTANT,
    humidity_ratio,
    moist_air_density,
    vapour_pressure,
)
from calculators.air.saturation import (
    enhancement_factor,
    latent_heat,
    saturation_pressure,
)
from calculators.air.transport import conductivity, heat_capacity, viscosity
from calculators.air.virial import GAS_CONSTANT
from calculators.surfaces.brine import water_activity
from calculators.surfaces.convection import (
    GRAVITY,
    UNEVENNESS,
    ZERO_CELSIUS,
    boundary_layer_speed,
    mixed,
    nusselt_forced_laminar,
    nusselt_horizontal,
    nusselt_vertical,
)
from calculators.surfaces.evaporation import lewis_factor
from calculators.surfaces.radiation import GLASS_EMISSIVITY, STEFAN_BOLTZMANN
from calculators.tank.card import TankCard
from calculators.tank.geometry import MESH_OPEN, Tank

DRY_AIR_HEAT = heat_capacity(0.0)  # J/(kg K)
VAPOUR_HEAT = heat_capacity(0.1) * 10.0 - DRY_AIR_HEAT * 10.0  # J/(kg K), 1860
DRY_AIR_GAS_CONSTANT = GAS_CONSTANT / MOLAR_MASS_AIR  # J/(kg K)

_LIGHTER = 1.0 - MASS_RATIO  # how much of its own pressure vapour takes off the air's weight
_SMOOTH = 2.0  # Pa: condensation sets in over this much above the dew point, without a kink
_UNEVEN = 0.1  # K: see UNEVENNESS
_LEAST_SPEED = 0.02  # m/s: air in a tank is never quite still; assumed, no source
_FOG_SECONDS = 1.0  # s: vapour above saturation turns to fog as fast; any short time does

FRESH, MARINE, SUBSTRATE, MOSS, PANEL, PANES, LID, AIR = range(8)
"""The nodes, in the order of every tuple here: seven surfaces, then the air."""
SURFACES = ("fresh pool", "marine pool", "substrate", "moss", "heated glass", "panes", "lid")


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


class Flows(NamedTuple):
    """Everything that flows at one state; heat in W, vapour in kg/s.

    ``gains`` is the heat each node gains (zero when steady), ``vapour_gain`` what the air gains.
    Tuples of seven run over the surfaces: ``convection`` from surface to air, ``radiation`` from
    surface to the radiant mean, ``vapour`` from surface to air. ``bubbles`` is vapour from the two
    pools, ``air_change`` vapour lost to the room (the pump's air with it), ``fog`` vapour lost to
    drops. ``outside`` is heat lost to the room by substrate (floor and sides), mat's back, panes
    and lid; ``ventilation`` sensible heat lost with air.
    """

    gains: tuple[float, ...]
    vapour_gain: float
    convection: tuple[float, ...]
    radiation: tuple[float, ...]
    vapour: tuple[float, ...]
    bubbles: tuple[float, float]
    air_change: float
    fog: float
    outside: tuple[float, float, float, float]
    ventilation: float
    mat_temperature: float
    air_speed: float


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


def _blend(excess: float) -> float:
    """Return the positive part of ``excess`` [Pa], rounded at the corner."""
    if excess <= 0.0:
        return 0.0
    if excess < _SMOOTH:
        return excess * excess / (2.0 * _SMOOTH)
    return excess - 0.5 * _SMOOTH


def _upright(lighter: float, per_difference: float, prandtl: float) -> float:
    """Return the Nusselt number [1] of an upright surface; UNEVENNESS keeps it smooth."""
    difference = sqrt(lighter * lighter + UNEVENNESS * UNEVENNESS)
    return nusselt_vertical(per_difference * difference, prandtl)


def stream_speed(setting: Setting, panel: float, air: float) -> float:
    """Return the air speed [m/s] at the end of the heated wall, as far as its layer is laminar.

    Never less than a breath of 0.02 m/s (assumed), added as a square.
    """
    height = setting.tank.panel_height
    if height == 0.0:
        return _LEAST_SPEED
    gap = sqrt((panel - air) ** 2 + _UNEVEN * _UNEVEN)
    # Where the layer turns turbulent (Ra = 1e9, a whisker inside) its speed is taken to stay.
    laminar: float = (0.99e9 * 3.43e-10 * (air + ZERO_CELSIUS) / (GRAVITY * gap)) ** (1.0 / 3.0)
    speed = boundary_layer_speed(air + gap, air, min(height, laminar))
    return sqrt(speed * speed + _LEAST_SPEED * _LEAST_SPEED)


def cross(
    setting: Setting,
    face: Face,
    temperature: float,
    air: float,
    vapour_here: float,
    speed: float,
) -> tuple[float, float]:
    """Return heat [W] and vapour [kg/s] that one inner surface gives to the air.

    ``temperature`` of the surface and of the ``air`` [°C], ``vapour_here`` the air's vapour
    pressure [Pa], ``speed`` of the air along level surfaces [m/s].
    """
    area, length = face.area, face.length
    if area == 0.0:
        return 0.0, 0.0
    pressure = setting.room.pressure
    saturated = face.activity * setting.enhancement * saturation_pressure(temperature)
    if face.wet > 0.0:
        there = saturated
        felt = vapour_here + face.light * (there - vapour_here)
    else:
        felt = there = vapour_here - _blend(vapour_here - saturated)
    # How much lighter the air at the surface is than the tank's: warmth and vapour both count.
    here = (pressure - _LIGHTER * vapour_here) / (air + ZERO_CELSIUS)
    lighter = 1.0 - (pressure - _LIGHTER * felt) / ((temperature + ZERO_CELSIUS) * here)
    per_difference = setting.buoyancy * length * length * length
    if face.facing == 0:
        nusselt = _upright(lighter, per_difference, setting.prandtl)
    else:
        nusselt = nusselt_horizontal(lighter * face.facing, per_difference)
    film = setting.carries * nusselt / length
    if face.stroke > 0.0:
        forced = nusselt_forced_laminar(speed * face.stroke / setting.kinematic, setting.prandtl)
        blown = mixed(film, forced * setting.carries / face.stroke)
        film += face.swept * (blown - film)
    conductance = setting.tank.film_factor * film * area
    sensible = conductance * (temperature - air)
    if there == vapour_here:
        return sensible, 0.0
    # Stefan's diffusion: the vapour that leaves pushes the air before it.
    drive = log((pressure - vapour_here) / (pressure - there))
    return sensible, conductance * setting.vapour_for_heat * (face.wet or 1.0) * drive


def fog_rate(setting: Setting, air: float, vapour_here: float) -> float:
    """Return the vapour [kg/s] that turns to drops in over-saturated air; 0 below saturation."""
    excess = _blend(vapour_here - setting.enhancement * saturation_pressure(air))
    kelvin = air + ZERO_CELSIUS
    return setting.tank.air_volume * excess / (WATER_GAS_CONSTANT * kelvin * _FOG_SECONDS)


def outer_loss(setting: Setting, temperature: float, lid: bool) -> float:
    """Return heat lost [W] by panes or lid to the room.

    ``temperature`` [°C] of the inner face. Outside: natural film and radiation to the room. The
    outer face's own temperature is found by substitution; three rounds settle it to 0.1 %.
    """
    tank, room = setting.tank, setting.room.temperature
    if lid:
        area, resistance = tank.floor_area, tank.lid_resistance
        moved, emits = setting.lid_area_outside, setting.lid_emits
        length = tank.floor_area / (2.0 * (tank.card.tank_length + tank.card.tank_width))
    else:
        area, resistance = tank.panes_area, tank.pane_resistance
        moved, emits = area, GLASS_EMISSIVITY * area
        length = tank.card.tank_height
    gap = temperature - room
    kelvin = room + ZERO_CELSIUS
    share = 0.8 if resistance < 0.05 else 0.3
    per_difference = setting.buoyancy * length**3
    outer = 0.0
    for _ in range(3 if resistance > 0.0 else 1):
        rise = gap * share if resistance > 0.0 else gap
        warm = kelvin + rise
        lighter = rise / warm
        if lid:
            nusselt = nusselt_horizontal(lighter, per_difference)
        else:
            nusselt = _upright(lighter, per_difference, setting.prandtl)
        radiant = STEFAN_BOLTZMANN * (warm * warm + kelvin * kelvin) * (warm + kelvin)
        outer = moved * setting.carries / length * nusselt + emits * radiant
        share = 1.0 / (1.0 + outer * resistance / area)
    return outer * share * gap


def flows(setting: Setting, state: State, heater_power: float) -> Flows:
    """Return what flows in ``setting`` at ``state`` while the mat draws ``heater_power`` [W].

    Temperatures from -20 to 100 °C. Raises OutOfRange outside the ranges of the equations.
    """
    air, vapour_here = state[AIR], state.vapour_pressure
    pressure, room = setting.room.pressure, setting.room
    kelvin = air + ZERO_CELSIUS
    dry = pressure - vapour_here
    enhancement = setting.enhancement

    emitted = []
    mean = 0.0
    for face in setting.faces:
        hot = state[face.node] + ZERO_CELSIUS
        hot *= STEFAN_BOLTZMANN * hot * hot * hot
        emitted.append(hot)
        mean += face.offered * hot
    mean /= setting.offered
    speed = stream_speed(setting, state.panel, air)

    gains = [0.0] * 8
    convection, radiation, vapour = [0.0] * 7, [0.0] * 7, [0.0] * 7
    to_air = 0.0
    for face, hot in zip(setting.faces, emitted, strict=True):
        node = face.node
        temperature = state[node]
        radiated = face.offered * (hot - mean)
        sensible, left = cross(setting, face, temperature, air, vapour_here, speed)
        gains[node] -= sensible + radiated + left * latent_heat(temperature)
        to_air += sensible + left * VAPOUR_HEAT * (temperature - air)
        convection[node], radiation[node], vapour[node] = sensible, radiated, left
    total_vapour = sum(vapour)

    # Contacts: dishes on the substrate, pools and moss against glass.
    ground = state.substrate
    for node in (FRESH, MARINE):
        through = setting.dishes[node] * (ground - state[node])
        contact = setting.contacts[node] * (state.panel - state[node])
        gains[node] += through + contact
        gains[SUBSTRATE] -= through
        gains[PANEL] -= contact
    if setting.moss_base >= 0:
        through = setting.moss_conductance * (state[setting.moss_base] - state.moss)
        gains[MOSS] += through
        gains[setting.moss_base] -= through

    # To the room: through the substrate, the mat's back, panes and lid.
    below = setting.ground_conductance * (ground - room.temperature)
    panes_loss = outer_loss(setting, state.panes, lid=False)
    lid_loss = outer_loss(setting, state.lid, lid=True)
    inward, outward = setting.mat_inward, setting.mat_outward
    back = 0.0
    mat = state.panel
    if inward > 0.0:
        pulled = inward * state.panel + outward * room.temperature
        mat = (heater_power + pulled) / (inward + outward)
        back = outward * (mat - room.temperature)
        gains[PANEL] += inward * (mat - state.panel)
    gains[SUBSTRATE] -= below
    gains[PANES] -= panes_loss
    gains[LID] -= lid_loss

    # Bubbles leave saturated at their pool's temperature.
    ratio = MASS_RATIO * vapour_here / dry
    blown = [0.0, 0.0]
    source, source_ratio = (
        (room.temperature, setting.room_ratio) if setting.pump_from_room else (air, ratio)
    )
    for node, flow, activity in setting.bubbles:
        pool = state[node]
        saturated = activity * enhancement * saturation_pressure(pool)
        leaving = MASS_RATIO * saturated / (pressure - saturated)
        taken = flow * (leaving - source_ratio)
        blown[node] = taken
        total_vapour += taken
        gains[node] -= taken * latent_heat(pool) + flow * (
            DRY_AIR_HEAT + source_ratio * VAPOUR_HEAT
        ) * (pool - source)
        to_air += flow * (DRY_AIR_HEAT + leaving * VAPOUR_HEAT) * (pool - air)

    # Air change: so much air leaves at the tank's state and as much dry air comes from the room.
    exchanged = (
        setting.tank.air_changes * setting.tank.air_volume * dry / (DRY_AIR_GAS_CONSTANT * kelvin)
    )
    pumped = setting.pump_flow if setting.pump_from_room else 0.0
    lost = (exchanged + pumped) * (ratio - setting.room_ratio)
    room_heat = (DRY_AIR_HEAT + setting.room_ratio * VAPOUR_HEAT) * (air - room.temperature)
    ventilation = (exchanged + pumped) * room_heat
    direct = exchanged if setting.bubbles else exchanged + pumped
    fog = fog_rate(setting, air, vapour_here)
    gains[AIR] = to_air - direct * room_heat + fog * latent_heat(air)
    return Flows(
        tuple(gains), total_vapour - lost - fog, tuple(convection), tuple(radiation),
        tuple(vapour), (blown[0], blown[1]), lost, fog, (below, back, panes_loss, lid_loss),
        ventilation, mat, speed,
    )  # fmt: skip
