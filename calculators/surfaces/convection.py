"""Heat carried by air that moves over a plate.

In: Rayleigh, Reynolds and Prandtl numbers. Out: Nusselt numbers, averaged over the plate.
The same functions give the Sherwood number of vapour when the Rayleigh number is formed with the
density difference of moist air and the diffusivity of vapour, and the Schmidt number stands for
the Prandtl number (the analogy of heat and mass transfer).

Accepted formulas differ from each other by up to 12 % for vertical plates and 30 to 45 % for
horizontal ones: an answer that rests on them is no better than that.
"""

from __future__ import annotations

from math import sqrt

from calculators.errors import OutOfRange
from calculators.quantities import ZERO_CELSIUS

GRAVITY = 9.80665  # m/s², standard gravity, CGPM 1901

STILL_PLATE = 0.6366197723675814
"""2/π: conduction from one face of a disc flush in a wall, on the length area over perimeter.

Exact (Carslaw & Jaeger, Conduction of Heat in Solids, 2nd ed., section 8.2: 4 k a ΔT from a disc of
radius a). No plate loses less, so a solver never meets a film that stops carrying.
"""

PEAK_SPEED = 0.5524
"""2 f'max, f'max = 0.2762: peak of the similarity profile of a heated vertical wall at Pr 0.72.

Ostrach, S. (1953), NACA Report 1111, solves f''' + 3 f f'' - 2 f'² + θ = 0 and
θ'' + 3 Pr f θ' = 0, with speed u = 2 sqrt(g β ΔT x) f' (Incropera & DeWitt, 7th ed., eqs 9.13 to
9.18). The peak was found by solving the two equations; the published checks solve them again and
compare the wall gradients with Ostrach's table. Air's Prandtl number, 0.70 to 0.72, moves it 0.8 %.
"""

UNEVENNESS = 3e-4
"""Relative density difference of 0.1 K: no water and no tank's air is more even than that.

Calm and stirred air hand over to each other across it, so that the flux has no cliff where a pool
is as heavy as its air, which is where a pool about 1 K cooler than a tank's air lies. Our choice,
not published; above 1 K of difference it changes the coefficient by less than 0.3 %.
"""


def rayleigh_number(
    relative_density_difference: float,
    length: float,
    kinematic_viscosity: float,
    diffusivity: float,
) -> float:
    """Return the Rayleigh number [1], g δ L³ / (ν D), of either sign of δ as its size.

    Arguments: relative_density_difference δ [1] (β ΔT for warm dry air); length L [m];
    kinematic_viscosity ν [m²/s]; diffusivity D of heat or vapour [m²/s].
    Source: definition, e.g. Incropera & DeWitt, 7th ed., eq. 9.25.
    """
    return (
        GRAVITY * abs(relative_density_difference) * length**3 / (kinematic_viscosity * diffusivity)
    )


def nusselt_vertical(rayleigh: float, prandtl: float) -> float:
    """Return the mean Nusselt number [1] of an isothermal vertical plate, on its height.

    Arguments: rayleigh [1], 0 to 1e12; prandtl [1], 1e-3 to 1e5.
    Equation: Nu = {0.825 + 0.387 Ra^(1/6) / [1 + (0.492/Pr)^(9/16)]^(8/27)}².
    Errors: OutOfRange.
    Source: Churchill & Chu (1975), Int. J. Heat Mass Transfer 18:1323, eq. 9.
    """
    if not 0.0 <= rayleigh <= 1e12:
        raise OutOfRange("A Rayleigh number", rayleigh, 0.0, 1e12, "", "Churchill & Chu 1975")
    if not 1e-3 <= prandtl <= 1e5:
        raise OutOfRange("A Prandtl number", prandtl, 1e-3, 1e5, "", "Churchill & Chu 1975")
    spread: float = (1.0 + (0.492 / prandtl) ** 0.5625) ** (8.0 / 27.0)
    root: float = 0.825 + 0.387 * rayleigh ** (1.0 / 6.0) / spread
    return root * root


def nusselt_horizontal_unstable(rayleigh: float) -> float:
    """Return the mean Nusselt number [1] above a warm floor or below a cold lid.

    Arguments: rayleigh [1], 0 to 1e11, on the length area / perimeter.
    Equations, the largest of (so the answer never jumps where one hands over to the next):
    2/π (conduction, see STILL_PLATE); 0.96 Ra^(1/6), 1 to 200; 0.54 Ra^(1/4), 1e4 to 1e7;
    0.15 Ra^(1/3), 1e7 to 1e11. The hand-overs fall at Ra 1.0e3 and 4.7e6.
    Errors: OutOfRange.
    Sources: Goldstein, Sparrow & Jones (1973), Int. J. Heat Mass Transfer 16:1025 (below 1e3, from
    memory); Lloyd & Moran (1974), J. Heat Transfer 96:443 and McAdams (1954), as in Incropera &
    DeWitt, 7th ed., eqs 9.30 and 9.31.
    """
    if not 0.0 <= rayleigh <= 1e11:
        raise OutOfRange("A Rayleigh number", rayleigh, 0.0, 1e11, "", "Lloyd & Moran 1974")
    small: float = 0.96 * rayleigh ** (1.0 / 6.0)
    turbulent: float = 0.15 * rayleigh ** (1.0 / 3.0)
    return max(STILL_PLATE, small, 0.54 * sqrt(sqrt(rayleigh)), turbulent)


