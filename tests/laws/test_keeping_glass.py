"""Laws of wet glass: what must hold for any tank and room."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import OutOfRange
from calculators.keeping.glass import (
    glass_condensation,
    insulation_thickness,
    temperature_factor,
)
from calculators.surfaces.conduction import EXPANDED_POLYSTYRENE
from calculators.tank.card import TankCard

FILM = st.floats(0.05, 0.5)


@given(FILM, FILM, st.floats(0.002, 0.02), st.floats(0.0, 0.1))
def test_the_insulation_found_gives_the_factor_asked_for(
    inner: float, outer: float, glass: float, layer: float
) -> None:
    factor = temperature_factor(inner, glass + layer / EXPANDED_POLYSTYRENE.conductivity, outer)
    assert 0.0 < factor < 1.0
    assert insulation_thickness(factor, inner, glass, outer) == pytest.approx(layer, abs=1e-9)


@given(st.floats(5.0, 25.0), st.floats(0.0, 0.05))
def test_the_corner_is_never_warmer_and_foam_never_cools(room: float, layer: float) -> None:
    tank = TankCard(room_temperature=room)
    bare = glass_condensation(tank, insulation=0.0)
    lined = glass_condensation(tank, insulation=layer)
    assert lined.corner_temperature.middle <= lined.pane_temperature.middle + 1e-9
    assert lined.pane_temperature.middle >= bare.pane_temperature.middle - 1e-9
    assert lined.highest_humidity.middle >= bare.highest_humidity.middle - 1e-9


def test_a_colder_room_caps_the_humidity_lower() -> None:
    caps = [
        glass_condensation(TankCard(room_temperature=room)).highest_humidity.middle
        for room in (10.0, 15.0, 20.0, 25.0)
    ]
    assert caps == sorted(caps)


def test_saturated_air_has_no_insulation_that_is_enough() -> None:
    result = glass_condensation(TankCard(room_temperature=12.0), target_humidity=1.0)
    assert result.insulation_needed is None
    assert "Aim lower" in result.advice


def test_the_present_insulation_is_the_tanks_own() -> None:
    lined = TankCard(wall_insulation=0.02)
    assert glass_condensation(lined) == glass_condensation(lined, insulation=0.02)


def test_a_negative_film_is_refused() -> None:
    with pytest.raises(OutOfRange):
        temperature_factor(-0.1, 0.1, 0.1)
