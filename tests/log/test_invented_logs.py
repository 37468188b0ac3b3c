"""The invented logs that the guide offers: made by their script, and true to their story."""

from __future__ import annotations

import runpy
from pathlib import Path
from typing import Any

import pytest

from calculators.keeping.readings import readings

DATA = Path(__file__).parents[2] / "docs" / "data"


@pytest.fixture(scope="module")
def script() -> dict[str, Any]:
    return runpy.run_path(str(DATA / "make_logs.py"))


def test_the_script_makes_the_files_that_lie_there(script: dict[str, Any]) -> None:
    """To the last digit but one step: another machine's exp may end in another bit."""
    assert {path.stem for path in DATA.glob("*.csv")} == {story.tank for story in script["STORIES"]}
    for story in script["STORIES"]:
        made = script["log"](story).splitlines()
        there = (DATA / f"{story.tank}.csv").read_text(encoding="utf-8").splitlines()
        assert made[:2] == there[:2]
        assert "Invented" in there[0]
        assert len(made) == len(there) == 2 + 14 * 144
        for ours, theirs in zip(made[2:], there[2:], strict=True):
            clock, *values = ours.split(",")
            moment, *numbers = theirs.split(",")
            assert clock == moment
            assert list(map(float, values)) == pytest.approx(list(map(float, numbers)), abs=0.11)


def test_they_tell_their_stories() -> None:
    wrack, kelp, samphire = (
        (DATA / f"{tank}.csv").read_text(encoding="utf-8") for tank in ("wrack", "kelp", "samphire")
    )
    closed = readings(wrack, changed="2026-01-16 18:00")
    assert (closed.lasting_or_passing, closed.verdict) == ("lasting, too dry", "worked")
    assert readings(kelp, changed="2026-07-13 18:00").lasting_or_passing == "lasting, too damp"
    steady = readings(samphire)
    assert steady.share_in > 0.95
    # Nothing was changed, and a moment that the log picks by itself must not make a verdict of it.
    assert steady.verdict in ("did nothing", "cannot tell yet")
    for text in (wrack, kelp, samphire):
        assert not readings(text).questions
        assert not readings(text).found
