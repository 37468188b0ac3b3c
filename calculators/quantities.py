"""Units and quantities, stated once.

In: a number with a unit as somebody typed it. Out: the value inside the calculators
(°C, Pa, kg, m, s, W, fractions), and back to the base unit of the page contract or to text.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Literal, NamedTuple

System = Literal["metric", "us"]

HOUR = 3600.0  # s
DAY = 24 * HOUR  # s
ZERO_CELSIUS = 273.15  # K


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit as shown and as typed: inside value = ``factor`` x typed value + ``offset``.

    ``decimals`` is how many a reader is shown; where it is None, ``figures`` significant ones.
    ``spoken`` is what a reader sees in place of a symbol that reads badly.
    """

    symbol: str
    factor: float = 1.0
    offset: float = 0.0
    aliases: tuple[str, ...] = ()
    decimals: int | None = None
    figures: int = 3
    spoken: str = ""

    def inside(self, value: float) -> float:
        """Return the value inside the calculators for ``value`` in this unit."""
        return _tidy(value * self.factor + self.offset, 15)

    def outside(self, value: float) -> float:
        """Return the value in this unit for an inside ``value``."""
        return _tidy((value - self.offset) / self.factor, 14)


def _tidy(value: float, figures: int) -> float:
    """Return ``value`` to so many figures, so that 70 % is 0.7, not 0.7000000000000001, and back.

    One figure less on the way out takes up what the way in has rounded.
    """
    return float(f"{value:.{figures}g}")


@dataclass(frozen=True, slots=True)
class Quantity:
    """A kind of number: its base unit (the page contract's), its US unit, others understood."""

    name: str
    base: Unit
    us: Unit
    also: tuple[Unit, ...] = ()

    def unit(self, system: System) -> Unit:
        """Return the unit shown in ``system``."""
        return self.us if system == "us" else self.base

    @property
    def units(self) -> tuple[Unit, ...]:
        """Every unit that may be typed, the base unit first."""
        return tuple(dict.fromkeys((self.base, self.us, *self.also)))

    def find(self, symbol: str) -> Unit | None:
        """Return the unit written as ``symbol``, or None."""
        wanted = _plain(symbol)
        for unit in self.units:
            if wanted in {_plain(name) for name in (unit.symbol, *unit.aliases)}:
                return unit
        return None


class Range(NamedTuple):
    """A middle value and the band that holds it with about 80 % confidence, inside units."""

    middle: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Says:
    """How a field is put to a reader: its label, and a hint in plain words."""

    label: str
    hint: str = ""


@dataclass(frozen=True, slots=True)
class Decimals:
    """Override of a quantity's decimals for one field, in both systems."""

    count: int


def _plain(symbol: str) -> str:
    folded = symbol.strip().lower().replace("²", "2").replace("³", "3").replace("º", "°")
    return folded.replace("°", "").replace(" ", "").replace("^", "").replace("⋅", "*")


_LITRE = 1e-3
_GALLON = 3.785411784e-3  # US liquid gallon, NIST SP 811
_INCH = 0.0254
_FOOT = 0.3048
_OUNCE = 0.028349523125
_POUND = 0.45359237
_FLUID_OUNCE = _GALLON / 128
_GRAIN = 6.479891e-5

