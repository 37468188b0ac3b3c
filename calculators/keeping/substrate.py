"""Sand and coir: how much, how damp, and where sprayed water goes: the ``substrate`` calculator.

In: the tank's floor, the tallest crab, the mix, water sprayed a day. Out: depth, volume and dry
mass, water to add, and the depth of free water that may stand at the base after some days.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from annotated_types import Interval

from calculators.air import mixture
from calculators.fields import Answer
from calculators.keeping.cautions import DECHLORINATE
from calculators.keeping.inputs import AirTemperature, RelativeHumidity
from calculators.quantities import (
    COUNT,
    DAY,
    DAYS,
    HEAVY_MASS,
    LENGTH,
    THICKNESS,
    VOLUME,
    WATER_PER_DAY,
    Decimals,
    Range,
    Says,
    both,
)
from calculators.surfaces import evaporation as surface
from calculators.surfaces.brine import density_of_water
from calculators.tank.card import TankCard
from calculators.tank.geometry import WETNESS, Tank

LEAST_DEPTH = 0.15
"""Least depth [m]; common practice, no source."""
TIMES_THE_CRAB = 3.0
"""Depth over the tallest crab in its shell [1]; common practice, no source."""

SAND_DENSITY = Range(1515.0, 1400.0, 1700.0)
"""Dry sand, poured [kg/m³]: Incropera & DeWitt, 7th ed., table A.3 (from memory); the band from
memory."""
COIR_DENSITY = Range(80.0, 40.0, 120.0)
"""Dry, loosened coir [kg/m³]: 40 to 80 in five lots (Evans, Konduru & Stamps 1996, HortScience
31:965, abstract read), 80 to 120 in seven others (a Mexican study, abstract read)."""
SETTLES = Range(0.92, 1.0, 0.85)
"""Volume of the mix over that of its parts [1]: coir goes between the grains; assumed."""
DAMP_SAND = Range(0.06, 0.03, 0.09)
"""Water in sand that holds a tunnel and gives none when squeezed [volume/volume]; assumed: sand
left to drain keeps about 0.10 (field capacity, from memory)."""
DAMP_COIR = Range(0.45, 0.30, 0.60)
"""The same for coir; drained coir keeps 0.14 to 0.79 (Abad et al. 2005, abstract read)."""
HOLDS_SAND, HOLDS_COIR = 0.10, 0.75
"""What each keeps against gravity [volume/volume]: sand from memory; coir 0.73 to 0.80 (Evans)."""
DRAINABLE = Range(0.25, 0.33, 0.15)
"""Room for free water between drained grains [1]: specific yield of sands, 0.21 to 0.27 (Johnson
1967, USGS WSP 1662-D, from memory), widened for the coir."""
SURFACE_COOLER = 1.0
"""The surface is cooler than the air by so much [K]; assumed."""

LEAVE_THE_BURIED = (
    "Do not dig where a crab may be buried: a moulting crab left alone for weeks is well. Look "
    "through the glass at the base instead, and siphon at one corner."
)
HEAVY = (
    "Wet sand is heavy. Check that the stand and the glass are made for it, and build it up in the "
    "tank, not before you carry it."
)


@dataclass(frozen=True, kw_only=True)
class Substrate(Answer):
    """A bed of sand and coir, and the water in it."""

    depth_needed: Annotated[float, LENGTH, Says("Depth needed")]
    volume: Annotated[float, VOLUME, Says("Volume of the mix", "at that depth")]
    dry_mass: Annotated[Range, HEAVY_MASS, Says("Dry mass, sand and coir")]
    sand_mass: Annotated[Range, HEAVY_MASS, Says("of it dry sand")]
    coir_mass: Annotated[Range, HEAVY_MASS, Says("of it dry coir")]
    water_to_add: Annotated[
        Range, VOLUME, Says("Water to mix in", "a little at a time, dechlorinated")
    ]
    free_water_depth: Annotated[
        Range, THICKNESS, Says("Free water at the base after those days", "what may stand there")
    ]


def free_water(
    added: float, lost: float, time: float, room_left: float, floor: float, drainable: float
) -> float:
    """Return the depth [m] of free water at the base after ``time`` [s].

    Arguments: added and lost [m³/s]; room_left [m³], what the bed still soaks up first; floor
    [m²]; drainable [1], see DRAINABLE. Equation: conservation of water,
    max(0, (added - lost) time - room_left) / (floor drainable).
    """
    excess = max(0.0, (added - lost) * time - room_left)
    return excess / (floor * drainable)


def substrate(
    tank: TankCard,
    tallest_crab: Annotated[
        float,
        LENGTH,
        Interval(ge=0.01, le=0.25),
        Says("Height of the tallest crab", "in its shell, standing"),
    ] = 0.05,
    sand_parts: Annotated[
        float,
        COUNT,
        Decimals(1),
        Interval(ge=1.0, le=10.0),
        Says("Parts of sand to one part of coir", "by volume; 5 is usual"),
    ] = 5.0,
    sprayed: Annotated[
        float,
        WATER_PER_DAY,
        Interval(ge=0.0, le=5e-3 / DAY),
        Says("Water sprayed or poured on a day", "0 if none"),
    ] = 0.0,
    days: Annotated[
        float,
        DAYS,
        Interval(ge=0.0, le=365 * DAY),
        Says("For how many days", "since the bed was just damp"),
    ] = 14 * DAY,
    air_temperature: AirTemperature = 26.0,
    relative_humidity: RelativeHumidity = 0.75,
) -> Substrate:
    """Return a bed of sand and coir: lengths [m], water [m³/s], time [s].

    Floor and present depth come from the tank card. Depth and parts are common practice; masses
    from the densities above; free water from ``free_water`` on the PRESENT bed. Its low end: the
    surface evaporates like half free water and the bed soaks up what it can; its high end: almost
    nothing evaporates and all runs straight down along the glass.
    """
    size = Tank.of(tank)
    depth = max(LEAST_DEPTH, TIMES_THE_CRAB * tallest_crab)
    volume = depth * size.floor_area
    sand_share = sand_parts / (sand_parts + 1.0)
    sand = _mass(volume * sand_share, SAND_DENSITY)
    coir = _mass(volume * (1.0 - sand_share), COIR_DENSITY)
    damp = [
        sand_share * of_sand + (1.0 - sand_share) * of_coir
        for of_sand, of_coir in zip(DAMP_SAND, DAMP_COIR, strict=True)
    ]
    holds = sand_share * HOLDS_SAND + (1.0 - sand_share) * HOLDS_COIR
    bed = tank.substrate_depth * size.floor_area
    soaks = bed * max(0.0, holds - damp[0])
    lost = _evaporation(size, air_temperature, relative_humidity)
    depths = [
        min(tank.substrate_depth, free_water(sprayed, loss, days, room, size.floor_area, drainable))
        for loss, room, drainable in (
            (lost.middle, soaks, DRAINABLE.middle),
            (lost.high, bed * max(0.0, holds - damp[1]), DRAINABLE.low),
            (lost.low, 0.0, DRAINABLE.high),
        )
    ]
    water = Range(*depths)
    return Substrate(
        depth_needed=depth,
        volume=volume,
        dry_mass=Range(*(a + b for a, b in zip(sand, coir, strict=True))),
        sand_mass=sand,
        coir_mass=coir,
        water_to_add=Range(*(volume * share for share in damp)),
        free_water_depth=water,
        advice=_advice(tank, depth, water, sprayed),
        cautions=(LEAVE_THE_BURIED, HEAVY, DECHLORINATE),
        notes=_notes(sprayed),
    )


def _mass(volume: float, density: Range) -> Range:
    return Range(*(volume * each / settles for each, settles in zip(density, SETTLES, strict=True)))


def _evaporation(size: Tank, air: float, humidity: float) -> Range:
    """Return what the surface loses [m³/s]: free water times WETNESS, times what nobody knows."""
    pressure = mixture.STANDARD_PRESSURE
    area = size.substrate_area
    if area <= 0.0:
        return Range(0.0, 0.0, 0.0)
    cool = air - SURFACE_COOLER
    flux = surface.evaporation_flux(
        cool, air, mixture.vapour_pressure(air, humidity, pressure), pressure,
        max(0.002, 0.25 * area**0.5), air_speed=0.05,
    )  # fmt: skip
    free = max(0.0, flux) * area / density_of_water(cool)
    spread = surface.STATED_UNCERTAINTY
    return Range(free * WETNESS.middle, free * WETNESS.low / spread, free * WETNESS.high * spread)


def _advice(tank: TankCard, depth: float, water: Range, sprayed: float) -> str:
    if water.middle >= 0.005:
        return (
            "Stop spraying, and look through a bottom corner: water probably stands at the base, "
            "where it can drown a moulting crab. Siphon it out at one corner, slowly, without "
            "digging."
        )
    if sprayed > 0.0 and water.high >= 0.01:
        return (
            "Spray less or not at all, and look through a bottom corner today: the bed may still "
            f"soak it all up, or {both(water.high, THICKNESS)} of water may stand at the base."
        )
    least_air = 0.05
    if depth > tank.tank_height - least_air:
        return (
            f"Use a taller tank: this crab needs {both(depth, LENGTH)}, and the tank is only "
            f"{both(tank.tank_height, LENGTH)} high."
        )
    if depth > tank.substrate_depth + 0.005:
        return (
            f"Add {both(depth - tank.substrate_depth, LENGTH)} of damp mix on top when no crab is "
            "buried, to let the tallest one dig right under."
        )
    return (
        "Leave the bed as it is: it is deep enough. It should hold a tunnel, and give no water "
        "when you squeeze a handful."
    )


def _notes(sprayed: float) -> tuple[str, ...]:
    notes = [
        "The depth (15 cm or 6 in, or 3 times the tallest crab in its shell) and 5 parts of sand "
        "to 1 of coir are common practice and have no source; so is the handful test. Nobody has "
        "published how deep these crabs moult, or in what moisture.",
        "Masses come from published densities of dry sand and coir, which vary from lot to lot; "
        "that coir settles between the grains is assumed. Water to mix in is an estimate: stop at "
        "the handful test, whatever the number.",
    ]
    if sprayed > 0.0:
        notes.append(
            "Where sprayed water goes is conservation of water between two bounds. Low: half of "
            "the surface evaporates like a pool, and the bed soaks up what it can. High: hardly "
            "any evaporates and it runs down along the glass. Your own eye at a bottom corner "
            "decides."
        )
    return tuple(notes)
