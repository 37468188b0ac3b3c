"""What moss gives to the air, and what dry moss can take out: the ``moss`` calculator.

In: moss by area or dry mass, its place, the air. Out: water given a day and when to wet it again;
water dry moss takes up, when to change it, and how that compares with what the pools give.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log
from typing import Annotated

from annotated_types import Interval

from calculators.air import mixture
from calculators.air.transport import vapour_diffusivity, viscosity
from calculators.fields import Answer
from calculators.keeping import targets
from calculators.keeping.cautions import GLOVES
from calculators.keeping.inputs import AirTemperature
from calculators.quantities import (
    DAY,
    HOUR,
    HOURS,
    MASS,
    RELATIVE_HUMIDITY,
    SHARE,
    TEMPERATURE,
    VAPOUR_PER_DAY,
    WATER_PER_DAY,
    ZERO_CELSIUS,
    Range,
    Says,
    both,
)
from calculators.surfaces import brine
from calculators.surfaces import evaporation as surface
from calculators.surfaces.convection import nusselt_vertical, rayleigh_number
from calculators.surfaces.sorption import fibre_moisture
from calculators.tank.capacities import MOSS_DRY
from calculators.tank.card import TankCard

LIKE_WATER = Range(0.75, 0.35, 1.0)
"""Damp moss against free water at the same temperature [1]. No measurement in a tank is published;
bogs and fens give less than open water, a raised bog 34 % of it (Campbell & Williamson 1997, J.
Hydrology 193:142, abstract read), wet moss almost as much."""
WET = Range(10.0, 8.0, 14.0)
"""Water in wet, squeezed moss [kg/kg]. Five mosses held 7 to 14 (Thielen et al. 2021, J. Hydrol.
Hydromech. 69:421, abstract read); sphagnum holds more, squeezing takes it out: assumed."""
GIVES_LESS_BELOW = 6.0
"""Moss gives water freely until it holds this [kg/kg], then ever less (Bond-Lamberty et al. 2010,
Ecohydrology, doi:10.1002/eco.118, abstract read)."""
OTHER_FIBRE = 0.35
"""How far moss may differ from wood in what it takes up [1]; assumed, no source."""
FILLS_IN = Range(12 * HOUR, 4 * HOUR, 24 * HOUR)
"""How soon loose dry moss has taken what it will take [s]; assumed, no source."""
LONGEST = 14 * DAY
"""However slowly moss dries, wash and wet it again by then [s]; common practice, no source."""
POOL_COOLER = 2.0
"""Pools are cooler than the air by so much [K]; common practice, no source."""
PLACE_WARMER = {"at the heated wall": 2.0, "tray": -1.0}
"""Damp moss against the air [K], where nobody has measured; assumed, no source."""
TRIAL_AREA = 0.02
"""Taken when the tank card has no moss [m²]."""
_SMALLEST = 0.002  # m, area / perimeter: as far as the films over a level surface hold
LITTLE = 0.25
"""Less than this share of what the pools give is not a way to dry a tank; our own line."""

CLEAN_MOSS = (
    "Use plain, undyed moss with no fertiliser, and wet it with dechlorinated water only: the "
    "animals eat it. Keep it off plugs, cables and the thermostat's probe, and throw it away when "
    "it smells or grows mould."
)


def upright_flux(
    surface_temperature: float, air_temperature: float, air_vapour_pressure: float, height: float
) -> float:
    """Return the water [kg/(m² s)] that leaves a wet upright surface; below 0 it condenses.

    Arguments: temperatures [°C], 0 to 60; air_vapour_pressure [Pa]; height [m], 0.02 to 1.
    Equations: Stefan diffusion through a film Sh D / H, Sh from ``nusselt_vertical`` with the
    density difference of moist air and the Schmidt number (analogy of heat and mass transfer, see
    ``surfaces.evaporation``). Sea-level pressure. Errors: OutOfRange.
    """
    pressure = mixture.STANDARD_PRESSURE
    wet = mixture.vapour_pressure(surface_temperature, 1.0, pressure)
    below = mixture.moist_air_density(surface_temperature, wet, pressure)
    above = mixture.moist_air_density(air_temperature, air_vapour_pressure, pressure)
    middle = 0.5 * (surface_temperature + air_temperature)
    density = 0.5 * (below + above)
    kinematic = viscosity(middle) / density
    diffusivity = vapour_diffusivity(middle, pressure)
    rayleigh = rayleigh_number((below - above) / density, height, kinematic, diffusivity)
    film = nusselt_vertical(rayleigh, kinematic / diffusivity) * diffusivity / height
    drive = log((pressure - air_vapour_pressure) / (pressure - wet))
    return film * pressure / (mixture.WATER_GAS_CONSTANT * (middle + ZERO_CELSIUS)) * drive


@dataclass(frozen=True, kw_only=True)
class Moss(Answer):
    """Water that damp moss gives and dry moss takes."""

    water_given: Annotated[
        Range, VAPOUR_PER_DAY, Says("Damp moss gives", "below nought it takes water in")
    ]
    rewet_after: Annotated[Range | None, HOURS, Says("Wet it again after")]
    water_taken: Annotated[Range, VAPOUR_PER_DAY, Says("Dry moss, changed once a day, takes up")]
    change_after: Annotated[Range, HOURS, Says("Dry moss has taken what it can after")]
    pools_give: Annotated[Range, VAPOUR_PER_DAY, Says("The pools on your card give meanwhile")]
    share_of_pools: Annotated[Range | None, SHARE, Says("So dry moss takes back this share of it")]


def moss(
    tank: TankCard,
    dry_mass: Annotated[
        float | None,
        MASS,
        Interval(ge=0.001, le=2.0),
        Says("Moss, weight when dry", "as sold, in the bag; leave empty for a layer 3 cm deep"),
    ] = None,
    air_temperature: AirTemperature = 26.0,
    relative_humidity: Annotated[
        float, RELATIVE_HUMIDITY, Interval(ge=0.05, le=0.98), Says("Relative humidity in the tank")
    ] = 0.75,
    moss_temperature: Annotated[
        float | None,
        TEMPERATURE,
        Interval(ge=10.0, le=45.0),
        Says("Temperature in the damp moss", "leave empty if you have not measured it"),
    ] = None,
) -> Moss:
    """Return what moss gives and takes: mass [kg], temperatures [°C], humidity as a fraction.

    Area, place, pools and room come from the tank card; without moss on it, TRIAL_AREA in a tray.
    Damp: free water (``evaporation_flux`` in a tray, ``upright_flux`` on a wall) times LIKE_WATER.
    Dry mass: MOSS_DRY times the area where it is not weighed. What it takes: ``fibre_moisture`` at
    the tank's humidity less that at the room's, where it was stored.
    """
    place = "tray" if tank.moss_place == "none" else tank.moss_place
    area = tank.moss_area or TRIAL_AREA
    dry = MOSS_DRY * area if dry_mass is None else dry_mass
    warmth = air_temperature + PLACE_WARMER[place] if moss_temperature is None else moss_temperature
    pressure = mixture.STANDARD_PRESSURE
    vapour = mixture.vapour_pressure(air_temperature, relative_humidity, pressure)
    if place == "tray":
        free = surface.evaporation_flux(
            warmth,
            air_temperature,
            vapour,
            pressure,
            max(_SMALLEST, 0.25 * area**0.5),
            air_speed=0.05,
        )
    else:
        free = upright_flux(warmth, air_temperature, vapour, max(0.02, area**0.5))
    spread = surface.STATED_UNCERTAINTY
    # The edges are bounds, not likely values: the least moss of the least air, and open water.
    given = _sorted(
        free * area * LIKE_WATER.middle,
        free * area * LIKE_WATER.low / spread,
        free * area * LIKE_WATER.high * spread,
    )
    spare = [dry * (wet - GIVES_LESS_BELOW) for wet in WET]
    rewet = None
    if given.low > 0.0:
        times = (spare[0] / given.middle, spare[1] / given.high, spare[2] / given.low)
        rewet = Range(*(min(LONGEST, time) for time in times))
    taken = _taken(tank, dry, air_temperature, relative_humidity)
    pools = _pools(tank, air_temperature, vapour, pressure)
    share = None
    if pools.low > 0.0 and taken.middle > 0.0:
        share = Range(taken.middle / pools.middle, taken.low / pools.high, taken.high / pools.low)
    return Moss(
        water_given=given,
        rewet_after=rewet,
        water_taken=taken,
        change_after=FILLS_IN,
        pools_give=pools,
        share_of_pools=share,
        advice=_advice(targets.side(relative_humidity, tank.species), given, rewet, taken, share),
        cautions=(GLOVES, CLEAN_MOSS),
        notes=_notes(tank, warmth, moss_temperature is None, place),
    )


def _sorted(middle: float, one: float, other: float) -> Range:
    return Range(middle, min(one, other), max(one, other))


def _taken(tank: TankCard, dry_mass: float, temperature: float, humidity: float) -> Range:
    """Return the water dry moss takes up in a day [kg/s], the whole of it spread over the day."""
    stored = fibre_moisture(tank.room_temperature, tank.room_humidity)
    daily = dry_mass * (fibre_moisture(temperature, humidity) - stored) / DAY
    return _sorted(daily, daily * (1.0 - OTHER_FIBRE), daily * (1.0 + OTHER_FIBRE))


def _pools(tank: TankCard, air: float, vapour: float, pressure: float) -> Range:
    water = air - POOL_COOLER if tank.pools_place == "away" else air
    total = 0.0
    for length, width, salinity in (
        (tank.fresh_pool_length, tank.fresh_pool_width, 0.0),
        (tank.marine_pool_length, tank.marine_pool_width, 0.035),
    ):
        if length * width > 0.0:
            total += length * width * surface.evaporation_flux(
                water, air, vapour, pressure,
                max(_SMALLEST, 0.5 * length * width / (length + width)), air_speed=0.05,
                water_activity=brine.water_activity(salinity, water),
            )  # fmt: skip
    spread = surface.STATED_UNCERTAINTY
    return _sorted(total, total / spread, total * spread)


def _advice(
    side: targets.Side, given: Range, rewet: Range | None, taken: Range, share: Range | None
) -> str:
    if side == "dry":
        return _when_dry(given, rewet)
    if side == "damp":
        return _when_damp(taken, share)
    later = _when_dry(given, rewet)
    return (
        "Leave the moss as it is: the humidity is in range. Should it turn dry: "
        f"{later[0].lower()}{later[1:]}"
    )


def _when_dry(given: Range, rewet: Range | None) -> str:
    if given.middle <= 0.0 or rewet is None:
        return (
            "Put the damp moss somewhere warmer, such as the heated wall: as cool as it is here it "
            "takes water out of the air."
        )
    days = rewet.middle / DAY
    when = f"after about {days * 24.0:.0f} hours" if days < 3.0 else f"after about {days:.0f} days"
    return (
        f"Damp moss gives about {both(_water(given.middle), WATER_PER_DAY, 1)} here. Feel it every "
        f"day, and wet it again {when}, before it is crisp."
    )


def _when_damp(taken: Range, share: Range | None) -> str:
    if taken.middle <= 0.0:
        return (
            "Do not use dry moss now: kept in a room as damp as yours it is full already. Lower "
            "the air-stones, or cover the moss tray and part of the pools."
        )
    amount = both(_water(taken.middle), WATER_PER_DAY, 1)
    if share is not None and share.middle < LITTLE:
        return (
            f"Do not count on dry moss: it takes only about {amount}, far less than the pools give "
            "back in the same day. Vent by a small gap while you are at home instead."
        )
    if share is None:
        return (
            "Find where the water comes from before you count on moss: in air this damp the pools "
            "on your card give none, so look for a splash, a wet floor or a leak. Dry moss takes "
            f"about {amount} if you change it daily."
        )
    return (
        f"Put in dry moss and change it once a day: it takes about {amount}. Left in, it fills up "
        "and then stays damp."
    )


def _water(mass: float) -> float:
    """Return the volume [m³/s] of a flow of water [kg/s]."""
    return mass / brine.density_of_water(20.0)


def _notes(tank: TankCard, warmth: float, guessed: bool, place: str) -> tuple[str, ...]:
    notes = []
    if tank.moss_area == 0.0:
        notes.append(
            "Your tank card has no moss, so this is worked for 200 cm² (31 in²) in a tray."
        )
    if guessed:
        where = "on the heated wall" if place == "at the heated wall" else "in a tray"
        notes.append(
            f"Moss {where} is taken as {both(warmth, TEMPERATURE)}, which is assumed. A "
            "thermometer pushed into it tells more, and this matters most."
        )
    notes += [
        "No measurement of damp moss in a tank has been published. The band runs from a third of "
        "free water (a raised bog, Campbell & Williamson 1997) to free water itself, widened by "
        "what nobody knows about still water. Moss gives freely down to about 6 times its dry "
        "weight of water, then ever less (Bond-Lamberty and others 2010). Abstracts read.",
        "What dry moss takes up is worked with the Wood Handbook's isotherm for wood: no isotherm "
        "of sphagnum was found, so we allow a third more or less. It counts moss stored dry in "
        "your room. That it fills in 4 to 24 hours is assumed.",
        "Weigh a handful on kitchen scales before and after a day in the tank: your own figure "
        "beats these.",
    ]
    return tuple(notes)