def nusselt_horizontal_stable(rayleigh: float) -> float:
    """Return the mean Nusselt number [1] above a cold floor or below a warm lid.

    Arguments: rayleigh [1], 0 to 1e10, on the length area / perimeter.
    Equations, the largest of: 2/π (conduction, see STILL_PLATE); 0.52 Ra^(1/5), 1e4 to 1e9;
    0.27 Ra^(1/4), 3e5 to 1e10. The hand-over falls at Ra 4.9e5; below 1e4 the fifth power is
    carried on down to conduction.
    Errors: OutOfRange.
    Sources: Radziemska & Lewandowski (2001), Applied Energy 68:347, as in Incropera & DeWitt,
    7th ed., eq. 9.32; McAdams (1954), Heat Transmission, 3rd ed., as in the 6th ed. (both from
    memory; the second also in ht).
    """
    if not 0.0 <= rayleigh <= 1e10:
        raise OutOfRange("A Rayleigh number", rayleigh, 0.0, 1e10, "", "McAdams 1954")
    small: float = 0.52 * rayleigh**0.2
    return max(STILL_PLATE, small, 0.27 * sqrt(sqrt(rayleigh)))


def nusselt_horizontal(lighter: float, rayleigh_per_difference: float) -> float:
    """Return the mean Nusselt number [1] of a horizontal surface, calm or stirred, with no cliff.

    Arguments: lighter [1], the relative density difference δ by which the air at the surface would
    move away from it: above 0 for a warm floor or a cold lid, below 0 for the reverse;
    rayleigh_per_difference [1], g L³ / (ν D), rayleigh_number for a difference of 1.
    Equation: w Nu_unstable + (1 - w) Nu_stable at Ra of d, with d² = δ² + δ0² and
    w = (1 + δ/d) / 2, δ0 = UNEVENNESS: far from δ0 the two published laws as they stand.
    Errors: OutOfRange.
    Source: nusselt_horizontal_unstable, nusselt_horizontal_stable; the blend is ours.
    """
    difference = sqrt(lighter * lighter + UNEVENNESS * UNEVENNESS)
    rayleigh = rayleigh_per_difference * difference
    stirred = 0.5 * (1.0 + lighter / difference)
    return stirred * nusselt_horizontal_unstable(rayleigh) + (
        1.0 - stirred
    ) * nusselt_horizontal_stable(rayleigh)


def nusselt_forced_laminar(reynolds: float, prandtl: float) -> float:
    """Return the mean Nusselt number [1] of a plate in a laminar stream, on its length.

    Arguments: reynolds [1], 0 to 5e5; prandtl [1], 0.6 to 50.
    Equation: Nu = 0.664 Re^(1/2) Pr^(1/3).
    Errors: OutOfRange.
    Source: Pohlhausen (1921), as in Incropera & DeWitt, 7th ed., eq. 7.30.
    """
    if not 0.0 <= reynolds <= 5e5:
        raise OutOfRange("A Reynolds number", reynolds, 0.0, 5e5, "", "Pohlhausen 1921")
    if not 0.6 <= prandtl <= 50.0:
        raise OutOfRange("A Prandtl number", prandtl, 0.6, 50.0, "", "Pohlhausen 1921")
    nusselt: float = 0.664 * sqrt(reynolds) * prandtl ** (1.0 / 3.0)
    return nusselt


def mixed(natural: float, forced: float) -> float:
    """Return natural and forced transfer together, (natural³ + forced³)^(1/3), in their unit.

    Arguments: natural and forced [any one unit], 0 or more: Nusselt numbers on one length, or
    coefficients.
    Source: Churchill (1977), AIChE Journal 23:10, as in Incropera & DeWitt, 7th ed., eq. 9.64.
    """
    together: float = (natural**3 + forced**3) ** (1.0 / 3.0)
    return together


def boundary_layer_speed(wall_temperature: float, air_temperature: float, height: float) -> float:
    """Return the fastest air speed [m/s] that a warm or cold wall drives, at its far end.

    Arguments: wall_temperature and air_temperature [°C], -20 to 100; height [m], 0 to 2.
    Equation: u = 2 f'max sqrt(g β ΔT x), β = 1 / film temperature [1/K], see PEAK_SPEED. Laminar:
    the Rayleigh number in air at 25 °C and sea level (ν α = 3.43e-10 m⁴/s²) must stay below 1e9.
    Errors: OutOfRange.
    Source: Ostrach (1953), NACA Report 1111; transition, Incropera & DeWitt, 7th ed., eq. 9.23.
    """
    source = "Ostrach 1953"
    for temperature in (wall_temperature, air_temperature):
        if not -20.0 <= temperature <= 100.0:
            raise OutOfRange("A temperature", temperature, -20.0, 100.0, "°C", source)
    if not 0.0 <= height <= 2.0:
        raise OutOfRange("A height", height, 0.0, 2.0, "m", source)
    film = 0.5 * (wall_temperature + air_temperature) + ZERO_CELSIUS
    squared = GRAVITY * abs(wall_temperature - air_temperature) / film * height
    rayleigh = squared * height * height / 3.43e-10
    if rayleigh > 1e9:
        raise OutOfRange("A Rayleigh number", rayleigh, 0.0, 1e9, "", source)
    return PEAK_SPEED * sqrt(squared)
