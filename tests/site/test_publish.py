"""The publish gate refuses a wrong number and a lost calculator, and leaves nothing behind."""

from __future__ import annotations

import hashlib
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from dewglass.site import publish
from dewglass.site.forms import forms, miscounted

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """A copy of the working folder, with the printed rows as its only published checks."""
    for folder in ("calculators", "build", "tests/tables"):
        shutil.copytree(ROOT / folder, tmp_path / folder)
    (tmp_path / "tests" / "published").mkdir()
    for file in (
        "pyproject.toml",
        "tests/conftest.py",
        "tests/published/conftest.py",
        "tests/published/test_tables.py",
    ):
        shutil.copy(ROOT / file, tmp_path / file)
    (tmp_path / "dist" / "guide").mkdir(parents=True)
    (tmp_path / "dist" / "guide" / "index.html").write_text("the guide published before")
    return tmp_path


def test_a_wrong_constant_is_refused_by_name_and_nothing_is_published(copy: Path) -> None:
    source = copy / "calculators" / "surfaces" / "conduction.py"
    text = source.read_text(encoding="utf-8")
    assert "FILM_WALL = 0.13" in text
    source.write_text(text.replace("FILM_WALL = 0.13", "FILM_WALL = 0.04"), encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "dewglass.site.publish", str(copy)],
        cwd=ROOT / "build",
        check=False,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 1
    assert "Refused: nothing was published." in done.stderr
    assert "(surfaces_pane_indoors.toml): calculators.surfaces.conduction:" in done.stderr
    assert "(surfaces_radiation.toml)" not in done.stderr  # what is right is not accused
    assert not (copy / "dist").exists()
    kept = copy / ".cache" / "last-published" / "guide" / "index.html"
    assert kept.read_text() == "the guide published before"
    assert list((copy / ".cache").glob("publish-*")) == []


@pytest.mark.parametrize("stage", ["check_numbers", "build", "check_browser"])
def test_a_refusal_at_any_stage_leaves_no_dist(
    copy: Path, monkeypatch: pytest.MonkeyPatch, stage: str
) -> None:
    def refuse(*_: object) -> None:
        raise publish.Refused("something is wrong")

    for name in ("check_numbers", "build", "check_browser"):
        monkeypatch.setattr(publish, name, refuse if name == stage else lambda *_: None)
    with pytest.raises(publish.Refused, match="something is wrong"):
        publish.publish(copy)
    assert not (copy / "dist").exists()


def test_what_passes_is_published_whole(copy: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def write(root: Path, site: Path) -> None:
        (site / "assets").mkdir(parents=True)
        (site / "index.html").write_text("<p>the new guide</p>")
        (site / "assets" / "page.js").write_text("'use strict'")

    monkeypatch.setattr(publish, "check_numbers", lambda *_: None)
    monkeypatch.setattr(publish, "build", write)
    monkeypatch.setattr(publish, "check_browser", lambda *_: None)
    dist = publish.publish(copy)
    name = f"dewglass-guide-{publish.version(copy)}"
    assert (dist / "guide" / "index.html").read_text() == "<p>the new guide</p>"
    with zipfile.ZipFile(dist / f"{name}.zip") as zipped:
        assert zipped.namelist() == [f"{name}/assets/page.js", f"{name}/index.html"]
    sums = dict(
        reversed(line.split("  ")) for line in (dist / "SHA256SUMS").read_text().splitlines()
    )
    assert sorted(sums) == [f"{name}.zip", "guide/assets/page.js", "guide/index.html"]
    for file, digest in sums.items():
        assert hashlib.sha256((dist / file).read_bytes()).hexdigest() == digest


def test_the_same_files_give_the_same_zip(tmp_path: Path) -> None:
    site = tmp_path / "site"
    site.mkdir()
    for target in ("one", "two"):
        (site / "index.html").write_text("<p>the same</p>")  # at another time
        (tmp_path / target).mkdir()
        publish.bundle(site, tmp_path / target / "guide.zip")
    one, two = (tmp_path / name / "guide.zip" for name in ("one", "two"))
    assert one.read_bytes() == two.read_bytes()


PAGE = (
    '<dewglass-calculator name="dew-point"><output name="dew_point" data-value="21.2">21.2</output>'
    "</dewglass-calculator>"
)
FENCE = "```calculator\nname: dew-point\n```\n"


@pytest.mark.parametrize(
    ("markdown", "html", "sentence"),
    [
        (FENCE, PAGE, None),
        ("No calculator here.", "<p>No calculator here.</p>", None),
        (f"````\n{FENCE}````\n", "<pre>an example</pre>", None),
        (FENCE + "\n" + FENCE, PAGE, "page.md places 2 calculators, but 1 stand in the page."),
        (FENCE, "<pre>```calculator</pre>", "page.md places 1 calculators, but 0 stand"),
        (FENCE, f"<!-- {PAGE} -->", "page.md places 1 calculators, but 0 stand"),
        (
            FENCE,
            '<dewglass-calculator name="x"></dewglass-calculator>',
            "page.md: 1 calculators hold no answer.",
        ),
        (FENCE, None, "page.md was not built."),
    ],
)
def test_forms_are_counted_against_fences(
    tmp_path: Path, markdown: str, html: str | None, sentence: str | None
) -> None:
    docs, site = tmp_path / "docs", tmp_path / "site"
    docs.mkdir()
    site.mkdir()
    (docs / "page.md").write_text(markdown, encoding="utf-8")
    if html is not None:
        (site / "page.html").write_text(html, encoding="utf-8")
    found = miscounted(docs, site)
    if sentence is None:
        assert found == []
    else:
        assert len(found) == 1
        assert sentence in found[0]


def test_a_stray_answer_belongs_to_no_form() -> None:
    assert forms("<output>1</output><dewglass-calculator></dewglass-calculator>") == (1, 0)
