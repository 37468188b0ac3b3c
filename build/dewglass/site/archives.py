"""Reproducible archives of Python files for the browser, compiled ahead where that is possible.

Compiling the standard library ahead is nearly all of what makes start-up fast; trimming it saves
bytes. The same inputs give the same bytes: entries are sorted, their times fixed, and compiling
runs in a fresh interpreter with a fixed hash seed.
"""

from __future__ import annotations

import base64
import hashlib
import io
import os
import subprocess
import sys
import tempfile
import zipfile
from collections.abc import Mapping
from pathlib import Path

Files = Mapping[str, bytes]

# Left out of the browser's standard library: no terminal, threads, processes, mail, servers,
# debuggers or tests there. Pyodide itself imports asyncio, logging, socket, subprocess, tempfile,
# random, zipfile and tokenize while it starts, so those stay.
LEFT_OUT = frozenset(
    """
    __hello__ __phello__ _android_support _apple_support _ios_support _markupbase _pyio _pyrepl
    _sysconfigdata__emscripten_wasm32-emscripten antigravity bdb bz2 cProfile cmd code codeop
    colorsys compileall configparser ctypes doctest filecmp fileinput ftplib getopt getpass html
    http imaplib ipaddress mailbox mimetypes modulefinder multiprocessing netrc nturl2path optparse
    pdb pickletools platform plistlib poplib profile pstats pty py_compile pyclbr pydoc rlcompleter
    runpy sched shelve smtplib socketserver sre_compile sre_constants sre_parse symtable tabnanny
    tarfile this timeit trace tracemalloc tty unittest uuid wave webbrowser wsgiref xml xmlrpc
    zipapp zoneinfo _compat_pickle pickle
    """.split()
)
# What a reader's log or Python itself may be written in; the other hundred codecs go.
CODECS = frozenset(
    """
    __init__ aliases ascii charmap cp1250 cp1252 cp437 cp850 idna iso8859_1 iso8859_15 latin_1
    mac_roman punycode raw_unicode_escape unicode_escape undefined utf_16 utf_16_be utf_16_le
    utf_32 utf_32_be utf_32_le utf_7 utf_8 utf_8_sig
    """.split()
)


def same_bytecode(python: str) -> bool:
    """Whether this interpreter compiles for the browser's ``python`` (such as ``"3.13.2"``)."""
    minor = tuple(int(part) for part in python.split(".")[:2])
    return sys.implementation.name == "cpython" and sys.version_info[:2] == minor


def trimmed(library: bytes) -> dict[str, bytes]:
    """Return the files to keep of the zipped standard library ``library``."""
    return {name: data for name, data in unpacked(library).items() if _kept(name)}


def _kept(name: str) -> bool:
    top, _, rest = name.partition("/")
    if top.removesuffix(".py") in LEFT_OUT or (top == "email" and rest != "__init__.py"):
        return False
    return top != "encodings" or rest.removesuffix(".py") in CODECS


def unpacked(data: bytes) -> dict[str, bytes]:
    """Return the files in the zip archive ``data``."""
    with zipfile.ZipFile(io.BytesIO(data)) as zipped:
        return {item.filename: zipped.read(item) for item in zipped.infolist() if not item.is_dir()}


def tree(folder: Path) -> dict[str, bytes]:
    """Return the Python files of the package ``folder``, named from its parent."""
    return {
        path.relative_to(folder.parent).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.suffix == ".py" or path.name == "py.typed"
    }


def compiled(files: Files) -> dict[str, bytes]:
    """Return ``files`` with every module as bytecode, without assertions and docstrings.

    RuntimeError when a module does not compile. The browser finds ``name.pyc`` in the place of
    ``name.py``, and nothing compares it with a source.
    """
    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary)
        for name, data in files.items():
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        command = [sys.executable, "-S", "-m", "compileall", "-q", "-b", "-o", "2", "-r", "99"]
        command += ["--invalidation-mode", "unchecked-hash", "-s", temporary, temporary]
        done = subprocess.run(
            command, env={**os.environ, "PYTHONHASHSEED": "0"}, capture_output=True, text=True
        )
        if done.returncode:
            raise RuntimeError(f"A module does not compile:\n{done.stdout}{done.stderr}")
        return {
            path.relative_to(folder).as_posix(): path.read_bytes()
            for path in sorted(folder.rglob("*"))
            if path.is_file() and path.suffix != ".py"
        }


def archive(files: Files) -> bytes:
    """Return a zip of ``files``, stored: it is compressed as a whole for the journey."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_STORED) as zipped:
        for name in sorted(files):
            item = zipfile.ZipInfo(name)  # its date is 1980-01-01
            item.external_attr = 0o644 << 16
            zipped.writestr(item, files[name])
    return buffer.getvalue()


def wheel(name: str, version: str, tag: str, files: Files) -> bytes:
    """Return the wheel of ``files``."""
    information = f"{name}-{version}.dist-info"
    contents = dict(files)
    contents[f"{information}/METADATA"] = (
        f"Metadata-Version: 2.1\nName: {name.replace('_', '-')}\nVersion: {version}\n".encode()
    )
    contents[f"{information}/WHEEL"] = (
        f"Wheel-Version: 1.0\nGenerator: dewglass\nRoot-Is-Purelib: true\nTag: {tag}\n".encode()
    )
    rows = [f"{path},sha256={_digest(data)},{len(data)}" for path, data in sorted(contents.items())]
    record = f"{information}/RECORD"
    contents[record] = "\n".join([*rows, f"{record},,", ""]).encode()
    return archive(contents)


def _digest(data: bytes) -> str:
    return base64.urlsafe_b64encode(hashlib.sha256(data).digest()).rstrip(b"=").decode()
