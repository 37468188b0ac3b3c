"""The tank card: the reader's own tank, entered once and shared by every calculator.

In: what a keeper can measure with a tape, a thermometer and a hygrometer. Out: one frozen card.
Three invented tanks of the Saltmarsh Lane Keepers' Circle stand ready.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, ClassVar, Literal

from annotated_types import Interval

from calculators.errors import InputError, Problem
from calculators.quantities import (
    AIR_CHANGES,
    AIR_FLOW,
    AREA,
    DAY,
    HOUR,
    LENGTH,
    POWER,
    RELATIVE_HUMIDITY,
    TEMPERATURE,
    THICKNESS,
    WATER_PER_DAY,
    Says,
    both,
)

Lid = Literal["glass", "glass with gaps", "film over mesh", "mesh"]
PoolsPlace = Literal["at the heated wall", "away"]
MossPlace = Literal["none", "at the heated wall", "tray"]
PumpSource = Literal["room", "tank"]
Species = Literal["Caribbean", "Indo-Pacific"]

_POOL = Interval(ge=0.0, le=1.0)


@dataclass(frozen=True)
class TankCard:
    """A tank, its room and its target; lengths in m, areas in m², temperatures in °C.

    Raises InputError naming each measure that cannot go with the others.
    """

    tank_length: Annotated[
        float, LENGTH, Interval(ge=0.2, le=3.0), Says("Tank length", "inside, along the front")
    ] = 0.60
    tank_width: Annotated[
        float, LENGTH, Interval(ge=0.15, le=1.5), Says("Tank width", "inside, front to back")
    ] = 0.35
    tank_height: Annotated[
        float, LENGTH, Interval(ge=0.2, le=1.5), Says("Tank height", "inside, floor to lid")
    ] = 0.36
    substrate_depth: Annotated[
        float, LENGTH, Interval(ge=0.0, le=1.0), Says("Depth of substrate", "sand and coir")
    ] = 0.15
    glass_thickness: Annotated[
        float, THICKNESS, Interval(ge=0.002, le=0.025), Says("Glass thickness")
    ] = 0.005
    lid: Annotated[
        Lid, Says("Lid", "“glass with gaps” if cables or hinges leave slits you can see")
    ] = "glass with gaps"
    air_changes: Annotated[
        float | None,
        AIR_CHANGES,
        Interval(ge=0.01 / HOUR, le=100.0 / HOUR),
        Says("Air changes, if you have measured them", "leave empty if you do not know"),
    ] = None
    room_temperature: Annotated[
        float, TEMPERATURE, Interval(ge=5.0, le=40.0), Says("Room temperature")
    ] = 20.0
    room_humidity: Annotated[
        float,
        RELATIVE_HUMIDITY,
        Interval(ge=0.1, le=0.95),
        Says("Room humidity", "hold the gauge in the room for an hour"),
    ] = 0.45
    fresh_pool_length: Annotated[
        float, LENGTH, _POOL, Says("Fresh pool, length", "of the water surface; 0 if none")
    ] = 0.14
    fresh_pool_width: Annotated[float, LENGTH, _POOL, Says("Fresh pool, width")] = 0.10
    marine_pool_length: Annotated[
        float, LENGTH, _POOL, Says("Marine pool, length", "of the water surface; 0 if none")
    ] = 0.14
    marine_pool_width: Annotated[float, LENGTH, _POOL, Says("Marine pool, width")] = 0.10
    pools_place: Annotated[PoolsPlace, Says("Where the pools stand")] = "away"
    heater_power: Annotated[
        float,
        POWER,
        Interval(ge=0.0, le=500.0),
        Says("Heat mat, power", "printed on the mat or its plug; 0 if none"),
    ] = 35.0
    set_point: Annotated[
        float, TEMPERATURE, Interval(ge=15.0, le=35.0), Says("Thermostat set point")
    ] = 26.0
    heater_area: Annotated[
        float,
        AREA,
        Interval(ge=0.0, le=1.5),
        Says("Heat mat, area", "length times height of the mat on its wall"),
    ] = 0.09
    moss_area: Annotated[
        float, AREA, Interval(ge=0.0, le=1.0), Says("Damp moss, area", "0 if none")
    ] = 0.0
    moss_place: Annotated[MossPlace, Says("Where the moss lies")] = "none"
    air_flow: Annotated[
        float,
        AIR_FLOW,
        Interval(ge=0.0, le=10e-3 / 60),
        Says("Air pump, flow through the air-stones", "0 if there is no pump"),
    ] = 0.0
    pump_draws_from: Annotated[PumpSource, Says("The pump draws its air from the")] = "room"
    wall_insulation: Annotated[
        float,
        THICKNESS,
        Interval(ge=0.0, le=0.1),
        Says("Insulation over the panes without a heater", "0 if the front is bare"),
    ] = 0.0
    species: Annotated[Species, Says("Species", "sets the target humidity")] = "Caribbean"
    reading: Annotated[
        float | None,
        RELATIVE_HUMIDITY,
        Interval(ge=0.05, le=1.0),
        Says("Your gauge reads", "mid-tank, at the same hour for three days; empty if not known"),
    ] = None
    gauge_correction: Annotated[
        float | None,
        RELATIVE_HUMIDITY,
        Interval(ge=-0.4, le=0.4),
        Says("Correction of your gauge", "from the salt test, such as −4; empty if not tested"),
    ] = None
    water_poured: Annotated[
        float | None,
        WATER_PER_DAY,
        Interval(ge=0.0, le=5e-3 / DAY),
        Says("Water you pour in a day", "mean of a week, both pools; empty if not known"),
    ] = None

    ready: ClassVar[Mapping[str, TankCard]]
    sections: ClassVar[Mapping[str, tuple[str, ...]]] = {
        "Size and lid": (
            "tank_length", "tank_width", "tank_height", "substrate_depth", "glass_thickness",
            "lid",
        ),
        "Room": ("room_temperature", "room_humidity"),
        "Heat": ("set_point", "heater_power", "heater_area", "wall_insulation"),
        "Water": (
            "fresh_pool_length", "fresh_pool_width", "marine_pool_length", "marine_pool_width",
            "pools_place", "moss_place", "moss_area", "air_flow", "pump_draws_from",
        ),
        "Animals": ("species",),
        "What you have measured": ("reading", "gauge_correction", "water_poured", "air_changes"),
    }  # fmt: skip

    def __post_init__(self) -> None:
        """Refuse measures that cannot go together."""
        problems = [Problem(name, sentence) for name, wrong, sentence in self._clashes() if wrong]
        if problems:
            raise InputError(tuple(problems))

    def _clashes(self) -> tuple[tuple[str, bool, str], ...]:
        air_height = self.tank_height - self.substrate_depth
        floor = self.tank_length * self.tank_width
        pools = self.fresh_pool_area + self.marine_pool_area
        moss = self.moss_area if self.moss_place == "tray" else 0.0
        wall = self.tank_length * max(air_height, 0.0)
        return (
            (
                "substrate_depth",
                air_height < 0.05,
                f"Depth of substrate: {both(self.substrate_depth, LENGTH)} leaves no air in a tank "
                f"{both(self.tank_height, LENGTH)} high. Type at least "
                f"{both(0.05, LENGTH)} less than the height.",
            ),
            (
                "fresh_pool_length",
                pools + moss > 0.9 * floor,
                f"Fresh pool, length: pools and moss of {both(pools + moss, AREA)} do not fit a "
                f"floor of {both(floor, AREA)}. Measure the water surfaces again.",
            ),
            (
                "heater_area",
                self.heater_area > wall + 1e-9,
                f"Heat mat, area: {both(self.heater_area, AREA)} does not fit the wall above the "
                f"substrate, {both(wall, AREA)}. Count only what lies above the substrate.",
            ),
            (
                "heater_area",
                self.heater_power > 0 and self.heater_area < 1e-3 * self.heater_power,
                # Heat mats give 0.2 to 0.5 kW/m² (makers' data); above 1 they would burn.
                f"Heat mat, area: {both(self.heater_area, AREA)} is too small for "
                f"{self.heater_power:.0f} W, which needs at least "
                f"{both(1e-3 * self.heater_power, AREA)}. Measure its length times its height.",
            ),
        )

    @property
    def true_reading(self) -> float | None:
        """The gauge's reading with its correction [1], 0 to 1, or None."""
        if self.reading is None:
            return None
        return min(max(self.reading + (self.gauge_correction or 0.0), 0.0), 1.0)

    @property
    def fresh_pool_area(self) -> float:
        """Water surface of the fresh pool [m²]."""
        return self.fresh_pool_length * self.fresh_pool_width

    @property
    def marine_pool_area(self) -> float:
        """Water surface of the marine pool [m²]."""
        return self.marine_pool_length * self.marine_pool_width