TEMPERATURE = Quantity(
    "temperature",
    Unit("°C", aliases=("C", "celsius", "degC"), decimals=1),
    Unit("°F", 5 / 9, -160 / 9, ("F", "fahrenheit", "degF"), decimals=1),
)
TEMPERATURE_DIFFERENCE = Quantity(
    "temperature difference",
    Unit("K", aliases=("°C",), decimals=1, spoken="°C"),
    Unit("°F", 5 / 9, decimals=1),
)
RELATIVE_HUMIDITY = Quantity(
    "relative humidity",
    Unit("%", 0.01, aliases=("percent", "% RH", "%RH"), decimals=0),
    Unit("%", 0.01, aliases=("percent", "% RH", "%RH"), decimals=0),
)
SHARE = Quantity("share", Unit("%", 0.01, decimals=0), Unit("%", 0.01, decimals=0))
ALTITUDE = Quantity(
    "altitude",
    Unit("m", aliases=("metres", "meters"), decimals=0),
    Unit("ft", _FOOT, aliases=("feet", "foot", "'"), decimals=0),
)
LENGTH = Quantity(
    "length",
    Unit("cm", 0.01, aliases=("centimetres", "centimeters"), decimals=1),
    Unit("in", _INCH, aliases=("inch", "inches", '"'), decimals=1),
    (Unit("mm", 0.001), Unit("m"), Unit("ft", _FOOT, aliases=("feet",))),
)
THICKNESS = Quantity(
    "thickness",
    Unit("mm", 0.001, aliases=("millimetres", "millimeters"), decimals=0),
    Unit("in", _INCH, aliases=("inch", "inches", '"'), decimals=2),
    (Unit("cm", 0.01),),
)
AREA = Quantity(
    "area",
    Unit("cm²", 1e-4, aliases=("sq cm",), decimals=0),
    Unit("in²", _INCH**2, aliases=("sq in", "square inches"), decimals=0),
    (Unit("m²"),),
)
VOLUME = Quantity(
    "volume",
    Unit("L", _LITRE, aliases=("litre", "litres", "liter", "liters")),
    Unit("gal", _GALLON, aliases=("gallon", "gallons", "US gal")),
    (Unit("mL", 1e-6), Unit("cm³", 1e-6), Unit("m³")),
)
MASS = Quantity(
    "mass",
    Unit("g", 1e-3, aliases=("gram", "grams")),
    Unit("oz", _OUNCE, aliases=("ounce", "ounces")),
    (Unit("kg"), Unit("lb", _POUND, aliases=("lbs", "pounds"))),
)
HEAVY_MASS = Quantity(
    "mass", Unit("kg"), Unit("lb", _POUND, aliases=("lbs", "pounds")), (Unit("g", 1e-3),)
)
ABSOLUTE_HUMIDITY = Quantity(
    "absolute humidity",
    Unit("g/m³", 1e-3, decimals=1),
    Unit("gr/ft³", _GRAIN / _FOOT**3, decimals=2),
)
PRESSURE = Quantity(
    "pressure",
    Unit("hPa", 100.0, aliases=("mbar",), decimals=1),
    Unit("inHg", 3386.389, decimals=3),
)
SALINITY = Quantity(
    "salinity",
    Unit("g/kg", 1e-3, aliases=("ppt", "‰"), decimals=1),
    Unit("g/kg", 1e-3, aliases=("ppt", "‰"), decimals=1),
)
SPECIFIC_GRAVITY = Quantity("specific gravity", Unit("", decimals=4), Unit("", decimals=4))
SPEED = Quantity(
    "air speed",
    Unit("m/s", decimals=2),
    Unit("ft/min", _FOOT / 60, aliases=("fpm",), decimals=0),
    (Unit("cm/s", 0.01),),
)
VAPOUR_PER_HOUR = Quantity(
    "water vapour a unit of time",
    Unit("g/h", 1e-3 / HOUR, figures=2, spoken="g an hour"),
    Unit("oz/h", _OUNCE / HOUR, figures=2, spoken="oz an hour"),
)
VAPOUR_PER_DAY = Quantity(
    "water vapour a day",
    Unit("g/d", 1e-3 / DAY, figures=2, spoken="g a day"),
    Unit("oz/d", _OUNCE / DAY, figures=2, spoken="oz a day"),
)
WATER_PER_DAY = Quantity(
    "water a day",
    Unit("mL/d", 1e-6 / DAY, figures=2, aliases=("mL/day",), spoken="mL a day"),
    Unit("fl oz/d", _FLUID_OUNCE / DAY, figures=2, aliases=("fl oz/day",), spoken="fl oz a day"),
    (Unit("L/d", _LITRE / DAY, figures=2, spoken="L a day"),),
)
LEVEL_PER_DAY = Quantity(
    "fall of the water level a day",
    Unit("mm/d", 1e-3 / DAY, figures=2, spoken="mm a day"),
    Unit("in/d", _INCH / DAY, figures=2, spoken="in a day"),
)
SALINITY_PER_DAY = Quantity(
    "rise of salinity a day",
    Unit("g/kg/d", 1e-3 / DAY, spoken="g/kg a day"),
    Unit("g/kg/d", 1e-3 / DAY, spoken="g/kg a day"),
)
POWER = Quantity(
    "power",
    Unit("W", figures=2, aliases=("watt", "watts")),
    Unit("W", figures=2, aliases=("watt", "watts")),
)
ENERGY_PER_MONTH = Quantity(
    "energy a month",
    Unit("kWh/month", 3.6e6 / (30 * DAY), figures=2, spoken="kWh a month"),
    Unit("kWh/month", 3.6e6 / (30 * DAY), figures=2, spoken="kWh a month"),
)
AIR_CHANGES = Quantity(
    "air changes",
    Unit("1/h", 1 / HOUR, aliases=("/h", "ACH", "per hour"), figures=2, spoken="per hour"),
    Unit("1/h", 1 / HOUR, aliases=("/h", "ACH", "per hour"), figures=2, spoken="per hour"),
)
AIR_FLOW = Quantity(
    "air flow",
    Unit("L/min", _LITRE / 60, aliases=("lpm",), decimals=2),
    Unit("gal/h", _GALLON / HOUR, aliases=("gph",), decimals=1),
    (Unit("L/h", _LITRE / HOUR), Unit("mL/min", 1e-6 / 60)),
)
MINUTES = Quantity(
    "time",
    Unit("min", 60.0, aliases=("minutes",), decimals=0),
    Unit("min", 60.0, aliases=("minutes",), decimals=0),
    (Unit("h", HOUR),),
)
HOURS = Quantity(
    "time",
    Unit("h", HOUR, aliases=("hours",), figures=2),
    Unit("h", HOUR, aliases=("hours",), figures=2),
    (Unit("min", 60.0), Unit("d", DAY, aliases=("days",))),
)
DAYS = Quantity(
    "time",
    Unit("d", DAY, aliases=("days",), figures=2, spoken="days"),
    Unit("d", DAY, aliases=("days",), figures=2, spoken="days"),
    (Unit("h", HOUR),),
)
CONCENTRATION = Quantity("concentration", Unit("ppm", 1e-6), Unit("ppm", 1e-6))
COUNT = Quantity("count", Unit("", decimals=0), Unit("", decimals=0))

