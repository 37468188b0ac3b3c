"""Salt water mixed, measured and kept: the ``marine-pool`` calculator.

In: fresh water, the salinity wanted, a hydrometer's reading with its temperature and marking, what
evaporates. Out: salt to weigh out, what that hydrometer should read, the salinity it means, the
fresh water to pour in and how fast the pool grows saltier without it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from annotated_types import Interval

from calculators.errors import NoAnswer, OutOfRange
from calculators.fields import Answer
from calculators.keeping.cautions import CLIMB_OUT, DECHLORINATE
from calculators.quantities import (
    DAY,
    MASS,
    SALINITY,
    SALINITY_PER_DAY,
    SPECIFIC_GRAVITY,
    TEMPERATURE,
    VOLUME,
    WATER_PER_DAY,
    Range,
    Says,
    both,
    shown,
)
from calculators.surfaces import brine

MarkedFor = Literal["20/20 °C", "25/25 °C", "25/4 °C", "60/60 °F", "15/4 °C"]

MIX_HOLDS_WATER = 0.15
"""A marine mix may hold up to this share of water in its crystals [1]; common practice."""
READING_ERROR = 0.001
"""How well a household hydrometer is read [1]; common practice, no source."""
NEAR_ENOUGH = 0.002
"""Nobody needs to act on a smaller difference of salinity [kg/kg]; common practice."""

MARINE_MIX = (
    "Use a marine aquarium mix, never table salt or bath salt: they lack what sea water holds, and "
    "what is added to them can harm."
)
MIX_OUTSIDE = (
    "Mix in a clean bucket away from the tank, stir, and leave it until it is clear. Never tip dry "
    "salt into a pool that animals can reach."
)


@dataclass(frozen=True, kw_only=True)
class MarinePool(Answer):
    """What a marine pool needs."""

    salt: Annotated[
        Range,
        MASS,
        Says("Marine mix for that much fresh water", "up to the high end if the mix is damp"),
    ]
    specific_gravity: Annotated[
        float, SPECIFIC_GRAVITY, Says("Your hydrometer should then read", "at that temperature")
    ]
    salinity: Annotated[Range | None, SALINITY, Says("Salinity that the present reading means")]
    fresh_top_up: Annotated[
        float | None, WATER_PER_DAY, Says("Fresh water to pour in", "never sea water")
    ]
    creep: Annotated[float | None, SALINITY_PER_DAY, Says("Without it the salinity climbs by")]


def salts(water: float, salinity: float) -> float:
    """Return the dissolved salts [kg] that turn fresh water into sea water.

    Arguments: water [kg]; salinity wanted [kg of salt per kg of sea water], 0 to 0.05.
    Equation: salt = water S / (1 - S), from the definition of absolute salinity (TEOS-10).
    Errors: OutOfRange.
    """
    if not 0.0 <= salinity <= 0.05:
        raise OutOfRange("A salinity", salinity, 0.0, 0.05, "kg/kg", "TEOS-10")
    return water * salinity / (1.0 - salinity)


def salinity_creep(salinity: float, pool: float, evaporation: float) -> float:
    """Return how fast [1/s] a pool grows saltier when nothing, or sea water, makes up its loss.

    Arguments: salinity [kg/kg]; pool, the mass of its sea water [kg]; evaporation [kg/s].
    Equation: dS/dt = S E / m, conservation of salt (at the start: it quickens as a pool that is
    not topped up shrinks).
    """
    return salinity * evaporation / pool


def marine_pool(
    volume: Annotated[
        float,
        VOLUME,
        Interval(ge=1e-4, le=0.2),
        Says("Fresh water for the pool", "what you measure out, before the salt"),
    ] = 2e-3,
    salinity_wanted: Annotated[
        float,
        SALINITY,
        Interval(ge=0.010, le=0.045),
        Says("Salinity wanted", "35 is the sea's"),
    ] = 0.035,
    hydrometer_reading: Annotated[
        float | None,
        SPECIFIC_GRAVITY,
        Interval(ge=0.99, le=1.05),
        Says("What the hydrometer reads now", "leave empty if you are only mixing"),
    ] = None,
    hydrometer_temperature: Annotated[
        float,
        TEMPERATURE,
        Interval(ge=5.0, le=40.0),
        Says("Temperature of the water it floats in"),
    ] = 24.0,
    marking: Annotated[
        MarkedFor,
        Says("The temperatures printed on the hydrometer", "look for small print on its scale"),
    ] = "25/25 °C",
    evaporation: Annotated[
        float | None,
        WATER_PER_DAY,
        Interval(ge=0.0, le=5e-3 / DAY),
        Says("Water the pool loses a day", "mark the level with tape; empty if you do not know"),
    ] = None,
) -> MarinePool:
    """Return what a marine pool needs: volume [m³], salinities [kg/kg], evaporation [m³/s].

    Equations in ``salts``, ``salinity_creep`` and ``surfaces.brine`` (a GLASS hydrometer). Raises
    NoAnswer when the reading belongs to no sea water.
    """
    marked = next(item for item in brine.MARKINGS if item.name == marking)
    scale = (hydrometer_temperature, marked.sample_at, marked.water_at)
    water = volume * brine.density_of_water(hydrometer_temperature)
    salt = salts(water, salinity_wanted)
    expected = brine.specific_gravity(salinity_wanted, *scale)
    now = None if hydrometer_reading is None else _measured(hydrometer_reading, scale)
    present = salinity_wanted if now is None else now.middle
    creep = None
    if evaporation is not None:
        loss = evaporation * brine.density_of_water(hydrometer_temperature)
        creep = salinity_creep(present, water + salts(water, present), loss)
    return MarinePool(
        salt=Range(salt, salt, salt * (1.0 + MIX_HOLDS_WATER)),
        specific_gravity=expected,
        salinity=now,
        fresh_top_up=evaporation,
        creep=creep,
        advice=_advice(salt, water, expected, now, salinity_wanted, creep),
        cautions=(MARINE_MIX, DECHLORINATE, MIX_OUTSIDE, CLIMB_OUT),
        notes=_notes(marking, evaporation is None),
    )


def _measured(reading: float, scale: tuple[float, float, float]) -> Range:
    least, most = (brine.specific_gravity(salinity, *scale) for salinity in (0.0, 0.05))
    if not least <= reading <= most:
        raise NoAnswer(
            f"A reading of {reading:.4f} belongs to no sea water at that temperature: fresh water "
            f"would read {least:.4f} and the saltiest we know {most:.4f}. Check the temperature "
            "and the marking, and rinse the hydrometer in fresh water."
        )
    return Range(
        *(
            brine.salinity_from_specific_gravity(min(most, max(least, value)), *scale)
            for value in (reading, reading - READING_ERROR, reading + READING_ERROR)
        )
    )


def _advice(
    salt: float,
    water: float,
    expected: float,
    now: Range | None,
    wanted: float,
    creep: float | None,
) -> str:
    if now is None:
        first = (
            f"Weigh out {both(salt, MASS)} of marine mix, stir it in, and add a little more until "
            f"your hydrometer reads {expected:.4f}."
        )
    elif now.middle < wanted - NEAR_ENOUGH:
        more = salts(water, wanted) - salts(water, now.middle)
        first = (
            f"The pool is too weak. Take some of its water out, dissolve {both(more, MASS)} of "
            "marine mix in it, and pour it back over a day."
        )
    elif now.middle > wanted + NEAR_ENOUGH:
        # Salt stays: the same salt in more water.
        fresh = water * (salts(1.0, now.middle) / salts(1.0, wanted) - 1.0)
        fresh /= brine.density_of_water(20.0)
        first = (
            f"The pool is too salty. Pour in {both(fresh, VOLUME)} of fresh, dechlorinated water "
            "over a day; take pool water out first if it would overflow."
        )
    else:
        first = "Leave the salt as it is: the pool is near enough to what you want."
    if creep is None:
        return first + " Then keep the level with fresh water only."
    if creep <= 0.0:
        return first
    days = NEAR_ENOUGH / creep / DAY
    often = "every day" if days < 1.5 else f"at least every {min(days, 14.0):.0f} days"
    return f"{first} Keep the level with fresh water only, {often}."


def _notes(marking: str, unknown: bool) -> tuple[str, ...]:
    weights = [
        f"{item.name}: {brine.specific_gravity(0.035, 25.0, item.sample_at, item.water_at):.4f}"
        for item in brine.MARKINGS
    ]
    notes = [
        f"Your scale is taken as marked {marking}. The same sea water (35 g/kg, 25 °C, 77 °F) "
        f"reads, by the marking, {'; '.join(weights)}: a wrong marking moves the salinity by up to "
        "4 g/kg. If nothing is printed, float it in fresh water at a known temperature first.",
        "Densities are those of the 1980 equation of state for sea water, which the TEOS-10 "
        "library confirms. They hold for a glass hydrometer; swing-arm gauges are rougher. A "
        f"household reading is good to about ± {READING_ERROR:.3f}, or "
        f"± {shown(0.0013, SALINITY, 'metric')}.",
        "The weight is of dissolved salts. A marine mix holds some water, up to about 15 %, so "
        "measure and do not trust the scales alone (common practice). The maker's instructions "
        "decide.",
    ]
    if unknown:
        notes.append(
            "For the water lost a day, mark the level with tape and measure what fills it up again "
            "after two days, or use the evaporation page."
        )
    return tuple(notes)