TankCard.ready = {
    "wrack": TankCard(
        tank_length=0.60,
        tank_width=0.35,
        tank_height=0.36,
        substrate_depth=0.15,
        glass_thickness=0.005,
        lid="glass with gaps",
        room_temperature=18.0,
        room_humidity=0.28,
        fresh_pool_length=0.10,
        fresh_pool_width=0.08,
        marine_pool_length=0.10,
        marine_pool_width=0.08,
        heater_power=50.0,
        heater_area=0.10,
        reading=0.58,
    ),
    "kelp": TankCard(
        tank_length=0.80,
        tank_width=0.45,
        tank_height=0.42,
        substrate_depth=0.18,
        glass_thickness=0.006,
        lid="glass",
        room_temperature=25.0,
        room_humidity=0.68,
        fresh_pool_length=0.20,
        fresh_pool_width=0.15,
        marine_pool_length=0.20,
        marine_pool_width=0.15,
        pools_place="at the heated wall",
        heater_power=25.0,
        set_point=27.0,
        heater_area=0.10,
        moss_area=0.03,
        moss_place="tray",
        air_flow=1.5e-3 / 60,
        reading=0.94,
    ),
    "samphire": TankCard(
        tank_length=1.00,
        tank_width=0.60,
        tank_height=0.50,
        substrate_depth=0.25,
        glass_thickness=0.008,
        lid="glass",
        air_changes=0.6 / HOUR,
        room_temperature=21.0,
        room_humidity=0.45,
        fresh_pool_length=0.20,
        fresh_pool_width=0.15,
        marine_pool_length=0.20,
        marine_pool_width=0.15,
        heater_power=60.0,
        heater_area=0.20,
        moss_area=0.04,
        moss_place="tray",
        wall_insulation=0.010,
        species="Indo-Pacific",
        reading=0.82,
    ),
}
