"""Pack what a reader's browser needs to run the calculators.

    python -m dewglass.site.runtime --out dist/site

or, from the site's build::

    from dewglass.site.runtime import pack, preload_links, style_links, script_tags
    packed = pack(out, cache)     # -> Packed; files lie in out/assets/dewglass/
    packed.files["page"]          # "dewglass.1a2b….js": name by content, so it may be cached for ever
    preload_links(packed, base)   # for the head of a page that holds a calculator, and no other
    style_links(packed, base)     # for the head of every page
    script_tags(packed, base)     # for every page, before any other script

``base`` leads from a page to the site's root: ``""`` or ``"../"``. A page then holds one classic
script, which defines ``globalThis.dewglass`` (see build/dewglass/page/main.js). Nothing is fetched
until the page asks for a live answer.

In: Pyodide's core from node_modules, calculators/, annotated_types, build/dewglass/page. Out: the
same files in two ways, over http as single compressed files, and for a folder opened by double
click as one script of base64, read only there. The files end in ``.bin`` because servers treat
``.gz`` and ``.wasm`` in many ways, and ``.bin`` in one: they send it as it is.
"""

from __future__ import annotations

import argparse
import base64
import gzip
import hashlib
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import annotated_types

from dewglass.site import archives

ROOT = Path(__file__).resolve().parents[3]
PAGE = ROOT / "build" / "dewglass" / "page"
PYODIDE = ROOT / "node_modules" / "pyodide"
FOLDER = Path("assets") / "dewglass"  # where the files lie in a site
PREFIX = "dewglass-"  # this command's files in FOLDER; older ones with it are swept away


@dataclass(frozen=True)
class Packed:
    """What was packed: also written to ``manifest.json`` beside the files.

    ``files`` maps page, styles, worker, python, library, wheels (one for each), folder to file
    names, ``compiled`` says whether Python was compiled ahead, ``sizes`` gives bytes by file name.
    """

    pyodide: str
    python: str
    compiled: bool
    files: dict[str, str]
    sizes: dict[str, int]


class Unpackable(Exception):
    """What is missing for packing, in a sentence for the person at the terminal."""


