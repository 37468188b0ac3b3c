"""Water that leaves, or settles on, a wet horizontal surface.

In: the surface's and the air's temperature, the air's vapour pressure, the pool's size, air speed.
Out: a flux [kg/(m² s)], positive when water leaves, negative when vapour condenses.

The flux follows from the analogy of heat and mass transfer. Buoyancy is that of MOIST air: vapour
is lighter than air, so a warm pool stirs the air above it, and a pool a few kelvin cooler than the
air lies under a calm layer of its own. Water below the rim sits under a column of air as well.
"""

from __future__ import annotations

from math import inf, log
from typing import NamedTuple

from calculators.air.mixture import moist_air_density, vapour_pressure
from calculators.air.transport import conductivity, heat_capacity, vapour_diffusivity, viscosity
from calculators.errors import OutOfRange
from calculators.quantities import ZERO_CELSIUS
from calculators.surfaces.convection import (
    GRAVITY,
    mixed,
    nusselt_forced_laminar,
    nusselt_horizontal,
    rayleigh_number,
)

VAPOUR_GAS_CONSTANT = 461.523  # J/(kg K), 8.314462618 / 0.01801528

CRITICAL_RAYLEIGH = 1708.0
"""A layer of air between rigid plates, lighter below, turns over above this Rayleigh number.

Rayleigh-Bénard theory, Pellew & Southwell (1940); Incropera & DeWitt, 7th ed., section 9.8.
"""

STATED_UNCERTAINTY = 1.8
"""Factor: the true evaporation lies between the flux / 1.8 and the flux x 1.8, four times in five.

How it was found: a large still pool at 28 to 30 °C in air at 28 to 30 °C and 50 % was computed here
and by three published pool formulas (nine table rows after Shah; ASHRAE with activity factor 0.5;
Smith, Löf & Jones 1998). Mean deviations are 27, 26 and 44 %, ours mostly the lower, since no pool
hall is quite still; 22 of the 27 values (81 %) lie within a factor 1.7, taken as 1.8 because no
published series for a bowl in a tank was found. The five outside, factors of 2 to 8, are pools
cooler than their air by 1 or 2 K, where calm air carries little and a draught decides. A 16 cm
bowl in air stirred at 5 cm/s stays within 1.7 of all 27, a reading from a 14 cm jar within 1.3.
"""

_SOURCE = "analogy of heat and mass transfer"


class _Film(NamedTuple):
    coefficient: float  # m/s
    diffusivity: float  # m²/s
    still_depth: float  # m, how deep a column of air stays at rest


def _check(name: str, value: float, low: float, high: float, unit: str) -> None:
    if not low <= value <= high:
        raise OutOfRange(name, value, low, high, unit, _SOURCE)


def _film(
    surface_temperature: float,
    surface_vapour_pressure: float,
    air_temperature: float,
    air_vapour_pressure: float,
    pressure: float,
    length: float,
    air_speed: float,
) -> _Film:
    _check("A surface temperature", surface_temperature, 0.0, 60.0, "°C")
    _check("An air temperature", air_temperature, 0.0, 60.0, "°C")
    _check("A size (area / perimeter)", length, 0.002, 10.0, "m")
    _check("An air speed", air_speed, 0.0, 5.0, "m/s")
    below = moist_air_density(surface_temperature, surface_vapour_pressure, pressure)
    above = moist_air_density(air_temperature, air_vapour_pressure, pressure)
    density = 0.5 * (below + above)
    middle = 0.5 * (surface_temperature + air_temperature)
    kinematic = viscosity(middle) / density
    diffusivity = vapour_diffusivity(middle, pressure)
    lighter = (above - below) / density
    per_difference = rayleigh_number(1.0, length, kinematic, diffusivity)
    sherwood = nusselt_horizontal(lighter, per_difference)
    coefficient = sherwood * diffusivity / length
    still_depth = inf
    if lighter > 0.0:
        still_depth = (CRITICAL_RAYLEIGH * kinematic * diffusivity / (GRAVITY * lighter)) ** (1 / 3)
    if air_speed > 0.0:
        side = 4.0 * length
        forced = nusselt_forced_laminar(air_speed * side / kinematic, kinematic / diffusivity)
        coefficient = mixed(coefficient, forced * diffusivity / side)
    return _Film(coefficient, diffusivity, still_depth)


