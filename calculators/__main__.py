"""The calculators at a terminal: ``python -m calculators dew-point --air-temperature 26``."""

from __future__ import annotations

import json
import sys
import textwrap
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from calculators.ask import Document, answer, calculator, nearest
from calculators.catalogue import CATALOGUE
from calculators.errors import InputError
from calculators.fields import Field, Signature, ready_cards
from calculators.keeping.log.decode import decode

WIDTH = 88


def main(arguments: Sequence[str] | None = None) -> int:
    """Answer one question; return 0, or 2 when the question cannot be answered."""
    words = list(sys.argv[1:] if arguments is None else arguments)
    if not words or words[0] in ("-h", "--help"):
        print(listing())
        return 0
    name, *rest = words
    try:
        entry = calculator(name)
    except InputError as error:
        print(error, file=sys.stderr)
        return 2
    if "-h" in rest or "--help" in rest:
        print(usage(name))
        return 0
    as_json = "--json" in rest
    try:
        signature = Signature.of(entry.function)
        flags = _with_file([word for word in rest if word != "--json"], signature)
        inputs = _flags(flags, signature)
    except ValueError as error:
        print(error, file=sys.stderr)
        return 2
    result = answer(name, inputs)
    if "problems" in result:
        for item in result["problems"]:
            print(item["sentence"], file=sys.stderr)
        return 2
    print(_json(result) if as_json else readable(result))
    return 0


def _with_file(words: list[str], signature: Signature) -> list[str]:
    """Replace a file named first by its text, for a calculator that must be given a text."""
    texts = [field for field in signature.inputs if field.kind == "text" and field.required]
    if len(texts) != 1 or not words or words[0].startswith("--"):
        return words
    try:
        data = Path(words[0]).read_bytes()
    except OSError as error:
        raise ValueError(f"“{words[0]}” cannot be read: {error.strerror}.") from None
    return [f"--{texts[0].name}={decode(data)}", *words[1:]]


def _flags(words: Sequence[str], signature: Signature) -> dict[str, str]:
    """Read ``--name value`` and ``--name=value``; a value may start with a minus sign."""
    names = [field.name for field in signature.inputs] + list(signature.cards)
    inputs: dict[str, str] = {}
    rest = list(words)
    while rest:
        flag, equals, value = rest.pop(0).partition("=")
        name = flag.removeprefix("--").replace("-", "_")
        if not flag.startswith("--") or name not in names:
            allowed = ["--" + known.replace("_", "-") for known in names]
            raise ValueError(f"There is no input “{flag}”. {nearest(flag, allowed)}")
        if not equals:
            if not rest or rest[0].startswith("--"):
                raise ValueError(f"{flag}: a value is missing. Type it after the flag.")
            value = rest.pop(0)
        if name in inputs:
            raise ValueError(f"{flag}: typed twice. Leave one of them out.")
        inputs[name] = value
    return inputs


def _json(result: Document) -> str:
    kept = {key: value for key, value in result.items() if key not in ("shown", "drawings")}
    return json.dumps(kept, ensure_ascii=False, indent=2)


def listing() -> str:
    """Return the list of calculators."""
    wide = max((len(entry.name) for entry in CATALOGUE), default=0)
    lines = [f"  {entry.name:<{wide}}  {entry.question}" for entry in CATALOGUE]
    return "\n".join(
        [
            "python -m calculators NAME --input value … [--json]",
            "A value may carry a unit: 79F, 20gal. NAME --help lists the inputs.",
            "",
            *lines,
        ]
    )


def usage(name: str) -> str:
    """Return the inputs of one calculator."""
    entry = calculator(name)
    signature = Signature.of(entry.function)
    lines = [f"python -m calculators {name}: {entry.question}", ""]
    for group, card in signature.cards.items():
        ready = ", ".join(ready_cards(card))
        lines.append(f"  --{group}: start from a ready one ({ready})")
    for field in signature.inputs:
        lines.append(f"  --{field.name.replace('_', '-')}: {field.label}; {field.allowed()}")
    return "\n".join(lines)


def readable(result: Document) -> str:
    """Return the answer as text: what to do first, then numbers, cautions and notes."""
    signature = Signature.of(calculator(result["calculator"]).function)
    lines = [_wrap(result["advice"], "")] if result["advice"] else []
    for field in signature.answers:
        lines += _answer_lines(field, result["shown"][field.name])
    for title, key in (("Caution", "cautions"), ("Note", "notes")):
        lines += [_wrap(f"{title}: {text}", "  ") for text in result[key]]
    if result["assumed"]:
        labels = [f.label.lower() for f in signature.inputs if f.name in result["assumed"]]
        lines.append(_wrap("Assumed, because nothing was given: " + ", ".join(labels) + ".", "  "))
    return "\n".join(lines)


def _answer_lines(field: Field, shown: Any) -> list[str]:
    if field.kind != "rows":
        return [f"{field.label}: {_pair(shown)}"]
    lines = [f"{field.label}:"]
    if field.chart and len(shown) > 24:
        shown = shown[:: max(1, len(shown) // 24)]
    for number, row in enumerate(shown, start=1):
        lines.append(f"  {number}.")
        lines += [
            _wrap(f"{column.label}: {_pair(row[column.name])}", "     ")
            for column in field.columns
            if row[column.name]["metric"] not in ("", "none")
        ]
    return lines


def _pair(shown: dict[str, str]) -> str:
    metric, us = shown["metric"], shown["us"]
    if metric == us:
        return metric
    return f"{metric}; {us}" if "(" in metric else f"{metric} ({us})"


def _wrap(text: str, indent: str) -> str:
    return textwrap.fill(text, WIDTH, initial_indent=indent, subsequent_indent=indent + "  ")


if __name__ == "__main__":
    sys.exit(main())
