"""Laws of moist air that hold whatever the constants: round trips, order, bounds, refusals."""

from __future__ import annotations

from collections.abc import Callable
from math import nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.air import mixture, saturation, transport
from calculators.errors import OutOfRange

temperatures = st.floats(-10.0, 59.0)
humidities = st.floats(0.05, 1.0)
pressures = st.floats(60e3, 110e3)


@given(st.floats(-40.0, 100.0))
def test_saturation_temperature_undoes_saturation_pressure(temperature: float) -> None:
    pressure = saturation.saturation_pressure(temperature)
    assert saturation.saturation_temperature(pressure) == pytest.approx(temperature, abs=1e-9)


@given(st.floats(-39.9, 99.9))
def test_slope_is_the_derivative(temperature: float) -> None:
    step = 1e-3
    difference = saturation.saturation_pressure(
        temperature + step
    ) - saturation.saturation_pressure(temperature - step)
    slope = saturation.saturation_slope(temperature)
    assert slope == pytest.approx(difference / (2 * step), rel=1e-7)


@given(st.floats(-40.0, 99.0), st.floats(0.001, 1.0))
def test_warmer_water_has_more_vapour_and_less_latent_heat(low: float, rise: float) -> None:
    assert saturation.saturation_pressure(low + rise) > saturation.saturation_pressure(low)
    if low >= -20.0:
        assert saturation.latent_heat(low + rise) < saturation.latent_heat(low)


@given(temperatures, humidities, pressures)
def test_humidity_comes_back(temperature: float, humidity: float, pressure: float) -> None:
    vapour = mixture.vapour_pressure(temperature, humidity, pressure)
    back = mixture.relative_humidity(temperature, vapour, pressure)
    assert back == pytest.approx(humidity, rel=1e-12)
    short = mixture.vapour_pressure_deficit(temperature, vapour, pressure)
    whole = mixture.vapour_pressure(temperature, 1.0, pressure)
    assert short == pytest.approx(whole * (1.0 - humidity), abs=1e-6)


@given(st.floats(-35.0, 60.0), pressures)
def test_saturated_air_is_at_its_dew_point_and_wet_bulb(
    temperature: float, pressure: float
) -> None:
    vapour = mixture.vapour_pressure(temperature, 1.0, pressure)
    assert mixture.dew_point(vapour, pressure) == pytest.approx(temperature, abs=1e-6)
    if temperature >= -15.0:
        assert mixture.wet_bulb(temperature, vapour, pressure) == pytest.approx(
            temperature, abs=1e-5
        )


@given(st.floats(0.0, 59.0), st.floats(0.1, 0.99), pressures)
def test_wet_bulb_lies_between_dew_point_and_dry_bulb(
    temperature: float, humidity: float, pressure: float
) -> None:
    vapour = mixture.vapour_pressure(temperature, humidity, pressure)
    wet = mixture.wet_bulb(temperature, vapour, pressure)
    assert mixture.dew_point(vapour, pressure) < wet < temperature


@given(st.floats(0.0, 59.0), st.floats(0.1, 0.9), st.floats(0.001, 0.1), pressures)
def test_more_vapour_is_damper_and_lighter(
    temperature: float, humidity: float, more: float, pressure: float
) -> None:
    drier, damper = (
        mixture.vapour_pressure(temperature, part, pressure) for part in (humidity, humidity + more)
    )
    for rising in (
        lambda vapour: mixture.dew_point(vapour, pressure),
        lambda vapour: mixture.wet_bulb(temperature, vapour, pressure),
        lambda vapour: mixture.humidity_ratio(vapour, pressure),
        lambda vapour: mixture.absolute_humidity(temperature, vapour, pressure),
        lambda vapour: mixture.enthalpy(temperature, vapour, pressure),
        lambda vapour: -mixture.moist_air_density(temperature, vapour, pressure),
    ):
        assert rising(damper) > rising(drier)


@given(temperatures, humidities, pressures)
def test_density_is_dry_air_plus_vapour(
    temperature: float, humidity: float, pressure: float
) -> None:
    vapour = mixture.vapour_pressure(temperature, humidity, pressure)
    water = mixture.absolute_humidity(temperature, vapour, pressure)
    whole = mixture.moist_air_density(temperature, vapour, pressure)
    ratio = mixture.humidity_ratio(vapour, pressure)
    assert water / (whole - water) == pytest.approx(ratio, rel=1e-9)


