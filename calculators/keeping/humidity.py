"""What a humidity reading means: the ``dew-point`` calculator.

In: a temperature and a relative humidity. Out: the moisture behind them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from annotated_types import Interval

from calculators.air import mixture
from calculators.fields import Answer
from calculators.keeping.inputs import Altitude
from calculators.quantities import (
    ABSOLUTE_HUMIDITY,
    PRESSURE,
    RELATIVE_HUMIDITY,
    TEMPERATURE,
    Says,
    both,
    shown,
)


@dataclass(frozen=True, kw_only=True)
class DewPoint(Answer):
    """The moisture in air, in every form a keeper meets."""

    dew_point: Annotated[
        float, TEMPERATURE, Says("Dew point", "water forms on anything at or below this")
    ]
    relative_humidity_there: Annotated[
        float, RELATIVE_HUMIDITY, Says("The same air at the other temperature reads")
    ]
    absolute_humidity: Annotated[
        float, ABSOLUTE_HUMIDITY, Says("Water vapour in the air", "absolute humidity")
    ]
    vapour_pressure: Annotated[float, PRESSURE, Says("Vapour pressure")]
    vapour_pressure_deficit: Annotated[
        float,
        PRESSURE,
        Says("Drying power of the air", "vapour-pressure deficit: nought means saturated"),
    ]
    wet_bulb: Annotated[
        float, TEMPERATURE, Says("Wet bulb", "where a wet thermometer in moving air settles")
    ]


def dew_point(
    air_temperature: Annotated[
        float,
        TEMPERATURE,
        Interval(ge=0.0, le=60.0),
        Says("Air temperature", "in the middle of the tank, out of the lamp"),
    ] = 26.0,
    relative_humidity: Annotated[
        float,
        RELATIVE_HUMIDITY,
        Interval(ge=0.05, le=1.0),
        Says("Relative humidity", "what the gauge reads at that place"),
    ] = 0.75,
    altitude: Altitude = 0.0,
    other_temperature: Annotated[
        float,
        TEMPERATURE,
        Interval(ge=0.0, le=60.0),
        Says("Another temperature", "a pane, a corner, the same tank at night"),
    ] = 22.0,
) -> DewPoint:
    """Return the moisture of air at ``air_temperature`` [°C, 0 to 60].

    ``relative_humidity`` [0.05 to 1] is the ratio of the mole fraction of vapour to that of
    saturated air at the same temperature and pressure; ``altitude`` [m, 0 to 3000] sets the
    pressure by the standard atmosphere. ``relative_humidity_there`` is for the same vapour at
    ``other_temperature`` [°C], and is at most 1: below the dew point the rest condenses.
    """
    pressure = mixture.air_pressure(altitude)
    vapour = mixture.vapour_pressure(air_temperature, relative_humidity, pressure)
    dew = mixture.dew_point(vapour, pressure)
    there = min(1.0, mixture.relative_humidity(other_temperature, vapour, pressure))
    return DewPoint(
        dew_point=dew,
        relative_humidity_there=there,
        absolute_humidity=mixture.absolute_humidity(air_temperature, vapour),
        vapour_pressure=vapour,
        vapour_pressure_deficit=mixture.vapour_pressure_deficit(air_temperature, vapour, pressure),
        wet_bulb=mixture.wet_bulb(air_temperature, vapour, pressure),
        advice=_advice(air_temperature, relative_humidity, other_temperature, dew, there),
        notes=_notes(air_temperature, dew),
    )


def _advice(air: float, humidity: float, other: float, dew: float, there: float) -> str:
    place = both(other, TEMPERATURE)
    if other <= dew:
        return (
            f"A surface at {place} will be wet: it is below the dew point of "
            f"{both(dew, TEMPERATURE)}. Warm that surface or insulate it before you add water."
        )
    if abs(there - humidity) < 0.02:
        return f"At {place} the gauge would read about the same. Nothing to do for this difference."
    change = "rises" if there > humidity else "falls"
    return (
        f"No water has come or gone, yet at {place} the same air reads "
        f"{shown(there, RELATIVE_HUMIDITY, 'metric')}: the number "
        f"{change} because the temperature changed. Compare dew points before you act."
    )


def _notes(air: float, dew: float) -> tuple[str, ...]:
    notes = [
        "The equations are good to about 0.01 °C here. Your gauge is not: 3 % of humidity moves "
        f"the dew point by about {_dew_point_of_three_percent(air)}."
    ]
    if dew < 0:
        notes.append("Below freezing, frost forms a little before this dew point over water.")
    return tuple(notes)


def _dew_point_of_three_percent(air: float) -> str:
    """Return how far 3 % of relative humidity moves the dew point near 75 %, as text."""
    pressure = mixture.air_pressure(0.0)
    low, high = (
        mixture.dew_point(mixture.vapour_pressure(air, humidity, pressure), pressure)
        for humidity in (0.735, 0.765)
    )
    return f"{high - low:.1f} °C ({(high - low) * 1.8:.1f} °F)"
