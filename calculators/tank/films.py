"""What one surface of a tank passes on: to the air beside it, or through glass to the room.

In: a tank in its room, a surface, its temperature, the state of the air. Out: heat [W], vapour
[kg/s]. One film carries heat and vapour: the published plate formulas with the density difference
of moist air, the vapour by the analogy of heat and mass transfer (Chilton & Colburn).
"""

from __future__ import annotations

from math import log, sqrt

from calculators.air.mixture import MASS_RATIO, WATER_GAS_CONSTANT
from calculators.air.saturation import saturation_pressure
from calculators.quantities import ZERO_CELSIUS
from calculators.surfaces.convection import (
    GRAVITY,
    UNEVENNESS,
    boundary_layer_speed,
    mixed,
    nusselt_forced_laminar,
    nusselt_horizontal,
    nusselt_vertical,
)
from calculators.surfaces.radiation import GLASS_EMISSIVITY, STEFAN_BOLTZMANN
from calculators.tank.nodes import Face, Setting

_LIGHTER = 1.0 - MASS_RATIO  # how much of its own pressure vapour takes off the air's weight
_SMOOTH = 2.0  # Pa: condensation sets in over this much above the dew point, without a kink
_UNEVEN = 0.1  # K: see UNEVENNESS
_LEAST_SPEED = 0.02  # m/s: air in a tank is never quite still; assumed, no source
_FOG_SECONDS = 10.0  # s: vapour above saturation turns to fog as fast; any short time does


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
