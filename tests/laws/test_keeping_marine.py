"""Laws of salt water: salt is neither made nor lost."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import NoAnswer, OutOfRange
from calculators.keeping.marine import marine_pool, salinity_creep, salts

SALINITY = st.floats(0.010, 0.045)


@given(st.floats(0.1, 50.0), SALINITY)
def test_the_salt_makes_the_salinity_asked_for(water: float, salinity: float) -> None:
    salt = salts(water, salinity)
    assert salt / (salt + water) == pytest.approx(salinity)


@given(SALINITY)
def test_the_reading_expected_means_the_salinity_wanted(salinity: float) -> None:
    expected = marine_pool(salinity_wanted=salinity).specific_gravity
    measured = marine_pool(salinity_wanted=salinity, hydrometer_reading=expected).salinity
    assert measured is not None
    assert measured.middle == pytest.approx(salinity, abs=1e-6)


def test_creep_follows_a_pool_that_only_loses_water() -> None:
    """Salt stays: after 1 g of 1000 g is gone, S is S 1000/999."""
    exact = 0.035 * 1000.0 / 999.0 - 0.035
    assert salinity_creep(0.035, 1.0, 1e-3) == pytest.approx(exact, rel=2e-3)


def test_a_salty_pool_is_thinned_with_fresh_water_and_a_weak_one_gets_mix() -> None:
    assert "fresh, dechlorinated water" in marine_pool(hydrometer_reading=1.030).advice
    assert "marine mix" in marine_pool(hydrometer_reading=1.022).advice
    assert marine_pool(hydrometer_reading=1.0265).advice.startswith("Leave the salt")


def test_a_reading_of_no_sea_water_is_refused() -> None:
    with pytest.raises(NoAnswer, match="fresh water"):
        marine_pool(hydrometer_reading=0.995)
    with pytest.raises(OutOfRange):
        salts(1.0, 0.06)


def test_what_evaporates_is_topped_up_fresh() -> None:
    result = marine_pool(evaporation=30e-6 / 86400)
    assert result.fresh_top_up == 30e-6 / 86400
    assert result.creep is not None
    assert result.creep > 0.0
    assert marine_pool().creep is None
