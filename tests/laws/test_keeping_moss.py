"""Laws of moss: bounds by free water, no more taken than the fibre holds."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.air import mixture
from calculators.errors import OutOfRange
from calculators.keeping.moss import moss, upright_flux
from calculators.surfaces.sorption import fibre_moisture
from calculators.tank.card import TankCard

WALL = TankCard(moss_area=0.03, moss_place="at the heated wall")
TRAY = TankCard(moss_area=0.03, moss_place="tray")


@given(st.floats(0.0, 55.0), st.floats(0.0, 0.97))
def test_fibre_holds_more_in_damper_air_and_nothing_in_dry(
    temperature: float, humidity: float
) -> None:
    assert fibre_moisture(temperature, 0.0) == 0.0
    assert fibre_moisture(temperature, humidity + 0.01) > fibre_moisture(temperature, humidity)


@pytest.mark.parametrize(("temperature", "humidity"), [(-1.0, 0.5), (20.0, 0.99)])
def test_the_isotherm_keeps_to_its_range(temperature: float, humidity: float) -> None:
    with pytest.raises(OutOfRange):
        fibre_moisture(temperature, humidity)


def test_nothing_leaves_a_surface_at_the_dew_point() -> None:
    pressure = mixture.STANDARD_PRESSURE
    vapour = mixture.vapour_pressure(22.0, 1.0, pressure)
    assert upright_flux(22.0, 26.0, vapour, 0.15) == pytest.approx(0.0, abs=1e-9)
    assert upright_flux(20.0, 26.0, vapour, 0.15) < 0.0 < upright_flux(24.0, 26.0, vapour, 0.15)


@given(st.floats(0.3, 0.9))
def test_warmer_moss_gives_more(humidity: float) -> None:
    given_off = [
        moss(card, relative_humidity=humidity, moss_temperature=warmth).water_given.middle
        for card in (WALL, TRAY)
        for warmth in (24.0, 27.0, 30.0)
    ]
    assert given_off[:3] == sorted(given_off[:3])
    assert given_off[3:] == sorted(given_off[3:])


def test_dry_moss_takes_what_its_mass_allows() -> None:
    once = moss(TRAY, dry_mass=0.05, relative_humidity=0.9).water_taken
    twice = moss(TRAY, dry_mass=0.10, relative_humidity=0.9).water_taken
    assert twice.middle == pytest.approx(2 * once.middle)
    assert once.high * 86400 < 0.05 * 0.35


def test_moss_from_a_damp_room_takes_nothing() -> None:
    result = moss(replace(TRAY, room_humidity=0.94), relative_humidity=0.93)
    assert result.water_taken.middle < 0.0
    assert result.advice.startswith("Do not use dry moss")


def test_little_is_called_little() -> None:
    warm_pools = replace(TRAY, pools_place="at the heated wall")
    result = moss(warm_pools, dry_mass=0.02, relative_humidity=0.88)
    assert result.share_of_pools is not None
    assert result.share_of_pools.middle < 0.25
    assert "far less" in result.advice


def test_cool_moss_in_damp_air_takes_water_and_is_never_rewetted() -> None:
    result = moss(TRAY, relative_humidity=0.95, moss_temperature=22.0)
    assert result.water_given.high < 0.0
    assert result.rewet_after is None


def test_where_the_pools_give_nothing_the_water_comes_from_elsewhere() -> None:
    result = moss(TRAY, dry_mass=0.02, relative_humidity=0.95)
    assert result.share_of_pools is None
    assert result.advice.startswith("Find where the water comes from")
