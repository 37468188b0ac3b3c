"""The film over upright moss, against a reference library and the analogy done by hand."""

from __future__ import annotations

from collections.abc import Callable
from math import log

from CoolProp.HumidAirProp import HAPropsSI
from ht.conv_free_immersed import Nu_vertical_plate_Churchill

from calculators.air.transport import vapour_diffusivity
from calculators.keeping.moss import upright_flux

PRESSURE = 101325.0


def test_upright_flux(record_check: Callable[..., None]) -> None:
    worst, points = 0.0, 0
    for surface in (25.0, 28.0, 31.0):
        for humidity in (0.5, 0.75):
            for height in (0.1, 0.2):
                state = ("T", 299.15, "P", PRESSURE, "R", humidity)
                wet = ("T", surface + 273.15, "P", PRESSURE, "R", 1.0)
                above = (1 + HAPropsSI("W", *state)) / HAPropsSI("Vda", *state)
                below = (1 + HAPropsSI("W", *wet)) / HAPropsSI("Vda", *wet)
                density = 0.5 * (above + below)
                middle = 0.5 * (surface + 26.0)
                viscosity = HAPropsSI("mu", "T", middle + 273.15, "P", PRESSURE, "R", 0.0)
                diffusivity = vapour_diffusivity(middle, PRESSURE)
                schmidt = viscosity / density / diffusivity
                grashof = 9.80665 * abs(above - below) / density * height**3
                grashof /= (viscosity / density) ** 2
                sherwood = Nu_vertical_plate_Churchill(schmidt, grashof)
                pressures = (HAPropsSI("psi_w", *state), HAPropsSI("psi_w", *wet))
                drive = log((1 - pressures[0]) / (1 - pressures[1]))
                film = sherwood * diffusivity / height
                reference = film * PRESSURE / (461.523 * (middle + 273.15)) * drive
                ours = upright_flux(surface, 26.0, PRESSURE * pressures[0], height)
                worst = max(worst, abs(ours / reference - 1.0))
                points += 1
    record_check(
        title="Water that leaves an upright wet surface",
        source="Churchill & Chu by ht 1.2 with moist air by CoolProp 8.0; analogy by hand",
        calculators=["moss"],
        function="calculators.keeping.moss:upright_flux",
        unit="1",
        worst=worst,
        allowed=0.01,
        points=points,
        tolerance_why="viscosity is within 0.6 % and the density difference within 1 %",
    )
