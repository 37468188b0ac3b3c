"""The calculator fence: what an editor writes, what comes out, and that no broken one gets by."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import markdown
import pytest
from pymdownx.superfences import SuperFencesException

from dewglass.site import fence, forms
from tests.conftest import ROOT

GOOD = """name: dew-point
inputs:
  air_temperature: 79 °F
  relative_humidity: 75 %
first: [dew_point]"""

BROKEN = {
    "a wrong name": (
        "name: dewpoint",
        1,
        "There is no calculator “dewpoint”. Did you mean “dew-point”?",
    ),
    "an unknown input": (
        "name: dew-point\ninputs:\n  air_temprature: 26 °C",
        3,
        "There is no input “air_temprature”. Did you mean “air_temperature”?",
    ),
    "a bad unit": (
        "name: dew-point\ninputs:\n  relative_humidity: 70 %\n  air_temperature: 26 bar",
        4,
        "Air temperature: “bar” is not a unit of temperature. Use one of: °C, °F.",
    ),
    "a value out of range": (
        "name: dew-point\ninputs:\n  air_temperature: 126 °C",
        3,
        "Air temperature: 126 °C is outside 0 °C (32 °F) to 60 °C (140 °F).",
    ),
    "an unknown answer": (
        "name: dew-point\nfirst: [dewpoint]",
        2,
        "There is no answer “dewpoint”. Did you mean “dew_point”?",
    ),
    "an unknown key": ("name: dew-point\ninput: {}", 2, "There is no key “input”. Did you mean"),
    "no name": ("inputs:\n  air_temperature: 26 °C", 1, "The calculator’s name is missing."),
    "an unknown tank": (
        "name: heater-sizing\ninputs: {tank: wrak}",
        2,
        "There is no tank “wrak”. Did you mean “wrack”?",
    ),
    "a list": ("- dew-point", 1, "A calculator fence is a list of “key: value” lines."),
    "no YAML": ("name: [dew-point\nfirst", 2, "This is not YAML"),
    "an input twice": (
        "name: dew-point\ninputs:\n  air_temperature: 26\n  air_temperature: 27",
        4,
        "“air_temperature” is written twice.",
    ),
    "nothing": ("", 1, "A calculator fence is a list of “key: value” lines."),
}


def page(body: str) -> str:
    return f"# A page\n\nText.\n\n```calculator\n{body}\n```\n\nMore text.\n"


def convert(text: str) -> str:
    custom = {
        "name": "calculator", "class": "calculator",
        "format": fence.formatter, "validator": fence.validator,
    }  # fmt: skip
    return markdown.markdown(
        text,
        extensions=["pymdownx.superfences"],
        extension_configs={"pymdownx.superfences": {"custom_fences": [custom]}},
    )


def test_a_fence_becomes_a_whole_calculator() -> None:
    html = convert(page(GOOD))
    assert forms.forms(html) == (1, 1)
    assert '<output name="dew_point" data-value="21.33' in html
    assert 'name="air_temperature"' in html
    assert "<p><dewglass" not in html
    assert html.index('name="dew_point"') < html.index('name="wet_bulb"')


def test_two_of_one_kind_on_a_page_have_ids_of_their_own() -> None:
    html = convert(page(GOOD) + page(GOOD))
    assert 'id="dew-point"' in html
    assert 'id="dew-point-2"' in html


@pytest.mark.parametrize("kind", BROKEN)
def test_a_broken_fence_is_named_with_its_line(kind: str) -> None:
    body, line, sentence = BROKEN[kind]
    (problem,) = fence.problems_in(page(body), "targets.md")
    assert problem.startswith(f"targets.md:{5 + line}: {sentence}")


@pytest.mark.parametrize("kind", BROKEN)
def test_a_broken_fence_never_becomes_text(kind: str) -> None:
    with pytest.raises(SuperFencesException):
        convert(page(BROKEN[kind][0]))


def test_a_fence_shown_as_an_example_is_no_calculator() -> None:
    text = f"````markdown\n{page(GOOD)}````\n"
    assert list(fence.fences_in(text)) == []
    assert forms.forms(convert(text)) == (0, 0)


SITE = """site_name: A test
docs_dir: docs
site_dir: site
use_directory_urls: false
theme: {{name: material, font: false}}
plugins: []
hooks: [{root}/build/dewglass/site/mkdocs_hooks.py]
markdown_extensions:
  - pymdownx.superfences:
      custom_fences:
        - name: calculator
          class: calculator
          validator: !!python/name:dewglass.site.fence.validator
          format: !!python/name:dewglass.site.fence.formatter
"""


def build(folder: Path, text: str) -> subprocess.CompletedProcess[str]:
    (folder / "docs").mkdir()
    (folder / "docs" / "index.md").write_text(text, encoding="utf-8")
    (folder / "mkdocs.yml").write_text(SITE.format(root=ROOT), encoding="utf-8")
    return subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "--quiet"],
        cwd=folder, capture_output=True, text=True, check=False,
    )  # fmt: skip


def test_a_good_page_is_built(tmp_path: Path) -> None:
    done = build(tmp_path, page(GOOD))
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (page(BROKEN["a value out of range"][0]), "index.md:8: Air temperature: 126 °C"),
        ("---\ntitle: A\n---\n" + page("name: dewpoint"), "index.md:9: There is no calculator"),
        ("Text.\n\n```calculator\nname: dew-point\n", "1 calculator fences are written, but 0"),
        ("``` {.calculator .x\nname: dew-point\n```\n", "1 calculator fences are written, but 0"),
    ],
    ids=["broken", "after front matter", "never closed", "dropped by the parser"],
)
def test_no_broken_fence_reaches_the_site(tmp_path: Path, text: str, sentence: str) -> None:
    done = build(tmp_path, text)
    assert done.returncode != 0
    assert sentence in done.stdout + done.stderr
