"""What the template shows: fields and answers with their words, units and ids."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from functools import cache
from pathlib import Path
from typing import Any

import jinja2

from calculators.ask import Document, answer, calculator, nearest
from calculators.errors import InputError, Problem
from calculators.fields import Field, Signature, ready_cards

TEMPLATES = Path(__file__).parent / "templates"


@dataclass(frozen=True)
class InputView:
    """One input as the form shows it; ``typed`` is exactly what the prepared answer was for."""

    field: Field
    id: str
    text: str
    typed: str
    symbol: str

    @property
    def allowed(self) -> str:
        """What may be typed, for a field that a reader types into."""
        return self.field.allowed() if self.field.kind != "choice" else ""


@dataclass(frozen=True)
class Section:
    """Inputs that belong together; ``card`` names the shared card they are part of, if any."""

    title: str
    inputs: tuple[InputView, ...]
    card: str = ""


@dataclass(frozen=True)
class AnswerView:
    """One answer: a number, a choice of words or rows, with the words a reader sees."""

    field: Field
    raw: Any
    words: Any
    inputs: Mapping[str, Any]

    @property
    def levels(self) -> list[float]:
        """The edges of the band of a chart, in the base unit."""
        assert self.field.chart is not None
        return [self.inputs[name]["value"] for name in self.field.chart.levels or ()]

    @property
    def chart(self) -> dict[str, Any]:
        """What of the rows to draw, with the label and the units of each column drawn."""
        chart = self.field.chart
        assert chart is not None
        columns = {column.name: column for column in self.field.columns}
        drawn = (chart.along, *chart.lines, *(chart.band or ()))
        return {
            "along": chart.along,
            "lines": chart.lines,
            "band": chart.band,
            "levels": chart.levels,
            "moment": chart.moment,
            "columns": {
                name: {
                    "label": columns[name].label,
                    **({"units": _units(columns[name])} if columns[name].quantity else {}),
                }
                for name in drawn
            },
        }


def render(
    name: str,
    inputs: Mapping[str, str],
    first: Sequence[str] = (),
    place: str = "",
    example: bool = False,
) -> str:
    """Return the HTML of calculator ``name`` with ``inputs`` as typed.

    ``first`` names the answers to show first; ``place`` makes ids unique where a page holds the
    same calculator twice; an ``example`` keeps its numbers to itself. Raises InputError with
    everything that is wrong, nearest names included.
    """
    entry = calculator(name)
    signature = Signature.of(entry.function)
    document = answer(name, inputs)
    problems = [Problem(item["field"], item["sentence"]) for item in document.get("problems", ())]
    names = [field.name for field in signature.answers]
    for wanted in first:
        if wanted not in names:
            sentence = f"There is no answer “{wanted}”. {nearest(wanted, names)}"
            problems.append(Problem("first", sentence))
    if problems:
        raise InputError(tuple(problems))
    identity = entry.name + place
    ordered = sorted(signature.answers, key=lambda f: f.name not in first)
    answers = [
        AnswerView(
            field,
            document["answers"][field.name],
            document["shown"][field.name],
            document["inputs"],
        )
        for field in ordered
    ]
    return str(
        _environment()
        .get_template("calculator.html")
        .render(
            entry=entry,
            id=identity,
            sections=_sections(signature, document, inputs, identity),
            first=[item for item in answers if item.field.name in first],
            rest=[item for item in answers if item.field.name not in first],
            document=document,
            apart=example or entry.apart,
            signature_json=json.dumps(describe(signature), ensure_ascii=False),
            cards={name: tuple(ready_cards(card)) for name, card in signature.cards.items()},
        )
    )


def describe(signature: Signature) -> dict[str, Any]:
    """Return what the page's script must know of the inputs: kinds, units, ready cards."""
    return {
        "inputs": [
            {
                "name": field.name,
                "kind": field.kind,
                "card": field.group,
                **({"pasted": True} if field.pasted else {}),
                **({"among": asdict(field.among)} if field.among else {}),
                **({"fresh": field.default} if field.of_text else {}),
                **({"takes": asdict(field.takes)} if field.takes else {}),
                **({"units": _units(field)} if field.quantity else {}),
            }
            for field in signature.inputs
        ],
        "ready": {
            group: {
                name: {f.name: _typed(f, getattr(made, f.name)) for f in signature.inputs
                       if f.group == group}
                for name, made in ready_cards(card).items()
            }
            for group, card in signature.cards.items()
        },
    }  # fmt: skip


def _units(field: Field) -> dict[str, dict[str, Any]]:
    assert field.quantity is not None
    pair = {"metric": field.quantity.base, "us": field.quantity.us}
    return {
        system: {"symbol": unit.symbol, "factor": unit.factor, "offset": unit.offset}
        for system, unit in pair.items()
    }


def _typed(field: Field, value: Any) -> str:
    """Return an inside value as it would be typed, with its base unit."""
    if value is None:
        return ""
    if field.quantity is None:
        return str(value)
    unit = field.quantity.base
    values = value if field.kind == "numbers" else (value,)
    return " ".join(f"{unit.outside(item):.10g}{unit.symbol}" for item in values)


def _sections(
    signature: Signature, document: Document, inputs: Mapping[str, str], identity: str
) -> list[Section]:
    views = {f.name: _input(f, document, inputs, identity) for f in signature.inputs}
    own = tuple(views[f.name] for f in signature.inputs if not f.group)
    sections = [Section("Your numbers", own)] if own else []
    for group, card in signature.cards.items():
        parts: Mapping[str, tuple[str, ...]] = getattr(card, "sections", {})
        if not parts:
            parts = {"": tuple(f.name for f in signature.inputs if f.group == group)}
        for title, names in parts.items():
            sections.append(Section(title, tuple(views[name] for name in names), group))
    return sections


def _input(field: Field, document: Document, inputs: Mapping[str, str], identity: str) -> InputView:
    raw = document["inputs"][field.name]
    symbol = field.quantity.base.symbol if field.quantity else ""
    value = raw["value"]
    if value is None:
        text = ""
    elif field.kind == "text":
        text = inputs.get(field.name, value)
    elif isinstance(value, str):
        text = value
    else:
        text = " ".join(f"{item:.6g}" for item in (value if isinstance(value, list) else [value]))
    # The exact value, so that a live answer is for the same number as the prepared one.
    exact = inputs.get(field.name, "").strip()
    if not exact and isinstance(value, float):
        exact = f"{value!r} {symbol}".strip()
    return InputView(field, f"{identity}--{field.name}", text, exact or text, symbol)


@cache
def _environment() -> jinja2.Environment:
    return jinja2.Environment(
        loader=jinja2.FileSystemLoader(TEMPLATES),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=jinja2.StrictUndefined,
    )
