"""Water that plant fibre takes from the air, and holds.

In: temperature [°C] and relative humidity (a fraction). Out: the water it holds at rest [kg/kg].
"""

from __future__ import annotations

from calculators.errors import OutOfRange


def fibre_moisture(temperature: float, relative_humidity: float) -> float:
    """Return the water that wood holds in air for long enough [kg per kg of dry wood].

    Arguments: temperature [°C], 0 to 55; relative_humidity, 0 to 0.98. Equation of Hailwood &
    Horrobin: M = 18/W [K h/(1 - K h) + (K1 K h + 2 K1 K2 K² h²)/(1 + K1 K h + K1 K2 K² h²)], its
    constants quadratic in temperature. It fits the handbook's table within 0.1 % of moisture.
    No published isotherm of sphagnum or coir was found: they are plant fibre too, and may hold
    a third more or less.
    Errors: OutOfRange.
    Source: Wood Handbook, USDA FPL-GTR-282, ch. 4, eq. 4-5 (constants as in a public
    implementation after Simpson 1998, FPL-RN-0268).
    """
    if not 0.0 <= temperature <= 55.0:
        raise OutOfRange("A temperature", temperature, 0.0, 55.0, "°C", "Wood Handbook")
    if not 0.0 <= relative_humidity <= 0.98:
        raise OutOfRange(
            "A relative humidity", relative_humidity, 0.0, 0.98, "as a fraction", "Wood Handbook"
        )
    t = temperature
    w = 349.0 + t * (1.29 + t * 0.0135)
    k1 = 6.27 - t * (0.00938 + t * 0.000303)
    k2 = 1.91 + t * (0.0407 - t * 0.000293)
    x = relative_humidity * (0.805 + t * (0.000736 - t * 0.00000273))
    dissolved = x / (1.0 - x)
    bound = k1 * x * (1.0 + 2.0 * k2 * x) / (1.0 + k1 * x * (1.0 + k2 * x))
    return 18.0 / w * (dissolved + bound)
