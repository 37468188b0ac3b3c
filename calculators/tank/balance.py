"""The steady balance of a tank: every temperature and the vapour, with heat and mass closed.

In: a tank, its room. Out: a Balance, or NoAnswer with a sentence. The thermostat reads the air: the
share of time its mat is on is what holds the set point, 0 in a room that is warm enough, 1 where
the mat is too small.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from calculators.air.mixture import dew_point
from calculators.air.saturation import latent_heat, saturation_pressure
from calculators.tank.flows import Flows
from calculators.tank.geometry import Tank
from calculators.tank.nodes import (
    AIR,
    FRESH,
    LID,
    MARINE,
    MOSS,
    PANEL,
    PANES,
    SUBSTRATE,
    VAPOUR_HEAT,
    Room,
    Setting,
    State,
)
from calculators.tank.steady import Steady, at_power, at_temperature, first_guess

CORNER_FILM = 0.25
"""Inner film in a corner or behind things [m² K/W]: ISO 13788:2012, 4.4.1, for the coldest point of
a wall (from memory). A corner of glass stands in for it here."""


class Vapour(NamedTuple):
    """Vapour [kg/s] by where it comes from or goes, above 0 into the air; the sum is 0."""

    fresh_pool: float
    marine_pool: float
    substrate: float
    moss: float
    bubbles: float
    air_change: float
    heated_glass: float
    panes: float
    lid: float
    fog: float


class Heat(NamedTuple):
    """Heat [W] that leaves the tank by each path; the sum is the mat's mean power.

    ``evaporation`` is what turns water into vapour less what condensation gives back: it leaves
    with the air change. ``mat_back`` never enters the tank.
    """

    panes: float
    lid: float
    floor: float
    buried_panes: float
    mat_back: float
    air_change: float
    evaporation: float


@dataclass(frozen=True)
class Balance:
    """A tank at rest: temperatures [°C], pressures [Pa], heat [W], vapour [kg/s].

    A part the tank does not have reads None. ``relative_humidity`` is at most 1 and ``dew_point``
    at most the air's temperature: vapour beyond is fog, in ``vapour.fog``. ``highest_humidity`` is
    what the coldest surface lets the air hold. ``mat_temperature`` is the mean over the
    thermostat's cycle, outside the glass; ``wall_temperature`` inside it. ``heat_left`` and
    ``mass_left`` are the shares left open.
    """

    air_temperature: float
    vapour_pressure: float
    relative_humidity: float
    dew_point: float
    fresh_pool_temperature: float | None
    marine_pool_temperature: float | None
    substrate_temperature: float
    moss_temperature: float | None
    wall_temperature: float | None
    mat_temperature: float | None
    panes_temperature: float
    lid_temperature: float
    corner_temperature: float
    coldest_surface: str
    coldest_temperature: float
    highest_humidity: float
    air_speed: float
    heater_power: float
    share_on: float
    heater_too_small: bool
    vapour: Vapour
    heat: Heat
    heat_left: float
    mass_left: float
    state: State

    @property
    def evaporation(self) -> float:
        """All vapour given to the air by water [kg/s]: what must be topped up, less drips."""
        return sum(max(part, 0.0) for part in self.vapour[:5])

    @property
    def condensation(self) -> float:
        """All vapour that turns back to water inside [kg/s], on glass, pools and as fog."""
        inside = (*self.vapour[:5], *self.vapour[6:])
        return -sum(min(part, 0.0) for part in inside)


def balance(tank: Tank, room: Room, start: State | None = None) -> Balance:
    """Return the steady balance of ``tank`` in ``room`` under its thermostat.

    ``start``, the state of a tank much like this one, saves time in a sweep. Raises NoAnswer where
    heat and mass do not close to 1e-6 of what passes through the tank.
    """
    setting = Setting(tank, room)
    steady, too_small = _under_thermostat(setting, start)
    return report(setting, steady, too_small)


def _under_thermostat(setting: Setting, start: State | None) -> tuple[Steady, bool]:
    card = setting.tank.card
    most, wanted = card.heater_power, card.set_point
    if most == 0.0:
        return at_power(setting, 0.0, start), False
    if setting.room.temperature > wanted + 1.0:
        steady = at_power(setting, 0.0, start)
        if steady.state.air >= wanted:
            return steady, False
    _, guess = first_guess(setting, 0.0, wanted)
    if guess > 1.3 * most:
        steady = at_power(setting, most, start)
        if steady.state.air < wanted:
            return steady, True
    held = at_temperature(setting, wanted, start, most)
    if held.heater_power > most:
        steady = at_power(setting, most, held.state)
        if steady.state.air < wanted:
            return steady, True
        held = at_temperature(setting, wanted, steady.state)
    if held.heater_power < 0.0:
        return at_power(setting, 0.0, held.state), False
    return held, False


def report(setting: Setting, steady: Steady, too_small: bool) -> Balance:
    """Return the Balance of a steady state."""
    tank, room = setting.tank, setting.room
    card, state, found = tank.card, steady.state, steady.flows
    vapour_here = state.vapour_pressure
    saturated = setting.enhancement * saturation_pressure(state.air)
    places = [("panes", state.panes)]
    if card.lid != "mesh":
        places.append(("lid", state.lid))
    if tank.bare_panel_area > 0.0:
        places.append(("heated glass", state.panel))
    coldest, cold = min(places, key=lambda place: place[1])
    most = setting.enhancement * saturation_pressure(cold) / saturated
    return Balance(
        air_temperature=state.air,
        vapour_pressure=vapour_here,
        relative_humidity=min(vapour_here / saturated, 1.0),
        dew_point=dew_point(min(vapour_here, saturated), room.pressure),
        fresh_pool_temperature=state.fresh_pool if tank.fresh_pool_area else None,
        marine_pool_temperature=state.marine_pool if tank.marine_pool_area else None,
        substrate_temperature=state.substrate,
        moss_temperature=state.moss if tank.moss_area else None,
        wall_temperature=state.panel if tank.panel_area else None,
        mat_temperature=found.mat_temperature if tank.panel_area else None,
        panes_temperature=state.panes,
        lid_temperature=state.lid,
        corner_temperature=_corner(setting, steady),
        coldest_surface=coldest,
        coldest_temperature=cold,
        highest_humidity=min(most, 1.0),
        air_speed=found.air_speed,
        heater_power=steady.heater_power,
        share_on=steady.heater_power / card.heater_power if card.heater_power else 0.0,
        heater_too_small=too_small,
        vapour=_vapour(found),
        heat=_heat(setting, state, found),
        heat_left=steady.heat_left,
        mass_left=steady.mass_left,
        state=state,
    )


def _corner(setting: Setting, steady: Steady) -> float:
    """The temperature in a corner of the plain panes, where the inner film is CORNER_FILM."""
    tank, room, air = setting.tank, setting.room.temperature, steady.state.air
    lost, gap = steady.flows.outside[2], steady.state.panes - room
    outside = gap * tank.panes_area / lost if abs(lost) > 1e-9 else tank.pane_resistance + 0.13
    corner = room + (air - room) * outside / (outside + CORNER_FILM)
    return min(corner, steady.state.panes) if air > room else max(corner, steady.state.panes)


def _vapour(found: Flows) -> Vapour:
    given = found.vapour
    return Vapour(
        fresh_pool=given[FRESH],
        marine_pool=given[MARINE],
        substrate=given[SUBSTRATE],
        moss=given[MOSS],
        bubbles=found.bubbles[0] + found.bubbles[1],
        air_change=-found.air_change,
        heated_glass=given[PANEL],
        panes=given[PANES],
        lid=given[LID],
        fog=-found.fog,
    )


def _heat(setting: Setting, state: State, found: Flows) -> Heat:
    below, back, panes, lid = found.outside
    tank, room = setting.tank, setting.room.temperature
    floor = tank.floor_conductance * (state.substrate - room)
    sources = [*zip(state[:7], found.vapour, strict=True)]
    sources += [*zip(state[:2], found.bubbles, strict=True), (state[AIR], -found.fog)]
    # Vapour leaves the tank at the air's temperature, whatever water it came from.
    evaporation = sum(
        left * (latent_heat(temperature) + VAPOUR_HEAT * (state.air - temperature))
        for temperature, left in sources
        if left
    )
    return Heat(panes, lid, floor, below - floor, back, found.ventilation, evaporation)
