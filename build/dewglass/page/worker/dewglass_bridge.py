"""What the worker calls. Everything crosses as JSON text, in both directions."""

import builtins
import dataclasses
import importlib
import inspect
import json
import marshal


def use_compiled_dataclasses():
    """Take the methods that dataclasses would write and compile from where they lie compiled.

    Any text that is not there is compiled as usual.
    """
    try:
        known = marshal.loads(__loader__.get_data(f"{__loader__.archive}/dewglass_dataclasses.bin"))
    except OSError:  # packed by a Python that cannot compile for this one
        return

    def execute(text, *names):
        builtins.exec(known.get(text, text), *names)

    dataclasses.exec = execute


use_compiled_dataclasses()

from calculators.ask import answer  # noqa: E402


def ask(name, inputs, quick):
    """Answer calculator ``name`` from ``inputs``, a JSON object of texts; ``quick``: no bands."""
    return reply(lambda: answer(name, json.loads(inputs), quick))


def call(path, arguments, progress):
    """Call ``path``, such as ``calculators.keeping.readings:read``, with a JSON object.

    A function with a parameter ``progress`` is given one to call now and then with plain data.
    """
    module, _, name = path.partition(":")

    def run():
        if module.partition(".")[0] != "calculators":
            raise ValueError(f"{path} is not a function of the calculators.")
        function = getattr(importlib.import_module(module), name)
        named = json.loads(arguments)
        if "progress" in inspect.signature(function).parameters:
            named["progress"] = lambda state: progress(json.dumps(state))
        return function(**named)

    return reply(run)


def reply(run):
    """Return what ``run`` returns, or why it could not."""
    try:
        return json.dumps({"result": run()}, allow_nan=False)
    except Exception as error:
        name = type(error).__name__
        return json.dumps({"error": str(error) or name, "kind": name})
