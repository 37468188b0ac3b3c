"""What in a letter comes before any number: animals, electricity, heat, water at the base.

In: a letter's text and the air's temperature, where it is known. Out: sentences for the keeper.
What counts as an alarm, and the answers, are common practice; the page "Answer a keeper" lists
them. A false alarm costs a sentence, a missed one may cost an animal: so only a plain "no" before
the word silences one.
"""

from __future__ import annotations

import re

from calculators.keeping import targets
from calculators.keeping.letter.facts import sentences
from calculators.keeping.letter.trade import denied
from calculators.quantities import TEMPERATURE, both

VET = (
    "A crab that is limp, weak, out of its shell or moulting on the surface needs an exotic-animal "
    "vet now. Keep it quiet, dark and humid until then, and away from the others."
)
SHOCK = (
    "Water, a spark or a smell of burning at a plug, cable or heater: switch off at the breaker "
    "before you touch anything, and have an electrician or the maker look at it before you use it "
    "again."
)
SCORCHED = "A heat mat that is brown, creased or smells: unplug it now and do not use it again."
FLOOD = (
    "Water standing at the base can drown buried crabs: draw it off slowly at one corner, and do "
    "not dig near them."
)
EMPTY_POOLS = "Fill both pools with treated water today: a crab with water to hand stands dry air."

_ALARMS = (
    (VET, r"\blimp\b|\bweak\b|lethargic|surface moult\w*|surface molt\w*|"
          r"mo?u?lt\w* on (?:the |top of the )?(?:surface|sand)|\bnaked\b|"
          r"(?:out of|left|without) (?:its|his|her|their|the) shells?|not moving|won't move|"
          r"\bdying\b|\bdead\b|\bdied\b|smells? (?:of fish|fishy)|dropp\w+ (?:legs?|limbs?)"),
    (SHOCK, r"\bsparks?\b|\bsmok(?:e|ing)\b|\bburn(?:ing|t)\b|electric shock|\bgot a shock\b|"
            r"(?:wet|water (?:on|in|at)) (?:the |my |a )?(?:plugs?|cables?|sockets?|outlets?)|"
            r"(?:rcd|gfci|breaker|fuse) (?:\w+ )?(?:trip\w*|blew|blown)"),
    (SCORCHED, r"scorch\w*|crease\w*|(?:mat|pad|heater)\W+(?:\w+\W+){0,4}(?:brown|smells)"),
    (FLOOD, r"\bflood\w*|standing water|water (?:standing )?(?:at|on|in) the (?:base|bottom)|"
            r"\bwaterlogged\b|puddle"),
    (EMPTY_POOLS, r"(?:pools?|dish(?:es)?|bowls?)\W+(?:\w+\W+){0,3}(?:empty|dry)\b|"
                  r"\bno (?:pools?|water (?:dish|bowl|pool))\w*"),
)  # fmt: skip


def alarms(text: str, air_temperature: float | None) -> tuple[str, ...]:
    """Return what must be said first, for ``text`` and the air's temperature [°C]."""
    told = []
    for sentence, pattern in _ALARMS:
        for part in sentences(text):
            hits = re.finditer(pattern, part, re.IGNORECASE)
            if any(not denied(part, hit.start()) for hit in hits):
                told.append(sentence)
                break
    if air_temperature is not None:
        if air_temperature < targets.COLD_ALARM:
            told.append(f"{both(air_temperature, TEMPERATURE)} is too cold for these crabs.")
        elif air_temperature > targets.HOT_ALARM:
            told.append(f"{both(air_temperature, TEMPERATURE)} is too hot for these crabs.")
    return tuple(told)