class _Store:
    """Products by the hash of what they were made from, so that a second run makes nothing twice."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        folder.mkdir(parents=True, exist_ok=True)
        recipe = [Path(__file__), Path(archives.__file__)]
        self.recipe = b"".join(path.read_bytes() for path in recipe) + sys.version.encode()

    def made(self, what: str, inputs: list[bytes], make: Callable[[], bytes]) -> bytes:
        key = hashlib.sha256(self.recipe)
        for data in inputs:
            key.update(hashlib.sha256(data).digest())
        path = self.folder / f"{what}-{key.hexdigest()[:24]}"
        if not path.exists():
            for older in self.folder.glob(f"{what}-*"):
                older.unlink()
            partial = path.with_suffix(".partial")
            partial.write_bytes(make())
            partial.replace(path)
        return path.read_bytes()


def pack(out: Path, cache: Path = ROOT / ".cache" / "runtime") -> Packed:
    """Pack the runtime into ``out/assets/dewglass`` and return what lies there.

    Unpackable when Node's packages are missing. Runs without a network.
    """
    lock = json.loads(_core("pyodide-lock.json"))
    python = lock["info"]["python"]
    compiling = archives.same_bytecode(python)
    store = _Store(cache)

    def browser_files(files: archives.Files) -> archives.Files:
        return archives.compiled(files) if compiling else files

    wasm = _core("pyodide.asm.wasm")
    library = _core("python_stdlib.zip")
    wheels = _wheels(store, browser_files, python if compiling else "")
    lock = {"info": lock["info"], "packages": {w.project: w.entry() for w in wheels}}

    files: dict[str, bytes] = {
        "python.bin": store.made("python", [wasm], lambda: _squeezed(wasm)),
        "library.bin": store.made(
            "library",
            [library],
            lambda: _squeezed(archives.archive(browser_files(archives.trimmed(library)))),
        ),
        **{f"{wheel.name}.bin": _squeezed(wheel.data) for wheel in wheels},
        "worker.js": _worker(),
    }
    named = {_hashed(name, data): data for name, data in files.items()}
    names = dict(zip((name.split(".")[0] for name in files), named, strict=True))
    folder = _folder_script(named)
    names["folder"] = _hashed("folder.js", folder)
    named[names["folder"]] = folder

    page_files = {
        "worker": names["worker"],
        "folder": names["folder"],
        "python": names["python"],
        "library": names["library"],
        "lock": lock,
        "wheels": {wheel.file_name: names[wheel.name] for wheel in wheels},
    }
    page = _esbuild(PAGE / "main.js", f"--define:DEWGLASS_FILES={json.dumps(page_files)}")
    styles = PAGE / "dewglass.css"
    for what, name, data in [
        ("page", "page.js", page),
        ("styles", "styles.css", styles.read_bytes() if styles.exists() else b""),
    ]:
        names[what] = _hashed(name, data)
        named[names[what]] = data

    packed = Packed(
        pyodide=json.loads(_core("package.json"))["version"],
        python=python,
        compiled=compiling,
        files=names,
        sizes={name: len(data) for name, data in named.items()},
    )
    _write(out / FOLDER, named, packed)
    return packed


def preload_links(packed: Packed, base: str = "") -> str:
    """Return the ``<link>`` tags that start the downloads early.

    They make every page download Python: for pages that hold a calculator only, and of no use
    (or harm) in a folder.
    """
    fetched = ["python", "library", *packed_wheels(packed)]
    return "\n".join(
        f'<link rel="preload" as="fetch" type="application/octet-stream" crossorigin '
        f'href="{_url(packed, what, base)}">'
        for what in fetched
    )


def style_links(packed: Packed, base: str = "") -> str:
    """Return the ``<link>`` tag of the calculators' styles."""
    return f'<link rel="stylesheet" href="{_url(packed, "styles", base)}">'


def script_tags(packed: Packed, base: str = "") -> str:
    """Return the ``<script>`` tag of the page's one classic script."""
    return f'<script defer src="{_url(packed, "page", base)}"></script>'


def packed_wheels(packed: Packed) -> list[str]:
    """Return the names in ``packed.files`` that are wheels."""
    known = {"page", "styles", "worker", "python", "library", "folder"}
    return [name for name in packed.files if name not in known]


def _url(packed: Packed, what: str, base: str) -> str:
    return f"{base}{FOLDER.as_posix()}/{packed.files[what]}"


@dataclass(frozen=True)
class _Wheel:
    name: str
    version: str
    tag: str
    data: bytes

    @property
    def project(self) -> str:
        """The name by which installers know it."""
        return self.name.replace("_", "-")

    @property
    def file_name(self) -> str:
        return f"{self.name}-{self.version}-{self.tag}.whl"

    def entry(self) -> dict[str, Any]:
        """Return this wheel's entry in Pyodide's lock file."""
        return {
            "name": self.project,
            "version": self.version,
            "file_name": self.file_name,
            "sha256": hashlib.sha256(self.data).hexdigest(),
            "install_dir": "site",
            "package_type": "package",
            "imports": [self.name],
            "depends": [],
            "unvendored_tests": False,
        }


def _wheels(
    store: _Store, browser_files: Callable[[archives.Files], archives.Files], python: str
) -> list[_Wheel]:
    tag = f"cp{''.join(python.split('.')[:2])}-none-any" if python else "py3-none-any"
    made = []
    for name, folder in [
        ("annotated_types", Path(annotated_types.__file__).parent),
        ("calculators", ROOT / "calculators"),
    ]:
        files = archives.tree(folder)
        inputs = [part for path, data in files.items() for part in (path.encode(), data)]

        def make(name: str = name, files: archives.Files = files) -> bytes:
            return archives.wheel(name, "0", tag, browser_files(files))

        made.append(_Wheel(name, "0", tag, store.made(name, [tag.encode(), *inputs], make)))
    return made


