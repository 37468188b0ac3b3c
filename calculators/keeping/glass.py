"""When the glass runs wet, and what stops it: the ``glass-condensation`` calculator.

In: air in the tank and the room, the glass and its insulation. Out: how warm the pane and its
coldest corner are inside, the humidity at which each gets wet, the insulation that keeps both dry.

The temperature factor f = (pane - room) / (tank air - room) says how much of the warmth reaches
the inner face: ISO 13788 and ISO 10211 use it for cold corners of houses. Nobody has published it
for tanks.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import Annotated

from annotated_types import Interval

from calculators.air import mixture
from calculators.errors import OutOfRange
from calculators.fields import Answer
from calculators.keeping.cautions import MAT
from calculators.keeping.inputs import RelativeHumidity
from calculators.quantities import (
    RELATIVE_HUMIDITY,
    TEMPERATURE,
    TEMPERATURE_DIFFERENCE,
    THICKNESS,
    Range,
    Says,
    both,
    shown,
)
from calculators.surfaces.conduction import (
    EXPANDED_POLYSTYRENE,
    FILM_WALL,
    GLASS,
    layer_resistance,
)
from calculators.tank.card import TankCard

INNER_FILM = Range(FILM_WALL, 0.17, 0.10)
"""Film on the inner face [m² K/W], ordered so that low gives the COLDER pane.

ISO 6946 takes 0.13; 0.10 beside an air-stone, 0.17 in dead air: assumed, no source."""
OUTER_FILM = Range(FILM_WALL, 0.10, 0.17)
"""Film on the room's side [m² K/W]: 0.10 in a draught, 0.17 against a wall; assumed likewise."""
CORNER_FILM = Range(0.25, 0.35, 0.20)
"""Film in a corner where air hardly moves [m² K/W]: ISO 13788 takes 0.25 (from memory)."""

THICKEST = 0.10
"""More insulation than this [m] is no answer."""

KEEP_DRY = (
    "Wipe drips away and look for mould on wet sealant and wood. Anyone with asthma or weak "
    "immunity should leave that to somebody else."
)


def temperature_factor(inner_film: float, resistance: float, outer_film: float) -> float:
    """Return (inner face - room) / (tank air - room) [1] of a pane.

    Arguments: films and the layers' resistance [m² K/W], each 0 or more, not all 0.
    Equation: f = (R + Rse) / (Rsi + R + Rse), heat flow one way.
    Source: ISO 13788:2012, eq. 4, with f = 1 - U Rsi (from memory). Errors: OutOfRange.
    """
    total = inner_film + resistance + outer_film
    if not (min(inner_film, resistance, outer_film) >= 0.0 and total > 0.0):
        raise OutOfRange("A resistance", total, 0.0, 100.0, "m² K/W", "ISO 13788")
    return (resistance + outer_film) / total


def highest_humidity(air_temperature: float, surface_temperature: float) -> float:
    """Return the relative humidity (0 to 1) of air at which a surface gets wet.

    Arguments: temperatures [°C], -40 to 60. The vapour of air saturated at the surface, seen at
    the air's temperature; 1 where the surface is the warmer. Errors: OutOfRange.
    """
    pressure = mixture.STANDARD_PRESSURE
    held = mixture.vapour_pressure(surface_temperature, 1.0, pressure)
    return min(1.0, mixture.relative_humidity(air_temperature, held, pressure))


def insulation_thickness(
    factor: float, inner_film: float, glass_resistance: float, outer_film: float
) -> float:
    """Return the insulation [m] that lifts a pane to a temperature ``factor`` [1], below 1.

    Arguments: films and glass [m² K/W]. 0 when the bare pane is warm enough; infinite from 1 on.
    Equation: temperature_factor solved for the layer, expanded polystyrene.
    """
    if factor >= 1.0:
        return inf
    needed = inner_film * factor / (1.0 - factor) - glass_resistance - outer_film
    return max(0.0, needed * EXPANDED_POLYSTYRENE.conductivity)


