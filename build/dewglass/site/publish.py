"""The publish gate: write dist/ only if every number in the guide is right.

    python -m dewglass.site.publish

In: the working folder. Out: ``dist/guide`` (the site), ``dist/dewglass-guide-<version>.zip`` (the
same, to hand around) and ``dist/SHA256SUMS``; or a refusal that names each thing that is wrong, and
then there is no ``dist/`` at all, so that nothing old can be taken for new.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import shutil
import subprocess
import sys
import tempfile
import tomllib
import zipfile
from pathlib import Path
from typing import Any

from dewglass.site import evidence
from dewglass.site.forms import miscounted

ROOT = Path(__file__).resolve().parents[3]
NO_TESTS = 5  # pytest's exit status when it found nothing to run


class Refused(Exception):
    """Why nothing is published: one sentence for each thing that is wrong."""

    def __init__(self, *sentences: str) -> None:
        self.sentences = sentences
        super().__init__("\n".join(sentences))


def publish(root: Path) -> Path:
    """Check, build, check again, and only then put ``dist/`` in its place. Raises Refused."""
    root = root.resolve()
    dist = root / "dist"
    _set_aside(dist, root / ".cache" / "last-published")
    with tempfile.TemporaryDirectory(dir=root / ".cache", prefix="publish-") as temporary:
        new = Path(temporary) / "dist"
        site = new / "guide"
        new.mkdir()
        _say("Checking the published numbers")
        check_numbers(root)
        _say("Building the pages into a fresh folder")
        build(root, site)
        wrong = miscounted(root / "docs", site)
        if wrong:
            raise Refused(*wrong)
        _say("Comparing every answer of every page with the browser's")
        check_browser(root, site)
        bundle(site, new / f"dewglass-guide-{version(root)}.zip")
        (new / "SHA256SUMS").write_text(sums(new), encoding="utf-8", newline="\n")
        new.rename(dist)
    return dist


def _say(line: str) -> None:
    print(f"{line} …", flush=True)


def _set_aside(dist: Path, kept: Path) -> None:
    """Move the guide published before out of the way, but keep it."""
    kept.parent.mkdir(exist_ok=True)
    if dist.exists():
        shutil.rmtree(kept, ignore_errors=True)
        dist.rename(kept)


def version(root: Path) -> str:
    """Return the version that pyproject.toml states."""
    project: dict[str, Any] = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))
    return str(project["project"]["version"])


def _python(root: Path, *arguments: str | Path) -> subprocess.CompletedProcess[str]:
    """Run Python on the code in ``root``, whatever else is installed."""
    paths = os.pathsep.join([str(root), str(root / "build")])
    return subprocess.run(
        [sys.executable, *arguments],
        cwd=root,
        env={**os.environ, "PYTHONPATH": paths, "SOURCE_DATE_EPOCH": _date(root)},
        check=False,
        text=True,
        encoding="utf-8",
        errors="replace",
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
    )


def _date(root: Path) -> str:
    """Return the time of the last commit, so that the same commit gives the same files."""
    command = ["git", "log", "-1", "--format=%ct"]
    try:
        done = subprocess.run(command, cwd=root, check=False, capture_output=True, text=True)
    except OSError:
        return "315532800"
    return done.stdout.strip() or "315532800"  # 1980-01-01, where a zip file's calendar begins


def check_numbers(root: Path) -> None:
    """Run the published checks and keep their evidence. Raises Refused naming each failing row."""
    kept = root / ".cache" / "evidence.json"
    kept.unlink(missing_ok=True)
    done = _python(
        root, "-m", "pytest", "-q", "-p", "no:cacheprovider", "tests/published", "--evidence", kept
    )
    if not kept.exists():
        raise Refused(f"The published checks did not run:\n{done.stdout}")
    wrong = evidence.shortcomings(json.loads(kept.read_text(encoding="utf-8")))
    if wrong:
        raise Refused(*wrong)
    if done.returncode:
        raise Refused(f"The published checks failed:\n{done.stdout}")


def build(root: Path, site: Path) -> None:
    """Build the pages strictly. Raises Refused with what the site generator said."""
    done = _python(root, "-m", "mkdocs", "build", "--strict", "--site-dir", site)
    if done.returncode:
        raise Refused(f"The pages could not be built:\n{done.stdout}")


def check_browser(root: Path, site: Path) -> None:
    """Run the tests marked ``gate`` on the built ``site``. Raises Refused with what they said."""
    done = _python(
        root, "-m", "pytest", "-q", "-p", "no:cacheprovider", "tests", "-m", "gate", "--site", site
    )
    if done.returncode == NO_TESTS:
        raise Refused("No test is marked “gate”, so nothing compared the browser's answers.")
    if done.returncode:
        raise Refused(f"The browser's answers could not be confirmed:\n{done.stdout}")


def bundle(site: Path, target: Path) -> None:
    """Write ``site`` as a zip file: the same files give the same bytes."""
    with zipfile.ZipFile(target, "w") as zipped:
        for path in _files(site):
            name = f"{target.stem}/{path.relative_to(site).as_posix()}"
            item = zipfile.ZipInfo(name)  # dated 1980-01-01
            item.create_system = 3
            item.external_attr = 0o644 << 16
            zipped.writestr(item, path.read_bytes(), zipfile.ZIP_DEFLATED, 9)


def sums(folder: Path) -> str:
    """Return one line for each file in ``folder``, as ``sha256sum --check`` reads them."""
    return "".join(
        f"{hashlib.sha256(path.read_bytes()).hexdigest()}  {path.relative_to(folder).as_posix()}\n"
        for path in _files(folder)
    )


def _files(folder: Path) -> list[Path]:
    return sorted(path for path in folder.rglob("*") if path.is_file())


def main() -> int:
    """Publish from the command line."""
    parser = argparse.ArgumentParser(prog="python -m dewglass.site.publish")
    parser.add_argument("root", nargs="?", type=Path, default=ROOT, help="the working folder")
    try:
        dist = publish(parser.parse_args().root)
    except Refused as refused:
        print("\nRefused: nothing was published.", file=sys.stderr)
        for sentence in refused.sentences:
            print(f"- {sentence}", file=sys.stderr)
        print("A guide published before, if any, is in .cache/last-published.", file=sys.stderr)
        return 1
    print("Published:")
    for path in sorted(dist.iterdir()):
        print(f"  dist/{path.name}{'/' if path.is_dir() else ''}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
