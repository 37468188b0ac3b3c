"""Where the water comes from and where it goes: the ``tank-balance`` calculator.

In: a tank card, fitted to the gauge's reading where there is one. Out: every source and sink in
grams a day, the dew point against every surface, and the limit the coldest glass sets.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Annotated

from calculators.fields import Answer, Chart
from calculators.keeping import targets
from calculators.keeping.cautions import MAT
from calculators.quantities import (
    AIR_CHANGES,
    DAY,
    RELATIVE_HUMIDITY,
    SHARE,
    TEMPERATURE,
    TEMPERATURE_DIFFERENCE,
    VAPOUR_PER_DAY,
    Range,
    Says,
    both,
    shown,
)
from calculators.tank.balance import Balance, balance
from calculators.tank.card import TankCard
from calculators.tank.fit import Fit, fit
from calculators.tank.geometry import Tank
from calculators.tank.nodes import Room
from calculators.tank.openings import assumed_air_changes

A_TRACE = 0.05e-3 / DAY
"""Vapour [kg/s] too little to list: a twentieth of a gram a day."""
WITHIN = 0.5
"""How near its dew point [K] a surface counts as about to run wet; about what films allow."""


@dataclass(frozen=True)
class Path:
    """Water vapour by one path, into the tank's air or out of it."""

    path: Annotated[str, Says("Path")]
    into: Annotated[float, VAPOUR_PER_DAY, Says("Into the air")]
    out: Annotated[float, VAPOUR_PER_DAY, Says("Out of the air")]


@dataclass(frozen=True)
class Surface:
    """A surface against the dew point; below 0 K water forms on it."""

    surface: Annotated[str, Says("Surface")]
    temperature: Annotated[float, TEMPERATURE, Says("Temperature")]
    margin: Annotated[float, TEMPERATURE_DIFFERENCE, Says("Above the dew point by")]


@dataclass(frozen=True, kw_only=True)
class TankBalance(Answer):
    """The tank at rest with its heater on."""

    relative_humidity: Annotated[Range, RELATIVE_HUMIDITY, Says("Relative humidity")]
    air_temperature: Annotated[float, TEMPERATURE, Says("Air temperature")]
    dew_point: Annotated[float, TEMPERATURE, Says("Dew point")]
    highest_humidity: Annotated[float, RELATIVE_HUMIDITY, Says("The coldest glass allows at most")]
    water_lost: Annotated[
        float, VAPOUR_PER_DAY, Says("Water lost to the room", "what you pour in again")
    ]
    air_changes: Annotated[float, AIR_CHANGES, Says("Air swapped with the room")]
    share_on: Annotated[float, SHARE, Says("The mat is on", "share of the time")]
    water: Annotated[
        tuple[Path, ...],
        Chart(along="path", lines=("into", "out")),
        Says("Water vapour in and out"),
    ]
    surfaces: Annotated[tuple[Surface, ...], Says("Each surface against the dew point")]


def tank_balance(tank: TankCard) -> TankBalance:
    """Return where vapour comes from and goes to in ``tank``.

    The steady balance of ``calculators.tank.balance``; with a reading on the card its leak or
    wetness is fitted first. Errors: NoAnswer where heat and mass do not close to 1e-6, or where
    nothing reproduces the reading.
    """
    room = Room.of(tank)
    found = fit(Tank.of(tank), room, tank.true_reading, tank.water_poured)
    now = found.balance
    pump = tank.air_flow if tank.pump_draws_from == "room" else 0.0
    return TankBalance(
        relative_humidity=_band(found, room),
        air_temperature=now.air_temperature,
        dew_point=now.dew_point,
        highest_humidity=now.highest_humidity,
        water_lost=-now.vapour.air_change,
        air_changes=found.tank.air_changes + pump / found.tank.air_volume,
        share_on=now.share_on,
        water=_paths(now),
        surfaces=_surfaces(now),
        advice=_advice(now, tank),
        notes=_notes(found),
        cautions=_cautions(now),
    )


def _band(found: Fit, room: Room) -> Range:
    middle = found.balance.relative_humidity
    if found.evidence != "assumed" or found.tank.card.air_changes is not None:
        return Range(middle, middle, middle)
    leak = assumed_air_changes(found.tank.card.lid)
    ends = [
        balance(replace(found.tank, air_changes=each), room, found.balance.state).relative_humidity
        for each in (leak.low, leak.high)
    ]
    return Range(middle, min(middle, *ends), max(middle, *ends))


