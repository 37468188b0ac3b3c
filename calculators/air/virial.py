"""Why moist air is not quite an ideal gas: its second virial coefficients.

In: temperature [°C], and for a mixture the mole fraction of water and the air pressure [Pa].
Out: virial coefficients [m³/mol], the compressibility factor, the real gas's share of enthalpy.
At room conditions the effect is 0.04 % of a density and 0.4 % of what saturated air holds.
No range is checked here: the callers in ``saturation`` and ``mixture`` have checked theirs.

Sources, each of a pair of molecules:

- air and air: Hyland & Wexler 1983, ASHRAE Trans. 89(2A):500, as quoted from memory, and within
  0.6 cm³/mol of Lemmon et al. 2000 (the reference equation of air) from 0 to 60 °C;
- air and water: Harvey & Huang 2007, Int. J. Thermophys. 28:556, as used in ASHRAE RP-1485;
- water and water: IAPWS R7-97(2012), region 2, the terms linear in pressure of table 11.
"""

from __future__ import annotations

from calculators.quantities import ZERO_CELSIUS

GAS_CONSTANT = 8.314462618  # [J/(mol K)], CODATA 2018, exact since the SI of 2019

# Baa = sum of c / T^i [m³/mol]
_AIR = (0.349568e-4, -0.668772e-2, -0.210141e1, 0.924746e2)
# Baw = sum of a (T/100 K)^b [m³/mol]
_CROSS_A = (66.5687e-6, -238.834e-6, -176.755e-6)
_CROSS_B = (-0.237, -1.048, -3.183)
# Bww = R T / (1 MPa) times sum of n (540 K / T - 0.5)^j, j = 0, 1, 2, 3, 6
_WATER = (
    -0.17731742473213e-2,
    -0.17834862292358e-1,
    -0.45996013696365e-1,
    -0.57581259083432e-1,
    -0.50325278727930e-1,
)

_A0, _A1, _A2, _A3 = _AIR
_X0, _X1, _X2 = _CROSS_A
_Y0, _Y1, _Y2 = _CROSS_B
_W0, _W1, _W2, _W3, _W6 = _WATER


def second_virials(temperature: float) -> tuple[float, float, float]:
    """Return Baa, Baw and Bww [m³/mol] at ``temperature`` [°C], -40 to 100.

    Equations: see the head of this module.
    """
    kelvin = temperature + ZERO_CELSIUS
    inverse = 1.0 / kelvin
    ratio = 0.01 * kelvin
    u = 540.0 * inverse - 0.5
    cube = u * u * u
    return (
        ((_A3 * inverse + _A2) * inverse + _A1) * inverse + _A0,
        _X0 * ratio**_Y0 + _X1 * ratio**_Y1 + _X2 * ratio**_Y2,
        1e-6 * GAS_CONSTANT * kelvin * (_W0 + u * (_W1 + u * _W2) + cube * (_W3 + cube * _W6)),
    )


def enthalpy_virials(temperature: float) -> tuple[float, float, float]:
    """Return B - T dB/dT [m³/mol] of air-air, air-water and water-water at ``temperature`` [°C].

    The exact derivatives of ``second_virials``; pressure times this is what a mole of the real
    gas has in enthalpy above the ideal gas.
    """
    kelvin = temperature + ZERO_CELSIUS
    inverse = 1.0 / kelvin
    ratio = 0.01 * kelvin
    u = 540.0 * inverse - 0.5
    return (
        ((4.0 * _A3 * inverse + 3.0 * _A2) * inverse + 2.0 * _A1) * inverse + _A0,
        (1.0 - _Y0) * _X0 * ratio**_Y0
        + (1.0 - _Y1) * _X1 * ratio**_Y1
        + (1.0 - _Y2) * _X2 * ratio**_Y2,
        # T dB/dT of R T g(u) is R T (g - (540/T) dg/du), so only the slope of g is left.
        1e-6
        * GAS_CONSTANT
        * 540.0
        * (_W1 + u * (2.0 * _W2 + u * (3.0 * _W3 + 6.0 * _W6 * u * u * u))),
    )


def compressibility(temperature: float, mole_fraction: float, pressure: float) -> float:
    """Return Z = 1 + p B / (R T) of moist air, about 0.9996.

    ``temperature`` [°C]; ``mole_fraction`` of water, 0 to 1; ``pressure`` [Pa]. The mixture rule
    of second virial coefficients is exact: B = sum of xi xj Bij.
    """
    air_air, air_water, water_water = second_virials(temperature)
    air = 1.0 - mole_fraction
    mixture = air * (air * air_air + 2.0 * mole_fraction * air_water)
    mixture += mole_fraction * mole_fraction * water_water
    return 1.0 + pressure * mixture / (GAS_CONSTANT * (temperature + ZERO_CELSIUS))
