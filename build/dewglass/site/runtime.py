"""Pack what a reader's browser needs to run the calculators.

    python -m dewglass.site.runtime --out dist/site

or, from the site's build::

    from dewglass.site.runtime import pack, preload_links, style_links, script_tags
    packed = pack(out, cache)     # -> Packed; files lie in out/assets/dewglass/
    packed.files["page"]          # "dewglass-page.1a2b….js": named by content, may be kept for ever
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
import tempfile
from collections.abc import Callable
from dataclasses import asdict, dataclass
from pathlib import Path

import annotated_types

from dewglass.site import archives

ROOT = Path(__file__).resolve().parents[3]
PAGE = ROOT / "build" / "dewglass" / "page"
PYODIDE = ROOT / "node_modules" / "pyodide"
FOLDER = Path("assets") / "dewglass"  # where the files lie in a site
BRIDGE = PAGE / "worker" / "dewglass_bridge.py"
DATACLASSES = "dewglass_dataclasses.bin"  # beside the bridge, which knows it by this name
FETCHED = ("worker", "python", "library", "calculators")  # what a live answer needs
PREFIX = "dewglass-"  # this command's files in FOLDER; older ones with it are swept away


@dataclass(frozen=True)
class Packed:
    """What was packed: also written to ``manifest.json`` beside the files.

    ``files`` maps page, styles, worker, python, library, calculators and folder to file names,
    ``compiled`` says whether Python was compiled ahead, ``sizes`` gives bytes by file name.
    """

    pyodide: str
    python: str
    compiled: bool
    files: dict[str, str]
    sizes: dict[str, int]


class Unpackable(Exception):
    """What is missing for packing, in a sentence for the person at the terminal."""


class _Store:
    """Products by the hash of what they were made from: a second run makes nothing twice."""

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
        # Another build may be at work here: its files come and go at any moment.
        try:
            return path.read_bytes()
        except FileNotFoundError:
            data = make()
        with tempfile.NamedTemporaryFile(dir=self.folder, delete=False) as partial:
            partial.write(data)
        for older in self.folder.glob(f"{what}-*"):
            older.unlink(missing_ok=True)
        Path(partial.name).replace(path)
        return data


def pack(out: Path, cache: Path = ROOT / ".cache" / "runtime") -> Packed:
    """Pack the runtime into ``out/assets/dewglass`` and return what lies there.

    Unpackable when Node's packages are missing. Runs without a network.
    """
    python = json.loads(_core("pyodide-lock.json"))["info"]["python"]
    compiling = archives.same_bytecode(python)
    store = _Store(cache)
    core = {name: _core(name) for name in ("pyodide.asm.wasm", "python_stdlib.zip")}
    calculators = _calculators()

    def wasm() -> bytes:
        return _squeezed(core["pyodide.asm.wasm"])

    def library() -> bytes:
        files: archives.Files = archives.trimmed(core["python_stdlib.zip"])
        return _squeezed(archives.archive(archives.compiled(files) if compiling else files))

    def ours() -> bytes:
        files: archives.Files = calculators
        if compiling:
            known = archives.compiled_dataclasses(calculators, "calculators.ask")
            files = {**archives.compiled(calculators), DATACLASSES: known}
        return _squeezed(archives.archive(files))

    sources = [part for name, data in calculators.items() for part in (name.encode(), data)]
    files = {
        "python.bin": store.made("python", [core["pyodide.asm.wasm"]], wasm),
        "library.bin": store.made("library", [core["python_stdlib.zip"]], library),
        "calculators.bin": store.made("calculators", sources, ours),
        "worker.js": _worker(),
    }
    named = {_hashed(name, data): data for name, data in files.items()}
    names = dict(zip((name.split(".")[0] for name in files), named, strict=True))
    folder = _folder_script(named)
    names["folder"] = _hashed("folder.js", folder)
    named[names["folder"]] = folder

    page = _esbuild(PAGE / "main.js", f"--define:DEWGLASS_FILES={json.dumps(names)}")
    chart = _esbuild(PAGE / "chart.js")
    for what, name, data in [
        ("page", "page.js", page),
        ("chart", "chart.js", chart),
        ("styles", "styles.css", _esbuild(PAGE / "dewglass.css")),
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
    """Return the ``<link>`` tags that start the downloads early, when the browser has time.

    They make every page download Python: for pages that hold a calculator, and no other. They say
    prefetch, not preload, as Python starts when the reader first changes an input: a preload
    would hold up the page, and browsers complain of one not used within seconds. Without
    ``crossorigin``, which in a folder would be refused with an error.
    """
    return "\n".join(f'<link rel="prefetch" href="{_url(packed, what, base)}">' for what in FETCHED)


def style_links(packed: Packed, base: str = "") -> str:
    """Return the ``<link>`` tag of the calculators' styles."""
    return f'<link rel="stylesheet" href="{_url(packed, "styles", base)}">'


def script_tags(packed: Packed, base: str = "") -> str:
    """Return the ``<script>`` tag of the page's one classic script."""
    return f'<script defer src="{_url(packed, "page", base)}"></script>'


def chart_tag(packed: Packed, base: str = "") -> str:
    """Return the ``<script>`` tag of the charts: for pages that hold a ``data-chart``."""
    return f'<script defer src="{_url(packed, "chart", base)}"></script>'


def _url(packed: Packed, what: str, base: str) -> str:
    return f"{base}{FOLDER.as_posix()}/{packed.files[what]}"


def _calculators() -> dict[str, bytes]:
    """Return what readers' browsers run besides the standard library.

    Nothing of the build is among it but the bridge that the worker calls.
    """
    return {
        **archives.tree(Path(annotated_types.__file__).parent),
        **archives.tree(ROOT / "calculators"),
        BRIDGE.name: BRIDGE.read_bytes(),
    }


def _worker() -> bytes:
    """Return the worker's one classic script: Pyodide's two and ours, so that it loads nothing.

    In a folder no worker may load a second script, and over http it saves a journey.
    """
    glue = _esbuild(PAGE / "worker" / "worker.js")
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
    """Return ``entry`` and all it imports as one classic script, or one sheet of styles."""
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
    size = sum(packed.sizes[packed.files[what]] for what in FETCHED) / 1e6
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
