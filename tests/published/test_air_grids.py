"""Moist air against reference libraries, over every state a tank or its room can be in.

References: CoolProp's ``HAPropsSI`` (real moist air, ASHRAE RP-1485) and ``PropsSI`` (IAPWS-95),
``iapws`` (the Industrial Formulation IAPWS-IF97). Below 0.01 °C the moist-air reference is over
ice, and is left out there; ours is over liquid water and is held to Murphy & Koop 2005.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import exp, log, tanh
from typing import Any

import numpy as np
import pytest
from CoolProp.CoolProp import HAPropsSI, PropsSI
from iapws.iapws97 import _PSat_T

from calculators.air.mixture import (
    absolute_humidity,
    air_pressure,
    dew_point,
    enthalpy,
    humidity_ratio,
    moist_air_density,
    relative_humidity,
    vapour_pressure,
    wet_bulb,
)
from calculators.air.saturation import (
    enhancement_factor,
    latent_heat,
    saturation_pressure,
    saturation_slope,
    saturation_temperature,
)
from calculators.air.transport import conductivity, viscosity

Record = Callable[..., None]
REAL_AIR = "ASHRAE RP-1485 real moist air, CoolProp 8.0"
# IAPWS states 0.025 % for the saturation pressure, which is 0.004 K of dew point.
PRESSURE_UNCERTAINTY = 0.00025
DEW_POINT_UNCERTAINTY = 0.004


def states() -> Iterator[tuple[float, float, float]]:
    """Temperature [°C], relative humidity, air pressure [Pa] of every state compared."""
    for altitude in (0.0, 1000.0, 2000.0, 3000.0):
        for temperature in (0.02, *np.arange(2.5, 60.1, 2.5).tolist()):
            for humidity in (0.05, 0.1, 0.2, 0.35, 0.5, 0.65, 0.8, 0.9, 1.0):
                yield temperature, humidity, air_pressure(altitude)


STATES = list(states())


def real(output: str, temperature: float, humidity: float, pressure: float) -> float:
    value: Any = HAPropsSI(output, "T", temperature + 273.15, "P", pressure, "R", humidity)
    return float(value)


@pytest.mark.parametrize(
    ("title", "function", "output", "ours", "calculators"),
    [
        (
            "Humidity ratio",
            "calculators.air.mixture:humidity_ratio",
            lambda t, rh, p: real("W", t, rh, p),
            lambda t, rh, p: humidity_ratio(vapour_pressure(t, rh, p), p),
            ["dew-point"],
        ),
        (
            "Density of moist air",
            "calculators.air.mixture:moist_air_density",
            lambda t, rh, p: 1.0 / real("Vha", t, rh, p),
            lambda t, rh, p: moist_air_density(t, vapour_pressure(t, rh, p), p),
            ["evaporation", "tank-balance", "first-change"],
        ),
        (
            "Absolute humidity",
            "calculators.air.mixture:absolute_humidity",
            lambda t, rh, p: real("W", t, rh, p) / real("Vda", t, rh, p),
            lambda t, rh, p: absolute_humidity(t, vapour_pressure(t, rh, p), p),
            ["dew-point", "tank-balance", "first-change"],
        ),
    ],
)
def test_share_of_real_air(
    record_check: Record,
    title: str,
    function: str,
    output: Callable[[float, float, float], float],
    ours: Callable[[float, float, float], float],
    calculators: list[str],
) -> None:
    record_check(
        title=f"{title}, 0 to 60 °C, 5 to 100 %, 0 to 3000 m",
        source=REAL_AIR,
        calculators=calculators,
        function=function,
        unit="relative",
        worst=max(abs(ours(*state) / output(*state) - 1.0) for state in STATES),
        allowed=PRESSURE_UNCERTAINTY,
        points=len(STATES),
    )


def test_absolute_humidity_without_the_pressure(record_check: Record) -> None:
    record_check(
        title="Absolute humidity with sea-level pressure assumed, 0 to 40 °C, to 3000 m",
        source=REAL_AIR,
        calculators=["dew-point", "tank-balance", "first-change"],
        function="calculators.air.mixture:absolute_humidity",
        unit="relative",
        worst=max(
            abs(
                absolute_humidity(t, vapour_pressure(t, rh, p))
                * real("Vda", t, rh, p)
                / real("W", t, rh, p)
                - 1.0
            )
            for t, rh, p in STATES
            if t <= 40.0
        ),
        allowed=0.0005,
        points=sum(t <= 40.0 for t, _, _ in STATES),
        tolerance_why="the pressure left out changes the compressibility by up to 0.03 %",
    )


def test_dew_point(record_check: Record) -> None:
    found = [
        abs(dew_point(vapour_pressure(*state), state[2]) - reference)
        for state in STATES
        if (reference := real("D", *state) - 273.15) >= 0.01
    ]
    record_check(
        title="Dew point, 0 to 60 °C, 5 to 100 %, 0 to 3000 m",
        source=REAL_AIR,
        calculators=["dew-point", "glass-condensation", "tank-balance", "first-change", "readings"],
        function="calculators.air.mixture:dew_point",
        unit="K",
        worst=max(found),
        allowed=DEW_POINT_UNCERTAINTY,
        points=len(found),
    )


def test_wet_bulb(record_check: Record) -> None:
    found = [
        abs(wet_bulb(state[0], vapour_pressure(*state), state[2]) - reference)
        for state in STATES
        if (reference := real("B", *state) - 273.15) >= 0.01
    ]
    record_check(
        title="Wet bulb, 0 to 60 °C, 5 to 100 %, 0 to 3000 m",
        source=REAL_AIR,
        calculators=["dew-point"],
        function="calculators.air.mixture:wet_bulb",
        unit="K",
        worst=max(found),
        allowed=DEW_POINT_UNCERTAINTY,
        points=len(found),
    )


def test_enthalpy(record_check: Record) -> None:
    cool = [state for state in STATES if state[0] <= 40.0]
    record_check(
        title="Enthalpy of moist air, 0 to 40 °C, 5 to 100 %, 0 to 3000 m",
        source=REAL_AIR,
        calculators=["dew-point"],
        function="calculators.air.mixture:enthalpy",
        unit="J/kg",
        worst=max(
            abs(enthalpy(state[0], vapour_pressure(*state), state[2]) - real("H", *state))
            for state in cool
        ),
        allowed=13.0,
        points=len(cool),
        tolerance_why="IAPWS states 0.025 % for saturation: of saturated air at 25 °C, "
        "0.0202 kg/kg of 2.55 MJ/kg, that is 13 J/kg",
    )


def test_enhancement_factor(record_check: Record) -> None:
    saturated = [state for state in STATES if state[1] == 1.0 and state[0] > 1.0]
    record_check(
        title="Enhancement factor, 2.5 to 60 °C, 0 to 3000 m",
        source=REAL_AIR,
        calculators=["dew-point"],
        function="calculators.air.saturation:enhancement_factor",
        unit="",
        worst=max(
            abs(enhancement_factor(t, p) - real("Y", t, rh, p) * p / 1e6 / _PSat_T(t + 273.15))
            for t, rh, p in saturated
        ),
        allowed=0.00015,
        points=len(saturated),
        tolerance_why="published forms differ by 0.0001 to 0.0003 among themselves",
    )


WATER = np.linspace(0.01, 100.0, 401).tolist()


def test_saturation_pressure(record_grid: Record) -> None:
    record_grid(
        title="Saturation pressure, 0.01 to 100 °C",
        source="IAPWS-95, CoolProp 8.0",
        calculators=[
            "dew-point",
            "evaporation",
            "glass-condensation",
            "tank-balance",
            "first-change",
        ],
        allowed=0.0001,
        function=saturation_pressure,
        reference=lambda t: PropsSI("P", "T", t + 273.15, "Q", 1, "Water"),
        points=WATER,
        unit="relative",
    )


def test_saturation_pressure_is_the_industrial_formulation(record_grid: Record) -> None:
    record_grid(
        title="Saturation pressure, the same equation in another implementation, 0.01 to 100 °C",
        source="IAPWS-IF97, iapws 1.5",
        calculators=[
            "dew-point",
            "evaporation",
            "glass-condensation",
            "tank-balance",
            "first-change",
        ],
        allowed=1e-12,
        function=saturation_pressure,
        reference=lambda t: 1e6 * _PSat_T(t + 273.15),
        points=WATER,
        unit="relative",
    )


def murphy_koop_pressure(temperature: float) -> float:
    """Saturation pressure [Pa] over supercooled water, Murphy & Koop 2005, eq. 10."""
    kelvin = temperature + 273.15
    return exp(
        54.842763
        - 6763.22 / kelvin
        - 4.210 * log(kelvin)
        + 0.000367 * kelvin
        + tanh(0.0415 * (kelvin - 218.8))
        * (53.878 - 1331.22 / kelvin - 9.44523 * log(kelvin) + 0.014025 * kelvin)
    )


@pytest.mark.parametrize(("coldest", "allowed"), [(-35.0, 0.0006), (-40.0, 0.0025)])
def test_saturation_pressure_over_supercooled_water(
    record_grid: Record, coldest: float, allowed: float
) -> None:
    grid = np.linspace(coldest, 0.0, 101).tolist()
    record_grid(
        title=f"Saturation pressure over supercooled water, {coldest:.0f} to 0 °C",
        source="Murphy & Koop 2005, Q. J. R. Meteorol. Soc. 131:1539, eq. 10",
        calculators=["dew-point", "readings"],
        allowed=allowed,
        function=saturation_pressure,
        reference=murphy_koop_pressure,
        points=grid,
        unit="relative",
        how_known="the equation from memory, the same in several public implementations",
        tolerance_why="no measurement of supercooled water is better; 0.25 % is 0.02 K here",
    )


def test_saturation_temperature(record_check: Record) -> None:
    record_check(
        title="Saturation temperature, 611.7 Pa to 101.4 kPa",
        source="IAPWS-95, CoolProp 8.0",
        calculators=["dew-point"],
        function="calculators.air.saturation:saturation_temperature",
        unit="K",
        worst=max(
            abs(saturation_temperature(PropsSI("P", "T", t + 273.15, "Q", 1, "Water")) - t)
            for t in WATER[:-1]
        ),
        allowed=DEW_POINT_UNCERTAINTY,
        points=len(WATER) - 1,
    )


def test_saturation_slope(record_grid: Record) -> None:
    record_grid(
        title="Slope of the saturation pressure, 1 to 99 °C",
        source="IAPWS-95, CoolProp 8.0, from the latent heat (Clausius and Clapeyron)",
        calculators=["tank-balance", "first-change", "evaporation"],
        allowed=0.0002,
        function=saturation_slope,
        reference=lambda t: PropsSI("d(P)/d(T)|sigma", "T", t + 273.15, "Q", 1, "Water"),
        points=[t for t in WATER if 1.0 < t < 99.0],
        unit="relative",
    )


def test_latent_heat(record_grid: Record) -> None:
    def reference(t: float) -> float:
        vapour, liquid = (PropsSI("H", "T", t + 273.15, "Q", q, "Water") for q in (1, 0))
        return float(vapour - liquid)

    record_grid(
        title="Latent heat of evaporation, 0.01 to 100 °C",
        source="IAPWS-95, CoolProp 8.0",
        calculators=["evaporation", "tank-balance", "first-change", "glass-condensation"],
        allowed=33.0,
        function=latent_heat,
        reference=reference,
        points=WATER,
        unit="J/kg",
        tolerance_why="our cubic is a fit to these values: 33 J/kg is 0.0015 %",
    )


def test_latent_heat_of_supercooled_water(record_grid: Record) -> None:
    def reference(t: float) -> float:
        kelvin = t + 273.15
        return (56579.0 - 42.212 * kelvin + exp(0.1149 * (281.6 - kelvin))) / 18.015268e-3

    grid = np.linspace(-20.0, 0.0, 41).tolist()
    record_grid(
        title="Latent heat of supercooled water, -20 to 0 °C",
        source="Murphy & Koop 2005, Q. J. R. Meteorol. Soc. 131:1539, eq. 9",
        calculators=["dew-point"],
        allowed=0.0002,
        function=latent_heat,
        reference=reference,
        points=grid,
        unit="relative",
        how_known="the equation from memory",
        tolerance_why="at 0 °C that equation is itself 0.01 % from IAPWS-95",
    )


@pytest.mark.parametrize(
    ("title", "ours", "output", "allowed", "why"),
    [
        ("Viscosity", viscosity, "M", 0.01, "Lemmon & Jacobsen 2004 state 1 % for their own"),
        (
            "Thermal conductivity",
            conductivity,
            "K",
            0.02,
            "Lemmon & Jacobsen 2004 state 2 % for their own",
        ),
    ],
)
def test_transport_of_dry_air(
    record_grid: Record,
    title: str,
    ours: Callable[[float], float],
    output: str,
    allowed: float,
    why: str,
) -> None:
    grid = np.linspace(0.0, 60.0, 61).tolist()

    def reference(t: float) -> float:
        return float(HAPropsSI(output, "T", t + 273.15, "P", 101325.0, "W", 0.0))

    record_grid(
        title=f"{title} of dry air, 0 to 60 °C",
        source="Lemmon & Jacobsen 2004, CoolProp 8.0",
        calculators=["evaporation", "heater-sizing", "tank-balance", "first-change"],
        allowed=allowed,
        function=ours,
        reference=reference,
        points=grid,
        unit="relative",
        tolerance_why=why,
    )


@pytest.mark.parametrize(
    ("title", "ours", "output", "allowed"),
    [("Viscosity", viscosity, "M", 0.014), ("Thermal conductivity", conductivity, "K", 0.01)],
)
def test_leaving_out_the_vapour_costs_what_we_say(
    record_grid: Record, title: str, ours: Callable[[float], float], output: str, allowed: float
) -> None:
    grid = np.linspace(20.0, 30.0, 21).tolist()
    record_grid(
        title=f"{title} of saturated air taken for dry, 20 to 30 °C",
        source="moist air, CoolProp 8.0",
        calculators=["evaporation", "heater-sizing", "tank-balance", "first-change"],
        allowed=allowed,
        function=ours,
        reference=lambda t: real(output, t, 1.0, 101325.0),
        points=grid,
        unit="relative",
        tolerance_why="ours is dry air: the vapour is left out on purpose",
    )


def test_relative_humidity(record_check: Record) -> None:
    record_check(
        title="Relative humidity from the humidity ratio, 0 to 60 °C, 0 to 3000 m",
        source=REAL_AIR,
        calculators=["dew-point", "readings"],
        function="calculators.air.mixture:relative_humidity",
        unit="relative",
        worst=max(
            abs(relative_humidity(t, real("Y", t, rh, p) * p, p) / rh - 1.0) for t, rh, p in STATES
        ),
        allowed=PRESSURE_UNCERTAINTY,
        points=len(STATES),
    )
