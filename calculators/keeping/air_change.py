"""How fast a tank changes its air: the ``air-change`` calculator.

In: gaps and mesh measured with a ruler, or the water poured in, or two readings after venting.
Out: air changes by each method, and together. The methods share nothing but the tank's size and
the room, so that agreement means something.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

from annotated_types import Interval

from calculators.errors import InputError, Problem
from calculators.fields import Answer, Hands
from calculators.keeping.cautions import STALE_AIR
from calculators.keeping.inputs import AirTemperature
from calculators.keeping.leaks import (
    GAPS_FACTOR,
    LEAST,
    TOP_UP_SPREAD,
    Air,
    combine,
    flow_through_openings,
    from_readings,
    from_water,
    vapour_in_air,
    without_pump,
)
from calculators.quantities import (
    AIR_CHANGES,
    AREA,
    DAY,
    HOUR,
    LENGTH,
    MINUTES,
    RELATIVE_HUMIDITY,
    SHARE,
    VAPOUR_PER_DAY,
    WATER_PER_DAY,
    Range,
    Says,
)
from calculators.tank.card import TankCard
from calculators.tank.geometry import Tank
from calculators.tank.openings import assumed_air_changes


@dataclass(frozen=True)
class Method:
    """Air changes by one method."""

    method: Annotated[str, Says("From")]
    air_changes: Annotated[Range, AIR_CHANGES, Says("Air changes")]


@dataclass(frozen=True, kw_only=True)
class AirChange(Answer):
    """Air that comes in from the room through lid and gaps; a pump's air is not counted."""

    air_changes: Annotated[
        Range,
        AIR_CHANGES,
        Hands("tank", "air_changes", "only if it was measured here"),
        Says("Air changes an hour, all taken together", "without any air pump"),
    ]
    vapour_lost: Annotated[
        Range, VAPOUR_PER_DAY, Says("Water vapour that leaves this way", "below nought: comes in")
    ]
    agreement: Annotated[str, Says("Do the methods agree?")]
    methods: Annotated[tuple[Method, ...], Says("Method by method")]


def air_change(
    tank: TankCard,
    air_temperature: AirTemperature = 26.0,
    relative_humidity: Annotated[
        float,
        RELATIVE_HUMIDITY,
        Interval(ge=0.05, le=1.0),
        Says("Relative humidity, as it usually is", "in the tank, days after any change"),
    ] = 0.75,
    gap_area: Annotated[
        float | None,
        AREA,
        Interval(ge=0.0, le=0.5),
        Says("Gaps you can see, area in all", "length times width of every slit; empty to skip"),
    ] = None,
    gap_rise: Annotated[
        float,
        LENGTH,
        Interval(ge=0.0, le=1.5),
        Says("Height from the lowest gap to the highest", "0 if all are in the lid"),
    ] = 0.0,
    mesh_area: Annotated[
        float | None, AREA, Interval(ge=0.0, le=3.0), Says("Uncovered mesh, area", "empty to skip")
    ] = None,
    mesh_open: Annotated[
        float,
        SHARE,
        Interval(ge=0.05, le=0.95),
        Says("How much of the mesh is holes", "60 % for common insect mesh"),
    ] = 0.6,
    top_up: Annotated[
        float | None,
        WATER_PER_DAY,
        Interval(ge=1e-6 / DAY, le=5e-3 / DAY),
        Says("Water you pour in a day", "pools, moss and spraying, mean of a week; empty to skip"),
    ] = None,
    first_reading: Annotated[
        float | None,
        RELATIVE_HUMIDITY,
        Interval(ge=0.05, le=1.0),
        Says("First reading after venting", "lid shut, temperature back; empty to skip"),
    ] = None,
    second_reading: Annotated[
        float | None,
        RELATIVE_HUMIDITY,
        Interval(ge=0.05, le=1.0),
        Says("Second reading after venting", "empty to skip"),
    ] = None,
    minutes_between: Annotated[
        float, MINUTES, Interval(ge=60.0, le=DAY), Says("Time between the two readings")
    ] = 1800.0,
) -> AirChange:
    """Return air changes by every method that has its measures, else assumed for the lid.

    Temperatures [°C], humidities as fractions, areas [m²], water [m³/s], times [s]. Equations in
    ``tank.openings``, ``air_changes_from_water``, ``decay_rate``. Sea-level pressure. Raises
    InputError for half a pair of readings, NoAnswer when a measure contradicts the rest.
    """
    size = Tank.of(tank)
    air = Air(
        vapour_in_air(air_temperature, relative_humidity),
        vapour_in_air(tank.room_temperature, tank.room_humidity),
    )
    pump = tank.air_flow / size.air_volume if tank.pump_draws_from == "room" else 0.0
    methods: list[Method] = []
    if gap_area is not None or mesh_area is not None:
        flow = flow_through_openings(tank, air_temperature, relative_humidity, gap_area, gap_rise,
                     mesh_area, mesh_open)  # fmt: skip
        changes = max(LEAST, flow / size.air_volume)
        band = Range(changes, changes / GAPS_FACTOR, changes * GAPS_FACTOR)
        methods.append(Method("gaps and mesh", band))
    if top_up is not None:
        band = from_water(top_up, size.air_volume, air, air_temperature, relative_humidity, tank)
        methods.append(Method("water poured in", without_pump(band, pump)))
    if first_reading is not None or second_reading is not None:
        if first_reading is None or second_reading is None:
            name = "first_reading" if first_reading is None else "second_reading"
            raise InputError(
                (Problem(name, "Readings after venting: type both, or leave both empty."),)
            )
        band = from_readings(
            first_reading, second_reading, minutes_between, relative_humidity, air_temperature, air
        )
        methods.append(Method("two readings after venting", without_pump(band, pump)))
    measured = bool(methods)
    if not measured:
        methods.append(Method("the kind of lid alone (assumed)", assumed_air_changes(tank.lid)))
    together, agree = combine([item.air_changes for item in methods])
    losses = [changes * size.air_volume * (air.tank - air.room) for changes in together]
    return AirChange(
        air_changes=together,
        vapour_lost=Range(losses[0], min(losses), max(losses)),
        agreement=_agreement(len(methods), agree, measured),
        methods=tuple(methods),
        advice=_advice(together, measured, agree, air.tank > air.room),
        cautions=(STALE_AIR,),
        notes=_notes(methods, pump),
    )


