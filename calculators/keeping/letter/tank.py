"""A whole tank from what is known of it: what was typed, what a letter says, what is assumed.

In: values that were typed and facts of a letter. Out: a tank card where enough is known for one,
and for every value the words it came from, so that it can be corrected.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Any

from annotated_types import Interval

from calculators.errors import InputError, NoAnswer, OutOfRange
from calculators.fields import Field, fields_of
from calculators.keeping.heating import heater_sizing
from calculators.keeping.letter.read import Letter
from calculators.keeping.letter.size import SIDES
from calculators.keeping.plan import GaugeChecked, HasRead
from calculators.quantities import TEMPERATURE, VOLUME, Says, both
from calculators.tank.card import TankCard

TYPED = "typed by you"
ASSUMED = "assumed: not said"
BY_VOLUME = "assumed: twice as long as wide and high"
NEEDED = (*SIDES, "room_temperature", "room_humidity", "reading")
"""What a plan cannot do without."""
FLOOR_OF_A_POOL, FLOOR_OF_MOSS = 1.0 / 15.0, 0.1
"""Shares of the floor [1] taken where nobody said; assumed."""


@dataclass(frozen=True)
class _Beside:
    """What a letter may say that stands on no tank card."""

    air_temperature: Annotated[
        float, TEMPERATURE, Interval(ge=0.0, le=45.0), Says("Air temperature in the tank")
    ]
    tank_volume: Annotated[float, VOLUME, Interval(ge=0.015, le=5.0), Says("Tank, volume")]
    gauge_checked: GaugeChecked
    seen: HasRead


FIELDS: Mapping[str, Field] = {
    each.name: each for each in (*fields_of(TankCard), *fields_of(_Beside))
}
"""Every field a letter may fill, by its name."""


@dataclass
class Known:
    """Inside values by field and the words each came from; ``refused`` holds what cannot be."""

    values: dict[str, Any] = field(default_factory=dict)
    words: dict[str, str] = field(default_factory=dict)
    refused: list[tuple[str, str, str]] = field(default_factory=list)

    def take(self, name: str, value: Any, words: str) -> None:
        """Keep ``value`` for ``name`` unless there is one already."""
        if name not in self.values:
            self.values[name] = value
            self.words[name] = words

    def said(self, name: str) -> bool:
        """True where a letter or the volunteer gave this value."""
        return name in self.values and not self.words[name].startswith("assumed")


def known(typed: Mapping[str, Any], letter: Letter) -> Known:
    """Return what is known; ``typed`` values, inside, win over the letter's."""
    found = Known()
    for name, value in typed.items():
        found.take(name, value, TYPED)
    for fact in letter.facts.values():
        if fact.field not in FIELDS or fact.field in found.values:
            continue
        try:
            value = FIELDS[fact.field].read(fact.typed)
        except ValueError:
            asked = f"not used: it must be {FIELDS[fact.field].allowed()}"
            found.refused.append((FIELDS[fact.field].label, asked, fact.words))
        else:
            found.take(fact.field, value, f"“{fact.words}”")
    _size_from_volume(found)
    return found


def _size_from_volume(found: Known) -> None:
    """A tank twice as long as wide and high, where only its volume is known."""
    volume = found.values.get("tank_volume")
    if volume is None or any(name in found.values for name in SIDES):
        return
    side = (volume / 2.0) ** (1.0 / 3.0)
    for name, length in zip(SIDES, (2.0 * side, side, side), strict=True):
        limits = FIELDS[name]
        assert limits.low is not None
        assert limits.high is not None
        found.take(name, min(max(length, limits.low), limits.high), BY_VOLUME)


def card_of(found: Known) -> TankCard | None:
    """Return the card, what is missing assumed and noted, or None where too little is known.

    Raises InputError where measures cannot go together.
    """
    if any(name not in found.values for name in NEEDED):
        return None
    length, width, height = (found.values[name] for name in SIDES)
    floor = length * width
    # A thermostat's mark matters less than the temperature at which the gauge was read.
    if "air_temperature" in found.values:
        limits = FIELDS["set_point"]
        assert limits.low is not None
        assert limits.high is not None
        warmth = min(max(found.values["air_temperature"], limits.low), limits.high)
        words = found.words["air_temperature"]
        found.values["set_point"], found.words["set_point"] = warmth, words
    found.take("substrate_depth", min(0.15, 0.4 * height), ASSUMED)
    found.take("lid", "glass with gaps", ASSUMED)
    for name in ("set_point", "species", "air_flow"):
        found.take(name, FIELDS[name].default, ASSUMED)
    pool = (FLOOR_OF_A_POOL * floor) ** 0.5
    for name in ("fresh", "marine"):
        found.take(f"{name}_pool_length", pool, ASSUMED)
        found.take(f"{name}_pool_width", pool, ASSUMED)
    moss = found.values.get("moss_place", "none")
    found.take("moss_place", "none", ASSUMED)
    found.take("moss_area", 0.0 if moss == "none" else FLOOR_OF_MOSS * floor, ASSUMED)
    _heat(found, length * max(height - found.values["substrate_depth"], 0.05))
    return TankCard(**{name: value for name, value in found.values.items() if _on_card(name)})


def _on_card(name: str) -> bool:
    return name in TankCard.__dataclass_fields__


def _heat(found: Known, wall: float) -> None:
    """A mat that holds the temperature, where nobody said how strong it is."""
    if "heater_power" in found.values:
        power = found.values["heater_power"]
        found.take("heater_area", min(0.9 * wall, power / 400.0), ASSUMED)
        return
    found.take("heater_area", 0.5 * wall, ASSUMED)
    power = FIELDS["heater_power"].default
    try:
        members = {name: value for name, value in found.values.items() if _on_card(name)}
        room = min(max(found.values["room_temperature"], 5.0), 35.0)
        power = heater_sizing(TankCard(**members), coldest_room=room).heater_power or power
    except (InputError, NoAnswer, OutOfRange):
        pass  # the plan will say what does not go together
    found.take("heater_power", power, "assumed: a mat that holds the temperature")


def in_words(name: str, value: Any) -> str:
    """Return a value as a reader sees it, in both systems of units."""
    quantity = FIELDS[name].quantity
    return str(value) if quantity is None else both(value, quantity)


def typed(name: str, value: Any) -> str:
    """Return a value as it would be typed, with its base unit; empty where there is none."""
    quantity = FIELDS[name].quantity
    if value is None:
        return ""
    if quantity is None:
        return str(value)
    return f"{quantity.base.outside(value):.6g} {quantity.base.symbol}".strip()
