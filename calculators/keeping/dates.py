"""Days as a keeper writes and reads them.

In: a date as typed. Out: a day, and a day in words that no country reads as another.
"""

from __future__ import annotations

import re
from datetime import date

from calculators.errors import InputError, Problem

MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")

_ORDERED = re.compile(r"(?P<year>\d{4})-(?P<month>\d{1,2})-(?P<day>\d{1,2})")
_WORDS = re.compile(
    r"(?:(?P<day>\d{1,2})(?:st|nd|rd|th)?\s+)?(?P<name>[a-z]{3,9})\.?"
    r"(?:\s+(?P<late>\d{1,2})(?:st|nd|rd|th)?)?,?\s+(?P<year>\d{4})",
    re.IGNORECASE,
)


def read_date(text: str, field: str, label: str) -> date | None:
    """Return the day written in ``text``, or None where nothing is written.

    Read are 2026-02-03, 3 February 2026 and Feb 3, 2026. Raises InputError for the rest, such as
    3/2/2026, which is two different days on two sides of an ocean.
    """
    wanted = text.strip()
    if not wanted:
        return None
    try:
        if found := _ORDERED.fullmatch(wanted):
            return date(int(found["year"]), int(found["month"]), int(found["day"]))
        found = _WORDS.fullmatch(wanted)
        if found and (found["day"] is None) != (found["late"] is None):
            named = [name.lower().startswith(found["name"].lower()) for name in MONTHS]
            return date(int(found["year"]), named.index(True) + 1,
                        int(found["day"] or found["late"]))  # fmt: skip
    except ValueError:
        pass
    sentence = f"{label}: “{wanted}” is not a day. Type it as 2026-02-03 (year, month, day)."
    raise InputError((Problem(field, sentence),))


def in_words(day: date) -> str:
    """Return a day as in ``Tuesday, 3 February 2026``."""
    return f"{WEEKDAYS[day.weekday()]}, {day.day} {MONTHS[day.month - 1]} {day.year}"
