"""The tank as the balance sees it: areas, volumes, conductances, and what is only assumed.

In: a tank card. Out: one frozen Tank whose uncertain coefficients stand in the open, so that a fit
to the reader's own readings, or a sweep over what nobody knows, changes one of them by name.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import log, pi, sqrt
from typing import Literal, NamedTuple

from calculators.quantities import Range
from calculators.surfaces.conduction import (
    DAMP_SAND,
    EXPANDED_POLYSTYRENE,
    FILM_DOWN,
    FILM_WALL,
    GLASS,
    layer_resistance,
)
from calculators.surfaces.radiation import (
    GLASS_EMISSIVITY,
    SUBSTRATE_EMISSIVITY,
    WATER_EMISSIVITY,
)
from calculators.tank.card import TankCard
from calculators.tank.openings import assumed_air_changes

# What no keeper can measure with a tape. Each is assumed (common practice, no source) within the
# band that holds it with about 80 % confidence; a fit to the reader's tank takes it up.
WETNESS = Range(0.10, 0.02, 0.40)
"""Share of the substrate's surface that gives off vapour like free water [1]."""
EVAPORATION_FACTOR = Range(1.0, 0.65, 1.5)
"""Multiplier on the published evaporation from pools, substrate and moss [1]."""
FILM_FACTOR = Range(1.0, 0.85, 1.15)
"""Multiplier on the published films of air inside the tank [1]: the spread of the formulas."""
SUBSTRATE_CONDUCTIVITY = Range(DAMP_SAND.conductivity, 0.6, 1.8)
"""Sand and coir, damp enough to hold a tunnel [W/(m K)]; see conduction.DAMP_SAND."""
POOL_CONTACT = Range(15.0, 5.0, 40.0)
"""From a pool's side to the heated wall [W/(m² K)]: 1 to 5 mm of still air and a thin dish."""
MOSS_CONTACT = Range(20.0, 10.0, 40.0)
"""From damp moss to what it lies on [W/(m² K)]: 1 to 4 cm at about 0.4 W/(m K)."""
BACK_RESISTANCE = Range(0.15, 0.12, 0.30)
"""From the heat mat's outer face to the room [m² K/W]: its cover, then the indoor film 0.13."""

POOL_DEPTH_AT_WALL = 0.05
"""Height of a pool's side that faces the heated wall [m]; common practice, no source."""
MESH_OPEN = 0.6
"""Open share of a mesh lid [1]; makers' data for insect mesh, 0.5 to 0.7 (from memory)."""
SALINITY = 0.035
"""The marine pool's salinity [kg/kg]."""

_LEAST_AREA = 1e-6  # m²: less is none


class Radiators(NamedTuple):
    """What each inner surface offers to the radiant mean [m²]: area times exchange factor."""

    fresh_pool: float
    marine_pool: float
    substrate: float
    moss: float
    panel: float
    panes: float
    lid: float


