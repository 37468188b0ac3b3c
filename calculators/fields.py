"""A typed signature read into fields: what a form asks for and what an answer holds.

In: a function whose parameters are ``Annotated`` with a quantity, a range and words, or are
frozen dataclasses of such fields (the tank card). Out: ``Field`` tuples, which the terminal,
the page and the build all read, so that a unit or a range stands in one place.
"""

from __future__ import annotations

import dataclasses
import functools
import inspect
import types
import typing
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Literal, get_args, get_origin

import annotated_types

from calculators.errors import Problem
from calculators.quantities import Decimals, Quantity, Range, Says, Unit, parse

Kind = Literal["number", "numbers", "choice", "text", "rows"]


@dataclass(frozen=True, slots=True)
class Chart:
    """Rows that are also drawn: the column along the axis, the columns drawn as lines.

    Where ``along`` holds words, not numbers or clock times (``2026-02-03 14:05``), the rows are
    drawn as level bars, a group for each of ``lines``. ``band`` names the columns of its lower and
    upper edge; it is called by what stands before the comma in the first one's label. Where the
    band is the same all along, ``levels`` names the two inputs that hold its edges instead.
    ``moment`` names an answer that starts with a clock time, which is marked.
    """

    along: str
    lines: tuple[str, ...]
    band: tuple[str, str] | None = None
    levels: tuple[str, str] | None = None
    moment: str = ""


@dataclass(frozen=True, slots=True)
class Pasted:
    """Long text a reader pastes or drops: shown in a box, and never put into an address."""


@dataclass(frozen=True, slots=True)
class Among:
    """A text that names one of an answer's rows, where a page can offer them to choose from.

    ``rows`` names the answer. Its rows have the columns ``name``, ``first`` (an example) and
    ``used``, which holds ``used`` in the row that was taken. ``none``: it may be “none”.
    """

    rows: str
    used: str
    none: bool = True


@dataclass(frozen=True, slots=True)
class OfText:
    """An input about one pasted text: with another text it begins anew, and no link carries it."""


@dataclass(frozen=True, slots=True)
class Asks:
    """Rows that are questions: columns ``input``, ``sentence``, ``choices``, ``assumed``."""


@dataclass(frozen=True, slots=True)
class Hands:
    """An answer that a reader may put into the input ``field`` of a shared card.

    ``only_if`` is the condition to check before, in words; without one it is taken for granted.
    """

    card: str
    field: str
    only_if: str = ""


@dataclass(frozen=True, slots=True)
class Takes:
    """An input that starts from the input ``field`` of a shared card it is no part of."""

    card: str
    field: str


@dataclass(frozen=True, slots=True)
class Address:
    """An answer that is an address in the guide, relative to the page; shown as a link.

    ``words`` is what the link reads.
    """

    words: str


@dataclass(frozen=True, slots=True)
class Copied:
    """An answer of several lines that a reader copies; ``link`` names an address to add to it."""

    link: str = ""


@dataclass(frozen=True, slots=True)
class Cards:
    """Rows that read as cards, not as a table.

    ``title``, ``badge`` and ``figure`` name the columns that stand in a card's first line; a card
    whose badge reads ``open`` is open at the start, the others show their first line only.
    """

    title: str
    badge: str = ""
    figure: str = ""
    open: str = ""


@dataclass(frozen=True, kw_only=True)
class Answer:
    """What every calculator's answer carries beside its numbers, in plain sentences.

    ``advice`` is what to do; ``cautions`` what can hurt; ``notes`` what was assumed and how
    sure the numbers are.
    """

    advice: str = ""
    notes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


WORDS_OF_ANSWER = tuple(field.name for field in dataclasses.fields(Answer))