def mass_transfer_coefficient(
    surface_temperature: float,
    surface_vapour_pressure: float,
    air_temperature: float,
    air_vapour_pressure: float,
    pressure: float,
    length: float,
    air_speed: float = 0.0,
) -> float:
    """Return the speed [m/s] at which vapour crosses the film of air over a level wet surface.

    Arguments: surface_temperature, air_temperature [°C], 0 to 60; surface_vapour_pressure,
    air_vapour_pressure [Pa]; pressure [Pa]; length [m], area / perimeter of the surface, 0.002 to
    10 (a quarter of a square's side or of a disc's diameter); air_speed along it [m/s], 0 to 5.
    Equations: k = Sh D / L. Natural part: Sh from nusselt_horizontal with the Rayleigh number of
    the density difference of moist air, g (Δρ/ρ) L³ / (ν D).
    Forced part: nusselt_forced_laminar with the Schmidt number, on 4 L, the side of a square pool.
    Both by the cube rule, ``mixed``.
    Errors: OutOfRange.
    Source: Incropera & DeWitt, 7th ed., section 6.7 (analogy), 9.6 and 9.9; Lloyd & Moran (1974)
    measured their plates by mass transfer.
    """
    return _film(
        surface_temperature,
        surface_vapour_pressure,
        air_temperature,
        air_vapour_pressure,
        pressure,
        length,
        air_speed,
    ).coefficient


def evaporation_flux(
    surface_temperature: float,
    air_temperature: float,
    air_vapour_pressure: float,
    pressure: float,
    length: float,
    air_speed: float = 0.0,
    rim_depth: float = 0.0,
    water_activity: float = 1.0,
) -> float:
    """Return the water [kg/(m² s)] that leaves a level wet surface; below 0 it condenses.

    Arguments: surface_temperature (the water's skin), air_temperature [°C], 0 to 60;
    air_vapour_pressure [Pa], 0 to the pressure; pressure [Pa]; length [m], area / perimeter,
    0.002 to 10; air_speed [m/s], 0 to 5; rim_depth [m], water below the rim, 0 to 1;
    water_activity [1], 0 to 1, 1 for fresh water, brine.water_activity for a marine pool.
    Equations: N = p / (Rv T) ln[(p - e_air) / (p - e_surface)] / (1/k + z/D), Stefan diffusion
    through film and column in series, k from mass_transfer_coefficient. Over a pool that stirs its
    air, z is no deeper than a column that stays at rest, Ra(z) = 1708: below that the column turns
    over and adds no more (marginal stability, Malkus 1954, Proc. R. Soc. A 225:196).
    How sure: see STATED_UNCERTAINTY.
    Errors: OutOfRange.
    Source: Bird, Stewart & Lightfoot, Transport Phenomena, 2nd ed., eq. 18.2-14 (Stefan).
    """
    _check("A rim depth", rim_depth, 0.0, 1.0, "m")
    _check("A water activity", water_activity, 0.0, 1.0, "")
    _check("A vapour pressure", air_vapour_pressure, 0.0, 0.9 * pressure, "Pa")
    surface_vapour_pressure = vapour_pressure(surface_temperature, water_activity, pressure)
    film = _film(
        surface_temperature,
        surface_vapour_pressure,
        air_temperature,
        air_vapour_pressure,
        pressure,
        length,
        air_speed,
    )
    resistance = 1.0 / film.coefficient
    if rim_depth > 0.0:
        resistance += min(rim_depth, film.still_depth) / film.diffusivity
    kelvin = 0.5 * (surface_temperature + air_temperature) + ZERO_CELSIUS
    drive = log((pressure - air_vapour_pressure) / (pressure - surface_vapour_pressure))
    return pressure / (VAPOUR_GAS_CONSTANT * kelvin) * drive / resistance


def lewis_factor(temperature: float, pressure: float) -> float:
    """Return h / (k ρ cp) [1], heat to vapour transfer over one surface, (α/D)^(2/3).

    Arguments: temperature [°C]; pressure [Pa], as calculators.air.transport allows.
    Source: Chilton & Colburn (1934), as in Incropera & DeWitt, 7th ed., eq. 6.60.
    """
    density = moist_air_density(temperature, 0.0, pressure)
    thermal = conductivity(temperature) / (density * heat_capacity(0.0))
    factor: float = (thermal / vapour_diffusivity(temperature, pressure)) ** (2.0 / 3.0)
    return factor