def _agreement(count: int, agree: bool, measured: bool) -> str:
    if not measured:
        return "nothing is measured yet"
    if count == 1:
        return "only one method: nothing to compare it with"
    return "yes, their bands overlap" if agree else "no: at least one measure is wrong"


def _advice(together: Range, measured: bool, agree: bool, dries: bool) -> str:
    number = _figure(together.middle)
    if not measured:
        return (
            "Measure before you seal anything. Note the water you pour in for a week, or the width "
            "of every slit, and come back: from the kind of lid alone nobody can say better than "
            f"{_span(together)} an hour."
        )
    if not agree:
        return (
            "Measure again before you change the lid: the methods contradict each other. Start "
            "with the gauge (salt test), then weigh the water you pour in for three days, and look "
            "for a drip or a splash."
        )
    if together.middle > 20.0 / HOUR:
        return (
            f"Cover most of the opening: at about {number} air changes an hour no pool can keep "
            "up. Film over mesh is a test and a stop-gap; a lid of glass with one gap you know is "
            "the lasting cure."
        )
    start = f"Put {number} air changes an hour into your tank card. "
    if not dries:
        return start + (
            "The room's air holds as much vapour as the tank's: opening the lid will not dry it "
            "now."
        )
    if together.middle > 2.0 / HOUR:
        return start + (
            "That is a lot. If the tank is too dry, close the largest gap first, leave one you "
            "know, and judge after 24 hours."
        )
    if together.high < 0.1 / HOUR:
        return start + (
            "That is very little: open a small gap you know, and look at the fresh-air page."
        )
    return start + "If the tank is too dry or too damp, change one gap and judge after 24 hours."


def _figure(changes: float) -> str:
    """Return air changes an hour with the two figures they deserve."""
    hourly = HOUR * changes
    return f"{hourly:.0f}" if hourly >= 10.0 else f"{hourly:.2g}"


def _span(band: Range) -> str:
    return f"{_figure(band.low)} to {_figure(band.high)} air changes"


def _notes(methods: Sequence[Method], pump: float) -> tuple[str, ...]:
    names = {item.method for item in methods}
    notes = []
    if "gaps and mesh" in names:
        notes.append(
            "From gaps: warm, moist air is light and rises out of the high gaps. Published "
            "equations for openings are used, but draughts, hidden slits and fine mesh move the "
            "result up to threefold either way. That factor is our assumption; it has no source."
        )
    if "water poured in" in names:
        notes.append(
            "From water: in a steady tank all you pour in leaves with the air. Water that soaks "
            "into the substrate, drips out or is carried off by the animals makes this too high; "
            "taking in water from a wet floor makes it too low. We allow "
            f"{100.0 * TOP_UP_SPREAD:.0f} % for your measure, 3 % for each gauge reading and a "
            "tenth for what fills the tank."
        )
    if "two readings after venting" in names:
        notes.append(
            "From two readings: falling readings are taken as air change alone, so wet pools make "
            "that a low end. Climbing readings are air change and evaporation together; the usual "
            "humidity tells their shares, with pools 0 to 3 °C (0 to 5 °F) below the air (common "
            "practice, no source). Wait until the temperature is back before the first reading."
        )
    if pump > 0.0:
        notes.append(
            f"Your air pump brings another {pump * HOUR:.2f} air changes an hour from the room. "
            "They are taken off the water and the readings, and are not in the answer."
        )
    notes.append("No gauge can say this directly: where two methods agree, believe them.")
    return tuple(notes)
