"""How fast a tank changes at one moment: the right-hand side of its course.

In: a tank, the room's air at any hour, the mat's power, an open gap. Out: rates of change of the
temperatures, of the vapour pressure, and of the water in moss and on glass. All flows come from
``nodes.flows``, as the steady balance has them; capacities are added here, and three things that
only time brings: glass that dries, moss that runs dry, a gap that opens.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, inf, pi

from calculators.air.mixture import (
    MASS_RATIO,
    STANDARD_PRESSURE,
    humidity_ratio,
    vapour_pressure,
)
from calculators.air.saturation import latent_heat, saturation_pressure
from calculators.quantities import DAY, ZERO_CELSIUS
from calculators.tank.capacities import (
    CLEARING,
    FREE_WATER,
    LID_HOLD,
    PANES_HOLD,
    RUN_OFF_SECONDS,
    WATER_DENSITY,
    WATER_HEAT,
    Capacities,
    fibre_humidity,
)
from calculators.tank.card import TankCard
from calculators.tank.flows import Flows, flows
from calculators.tank.geometry import Tank
from calculators.tank.newton import Vector
from calculators.tank.nodes import (
    AIR,
    DRY_AIR_GAS_CONSTANT,
    DRY_AIR_HEAT,
    LID,
    MOSS,
    PANES,
    VAPOUR_HEAT,
    Face,
    Room,
    Setting,
    State,
)
from calculators.tank.openings import exchange_flow

_WARMEST = 54000.0  # s after midnight, 15:00; common practice, no source
CONDENSES_ABOVE = 1.0
"""Pa above the dew point at which ``nodes`` lets glass take water, its corner being rounded."""
FOG_SECONDS = 60.0
"""In a course fog forms in this time [s], not in the 1 s of ``films``, which is as good as none: no
reader sees the difference, but steps can then follow air that is on the edge of it."""
_SPECIFIC_HEAT = WATER_HEAT / WATER_DENSITY  # J/(kg K), of the water in moss


@dataclass(frozen=True)
class Climate:
    """The room through the day: warmest at 15:00, coldest at 3:00, a cosine between.

    Two Rooms: its air by day and by night, at those hours; vapour pressure follows the same curve.
    """

    day: Room
    night: Room

    @classmethod
    def of(cls, card: TankCard, pressure: float = STANDARD_PRESSURE) -> Climate:
        """Return the room on a tank card, the same day and night."""
        room = Room.of(card, pressure)
        return cls(room, room)

    @classmethod
    def between(
        cls,
        day_temperature: float,
        day_humidity: float,
        night_temperature: float,
        night_humidity: float,
        pressure: float = STANDARD_PRESSURE,
    ) -> Climate:
        """Return a climate from temperatures [°C] and relative humidities (0 to 1)."""
        rooms = (
            Room(warm, vapour_pressure(warm, humidity, pressure), pressure)
            for warm, humidity in (
                (day_temperature, day_humidity),
                (night_temperature, night_humidity),
            )
        )
        return cls(*rooms)

    @property
    def mean(self) -> Room:
        """The room at its mean."""
        return Room(
            0.5 * (self.day.temperature + self.night.temperature),
            0.5 * (self.day.vapour_pressure + self.night.vapour_pressure),
            self.day.pressure,
        )

    def room(self, time: float) -> Room:
        """Return the room at ``time`` [s after midnight of the first day]."""
        share = 0.5 + 0.5 * cos(2.0 * pi * (time - _WARMEST) / DAY)
        day, night = self.day, self.night
        return Room(
            night.temperature + share * (day.temperature - night.temperature),
            night.vapour_pressure + share * (day.vapour_pressure - night.vapour_pressure),
            day.pressure,
        )


class Rates:
    """Rates of change of a tank; called with a time [s after midnight] and the unknowns.

    The unknowns: temperatures of the nodes there are [°C], vapour pressure [Pa], water in moss
    [kg], water on panes and lid [kg]. Set from outside, between steps: ``heater_power`` [W];
    ``gain`` [W/K], by which the mat draws more, up to its full power, when the air is below the
    set point, and less above; ``gap`` [m²] open in the lid; ``lamp`` [W] onto the lid.
    """

    def __init__(self, tank: Tank, climate: Climate) -> None:
        self.tank, self.climate = tank, climate
        self.setting = Setting(tank, climate.mean)
        self.changing = climate.day != climate.night
        self.heater_power = self.gain = self.gap = self.lamp = 0.0
        self.capacities = Capacities(tank)
        self.nodes = (*self.setting.present, AIR)
        self.vapour = len(self.nodes)
        self.faces = self.setting.faces
        self.moss = self.vapour + 1 if MOSS in self.nodes else 0
        glass = [(PANES, PANES_HOLD * tank.panes_area)]
        if tank.card.lid != "mesh":
            glass.append((LID, LID_HOLD * tank.floor_area))
        first = self.vapour + (2 if self.moss else 1)
        self.glass = tuple((first + k, node, hold) for k, (node, hold) in enumerate(glass))
        self.size = first + len(glass)
        self._spare: list[float] = []

    def power(self, air: float) -> float:
        """Return what the mat draws [W] in ``air`` [°C]."""
        if self.gain == 0.0:
            return self.heater_power
        wanted = self.heater_power + self.gain * (self.tank.card.set_point - air)
        return min(max(wanted, 0.0), self.tank.card.heater_power)

    def at_limit(self, air: float) -> int:
        """Return -1 where the mat draws nothing in ``air`` [°C], 1 where all it can, else 0."""
        power = self.power(air)
        return -1 if power <= 0.0 else 1 if power >= self.tank.card.heater_power else 0

    def begin(self, state: State) -> Vector:
        """Return the unknowns at ``state``: damp moss, glass as wet as if it had long been so."""
        self._spare = list(state)
        y = [state[node] for node in self.nodes]
        y.append(state.vapour_pressure)
        if self.moss:
            y.append(self.capacities.moss_water)
        settled = flows(self.setting, state, self.power(state.air))
        for _, node, hold in self.glass:
            taken = -settled.vapour[node]
            y.append(hold + taken * RUN_OFF_SECONDS if taken > 0.0 else 0.0)
        return y

    def state(self, y: Vector) -> State:
        """Return the State within the unknowns."""
        values = list(self._spare)
        for node, value in zip(self.nodes, y, strict=False):
            values[node] = value
        values[8] = y[self.vapour]
        return State._make(values)

    def enter(self, time: float) -> None:
        """Give the setting the room's air at ``time``; films keep the properties of its mean."""
        if self.changing:
            room = self.climate.room(time)
            self.setting.room = room
            self.setting.room_ratio = humidity_ratio(room.vapour_pressure, room.pressure)

    def flows(self, time: float, y: Vector) -> Flows:
        """Return all flows at ``time`` [s] and the unknowns, but for the gap's and the lamp's."""
        self.enter(time)
        state = self.state(y)
        return self._flows(y, state)

    def _flows(self, y: Vector, state: State) -> Flows:
        self.setting.faces = self._faces(y, state) if self._uneven(y) else self.faces
        return flows(self.setting, state, self.power(state.air))

    def through_gap(self, state: State) -> float:
        """Return the dry air [kg/s] that changes places with the room's through the open gap.

        The lid is slid back by so much along the short side: a slit as long as the tank is wide.
        """
        if self.gap <= 0.0:
            return 0.0
        room, long = self.setting.room, self.tank.card.tank_width
        flow = exchange_flow(
            long, self.gap / long, 1.0, state.air, state.vapour_pressure,
            room.temperature, room.vapour_pressure, room.pressure,
        )  # fmt: skip
        dry = room.pressure - state.vapour_pressure
        return flow * dry / (DRY_AIR_GAS_CONSTANT * (state.air + ZERO_CELSIUS))

    def __call__(self, time: float, y: Vector) -> Vector:
        """Return the rates of change of the unknowns, per second."""
        self.enter(time)
        state = self.state(y)
        found = self._flows(y, state)
        room, here = self.setting.room, state.vapour_pressure
        dry = room.pressure - here
        air = self.tank.air_volume * dry / (DRY_AIR_GAS_CONSTANT * (state.air + ZERO_CELSIUS))
        ratio = MASS_RATIO * here / dry
        gains, vapour_gain = list(found.gains), found.vapour_gain
        gains[LID] += self.lamp
        if found.fog > 0.0:
            later = found.fog * (1.0 - 1.0 / FOG_SECONDS)
            vapour_gain += later
            gains[AIR] -= later * latent_heat(state.air)
        if self.gap > 0.0:
            swapped = self.through_gap(state)
            vapour_gain -= swapped * (ratio - self.setting.room_ratio)
            warm = DRY_AIR_HEAT + self.setting.room_ratio * VAPOUR_HEAT
            gains[AIR] -= swapped * warm * (state.air - room.temperature)
        heat = self.capacities.surfaces
        result = [gains[node] / heat[node] for node in self.nodes[:-1]]
        if self.moss:
            place = self.nodes.index(MOSS)
            wet = heat[MOSS] + _SPECIFIC_HEAT * max(y[self.moss], 0.0)
            result[place] = gains[MOSS] / wet
        result.append(gains[AIR] / (air * (DRY_AIR_HEAT + ratio * VAPOUR_HEAT)))
        # The air holds a ratio W = 0.622 e / (p - e): dW/de = 0.622 p / (p - e)².
        result.append(vapour_gain * dry * dry / (air * MASS_RATIO * room.pressure))
        if self.moss:
            result.append(-found.vapour[MOSS])
        for place, node, hold in self.glass:
            result.append(-found.vapour[node] - max(y[place] - hold, 0.0) / RUN_OFF_SECONDS)
        return result

    def _uneven(self, y: Vector) -> bool:
        """True when glass is wet or moss is so dry that no water in it is free."""
        dry = self.moss and y[self.moss] < FREE_WATER * self.capacities.moss_dry
        return bool(dry) or any(y[place] > 0.0 for place, _, _ in self.glass)

    def _faces(self, y: Vector, state: State) -> tuple[Face, ...]:
        """Return the faces as wet as their water makes them."""
        here = state.vapour_pressure
        areas = {PANES: self.tank.panes_area, LID: self.tank.floor_area}
        wet = {node: y[place] for place, node, _ in self.glass}
        faces = []
        for face in self.faces:
            if face.node == MOSS:
                content = max(y[self.moss], 0.0) / self.capacities.moss_dry
                if content > FREE_WATER:
                    faces.append(face)
                    continue
                face = face._replace(
                    activity=fibre_humidity(min(max(state.moss, 0.0), 55.0), content)
                )
            elif wet.get(face.node, 0.0) > 0.0 and face.activity < inf:
                # In line with dry glass well below the dew point, and straight on to drying.
                saturated = self.setting.enhancement * saturation_pressure(state[face.node])
                balanced = saturated + CONDENSES_ABOVE
                share = 1.0
                if balanced > here:
                    water = wet[face.node]
                    share = water / (water + CLEARING * areas[face.node])
                face = face._replace(wet=share, light=share, activity=balanced / saturated)
            faces.append(face)
        return tuple(faces)
