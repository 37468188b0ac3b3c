"""Pages on a small screen: which tables stack, and numbers that stay with their units."""

from __future__ import annotations

import markdown
import pytest


def html(text: str) -> str:
    return markdown.markdown(text, extensions=["tables", "dewglass.site.phones"])


WIDE = """
| step | change | wait | spoils |
|---|---|---|---|
| 1 | Close the lid in steps, **leave** a known gap | 24 hours | carbon dioxide rises |
"""
NARROW = "| in a day | A | B | C |\n|---|---|---|---|\n| pools | 31 g | 23 g | 16 g |\n"


def test_a_wide_table_of_sentences_stacks_and_stays_a_table() -> None:
    page = html(WIDE)
    assert '<table class="dg-columns dg-wide" role="table">' in page
    assert '<td data-label="change" role="cell">' in page
    assert '<th role="columnheader">step</th>' in page


def test_a_narrow_table_of_numbers_keeps_its_columns() -> None:
    assert '<table class="dg-columns">' in html(NARROW)
    assert "data-label" not in html(NARROW)


@pytest.mark.parametrize(
    "text", ["26 °C (79 °F)", "58 %", "a 50 W mat", "**5 mL** a day", "3 fl oz"]
)
def test_a_number_is_not_parted_from_its_unit(text: str) -> None:
    page = html(text)
    assert "\N{NO-BREAK SPACE}" in page
    assert page.replace("\N{NO-BREAK SPACE}", " ") == markdown.markdown(text)


@pytest.mark.parametrize("text", ["`26 °C`", "2 gaps", "in 3 inches", "48 hours", "chapter 4 In"])
def test_other_text_stays_as_typed(text: str) -> None:
    assert html(text) == markdown.markdown(text)
