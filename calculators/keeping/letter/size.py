"""The size of a tank in a letter: three sides, or a volume."""

from __future__ import annotations

import re

from calculators.keeping.letter.facts import NUMBER, Fact, quoted, value

_LENGTH = r"(?:(cm|mm|m|inches|inch|in|feet|foot|ft|\"|')(?![a-wyz]))?"
_SIDE = NUMBER + r"\s*" + _LENGTH + r"\s*(?:long|wide|high|tall|deep|[lwhd])?"
_BY = r"\s*(?:x|\*|by)\s*"
LEAST_TANK = 15.0
"""A smaller volume [L] is water that is carried, not a tank; our own line."""
_BOX = re.compile(_SIDE + _BY + _SIDE + _BY + _SIDE, re.IGNORECASE)
_VOLUME = re.compile(
    NUMBER + r"[\s-]*(?:us\s*)?(gallons?|gal|gals|litres?|liters?|ltr|l)\b(?!\s*(?:/|per|an?\s+h))",
    re.IGNORECASE,
)
SIDES = ("tank_length", "tank_width", "tank_height")
_US = re.compile(r"\d\s*(?:°\s*f|f)\b|gallon|\bgal\b|inch|fahrenheit|\d\s*\"", re.IGNORECASE)
_METRIC = re.compile(r"\d\s*(?:°\s*c|c|cm|mm)\b|lit(?:re|er)|celsius", re.IGNORECASE)


def size(text: str) -> list[Fact]:
    """Return the tank's sides, its volume, or sides whose unit only their keeper knows."""
    box = _BOX.search(text)
    if box:
        unit = next((box[place] for place in (6, 4, 2) if box[place]), None)
        if unit is None and bool(_US.search(text)) != bool(_METRIC.search(text)):
            unit = "in" if _US.search(text) else "cm"
        words = quoted(box[0])
        if unit is None:
            return [Fact("size_without_unit", words, words)]
        sides = [(box[1], box[2]), (box[3], box[4]), (box[5], box[6])]
        known = [f"{digits} {_unit(own or unit)}" for digits, own in sides]
        return [Fact(name, side, words) for name, side in zip(SIDES, known, strict=True)]
    for found in _VOLUME.finditer(text):
        litres = value(found[1]) * (3.785 if found[2].lower().startswith("g") else 1.0)
        if litres >= LEAST_TANK:
            unit = "gal" if found[2].lower().startswith("g") else "L"
            return [Fact("tank_volume", f"{found[1]} {unit}", quoted(found[0]))]
    return []


def _unit(written: str) -> str:
    return {'"': "in", "'": "ft", "foot": "ft"}.get(written.lower(), written.lower())
