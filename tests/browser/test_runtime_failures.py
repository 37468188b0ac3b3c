"""When live answers cannot be had, the page learns why in a sentence, and can try again."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from dewglass.site.runtime import FOLDER, Packed, pack, preload_links, script_tags
from tests.browser.engines import served

pytestmark = pytest.mark.browser

# Tell what became of a promise.
TOLD = "{}.then(value => value, failure => ({{kind: failure.kind, message: failure.message}}))"
ASK = "dewglass.runtime.ask('page', 'dew-point', {})"


@pytest.fixture
def site(tmp_path: Path) -> tuple[Path, Packed]:
    packed = pack(tmp_path)
    (tmp_path / "index.html").write_text(
        f'<!doctype html><html lang="en"><meta charset="utf-8"><title>Bare</title>'
        f"<body>{script_tags(packed)}</body></html>"
    )
    return tmp_path, packed


def told(page: Any, javascript: str) -> Any:
    return page.evaluate("() => " + TOLD.format(javascript))


@pytest.mark.parametrize("what", ["python", "library", "calculators", "worker"])
def test_a_file_is_missing_and_comes_back(
    chromium_page: Any, site: tuple[Path, Packed], what: str
) -> None:
    folder, packed = site
    path = folder / FOLDER / packed.files[what]
    path.rename(path.with_suffix(".away"))
    with served(folder) as address:
        chromium_page.goto(address)
        failure = told(chromium_page, ASK)
        assert failure["kind"] == ("died" if what == "worker" else "fetch")
        assert "already on the page" in failure["message"]
        assert chromium_page.evaluate("dewglass.runtime.state") == "failed"
        path.with_suffix(".away").rename(path)
        assert "answers" in told(chromium_page, ASK)


@pytest.mark.parametrize("way", ["http", "file"])
def test_early_downloads_disturb_nothing(
    chromium_page: Any, site: tuple[Path, Packed], way: str
) -> None:
    folder, packed = site
    (folder / "early.html").write_text(
        f'<!doctype html><html lang="en"><meta charset="utf-8"><title>Early</title>'
        f'<link rel="icon" href="data:,">{preload_links(packed)}<body>{script_tags(packed)}</body>'
    )
    complaints: list[str] = []
    chromium_page.on("console", lambda message: complaints.append(message.text))
    with served(folder) as address:
        chromium_page.goto((address if way == "http" else folder.as_uri() + "/") + "early.html")
        chromium_page.wait_for_load_state("networkidle")
        assert "answers" in told(chromium_page, ASK)
    assert complaints == []


def test_a_folder_is_not_complete(chromium_page: Any, site: tuple[Path, Packed]) -> None:
    folder, packed = site
    (folder / FOLDER / packed.files["folder"]).unlink()
    chromium_page.goto((folder / "index.html").as_uri())
    assert told(chromium_page, ASK)["kind"] == "folder"


@pytest.mark.parametrize("lacking", ["WebAssembly", "DecompressionStream", "Worker"])
def test_a_browser_is_too_old(chromium_page: Any, site: tuple[Path, Packed], lacking: str) -> None:
    chromium_page.add_init_script(f"delete globalThis.{lacking}")
    with served(site[0]) as address:
        chromium_page.goto(address)
        failure = told(chromium_page, ASK)
    assert failure["kind"] == "unsupported"
    assert failure["message"].startswith("This browser cannot work out live answers")


def test_no_sign_of_life(chromium_page: Any, site: tuple[Path, Packed]) -> None:
    with served(site[0]) as address:
        chromium_page.goto(address)
        impatient = "new dewglass.Runtime({patience: 0.001}).start()"
        assert told(chromium_page, impatient)["kind"] == "silent"


def test_nothing_outside_our_files_is_asked_for(
    chromium_page: Any, site: tuple[Path, Packed]
) -> None:
    asked: list[str] = []
    errors: list[str] = []
    chromium_page.on("request", lambda request: asked.append(request.url))
    chromium_page.on("console", lambda message: errors.append(message.text))
    with served(site[0]) as address:
        chromium_page.goto(address)
        assert not [url for url in asked if url.endswith(".bin")]  # not before it is wanted
        told(chromium_page, ASK)
        icon = f"{address}favicon.ico"
        assert all(url.startswith((address, "blob:")) for url in asked if url != icon)
    assert not [text for text in errors if "favicon" not in text and "404" not in text]


def test_a_newer_question_takes_the_place_of_an_older_one(
    chromium_page: Any, site: tuple[Path, Packed]
) -> None:
    with served(site[0]) as address:
        chromium_page.goto(address)
        questions = ", ".join(
            TOLD.format(f"dewglass.runtime.ask('{owner}', 'dew-point', {inputs})")
            for owner, inputs in [
                ("a", "{air_temperature: '20'}"),
                ("a", "{air_temperature: '21'}"),
                ("b", "{air_temperature: '22'}"),
                ("a", "{air_temperature: '23'}"),
            ]
        )
        replies = chromium_page.evaluate(f"() => Promise.all([{questions}])")
        kinds = [reply.get("kind") for reply in replies]
        assert kinds == ["superseded", "superseded", None, None]
        answered = [reply["inputs"]["air_temperature"]["value"] for reply in replies[2:]]
        assert answered == [22, 23]


def test_stopping_one_asks_the_others_again(chromium_page: Any, site: tuple[Path, Packed]) -> None:
    with served(site[0]) as address:
        chromium_page.goto(address)
        chromium_page.evaluate("dewglass.runtime.start()")
        replies = chromium_page.evaluate(
            "() => { const run = dewglass.runtime; const call = owner => "
            + TOLD.format("run.ask(owner, 'dew-point', {})")
            + "; const all = Promise.all([call('a'), call('b')]);"
            "return new Promise(done => setTimeout(done)).then(() => {run.cancel('a'); return all;}"
            ")}"
        )
        assert replies[0].get("kind") in {"cancelled", None}  # None: it was quicker
        assert "answers" in replies[1]
        assert "answers" in told(chromium_page, ASK)


def test_a_function_of_the_calculators_can_be_called(
    chromium_page: Any, site: tuple[Path, Packed]
) -> None:
    with served(site[0]) as address:
        chromium_page.goto(address)
        path = "calculators.ask:answer"
        call = f"dewglass.runtime.call('page', '{path}', {{name: 'dew-point', inputs: {{}}}})"
        assert "answers" in told(chromium_page, call)
        refused = told(chromium_page, "dewglass.runtime.call('page', 'os:getcwd', {})")
        assert refused == {
            "kind": "python",
            "message": "os:getcwd is not a function of the calculators.",
        }
