"""Heat through panes, lids and insulation.

In: thicknesses, conductivities, film resistances. Out: resistances [m² K/W] and U values.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from calculators.errors import OutOfRange

# Surface resistances [m² K/W], convection and radiation together: ISO 6946:2017, table 7
# (from memory). A pane that stands indoors has an indoor film on BOTH sides.
FILM_WALL = 0.13  # heat flows sideways
FILM_DOWN = 0.17  # heat flows down: through a base


class Material(NamedTuple):
    """A material by name, its conductivity [W/(m K)] and where the value is from."""

    name: str
    conductivity: float
    source: str


GLASS = Material("soda-lime glass", 1.0, "EN 673:2011, 5.2.3 (from memory)")
EXPANDED_POLYSTYRENE = Material(
    "expanded polystyrene", 0.036, "EN 13163 declared values, 0.030 to 0.040 (from memory)"
)
DAMP_SAND = Material(
    "damp sand", 1.0, "from memory; published values run from 0.6 to 1.8 with the water in it"
)


def layer_resistance(thickness: float, conductivity: float) -> float:
    """Return the resistance [m² K/W] of a flat layer, thickness / conductivity.

    Arguments: thickness [m], 0 to 1; conductivity [W/(m K)], 0.01 to 500.
    Errors: OutOfRange.
    Source: ISO 6946:2017, eq. 3 (from memory).
    """
    if not 0.0 <= thickness <= 1.0:
        raise OutOfRange("A thickness", thickness, 0.0, 1.0, "m", "ISO 6946")
    if not 0.01 <= conductivity <= 500.0:
        raise OutOfRange("A conductivity", conductivity, 0.01, 500.0, "W/(m K)", "ISO 6946")
    return thickness / conductivity


def series_resistance(resistances: Sequence[float]) -> float:
    """Return the resistance [m² K/W] of layers one behind the other, their sum.

    Arguments: resistances [m² K/W], each 0 or more.
    Errors: OutOfRange.
    Source: ISO 6946:2017, eq. 4 (from memory).
    """
    for resistance in resistances:
        if not resistance >= 0.0:
            raise OutOfRange("A resistance", resistance, 0.0, 100.0, "m² K/W", "ISO 6946")
    return sum(resistances)


def u_value(
    resistances: Sequence[float], inner_film: float = FILM_WALL, outer_film: float = FILM_WALL
) -> float:
    """Return the heat [W/(m² K)] that passes a pane from air to air.

    Arguments: resistances of the layers [m² K/W], each 0 or more; inner_film, outer_film
    [m² K/W], indoors on both sides unless told otherwise.
    Equation: U = 1 / (Rsi + R1 + R2 + … + Rse).
    Errors: OutOfRange.
    Source: ISO 6946:2017, eqs 1 and 4 (from memory).
    """
    total = series_resistance((*resistances, inner_film, outer_film))
    if not total > 0.0:
        raise OutOfRange("A total resistance", total, 0.0, 100.0, "m² K/W", "ISO 6946")
    return 1.0 / total