@dataclass(frozen=True, slots=True)
class Field:
    """One input or one answer of a calculator."""

    name: str
    kind: Kind
    label: str
    hint: str = ""
    quantity: Quantity | None = None
    low: float | None = None
    high: float | None = None
    most: int | None = None
    choices: tuple[str, ...] = ()
    default: Any = inspect.Parameter.empty
    optional: bool = False
    group: str = ""
    decimals: int | None = None
    columns: tuple[Field, ...] = ()
    chart: Chart | None = None
    cards: Cards | None = None
    pasted: bool = False
    among: Among | None = None
    of_text: bool = False
    asks: bool = False
    hands: Hands | None = None
    takes: Takes | None = None
    address: Address | None = None
    copied: Copied | None = None

    @property
    def required(self) -> bool:
        """True when nothing is assumed for an input left empty."""
        return self.default is inspect.Parameter.empty

    def allowed(self) -> str:
        """Return what may be typed, as part of a sentence: ``0.0 °C (32.0 °F) to …``."""
        if self.kind == "choice":
            return " or ".join((", ".join(self.choices[:-1]), self.choices[-1]))
        if self.quantity is None or self.low is None or self.high is None:
            return ""
        low, high = (_edge(edge, self.quantity) for edge in (self.low, self.high))
        return f"{low} to {high}"

    def read(self, text: str, unit: Unit | None = None) -> Any:
        """Return the inside value of what was typed, or raise ValueError with a sentence."""
        try:
            return self._read(text.strip(), unit)
        except ValueError as error:
            raise ValueError(f"{self.label}: {error}") from None

    def _read(self, text: str, unit: Unit | None) -> Any:
        if not text:
            if self.required:
                empty = "it is empty. " if self.pasted else "nothing is typed. "
                raise ValueError(empty + self._ask())
            return self.default
        if self.kind == "choice":
            return self._choice(text)
        if self.kind == "text":
            return text
        quantity = typing.cast(Quantity, self.quantity)
        if self.kind == "numbers":
            parts = [part for part in text.replace(";", " ").split() if part]
            if self.most is not None and len(parts) > self.most:
                raise ValueError(f"{len(parts)} values are more than the {self.most} allowed.")
            return tuple(self._within(part, quantity, unit) for part in parts)
        return self._within(text, quantity, unit)

    def _ask(self) -> str:
        if self.pasted:
            return "Choose a file, or paste its text."
        allowed = self.allowed()
        return f"Type a value from {allowed}." if allowed else "Type a value."

    def _choice(self, text: str) -> str:
        wanted = text.lower().replace("-", " ").replace("_", " ")
        for choice in self.choices:
            if choice.lower().replace("-", " ") == wanted:
                return choice
        raise ValueError(f"“{text}” is not one of the choices. Choose {self.allowed()}.")

    def _within(self, text: str, quantity: Quantity, unit: Unit | None) -> float:
        value = parse(text, quantity, unit)
        # A typed edge (60 °F for 15.56 °C) must not fall to rounding.
        slack = 1e-9 * max(1.0, abs(value))
        if (self.low is not None and value < self.low - slack) or (
            self.high is not None and value > self.high + slack
        ):
            raise ValueError(f"{text} is outside {self.allowed()}. Type a value between these.")
        if self.low is not None:
            value = max(value, self.low)
        return value if self.high is None else min(value, self.high)


def _edge(value: float, quantity: Quantity) -> str:
    """Return a range's edge without trailing noise: ``60 °C (140 °F)``, ``0.05 m/s``."""
    texts = []
    for unit in dict.fromkeys((quantity.base, quantity.us)):
        digits = f"{unit.outside(value):.3g}"
        if "e" in digits:
            digits = f"{unit.outside(value):.0f}"
        texts.append(f"{digits} {unit.symbol}".strip())
    return texts[0] if len(set(texts)) == 1 else f"{texts[0]} ({texts[1]})"


@typing.no_type_check
def _field(name: str, hint: Any, default: Any, group: str = "") -> Field:
    marks: list[Any] = []
    if get_origin(hint) is Annotated:
        hint, *marks = get_args(hint)
    optional = False
    if get_origin(hint) in (types.UnionType, typing.Union):
        parts = [part for part in get_args(hint) if part is not type(None)]
        optional = len(parts) < len(get_args(hint))
        # An answer may be a plain number or a Range; both are one number to a reader.
        hint = Range if Range in parts else parts[0]
        if get_origin(hint) is Annotated:
            hint, *inner = get_args(hint)
            marks = [*inner, *marks]
    found: dict[str, Any] = {}
    says = Says(name.replace("_", " ").capitalize())
    for mark in marks:
        if isinstance(mark, Quantity):
            found["quantity"] = mark
        elif isinstance(mark, annotated_types.Interval):
            found["low"], found["high"] = mark.ge, mark.le
        elif isinstance(mark, annotated_types.Len):
            found["most"] = mark.max_length
        elif isinstance(mark, Says):
            says = mark
        elif isinstance(mark, Decimals):
            found["decimals"] = mark.count
        elif isinstance(mark, Chart):
            found["chart"] = mark
        elif isinstance(mark, Pasted):
            found["pasted"] = True
        elif isinstance(mark, Among):
            found["among"], found["of_text"] = mark, True
        elif isinstance(mark, OfText):
            found["of_text"] = True
        elif isinstance(mark, Asks):
            found["asks"] = True
        elif isinstance(mark, Hands):
            found["hands"] = mark
        elif isinstance(mark, Takes):
            found["takes"] = mark
        elif isinstance(mark, Cards):
            found["cards"] = mark
        elif isinstance(mark, Address):
            found["address"] = mark
        elif isinstance(mark, Copied):
            found["copied"] = mark
        else:
            raise TypeError(f"{name}: {mark!r} is not a mark that fields understand.")
    kind: Kind = "number"
    if get_origin(hint) is Literal:
        kind, found["choices"] = "choice", get_args(hint)
    elif hint is str:
        kind = "text"
    elif get_origin(hint) is tuple:
        item = get_args(hint)[0]
        if dataclasses.is_dataclass(item):
            kind, found["columns"] = "rows", fields_of(item)
            _check_chart(name, found)
        else:
            kind = "numbers"
    elif hint not in (float, int, Range):
        raise TypeError(f"{name}: {hint!r} is not a type that fields understand.")
    if kind in ("number", "numbers") and "quantity" not in found:
        raise TypeError(f"{name}: a number needs its quantity in Annotated.")
    return Field(
        name=name, kind=kind, label=says.label, hint=says.hint, default=default,
        optional=optional, group=group, **found,
    )  # fmt: skip


