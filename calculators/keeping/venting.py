"""What opening the lid for a while does: the ``venting`` calculator.

In: the tank, a gap, how long. Out: humidity over time, when it reaches the target, how it climbs
back; first of all whether the room's air can dry the tank at all.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from annotated_types import Interval

from calculators.air import mixture
from calculators.errors import InputError, NoAnswer, Problem
from calculators.fields import Answer, Chart
from calculators.keeping.targets import target
from calculators.quantities import (
    AREA,
    DAY,
    HOUR,
    HOURS,
    MINUTES,
    RELATIVE_HUMIDITY,
    TEMPERATURE,
    Says,
    both,
    shown,
)
from calculators.tank.balance import balance
from calculators.tank.card import TankCard
from calculators.tank.course import Course, Vent, course
from calculators.tank.fit import fit
from calculators.tank.geometry import Tank
from calculators.tank.nodes import Room, State
from calculators.tank.rates import Climate

GAP_FACTOR = 2.0
"""The flow through a gap may be off by this factor either way: draughts, edges; assumed."""
MOST_ROWS = 240
CLEAR_OF_ROOM = 1.0
"""Dew points closer than this [K] cannot be told apart with household gauges."""
NOTICED = 0.02
"""A fall of humidity a household gauge shows [fraction]; makers usually claim 0.03."""

STAY = (
    "Never leave a vented tank unattended: crabs climb. Count them before you open and after you "
    "close, and keep children and pets away."
)
CABLES = (
    "Keep cables, curtains and lamps clear of the gap, and support the lid so that it cannot slip. "
    "Do not let water from the lid run into a plug or a thermostat."
)


@dataclass(frozen=True)
class Moment:
    """The tank's air at one time."""

    time: Annotated[float, HOURS, Says("Hours after opening")]
    relative_humidity: Annotated[float, RELATIVE_HUMIDITY, Says("Relative humidity")]
    air_temperature: Annotated[float, TEMPERATURE, Says("Air temperature")]
    dew_point: Annotated[float, TEMPERATURE, Says("Dew point")]


@dataclass(frozen=True, kw_only=True)
class Venting(Answer):
    """What venting does, and what the room allows."""

    verdict: Annotated[str, Says("Can this room dry the tank?")]
    room_dew_point: Annotated[float, TEMPERATURE, Says("Dew point of the room")]
    tank_dew_point: Annotated[float, TEMPERATURE, Says("Dew point of the tank, before")]
    driest_possible: Annotated[
        float, RELATIVE_HUMIDITY, Says("Driest the room can make it", "its air, tank-warm")
    ]
    lowest_humidity: Annotated[float, RELATIVE_HUMIDITY, Says("Lowest humidity while open")]
    minutes_to_target: Annotated[
        float | None, MINUTES, Says("From opening to the target", "none if it is not reached")
    ]
    rebound_hour: Annotated[float, RELATIVE_HUMIDITY, Says("Humidity an hour after closing")]
    rebound: Annotated[float, RELATIVE_HUMIDITY, Says("Humidity a day after closing")]
    humidity_over_time: Annotated[
        tuple[Moment, ...],
        Chart(along="time", lines=("relative_humidity",)),
        Says("Hour by hour"),
    ]


def venting(
    tank: TankCard,
    gap: Annotated[
        float,
        AREA,
        Interval(ge=1e-4, le=0.5),
        Says("Gap", "length times width of the opening when the lid is slid back"),
    ] = 0.015,
    minutes: Annotated[
        float, MINUTES, Interval(ge=60.0, le=DAY), Says("Open for", "while somebody is at home")
    ] = 7200.0,
) -> Venting:
    """Return what a ``gap`` [m²] open for ``minutes`` [s] does to a tank.

    The tank is fitted to the card's reading where there is one; where nothing fits, the reading
    sets the air at the start and that alone. Equations: ``tank.course`` with
    ``tank.openings.exchange_flow``; constant room; sea-level pressure. Raises InputError for a gap
    larger than the lid, NoAnswer.
    """
    whole = Tank.of(tank)
    if gap > whole.floor_area:
        sentence = (
            f"Gap: {both(gap, AREA)} is more than the whole lid, {both(whole.floor_area, AREA)}."
        )
        raise InputError((Problem("gap", f"{sentence} Measure the opening again."),))
    room = Room.of(tank)
    whole, state, fits = _start(whole, room, tank)
    found = course(
        whole, Climate(room, room), 0.0, minutes + DAY, [Vent(0.0, minutes, gap)], start=state
    )
    wanted = target(tank.species)
    room_dew = mixture.dew_point(room.vapour_pressure, room.pressure)
    tank_dew = mixture.dew_point(state.vapour_pressure, room.pressure)
    driest = min(1.0, mixture.relative_humidity(state.air, room.vapour_pressure, room.pressure))
    begin = found.humidity[0]
    time = found.time_to(wanted, 0.0) if begin > wanted else None
    open_rows = [h for t, h in zip(found.times, found.humidity, strict=True) if t <= minutes]
    lowest, after = min(open_rows), found.humidity_at(minutes + DAY)
    reached = time if time is not None and time <= minutes else None
    return Venting(
        verdict=_verdict(room_dew, tank_dew, driest, wanted),
        room_dew_point=room_dew,
        tank_dew_point=tank_dew,
        driest_possible=driest,
        lowest_humidity=lowest,
        minutes_to_target=reached,
        rebound_hour=found.humidity_at(minutes + HOUR),
        rebound=after,
        humidity_over_time=_rows(found, minutes, room.pressure),
        advice=_advice(room_dew, tank_dew, driest, wanted, begin, lowest, reached, after),
        cautions=(STAY, CABLES),
        notes=_notes(found.glass_water[0], fits, tank.reading is not None),
    )


