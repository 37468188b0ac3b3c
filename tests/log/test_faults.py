"""What is wrong in a log is named by its line and counted; the rest is kept."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest

from calculators.errors import NoAnswer
from calculators.keeping.log.decode import decode
from calculators.keeping.readings import PROGRESS, Readings, readings

Text = Callable[..., str]


def totals(result: Readings) -> dict[str, int]:
    return {kind.what: kind.count for kind in result.found_totals}


def changed(text: str, line: int, new: str) -> str:
    lines = text.split("\n")
    lines[line - 1] = new
    return "\n".join(lines)


def test_a_bad_line_is_named_and_the_rest_kept(base: Any, plain: Text) -> None:
    text = changed(changed(plain(base), 20, "2026-02-xx 09:00,1,2"), 30, "### restart ###")
    result = readings(text)
    assert result.readings_used == len(base) - 2
    assert [(item.line, item.done) for item in result.found] == [
        (20, "line left out"), (30, "line left out"),
    ]  # fmt: skip


def test_an_empty_and_a_garbled_cell_lose_one_reading(base: Any, plain: Text) -> None:
    text = changed(plain(base), 10, "2026-02-20 04:00:00,25.0,")
    text = changed(text, 11, "2026-02-20 04:30:00,2$.1,70.0")
    result = readings(text)
    assert totals(result) == {"empty reading": 1, "unreadable number": 1}
    assert result.readings_used == len(base) - 1


def test_a_stray_quote_swallows_nothing(base: Any, plain: Text) -> None:
    text = changed(plain(base), 10, '2026-02-20 04:00:00,"25.0,70.0')
    assert readings(text).readings_used == len(base)


def test_gaps_duplicates_and_order(base: Any, plain: Text) -> None:
    lines = plain(base).strip().split("\n")
    del lines[40:80]
    lines.insert(10, lines[9])
    lines[20], lines[25] = lines[25], lines[20]
    result = readings("\n".join(lines))
    found = totals(result)
    assert found["gap"] == 1
    assert found["duplicate"] == 1
    assert found["out of order"] >= 1
    assert result.readings_used == len(base) - 40
    assert result.covers == pytest.approx(6 * 86400 - 40 * 1800.0)


def test_two_readings_at_one_time_share_it(plain: Text, base: Any) -> None:
    text = changed(plain(base), 11, "2026-02-20 04:00:00,25.1,75.0")
    result = readings(text)
    assert totals(result)["same time"] == 1
    assert result.readings_used == len(base)


def test_what_no_air_could_be_is_left_out(base: Any, plain: Text) -> None:
    text = changed(plain(base), 10, "2026-02-20 04:00:00,25.0,0.0")
    text = changed(text, 12, "2026-02-20 05:00:00,-999,250")
    for line in (14, 15):
        text = changed(text, line, f"2026-02-20 06:{30 * (line - 14):02}:00,25.0,100.4")
    found = totals(readings(text))
    assert found == {
        "humidity of 0 %": 1, "impossible humidity": 1, "impossible temperature": 1,
        "humidity above 100 %": 2,
    }  # fmt: skip


def test_spikes_are_named(invented: Any, plain: Text) -> None:
    rows = invented(days=2, step=5)
    text = plain([*rows[:50], rows[50]._replace(humidity=12.0), *rows[51:]])
    assert totals(readings(text)) == {"humidity spike": 1}


def test_a_stuck_gauge_is_named_and_kept(invented: Any, plain: Text) -> None:
    rows = [row._replace(humidity=100.0) for row in invented(days=3)]
    result = readings(plain(rows))
    assert totals(result) == {"stuck at 100 %": 1}
    assert result.share_above == 1.0
    assert result.lasting_or_passing == "lasting, too damp"


def test_the_clock_set_back_and_forward_loses_no_reading(invented: Any, plain: Text) -> None:
    """Central European time in 2025: back at 03:00 on 26 October, forward on 30 March."""
    for start, moment, change in (
        (datetime(2025, 10, 24), datetime(2025, 10, 26, 3), -1),
        (datetime(2025, 3, 28), datetime(2025, 3, 30, 2), 1),
    ):
        for step in (10, 60):
            rows = invented(days=5, step=step, start=start)
            wall = [
                row._replace(moment=row.moment + timedelta(hours=change))
                if row.moment >= moment
                else row
                for row in rows
            ]
            result = readings(plain(wall))
            assert totals(result) == {"clock change": 1}, (start, step)
            assert result.readings_used == len(rows)
            assert result.covers == pytest.approx(5 * 86400.0)


def test_offsets_in_the_log_keep_time_running(invented: Any) -> None:
    rows = invented(days=4, start=datetime(2025, 10, 24))
    lines = ["time,temp °C,rh"]
    for row in rows:
        summer = row.moment < datetime(2025, 10, 26, 3)
        wall = row.moment if summer else row.moment - timedelta(hours=1)
        lines.append(
            f"{wall:%Y-%m-%dT%H:%M:%S}{'+02:00' if summer else '+01:00'},"
            f"{row.temperature},{row.humidity}"
        )
    result = readings("\n".join(lines))
    assert (totals(result), result.covers) == ({}, pytest.approx(4 * 86400.0))


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "is empty"),
        (b"   \n\n", "is empty"),
        (b"PK\x03\x04rest", "a spreadsheet or a zip archive"),
        (b"%PDF-1.7", "a PDF"),
        (b"<!doctype html><p>no", "a web page"),
        (b'{"humidity": 75}', "JSON"),
        (b"Dear keeper,\nmy crab is well.\n", "no log that can be read"),
        (bytes(5000), "no"),
        (b"a,b\n1,2\n3,4\n", "no log that can be read"),
        (b"Time,Temperature\n2026-01-01 10:00,25\n2026-01-01 11:00,-26\n", "relative humidity"),
        (b"Time,C,RH\n2026-01-01 10:00,25,75\n", "at least two"),
    ],
)
def test_what_is_no_log_gets_one_sentence(data: bytes, words: str) -> None:
    with pytest.raises(NoAnswer) as caught:
        readings(decode(data))
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_comma_in_both_places_is_refused() -> None:
    rows = "".join(f"2026-01-01 10:{n:02},23,5,60,{n % 10}\n" for n in range(20))
    with pytest.raises(NoAnswer, match="semicolons"):
        readings("Time,Temp,RH\n" + rows)


def questions(result: Readings) -> dict[str, str]:
    return {asked.input: asked.assumed for asked in result.questions}


def test_day_and_month_that_cannot_be_told_apart_are_asked(invented: Any) -> None:
    rows = invented(days=1, start=datetime(2026, 3, 4))
    text = "Time,Temp C,RH\n" + "".join(
        f"{r.moment:%d/%m/%Y %H:%M},{r.temperature},{r.humidity}\n" for r in rows
    )
    assert questions(readings(text)) == {"date_order": "day first"}
    answered = readings(text, date_order="month first")
    assert not answered.questions
    assert answered.points[0].clock == "2026-04-03 00:00"


def test_neighbouring_days_settle_the_order_without_a_question(invented: Any) -> None:
    rows = invented(days=6, start=datetime(2026, 3, 4))
    for form in ("%d/%m/%Y %H:%M", "%m/%d/%Y %H:%M"):
        text = "Time,Temp C,RH\n" + "".join(
            f"{r.moment:{form}},{r.temperature},{r.humidity}\n" for r in rows
        )
        result = readings(text)
        assert not result.questions
        assert result.points[0].clock == "2026-03-04 00:00"


def test_an_unclear_unit_is_asked(invented: Any) -> None:
    rows = invented(days=2)
    text = "Time,Temp,RH\n" + "".join(
        f"{r.moment:%Y-%m-%d %H:%M},{r.temperature + 20},{r.humidity}\n" for r in rows
    )
    assert questions(readings(text)) == {"temperature_unit": "°F"}
    assert not readings(text, temperature_unit="°C").questions


def test_columns_can_be_corrected(invented: Any) -> None:
    rows = invented(days=3)
    text = "Time,Temp A °C,RH A,Temp B °C,RH B,Room °C\n" + "".join(
        f"{r.moment:%Y-%m-%d %H:%M},{r.temperature},{r.humidity},{r.temperature - 3},"
        f"{r.humidity - 30},{r.room}\n"
        for r in rows
    )
    first = readings(text)
    assert questions(first) == {"humidity_column": "RH A", "temperature_column": "Temp A °C"}
    assert first.wet_hours == pytest.approx(3 * 86400.0, rel=0.5)
    second = readings(text, humidity_column="RH B", temperature_column="4", room_column="none")
    assert not second.questions
    assert second.wet_hours is None
    assert second.relative_humidity.middle == pytest.approx(
        first.relative_humidity.middle - 0.3, abs=1e-9
    )
    with pytest.raises(NoAnswer, match="no column “Temp C”"):
        readings(text, temperature_column="Temp C")


def test_humidity_alone_is_enough(base: Any) -> None:
    text = "Time;rF %\n" + "".join(f"{r.moment:%d.%m.%Y %H:%M};{r.humidity}\n" for r in base)
    result = readings(text)
    assert (result.dew_point, result.swing, result.change_humidity) == (None, None, None)
    assert result.readings_used == len(base)


def test_progress_is_told(base: Any, plain: Text) -> None:
    heard: list[float] = []
    token = PROGRESS.set(heard.append)
    try:
        readings(plain(base))
    finally:
        PROGRESS.reset(token)
    assert heard == sorted(heard)
    assert heard[-1] == 1.0
