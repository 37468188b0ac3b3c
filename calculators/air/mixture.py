"""The state of moist air: every humidity from one vapour pressure, and back.

In: temperature [°C], relative humidity (a fraction) or vapour pressure [Pa], air pressure [Pa]
or altitude [m]. Out: dew point and wet bulb [°C], humidity ratio, absolute humidity [kg/m³],
density [kg/m³], enthalpy [J/kg of dry air].

Relative humidity is the mole fraction of water over that of air saturated at the same
temperature and pressure (ASHRAE Handbook Fundamentals 2017, ch. 1, eq. 12). Saturated air holds
the enhancement factor times the saturation pressure, so ``vapour_pressure`` and
``relative_humidity`` both carry that factor, and so does the dew point. Below 0 °C dew point and
wet bulb are over liquid water, as hygrometers report them, not over ice.
"""

from __future__ import annotations

from calculators.air.saturation import (
    HIGHEST_IN_AIR,
    HIGHEST_PRESSURE,
    LOWEST,
    LOWEST_PRESSURE,
    enhancement_factor,
    latent_heat,
    saturation_pressure,
    saturation_temperature,
)
from calculators.air.transport import heat_capacity
from calculators.air.virial import GAS_CONSTANT, compressibility, enthalpy_virials
from calculators.errors import OutOfRange
from calculators.quantities import ZERO_CELSIUS

STANDARD_PRESSURE = 101_325.0  # [Pa], ISO 2533 at sea level
MOLAR_MASS_AIR = 28.966e-3  # [kg/mol], dry air, ASHRAE Handbook Fundamentals 2017, ch. 1
MOLAR_MASS_WATER = 18.015268e-3  # [kg/mol], IAPWS
MASS_RATIO = MOLAR_MASS_WATER / MOLAR_MASS_AIR  # 0.62194
WATER_GAS_CONSTANT = GAS_CONSTANT / MOLAR_MASS_WATER  # [J/(kg K)]

_LIQUID_HEAT = 4186.0  # [J/(kg K)], liquid water, ASHRAE Fundamentals 2017, ch. 1, eq. 33


def _check(temperature: float, pressure: float) -> None:
    if not LOWEST <= temperature <= HIGHEST_IN_AIR:
        raise OutOfRange("Temperature", temperature, LOWEST, HIGHEST_IN_AIR, "°C", "moist air")
    if not LOWEST_PRESSURE <= pressure <= HIGHEST_PRESSURE:
        raise OutOfRange(
            "Air pressure", pressure, LOWEST_PRESSURE, HIGHEST_PRESSURE, "Pa", "moist air"
        )


def _check_vapour(vapour_pressure: float, pressure: float) -> None:
    if not LOWEST_PRESSURE <= pressure <= HIGHEST_PRESSURE:
        raise OutOfRange(
            "Air pressure", pressure, LOWEST_PRESSURE, HIGHEST_PRESSURE, "Pa", "moist air"
        )
    if not 0.0 <= vapour_pressure < pressure:
        raise OutOfRange("Vapour pressure", vapour_pressure, 0.0, pressure, "Pa", "moist air")


def air_pressure(altitude: float) -> float:
    """Return the standard air pressure [Pa] at ``altitude`` [m] above the sea, -500 to 4000.

    Equation: p = 101 325 (1 - 0.0065 z / 288.15)^5.25588, the troposphere of ISO 2533:1975
    (also ASHRAE Handbook Fundamentals 2017, ch. 1, eq. 3). The weather moves the true pressure
    by about ±2 %. Raises OutOfRange.
    """
    if not -500.0 <= altitude <= 4000.0:
        raise OutOfRange("Altitude", altitude, -500.0, 4000.0, "m", "ISO 2533")
    ratio: float = (1.0 - 0.0065 / 288.15 * altitude) ** 5.25588
    return STANDARD_PRESSURE * ratio


def vapour_pressure(temperature: float, relative_humidity: float, pressure: float) -> float:
    """Return the vapour pressure [Pa] of air at ``relative_humidity`` (a fraction, 0 to 1).

    ``temperature`` [°C] -40 to 60; ``pressure`` of the air [Pa] 60 000 to 110 000. Relative
    humidity as defined in this module's head: e = RH f es. Raises OutOfRange.
    """
    if not 0.0 <= relative_humidity <= 1.0:
        raise OutOfRange("Relative humidity", relative_humidity, 0.0, 1.0, "as a fraction")
    return (
        relative_humidity
        * enhancement_factor(temperature, pressure)
        * saturation_pressure(temperature)
    )


