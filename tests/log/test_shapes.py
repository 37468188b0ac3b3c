"""Every shape a log comes in, from bytes to verdict: all say the same about the same tank."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from statistics import median
from typing import Any

import pytest

from calculators.keeping.log.decode import decode
from calculators.keeping.readings import Readings, readings

Rows = Sequence[Any]


def lines(head: str, rows: Rows, form: Callable[[Any], str], end: str = "\n") -> str:
    return end.join(([head] if head else []) + [form(row) for row in rows]) + end


def comma(value: float) -> str:
    return f"{value:.1f}".replace(".", ",")


def fahrenheit(value: float) -> str:
    return f"{value * 1.8 + 32:.2f}"


EPOCH = datetime(1970, 1, 1)
MONTHS_DE = ["Jan", "Feb", "Mär", "Apr", "Mai", "Jun"]
STAMP = "%Y-%m-%d %H:%M"

SHAPES: dict[str, Callable[[Rows], str | bytes]] = {
    "comma, ISO": lambda rows: lines(
        "Time,Temperature (°C),Humidity (%)", rows,
        lambda r: f"{r.moment:{STAMP}},{r.temperature},{r.humidity}",
    ),
    "semicolon, decimal comma, dots": lambda rows: lines(
        "Datum;Temperatur [°C];Luftfeuchte [%]", rows,
        lambda r: f"{r.moment:%d.%m.%Y %H:%M};{comma(r.temperature)};{comma(r.humidity)}",
    ),
    "tab": lambda rows: lines(
        "Fecha y hora\tTemperatura\tHumedad", rows,
        lambda r: f"{r.moment:%d/%m/%Y %H:%M}\t{comma(r.temperature)}\t{comma(r.humidity)}",
    ),
    "pipe": lambda rows: lines(
        "date|temp C|RH", rows, lambda r: f"{r.moment:{STAMP}}|{r.temperature}|{r.humidity}"
    ),
    "aligned by spaces": lambda rows: lines(
        "Date Time Temp RH", rows,
        lambda r: f"{r.moment:%Y-%m-%d %H:%M}   {r.temperature:6.1f}   {r.humidity:6.1f}",
    ),
    "quoted, decimal comma inside": lambda rows: lines(
        '"Horodatage","Température °C","Humidité %"', rows,
        lambda r: f'"{r.moment:%d/%m/%Y %H:%M:%S}","{comma(r.temperature)}","{comma(r.humidity)}"',
    ),
    "fahrenheit by header": lambda rows: lines(
        "Timestamp,Temperature(°F),Relative_Humidity(%)", rows,
        lambda r: f"{r.moment:{STAMP}},{fahrenheit(r.temperature)},{r.humidity}",
    ),
    "fahrenheit by values": lambda rows: lines(
        "time,temp,humidity", rows,
        lambda r: f"{r.moment:{STAMP}},{fahrenheit(r.temperature)},{r.humidity}",
    ),
    "month first, 12 hours": lambda rows: lines(
        "Date,Temperature,Humidity", rows,
        lambda r: f"{r.moment:%m/%d/%Y %I:%M:%S %p},{r.temperature},{r.humidity}",
    ),
    "12 hours, small letters with dots": lambda rows: lines(
        "Date,Temperature,Humidity", rows,
        lambda r: f"{r.moment:%m/%d/%y %I:%M} "
        f"{'a.m.' if r.moment.hour < 12 else 'p.m.'},{r.temperature},{r.humidity}",
    ),
    "separate date and clock": lambda rows: lines(
        "No.,Datum,Uhrzeit,Feuchte,Temperatur", enumerate(rows, 1),  # type: ignore[arg-type]
        lambda r: f"{r[0]},{r[1].moment:%d.%m.%y},{r[1].moment:%H:%M},{r[1].humidity},"
        f"{r[1].temperature}",
    ),
    "separate date, clock and half": lambda rows: lines(
        "Date Time AM/PM Temp RH", rows,
        lambda r: f"{r.moment:%m/%d/%Y %I:%M %p} {r.temperature} {r.humidity}",
    ),
    "Unix seconds": lambda rows: lines(
        "ts,temp,hum", rows,
        lambda r: f"{(r.moment - EPOCH).total_seconds():.0f},{r.temperature},{r.humidity}",
    ),
    "Unix milliseconds": lambda rows: lines(
        "ts;temp;hum", rows,
        lambda r: f"{(r.moment - EPOCH).total_seconds() * 1e3:.0f};{r.temperature};{r.humidity}",
    ),
    "ISO with T and Z": lambda rows: lines(
        "time,temperature_C,humidity", rows,
        lambda r: f"{r.moment:%Y-%m-%dT%H:%M:%SZ},{r.temperature},{r.humidity}",
    ),
    "ISO with an offset and fractions": lambda rows: lines(
        "time,temperature_C,humidity", rows,
        lambda r: f"{r.moment:%Y-%m-%dT%H:%M:%S}.500+01:00,{r.temperature},{r.humidity}",
    ),
    "compact": lambda rows: lines(
        "time,temperature_C,humidity", rows,
        lambda r: f"{r.moment:%Y%m%d%H%M%S},{r.temperature},{r.humidity}",
    ),
    "month in words": lambda rows: lines(
        "Zeit;Temperatur °C;rel. Feuchte %", rows,
        lambda r: f"{r.moment.day}. {MONTHS_DE[r.moment.month - 1]} {r.moment:%Y %H:%M};"
        f"{comma(r.temperature)};{comma(r.humidity)}",
    ),
    "weekday and month in words": lambda rows: lines(
        "When,Temp (C),RH (%)", rows,
        lambda r: f'"{r.moment:%a, %b} {r.moment.day}, {r.moment:%Y %I:%M %p}",'
        f"{r.temperature},{r.humidity}",
    ),
    "year first with slashes": lambda rows: lines(
        "日付,温度(℃),湿度(%)", rows,
        lambda r: f"{r.moment:%Y/%m/%d %H:%M},{r.temperature},{r.humidity}",
    ),
    "two-digit year first": lambda rows: lines(
        "time,temp,rh", rows, lambda r: f"{r.moment:%y-%m-%d %H:%M},{r.temperature},{r.humidity}"
    ),
    "no header": lambda rows: lines(
        "", rows, lambda r: f"{r.moment:{STAMP}},{r.temperature},{r.humidity}"
    ),
    "no header, humidity first": lambda rows: lines(
        "", rows, lambda r: f"{r.moment:{STAMP}},{r.humidity},{r.temperature}"
    ),
    "unknown language": lambda rows: lines(
        "xyzzy,plugh,frotz", rows, lambda r: f"{r.moment:{STAMP}},{r.temperature},{r.humidity}"
    ),
    "preamble": lambda rows: "Logger: shelf, left\nSerial;12345\n\nInterval, 30 min\n"
    + lines("Time,Temp °C,Humidity %", rows,
            lambda r: f"{r.moment:{STAMP}},{r.temperature},{r.humidity}"),
    "a line of units": lambda rows: "Time,Temp,Humidity\n,°F,%RH\n"
    + lines("", rows, lambda r: f"{r.moment:{STAMP}},{fahrenheit(r.temperature)},{r.humidity}"),
    "units in the cells": lambda rows: lines(
        "Time,Temp,Humidity", rows,
        lambda r: f"{r.moment:{STAMP}},{r.temperature} °C,{r.humidity} %",
    ),
    "fractions": lambda rows: lines(
        "Time,Temp,Humidity", rows,
        lambda r: f"{r.moment:{STAMP}},{r.temperature},{r.humidity / 100:.3f}",
    ),
    "newest first": lambda rows: lines(
        "Time,Temp,Humidity", rows[::-1],
        lambda r: f"{r.moment:{STAMP}},{r.temperature},{r.humidity}",
    ),
    "dew point, pressure and battery beside": lambda rows: lines(
        "Date,Battery %,Dew point °C,Pressure,Humidity %,Temperature °C,Flag", rows,
        lambda r: f"{r.moment:{STAMP}},98,19.4,1013.2,{r.humidity},{r.temperature},0",
    ),
    "commas at the end": lambda rows: lines(
        "Time,Temp,Humidity", rows,
        lambda r: f"{r.moment:{STAMP}},{r.temperature},{r.humidity},,",
    ),
    "Windows lines": lambda rows: lines(
        "Time,Temp,Humidity", rows,
        lambda r: f"{r.moment:{STAMP}},{r.temperature},{r.humidity}", "\r\n",
    ),
    "old Mac lines": lambda rows: lines(
        "Time,Temp,Humidity", rows,
        lambda r: f"{r.moment:{STAMP}},{r.temperature},{r.humidity}", "\r",
    ),
}  # fmt: skip
for _name, _code in (
    ("UTF-8 with a mark", "utf-8-sig"),
    ("UTF-16 with a mark", "utf-16"),
    ("UTF-16 LE, no mark", "utf-16-le"),
    ("UTF-16 BE, no mark", "utf-16-be"),
    ("Latin-1", "latin-1"),
):
    SHAPES[_name] = lambda rows, code=_code: str(  # type: ignore[misc]
        SHAPES["semicolon, decimal comma, dots"](rows)
    ).encode(code)


def read(log: str | bytes, **inputs: Any) -> Readings:
    return readings(log if isinstance(log, str) else decode(log), **inputs)


@pytest.mark.parametrize("shape", SHAPES)
def test_each_shape_says_the_same(shape: str, base: Rows) -> None:
    result = read(SHAPES[shape](base))
    assert result.readings_used == len(base), result.found[:3]
    humidity = [row.humidity / 100 for row in base]
    assert result.relative_humidity.middle == pytest.approx(sorted(humidity)[len(base) // 2 - 1])
    assert result.temperature is not None
    assert result.temperature.middle == pytest.approx(
        median(row.temperature for row in base), abs=0.06
    )
    assert result.share_below == pytest.approx(
        sum(value < 0.75 for value in humidity) / len(base), abs=1e-9
    )
    assert result.covers == pytest.approx(6 * 86400.0)
    assert result.lasting_or_passing == "lasting, too dry"
    expected = {"no header, humidity first", "unknown language", "no header"}
    assert bool(result.questions) is False or shape in expected, result.questions
