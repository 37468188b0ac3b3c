"""What the worker calls. Everything crosses as JSON text, in both directions."""

from __future__ import annotations

import builtins
import dataclasses
import importlib
import inspect
import json
import marshal
from collections.abc import Callable, Iterable
from typing import Any


def use_compiled_dataclasses() -> None:
    """Take the methods that dataclasses would write and compile from where they lie compiled.

    Any text that is not there is compiled as usual.
    """
    try:
        loader: Any = globals()["__loader__"]
        known = marshal.loads(loader.get_data(f"{loader.archive}/dewglass_dataclasses.bin"))
    except OSError:  # packed by a Python that cannot compile for this one
        return

    def execute(text: str, *names: Any) -> None:
        builtins.exec(known.get(text, text), *names)

    dataclasses.exec = execute  # type: ignore[attr-defined]


use_compiled_dataclasses()

from calculators.ask import answer, refused  # noqa: E402
from calculators.errors import NoAnswer, Problem  # noqa: E402
from calculators.keeping.log.decode import decode  # noqa: E402
from calculators.keeping.readings import PROGRESS  # noqa: E402


def ask(
    name: str,
    inputs: str,
    quick: bool,
    files: Iterable[tuple[str, Any]] = (),
    progress: Callable[[float], None] | None = None,
) -> str:
    """Answer calculator ``name`` from ``inputs``, a JSON object of texts; ``quick``: no bands.

    ``files`` are inputs whose text comes as the bytes of a file (a Uint8Array of the browser).
    ``progress`` hears the share done, from 0 to 1.
    """

    def run() -> Any:
        texts = json.loads(inputs)
        for field, data in files:
            try:
                texts[field] = decode(data.to_bytes())
            except NoAnswer as error:
                return refused(name, (Problem(field, str(error)),))
        if progress is None:
            return answer(name, texts, quick)
        token = PROGRESS.set(progress)
        try:
            return answer(name, texts, quick)
        finally:
            PROGRESS.reset(token)

    return reply(run)


def call(path: str, arguments: str, progress: Callable[[str], None]) -> str:
    """Call ``path``, such as ``calculators.keeping.readings:read``, with a JSON object.

    A function with a parameter ``progress`` is given one to call now and then with plain data.
    """
    module, _, name = path.partition(":")

    def run() -> Any:
        if module.partition(".")[0] != "calculators":
            raise ValueError(f"{path} is not a function of the calculators.")
        function = getattr(importlib.import_module(module), name)
        named = json.loads(arguments)
        if "progress" in inspect.signature(function).parameters:
            named["progress"] = lambda state: progress(json.dumps(state))
        return function(**named)

    return reply(run)


def reply(run: Callable[[], Any]) -> str:
    """Return what ``run`` returns, or why it could not."""
    try:
        return json.dumps({"result": run()}, allow_nan=False)
    except Exception as error:
        name = type(error).__name__
        return json.dumps({"error": str(error) or name, "kind": name})
