"""Laws of the salt test: what must hold whatever a gauge reads."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.errors import InputError
from calculators.keeping.gauge import Point, correct, gauge_check, measured_point

FRACTION = st.floats(0.2, 0.95)
WIDTH = st.floats(0.005, 0.05)


@given(FRACTION, FRACTION, WIDTH)
def test_one_point_is_given_back_at_its_own_reading(
    reading: float, true: float, width: float
) -> None:
    result = correct(reading, (Point(reading, true, width),))
    assert result.middle == pytest.approx(true)
    assert result.low <= result.middle <= result.high


@given(FRACTION, WIDTH, st.floats(0.0, 0.3))
def test_the_band_widens_away_from_the_point(true: float, width: float, far: float) -> None:
    point = Point(0.5, 0.5, width)
    near, away = correct(0.5, (point,)), correct(0.5 + far, (point,))
    assert away.high - away.low >= near.high - near.low - 1e-12


def test_two_points_undo_a_wrong_offset_and_slope() -> None:
    def gauge(true: float) -> float:
        return 0.08 + 0.85 * true

    points = (Point(gauge(0.33), 0.33, 0.01), Point(gauge(0.75), 0.75, 0.01))
    for true in (0.3, 0.5, 0.75, 0.9):
        assert correct(gauge(true), points).middle == pytest.approx(true)


def test_scattered_readings_are_less_sure() -> None:
    calm = measured_point("table salt", 25.0, (0.74, 0.74))
    wild = measured_point("table salt", 25.0, (0.70, 0.78))
    assert wild.uncertainty > calm.uncertainty >= 0.005


def test_a_gauge_that_does_not_follow_is_refused_a_correction() -> None:
    result = gauge_check(
        salt="table salt",
        readings=(0.71,),
        second_salt="magnesium chloride",
        second_readings=(0.66,),
    )
    assert result.corrected_reading is None
    assert "Replace this gauge" in result.advice


@pytest.mark.parametrize(
    ("second_salt", "second_readings", "field"),
    [
        ("table salt", (0.7,), "second_salt"),
        ("potassium chloride", (), "second_readings"),
        ("none", (0.8,), "second_salt"),
    ],
)
def test_a_second_salt_and_its_readings_go_together(
    second_salt: str, second_readings: tuple[float, ...], field: str
) -> None:
    with pytest.raises(InputError) as caught:
        gauge_check(second_salt=second_salt, second_readings=second_readings)  # type: ignore[arg-type]
    assert caught.value.problems[0].field == field