@dataclass(frozen=True, kw_only=True)
class GlassCondensation(Answer):
    """How warm a tank's glass is inside, and what humidity it allows."""

    pane_temperature: Annotated[
        Range, TEMPERATURE, Says("Glass inside, middle of the pane", "a pane with no heat mat")
    ]
    corner_temperature: Annotated[Range, TEMPERATURE, Says("Glass inside, coldest corner")]
    dew_point: Annotated[float, TEMPERATURE, Says("Dew point of the tank's air")]
    margin: Annotated[
        Range,
        TEMPERATURE_DIFFERENCE,
        Says("The pane is warmer than the dew point by", "below nought it is wet"),
    ]
    corner_margin: Annotated[
        Range, TEMPERATURE_DIFFERENCE, Says("The corner is warmer than the dew point by")
    ]
    highest_humidity: Annotated[
        Range, RELATIVE_HUMIDITY, Says("Highest humidity before the pane gets wet")
    ]
    corner_humidity: Annotated[
        Range, RELATIVE_HUMIDITY, Says("Humidity at which the corner beads first")
    ]
    insulation_needed: Annotated[
        Range | None,
        THICKNESS,
        Says("Foam needed for the humidity you want", "corner dry; the low end: pane dry"),
    ]


def glass_condensation(
    tank: TankCard,
    air_temperature: Annotated[
        float,
        TEMPERATURE,
        Interval(ge=10.0, le=40.0),
        Says("Air temperature in the tank", "in the middle, out of the lamp"),
    ] = 26.0,
    relative_humidity: RelativeHumidity = 0.75,
    insulation: Annotated[
        float | None,
        THICKNESS,
        Interval(ge=0.0, le=THICKEST),
        Says("Insulation to try on the pane", "leave empty for what your tank has now"),
    ] = None,
    target_humidity: Annotated[
        float,
        RELATIVE_HUMIDITY,
        Interval(ge=0.3, le=1.0),
        Says("Humidity you want with dry glass"),
    ] = 0.80,
) -> GlassCondensation:
    """Return how warm a pane is: temperatures [°C], humidities as fractions, lengths [m].

    Room, glass and present insulation come from the tank card. ``temperature_factor`` with
    INNER_FILM or CORNER_FILM and OUTER_FILM; sea-level pressure; the warmth that condensing water
    gives the glass is left out.
    """
    room, air = tank.room_temperature, air_temperature
    layer = tank.wall_insulation if insulation is None else insulation
    glass = layer_resistance(tank.glass_thickness, GLASS.conductivity)
    whole = glass + layer_resistance(layer, EXPANDED_POLYSTYRENE.conductivity)
    pane = _temperatures(air, room, whole, INNER_FILM)
    corner = _temperatures(air, room, whole, CORNER_FILM)
    pressure = mixture.STANDARD_PRESSURE
    dew = mixture.dew_point(mixture.vapour_pressure(air, relative_humidity, pressure), pressure)
    needed = _insulation(air, room, glass, target_humidity)
    margin, corner_margin = _less(pane, dew), _less(corner, dew)
    caps = [Range(*(highest_humidity(air, t) for t in place)) for place in (pane, corner)]
    return GlassCondensation(
        pane_temperature=pane,
        corner_temperature=corner,
        dew_point=dew,
        margin=margin,
        corner_margin=corner_margin,
        highest_humidity=caps[0],
        corner_humidity=caps[1],
        insulation_needed=needed,
        advice=_advice(margin, corner_margin, needed, layer, target_humidity, caps[0]),
        cautions=(MAT, KEEP_DRY),
        notes=_notes(tank, air, target_humidity, needed),
    )


def _temperatures(air: float, room: float, resistance: float, inner: Range) -> Range:
    values = [
        room + (air - room) * temperature_factor(inside, resistance, outside)
        for inside, outside in zip(inner, OUTER_FILM, strict=True)
    ]
    # In a room warmer than the tank the films' order turns round.
    return Range(values[0], min(values), max(values))