@given(st.floats(0.0, 55.0), st.floats(0.01, 1.0), st.floats(0.1, 5.0))
def test_warming_the_air_lowers_relative_humidity(
    temperature: float, humidity: float, rise: float
) -> None:
    pressure = mixture.STANDARD_PRESSURE
    vapour = mixture.vapour_pressure(temperature, humidity, pressure)
    warmed = mixture.relative_humidity(temperature + rise, vapour, pressure)
    assert warmed < humidity


@given(st.floats(-500.0, 3900.0), st.floats(0.1, 100.0))
def test_air_is_thinner_higher_up(altitude: float, climb: float) -> None:
    assert mixture.air_pressure(altitude + climb) < mixture.air_pressure(altitude)


def test_zeroes() -> None:
    assert mixture.enthalpy(0.0, 0.0, mixture.STANDARD_PRESSURE) == pytest.approx(0.0, abs=0.01)
    assert mixture.humidity_ratio(0.0, mixture.STANDARD_PRESSURE) == 0.0
    assert mixture.absolute_humidity(20.0, 0.0) == 0.0
    assert mixture.wet_bulb(20.0, 0.0, mixture.STANDARD_PRESSURE) < 6.0


def test_a_dry_winter_room_has_a_dew_point() -> None:
    vapour = mixture.vapour_pressure(20.0, 0.2, mixture.STANDARD_PRESSURE)
    assert -4.0 < mixture.dew_point(vapour, mixture.STANDARD_PRESSURE) < -3.0


@pytest.mark.parametrize(
    ("ask", "words"),
    [
        (lambda: saturation.saturation_pressure(100.1), "Temperature of 100.1 °C is outside"),
        (lambda: saturation.saturation_pressure(nan), "Temperature of nan °C is outside"),
        (lambda: saturation.saturation_slope(-41.0), "Temperature of -41 °C is outside"),
        (lambda: saturation.saturation_temperature(10.0), "Vapour pressure of 10 Pa is outside"),
        (lambda: saturation.enhancement_factor(61.0, 1e5), "Temperature of 61 °C is outside"),
        (lambda: saturation.enhancement_factor(20.0, 5e4), "Air pressure of 50000 Pa is outside"),
        (lambda: saturation.latent_heat(-21.0), "Temperature of -21 °C is outside"),
        (lambda: mixture.air_pressure(4500.0), "Altitude of 4500 m is outside"),
        (lambda: mixture.vapour_pressure(20.0, 1.1, 1e5), "Relative humidity of 1.1"),
        (lambda: mixture.relative_humidity(20.0, -1.0, 1e5), "Vapour pressure of -1 Pa"),
        (lambda: mixture.vapour_pressure_deficit(20.0, 1000.0, 2e5), "Air pressure of 200000 Pa"),
        (lambda: mixture.dew_point(0.0, 1e5), "Vapour pressure of 0 Pa is outside"),
        (lambda: mixture.dew_point(22e3, 1e5), "Dew point of"),
        (lambda: mixture.humidity_ratio(1e5, 1e5), "Vapour pressure of 100000 Pa"),
        (lambda: mixture.absolute_humidity(70.0, 1000.0), "Temperature of 70 °C"),
        (lambda: mixture.moist_air_density(20.0, 1000.0, 1e4), "Air pressure of 10000 Pa"),
        (lambda: mixture.enthalpy(20.0, nan, 1e5), "Vapour pressure of nan Pa"),
        (lambda: mixture.wet_bulb(-20.0, 10.0, 1e5), "Temperature of -20 °C"),
        (lambda: mixture.wet_bulb(20.0, 3000.0, 1e5), "Vapour pressure of 3000 Pa"),
        (lambda: transport.vapour_diffusivity(20.0, 2e5), "Air pressure of 200000 Pa"),
        (lambda: transport.vapour_diffusivity(200.0, 1e5), "Temperature of 200 °C"),
        (lambda: transport.viscosity(200.0), "Temperature of 200 °C"),
        (lambda: transport.conductivity(200.0), "Temperature of 200 °C"),
        (lambda: transport.heat_capacity(0.5), "Humidity ratio of 0.5 kg/kg"),
    ],
)
def test_outside_the_range_is_refused_in_words(ask: Callable[[], float], words: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        ask()
    assert str(refused.value).startswith(words)