@dataclass(frozen=True)
class Tank:
    """A tank card with what must be assumed beside it.

    ``air_changes`` [1/s] without the pump's air; the rest as the Ranges of the same names in this
    module: ``wetness`` [1], ``evaporation_factor`` [1], ``film_factor`` [1],
    ``substrate_conductivity`` [W/(m K)], ``pool_contact`` and ``moss_contact`` [W/(m² K)],
    ``back_resistance`` [m² K/W], ``salinity`` [kg/kg].
    """

    card: TankCard
    air_changes: float
    wetness: float = WETNESS.middle
    evaporation_factor: float = EVAPORATION_FACTOR.middle
    film_factor: float = FILM_FACTOR.middle
    substrate_conductivity: float = SUBSTRATE_CONDUCTIVITY.middle
    pool_contact: float = POOL_CONTACT.middle
    moss_contact: float = MOSS_CONTACT.middle
    back_resistance: float = BACK_RESISTANCE.middle
    salinity: float = SALINITY

    @classmethod
    def of(cls, card: TankCard) -> Tank:
        """Return the tank of ``card``; its air changes if measured, else assumed for its lid."""
        measured = card.air_changes
        return cls(card, assumed_air_changes(card.lid).middle if measured is None else measured)

    # Sizes

    @cached_property
    def air_height(self) -> float:
        """From the substrate to the lid [m]."""
        return self.card.tank_height - self.card.substrate_depth

    @cached_property
    def floor_area(self) -> float:
        """The floor, and the lid [m²]."""
        return self.card.tank_length * self.card.tank_width

    @cached_property
    def air_volume(self) -> float:
        """Air above the substrate [m³]; what stands in it is left out."""
        return self.floor_area * self.air_height

    @cached_property
    def panel_area(self) -> float:
        """Glass with the heat mat behind it [m²]."""
        return self.card.heater_area if self.card.heater_area > _LEAST_AREA else 0.0

    @cached_property
    def panel_height(self) -> float:
        """Height of the heat mat [m]: a square, or as high as the wall allows."""
        return min(sqrt(self.panel_area), self.air_height)

    @cached_property
    def panes_area(self) -> float:
        """Glass above the substrate with no mat behind it [m²]: front, back and both ends."""
        around = 2.0 * (self.card.tank_length + self.card.tank_width)
        return around * self.air_height - self.panel_area

    @cached_property
    def fresh_pool_area(self) -> float:
        """Water surface of the fresh pool [m²]."""
        area = self.card.fresh_pool_area
        return area if area > _LEAST_AREA else 0.0

    @cached_property
    def marine_pool_area(self) -> float:
        """Water surface of the marine pool [m²]."""
        area = self.card.marine_pool_area
        return area if area > _LEAST_AREA else 0.0

    @cached_property
    def moss_base(self) -> Literal["none", "substrate", "panel", "panes"]:
        """What the damp moss lies on, and so what temperature it takes."""
        if self.card.moss_place == "none" or self.card.moss_area <= _LEAST_AREA:
            return "none"
        if self.card.moss_place == "tray":
            return "substrate"
        return "panel" if self.panel_area > 0.0 else "panes"

    @cached_property
    def moss_area(self) -> float:
        """Damp moss that faces the air [m²]; on a wall no more than the back wall holds."""
        if self.moss_base == "none":
            return 0.0
        if self.moss_base == "substrate":
            return self.card.moss_area
        return min(self.card.moss_area, self.card.tank_length * self.air_height)

    @cached_property
    def moss_contact_area(self) -> float:
        """Moss that touches its base [m²]; on the heated wall no more than the mat's area."""
        return min(self.moss_area, self.panel_area) if self.moss_base == "panel" else self.moss_area

    @cached_property
    def bare_panel_area(self) -> float:
        """Heated glass that moss does not cover [m²]."""
        covered = self.moss_contact_area if self.moss_base == "panel" else 0.0
        return self.panel_area - covered

    @cached_property
    def substrate_area(self) -> float:
        """Substrate that faces the air [m²]: the floor less pools and a moss tray."""
        tray = self.moss_area if self.moss_base == "substrate" else 0.0
        return self.floor_area - self.fresh_pool_area - self.marine_pool_area - tray

    # Conductances [W/K] and resistances [m² K/W]

    @cached_property
    def pane_resistance(self) -> float:
        """Glass, and insulation where there is any (expanded polystyrene) [m² K/W]."""
        glass = layer_resistance(self.card.glass_thickness, GLASS.conductivity)
        return glass + layer_resistance(
            self.card.wall_insulation, EXPANDED_POLYSTYRENE.conductivity
        )

    @cached_property
    def lid_resistance(self) -> float:
        """A glass lid as thick as the panes; film and mesh have none [m² K/W]."""
        glass = self.card.lid in ("glass", "glass with gaps")
        return layer_resistance(self.card.glass_thickness, GLASS.conductivity) if glass else 0.0

    @cached_property
    def panel_resistance(self) -> float:
        """From the heat mat to the inner face of the glass it is stuck to [m² K/W]."""
        return layer_resistance(self.card.glass_thickness, GLASS.conductivity)

    @cached_property
    def floor_conductance(self) -> float:
        """From the substrate's surface straight down, glass, still air below [W/K]."""
        down = self.card.substrate_depth / self.substrate_conductivity
        return self.floor_area / (down + self.panel_resistance + FILM_DOWN)

    @cached_property
    def side_conductance(self) -> float:
        """From the substrate's surface to the room through the buried part of the panes [W/K].

        Heat that leaves the pane at depth z has run along a quarter circle, π z / 2:
        ∫ dz / (R + π z / 2k) = (2k/π) ln(1 + π d / (2 k R)). Latta & Boileau (1969), Canadian
        Building 19:16, as in the ASHRAE Handbook, for basement walls (from memory).
        """
        around = 2.0 * (self.card.tank_length + self.card.tank_width)
        outside = self.pane_resistance + FILM_WALL
        k, depth = self.substrate_conductivity, self.card.substrate_depth
        return around * 2.0 * k / pi * log(1.0 + pi * depth / (2.0 * k * outside))

    def dish_conductance(self, area: float) -> float:
        """From a pool of ``area`` [m²] to the substrate it stands on [W/K], 2 k D.

        A disc on the face of a half space: Incropera & DeWitt, 7th ed., table 4.1, case 10.
        """
        return 2.0 * self.substrate_conductivity * sqrt(4.0 * area / pi)

    def wall_contact_conductance(self, area: float, length: float) -> float:
        """From a pool to the heated wall [W/K]; 0 unless it stands against one."""
        if self.card.pools_place == "away" or area == 0.0 or self.panel_area == 0.0:
            return 0.0
        return self.pool_contact * min(length * POOL_DEPTH_AT_WALL, self.panel_area)

    # Radiation

    @cached_property
    def radiators(self) -> Radiators:
        """What each surface offers to the radiant mean: A / (1/F + (1 - ε)/ε) [m²].

        F = 1 / (1 - A F / ΣA F), solved by substitution for the six inner faces of the tank.
        Source: Carroll (1980), 'An MRT method of computing radiant energy exchange in rooms',
        Proc. 2nd Systems Simulation and Economic Analysis Conf., San Diego (from memory).
        """
        length, width = self.card.tank_length, self.card.tank_width
        faces = (length * width, length * self.air_height, width * self.air_height)
        factors = [1.0, 1.0, 1.0]
        for _ in range(12):
            products = [area * factor for area, factor in zip(faces, factors, strict=True)]
            total = 2.0 * sum(products)
            factors = [1.0 / (1.0 - product / total) for product in products]
        level, long, short = factors

        def offered(area: float, factor: float, emissivity: float) -> float:
            return area / (1.0 / factor + (1.0 - emissivity) / emissivity)

        ends = 2.0 * faces[2]
        front_and_back = 2.0 * faces[1] - self.panel_area
        on_floor = self.moss_base == "substrate"
        return Radiators(
            offered(self.fresh_pool_area, level, WATER_EMISSIVITY),
            offered(self.marine_pool_area, level, WATER_EMISSIVITY),
            offered(self.substrate_area, level, SUBSTRATE_EMISSIVITY),
            offered(self.moss_area, level if on_floor else long, WATER_EMISSIVITY),
            offered(self.bare_panel_area, long, GLASS_EMISSIVITY),
            offered(front_and_back, long, GLASS_EMISSIVITY)
            + offered(ends, short, GLASS_EMISSIVITY),
            offered(self.floor_area, level, GLASS_EMISSIVITY),
        )
