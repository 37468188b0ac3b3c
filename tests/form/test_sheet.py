"""The sheet of a tank: its dates, its chores, and no caution for what the tank has not."""

from __future__ import annotations

from typing import Any

import pytest

from calculators.ask import answer
from calculators.errors import InputError
from calculators.keeping import cautions
from calculators.keeping.dates import in_words, read_date

LASTING = {"gauge_checked": "with the salt test", "seen": "most of three days"}


def sheet(**inputs: str) -> dict[str, Any]:
    found = answer("tank-sheet", {**LASTING, **inputs})
    assert "problems" not in found, found
    return found


def chores(found: dict[str, Any]) -> dict[str, tuple[str, str]]:
    return {
        row["chore"]["value"]: (row["how_often"]["value"], row["amount"]["value"])
        for row in found["answers"]["chores"]
    }


@pytest.mark.parametrize("tank", ["wrack", "kelp", "samphire"])
def test_the_step_is_first_changes(tank: str) -> None:
    plan = answer("first-change", {"tank": tank, **LASTING})
    assert sheet(tank=tank)["answers"]["first_step"] == plan["answers"]["do_now"]


# 3 February 2026 is a Tuesday (proleptic Gregorian calendar); the waits are the trade's.
@pytest.mark.parametrize(
    ("inputs", "wanted"),
    [
        ({"tank": "wrack", "started": "2026-02-03"}, "on Wednesday, 4 February 2026"),
        ({"tank": "wrack", "started": "Feb 28, 2028"}, "on Tuesday, 29 February 2028"),
        ({"tank": "kelp", "started": "3 February 2026"}, "on Thursday, 5 February 2026"),
        ({"tank": "wrack", "started": "2026-02-03", "seen": "one reading"},
         "on Friday, 6 February 2026"),
        ({"tank": "wrack"}, "one day after you start"),
        ({"tank": "wrack", "gauge_checked": "not yet"}, "one day after you start"),
        ({"tank": "samphire"}, "nothing to judge: single peaks and dips are normal"),
    ],
)  # fmt: skip
def test_the_day_to_judge_it(inputs: dict[str, str], wanted: str) -> None:
    assert sheet(**inputs)["answers"]["judge_on"]["value"] == wanted


@pytest.mark.parametrize("text", ["3/2/2026", "tomorrow", "2026-02-30", "3 Febtober 2026", "2026"])
def test_a_day_that_could_be_another_is_refused(text: str) -> None:
    found = answer("tank-sheet", {"tank": "wrack", "started": text})
    assert found["problems"][0]["field"] == "started"
    assert "2026-02-03 (year, month, day)" in found["problems"][0]["sentence"]
    with pytest.raises(InputError):
        read_date(text, "started", "You start on")


def test_days_in_words() -> None:
    day = read_date("2026-11-25", "started", "You start on")
    assert day is not None
    assert in_words(day) == "Wednesday, 25 November 2026"


def test_chores_are_those_the_tank_has() -> None:
    wrack, kelp = chores(sheet(tank="wrack")), chores(sheet(tank="kelp"))
    assert "Damp moss" not in wrack
    assert "Check valve of the air pump" not in wrack
    assert kelp["Check valve of the air pump"][0] == "yearly"
    assert "Damp moss" in kelp
    assert wrack["Salt test of the gauge"][0] == "twice a year"
    assert wrack["RCD or GFCI, smoke alarm"][0] == "monthly"
    assert "4 to 8 weeks" in wrack["Buried crabs"][1]
    assert "never sea water" in wrack["Top up the marine pool"][1]
    # TEOS-10 (gsw): practical salinity 35 reads 1.0264 on a 25/25 °C scale at 25 °C.
    assert "1.026 " in wrack["Salinity of the marine pool"][1]


def test_no_pools_no_mat_no_chores_for_them() -> None:
    none = {"fresh_pool_length": "0 cm", "marine_pool_length": "0 cm", "heater_power": "0 W"}
    found = sheet(tank="wrack", set_point="18 °C", **none)
    names = " ".join(chores(found))
    for word in ("pool", "mat", "RCD"):
        assert word not in names
    assert cautions.MAT not in found["cautions"]
    assert cautions.ELECTRIC not in found["cautions"]
    assert cautions.CLIMB_OUT not in found["cautions"]


def test_cautions_fit_the_tank_and_none_is_told_twice() -> None:
    wrack, kelp = sheet(tank="wrack")["cautions"], sheet(tank="kelp")["cautions"]
    assert cautions.PUMP not in wrack
    assert cautions.GLOVES not in wrack
    assert {cautions.PUMP, cautions.GLOVES, cautions.ELECTRIC} <= set(kelp)
    assert cautions.STALE_AIR in wrack  # its step is to close the lid
    for told in (wrack, kelp):
        assert len(told) == len(set(told))


@pytest.mark.parametrize("tank", ["wrack", "kelp", "samphire"])
def test_top_ups_are_the_balances_water(tank: str) -> None:
    """What is poured in is what the pools and their bubbles give: conservation of mass."""
    balance = answer("tank-balance", {"tank": tank})["answers"]["water"]
    paths = {row["path"]["value"]: row["into"]["value"] for row in balance}
    given = sum(paths.get(name, 0.0) for name in
                ("Fresh pool", "Marine pool", "Bubbles of the air-stones"))  # fmt: skip
    found = chores(sheet(tank=tank))
    poured = sum(
        float(found[f"Top up the {name} pool"][1].split()[1]) for name in ("fresh", "marine")
    )
    # A gram is a millilitre to 0.2 %; each of the two amounts is printed to two figures.
    assert poured == pytest.approx(given, abs=1.0 + 0.002 * given)


def test_the_name_on_the_sheet() -> None:
    assert sheet(tank="kelp")["answers"]["tank_named"]["value"] == "Kelp (invented)"
    assert sheet(tank="kelp", reading="90 %")["answers"]["tank_named"]["value"] == ""
    assert sheet(tank="kelp", tank_name="Ours")["answers"]["tank_named"]["value"] == "Ours"
