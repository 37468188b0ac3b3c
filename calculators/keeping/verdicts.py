"""What a change means for this tank, in sentences: target, side effects, and conflicts of order.

In: a study of a tank. Out: plain sentences with the numbers they rest on.
"""

from __future__ import annotations

from calculators.air.mixture import dew_point
from calculators.keeping import targets
from calculators.keeping.effects import Effect, Study
from calculators.quantities import (
    AIR_CHANGES,
    DAY,
    HOUR,
    POWER,
    RELATIVE_HUMIDITY,
    TEMPERATURE,
    TEMPERATURE_DIFFERENCE,
    VAPOUR_PER_DAY,
    both,
    shown,
)
from calculators.tank.balance import Balance

STALE_AIR = 0.15 / HOUR
"""Air changes [1/s] below which stale air is warned of; common practice, no source."""
A_DRIP = 2e-3 / DAY
"""Condensation [kg/s] that a keeper would notice: 2 g a day; assumed."""
WARM_WALL = 45.0
"""Heated glass [°C] too hot to lean on; assumed, no source."""


def percent(value: float) -> str:
    """Return a humidity as whole per cents."""
    return shown(value, RELATIVE_HUMIDITY, "metric")


def stands(effect: Effect, reading: float, wanted: float, band: tuple[float, float]) -> str:
    """Return how the humidity after a remedy stands to the target and its band."""
    assert effect.humidity is not None
    after = effect.humidity.middle
    step = round((after - reading) * 100)
    left = round((wanted - after) * 100)
    points = f"{step:+d} point{'' if abs(step) == 1 else 's'}"
    if (after - reading) * (wanted - reading) <= 0.0 and abs(step) >= 1:
        return f"Goes the wrong way ({points})."
    if abs(step) < 1:
        return "Changes nothing that a gauge could show."
    if not effect.remedy.lasting:
        # A steady state: the substrate and the pools need hours to come to it.
        return (
            f"At most {points}, after hours with the lid open; the tank fills again once it is "
            "closed."
        )
    if abs(left) <= 2:
        return f"Reaches the target ({points})."
    if band[0] <= after <= band[1]:
        return f"Brings it into range ({points})."
    still = "" if (left < 0) == (wanted > reading) else "still "
    where = "below" if left > 0 else "above"
    return f"{points}: {still}{abs(left)} {where} the target."


def spoils(effect: Effect, found: Study) -> str:
    """Return what a remedy spoils here, as sentences; "Nothing that shows." when nothing does."""
    assert effect.after is not None
    assert effect.tank is not None
    now, after = found.fit.balance, effect.after
    told = [*_water(now, after), *_heat(now, after), *_humidity(now, after)]
    if effect.tank.air_changes < STALE_AIR:
        told.append("Stale air: open a small gap that you know.")
    return " ".join(told) or "Nothing that shows in the numbers."


def _water(now: Balance, after: Balance) -> list[str]:
    told = []
    for name, label in (("panes", "the panes"), ("lid", "the lid")):
        before, then = -getattr(now.vapour, name), -getattr(after.vapour, name)
        if then > A_DRIP and then > before + A_DRIP:
            told.append(
                f"About {both(then, VAPOUR_PER_DAY)} of water would form on {label}: drips, wet "
                "substrate and mould."
            )
    return told


def _heat(now: Balance, after: Balance) -> list[str]:
    told = []
    if after.heater_too_small and not now.heater_too_small:
        told.append(
            "The mat could no longer hold the set point: "
            f"{both(after.air_temperature, TEMPERATURE)}."
        )
    if after.mat_temperature is not None:
        across = after.mat_temperature - after.panes_temperature
        if across > 0.8 * targets.HOT_GLASS:
            told.append(
                f"The mat’s glass would be {both(across, TEMPERATURE_DIFFERENCE)} warmer than the "
                "rest: near the limit of common glass."
            )
        elif after.mat_temperature > WARM_WALL >= (now.mat_temperature or 0.0):
            told.append(f"The heated glass would reach {both(after.mat_temperature, TEMPERATURE)}.")
    more = after.heater_power - now.heater_power
    if more > 1.0:
        told.append(f"About {both(more, POWER)} more heat.")
    return told


def _humidity(now: Balance, after: Balance) -> list[str]:
    high, low = targets.LOOK_ABOVE, targets.ACT_BELOW
    if after.relative_humidity > high:
        if now.relative_humidity > high:
            return [f"Still above {percent(high)}: look for drips and mould meanwhile."]
        return [f"Too damp: above {percent(high)} for long."]
    if after.relative_humidity < low:
        still = "Still" if now.relative_humidity < low else "Too dry:"
        return [f"{still} below {percent(low)}: watch the animals meanwhile."]
    return []


def conflicts(found: Study, wanted: float) -> tuple[str, ...]:
    """Return where the numbers disagree with the usual order, and why."""
    now, tank, room = found.fit.balance, found.fit.tank, found.room
    told = []
    reading = now.relative_humidity
    dry = reading < wanted
    if dry and now.highest_humidity < wanted:
        told.append(
            f"The coldest surface ({now.coldest_surface}, "
            f"{both(now.coldest_temperature, TEMPERATURE)}) lets the air hold at most "
            f"{percent(now.highest_humidity)}. More water would run down the glass: insulate "
            "before you add water, or warm the room."
        )
    if dry and tank.card.lid == "mesh":
        told.append(
            f"Through a mesh lid the air changes {both(tank.air_changes, AIR_CHANGES)}. No "
            "pool or moss keeps up with that: cover the mesh before you add water."
        )
    for each in found.effects:
        if each.after is None:
            continue
        lowers = each.after.relative_humidity < reading - 0.005
        if each.remedy.name == "air-stones" and lowers:
            told.append(
                "Air-stones would lower the humidity here: the bubbles leave no damper than the "
                "cool pools allow, and the pump’s room air is one more leak. Warm the pools first, "
                "or let the pump draw from the tank."
            )
        if each.remedy.name == "vent":
            outside = dew_point(room.vapour_pressure, room.pressure)
            if outside > now.dew_point - 0.5:
                told.append(
                    f"The room’s dew point ({both(outside, TEMPERATURE)}) is as high as the "
                    f"tank’s ({both(now.dew_point, TEMPERATURE)}): venting brings in as much water "
                    "as it takes out. Dry the room, or vent when it is drier outside the tank."
                )
    return tuple(told)
