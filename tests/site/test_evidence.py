"""The evidence names what is missing, and its page can be read on a phone and by a machine."""

from __future__ import annotations

from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from dewglass.site.evidence import Evidence, evidence_page, figures, fingerprint, shortcomings

ROOT = Path(__file__).resolve().parents[2]


def evidence(**changed: Any) -> Evidence:
    table = {
        "file": "roots.toml",
        "title": "Square roots <1814>",
        "source": "Barlow's Tables",
        "how_known": "from memory",
        "calculators": ["dew-point", "moss"],
        "function": "math:sqrt",
        "unit": "m",
        "tolerance_why": "",
        "rows": [
            {
                "arguments": {"side": "2"},
                "expected": "1.414",
                "computed": 1.41421,
                "deviation": 0.0002,
                "allowed": 0.0005,
                "ok": True,
                "sentence": "the root of 2",
            }
        ],
    }
    comparison = {
        "title": "Dew point",
        "source": "a library",
        "how_known": "computed with the library named",
        "calculators": ["dew-point"],
        "function": "calculators.air:dew_point",
        "unit": "K",
        "tolerance_why": "",
        "worst": 0.002,
        "allowed": 0.01,
        "points": 12000,
        "ok": True,
    }
    return {
        "made_from": "",
        "calculators": [
            {"name": "dew-point", "title": "Dew point", "practice_only": ""},
            {"name": "moss", "title": "Moss", "practice_only": ""},
        ],
        "tables": [table],
        "comparisons": [comparison],
    } | changed


def test_sound_evidence_has_no_shortcomings() -> None:
    assert shortcomings(evidence()) == []


def test_a_failing_row_is_named() -> None:
    found = evidence()
    found["tables"][0]["rows"][0]["ok"] = False
    assert shortcomings(found) == ["the root of 2"]


def test_a_failing_comparison_is_named_with_its_figures() -> None:
    found = evidence()
    found["comparisons"][0] |= {"ok": False, "worst": 0.02}
    assert shortcomings(found) == [
        "Dew point: calculators.air:dew_point is off by up to 0.02 K from a library; allowed 0.01"
    ]


def test_a_calculator_without_a_check_must_say_why() -> None:
    bare = {"name": "plan", "title": "Plan", "practice_only": ""}
    found = evidence()
    found["calculators"].append(bare)
    assert shortcomings(found) == [
        "plan: no published check names this calculator, and it does not say why there is none "
        "(practice_only)"
    ]
    bare["practice_only"] = "An order of steps, from common practice."
    assert shortcomings(found) == []


def test_a_check_of_an_unknown_calculator_is_a_slip_of_the_pen() -> None:
    found = evidence()
    found["comparisons"][0]["calculators"] = ["dew-pint"]
    assert shortcomings(found) == ["Dew point: “dew-pint” is not a calculator of the catalogue"]


def test_an_empty_catalogue_is_not_published() -> None:
    assert "The catalogue holds no calculator" in shortcomings(
        {"calculators": [], "tables": [], "comparisons": []}
    )


def test_the_page_shows_each_check_once_and_links_to_it_from_the_others() -> None:
    page = evidence_page(evidence())
    assert page.count("### ") == 2
    assert "### Square roots \\<1814\\> { #check-square-roots-1814 }" in page
    assert '<a href="#check-square-roots-1814">Square roots &lt;1814&gt;</a>' in page
    assert "**1 of 1** printed values" in page
    assert "over 12,000 points" in page


def test_a_row_shows_its_numbers_with_one_digit_more_than_printed() -> None:
    page = evidence_page(evidence())
    assert "<td>side 2</td><td>1.414<br>1.4142</td><td>within ± 0.0005</td>" in page


def test_a_power_of_ten_is_raised() -> None:
    found = evidence()
    found["tables"][0]["rows"][0] |= {
        "expected": "14.14e-5",
        "computed": 1.4142e-4,
        "allowed": 5e-8,
    }
    page = evidence_page(found)
    assert "14.14 × 10<sup>-5</sup><br>14.142 × 10<sup>-5</sup>" in page
    assert "within ± 5 × 10<sup>-8</sup>" in page


def test_a_failed_row_stands_out_in_words() -> None:
    found = evidence()
    found["tables"][0]["rows"][0] |= {"ok": False, "computed": None}
    assert "1.414<br>no answer" in evidence_page(found)
    assert "<details open>" in evidence_page(found)
    assert "<strong>NOT within</strong>" in evidence_page(found)


def test_a_preview_says_that_comparisons_are_missing() -> None:
    assert "were not run for this preview" in evidence_page(evidence(comparisons=None))


def test_every_tag_is_closed() -> None:
    opened: list[str] = []

    class Tags(HTMLParser):
        def handle_starttag(self, tag: str, attributes: object) -> None:
            if tag != "br":
                opened.append(tag)

        def handle_endtag(self, tag: str) -> None:
            assert opened.pop() == tag

    Tags().feed(evidence_page(evidence()).replace("\\<", "").replace("\\>", ""))
    assert opened == []


@pytest.mark.parametrize(
    ("expected", "value", "text"),
    [
        ("3169.7", 3169.7468, "3169.75"),
        ("47", 47.26, "47.3"),
        ("2441.68e3", 2441683.4, "2441.683e3"),
        ("-1.5e-5", -1.52e-5, "-1.52e-5"),
        ("5e2", 512.0, "5.1e2"),
    ],
)
def test_figures_follow_the_print(expected: str, value: float, text: str) -> None:
    assert figures(expected, value) == text


def test_the_fingerprint_follows_the_calculators(tmp_path: Path) -> None:
    (tmp_path / "calculators").mkdir()
    source = tmp_path / "calculators" / "air.py"
    source.write_text("STANDARD_PRESSURE = 101_325.0\n")
    before = fingerprint(tmp_path)
    assert fingerprint(tmp_path) == before
    source.write_text("STANDARD_PRESSURE = 101_300.0\n")
    assert fingerprint(tmp_path) != before
