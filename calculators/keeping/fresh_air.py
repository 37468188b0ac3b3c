"""Is there air enough? The ``fresh-air`` calculator.

In: the mass of the crabs, the air in the tank, its air changes. Out: how far carbon dioxide rises,
by the day in a sealed tank and for good in a leaky one, and the least opening that keeps it low.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from annotated_types import Interval

from calculators.air import mixture
from calculators.air.virial import GAS_CONSTANT
from calculators.errors import OutOfRange
from calculators.fields import Answer
from calculators.keeping import targets
from calculators.keeping.cautions import STALE_AIR
from calculators.keeping.leaks import GAPS_FACTOR, LEAST_RISE
from calculators.quantities import (
    AIR_CHANGES,
    AREA,
    CONCENTRATION,
    DAY,
    HOUR,
    MASS,
    VOLUME,
    ZERO_CELSIUS,
    Decimals,
    Range,
    Says,
    both,
    shown,
)
from calculators.tank.card import TankCard
from calculators.tank.geometry import Tank
from calculators.tank.openings import assumed_air_changes, gap_flow

_PER_GRAM_HOUR = 1e-6 / 1e-3 / HOUR  # µmol/(g h) in mol/(kg s)
OXYGEN_UPTAKE = Range(3.4 * _PER_GRAM_HOUR, 2.0 * _PER_GRAM_HOUR, 12.0 * _PER_GRAM_HOUR)
"""Oxygen a living crab takes [mol/(kg s)]. Middle: 3.4 µmol/(g h), an amphibious shore crab,
Hemigrapsus nudus (abstract read). Land hermit crabs take more: 0.12 mL/(g h), about 5 µmol, for
the largest of one study and four times that for one of 2 g (part of an abstract read; its title
was lost), and 3.4 times as much on the move as at rest (Wheatly et al. 1985, J. exp. Biol. 119:85,
abstract read). The band is our own reading of these."""
RESPIRATORY_QUOTIENT = 0.85
"""Carbon dioxide given per oxygen taken [1]; assumed, between 0.7 (fat) and 1.0 (sugar)."""
HIGHEST_RISE = 1000e-6
"""The rise we hold for enough fresh air [1]: borrowed from rooms for people (about 1000 ppm above
outdoors, EN 13779 from memory). No limit is known for these animals."""
OUTDOORS = 420e-6
"""Carbon dioxide outdoors [1], about 2020; rooms hold more."""
MOLE_AT = 25.0  # °C, for the volume of a mole; 5 °C move it by 2 %


@dataclass(frozen=True, kw_only=True)
class FreshAir(Answer):
    """Carbon dioxide in a tank above that of its room."""

    co2_rise: Annotated[
        Range, CONCENTRATION, Says("Carbon dioxide above the room's", "where it settles")
    ]
    sealed_rise: Annotated[
        Range, CONCENTRATION, Says("In a sealed tank it would rise each day by", "never do this")
    ]
    air_changes_used: Annotated[
        Range, AIR_CHANGES, Says("Air changes an hour taken for this", "lid and pump together")
    ]
    least_air_changes: Annotated[
        Range,
        AIR_CHANGES,
        Decimals(2),
        Says("Fresh air that keeps the rise under 1000 ppm"),
    ]
    least_gap: Annotated[
        Range | None, AREA, Decimals(1), Says("Gaps that let in as much", "all slits in the lid")
    ]


def carbon_dioxide_given(
    mass: float, oxygen_uptake: float = OXYGEN_UPTAKE.middle, temperature: float = MOLE_AT
) -> float:
    """Return the carbon dioxide [m³/s] that crabs give.

    Arguments: mass of living crabs, without shells [kg], 0 to 10; oxygen_uptake [mol/(kg s)];
    temperature [°C], for the volume of a mole, R T / p at sea level.
    Equation: m O2 RQ R T / p. Errors: OutOfRange.
    """
    if not 0.0 <= mass <= 10.0:
        raise OutOfRange("A mass of crabs", mass, 0.0, 10.0, "kg", "fresh air")
    molar = GAS_CONSTANT * (temperature + ZERO_CELSIUS) / mixture.STANDARD_PRESSURE
    return mass * oxygen_uptake * RESPIRATORY_QUOTIENT * molar


def steady_rise(given: float, volume: float, air_changes: float) -> float:
    """Return how far a gas settles above the room's [m³/m³], given / (V n).

    Arguments: given [m³/s]; volume of air [m³]; air_changes [1/s], above 0.
    Conservation of the gas, well mixed. Errors: OutOfRange.
    """
    if not air_changes > 0.0:
        raise OutOfRange("Air changes", air_changes, 1e-9, 1.0, "1/s", "never airtight")
    return given / (volume * air_changes)


def fresh_air(
    tank: TankCard,
    crab_mass: Annotated[
        float,
        MASS,
        Interval(ge=0.001, le=3.0),
        Says("Crabs, all together", "living weight without shells; a small one is about 10 g"),
    ] = 0.100,
    air_volume: Annotated[
        float | None,
        VOLUME,
        Interval(ge=5e-3, le=3.0),
        Says("Air in the tank", "leave empty to take it from your tank card"),
    ] = None,
) -> FreshAir:
    """Return the rise of carbon dioxide: mass [kg], volume [m³].

    Air changes, pump, room, set point and species come from the tank card. ``steady_rise`` over
    OXYGEN_UPTAKE; air changes assumed from the lid where none are measured; the gaps from
    ``gap_flow`` at the set point and the species' target humidity, all slits in the lid.
    """
    volume = Tank.of(tank).air_volume if air_volume is None else air_volume
    known = tank.air_changes
    lid = assumed_air_changes(tank.lid) if known is None else Range(known, known, known)
    pump = tank.air_flow / volume if tank.pump_draws_from == "room" else 0.0
    changes = Range(*(value + pump for value in lid))
    given = Range(*(carbon_dioxide_given(crab_mass, uptake) for uptake in OXYGEN_UPTAKE))
    rise = Range(
        steady_rise(given.middle, volume, changes.middle),
        steady_rise(given.low, volume, changes.high),
        steady_rise(given.high, volume, changes.low),
    )
    least = Range(*(value / (volume * HIGHEST_RISE) for value in given))
    gap = _gap(tank, Range(*(value * volume for value in least)))
    return FreshAir(
        co2_rise=rise,
        sealed_rise=Range(*(min(1.0, DAY * value / volume) for value in given)),
        air_changes_used=changes,
        least_air_changes=least,
        least_gap=gap,
        advice=_advice(rise, least, gap, known is not None),
        cautions=(STALE_AIR,),
        notes=_notes(pump, known is not None),
    )


def _gap(tank: TankCard, flow: Range) -> Range | None:
    """Return the area of slits in the lid [m²] for ``flow``; None where warmth drives hardly any.

    Half the area lets air in, half out. The band covers GAPS_FACTOR, shared out as its root with
    the spread of the flow.
    """
    pressure = mixture.STANDARD_PRESSURE
    inside = mixture.vapour_pressure(tank.set_point, targets.target(tank.species), pressure)
    room = mixture.vapour_pressure(tank.room_temperature, tank.room_humidity, pressure)
    speed = 0.5 * gap_flow(
        1.0, LEAST_RISE, tank.set_point, inside, tank.room_temperature, room, pressure
    )
    if speed < 0.005:
        return None
    root = GAPS_FACTOR**0.5
    return Range(flow.middle / speed, flow.low / speed / root, flow.high / speed * root)


def _advice(rise: Range, least: Range, gap: Range | None, measured: bool) -> str:
    number = shown(rise.middle, CONCENTRATION, "metric")
    fresh = f"{HOUR * least.high:.2g}"
    opening = ""
    if gap is not None:
        area = gap.middle * least.high / least.middle
        opening = f", which slits of about {both(area, AREA, 0)} in all let in"
    if rise.low > HIGHEST_RISE:
        return (
            f"Open a gap now: carbon dioxide settles about {number} above the room's. Aim for "
            f"{fresh} air changes an hour or more{opening}."
        )
    if rise.high > HIGHEST_RISE:
        check = (
            "Leave one small gap you know"
            if measured
            else "Find out your air changes (the air-change page) before you close any more gaps"
        )
        return (
            f"{check}: carbon dioxide settles about {number} above the room's, but it may be more "
            "with active crabs."
        )
    return (
        f"There is fresh air enough: carbon dioxide settles about {number} above the room's. If "
        f"the tank is too dry, you could close gaps down to about {fresh} air changes an hour, "
        "never to none."
    )


def _notes(pump: float, measured: bool) -> tuple[str, ...]:
    notes = [
        "Assumed: 3.4 µmol of oxygen an hour for each gram of crab, a shore crab's rate, and 0.85 "
        "carbon dioxide for each oxygen. Abstracts on land hermit crabs point higher: about 5, "
        "more for small ones, three to four times as much on the move. Expect the upper half of "
        "the band.",
        "Microbes in the substrate, rotting food and roots give carbon dioxide too. Nobody has "
        "measured it in a tank, so it is not counted. Rooms with people already hold more than the "
        f"{OUTDOORS * 1e6:.0f} ppm outdoors.",
        "How much carbon dioxide these animals stand is not known. The 1000 ppm line is borrowed "
        "from rooms for people, so it is caution, not biology. Land crabs breathe harder as it "
        "rises (Burggren 1992).",
        "The size of the gaps is good to a factor of about two to three: draughts and hidden slits "
        "decide.",
    ]
    if pump > 0.0:
        notes.append(
            f"Your air pump brings {HOUR * pump:.2f} of these air changes an hour; they stop "
            "when it does."
        )
    if not measured:
        notes.append("Your air changes are assumed from the kind of lid alone, in a wide band.")
    return tuple(notes)
