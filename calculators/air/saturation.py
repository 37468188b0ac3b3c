"""Water at saturation: its pressure alone and in air, its slope, its latent heat.

In: temperature [°C], and for air the air pressure [Pa]. Out: pressures [Pa], latent heat
[J/kg]. Below 0 °C everything here is over supercooled liquid water, never over ice: water on a
tank's glass and in its air stays liquid, and a dry winter room has a dew point below 0 °C.
"""

from __future__ import annotations

from math import exp, sqrt

from calculators.air.virial import GAS_CONSTANT, second_virials
from calculators.errors import OutOfRange
from calculators.quantities import ZERO_CELSIUS

LOWEST, HIGHEST = -40.0, 100.0  # [°C], saturation line
HIGHEST_IN_AIR = 60.0  # [°C], the mixture with air: as far as it is checked
LOWEST_PRESSURE, HIGHEST_PRESSURE = 60e3, 110e3  # [Pa], air

# IAPWS R7-97(2012), table 34: the ten coefficients of the saturation line.
_N1, _N2, _N3 = 0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2
_N4, _N5, _N6 = 0.12020824702470e5, -0.32325550322333e7, 0.14915108613530e2
_N7, _N8 = -0.48232657361591e4, 0.40511340542057e6
_N9, _N10 = -0.23855557567849, 0.65017534844798e3

_SOURCE = "IAPWS R7-97"
_LOWEST_SATURATION, _HIGHEST_SATURATION = 18.95, 101_418.0  # [Pa], at LOWEST and HIGHEST

# Molar volume of liquid water [m³/mol]; 18.02e-6 at 0 °C to 18.32e-6 at 60 °C (IAPWS-95). The
# change moves the enhancement factor by less than 1e-5.
_LIQUID_VOLUME = 18.1e-6


def saturation_pressure(temperature: float) -> float:
    """Return the saturation pressure [Pa] over liquid water at ``temperature`` [°C], -40 to 100.

    Equation: IAPWS R7-97(2012), Industrial Formulation 1997, eq. 30, the equation under the
    ASHRAE tables of moist air. From 0 to 100 °C it is within 0.007 % of the scientific
    formulation IAPWS-95 (its own stated uncertainty is 0.025 %).

    Below 0 °C the equation is continued over supercooled water. It then agrees with Murphy &
    Koop 2005 (doi:10.1256/qj.04.94, eq. 10) within 0.06 % to -35 °C and 0.25 % at -40 °C, where
    the wider-known IAPWS SR1-86 continued in the same way is off by 0.7 %.

    Raises OutOfRange outside -40 to 100 °C.
    """
    if not LOWEST <= temperature <= HIGHEST:
        raise OutOfRange("Temperature", temperature, LOWEST, HIGHEST, "°C", _SOURCE)
    kelvin = temperature + ZERO_CELSIUS
    theta = kelvin + _N9 / (kelvin - _N10)
    a = (theta + _N1) * theta + _N2
    b = (_N3 * theta + _N4) * theta + _N5
    c = (_N6 * theta + _N7) * theta + _N8
    root = 2.0 * c / (sqrt(b * b - 4.0 * a * c) - b)
    root *= root
    return 1e6 * root * root


def saturation_slope(temperature: float) -> float:
    """Return the slope of the saturation pressure [Pa/K] at ``temperature`` [°C], -40 to 100.

    The exact derivative of ``saturation_pressure``, from the implicit form of the same equation
    (IAPWS R7-97(2012), eq. 29). Raises OutOfRange outside -40 to 100 °C.
    """
    if not LOWEST <= temperature <= HIGHEST:
        raise OutOfRange("Temperature", temperature, LOWEST, HIGHEST, "°C", _SOURCE)
    kelvin = temperature + ZERO_CELSIUS
    below = kelvin - _N10
    theta = kelvin + _N9 / below
    a = (theta + _N1) * theta + _N2
    b = (_N3 * theta + _N4) * theta + _N5
    c = (_N6 * theta + _N7) * theta + _N8
    root = 2.0 * c / (sqrt(b * b - 4.0 * a * c) - b)
    # a root² + b root + c = 0 holds along the line, so its total derivative is zero.
    change = (2.0 * theta + _N1) * root + 2.0 * _N3 * theta + _N4
    change = change * root + 2.0 * _N6 * theta + _N7
    root_slope = -change / (2.0 * a * root + b) * (1.0 - _N9 / (below * below))
    return 4e6 * root**3 * root_slope