def _check_chart(name: str, found: Mapping[str, Any]) -> None:
    chart: Chart | None = found.get("chart")
    if chart is None:
        return
    columns = {column.name for column in found["columns"]}
    for wanted in (chart.along, *chart.lines, *(chart.band or ())):
        if wanted not in columns:
            raise TypeError(f"{name}: the chart draws “{wanted}”, which is not a column.")


def fields_of(card: type, group: str = "") -> tuple[Field, ...]:
    """Return the fields of a frozen dataclass, without the words every answer carries."""
    hints = typing.get_type_hints(card, include_extras=True)
    skip = WORDS_OF_ANSWER if issubclass(card, Answer) else ()
    result = []
    for item in dataclasses.fields(card):
        if item.name in skip:
            continue
        missing = item.default is dataclasses.MISSING
        default = inspect.Parameter.empty if missing else item.default
        result.append(_field(item.name, hints[item.name], default, group))
    return tuple(result)


@dataclass(frozen=True)
class Signature:
    """The fields of one calculator, and how to call it."""

    function: Callable[..., Answer]
    inputs: tuple[Field, ...]
    answers: tuple[Field, ...]
    cards: Mapping[str, type]

    @classmethod
    @functools.cache
    def of(cls, function: Callable[..., Answer]) -> Signature:
        """Return the signature of ``function``, read once; TypeError when it is not usable."""
        hints = typing.get_type_hints(function, include_extras=True)
        answer = hints.pop("return")
        inputs: list[Field] = []
        cards: dict[str, type] = {}
        for name, parameter in inspect.signature(function).parameters.items():
            hint = hints[name]
            if dataclasses.is_dataclass(hint) and isinstance(hint, type):
                cards[name] = hint
                inputs.extend(fields_of(hint, group=name))
            else:
                inputs.append(_field(name, hint, parameter.default))
        names = [field.name for field in inputs]
        twice = {name for name in names if names.count(name) > 1}
        if twice:
            raise TypeError(f"{function.__name__}: inputs named twice: {', '.join(twice)}.")
        return cls(function, tuple(inputs), fields_of(answer), cards)

    def call(
        self, values: Mapping[str, Any], instead: Callable[..., Answer] | None = None
    ) -> Answer:
        """Call the function, or another of the same inputs, with inside ``values``."""
        arguments: dict[str, Any] = {}
        for field in self.inputs:
            if not field.group:
                arguments[field.name] = values[field.name]
        for name in self.cards:
            arguments[name] = self.card(name, values)
        return (instead or self.function)(**arguments)

    def card(self, name: str, values: Mapping[str, Any]) -> Any:
        """Return the card called ``name`` with inside ``values``; InputError where they clash."""
        members = {f.name: values[f.name] for f in self.inputs if f.group == name}
        return self.cards[name](**members)


def ready_cards(card: type) -> Mapping[str, Any]:
    """Return the ready-made cards a dataclass offers by name (the invented tanks)."""
    return getattr(card, "ready", {})


def problem(field: Field, sentence: str) -> Problem:
    """Return a Problem that names ``field`` by its label."""
    return Problem(field.name, f"{field.label}: {sentence}")
