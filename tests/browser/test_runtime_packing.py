"""What is packed for the browser: the same every time, nothing too much, nothing missing."""

from __future__ import annotations

import gzip
import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from dewglass.site import archives
from dewglass.site.runtime import DATACLASSES, FOLDER, Packed, pack

# Runs what the worker runs, in this Python, with the archive where the browser has it.
BRIDGE = """
import builtins, json, sys, types
sys.path.insert(0, sys.argv[1])
execute, written = builtins.exec, []
def spy(code, *names):
    if isinstance(code, str):
        written.append(code)
    execute(code, *names)
builtins.exec = spy
import dewglass_bridge
fake = types.ModuleType("calculators.fake")
def count(to, progress):
    for number in range(to):
        progress({"done": number})
    return to
fake.count = count
sys.modules["calculators.fake"] = fake
states = []
print(json.dumps({
    "answer": json.loads(dewglass_bridge.ask("dew-point", "{}", False)),
    "call": json.loads(dewglass_bridge.call("calculators.fake:count", '{"to": 2}', states.append)),
    "states": [json.loads(state) for state in states],
    "outside": json.loads(dewglass_bridge.call("os:getcwd", "{}", states.append)),
    "dewglass": sorted(name for name in sys.modules if name.startswith("dewglass")),
    "written": written,
    "from": sys.modules["calculators"].__file__,
}))
"""

NEEDED = (
    "bisect csv dataclasses datetime decimal difflib fractions functools heapq inspect io "
    "itertools json math random re statistics string textwrap typing unicodedata zlib"
)
# With the browser's library and this Python's compiled modules only.
IMPORT = """
import sys
sys.path[:] = [sys.argv[1], *(path for path in sys.path if path.endswith("lib-dynload"))]
for name in sys.argv[2].split():
    __import__(name)
from datetime import datetime
assert datetime.strptime("2025-01-31 18:00", "%Y-%m-%d %H:%M").hour == 18
for codec in "ascii utf-8-sig utf-16 cp1252 latin-1".split():
    assert "20 C".encode(codec).decode(codec) == "20 C"
"""


@pytest.fixture(scope="module")
def packed(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Packed]:
    """A folder with everything, made from nothing."""
    out, cache = tmp_path_factory.mktemp("site"), tmp_path_factory.mktemp("cache")
    return out, pack(out, cache)


def archive(packed: tuple[Path, Packed], what: str) -> bytes:
    out, product = packed
    return gzip.decompress((out / FOLDER / product.files[what]).read_bytes())


def test_the_same_inputs_give_the_same_bytes(packed: tuple[Path, Packed], tmp_path: Path) -> None:
    assert pack(tmp_path / "again", tmp_path / "cache").files == packed[1].files


def test_a_second_run_writes_nothing_again(tmp_path: Path) -> None:
    first = pack(tmp_path)
    before = {path: path.stat().st_mtime_ns for path in (tmp_path / FOLDER).glob("dewglass-*")}
    assert pack(tmp_path) == first
    assert before == {path: path.stat().st_mtime_ns for path in before}


def test_old_files_are_swept_away(tmp_path: Path) -> None:
    folder = tmp_path / FOLDER
    folder.mkdir(parents=True)
    (folder / "dewglass-page.000000000000.js").touch()
    (folder / "other.txt").touch()
    product = pack(tmp_path)
    left = {path.name for path in folder.iterdir()}
    assert left == {*product.files.values(), "manifest.json", "other.txt"}


def test_only_the_calculators_go_to_the_reader(packed: tuple[Path, Packed]) -> None:
    names = archives.unpacked(archive(packed, "calculators"))
    ours = {"annotated_types", "calculators", "dewglass_bridge.pyc", DATACLASSES}
    assert {re.split("/", name)[0] for name in names} == ours


def test_bytecode_matches_the_browser(packed: tuple[Path, Packed]) -> None:
    if not archives.same_bytecode(packed[1].python):
        pytest.skip("This Python does not compile for the browser's.")
    assert packed[1].compiled
    names = archives.unpacked(archive(packed, "library"))
    assert not [name for name in names if name.endswith(".py")]


def test_nothing_is_fetched_from_elsewhere(packed: tuple[Path, Packed]) -> None:
    out, product = packed
    page = (out / FOLDER / product.files["page"]).read_text()
    assert not re.findall(r"https?://(?!www\.w3\.org/)[^\s\"'`]+", page)


def test_the_bridge_answers(packed: tuple[Path, Packed], tmp_path: Path) -> None:
    if not archives.same_bytecode(packed[1].python):
        pytest.skip("This Python does not run what the browser's runs.")
    path = tmp_path / "calculators.zip"
    path.write_bytes(archive(packed, "calculators"))
    run = subprocess.run(
        [sys.executable, "-I", "-c", BRIDGE, str(path)],
        cwd=tmp_path, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert run.returncode == 0, run.stderr
    told = json.loads(run.stdout)
    assert "answers" in told["answer"]["result"]
    assert told["call"] == {"result": 2}
    assert told["states"] == [{"done": 0}, {"done": 1}]
    assert told["outside"]["kind"] == "ValueError"
    assert told["written"] == []  # every dataclass's methods came compiled
    assert told["dewglass"] == ["dewglass_bridge"]
    assert told["from"].startswith(str(path))


def test_the_trimmed_library_has_what_calculators_may_import(
    packed: tuple[Path, Packed], tmp_path: Path
) -> None:
    if not packed[1].compiled:
        pytest.skip("This Python does not run what the browser's runs.")
    path = tmp_path / "library.zip"
    path.write_bytes(archive(packed, "library"))
    run = subprocess.run(
        [sys.executable, "-I", "-S", "-c", IMPORT, str(path), NEEDED],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert run.returncode == 0, run.stderr
