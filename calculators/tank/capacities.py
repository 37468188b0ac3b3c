"""What the parts of a tank hold: heat, and water that hangs on glass or sits in moss.

In: a tank. Out: heat capacities [J/K] of its nodes and the water [kg] they can keep. Steady
balances need none of this; courses in time stand on it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import pi, sqrt

from calculators.quantities import DAY
from calculators.surfaces.sorption import fibre_moisture
from calculators.tank.geometry import POOL_DEPTH_AT_WALL, Tank

GLASS_HEAT = 2500.0 * 720.0
"""Of glass [J/(m³ K)]: density and specific heat of EN 572-1:2012, table 1 (from memory)."""
WATER_DENSITY = 997.0
"""Of water at 25 °C [kg/m³], IAPWS; the pools and the moss are near enough to that."""
WATER_HEAT = WATER_DENSITY * 4180.0
"""Of water at 25 °C [J/(m³ K)], IAPWS; sea water holds 2 % less, which is left out."""
SUBSTRATE_HEAT = 1.9e6
"""Of damp sand and coir [J/(m³ K)]: dry sand 1515 kg/m³ at 800 J/(kg K) (Incropera & DeWitt, 7th
ed., table A.3, from memory) with about 160 kg/m³ of water in it (common practice, no source)."""
THIN_LID_HEAT = 200.0
"""Of film or mesh as a lid [J/(m² K)]: about a tenth of a millimetre of plastic; assumed."""
POOL_DEPTH = POOL_DEPTH_AT_WALL
"""Depth of both pools [m]; common practice, no source."""

MOSS_DRY = 0.6
"""Dry moss a damp layer is made of [kg/m²]: 3 cm of loose sphagnum at 20 kg/m³; assumed."""
MOSS_WATER = 10.0
"""Water in moss that was wetted and squeezed out [kg per kg of dry moss]; assumed."""
FREE_WATER = 0.4
"""Fibre with more water than this [kg/kg] has some that is free, whatever its temperature."""
MOSS_HEAT = 1400.0
"""Of dry moss [J/(kg K)], as wood at 25 °C: Wood Handbook, eq. 4-16, rounded (from memory)."""

PANES_HOLD = 0.04
"""Water that hangs on upright glass before it runs [kg/m²]: 0.03 to 0.05, BS 5250 (from memory)."""
LID_HOLD = 0.20
"""Water that hangs under level glass before it drips [kg/m²]: about 0.25 and less with the knocks
of a lid that is opened, BS 5250 (from memory)."""
CLEARING = 0.004
"""Water [kg/m²] at which drops cover half the glass: as they dry they cover ever less; assumed."""
RUN_OFF_SECONDS = 600.0
"""Water above what hangs runs down to the substrate in about this time [s]; assumed."""

_DAMPEST = 0.98  # relative humidity up to which fibre_moisture holds


def daily_depth(conductivity: float, volumetric_heat: float, period: float = DAY) -> float:
    """Return the depth [m] of ground that stores as much heat as a whole half space does.

    Arguments: conductivity k [W/(m K)], volumetric_heat c [J/(m³ K)], period T [s], each above 0.
    Equation: δ/√2, δ = sqrt(k T / (π c)), the periodic penetration depth: a layer so deep has the
    thermal admittance sqrt(2π k c / T) of the half space.
    Source: ISO 13786:2017, eqs 10 and 11 (from memory); Carslaw & Jaeger, section 2.6.
    """
    return sqrt(0.5 * conductivity * period / (pi * volumetric_heat))


def fibre_humidity(temperature: float, content: float) -> float:
    """Return the relative humidity (0 to 1) of air in balance with fibre of a water ``content``.

    Arguments: temperature [°C], 0 to 55; content [kg per kg of dry fibre], 0 or more. The inverse
    of ``fibre_moisture``, by halving, as far as that goes (0.98); from there straight on to 1,
    free water, at 0.03 more. Errors: OutOfRange.
    """
    beyond = content - fibre_moisture(temperature, _DAMPEST)
    if beyond >= 0.0:
        return min(_DAMPEST + beyond * (1.0 - _DAMPEST) / 0.03, 1.0)
    low, high = 0.0, _DAMPEST
    for _ in range(26):
        middle = 0.5 * (low + high)
        if fibre_moisture(temperature, middle) < content:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


@dataclass(frozen=True)
class Capacities:
    """Heat [J/K] and water [kg] that the parts of ``tank`` hold.

    One temperature stands for each part: true of a pane, less so of a pool or the substrate, whose
    deeper layers lag. In the first hour after a change the substrate answers faster than here.
    """

    tank: Tank

    @cached_property
    def surfaces(self) -> tuple[float, ...]:
        """Heat capacities of the seven surfaces in the order of ``nodes`` [J/K], moss dry."""
        tank, card = self.tank, self.tank.card
        glass = GLASS_HEAT * card.glass_thickness
        lid = glass if card.lid in ("glass", "glass with gaps") else THIN_LID_HEAT
        depth = daily_depth(tank.substrate_conductivity, SUBSTRATE_HEAT)
        # A bare floor still is a pane of glass.
        ground = SUBSTRATE_HEAT * min(card.substrate_depth, depth) + glass
        return (
            WATER_HEAT * POOL_DEPTH * tank.fresh_pool_area,
            WATER_HEAT * POOL_DEPTH * tank.marine_pool_area,
            ground * tank.floor_area,
            MOSS_HEAT * self.moss_dry,
            glass * tank.panel_area,
            glass * tank.panes_area,
            lid * tank.floor_area,
        )

    @cached_property
    def moss_dry(self) -> float:
        """Dry mass of the moss [kg]."""
        return MOSS_DRY * self.tank.moss_area

    @cached_property
    def moss_water(self) -> float:
        """Water in the moss when it was laid, damp [kg]."""
        return MOSS_WATER * self.moss_dry
