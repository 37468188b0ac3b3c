"""The marine pool's numbers against TEOS-10."""

from __future__ import annotations

from collections.abc import Callable

import gsw
import pytest

from calculators.keeping.marine import marine_pool
from calculators.surfaces.brine import GLASS_EXPANSION, MARKINGS


def _reading(salinity: float, temperature: float, sample_at: float, water_at: float) -> float:
    sea, water = (
        float(gsw.rho(sa, gsw.CT_from_t(sa, t, 0.0), 0.0))
        for sa, t in ((salinity * 1000.0, temperature), (0.0, water_at))
    )
    return sea / water * (1.0 + GLASS_EXPANSION * (temperature - sample_at))


@pytest.mark.parametrize("marked", MARKINGS, ids=[item.name for item in MARKINGS])
def test_salinity_of_a_reading(marked: object, record_check: Callable[..., None]) -> None:
    name, sample_at, water_at = marked  # type: ignore[misc]
    worst, points = 0.0, 0
    for salinity in (0.020, 0.030, 0.035, 0.040):
        for temperature in (15.0, 20.0, 24.0, 28.0, 32.0):
            reading = _reading(salinity, temperature, sample_at, water_at)
            result = marine_pool(
                hydrometer_reading=reading,
                hydrometer_temperature=temperature,
                marking=name,
                salinity_wanted=salinity,
            )
            assert result.salinity is not None
            worst = max(worst, 1000.0 * abs(result.salinity.middle - salinity))
            worst = max(worst, 1300.0 * abs(result.specific_gravity - reading))
            points += 1
    record_check(
        title=f"Salinity of a hydrometer reading, scale marked {name}",
        source="TEOS-10 densities of sea and pure water, gsw 3.6, glass expansion added",
        calculators=["marine-pool"],
        function="calculators.keeping.marine:marine_pool",
        unit="g/kg",
        worst=worst,
        allowed=0.02,
        points=points,
        tolerance_why="the 1980 equation of state and TEOS-10 differ by up to 0.01 kg/m³ here",
    )
