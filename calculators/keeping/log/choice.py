"""What the reader settles about a log, what is asked, and where its columns stand.

In and out: plain records that ``columns`` and ``marks`` share.
"""

from __future__ import annotations

from dataclasses import dataclass
from statistics import median

from calculators.keeping.log import words
from calculators.keeping.log.times import Order

FOUND = "found"


@dataclass(frozen=True, slots=True)
class Choice:
    """What the reader settled; "" or "found" leaves it to the file.

    A column is chosen by its name or its number from 1; "none" says there is no such column.
    """

    time_column: str = ""
    temperature_column: str = ""
    humidity_column: str = ""
    room_column: str = ""
    date_order: str = FOUND
    temperature_unit: str = FOUND


@dataclass(frozen=True, slots=True)
class Question:
    """One thing the file cannot tell; ``name`` is the input that answers it."""

    name: str
    sentence: str
    choices: tuple[str, ...]
    assumed: str


@dataclass(frozen=True, slots=True)
class Columns:
    """Where everything stands, counting columns from 0.

    ``humidity_whole`` is what the log writes for saturated air: 100 or 1.
    """

    time: tuple[int, ...]
    humidity: int
    temperature: int | None
    room: int | None
    order: Order
    fahrenheit: bool
    humidity_whole: float
    names: tuple[str, ...]

    def name(self, column: int | None) -> str:
        """Return what a reader calls ``column``."""
        return "none" if column is None else self.names[column]


@dataclass(slots=True)
class Facts:
    """One column of figures, from the sample."""

    index: int
    role: words.Role
    room: bool
    values: list[float]

    @property
    def middle(self) -> float:
        return median(self.values)
