"""Humidity over saturated salts: the fixed points a gauge is held against.

In: a salt by its plain name, a temperature [°C]. Out: relative humidity, and how sure it is.
"""

from __future__ import annotations

from math import exp
from typing import Literal

from calculators.errors import OutOfRange
from calculators.quantities import ZERO_CELSIUS, Range

Salt = Literal[
    "table salt",
    "magnesium chloride",
    "magnesium nitrate",
    "potassium chloride",
    "potassium nitrate",
    "potassium sulphate",
]
# RH [%] = A exp(B / T), T [K]: CRC Handbook of Chemistry and Physics, "Constant Humidity
# Solutions", after Wexler & Seinfeld 1991 and Greenspan 1977; stated there to be good to 2 %.
_CRC: dict[str, tuple[float, float]] = {
    "magnesium chloride": (29.26, 34.0),
    "magnesium nitrate": (25.28, 220.0),
    "potassium chloride": (49.38, 159.0),
    "potassium nitrate": (43.22, 225.0),
    "potassium sulphate": (86.75, 34.0),
}
CRC_UNCERTAINTY = 0.02
TABLE_SALT_UNCERTAINTY = 0.005
"""OIML R 121 states 0.2 to 0.3 %; Wexler & Hasegawa 1954 measured 0.5 % more at 30 °C."""

LOWEST, HIGHEST = 15.0, 35.0  # [°C], a room; each fit is within its stated uncertainty here


def fixed_point(salt: str, temperature: float) -> Range:
    """Return the relative humidity (a fraction) over a salt's wet slurry in a closed jar.

    Arguments: salt, one of ``Salt``; temperature [°C], 15 to 35.
    Equations: table salt (NaCl) 75.5164 + 0.0398321 t - 0.00265459 t² + 2.848e-5 t³ [%],
    Greenspan 1977, J. Res. NBS 81A:89, as in OIML R 121; the band of ± 0.5 % covers Wexler &
    Hasegawa 1954 too. Others A exp(B / T), CRC Handbook, ± 2 %; for potassium chloride the
    handbook's range ends at 25 °C, and carried on to 35 °C it stays within 0.3 % of Greenspan.
    Errors: OutOfRange.
    """
    if not LOWEST <= temperature <= HIGHEST:
        raise OutOfRange("A temperature", temperature, LOWEST, HIGHEST, "°C", "salt test")
    if salt == "table salt":
        t = temperature
        percent = 75.5164 + t * (0.0398321 + t * (-0.00265459 + t * 2.848e-5))
        middle, width = percent / 100.0, TABLE_SALT_UNCERTAINTY
    else:
        a, b = _CRC[salt]
        middle, width = a * exp(b / (temperature + ZERO_CELSIUS)) / 100.0, CRC_UNCERTAINTY
    return Range(middle, middle - width, min(1.0, middle + width))
