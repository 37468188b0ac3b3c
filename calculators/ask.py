"""One question, one answer: the path of a number that terminal, build and browser share.

In: a calculator's name and its inputs as text, with or without units. Out: a plain document
(JSON-able) with every input, answer and sentence, or with every problem found.
"""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from calculators.catalogue import CATALOGUE, Calculator
from calculators.errors import InputError, NoAnswer, OutOfRange, Problem
from calculators.fields import WORDS_OF_ANSWER, Answer, Field, Signature, ready_cards
from calculators.quantities import Quantity, Range, shown
from calculators.tank.card import TankCard
from calculators.tank.drawing import draw

Document = dict[str, Any]
LONG_TEXT = 1000

DRAWINGS: Mapping[type, Callable[[Any], str]] = {TankCard: draw}
"""Cards that are also shown as a picture."""


def calculator(name: str) -> Calculator:
    """Return the calculator called ``name``; InputError names the nearest when there is none."""
    for entry in CATALOGUE:
        if entry.name == name:
            return entry
    names = [entry.name for entry in CATALOGUE]
    sentence = f"There is no calculator “{name}”. {nearest(name, names)}"
    raise InputError((Problem("calculator", sentence),))


def nearest(name: str, names: Iterable[str]) -> str:
    """Return a sentence with the nearest right spelling, or with all that is allowed."""
    names = list(names)
    close = difflib.get_close_matches(name, names, n=1, cutoff=0.5)
    all_names = "Allowed: " + ", ".join(names) + "."
    return f"Did you mean “{close[0]}”? {all_names}" if close else all_names


def answer(name: str, inputs: Mapping[str, str], quick: bool = False) -> Document:
    """Return the document for calculator ``name`` with ``inputs`` as typed.

    An input left out takes its default; ``tank`` may name a ready tank. What cannot be
    answered comes back as ``problems``, a list of ``field`` and ``sentence``. ``quick`` asks for a
    first look without bands, where the calculator has one.
    """
    try:
        entry = calculator(name)
        signature = Signature.of(entry.function)
        values, assumed = read_inputs(signature, inputs)
        result = signature.call(values, entry.quick if quick else None)
    except InputError as error:
        return refused(name, error.problems)
    except (OutOfRange, NoAnswer) as error:
        field = error.field if isinstance(error, NoAnswer) else ""
        return refused(name, (Problem(field, str(error)),))
    return document(entry, signature, values, result, assumed)


def refused(name: str, problems: tuple[Problem, ...]) -> Document:
    """Return the document of a refusal."""
    return {
        "calculator": name,
        "problems": [{"field": item.field, "sentence": item.sentence} for item in problems],
    }


def read_inputs(
    signature: Signature, inputs: Mapping[str, str]
) -> tuple[dict[str, Any], tuple[str, ...]]:
    """Return inside values for every input, and the names of those that were assumed.

    Raises InputError with a problem for every input that cannot be used.
    """
    problems: list[Problem] = []
    known = {field.name for field in signature.inputs} | set(signature.cards)
    for name in inputs:
        if name not in known:
            sentence = f"There is no input “{name}”. {nearest(name, sorted(known))}"
            problems.append(Problem(name, sentence))
    defaults: dict[str, Any] = {}
    for group, card in signature.cards.items():
        wanted = inputs.get(group, "").strip().lower()
        ready = ready_cards(card)
        if wanted and wanted not in ready:
            problems.append(
                Problem(group, f"There is no {group} “{wanted}”. {nearest(wanted, ready)}")
            )
        elif wanted:
            chosen = ready[wanted]
            members = [f.name for f in signature.inputs if f.group == group]
            defaults.update({name: getattr(chosen, name) for name in members})
    values: dict[str, Any] = {}
    assumed = []
    for field in signature.inputs:
        text = inputs.get(field.name, "")
        if not text.strip() and field.name in defaults:
            values[field.name] = defaults[field.name]
            continue
        try:
            values[field.name] = field.read(text)
        except ValueError as error:
            problems.append(Problem(field.name, str(error)))
        else:
            if not text.strip() and values[field.name] is not None:
                assumed.append(field.name)
    if problems:
        raise InputError(tuple(problems))
    return values, tuple(assumed)


def document(
    entry: Calculator,
    signature: Signature,
    values: Mapping[str, Any],
    result: Answer,
    assumed: tuple[str, ...],
) -> Document:
    """Return the document of an answer; numbers in base units at full precision."""
    answers = {field.name: getattr(result, field.name) for field in signature.answers}
    return {
        "calculator": entry.name,
        "inputs": {field.name: _out(field, values[field.name]) for field in signature.inputs},
        "assumed": list(assumed),
        "answers": {field.name: _out(field, answers[field.name]) for field in signature.answers},
        "shown": {field.name: words(field, answers[field.name]) for field in signature.answers},
        **{
            name: value if isinstance(value := getattr(result, name), str) else list(value)
            for name in WORDS_OF_ANSWER
        },
        "drawings": {
            group: DRAWINGS[card](signature.card(group, values))
            for group, card in signature.cards.items()
            if card in DRAWINGS
        },
    }


def _out(field: Field, value: Any) -> Any:
    if field.kind == "rows":
        return [
            {column.name: _out(column, getattr(row, column.name)) for column in field.columns}
            for row in value
        ]
    if field.quantity is None:
        if field.pasted and isinstance(value, str) and len(value) > LONG_TEXT:
            # A log of megabytes is not repeated in its own answer.
            return {"value": value[:LONG_TEXT] + "…", "length": len(value)}
        return {"value": value}
    unit = field.quantity.base
    if isinstance(value, Range):
        parts = dict(zip(("value", "low", "high"), map(unit.outside, value), strict=True))
        return {**parts, "unit": unit.symbol}
    if field.kind == "numbers":
        return {"value": [unit.outside(item) for item in value or ()], "unit": unit.symbol}
    return {"value": None if value is None else unit.outside(value), "unit": unit.symbol}


def words(field: Field, value: Any) -> Any:
    """Return ``value`` as a reader sees it, for each system of units."""
    if field.kind == "rows":
        return [
            {column.name: words(column, getattr(row, column.name)) for column in field.columns}
            for row in value
        ]
    return {"metric": _words(field, value, "metric"), "us": _words(field, value, "us")}


def _words(field: Field, value: Any, system: Any) -> str:
    if value is None or value == ():
        return "none"
    quantity: Quantity | None = field.quantity
    if quantity is None:
        return str(value)
    if field.kind == "numbers":
        return ", ".join(shown(item, quantity, system, field.decimals) for item in value)
    return shown(value, quantity, system, field.decimals)
