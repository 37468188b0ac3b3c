"""What a keeper aims for: common practice, no source, stated once."""

from __future__ import annotations

from typing import Literal

from calculators.tank.card import Species

ACT_BELOW, LOOK_ABOVE = 0.70, 0.90
"""Act on air that stays below the one [1]; look for the cause when it stays above the other."""
MOST_AIR = 29.0
"""Warmest the air is kept [°C]."""
COLD_ALARM, HOT_ALARM = 21.0, 32.0
"""Below and above these [°C] heat comes before humidity."""
HOT_GLASS = 40.0
"""Difference across one pane [K] near which annealed glass may crack (a glassmaker's note)."""

_TARGETS: dict[Species, tuple[float, float, float]] = {
    "Caribbean": (0.75, 0.70, 0.85),
    "Indo-Pacific": (0.85, 0.75, 0.90),
}

Side = Literal["dry", "damp", "in range"]


def target(species: Species) -> float:
    """Return the relative humidity to aim for [1]."""
    return _TARGETS[species][0]


def band(species: Species) -> tuple[float, float]:
    """Return the relative humidity [1] below and above which it is too dry or too damp."""
    return _TARGETS[species][1:]


def side(reading: float, species: Species) -> Side:
    """Return on which side of its band a lasting ``reading`` [1] lies."""
    low, high = band(species)
    if reading < low:
        return "dry"
    return "damp" if reading > high else "in range"
