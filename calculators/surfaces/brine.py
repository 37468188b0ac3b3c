"""Sea water in a marine pool: density, hydrometer readings, lowered vapour pressure.

In: salinity as a fraction [kg of salt per kg of sea water], 35 g/kg is 0.035. Out: density,
specific gravity, salinity, water activity.

Salinity here is absolute (reference) salinity. Practical salinity has no unit and is a little
smaller: practical 35 is 35.165 g/kg (TEOS-10). Table salt or a mix unlike sea water is another
liquid.
"""

from __future__ import annotations

from math import exp, sqrt
from typing import NamedTuple

from calculators.errors import OutOfRange

PRACTICAL_PER_FRACTION = 1000.0 * 35.0 / 35.16504
"""Practical salinity per kg/kg: Millero et al. (2008), Deep-Sea Research I 55:50 (TEOS-10)."""

GLASS_EXPANSION = 25e-6
"""Cubic expansion of a soda-lime glass hydrometer [1/K], as in ISO 649-1 (from memory)."""

_HIGHEST_SALINITY = 0.050


class Marking(NamedTuple):
    """What a hydrometer's scale means: sample at one temperature, water at another [°C]."""

    name: str
    sample_at: float
    water_at: float


MARKINGS = (
    Marking("20/20 °C", 20.0, 20.0),
    Marking("25/25 °C", 25.0, 25.0),
    Marking("25/4 °C", 25.0, 4.0),
    Marking("60/60 °F", 140.0 / 9.0, 140.0 / 9.0),
    Marking("15/4 °C", 15.0, 4.0),
)
"""The markings met on hydrometers for sea water. They differ by up to about 4 g/kg."""


def _check(salinity: float, temperature: float, source: str) -> None:
    if not 0.0 <= salinity <= _HIGHEST_SALINITY:
        raise OutOfRange("A salinity", salinity, 0.0, _HIGHEST_SALINITY, "kg/kg", source)
    if not 0.0 <= temperature <= 40.0:
        raise OutOfRange("A temperature", temperature, 0.0, 40.0, "°C", source)


def density_of_water(temperature: float) -> float:
    """Return the density [kg/m³] of pure water at one atmosphere.

    Arguments: temperature [°C], 0 to 40.
    Errors: OutOfRange.
    Source: Bigg (1967) as in the International Equation of State of Seawater 1980: Millero &
    Poisson (1981), Deep-Sea Research 28A:625, eq. 6; UNESCO Tech. Pap. Mar. Sci. 36.
    """
    return seawater_density(0.0, temperature)


def seawater_density(salinity: float, temperature: float) -> float:
    """Return the density [kg/m³] of sea water at one atmosphere.

    Arguments: salinity [kg/kg], 0 to 0.050; temperature [°C, ITS-90], 0 to 40.
    Equation: ρ = ρw(t) + A(t) S + B(t) S^(3/2) + C S², S practical, t on IPTS-68 (1.00024 t).
    The equation is published to practical salinity 42; carried on to 50 it stays within
    0.035 kg/m³ of TEOS-10.
    Errors: OutOfRange.
    Source: Millero & Poisson (1981), Deep-Sea Research 28A:625, eqs 2 to 6.
    """
    _check(salinity, temperature, "Millero & Poisson 1981")
    t = 1.00024 * temperature
    s = PRACTICAL_PER_FRACTION * salinity
    water = 999.842594 + t * (
        6.793952e-2 + t * (-9.095290e-3 + t * (1.001685e-4 + t * (-1.120083e-6 + t * 6.536332e-9)))
    )
    a = 8.24493e-1 + t * (-4.0899e-3 + t * (7.6438e-5 + t * (-8.2467e-7 + t * 5.3875e-9)))
    b = -5.72466e-3 + t * (1.0227e-4 - t * 1.6546e-6)
    return water + s * (a + b * sqrt(s) + 4.8314e-4 * s)


def specific_gravity(
    salinity: float, temperature: float, sample_at: float, water_at: float
) -> float:
    """Return what a glass hydrometer floating in the pool reads [1].

    Arguments: salinity [kg/kg], 0 to 0.050; temperature of the pool [°C], 0 to 40; sample_at and
    water_at, the two temperatures of its marking [°C], 0 to 40 (see MARKINGS).
    Equation: reading = ρ(S, t) [1 + γ (t - sample_at)] / ρw(water_at): the float displaces its
    weight, and its glass grows with warmth (γ, see GLASS_EXPANSION).
    Errors: OutOfRange.
    Source: Archimedes' principle; the correction as in ISO 649-2 (from memory).
    """
    if not 0.0 <= sample_at <= 40.0:
        raise OutOfRange("A marked temperature", sample_at, 0.0, 40.0, "°C", "ISO 649-2")
    growth = 1.0 + GLASS_EXPANSION * (temperature - sample_at)
    return seawater_density(salinity, temperature) * growth / density_of_water(water_at)


def salinity_from_specific_gravity(
    reading: float, temperature: float, sample_at: float, water_at: float
) -> float:
    """Return the salinity [kg/kg] at which a glass hydrometer reads what it reads.

    Arguments: reading [1]; temperature of the pool [°C], 0 to 40; sample_at and water_at [°C],
    0 to 40, the marking. The inverse of specific_gravity, by bisection to 1e-9 kg/kg.
    Errors: OutOfRange when the reading belongs to no salinity from 0 to 0.050.
    Source: as specific_gravity.
    """
    low, high = 0.0, _HIGHEST_SALINITY
    least = specific_gravity(low, temperature, sample_at, water_at)
    most = specific_gravity(high, temperature, sample_at, water_at)
    if not least <= reading <= most:
        raise OutOfRange("A specific gravity", reading, least, most, "", "salinity 0 to 50 g/kg")
    while high - low > 1e-9:
        middle = 0.5 * (low + high)
        if specific_gravity(middle, temperature, sample_at, water_at) < reading:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def water_activity(salinity: float, temperature: float) -> float:
    """Return vapour pressure over sea water by that over pure water [1]: 0.981 in the sea.

    Arguments: salinity [kg/kg], 0 to 0.050; temperature [°C], 0 to 40.
    Equations: activity = exp(-φ m M), m = 31.843280 s / (1 - s) moles of particles per kg of
    water, M = 0.01801528 kg/mol, φ the osmotic coefficient. φ is published for 10 to 120 g/kg; its
    error below fades with m.
    Errors: OutOfRange.
    Source: Sharqawy, Lienhard & Zubair (2010), Desalination and Water Treatment 16:354, eq. 49,
    coefficients as in the authors' public code; φ within 2.6 % of the measurements.
    """
    _check(salinity, temperature, "Sharqawy et al. 2010")
    t, s = temperature, 1000.0 * salinity
    osmotic = (
        8.9453233003e-1
        + t * (4.1560737424e-4 + t * (-4.6262121398e-6 + t * t * 2.2211195897e-11))
        + s * (-1.1445456438e-4 + t * (-1.4783462366e-6 - t * t * 1.3526263499e-11))
        + s * s * (7.0132355546e-6 + t * (5.6960486681e-8 - t * 2.8624032584e-10))
    )
    return exp(-osmotic * 0.01801528 * 31.843280 * salinity / (1.0 - salinity))