def saturation_temperature(pressure: float) -> float:
    """Return the temperature [°C] at which water's saturation pressure is ``pressure`` [Pa].

    Equation: IAPWS R7-97(2012), eq. 31: the same line solved for the temperature, so it undoes
    ``saturation_pressure`` to rounding and needs no iteration. Raises OutOfRange outside
    18.95 to 101 418 Pa, which is -40 to 100 °C.
    """
    if not _LOWEST_SATURATION <= pressure <= _HIGHEST_SATURATION:
        raise OutOfRange(
            "Vapour pressure", pressure, _LOWEST_SATURATION, _HIGHEST_SATURATION, "Pa", _SOURCE
        )
    root = sqrt(sqrt(pressure * 1e-6))
    e = (root + _N3) * root + _N6
    f = (_N1 * root + _N4) * root + _N7
    g = (_N2 * root + _N5) * root + _N8
    d = 2.0 * g / (-f - sqrt(f * f - 4.0 * e * g))
    total = _N10 + d
    return 0.5 * (total - sqrt(total * total - 4.0 * (_N9 + _N10 * d))) - ZERO_CELSIUS


def enhancement_factor(temperature: float, pressure: float) -> float:
    """Return how much more vapour saturated air holds than saturated steam alone (a ratio).

    ``temperature`` [°C] -40 to 60; ``pressure`` of the air [Pa] 60 000 to 110 000. The vapour
    pressure of saturated air is this factor times ``saturation_pressure``: about 1.004.

    Equation: equality of the chemical potential of water in liquid and air, to the second virial
    coefficient (Hyland & Wexler 1983, ASHRAE Trans. 89(2A):500, without its third virial
    terms)::

        ln f = (p - es)/(R T) [v - Bww + xa (Baa - 2 Baw + Bww)],   xa = 1 - es/p

    with the coefficients of ``virial`` and v the molar volume of the liquid. Air dissolved in
    the liquid (Henry's law) is left out: it lowers f by 1e-5 to 2e-5. Below the real gas of
    ASHRAE RP-1485, as CoolProp computes it, by up to 7e-5 to 40 °C and 1.4e-4 to 60 °C; Greenspan
    1976 (doi:10.6028/jres.080A.007) is 1e-4 to 3e-4 low below 30 °C.

    Raises OutOfRange outside the ranges given.
    """
    if not LOWEST <= temperature <= HIGHEST_IN_AIR:
        raise OutOfRange("Temperature", temperature, LOWEST, HIGHEST_IN_AIR, "°C", "moist air")
    if not LOWEST_PRESSURE <= pressure <= HIGHEST_PRESSURE:
        raise OutOfRange(
            "Air pressure", pressure, LOWEST_PRESSURE, HIGHEST_PRESSURE, "Pa", "moist air"
        )
    saturation = saturation_pressure(temperature)
    air_air, air_water, water_water = second_virials(temperature)
    dry = pressure - saturation
    volume = (
        _LIQUID_VOLUME - water_water + dry / pressure * (air_air - 2.0 * air_water + water_water)
    )
    return exp(dry * volume / (GAS_CONSTANT * (temperature + ZERO_CELSIUS)))


def latent_heat(temperature: float) -> float:
    """Return the latent heat of evaporation of water [J/kg] at ``temperature`` [°C], -20 to 100.

    A cubic fitted by us to IAPWS-95 (saturated vapour less saturated liquid, CoolProp 8.0, 201
    points from 0.01 to 100 °C): largest deviation 33 J/kg, 0.0015 %. From -20 to 0 °C it is
    within 250 J/kg (0.01 %) of Murphy & Koop 2005, eq. 9. Raises OutOfRange outside -20 to
    100 °C.
    """
    if not -20.0 <= temperature <= HIGHEST:
        raise OutOfRange("Temperature", temperature, -20.0, HIGHEST, "°C", "fit to IAPWS-95")
    t = temperature
    return ((-0.012246 * t + 0.5221) * t - 2374.69) * t + 2_500_906.0
