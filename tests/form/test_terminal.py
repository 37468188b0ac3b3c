"""The calculators at a terminal: the contract of flags, JSON, exit codes and sentences."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from calculators.__main__ import main
from calculators.ask import answer
from calculators.catalogue import CATALOGUE
from calculators.fields import Signature
from tests.conftest import ROOT


def test_json_holds_inputs_and_answers_with_units(capsys: pytest.CaptureFixture[str]) -> None:
    status = main(["dew-point", "--air-temperature", "26", "--relative-humidity", "75", "--json"])
    result = json.loads(capsys.readouterr().out)
    assert status == 0
    assert result["calculator"] == "dew-point"
    assert result["inputs"]["air_temperature"] == {"value": 26.0, "unit": "°C"}
    assert result["inputs"]["relative_humidity"] == {"value": 75.0, "unit": "%"}
    assert set(result["answers"]) == {
        "dew_point", "absolute_humidity", "vapour_pressure", "vapour_pressure_deficit",
        "relative_humidity_there", "wet_bulb",
    }  # fmt: skip
    # 26 °C, 75 %: CoolProp 8.0, real-gas moist air
    assert result["answers"]["dew_point"]["value"] == pytest.approx(21.23, abs=0.005)
    assert result["answers"]["wet_bulb"]["value"] == pytest.approx(22.60, abs=0.005)
    assert result["answers"]["absolute_humidity"] == {
        "value": pytest.approx(18.36, abs=0.005),
        "unit": "g/m³",
    }
    assert all(isinstance(note, str) for note in result["notes"])


def test_values_may_carry_a_unit(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["dew-point", "--air-temperature=79F", "--json"]) == 0
    value = json.loads(capsys.readouterr().out)["inputs"]["air_temperature"]["value"]
    assert value == pytest.approx(26.0 + 1 / 9)


def test_bad_input_exits_2_with_the_sentence_of_the_page(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["dew-point", "--air-temperature", "126"]) == 2
    printed = capsys.readouterr()
    page = answer("dew-point", {"air_temperature": "126"})["problems"]
    assert printed.err.strip() == page[0]["sentence"]
    assert printed.out == ""


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["dewpoint"], "There is no calculator “dewpoint”. Did you mean “dew-point”?"),
        (["dew-point", "--air-temp", "26"], "There is no input “--air-temp”. Did you mean"),
        (["dew-point", "26"], "There is no input “26”."),
        (["dew-point", "--air-temperature"], "--air-temperature: a value is missing."),
        (["dew-point", "--altitude", "1", "--altitude", "2"], "--altitude: typed twice."),
    ],
)
def test_a_slip_is_named(
    arguments: list[str], sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(arguments) == 2
    assert capsys.readouterr().err.startswith(sentence)


def test_every_problem_is_told_at_once() -> None:
    found = answer("dew-point", {"air_temperature": "hot", "relative_humidity": "120"})["problems"]
    assert [item["field"] for item in found] == ["air_temperature", "relative_humidity"]


@pytest.mark.parametrize("entry", CATALOGUE, ids=lambda entry: entry.name)
def test_every_calculator_answers_as_text(
    entry: object, capsys: pytest.CaptureFixture[str]
) -> None:
    name = entry.name  # type: ignore[attr-defined]
    signature = Signature.of(entry.function)  # type: ignore[attr-defined]
    if any(field.required for field in signature.inputs):
        pytest.skip("asks for something that has no default")
    assert main([name]) == 0
    text = capsys.readouterr().out
    for field in signature.answers:
        assert field.label in text
    assert main([name, "--help"]) == 0


def test_the_module_runs() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "calculators"],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0
    assert "dew-point" in done.stdout