def _less(values: Range, amount: float) -> Range:
    return Range(*(value - amount for value in values))


def _insulation(air: float, room: float, glass: float, target: float) -> Range | None:
    """Return the foam [m] for a dry corner; low: for a dry pane; None where none is enough."""
    pressure = mixture.STANDARD_PRESSURE
    dew = mixture.dew_point(mixture.vapour_pressure(air, target, pressure), pressure)
    if dew <= room:
        return Range(0.0, 0.0, 0.0)
    factor = (dew - room) / (air - room) if air > room else inf
    corner = insulation_thickness(factor, CORNER_FILM.middle, glass, OUTER_FILM.middle)
    if corner > THICKEST:
        return None
    return Range(
        corner,
        insulation_thickness(factor, INNER_FILM.middle, glass, OUTER_FILM.middle),
        min(THICKEST, insulation_thickness(factor, CORNER_FILM.low, glass, OUTER_FILM.low)),
    )


def _advice(
    margin: Range, corner: Range, needed: Range | None, layer: float, target: float, cap: Range
) -> str:
    goal = shown(target, RELATIVE_HUMIDITY, "metric")
    if margin.high < 0.0:
        state = "The glass is wet, and it keeps taking water out of the air."
    elif margin.low < 0.0:
        state = "The glass is close to wet: some of it will bead."
    elif corner.low < 0.0:
        state = "The pane stays clear, but cold corners may bead."
    else:
        state = "The glass stays dry."
    if needed is None:
        if target >= 0.98:
            return (
                f"Aim lower than {goal}: air that damp wets any surface, whatever the insulation. "
                f"{state}"
            )
        return (
            f"Warm the room before you add water. No sensible layer keeps the glass dry at {goal}; "
            f"as it is, the glass caps the humidity near "
            f"{shown(cap.middle, RELATIVE_HUMIDITY, 'metric')}. {state}"
        )
    if needed.middle <= layer:
        first = "Bring the humidity down first. " if margin.low < 0.0 else ""
        return f"{first}{state} For {goal} no more insulation is needed."
    more = both(needed.middle, THICKNESS)
    return (
        f"{state} To hold {goal} with dry glass, put foam board about {more} thick on the outside "
        "of the panes without a heat mat: in a cold room that does more than adding water."
    )


def _notes(tank: TankCard, air: float, target: float, needed: Range | None) -> tuple[str, ...]:
    notes = [
        "Worked with the temperature factor of ISO 13788 (how much of the tank's warmth reaches "
        "the inner face), with still indoor air on both sides as in ISO 6946. Both standards are "
        "quoted from memory and were written for houses; nobody has published the factor of a "
        "tank's corner. Trust a thermometer taped to the glass, inside, above this.",
        "The band covers a draught on one side and dead air on the other, and a pane against a "
        "wall. A pane behind a curtain or a pool is colder.",
        "A few beads in the corners for an hour in the morning do no harm; running glass, day "
        "after day, is what to cure. That is common practice and has no source.",
    ]
    if needed is not None and needed.high > 0.0:
        notes.append(
            "Insulated glass takes less water out of the air, so the humidity and the temperature "
            "rise: check the thermostat and the gauge again after 48 hours."
        )
    if tank.room_temperature >= air:
        notes.append(
            "The room is as warm as the tank, so the inside of the glass stays dry; if it is wet "
            "all the same, look for splashes or for a surface cooler than the air."
        )
        pressure = mixture.STANDARD_PRESSURE
        vapour = mixture.vapour_pressure(tank.room_temperature, tank.room_humidity, pressure)
        if mixture.dew_point(vapour, pressure) > air:
            notes.append("The room is so damp that the OUTSIDE of the glass may mist.")
    return tuple(notes)
