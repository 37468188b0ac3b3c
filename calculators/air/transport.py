"""How air carries heat, vapour and momentum.

In: temperature [°C], air pressure [Pa], humidity ratio. Out: diffusivity [m²/s], viscosity
[Pa s], conductivity [W/(m K)], heat capacity [J/K per kg of dry air].

Viscosity and conductivity are those of dry air. Vapour lowers the viscosity of tank air (20 to
30 °C, saturated) by up to 1.4 % and its conductivity by up to 0.2 %; at 60 °C, saturated, by 8
and 3 %. Both are far below the 10 to 45 % by which accepted formulas of convection differ.
"""

from __future__ import annotations

from calculators.errors import OutOfRange
from calculators.quantities import ZERO_CELSIUS

_LOWEST, _HIGHEST = -40.0, 100.0  # [°C], inside the range of every equation here


def vapour_diffusivity(temperature: float, pressure: float) -> float:
    """Return the diffusivity of water vapour in air [m²/s].

    ``temperature`` [°C] -40 to 100; ``pressure`` of the air [Pa] 60 000 to 110 000. Equation:
    D = 0.2178e-4 (T / 273.15)^1.81 (101 325 / p), Massman 1998, Atmos. Environ. 32:1111
    (doi:10.1016/S1352-2310(97)00391-9). Good sources spread by about ±2.5 %. Raises OutOfRange.
    """
    if not _LOWEST <= temperature <= _HIGHEST:
        raise OutOfRange("Temperature", temperature, _LOWEST, _HIGHEST, "°C", "Massman 1998")
    if not 60e3 <= pressure <= 110e3:
        raise OutOfRange("Air pressure", pressure, 60e3, 110e3, "Pa", "moist air")
    ratio: float = ((temperature + 273.15) * (1.0 / 273.15)) ** 1.81
    return 0.2178e-4 * 101_325.0 / pressure * ratio


def viscosity(temperature: float) -> float:
    """Return the dynamic viscosity of air [Pa s] at ``temperature`` [°C], -40 to 100.

    Equation: Sutherland's law, 1.458e-6 T^1.5 / (T + 110.4), U.S. Standard Atmosphere 1976,
    eq. 51. Within 0.6 % of the reference equation of Lemmon & Jacobsen 2004 from 0 to 60 °C.
    Raises OutOfRange.
    """
    if not _LOWEST <= temperature <= _HIGHEST:
        raise OutOfRange("Temperature", temperature, _LOWEST, _HIGHEST, "°C", "Sutherland's law")
    kelvin = temperature + ZERO_CELSIUS
    power: float = kelvin**1.5
    return 1.458e-6 * power / (kelvin + 110.4)


def conductivity(temperature: float) -> float:
    """Return the thermal conductivity of air [W/(m K)] at ``temperature`` [°C], -40 to 100.

    Equation: 2.64638e-3 T^1.5 / (T + 245.4 x 10^(-12/T)), U.S. Standard Atmosphere 1976,
    eq. 53. Within 1 % of the reference equation of Lemmon & Jacobsen 2004 from 0 to 60 °C.
    Raises OutOfRange.
    """
    if not _LOWEST <= temperature <= _HIGHEST:
        raise OutOfRange(
            "Temperature", temperature, _LOWEST, _HIGHEST, "°C", "U.S. Standard Atmosphere"
        )
    kelvin = temperature + ZERO_CELSIUS
    power: float = kelvin**1.5
    softening: float = 10.0 ** (-12.0 / kelvin)
    return 2.64638e-3 * power / (kelvin + 245.4 * softening)


def heat_capacity(humidity_ratio: float) -> float:
    """Return the heat capacity of moist air [J/K per kg of DRY air].

    ``humidity_ratio`` [kg/kg] 0 to 0.35. Equation: 1006 + 1860 W (ASHRAE Handbook Fundamentals
    2017, ch. 1, eq. 30). Raises OutOfRange.
    """
    if not 0.0 <= humidity_ratio <= 0.35:
        raise OutOfRange("Humidity ratio", humidity_ratio, 0.0, 0.35, "kg/kg", "ASHRAE")
    return 1006.0 + 1860.0 * humidity_ratio
