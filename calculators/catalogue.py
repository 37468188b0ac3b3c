"""Every calculator a page may name, in one explicit tuple."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from calculators.fields import Answer
from calculators.keeping.air_change import air_change
from calculators.keeping.bubbles import bubbling
from calculators.keeping.gauge import gauge_check
from calculators.keeping.glass import glass_condensation
from calculators.keeping.humidity import dew_point
from calculators.keeping.marine import marine_pool
from calculators.keeping.moss import moss
from calculators.keeping.pools import evaporation


@dataclass(frozen=True, slots=True)
class Calculator:
    """A calculator as pages name it.

    ``question`` is what a keeper asks; ``sources`` the anchors on the words-and-sources page;
    ``practice_only`` says why there is no published check, where there is none.
    """

    name: str
    title: str
    question: str
    function: Callable[..., Answer]
    practice_only: str = ""


CATALOGUE: tuple[Calculator, ...] = (
    Calculator(
        "dew-point",
        "Dew point",
        "How much moisture is really in this air, and where would it turn to water?",
        dew_point,
    ),
    Calculator("evaporation", "Evaporation", "How much water does this pool give?", evaporation),
    Calculator(
        "gauge-check",
        "Gauge check",
        "Can you trust the gauge? A jar, a spoon of salt and a night will tell.",
        gauge_check,
    ),
    Calculator(
        "glass-condensation",
        "Water on the glass",
        "When does the glass run wet, and what would stop it?",
        glass_condensation,
    ),
    Calculator(
        "air-change",
        "Air change",
        "How fast does this tank lose its air to the room?",
        air_change,
    ),
    Calculator(
        "bubbling",
        "Air-stones in a pool",
        "Do air-stones raise the humidity here, or lower it?",
        bubbling,
    ),
    Calculator(
        "moss",
        "Moss",
        "How much water does damp moss give, and can dry moss take any out?",
        moss,
    ),
    Calculator(
        "marine-pool",
        "Marine pool",
        "How much salt, is it right, and what do you top it up with?",
        marine_pool,
    ),
)