def relative_humidity(temperature: float, vapour_pressure: float, pressure: float) -> float:
    """Return the relative humidity (a fraction; above 1 when over-saturated).

    ``temperature`` [°C] -40 to 60; ``vapour_pressure`` [Pa]; ``pressure`` of the air [Pa]
    60 000 to 110 000. The inverse of ``vapour_pressure``. Raises OutOfRange.
    """
    _check_vapour(vapour_pressure, pressure)
    return vapour_pressure / (
        enhancement_factor(temperature, pressure) * saturation_pressure(temperature)
    )


def vapour_pressure_deficit(temperature: float, vapour_pressure: float, pressure: float) -> float:
    """Return how much vapour pressure [Pa] the air is short of saturation.

    ``temperature`` [°C] -40 to 60; ``vapour_pressure`` [Pa]; ``pressure`` of the air [Pa]
    60 000 to 110 000. VPD = f es - e. Raises OutOfRange.
    """
    _check_vapour(vapour_pressure, pressure)
    return (
        enhancement_factor(temperature, pressure) * saturation_pressure(temperature)
        - vapour_pressure
    )


def dew_point(vapour_pressure: float, pressure: float) -> float:
    """Return the temperature [°C] at which this air is saturated, over liquid water.

    ``vapour_pressure`` [Pa], about 20 to 20 000 (dew points of -40 to 60 °C); ``pressure`` of
    the air [Pa] 60 000 to 110 000. Solves f(t, p) es(t) = e by substitution: the enhancement
    factor changes so little with temperature that each round gains four figures.

    Below 0 °C this is the dew point over supercooled water; frost forms about a tenth
    (in °C) nearer to zero. Raises OutOfRange.
    """
    _check_vapour(vapour_pressure, pressure)
    # f exceeds 1, so the first round starts a little too warm: hold it inside f's range.
    guess = saturation_temperature(vapour_pressure)
    for _ in range(2):
        guess = min(guess, HIGHEST_IN_AIR)
        guess = saturation_temperature(vapour_pressure / enhancement_factor(guess, pressure))
    if guess > HIGHEST_IN_AIR + 1e-6:
        raise OutOfRange("Dew point", guess, LOWEST, HIGHEST_IN_AIR, "°C", "moist air")
    return guess


def humidity_ratio(vapour_pressure: float, pressure: float) -> float:
    """Return the humidity ratio [kg of vapour per kg of dry air].

    ``vapour_pressure`` [Pa] from 0 to less than ``pressure`` of the air [Pa]. Equation:
    W = 0.62194 e / (p - e) (ASHRAE Handbook Fundamentals 2017, ch. 1, eq. 20), exact for mole
    fractions. Raises OutOfRange.
    """
    _check_vapour(vapour_pressure, pressure)
    return MASS_RATIO * vapour_pressure / (pressure - vapour_pressure)


def saturated_humidity_ratio(temperature: float, pressure: float) -> float:
    """Return the humidity ratio of saturated air [kg of vapour per kg of dry air].

    ``temperature`` [°C] -40 to 60; ``pressure`` of the air [Pa] 60 000 to 110 000. Equation:
    ASHRAE Handbook Fundamentals 2017, ch. 1, eq. 21, with the enhancement factor that the
    handbook's tables hold and its eq. 21 leaves out. Raises OutOfRange.
    """
    saturated = enhancement_factor(temperature, pressure) * saturation_pressure(temperature)
    return MASS_RATIO * saturated / (pressure - saturated)


def absolute_humidity(
    temperature: float, vapour_pressure: float, pressure: float = STANDARD_PRESSURE
) -> float:
    """Return the mass of vapour in a volume of air [kg/m³].

    ``temperature`` [°C] -40 to 60; ``vapour_pressure`` [Pa]; ``pressure`` of the air [Pa]
    60 000 to 110 000. Equation: e / (Z R T) per kilogram, with the compressibility of
    ``virial``. The pressure counts only through Z, less than 0.05 % at room temperature, so
    leaving it at sea level is harmless. Raises OutOfRange.
    """
    _check(temperature, pressure)
    _check_vapour(vapour_pressure, pressure)
    factor = compressibility(temperature, vapour_pressure / pressure, pressure)
    return vapour_pressure / (factor * WATER_GAS_CONSTANT * (temperature + ZERO_CELSIUS))