_NUMBER = re.compile(r"([-+−]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][-+]?\d+)?)\s*(.*)", re.DOTALL)


def parse(text: str, quantity: Quantity, default: Unit | None = None) -> float:
    """Return the inside value of ``text`` such as ``26``, ``79 °F`` or ``20gal``.

    ``default`` is the unit taken when none is typed (the base unit unless given). Raises
    ValueError with what is allowed, without naming the field: the caller knows its label.
    """
    match = _NUMBER.fullmatch(text.strip())
    allowed = ", ".join(unit.symbol for unit in quantity.units if unit.symbol)
    if not match:
        shape = f", with or without a unit ({allowed})" if allowed else ""
        raise ValueError(f"“{text.strip()}” is not a number. Type a number such as 26.5{shape}.")
    digits, symbol = match[1].replace("−", "-"), match[2]
    if re.search(r",\d{3}$", digits):
        raise ValueError(
            f"“{digits}” could mean {digits.replace(',', '')} or {digits.replace(',', '.')}. "
            "Type it without the comma."
        )
    unit = quantity.find(symbol) if symbol else default or quantity.base
    if unit is None:
        instead = f"Use one of: {allowed}." if allowed else "Type the number alone."
        raise ValueError(f"“{symbol}” is not a unit of {quantity.name}. {instead}")
    value = unit.inside(float(digits.replace(",", ".")))
    if not math.isfinite(value):
        raise ValueError(f"“{digits}” is too large a number.")
    return value


def number(value: float, unit: Unit, decimals: int | None = None) -> str:
    """Return ``value`` (inside) as digits in ``unit``, with sensible figures and no unit."""
    shown = unit.outside(value)
    count = unit.decimals if decimals is None else decimals
    if count is None:
        return _figures(shown, unit.figures)
    digits = f"{shown:.{count}f}"
    return digits[1:] if digits.startswith("-") and not digits.strip("-0.") else digits


def _figures(value: float, figures: int) -> str:
    if abs(value) < 1e-9:
        return "0"
    size = math.floor(math.log10(abs(value)))
    rounded = round(value, figures - 1 - size)
    size = math.floor(math.log10(abs(rounded)))  # 9.96 has become 10
    return f"{rounded:.{min(max(0, figures - 1 - size), 6)}f}"


def shown(
    value: float | Range, quantity: Quantity, system: System, decimals: int | None = None
) -> str:
    """Return ``value`` as a reader sees it, such as ``21.2 °C`` or ``18 g/h (12 to 24)``.

    A number with a band is worth two figures at most; a band too narrow to show is left out.
    """
    unit = quantity.unit(system)
    if isinstance(value, Range) and decimals is None and unit.decimals is None:
        texts = [_figures(unit.outside(part), min(unit.figures, 2)) for part in value]
    else:
        parts = value if isinstance(value, Range) else (value,)
        texts = [number(part, unit, decimals) for part in parts]
    text = f"{texts[0]} {unit.spoken or unit.symbol}".strip()
    return f"{text} ({texts[1]} to {texts[2]})" if len(set(texts)) > 1 else text


def both(value: float | Range, quantity: Quantity, decimals: int | None = None) -> str:
    """Return ``value`` in base and US units, as sentences carry it: ``26.0 °C (78.8 °F)``."""
    metric = shown(value, quantity, "metric", decimals)
    us = shown(value, quantity, "us", decimals)
    return metric if metric == us else f"{metric} ({us})"
