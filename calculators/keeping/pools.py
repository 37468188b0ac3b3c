"""What a pool gives to the air: the ``evaporation`` calculator.

In: a pool's size and temperature and the air over it. Out: water a day, with its band.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from annotated_types import Interval

from calculators.air import mixture
from calculators.fields import Answer
from calculators.keeping.cautions import CLIMB_OUT, DECHLORINATE
from calculators.quantities import (
    LENGTH,
    LEVEL_PER_DAY,
    RELATIVE_HUMIDITY,
    SALINITY,
    SPEED,
    TEMPERATURE,
    VAPOUR_PER_HOUR,
    WATER_PER_DAY,
    Range,
    Says,
    both,
)
from calculators.surfaces import brine
from calculators.surfaces import evaporation as surface


@dataclass(frozen=True, kw_only=True)
class Evaporation(Answer):
    """Water that leaves a pool; below nought it takes water from the air."""

    evaporation: Annotated[Range, VAPOUR_PER_HOUR, Says("Water vapour given off")]
    per_day: Annotated[Range, WATER_PER_DAY, Says("Water lost a day", "what you pour in again")]
    level_drop: Annotated[Range, LEVEL_PER_DAY, Says("The water level falls by")]


def evaporation(
    length: Annotated[
        float, LENGTH, Interval(ge=0.02, le=1.0), Says("Pool length", "of the water surface")
    ] = 0.20,
    width: Annotated[
        float, LENGTH, Interval(ge=0.02, le=1.0), Says("Pool width", "of the water surface")
    ] = 0.15,
    rim_depth: Annotated[
        float,
        LENGTH,
        Interval(ge=0.0, le=0.3),
        Says("Water below the rim", "0 if the pool is full to the brim"),
    ] = 0.0,
    water_temperature: Annotated[
        float, TEMPERATURE, Interval(ge=5.0, le=40.0), Says("Water temperature")
    ] = 24.0,
    air_temperature: Annotated[
        float, TEMPERATURE, Interval(ge=5.0, le=40.0), Says("Air temperature", "over the pool")
    ] = 26.0,
    relative_humidity: Annotated[
        float, RELATIVE_HUMIDITY, Interval(ge=0.05, le=1.0), Says("Relative humidity")
    ] = 0.75,
    salinity: Annotated[
        float,
        SALINITY,
        Interval(ge=0.0, le=0.05),
        Says("Salinity", "0 for the fresh pool, 35 for the marine pool"),
    ] = 0.0,
    air_speed: Annotated[
        float,
        SPEED,
        Interval(ge=0.0, le=1.0),
        Says("Air movement over the water", "0.05 in a closed tank, 0.2 beside an air-stone"),
    ] = 0.05,
) -> Evaporation:
    """Return what a pool loses: lengths [m], temperatures [°C], salinity [kg/kg], speed [m/s].

    The band is a factor, ``surfaces.evaporation.STATED_UNCERTAINTY``, either way. Sea-level
    pressure. The size that governs the film is area / perimeter.
    """
    pressure = mixture.STANDARD_PRESSURE
    area = length * width
    flux = surface.evaporation_flux(
        surface_temperature=water_temperature,
        air_temperature=air_temperature,
        air_vapour_pressure=mixture.vapour_pressure(air_temperature, relative_humidity, pressure),
        pressure=pressure,
        length=area / (2.0 * (length + width)),
        air_speed=air_speed,
        rim_depth=rim_depth,
        water_activity=brine.water_activity(salinity, water_temperature),
    )
    factors = (1.0, 1.0 / surface.STATED_UNCERTAINTY, surface.STATED_UNCERTAINTY)
    middle, *edges = (flux * area * factor for factor in factors)
    band = Range(middle, min(edges), max(edges))
    density = brine.density_of_water(water_temperature)
    per_day = Range(*(rate / density for rate in band))
    return Evaporation(
        evaporation=band,
        per_day=per_day,
        level_drop=Range(*(rate / area for rate in per_day)),
        advice=_advice(per_day, salinity),
        cautions=(CLIMB_OUT, DECHLORINATE),
        notes=_notes(water_temperature, air_temperature, relative_humidity),
    )


def _advice(per_day: Range, salinity: float) -> str:
    if per_day.middle <= 0:
        return (
            "This pool takes water out of the air instead of giving it. Warm the pool before you "
            "count on it for humidity."
        )
    amount = both(per_day.middle, WATER_PER_DAY)
    salt = " The salt stays behind, so never top it up with sea water." if salinity > 0 else ""
    return (
        f"Expect to pour in about {amount} of fresh, dechlorinated water to keep the level.{salt} "
        "If you pour in much more, look for a splash or a leak."
    )


def _notes(water: float, air: float, humidity: float) -> tuple[str, ...]:
    factor = f"{surface.STATED_UNCERTAINTY:g}"
    notes = [
        "Nobody can work out a still pool's loss more closely than the range shown, from the "
        f"figure divided by {factor} to the figure times {factor}. Mark the level with tape and "
        "read it after two days: what you measure beats this."
    ]
    if water < air - 0.5:
        notes.append(
            f"The pool is {air - water:.1f} °C ({(air - water) * 1.8:.1f} °F) cooler than the air, "
            "as pools mostly are. Cool air lies on it and slows the loss; a warmer pool gives more."
        )
    if humidity > 0.9:
        notes.append("In air this damp the result hangs on the last few per cent of your gauge.")
    return tuple(notes)
