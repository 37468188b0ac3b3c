"""What a tank asks for, day by day and year by year, with amounts.

In: a tank card and its fitted balance. Out: chores, the most frequent first; only those that this
tank has. How often is common practice, no published source; the water is the balance's.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.keeping import targets
from calculators.keeping.moss import moss
from calculators.quantities import DAY, WATER_PER_DAY, Says, both
from calculators.surfaces import brine
from calculators.tank.balance import Balance
from calculators.tank.card import TankCard

SEA = 0.035
"""Salinity kept in the marine pool [kg/kg]."""


@dataclass(frozen=True)
class Chore:
    """One chore, as a keeper reads it."""

    chore: Annotated[str, Says("Chore")]
    how_often: Annotated[str, Says("How often")]
    amount: Annotated[str, Says("How much")]


def pool_losses(card: TankCard, now: Balance) -> tuple[float, float]:
    """Return the water [m³/s] that the fresh and the marine pool lose, bubbles' share included.

    The pump's air is shared equally by the pools there are, as in the balance.
    """
    areas = card.fresh_pool_area, card.marine_pool_area
    pools = sum(area > 0.0 for area in areas)
    bubbles = now.vapour.bubbles / pools if pools else 0.0
    still = now.vapour.fresh_pool, now.vapour.marine_pool
    fresh, marine = (
        (given + bubbles) / brine.density_of_water(20.0) if area > 0.0 else 0.0
        for given, area in zip(still, areas, strict=True)
    )
    return fresh, marine


def chores(card: TankCard, now: Balance) -> tuple[Chore, ...]:
    """Return the chores of the tank of ``card``, whose fitted balance is ``now``."""
    rows = [
        Chore("Read the gauge", "daily, at the same hour", "temperature and humidity"),
        *_pools(card, now),
    ]
    if card.moss_area > 0.0 and card.moss_place != "none":
        rows.append(_moss(card, now))
    rows.append(Chore("Water at the base, at a corner", "weekly", "none may stand there"))
    mat, pump = card.heater_power > 0.0, card.air_flow > 0.0
    if mat or pump:
        rows.append(Chore("RCD or GFCI, smoke alarm", "monthly", "press each test button"))
    if mat:
        rows.append(
            Chore("Heat mat, cable, probe", "monthly", "no crease, no brown spot; probe fixed")
        )
    rows.append(Chore("Salt test of the gauge", "twice a year", "a night in a jar with wet salt"))
    if pump:
        rows.append(
            Chore("Check valve of the air pump", "yearly", "holds water back when it stops")
        )
    rows.append(Chore("Buried crabs", "left alone", "4 to 8 weeks; large ones 3 months and more"))
    return tuple(rows)


def _pools(card: TankCard, now: Balance) -> list[Chore]:
    fresh, marine = pool_losses(card, now)
    rows = []
    if card.fresh_pool_area > 0.0:
        rows.append(Chore("Top up the fresh pool", "daily", _top_up(fresh, "dechlorinated")))
    if card.marine_pool_area > 0.0:
        marked = next(item for item in brine.MARKINGS if item.name == "25/25 °C")
        gravity = brine.specific_gravity(SEA, 25.0, marked.sample_at, marked.water_at)
        rows += [
            Chore(
                "Top up the marine pool",
                "daily",
                _top_up(marine, "fresh, never sea water"),
            ),
            Chore(
                "Salinity of the marine pool",
                "weekly",
                f"35 g/kg: {gravity:.3f} on a scale marked 25/25 °C, at 25 °C (77 °F)",
            ),
        ]
    return rows


def _top_up(loss: float, kind: str) -> str:
    if loss <= 0.0:
        return "nothing: it takes water from the air. Keep an eye on its level"
    return f"about {both(loss, WATER_PER_DAY)}, {kind}"


def _moss(card: TankCard, now: Balance) -> Chore:
    if targets.side(now.relative_humidity, card.species) == "damp":
        return Chore("Damp moss", "while it is too damp", "let it dry out, or take it out")
    found = moss(
        card,
        air_temperature=min(max(now.air_temperature, 10.0), 40.0),
        relative_humidity=min(max(now.relative_humidity, 0.05), 0.98),
    )
    if found.rewet_after is None:
        often = "feel it daily"
    else:
        days = [max(1, round(part / DAY)) for part in found.rewet_after]
        often = f"feel it daily; wet it after about {days[0]} days"
        often = often.replace("1 days", "1 day") if days[0] == 1 else often
        if days[1] != days[2]:
            often += f" ({days[1]} to {days[2]})"
    return Chore("Damp moss", often, "until it is damp, not dripping; dechlorinated water")
