"""The set-up script: its steps are done once, and what goes wrong is said in one sentence."""

from __future__ import annotations

import importlib.util
import re
import socket
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[2]
SCRIPT = ROOT / "build" / "prepare.py"


@pytest.fixture(scope="module")
def prepare() -> ModuleType:
    spec = importlib.util.spec_from_file_location("prepare", SCRIPT)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_a_taken_port_is_one_sentence_and_a_failure() -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        done = subprocess.run(
            [sys.executable, str(SCRIPT), "guide", "--port", str(port)],
            check=False,
            capture_output=True,
            text=True,
        )
    assert done.returncode == 1
    assert done.stderr.splitlines() == [
        f"Port {port} is taken by another program. Try: make guide PORT={port + 1}"
    ]


def test_a_port_that_cannot_be_is_refused() -> None:
    done = subprocess.run(
        [sys.executable, str(SCRIPT), "guide", "--port", "70000"],
        check=False,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 1
    assert "70000 is not a port." in done.stderr


def test_an_old_python_is_named(prepare: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(prepare.sys, "version_info", (3, 9, 18))
    with pytest.raises(prepare.Stop, match=r"needs Python 3\.11 or newer; this is Python 3\.9\.18"):
        prepare.main()


def test_a_step_is_done_again_only_when_what_it_was_made_from_changed(
    prepare: ModuleType, tmp_path: Path
) -> None:
    done: list[str] = []
    lock, stamp = tmp_path / "lock.txt", tmp_path / "stamps" / "step"
    for text in ("one", "one", "two"):
        lock.write_text(text)
        prepare.once("A step", stamp, ["3.13", lock], lambda text=text: done.append(text))
    assert done == ["one", "two"]


def test_a_step_that_fails_leaves_no_stamp(prepare: ModuleType, tmp_path: Path) -> None:
    def fail() -> None:
        raise prepare.Stop("no network")

    with pytest.raises(prepare.Stop):
        prepare.once("A step", tmp_path / "stamp", [], fail)
    assert not (tmp_path / "stamp").exists()


def test_a_program_that_only_pretends_is_not_used(prepare: ModuleType, tmp_path: Path) -> None:
    shim = tmp_path / "python3.13"
    shim.write_text("#!/bin/sh\necho 'no such version' >&2\nexit 127\n")
    shim.chmod(0o755)
    assert not prepare._usable(shim)
    assert not prepare._usable(tmp_path / "missing")
    assert prepare._usable(sys.executable)


def test_every_make_target_is_a_command(prepare: ModuleType) -> None:
    targets = re.findall(r"build/prepare\.py (\w+)", (ROOT / "Makefile").read_text())
    assert sorted({*targets}) == sorted(prepare.COMMANDS)


@pytest.mark.parametrize("name", ["guide", "test", "node"])
def test_lock_files_hold_hashes_and_no_addresses(name: str) -> None:
    text = (ROOT / "requirements" / f"{name}.txt").read_text()
    pinned = re.findall(r"^\S+==", text, flags=re.MULTILINE)
    assert pinned
    assert len(re.split(r"^\S+==", text, flags=re.MULTILINE)) == len(pinned) + 1
    for entry in re.split(r"^(?=\S+==)", text, flags=re.MULTILINE)[1:]:
        assert "--hash=sha256:" in entry
    assert "://" not in text
    assert "--index" not in text


def test_nothing_hides_the_folder_build() -> None:
    ignored = (ROOT / ".gitignore").read_text().splitlines()
    assert not {"build", "build/", "/build/", "/build"} & set(ignored)
    assert not (ROOT / "build" / "__init__.py").exists()