def _start(whole: Tank, room: Room, card: TankCard) -> tuple[Tank, State, bool]:
    """Return the tank fitted to its reading, its state, and whether there is a fit."""
    try:
        found = fit(whole, room, card.true_reading, card.water_poured)
    except NoAnswer:
        state = balance(whole, room).state
        reading = max(card.true_reading or 0.0, 0.05)  # no gauge reads less and means it
        vapour = mixture.vapour_pressure(state.air, reading, room.pressure)
        return whole, state._replace(vapour_pressure=vapour), False
    return found.tank, found.balance.state, True


def _rows(found: Course, closes: float, pressure: float) -> tuple[Moment, ...]:
    """Return the course by minutes around opening and closing, by a quarter of an hour else."""
    marks = {0.0, closes, found.times[-1]}
    for edge in (0.0, closes):
        marks |= {edge + 60.0 * minute for minute in (1, 2, 3, 5, 7, 10, 15, 20, 30, 45)}
    spacing = found.times[-1] / (MOST_ROWS - 25)
    marks |= {k * spacing for k in range(MOST_ROWS - 24)}
    return tuple(_moment(found, t, pressure) for t in sorted(marks) if t <= found.times[-1])


def _moment(found: Course, time: float, pressure: float) -> Moment:
    air = found.at([state.air for state in found.states], time)
    vapour = found.at([state.vapour_pressure for state in found.states], time)
    return Moment(
        time=time,
        relative_humidity=found.humidity_at(time),
        air_temperature=air,
        dew_point=mixture.dew_point(vapour, pressure),
    )


def _percent(humidity: float) -> str:
    return shown(humidity, RELATIVE_HUMIDITY, "metric")


def _verdict(room: float, tank: float, driest: float, wanted: float) -> str:
    dew_points = (
        f"dew point {both(room, TEMPERATURE)} in the room, {both(tank, TEMPERATURE)} inside"
    )
    if room >= tank:
        return f"No: the room's air holds as much vapour as the tank's or more ({dew_points})."
    if room > tank - CLEAR_OF_ROOM:
        return f"Hardly: room and tank hold nearly the same vapour ({dew_points})."
    if driest > wanted:
        return (
            f"Some, but not to {_percent(wanted)}: the room's air, warmed in the tank, reads "
            f"{_percent(driest)} by itself ({dew_points})."
        )
    return f"Yes: the room's air holds less vapour than the tank's ({dew_points})."


def _advice(
    room: float,
    tank: float,
    driest: float,
    wanted: float,
    begin: float,
    lowest: float,
    reached: float | None,
    after: float,
) -> str:
    if begin <= wanted:
        return (
            f"Leave the lid shut: the tank stands at {_percent(begin)}, not above the "
            f"{_percent(wanted)} to aim for."
        )
    if room > tank - CLEAR_OF_ROOM:
        return (
            "Do not vent now. Dry the room first, or wait for an hour when its dew point is lower "
            "than the tank's; then take wet moss out and turn air-stones down."
        )
    if begin - lowest < NOTICED:
        first = (
            f"Expect hardly any change, {_percent(begin)} to {_percent(lowest)}: what is wet "
            "inside gives vapour as fast as this gap lets it out. Dry the glass, take wet moss out "
            "or turn air-stones down first."
        )
    elif reached is not None:
        first = (
            f"Open the gap while you are there, and look after "
            f"{shown(reached, MINUTES, 'metric')}: about then it should read {_percent(wanted)}."
        )
    elif driest > wanted:
        first = (
            f"Vent if you like, but {_percent(wanted)} is out of reach today: expect "
            f"{_percent(lowest)} at best. A drier room, or less that is wet inside, does more."
        )
    else:
        first = (
            f"Open the gap while you are there: expect {_percent(lowest)} at the lowest. For more, "
            "take out what is wet before you widen the gap."
        )
    if after > wanted + NOTICED:
        first += (
            f" Shut again, the tank climbs back to {_percent(after)} by the next day: venting is a "
            "relief, not a cure. Look for the cause."
        )
    return f"{first} Judge it the next day at the same hour."


def _notes(glass_water: float, fits: bool, measured: bool) -> tuple[str, ...]:
    notes = [
        f"How sure: the flow through a gap is known within a factor of about {GAP_FACTOR:.0f} "
        "(draughts, edges of the lid; our assumption), and so are the minutes. Which way the "
        "humidity goes, and the driest possible, rest on the dew points and are far surer.",
        "The lid is taken as slid back along its short side, the room as it is on the tank card "
        "all the time, the thermostat as steady. Pools 5 cm (2 in) deep; moss freshly damped; "
        "common practice, no source.",
        "Air answers in minutes, the glass in half an hour, pools and substrate over days: that is "
        "why it climbs back.",
    ]
    if glass_water > 1e-3:
        notes.append(
            f"About {1000.0 * glass_water:.0f} g of water hangs on the glass, worked out from when "
            "drops begin to run. It must dry before the air can: wipe it off and venting works "
            "sooner."
        )
    if not fits:
        notes.append(
            "Nothing we know of makes a tank with these measures read what your gauge reads: check "
            "the gauge with salt. The air starts at your reading and drifts to what the measures "
            "give."
        )
    elif not measured:
        notes.append(
            "No reading is on your tank card, so the leak of its lid is only assumed. Type what "
            "your gauge reads, and this is worked out for your tank."
        )
    return tuple(notes)
