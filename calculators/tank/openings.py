"""Air that comes and goes through a lid.

In: the kind of lid, the size of its openings, the air on both sides. Out: air changes [1/s] or a
flow [m³/s]. What drives the flow is the difference of MOIST air densities: vapour alone moves air.
Every estimate here is good to a factor of about two: a decay measured after venting is better.
"""

from __future__ import annotations

from math import sqrt

from calculators.air.mixture import STANDARD_PRESSURE, moist_air_density
from calculators.errors import OutOfRange
from calculators.quantities import HOUR, Range
from calculators.surfaces.convection import GRAVITY
from calculators.tank.card import Lid

DISCHARGE = Range(0.5, 0.4, 0.65)
"""Discharge coefficient of a slit [1]: 0.40 at small differences (ASHRAE Handbook 1997), 0.65 for
a sharp edge (as quoted in reviews of stack flow)."""

EXCHANGE = 0.055
"""Greatest exchange through a level opening, Q / sqrt(g (Δρ/ρ) D⁵) [1].

Epstein (1988), J. Heat Transfer 110:885 (from memory); the same number in Cooper (1989), NISTIR
89-4052, as quoted in the EnergyPlus Engineering Reference, AirflowNetwork, horizontal openings.
"""

_ASSUMED: dict[Lid, Range] = {
    "glass": Range(0.3 / HOUR, 0.1 / HOUR, 1.0 / HOUR),
    "glass with gaps": Range(3.0 / HOUR, 0.8 / HOUR, 10.0 / HOUR),
    "film over mesh": Range(0.7 / HOUR, 0.2 / HOUR, 2.5 / HOUR),
    "mesh": Range(30.0 / HOUR, 8.0 / HOUR, 90.0 / HOUR),
}


def assumed_air_changes(lid: Lid) -> Range:
    """Return the air changes [1/s] assumed under a lid that nobody has measured.

    Common practice, no source: the band is wide because it must be. ``gap_flow`` and
    ``exchange_flow`` show the order of size.
    """
    return _ASSUMED[lid]


def gap_flow(
    area: float,
    height: float,
    tank_temperature: float,
    tank_vapour_pressure: float,
    room_temperature: float,
    room_vapour_pressure: float,
    pressure: float = STANDARD_PRESSURE,
    discharge: float = DISCHARGE.middle,
) -> float:
    """Return the air [m³/s] that the stack effect draws through a low and a high gap.

    Arguments: area of ONE of two equal gaps [m²], 0 to 1 (a single gap of both ways: half of it);
    height from the middle of one to the middle of the other [m], 0 to 2 (a single upright gap:
    about half its own height); temperatures [°C] and vapour pressures [Pa] of tank and room;
    pressure [Pa]; discharge coefficient [1], 0.1 to 1.
    Equation: Q = Cd A sqrt(2 g H |Δρ| / ρ), for two equal openings in series divided by √2.
    Errors: OutOfRange.
    Source: ASHRAE Handbook Fundamentals 2017, ch. 16, eq. 39, with Δρ/ρ for ΔT/T (from memory).
    """
    _check("An opening's area", area, 1.0, "m²")
    _check("A height", height, 2.0, "m")
    if not 0.1 <= discharge <= 1.0:
        raise OutOfRange("A discharge coefficient", discharge, 0.1, 1.0, "", "ASHRAE")
    tank = moist_air_density(tank_temperature, tank_vapour_pressure, pressure)
    room = moist_air_density(room_temperature, room_vapour_pressure, pressure)
    drive = 2.0 * GRAVITY * height * abs(room - tank) / (0.5 * (room + tank))
    return discharge * area * sqrt(0.5 * drive)


def exchange_flow(
    length: float,
    width: float,
    open_share: float,
    tank_temperature: float,
    tank_vapour_pressure: float,
    room_temperature: float,
    room_vapour_pressure: float,
    pressure: float = STANDARD_PRESSURE,
) -> float:
    """Return the air [m³/s] that changes places through an opening in the top, as through mesh.

    Arguments: length and width of the opening [m], 0 to 3; open_share [1], 0 to 1, of a mesh over
    it; temperatures [°C] and vapour pressures [Pa] of tank and room; pressure [Pa].
    Equation: Q = 0.055 s sqrt(g Δρ/ρ D⁵) per square of side D = 2 l w / (l + w), times
    l w / D² such squares; 0 where the tank's air is the heavier. s, the open share, stands for the
    mesh: assumed, no source; a fine mesh holds back more.
    Errors: OutOfRange.
    Source: Epstein (1988), see EXCHANGE; measured for round and square openings first by Brown
    (1962) and Brown, Wilson & Solvason (1963), ASHRAE Trans. 69:351 (abstract read).
    """
    _check("An opening's length", length, 3.0, "m")
    _check("An opening's width", width, 3.0, "m")
    _check("An open share", open_share, 1.0, "")
    tank = moist_air_density(tank_temperature, tank_vapour_pressure, pressure)
    room = moist_air_density(room_temperature, room_vapour_pressure, pressure)
    if tank >= room or length == 0.0 or width == 0.0:
        return 0.0
    across = 2.0 * length * width / (length + width)
    drive = GRAVITY * (room - tank) / (0.5 * (room + tank))
    one = EXCHANGE * sqrt(drive * across**5)
    return open_share * one * length * width / across**2


def _check(what: str, value: float, high: float, unit: str) -> None:
    if not 0.0 <= value <= high:
        raise OutOfRange(what, value, 0.0, high, unit, "flow through openings")
