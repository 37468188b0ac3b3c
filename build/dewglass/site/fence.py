"""The ``calculator`` fence: YAML in a Markdown page, a whole calculator in its place.

In: the body of a fenced block. Out: static HTML from ``dewglass.form``, or one FenceError that
says what is wrong, on which line, and what is allowed. Plain Python-Markdown, no MkDocs; the
formatter plugs into ``pymdownx.superfences``.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml
from pymdownx.superfences import SuperFencesException

from calculators.ask import nearest
from calculators.errors import InputError
from dewglass.form.view import render

LANGUAGE = "calculator"
ELEMENT = "dewglass-calculator"
KEYS = ("name", "inputs", "first", "example")
EXAMPLE = "Write, for example:\nname: dew-point\ninputs: {air_temperature: 26 °C}"


class FenceError(ValueError):
    """A fence that cannot be a calculator; ``line`` counts from 1 inside the fence's body."""

    def __init__(self, sentence: str, line: int = 1) -> None:
        self.sentence, self.line = sentence, line
        super().__init__(sentence)


@dataclass(frozen=True)
class Fence:
    """What an editor asked for: the calculator, its inputs as typed, the answers to show first.

    An ``example`` keeps its numbers to itself: it neither shows nor changes a reader's own tank.
    """

    name: str
    inputs: Mapping[str, str]
    first: tuple[str, ...]
    lines: Mapping[str, int]
    example: bool = False

    @classmethod
    def parse(cls, body: str) -> Fence:
        """Read a fence's body; raise FenceError with the line and what is allowed."""
        try:
            node = yaml.compose(body, Loader=yaml.SafeLoader)
        except yaml.MarkedYAMLError as error:
            line = error.problem_mark.line + 1 if error.problem_mark else 1
            raise FenceError(f"This is not YAML: {error.problem}. {EXAMPLE}", line) from None
        if not isinstance(node, yaml.MappingNode):
            raise FenceError(f"A calculator fence is a list of “key: value” lines. {EXAMPLE}")
        parts, lines = _mapping(node)
        for key in parts:
            if key not in KEYS:
                raise FenceError(f"There is no key “{key}”. {nearest(key, KEYS)}", lines[key])
        if "name" not in parts:
            raise FenceError(f"The calculator’s name is missing. {EXAMPLE}")
        inputs: dict[str, str] = {}
        if "inputs" in parts:
            if not isinstance(parts["inputs"], yaml.MappingNode):
                raise FenceError("inputs: write one “input: value” a line.", lines["inputs"])
            values, input_lines = _mapping(parts["inputs"])
            inputs = {name: _scalar(name, value) for name, value in values.items()}
            lines = {**input_lines, **lines}
        first: tuple[str, ...] = ()
        if "first" in parts:
            asked = parts["first"]
            items = asked.value if isinstance(asked, yaml.SequenceNode) else [asked]
            first = tuple(_scalar("first", item) for item in items)
        example = _scalar("example", parts["example"]) if "example" in parts else "false"
        if example not in ("true", "false"):
            raise FenceError("example: write true, or leave the line out.", lines["example"])
        return cls(_scalar("name", parts["name"]), inputs, first, lines, example == "true")

    def html(self, place: str = "") -> str:
        """Return the calculator's HTML; raise FenceError with every problem found."""
        try:
            return render(self.name, self.inputs, self.first, place, self.example)
        except InputError as error:
            where = {"calculator": "name"}
            lines = [
                self.lines.get(where.get(item.field, item.field), 1) for item in error.problems
            ]
            raise FenceError(str(error), min(lines)) from None


def _mapping(node: yaml.MappingNode) -> tuple[dict[str, Any], dict[str, int]]:
    parts: dict[str, Any] = {}
    lines: dict[str, int] = {}
    for key, value in node.value:
        name = str(key.value)
        line = key.start_mark.line + 1
        if name in parts:
            raise FenceError(f"“{name}” is written twice. Leave one of them out.", line)
        parts[name], lines[name] = value, line
    return parts, lines


def _scalar(name: str, node: yaml.Node) -> str:
    if not isinstance(node, yaml.ScalarNode):
        line = node.start_mark.line + 1
        raise FenceError(f"{name}: write one value, such as 26 °C.", line)
    return str(node.value)


_OPEN = re.compile(r"^(?P<indent>[ \t>]*)(?P<ticks>`{3,}|~{3,})[ \t]*\{?[ \t]*\.?(?P<info>[\w-]*)")


def fences_in(markdown: str) -> Iterator[tuple[int, str]]:
    """Yield (line of the first body line, body) of every calculator fence in a page.

    A scan of its own, apart from the Markdown parser: what the parser drops without a word is
    then a difference in the count, which the build refuses.
    """
    lines = markdown.splitlines()
    number = 0
    while number < len(lines):
        match = _OPEN.match(lines[number])
        number += 1
        if not match:
            continue
        start, body = number, []
        ticks = match["ticks"]
        while number < len(lines):
            inner = lines[number].lstrip(" \t>")
            number += 1
            if re.fullmatch(rf"{re.escape(ticks[0])}{{{len(ticks)},}}[ \t]*", inner):
                break
            body.append(lines[number - 1].removeprefix(match["indent"]))
        if match["info"] == LANGUAGE:
            yield start + 1, "\n".join(body)


def problems_in(markdown: str, file: Path | str, skipped_lines: int = 0) -> list[str]:
    """Return one sentence for every broken fence: ``file:line: what is wrong``."""
    found = []
    for line, body in fences_in(markdown):
        try:
            Fence.parse(body).html()
        except FenceError as error:
            found.append(f"{file}:{skipped_lines + line + error.line - 1}: {error}")
    return found


def validator(language: str, inputs: Any, options: Any, attrs: Any, md: Any) -> bool:
    """Accept every calculator fence: a False here would publish the raw text."""
    return True


def formatter(source: str, language: str, css_class: str, options: Any, md: Any, **_: Any) -> str:
    """Return the HTML for ``pymdownx.superfences``; whatever fails stops the build."""
    if ELEMENT not in md.block_level_elements:
        md.block_level_elements.append(ELEMENT)  # else Markdown wraps the form in a paragraph
    place = _place(source, md)
    try:
        return Fence.parse(source).html(place)
    except Exception as error:
        raise SuperFencesException(str(error)) from error


def _place(source: str, md: Any) -> str:
    """Return a suffix that keeps ids unique when a page holds one calculator twice."""
    seen: dict[str, int] = md.__dict__.setdefault("dewglass_seen", {})
    try:
        name = Fence.parse(source).name
    except FenceError:
        return ""
    seen[name] = seen.get(name, 0) + 1
    return "" if seen[name] == 1 else f"-{seen[name]}"
