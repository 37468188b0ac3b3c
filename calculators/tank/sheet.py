"""A sheet of line work: a box seen from the front with its depth drawn back at a slant.

In: places in the tank, in drawing units. Out: paths, dots and labels of an SVG, every coordinate
rounded, so that the same tank always gives the same text.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from calculators.tank.card import TankCard

# Drawing units, which are pixels on a phone.
WIDTH = 370.0
LEFT = 86.0  # the front pane's left edge
RIGHT_COLUMN = 278.0  # where labels on the right begin
TOP = 54.0  # the lid's back edge
LINE = 16.0  # from one line of text to the next
BACK, UP = 0.36, 0.30  # how far a unit of depth is drawn to the right and up
LENGTHS, DEPTHS, HEIGHTS = (118.0, 146.0), (56.0, 100.0), (66.0, 160.0)


class Point(NamedTuple):
    """A place in the drawing."""

    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Box:
    """The tank as drawn, in drawing units: x along the front, y to the back, z up."""

    length: float
    depth: float
    height: float
    substrate: float
    floor: float
    to_scale: bool

    @classmethod
    def of(cls, card: TankCard) -> Box:
        """Return the largest box of the tank's proportions, or the nearest that can be read."""
        length, depth, height = card.tank_length, card.tank_width, card.tank_height
        scale = min(LENGTHS[1] / length, DEPTHS[1] / depth, HEIGHTS[1] / height)
        wanted = [length * scale, depth * scale, height * scale]
        limits = (LENGTHS, DEPTHS, HEIGHTS)
        drawn = [min(max(s, low), high) for s, (low, high) in zip(wanted, limits, strict=True)]
        substrate = drawn[2] * card.substrate_depth / height
        lowest = 6.0 if substrate > 0 else 0.0
        seen = min(max(substrate, lowest), drawn[2] - 34.0)
        exact = max(abs(a - b) for a, b in zip((*wanted, substrate), (*drawn, seen), strict=True))
        along, back, up = drawn
        return cls(along, back, up, seen, TOP + back * UP + up, exact < 2.0)

    def at(self, x: float, y: float, z: float) -> Point:
        """Return where a point of the tank stands in the drawing."""
        return Point(LEFT + x + BACK * y, self.floor - z - UP * y)

    def outline(self, *corners: tuple[float, float, float]) -> str:
        """Return a closed path through points of the tank."""
        return "M" + "L".join(pair(self.at(*corner)) for corner in corners) + "Z"

    def line(self, *points: tuple[float, float, float]) -> str:
        """Return an open path through points of the tank."""
        return "M" + "L".join(pair(self.at(*point)) for point in points)

    def ring(self, x: float, y: float, z: float, along: float, back: float) -> str:
        """Return a level ellipse about (x, y, z), ``along`` and ``back`` being half its sizes."""
        k = 0.5523  # a quarter circle as one Bézier curve
        turns = ((1, 0, 1, k, k, 1, 0, 1), (0, 1, -k, 1, -1, k, -1, 0),
                 (-1, 0, -1, -k, -k, -1, 0, -1), (0, -1, k, -1, 1, -k, 1, 0))  # fmt: skip
        path = "M" + pair(self.at(x + along, y, z))
        for turn in turns:
            points = zip(turn[2::2], turn[3::2], strict=True)
            path += "C" + " ".join(pair(self.at(x + along * a, y + back * b, z))
                                   for a, b in points)  # fmt: skip
        return path + "Z"


@dataclass(slots=True)
class Sheet:
    """The marks of a drawing, in the order they are laid down."""

    marks: list[str] = field(default_factory=list)
    right: list[tuple[float, Point, Sequence[str]]] = field(default_factory=list)
    bottom: float = 0.0

    def path(self, shape: str, width: float = 1.5, *, more: str = "") -> None:
        """Draw a line ``width`` wide."""
        self.marks.append(f'<path d="{shape}" stroke-width="{width:g}"{more}/>')

    def solid(self, shape: str, width: float = 1.5) -> None:
        """Draw a shape that hides what lies behind it."""
        self.path(shape, width, more=' class="dg-solid" fill="#fff"')

    def dot(self, place: Point, radius: float, *, more: str = "") -> None:
        """Draw a small circle."""
        x, y = rounded(place.x), rounded(place.y)
        self.marks.append(f'<circle cx="{x}" cy="{y}" r="{radius:g}" stroke-width="1"{more}/>')

    def text(self, place: Point, lines: Sequence[str], anchor: str = "start") -> None:
        """Write ``lines``, the first one's foot at ``place``."""
        for number, line in enumerate(lines):
            x, y = rounded(place.x), rounded(place.y + number * LINE)
            self.marks.append(f'<text x="{x}" y="{y}" text-anchor="{anchor}">{line}</text>')
        self.bottom = max(self.bottom, place.y + LINE * (len(lines) - 1))

    def beside(self, wanted: float, target: Point, lines: Sequence[str]) -> None:
        """Ask for a label in the right column near height ``wanted``, with a line to ``target``."""
        self.right.append((wanted, target, lines))

    def lay_right(self) -> float:
        """Write the right column, each label as near its height as may be; return its foot."""
        free = TOP - LINE
        for wanted, target, lines in sorted(self.right, key=lambda item: item[0]):
            first = max(wanted, free)
            start = Point(RIGHT_COLUMN - 3, first - 4)
            self.path(f"M{pair(start)}L{pair(target)}", 0.75)
            self.dot(target, 1.6, more=' fill="currentColor"')
            self.text(Point(RIGHT_COLUMN, first), lines)
            free = first + LINE * len(lines) + 7
        return free - 7


def rounded(value: float) -> str:
    """Return a coordinate to a tenth of a unit."""
    return f"{round(value, 1) + 0.0:.1f}".removesuffix(".0")


def pair(place: Point) -> str:
    """Return a place as a path has it."""
    return f"{rounded(place.x)} {rounded(place.y)}"
