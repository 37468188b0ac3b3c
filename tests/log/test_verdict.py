"""Did it work? On invented logs whose truth is known."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from calculators.__main__ import main
from calculators.errors import NoAnswer
from calculators.keeping.readings import readings

MIDDLE = "2026-03-06"


def test_a_clear_change_worked(invented: Callable[..., Any], plain: Callable[..., str]) -> None:
    rows = invented(days=28, jump=8.0, middle=68.0)
    result = readings(plain(rows), changed=MIDDLE)
    assert result.verdict == "worked"
    assert result.change_humidity is not None
    assert result.change_humidity.low < 0.08 < result.change_humidity.high
    assert result.change_dew_point is not None
    assert result.change_dew_point.low > 0


def test_the_same_change_in_a_damp_tank_made_it_worse(
    invented: Callable[..., Any], plain: Callable[..., str]
) -> None:
    rows = invented(days=28, jump=5.0, middle=88.0)
    assert readings(plain(rows), changed=MIDDLE).verdict == "made it worse"


def test_no_change_did_nothing(invented: Callable[..., Any], plain: Callable[..., str]) -> None:
    rows = invented(days=56, jump=0.0)
    result = readings(plain(rows), changed="2026-03-20")
    assert result.verdict == "did nothing"
    assert "what gauges are off by" in result.advice


def test_too_early_says_how_many_days_more(
    invented: Callable[..., Any], plain: Callable[..., str]
) -> None:
    rows = invented(days=15, jump=0.0)
    result = readings(plain(rows), changed="2026-03-05 12:00")
    assert result.verdict == "cannot tell yet"
    assert result.more_days is not None
    assert result.more_days >= 86400


def test_the_log_proposes_the_moment(
    invented: Callable[..., Any], plain: Callable[..., str]
) -> None:
    rows = invented(days=28, jump=8.0, middle=68.0)
    result = readings(plain(rows))
    assert result.changed_at.endswith("(proposed by the log)")
    assert result.changed_at[:10] in ("2026-03-05", "2026-03-06")
    assert "Give the date of your change" in result.advice


def test_a_date_outside_the_log_is_refused(base: Any, plain: Callable[..., str]) -> None:
    with pytest.raises(NoAnswer, match="outside the log"):
        readings(plain(base), changed="2020-01-01")
    with pytest.raises(NoAnswer, match="is no date"):
        readings(plain(base), changed="last week")


def test_the_terminal_reads_a_file(
    base: Any, plain: Callable[..., str], tmp_path: Any, capsys: Any
) -> None:
    path = tmp_path / "log.csv"
    path.write_bytes(plain(base).encode("utf-16"))
    assert main(["readings", str(path), "--lowest", "70%", "--highest", "80%"]) == 0
    assert "Time in the band" in capsys.readouterr().out
    assert main(["readings", str(tmp_path / "none.csv")]) == 2
    assert "cannot be read" in capsys.readouterr().err
    path.write_bytes(b"PK\x03\x04")
    assert main(["readings", str(path)]) == 2
    assert "not a table in plain text" in capsys.readouterr().err


def test_a_gauge_s_correction_is_added_to_every_reading() -> None:
    lines = [
        f"2026-01-{day:02d} {hour:02d}:00,26.0,72" for day in range(1, 9) for hour in range(24)
    ]
    log = "time,temperature °C,humidity %\n" + "\n".join(lines)
    plain, corrected = readings(log), readings(log, correction=0.04)
    assert plain.share_below == 1.0
    assert corrected.share_in == 1.0
    assert corrected.relative_humidity.middle == pytest.approx(0.76)
    assert corrected.gauge_lately.middle == pytest.approx(0.72)
