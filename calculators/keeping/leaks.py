"""Three ways to learn how fast a tank changes its air, that share only its size and the room.

In: gaps and mesh, or the water poured in, or two readings after venting. Out: air changes [1/s],
each with its band, and all taken together.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, log, sqrt
from typing import NamedTuple

from calculators.air import mixture
from calculators.errors import NoAnswer, OutOfRange
from calculators.quantities import HOUR, RELATIVE_HUMIDITY, Range, shown
from calculators.surfaces.brine import density_of_water
from calculators.tank.card import TankCard
from calculators.tank.openings import exchange_flow, gap_flow

GAPS_FACTOR = 3.0
"""Flow worked out from gap sizes may be off by this factor either way: draughts in the room, gaps
nobody sees, flow that creeps through narrow slits; assumed, no source."""
LEAST_RISE = 0.01
"""Gaps that all lie in the lid still differ in height by about this [m]; assumed, no source."""
TOP_UP_SPREAD = 0.15
"""How well a keeper knows the water poured in [1]; assumed, no source."""
VOLUME_SPREAD = 0.10
"""Pools, wood and shells take this share of the air's volume, or less [1]; assumed, no source."""
GAUGE_SPREAD = 0.03
"""Error of a household gauge [fraction]; makers' usual claim."""
POOL_COOLER = Range(1.5, 3.0, 0.0)
"""What feeds the air is cooler than it by so much [K]; common practice, no source."""
LEAST = 0.01 / HOUR
"""Less than this [1/s] cannot be told from nought."""


class Air(NamedTuple):
    """Vapour in the air of tank and room [kg/m³]."""

    tank: float
    room: float


def decay_rate(first: float, second: float, time: float) -> float:
    """Return the rate [1/s] at which an excess shrinks from ``first`` to ``second``.

    Arguments: first > second > 0 [any one unit], the excess over the level it goes to; time [s]
    between. Equation: n = ln(first / second) / time, the concentration decay method.
    Source: ASTM E741 (from memory). Errors: OutOfRange.
    """
    if not 0.0 < second < first:
        raise OutOfRange("A second excess", second, 0.0, first, "of the first", "ASTM E741")
    if not time > 0.0:
        raise OutOfRange("A time", time, 0.0, 1e7, "s", "ASTM E741")
    return log(first / second) / time


def air_changes_from_water(
    water: float, volume: float, tank_vapour: float, room_vapour: float
) -> float:
    """Return the air changes [1/s] that carry ``water`` [kg/s] away in a steady state.

    Arguments: volume of air [m³]; vapour in tank and room air [kg/m³].
    Equation: n = water / (V (c_tank - c_room)), conservation of water.
    Errors: NoAnswer when the room's air holds as much vapour as the tank's.
    """
    if tank_vapour <= room_vapour:
        raise NoAnswer(
            "The room's air holds as much vapour as the tank's, so air that leaves carries none "
            "away, and the water poured in says nothing. Use gaps, or measure on a drier day."
        )
    return water / (volume * (tank_vapour - room_vapour))


def combine(ranges: Sequence[Range]) -> tuple[Range, bool]:
    """Return air changes from several methods taken together, and whether they agree.

    Each band is read as 80 % of a log-normal spread. While all bands overlap: the mean of the
    logarithms weighted by 1 / spread², and its band. Else: the middle of the logarithms, and a
    band over all of them.
    """
    # A band cut off at LEAST may have no width left; nothing is known better than this.
    logs = [(log(item.middle), max(0.05, log(item.high / item.low))) for item in ranges]
    if max(item.low for item in ranges) > min(item.high for item in ranges):
        middle = exp(sum(value for value, _ in logs) / len(logs))
        return Range(
            middle, min(item.low for item in ranges), max(item.high for item in ranges)
        ), False
    if len(ranges) == 1:
        return ranges[0], True
    weights = [1.0 / spread**2 for _, spread in logs]
    total = sum(weights)
    mean = sum(weight * value for weight, (value, _) in zip(weights, logs, strict=True)) / total
    half = 0.5 / sqrt(total)
    return Range(exp(mean), exp(mean - half), exp(mean + half)), True


def vapour_in_air(temperature: float, humidity: float) -> float:
    """Return the vapour [kg/m³] in air of ``temperature`` [°C] and ``humidity`` (a fraction)."""
    pressure = mixture.STANDARD_PRESSURE
    humidity = min(1.0, max(0.0, humidity))
    vapour = mixture.vapour_pressure(temperature, humidity, pressure)
    return mixture.absolute_humidity(temperature, vapour)