def moist_air_density(temperature: float, vapour_pressure: float, pressure: float) -> float:
    """Return the density of moist air [kg/m³]; more vapour makes air lighter.

    ``temperature`` [°C] -40 to 60; ``vapour_pressure`` [Pa]; ``pressure`` of the air [Pa]
    60 000 to 110 000. Equation: [(p - e) Ma + e Mw] / (Z R T), the form of CIPM-2007 (Picard et
    al. 2008, Metrologia 45:149, eq. 1) with the compressibility of ``virial``. Raises OutOfRange.
    """
    _check(temperature, pressure)
    _check_vapour(vapour_pressure, pressure)
    factor = compressibility(temperature, vapour_pressure / pressure, pressure)
    return ((pressure - vapour_pressure) * MOLAR_MASS_AIR + vapour_pressure * MOLAR_MASS_WATER) / (
        factor * GAS_CONSTANT * (temperature + ZERO_CELSIUS)
    )


def enthalpy(temperature: float, vapour_pressure: float, pressure: float) -> float:
    """Return the enthalpy of moist air [J per kg of dry air].

    ``temperature`` [°C] -40 to 60; ``vapour_pressure`` [Pa]; ``pressure`` of the air [Pa]
    60 000 to 110 000. Zero for dry air at 0 °C and sea-level pressure, and for liquid water at
    0 °C. Equation: h = ha + W hw of the ideal gases, plus the real gas's p (B - T dB/dT) of
    ``virial``. ha and hw are cubics fitted by us with CoolProp 8.0: ha, -40 to 60 °C, so that dry
    air at sea level is that of ASHRAE RP-1485 within 0.3 J/kg; hw, -40 to 100 °C, to the
    ideal-gas part of IAPWS-95 within 0.6 J/kg. Raises OutOfRange.
    """
    _check(temperature, pressure)
    _check_vapour(vapour_pressure, pressure)
    t = temperature
    air = ((1.00486e-4 * t + 0.0168244) * t + 1003.5659) * t + 281.088
    vapour = ((4.1545e-4 * t + 0.0921824) * t + 1859.008) * t + 2_501_442.2
    air_air, air_water, water_water = enthalpy_virials(temperature)
    water_part = vapour_pressure / pressure
    air_part = 1.0 - water_part
    real = air_part * (air_part * air_air + 2.0 * water_part * air_water)
    real += water_part * water_part * water_water
    ratio = MASS_RATIO * water_part / air_part
    return air + ratio * vapour + pressure * real / (MOLAR_MASS_AIR * air_part)


def wet_bulb(temperature: float, vapour_pressure: float, pressure: float) -> float:
    """Return the thermodynamic wet-bulb temperature [°C], over liquid water.

    ``temperature`` [°C] -15 to 60; ``vapour_pressure`` [Pa], at most saturation; ``pressure``
    of the air [Pa] 60 000 to 110 000. Adiabatic saturation (ASHRAE Handbook Fundamentals 2017,
    ch. 1, eq. 33): h + (Ws - W) hl = hs, solved by Newton's method. Raises OutOfRange.
    """
    if not -15.0 <= temperature <= HIGHEST_IN_AIR:
        raise OutOfRange("Temperature", temperature, -15.0, HIGHEST_IN_AIR, "°C", "wet bulb")
    most = enhancement_factor(temperature, pressure) * saturation_pressure(temperature)
    if not 0.0 <= vapour_pressure <= most * (1.0 + 1e-9):
        raise OutOfRange("Vapour pressure", vapour_pressure, 0.0, most, "Pa", "wet bulb")
    ratio = MASS_RATIO * vapour_pressure / (pressure - vapour_pressure)
    own = enthalpy(temperature, vapour_pressure, pressure)
    guess = temperature
    # The heat balance rises ever more steeply with temperature, so Newton's steps from the dry
    # bulb come down to the root from above; the slope is the ideal gas's, close enough to settle.
    for _ in range(30):
        saturated = enhancement_factor(guess, pressure) * saturation_pressure(guess)
        most = MASS_RATIO * saturated / (pressure - saturated)
        excess = enthalpy(guess, saturated, pressure) - own - (most - ratio) * _LIQUID_HEAT * guess
        latent = latent_heat(guess)
        kelvin = guess + ZERO_CELSIUS
        # Clausius and Clapeyron: d(es)/dt = es L / (Rw T²), and so for the humidity ratio.
        rise = most * (1.0 + most / MASS_RATIO) * latent / (WATER_GAS_CONSTANT * kelvin * kelvin)
        step = excess / (heat_capacity(ratio) + latent * rise)
        guess -= step
        if -1e-6 < step < 1e-6:
            break
    return guess