def _paths(now: Balance) -> tuple[Path, ...]:
    names = {
        "fresh_pool": "Fresh pool",
        "marine_pool": "Marine pool",
        "substrate": "Substrate",
        "moss": "Damp moss",
        "bubbles": "Bubbles of the air-stones",
        "air_change": "Air change with the room",
        "heated_glass": "Water on the heated glass",
        "panes": "Water on the panes",
        "lid": "Water on the lid",
        "fog": "Fog",
    }
    flows = now.vapour._asdict()
    return tuple(
        Path(label, max(flows[name], 0.0), max(-flows[name], 0.0))
        for name, label in names.items()
        if abs(flows[name]) > A_TRACE
    )


def _surfaces(now: Balance) -> tuple[Surface, ...]:
    places = (
        ("Panes", now.panes_temperature),
        ("A corner of the panes", now.corner_temperature),
        ("Lid", now.lid_temperature),
        ("Heated glass", now.wall_temperature),
        ("Substrate", now.substrate_temperature),
        ("Fresh pool", now.fresh_pool_temperature),
        ("Marine pool", now.marine_pool_temperature),
        ("Damp moss", now.moss_temperature),
    )
    return tuple(
        Surface(name, warmth, warmth - now.dew_point)
        for name, warmth in places
        if warmth is not None
    )


def _advice(now: Balance, card: TankCard) -> str:
    lost = -now.vapour.air_change
    on_glass = now.condensation
    reading = shown(now.relative_humidity, RELATIVE_HUMIDITY, "metric")
    if now.heater_too_small:
        return (
            f"The mat is too small: it holds {both(now.air_temperature, TEMPERATURE)}, not "
            f"{both(card.set_point, TEMPERATURE)}. Mend the heat before the humidity."
        )
    where = (
        f"about {both(lost, VAPOUR_PER_DAY)} leaves with the air"
        if lost >= 0.0
        else f"the room’s air brings in about {both(-lost, VAPOUR_PER_DAY)}"
    )
    if on_glass > A_TRACE:
        where += f" and {both(on_glass, VAPOUR_PER_DAY)} runs down inside"
    which = targets.side(now.relative_humidity, card.species)
    ending = {
        "dry": "It is too dry: see which one change comes first on the page “Too dry”.",
        "damp": "It is too damp: see which one change comes first on the page “Too damp”.",
        "in range": "That is in range. Change nothing.",
    }[which]
    return f"At {reading}, {where}. {ending}"


def _notes(found: Fit) -> tuple[str, ...]:
    wet = shown(found.tank.wetness, SHARE, "metric")
    notes = {
        "assumed": (
            "The lid’s leak and the wetness of the substrate are assumed: the true humidity may "
            "lie anywhere in the band. A reading of your gauge narrows it."
        ),
        "leak from the reading": (
            "The leak was chosen so that the tank comes out at your reading: without the pump’s "
            f"air, {both(found.tank.air_changes, AIR_CHANGES)}, if "
            f"{wet} of the substrate’s surface is wet (assumed)."
        ),
        "wetness from the reading": (
            f"The wetness was chosen so that the tank comes out at your reading: "
            f"{wet} of the substrate’s surface gives off water."
        ),
        "leak from the water, wetness from the reading": (
            f"The water you pour in and your reading together give "
            f"air changes of {both(found.tank.air_changes, AIR_CHANGES)}, and "
            f"{wet} of the substrate’s surface wet."
        ),
    }
    told = [notes[found.evidence]]
    if found.open_question and found.evidence != "assumed":
        told.append(found.open_question)
    told.append(
        "Each amount is good to a factor of about two; that they add up to nothing is exact. "
        "How wet your substrate is, and how leaky your lid, nobody knows until it is measured."
    )
    return tuple(told)


def _cautions(now: Balance) -> tuple[str, ...]:
    told = []
    near = [place for place in _surfaces(now)[:3] if place.margin < WITHIN]
    if near:
        names = ", ".join(place.surface.lower() for place in near)
        told.append(
            f"Water forms on: {names}. Wipe it off, and look for wet substrate below, drips near "
            "plugs, and mould."
        )
    if now.mat_temperature is not None and now.share_on > 0.0:
        told.append(MAT)
    return tuple(told)
