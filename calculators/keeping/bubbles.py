"""What air-stones do to the humidity: the ``bubbling`` calculator.

In: the pump's flow, the pool's temperature, where the pump draws. Out: the humidity bubbles cannot
lift the air above, the vapour they bring, what to set the flow regulator to.

Small bubbles are soon saturated at the WATER's temperature. Air that leaves a cool pool therefore
holds less vapour than warm, damp tank air does, and dries the tank.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from annotated_types import Interval

from calculators.air import mixture
from calculators.fields import Answer
from calculators.keeping import targets
from calculators.keeping.cautions import CLIMB_OUT, ELECTRIC, PUMP
from calculators.keeping.glass import highest_humidity
from calculators.keeping.inputs import AirTemperature, RelativeHumidity
from calculators.quantities import (
    AIR_CHANGES,
    AIR_FLOW,
    RELATIVE_HUMIDITY,
    TEMPERATURE,
    VAPOUR_PER_HOUR,
    Range,
    Says,
    both,
    shown,
)
from calculators.tank.card import TankCard
from calculators.tank.geometry import Tank
from calculators.tank.openings import assumed_air_changes

SATURATED = Range(1.0, 0.9, 1.0)
"""How far a bubble goes towards saturation [1]. A 3 mm bubble needs about 0.01 s (r² / π² D) and
takes some tenths of a second to rise; coarse bubbles in shallow water less: assumed, no source."""
TRIAL_FLOW = 1e-3 / 60.0
"""Taken when the tank card has no pump [m³/s]."""
MOST_FLOW = 3e-3 / 60.0
"""More than this through a pool splashes and keeps the animals out [m³/s]; common practice."""


@dataclass(frozen=True, kw_only=True)
class Bubbling(Answer):
    """What bubbled air brings to a tank."""

    humidity_ceiling: Annotated[
        float,
        RELATIVE_HUMIDITY,
        Says("Bubbles cannot lift the humidity above", "at this pool and air temperature"),
    ]
    net_vapour: Annotated[
        Range,
        VAPOUR_PER_HOUR,
        Says("Vapour they bring, pump as on your card", "below nought they take it away"),
    ]
    net_vapour_from_room: Annotated[
        Range, VAPOUR_PER_HOUR, Says("The same, pump draws from the room")
    ]
    net_vapour_from_tank: Annotated[
        Range, VAPOUR_PER_HOUR, Says("The same, pump draws from the tank")
    ]
    pool_loss: Annotated[float, VAPOUR_PER_HOUR, Says("Water the bubbles take out of the pool")]
    air_changes_added: Annotated[
        float, AIR_CHANGES, Says("Fresh air the pump brings", "none if it draws from the tank")
    ]
    flow_setting: Annotated[
        Range | None, AIR_FLOW, Says("Set the flow regulator to", "to hold your target humidity")
    ]


def vapour_brought(
    air_flow: float,
    pool_temperature: float,
    tank: tuple[float, float],
    drawn: tuple[float, float],
    saturated: float = 1.0,
) -> float:
    """Return the vapour [kg/s] that bubbled air adds to a tank; below 0 it takes some away.

    Arguments: air_flow at the pump's inlet [m³/s]; pool_temperature [°C]; the air of the tank and
    the air the pump draws, each as (temperature [°C], relative humidity); saturated [1], see
    SATURATED.
    Equation: m (W_out - W_tank), m the dry air that passes, W_out = W_in + s (W_sat(pool) - W_in).
    Each kilogram of dry air that comes in displaces, or was drawn from, a kilogram in the tank.
    Errors: OutOfRange, see ``air.mixture``.
    """
    dry, drawn_ratio = _dry_air(air_flow, *drawn)
    full = mixture.saturated_humidity_ratio(pool_temperature, mixture.STANDARD_PRESSURE)
    leaves = drawn_ratio + saturated * (full - drawn_ratio)
    return dry * (leaves - _ratio(*tank))


def _ratio(temperature: float, humidity: float) -> float:
    pressure = mixture.STANDARD_PRESSURE
    vapour = mixture.vapour_pressure(temperature, humidity, pressure)
    return mixture.humidity_ratio(vapour, pressure)


def _dry_air(air_flow: float, temperature: float, humidity: float) -> tuple[float, float]:
    """Return the dry air in a flow [kg/s] and its humidity ratio."""
    pressure = mixture.STANDARD_PRESSURE
    vapour = mixture.vapour_pressure(temperature, humidity, pressure)
    ratio = mixture.humidity_ratio(vapour, pressure)
    density = mixture.moist_air_density(temperature, vapour, pressure)
    return air_flow * density / (1.0 + ratio), ratio


def bubbling(
    tank: TankCard,
    pool_temperature: Annotated[
        float,
        TEMPERATURE,
        Interval(ge=5.0, le=40.0),
        Says("Water temperature in the bubbled pool", "measure it; pools are mostly cooler"),
    ] = 24.0,
    air_temperature: AirTemperature = 26.0,
    relative_humidity: RelativeHumidity = 0.75,
) -> Bubbling:
    """Return what air-stones bring: temperatures [°C], humidity as a fraction.

    Flow, where the pump draws, room, air changes and target come from the tank card; without a
    pump on it, TRIAL_FLOW stands in. Equation in ``vapour_brought``; sea-level pressure; the
    setting from a steady balance of vapour in which all other sources stay as they are.
    """
    flow = tank.air_flow or TRIAL_FLOW
    ceiling = highest_humidity(air_temperature, pool_temperature)
    inside = (air_temperature, relative_humidity)
    room = (tank.room_temperature, tank.room_humidity)
    drawn = room if tank.pump_draws_from == "room" else inside
    from_room, from_tank = (_band(flow, pool_temperature, inside, air) for air in (room, inside))
    dry, ratio = _dry_air(flow, *drawn)
    full = mixture.saturated_humidity_ratio(pool_temperature, mixture.STANDARD_PRESSURE)
    size = Tank.of(tank)
    added = flow / size.air_volume if tank.pump_draws_from == "room" else 0.0
    target = targets.target(tank.species)
    setting = _setting(tank, inside, pool_temperature, target)
    return Bubbling(
        humidity_ceiling=ceiling,
        net_vapour=from_room if tank.pump_draws_from == "room" else from_tank,
        net_vapour_from_room=from_room,
        net_vapour_from_tank=from_tank,
        pool_loss=dry * (full - ratio),
        air_changes_added=added,
        flow_setting=setting,
        advice=_advice(ceiling, relative_humidity, target, setting, tank.air_flow),
        cautions=(ELECTRIC, PUMP, CLIMB_OUT),
        notes=_notes(tank, pool_temperature, air_temperature),
    )


def _band(
    flow: float, pool: float, inside: tuple[float, float], drawn: tuple[float, float]
) -> Range:
    values = [vapour_brought(flow, pool, inside, drawn, share) for share in SATURATED]
    return Range(values[0], min(values), max(values))


def _setting(
    tank: TankCard, inside: tuple[float, float], pool: float, target: float
) -> Range | None:
    """Return the flow [m³/s] that holds ``target``, or None where no flow can.

    Steady balances now and at the target, other sources as they are:
    q = [n V (c_target - c_now) + q0 (c_pool - c_now)] / (c_pool - c_target), c all read as
    absolute humidity at the tank's temperature.
    """
    temperature, now = inside
    ceiling = highest_humidity(temperature, pool)
    if ceiling <= target + 0.01:
        return None
    size = Tank.of(tank)
    known = tank.air_changes
    band = (
        assumed_air_changes(tank.lid) if known is None else Range(known, known / 1.3, known * 1.3)
    )
    flows = [
        (changes * size.air_volume * (target - now) + tank.air_flow * (ceiling - now))
        / (ceiling - target)
        for changes in band
    ]
    return Range(*(min(MOST_FLOW, max(0.0, flow)) for flow in (flows[0], min(flows), max(flows))))


def _percent(value: float) -> str:
    return shown(value, RELATIVE_HUMIDITY, "metric")


def _advice(
    ceiling: float, now: float, target: float, setting: Range | None, present: float
) -> str:
    if ceiling <= now - 0.01:
        return (
            f"Turn the bubbles down or off, or warm this pool: water as cool as this lowers the "
            f"humidity. Bubbles pull the air towards {_percent(ceiling)}, and you have "
            f"{_percent(now)}."
        )
    if setting is None:
        return (
            f"Do not count on bubbles here: even at full flow they stop at {_percent(ceiling)}, "
            f"below or at your target of {_percent(target)}. Warm the pool first, for instance "
            "against the heated wall."
        )
    if now > target + 0.05 and setting.middle == 0.0:
        return f"Turn the bubbles off: the tank is already above {_percent(target)}."
    if setting.middle >= MOST_FLOW:
        return (
            f"Look for gaps first: it would take {both(MOST_FLOW, AIR_FLOW)} or more to hold "
            f"{_percent(target)}, and that much splashes and keeps animals away from the water."
        )
    if setting.middle == 0.0:
        return f"Leave the bubbles off or low: the tank holds {_percent(target)} without them."
    if present > 0.0 and abs(setting.middle / present - 1.0) < 0.1:
        return f"Leave the flow regulator where it is: the tank holds {_percent(target)} with it."
    return (
        f"Set the flow regulator to about {both(setting.middle, AIR_FLOW)}, change nothing else, "
        "and judge after 48 hours at the same time of day."
    )


def _notes(tank: TankCard, pool: float, air: float) -> tuple[str, ...]:
    notes = []
    if tank.air_flow == 0.0:
        notes.append(
            f"Your tank card has no air pump, so this is worked for {both(TRIAL_FLOW, AIR_FLOW)}."
        )
    if pool < air - 0.5:
        notes.append(
            "Air that leaves a pool is as damp as air can be at the water's temperature. Warmed to "
            "the tank's temperature it reads less; that is the ceiling above."
        )
    notes += [
        "A pump in the room also brings fresh air, and takes more water from the pool for the same "
        "gain. A pump in the tank brings no fresh air, and drives tank air through a pump that "
        "must stand the damp.",
        "Worked from the saturation pressure of water and conservation of water; no measurements "
        "of air-stones in tanks have been published. The band allows for coarse bubbles in shallow "
        "water. Bursting bubbles also stir and wet the surface, which adds a little not counted "
        "here. Over the marine pool the ceiling is about 2 % lower, because of the salt.",
        "The setting supposes that pools and substrate go on giving what they give now. It hangs "
        "on the air changes, which are "
        + ("measured" if tank.air_changes is not None else "only assumed from the kind of lid")
        + " on your card. The targets of 75 % (Caribbean) and 85 % (Indo-Pacific) are common "
        "practice and have no source.",
    ]
    return tuple(notes)
