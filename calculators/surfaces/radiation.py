"""Heat exchanged by radiation between grey surfaces.

In: temperatures, emissivity. Out: fluxes [W/m²].
"""

from __future__ import annotations

from calculators.errors import OutOfRange
from calculators.quantities import ZERO_CELSIUS

STEFAN_BOLTZMANN = 5.670374419e-8  # W/(m² K⁴), CODATA 2018, exact

GLASS_EMISSIVITY = 0.84
"""Uncoated soda-lime glass, corrected emissivity 0.837: EN 673:2011, annex A (from memory)."""
WATER_EMISSIVITY = 0.96
"""Incropera & DeWitt, 7th ed., table A.11, water above 273 K, 0.95 to 0.96 (from memory)."""
SUBSTRATE_EMISSIVITY = 0.90
"""Sand at 300 K, Incropera & DeWitt, 7th ed., table A.11 (from memory); wet sand: more."""

_SOURCE = "Stefan-Boltzmann"


def _kelvin(temperature: float) -> float:
    if not -90.0 <= temperature <= 200.0:
        raise OutOfRange("A temperature", temperature, -90.0, 200.0, "°C", _SOURCE)
    return temperature + ZERO_CELSIUS


def _checked(emissivity: float) -> float:
    if not 0.0 <= emissivity <= 1.0:
        raise OutOfRange("An emissivity", emissivity, 0.0, 1.0, "", _SOURCE)
    return emissivity


def emission(temperature: float, emissivity: float = 1.0) -> float:
    """Return what a grey surface radiates [W/m²], ε σ T⁴.

    Arguments: temperature [°C], -90 to 200; emissivity ε [1], 0 to 1.
    Errors: OutOfRange.
    Source: Stefan-Boltzmann law, Incropera & DeWitt, 7th ed., eqs 12.26 and 12.37.
    """
    return _checked(emissivity) * STEFAN_BOLTZMANN * _kelvin(temperature) ** 4


def net_exchange(
    surface_temperature: float, surroundings_temperature: float, emissivity: float
) -> float:
    """Return the net loss [W/m²] of a small grey surface to surroundings that enclose it.

    Arguments: surface_temperature, surroundings_temperature [°C], -90 to 200; emissivity of the
    small surface [1], 0 to 1. Equation: q = ε σ (Ts⁴ - Tsur⁴).
    Errors: OutOfRange.
    Source: Incropera & DeWitt, 7th ed., eq. 1.7.
    """
    surface, surroundings = _kelvin(surface_temperature), _kelvin(surroundings_temperature)
    return _checked(emissivity) * STEFAN_BOLTZMANN * (surface**4 - surroundings**4)