def flow_through_openings(
    tank: TankCard,
    temperature: float,
    humidity: float,
    gap_area: float | None,
    gap_rise: float,
    mesh_area: float | None,
    mesh_open: float,
) -> float:
    """Return the air [m³/s] through gaps and mesh of ``tank``, air at ``temperature`` [°C].

    Arguments: humidity (a fraction); gap_area and mesh_area [m²] or None; gap_rise [m], taken as
    LEAST_RISE at least; mesh_open, the open share [1]. The gaps let air in by one half of their
    area and out by the other; the mesh is taken as a square. See ``tank.openings``.
    """
    pressure = mixture.STANDARD_PRESSURE
    sides = (
        temperature,
        mixture.vapour_pressure(temperature, humidity, pressure),
        tank.room_temperature,
        mixture.vapour_pressure(tank.room_temperature, tank.room_humidity, pressure),
    )
    through_gaps = gap_flow(0.5 * (gap_area or 0.0), max(gap_rise, LEAST_RISE), *sides)
    side = sqrt(mesh_area or 0.0)
    return through_gaps + exchange_flow(side, side, mesh_open, *sides)


def from_water(
    top_up: float, volume: float, air: Air, temperature: float, humidity: float, tank: TankCard
) -> Range:
    """Return air changes [1/s], the pump's included, from water poured in [m³/s].

    Arguments: volume of air [m³]; vapour in both airs; the tank's air [°C, fraction]. The band
    is the root of the sum of squares of TOP_UP_SPREAD, VOLUME_SPREAD and GAUGE_SPREAD twice.
    Errors: NoAnswer, see air_changes_from_water.
    """
    water = top_up * density_of_water(20.0)
    middle = air_changes_from_water(water, volume, air.tank, air.room)
    errors = (
        GAUGE_SPREAD * vapour_in_air(temperature, 1.0),
        GAUGE_SPREAD * vapour_in_air(tank.room_temperature, 1.0),
    )
    relative = sqrt(sum(error**2 for error in errors)) / (air.tank - air.room)
    spread = sqrt(relative**2 + TOP_UP_SPREAD**2 + VOLUME_SPREAD**2)
    return Range(middle, middle / (1.0 + spread), middle * (1.0 + spread))


def from_readings(
    first: float, second: float, time: float, usual: float, temperature: float, air: Air
) -> Range:
    """Return air changes [1/s] from a fall towards the room, or a climb back to the usual.

    Arguments: first, second and usual humidity (fractions) at one temperature [°C]; time [s];
    vapour in both airs. A fall is air change against whatever still evaporates: n at least. A
    climb has the rate n + k of air change and evaporation, and the usual level shares it:
    n / (n + k) = (c_source - c_usual) / (c_source - c_room), the source POOL_COOLER than the air.
    Errors: NoAnswer when the readings can mean neither.
    """
    one, two = vapour_in_air(temperature, first), vapour_in_air(temperature, second)
    error = (
        GAUGE_SPREAD / 3.0 * vapour_in_air(temperature, 1.0)
    )  # one gauge twice: its offset drops out
    if second < first:
        if two <= air.room:
            raise NoAnswer(
                "The second reading is below what the room's air alone would give in the tank. "
                "Measure the room again, or check the gauge."
            )
        rate, spread = _rate(one - air.room, two - air.room, time, error)
        # Whatever is wet still feeds the air, so the true rate is this or more.
        return Range(rate * 1.5, rate / (1.0 + spread), rate * (1.0 + spread) * 3.0)
    if not first < second < usual:
        raise NoAnswer(
            "The readings after venting must climb, and stay below the usual humidity of "
            f"{shown(usual, RELATIVE_HUMIDITY, 'metric')}. Take the first soon after you shut the "
            "lid, the second before the tank is back to usual."
        )
    rate, spread = _rate(air.tank - one, air.tank - two, time, error)
    # The climb is air change AND evaporation; the usual level says how they share.
    sources = [vapour_in_air(temperature - cooler, 1.0) for cooler in POOL_COOLER]
    if air.tank <= air.room or max(sources) <= air.tank:
        raise NoAnswer(
            "The usual humidity is higher than water as cool as pools mostly are could give, or "
            "no higher than the room's, so the climb after venting says nothing about air changes. "
            "Check the gauge first."
        )
    shares = [(source - air.tank) / (source - air.room) for source in sources if source > air.room]
    high = max(shares)
    # A source hardly wetter than the air would mean hardly any air change; hold that at a tenth.
    low = max(min(shares), 0.1 * high)
    middle = sqrt(low * high)
    return Range(rate * middle, rate * low / (1.0 + spread), rate * high * (1.0 + spread))


def _rate(first: float, second: float, time: float, error: float) -> tuple[float, float]:
    rate = decay_rate(first, second, time)
    both_errors = sqrt((error / first) ** 2 + (error / second) ** 2)
    return rate, both_errors / log(first / second)


def without_pump(band: Range, pump: float) -> Range:
    """Return ``band`` less the pump's air changes [1/s], LEAST at least."""
    return Range(*(max(LEAST, value - pump) for value in band))
