"""Reproducible archives of Python files for the browser, compiled ahead where that is possible.

Compiling ahead is nearly all of what makes start-up fast; trimming the standard library saves
bytes. The same inputs give the same bytes: entries are sorted, their times fixed, and compiling
runs in a fresh interpreter with a fixed hash seed.
"""

from __future__ import annotations

import io
import os
import subprocess
import sys
import tempfile
import zipfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

Files = Mapping[str, bytes]

# Left out of the browser's standard library: no terminal, threads, processes, mail, servers,
# debuggers or tests there. Pyodide itself imports asyncio, logging, socket, subprocess, tempfile,
# random, zipfile and tokenize while it starts, so those stay.
LEFT_OUT = frozenset(
    [
        *("__hello__", "__phello__", "_android_support", "_apple_support", "_compat_pickle"),
        *("_ios_support", "_markupbase", "_pydatetime", "_pyio", "_pyrepl", "antigravity", "bdb"),
        *("_sysconfigdata__emscripten_wasm32-emscripten", "bz2", "cProfile", "cmd", "code"),
        *("codeop", "colorsys", "compileall", "configparser", "ctypes", "doctest", "email"),
        *("filecmp", "fileinput", "ftplib", "getopt", "getpass", "html", "http", "imaplib"),
        *("ipaddress", "mailbox", "mimetypes", "modulefinder", "multiprocessing", "netrc"),
        *("nturl2path", "optparse", "pdb", "pickle", "pickletools", "platform", "plistlib"),
        *("poplib", "profile", "pstats", "pty", "py_compile", "pyclbr", "pydoc", "rlcompleter"),
        *("runpy", "sched", "shelve", "smtplib", "socketserver", "sre_compile", "sre_constants"),
        *("sre_parse", "symtable", "sysconfig", "tabnanny", "tarfile", "this", "timeit", "tomllib"),
        *("trace", "tracemalloc", "tty", "unittest", "urllib", "uuid", "wave", "webbrowser"),
        *("wsgiref", "xml", "xmlrpc", "zipapp", "zoneinfo"),
        # parts of packages: for other systems, or built into the interpreter already
        *("asyncio/__main__", "asyncio/proactor_events", "asyncio/windows_events"),
        *("asyncio/windows_utils", "importlib/_bootstrap", "importlib/_bootstrap_external"),
        *("importlib/metadata", "concurrent/futures/process", "logging/config"),
        *("logging/handlers",),
    ]
)
# What a reader's log or Python itself may be written in; the other hundred codecs go.
CODECS = frozenset(
    [
        *("__init__", "aliases", "ascii", "charmap", "cp1250", "cp1252", "cp437", "cp850"),
        *("iso8859_1", "iso8859_15", "latin_1", "mac_roman", "raw_unicode_escape"),
        *("unicode_escape", "utf_16", "utf_16_be", "utf_16_le", "utf_32", "utf_32_be"),
        *("utf_32_le", "utf_8", "utf_8_sig"),
    ]
)

# Run in a fresh interpreter: what dataclasses writes and compiles while MODULE is imported.
RECORD = """
import dataclasses, importlib, marshal, sys

folder, module, out = sys.argv[1:]
sys.path.insert(0, folder)
known = {}

def record(text, *names):
    known[text] = compile(text, "<dataclass>", "exec")
    exec(known[text], *names)

dataclasses.exec = record
importlib.import_module(module)
with open(out, "wb") as file:
    marshal.dump(known, file)
"""


def same_bytecode(python: str) -> bool:
    """Whether this interpreter compiles for the browser's ``python`` (such as ``"3.13.2"``)."""
    minor = tuple(int(part) for part in python.split(".")[:2])
    return sys.implementation.name == "cpython" and sys.version_info[:2] == minor


def trimmed(library: bytes) -> dict[str, bytes]:
    """Return the files to keep of the zipped standard library ``library``."""
    return {name: data for name, data in unpacked(library).items() if _kept(name)}


def _kept(name: str) -> bool:
    parts = name.removesuffix(".py").split("/")
    if any("/".join(parts[:depth]) in LEFT_OUT for depth in range(1, len(parts) + 1)):
        return False
    return parts[0] != "encodings" or parts[1] in CODECS


def unpacked(data: bytes) -> dict[str, bytes]:
    """Return the files in the zip archive ``data``."""
    with zipfile.ZipFile(io.BytesIO(data)) as zipped:
        return {item.filename: zipped.read(item) for item in zipped.infolist() if not item.is_dir()}


def tree(folder: Path) -> dict[str, bytes]:
    """Return the Python files of the package ``folder``, named from its parent."""
    return {
        path.relative_to(folder.parent).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.suffix == ".py"
    }


def compiled(files: Files) -> dict[str, bytes]:
    """Return ``files`` with every module as bytecode, without assertions and docstrings.

    RuntimeError when a module does not compile. The browser finds ``name.pyc`` in the place of
    ``name.py``, and nothing compares it with a source.
    """
    with _laid_out(files) as folder:
        _python(
            *("-S", "-m", "compileall", "-q", "-b", "-o", "2", "-r", "99"),
            *("--invalidation-mode", "unchecked-hash", "-s", str(folder), str(folder)),
        )
        return {
            path.relative_to(folder).as_posix(): path.read_bytes()
            for path in sorted(folder.rglob("*"))
            if path.is_file() and path.suffix != ".py"
        }


def compiled_dataclasses(files: Files, module: str) -> bytes:
    """Return, marshalled, the code of all texts that dataclasses compiles for ``module``.

    Each dataclass writes its methods as a text and compiles that when it is imported, which in a
    browser takes longer than all else about importing it.
    """
    with _laid_out(files) as folder, tempfile.TemporaryDirectory() as temporary:
        out = Path(temporary) / "known"
        _python("-OO", "-B", "-c", RECORD, str(folder), module, str(out))
        return out.read_bytes()


@contextmanager
def _laid_out(files: Files) -> Iterator[Path]:
    with tempfile.TemporaryDirectory() as temporary:
        for name, data in files.items():
            path = Path(temporary) / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        yield Path(temporary)


def _python(*arguments: str) -> None:
    environment = {**os.environ, "PYTHONHASHSEED": "0"}
    command = [sys.executable, *arguments]
    done = subprocess.run(command, env=environment, capture_output=True, text=True)
    if done.returncode:
        raise RuntimeError(f"Python files for the browser fail:\n{done.stdout}{done.stderr}")


def archive(files: Files) -> bytes:
    """Return a zip of ``files``, stored: Python imports from it, and it travels compressed."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_STORED) as zipped:
        for name in sorted(files):
            item = zipfile.ZipInfo(name)  # its date is 1980-01-01
            item.external_attr = 0o644 << 16
            zipped.writestr(item, files[name])
    return buffer.getvalue()