def _worker() -> bytes:
    """Return the worker's one classic script: Pyodide's two and ours, so that it loads nothing.

    In a folder no worker may load a second script, and over http it saves a journey.
    """
    glue = _esbuild(PAGE / "worker" / "worker.js", "--loader:.py=text")
    loader = _core("pyodide.js").split(b"//# sourceMappingURL")[0]
    notice = (
        b"/* Pyodide, Mozilla Public License 2.0, https://github.com/pyodide/pyodide;"
        b" the last part is Dewglass's. */"
    )
    return b"\n".join([notice, _core("pyodide.asm.js"), loader, glue])


def _folder_script(named: dict[str, bytes]) -> bytes:
    """Return a script that holds every file as base64, compressed."""
    texts = {
        name: base64.b64encode(data if name.endswith(".bin") else _squeezed(data)).decode()
        for name, data in named.items()
    }
    return f"globalThis.dewglassFolder={json.dumps(texts, separators=(',', ':'))};\n".encode()


def _esbuild(entry: Path, *options: str) -> bytes:
    """Return ``entry`` and all it imports as one classic script."""
    # The package's program may be a script for Node, which may be the virtual environment's own.
    folders = [str(ROOT / "node_modules" / ".bin"), str(Path(sys.executable).parent)]
    path = os.pathsep.join([*folders, os.environ.get("PATH", "")])
    program = shutil.which("esbuild", path=folders[0])
    if program is None:
        raise Unpackable("Node's package esbuild is missing. Run “make setup”, which installs it.")
    command = [program, str(entry), "--bundle", "--format=iife", "--minify"]
    command += ["--target=es2022", "--charset=utf8", "--log-level=warning", *options]
    done = subprocess.run(command, cwd=ROOT, env={**os.environ, "PATH": path}, capture_output=True)
    if done.returncode:
        raise Unpackable(f"{entry.name} could not be bundled:\n{done.stderr.decode()}")
    return done.stdout


def _core(name: str) -> bytes:
    path = PYODIDE / name
    if not path.exists():
        raise Unpackable(f"Pyodide's {name} is missing. Run “make setup”, which installs it.")
    return path.read_bytes()


def _squeezed(data: bytes) -> bytes:
    return gzip.compress(data, 9, mtime=0)


def _hashed(name: str, data: bytes) -> str:
    stem, _, ending = name.partition(".")
    return f"{PREFIX}{stem}.{hashlib.sha256(data).hexdigest()[:12]}.{ending}"


def _write(folder: Path, named: dict[str, bytes], packed: Packed) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    for older in folder.glob(f"{PREFIX}*"):
        if older.name not in named:
            older.unlink()
    for name, data in named.items():
        path = folder / name
        if not path.exists() or path.stat().st_size != len(data):
            path.write_bytes(data)
    (folder / "manifest.json").write_text(json.dumps(asdict(packed), indent=2) + "\n")


def main() -> int:
    """Pack from the command line."""
    parser = argparse.ArgumentParser(
        prog="python -m dewglass.site.runtime",
        description="Pack what a reader's browser needs to run the calculators.",
    )
    parser.add_argument("--out", type=Path, required=True, help="the site's folder")
    out = parser.parse_args().out
    try:
        packed = pack(out)
    except Unpackable as problem:
        print(problem, file=sys.stderr)
        return 1
    fetched = [packed.files[what] for what in ("worker", "python", "library")]
    fetched += [packed.files[what] for what in packed_wheels(packed)]
    size = sum(packed.sizes[name] for name in fetched) / 1e6
    print(
        f"Packed Pyodide {packed.pyodide} into {out / FOLDER}; a live answer fetches {size:.1f} MB."
    )
    if not packed.compiled:
        here = ".".join(str(part) for part in sys.version_info[:2])
        print(
            f"Python {here} here cannot compile for the browser's Python {packed.python}: sources "
            "were packed, and calculators start about twice as slowly. Build with Python 3.13."
        )
    return 0


if __name__ == "__main__":
    sys.exit(main())
