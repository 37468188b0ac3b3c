"""Temperatures and humidities in a letter, and whose they are: tank's, room's or thermostat's.

A number belongs to the place named nearest: right after it, before it in its clause, or before it
in its sentence; else to the tank.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from calculators.keeping.letter.facts import NUMBER, Fact, quoted, sentences, value

_PLACES = {
    "room": r"\w*room\b|\bhouse\b|\bapartment\b|\bflat\b|\bgarage\b|\bkitchen\b|\boffice\b|"
            r"\bambient\b|\bbasement\b|\bindoors?\b|\boutside (?:of )?(?:the |my )?(?:tank|glass)",
    "set": r"\bset\b(?: ?-?point)?|\bset(?:ting|point)\b|\bthermostat\b",
    "tank": r"\btank\b|\benclosure\b|\bterrarium\b|\bvivarium\b|\binside\b|\bhygrometer\b|"
            r"\bgauge\b|\bmeter\b|\bthermometer\b|\breads?\b|\breading\b|\bcrabs? (?:live|are)\b",
    "else": r"\bpools?\b|\bwater\b|\bsubstrate\b|\bsand\b|\boutdoors?\b|\boutside\b|\bbowl\b|"
            r"\bdish(?:es)?\b|\bwants?\b|\bshould\b|\bsupposed\b|\btarget\b|\baim\b|\bideal\b|"
            r"\bwant(?:ed)?\b|\bneeds?\b|\brecommend\w*",
}  # fmt: skip
_PLACE = re.compile(
    "|".join(f"(?P<{name}>{words})" for name, words in _PLACES.items()), re.IGNORECASE
)
_TO = r"(?:\s*(?:-|to|and|/)\s*(\d+(?:[.,]\d+)?))?"
_DEGREES = re.compile(
    r"(?<![\d.,])(-?\d+(?:[.,]\d+)?)(?:\s*(?:-|to)\s*(\d+(?:[.,]\d+)?))?\s*"
    r"(?:(?:°|deg(?:rees?)?\.?)\s*(?:(c|f)\b|celsius|fahrenheit)?|(c|f|celsius|fahrenheit)\b)",
    re.IGNORECASE,
)
_BARE_DEGREES = re.compile(
    r"(?:temp(?:erature|s)?|thermostat|set point|set)\W+(?:(?:is|at|to|of|around|about|reads|was)"
    r"\W+){0,3}(\d{2,3}(?:[.,]\d+)?)(?!\s*(?:%|\d|[.,]\d|°|deg|[cfw]\b|x|cm|in|wat|per))",
    re.IGNORECASE,
)
_PERCENT = re.compile(
    NUMBER + _TO + r"\s*(?:%|percent|per cent|pct)"
    r"(?!\s*(?:of\b|sand|coir|coco|peat|water|off|happy|sure|certain|cotton))"
    r"(?:\s*rh\b)?",
    re.IGNORECASE,
)
_BARE_HUMIDITY = re.compile(
    r"(?:humidity|hum|rh|hygrometer)\b\W*"
    r"(?:(?:is|at|of|around|about|reads|says|shows|was|sits|hovers|stays|now|level|only|just|in|"
    r"the|room|tank)\W+){0,4}"
    r"(\d{2})(?!\s*(?:%|\d|[.,]\d|per|pct|°|[cf]\b|deg|x|cm))",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class _Found:
    start: int
    end: int
    kind: str
    typed: str
    words: str


def climate(text: str) -> list[Fact]:
    """Return temperatures and humidities of tank and room, and the thermostat's set point."""
    return _settled(list(_facts(text)))


def _facts(text: str) -> Iterator[Fact]:
    for sentence in sentences(text):
        found = sorted(_temperatures(sentence) + _humidities(sentence), key=lambda f: f.start)
        for number, each in enumerate(found):
            after = found[number + 1].start if number + 1 < len(found) else len(sentence)
            before = found[number - 1].end if number else 0
            place, sure = _place(sentence, each, before, after)
            field = {
                ("temperature", "room"): "room_temperature",
                ("temperature", "set"): "set_point",
                ("temperature", "tank"): "air_temperature",
                ("humidity", "room"): "room_humidity",
                ("humidity", "tank"): "reading",
            }.get((each.kind, place))
            if field:
                words = quoted(sentence[_from(sentence, each.start) : each.end])
                yield Fact(field, each.typed, words, sure)


def _from(sentence: str, start: int) -> int:
    """Where the clause of a number begins, at most a few words before it."""
    clause = max(sentence.rfind(mark, 0, start) for mark in (",", ":", "(", " and ", " but "))
    words = list(re.finditer(r"\S+", sentence[max(clause + 1, 0) : start]))
    return max(clause + 1, 0) + (words[-5].start() if len(words) > 5 else 0)


def _place(sentence: str, each: _Found, before: int, after: int) -> tuple[str, bool]:
    """Return whose number it is, "room", "set", "tank" or "else", and whether that is sure."""
    next_word = re.match(
        r"\W*(?:(?:rh|humidity|in|the|my|of|a)\W+){0,3}", sentence[each.end : after], re.IGNORECASE
    )
    skip = next_word.end() if next_word else 0
    follows = _PLACE.match(sentence, each.end + skip, after)
    if follows and "," not in sentence[each.end : follows.start()]:
        return str(follows.lastgroup), True
    comma = sentence.rfind(",", 0, each.start)
    clause = max(comma, -1) + 1
    for start, sure in ((clause, True), (0, False)):
        known = list(_PLACE.finditer(sentence, start, each.start))
        if known:
            place = str(known[-1].lastgroup)
            if each.kind == "humidity" and place == "set":
                place = "tank"
            # “room 19C, humidity 58 %”: a noun of its own may begin the tank's.
            again = re.search(
                r"humid|hygro|temp|\bit\b", sentence[clause : each.start], re.IGNORECASE
            )
            return place, sure or not again
    follows = _PLACE.search(sentence, each.end, after)
    if follows and "," not in sentence[each.end : follows.start()]:
        return str(follows.lastgroup), True
    return "tank", True


def _settled(found: list[Fact]) -> list[Fact]:
    """Give a number that could be the room's or the tank's to the one that has none."""
    known = {fact.field for fact in found if fact.sure}
    twins = {
        "room_humidity": "reading", "reading": "room_humidity",
        "room_temperature": "air_temperature", "air_temperature": "room_temperature",
    }  # fmt: skip
    settled = []
    for fact in found:
        field = fact.field
        if not fact.sure and field in ("room_humidity", "room_temperature"):
            other = twins[field]
            if other not in known:
                field = other
                known.add(other)
        settled.append(Fact(field, fact.typed, fact.words))
    return settled


def _temperatures(sentence: str) -> list[_Found]:
    found: list[_Found] = []
    for each in _DEGREES.finditer(sentence):
        low, high = value(each[1]), value(each[2]) if each[2] else None
        letter = (each[3] or each[4] or ("f" if "fahr" in each[0].lower() else "")).lower()[:1]
        if not letter and "cels" in each[0].lower():
            letter = "c"
        middle = low if high is None else 0.5 * (low + high)
        letter = letter or ("f" if middle > 45.0 else "c")
        if found and _same(sentence, found[-1], each.start(), middle, letter):
            continue
        typed = f"{middle:g} °{letter.upper()}"
        found.append(_Found(each.start(), each.end(), "temperature", typed, each[0]))
    if not found:
        for each in _BARE_DEGREES.finditer(sentence):
            degrees = value(each[1])
            if 10.0 <= degrees <= 105.0:
                letter = "F" if degrees > 45.0 else "C"
                found.append(
                    _Found(
                        each.start(1), each.end(), "temperature", f"{degrees:g} °{letter}", each[0]
                    )
                )
    return found


def _same(sentence: str, last: _Found, start: int, degrees: float, letter: str) -> bool:
    """True for the second half of “19 °C / 66 °F”."""
    between = sentence[last.end : start]
    digits, unit = last.typed.split(" °")
    if not re.fullmatch(r"[\s/(=,|]*(?:or)?[\s/(=,|]*", between) or unit.lower() == letter:
        return False
    celsius = [(v - 32.0) / 1.8 if u == "f" else v
               for v, u in ((float(digits), unit.lower()), (degrees, letter))]  # fmt: skip
    return abs(celsius[0] - celsius[1]) < 1.5


def _humidities(sentence: str) -> list[_Found]:
    found = []
    for each in _PERCENT.finditer(sentence):
        low, high = value(each[1]), value(each[2]) if each[2] else None
        middle = low if high is None else 0.5 * (low + high)
        found.append(_Found(each.start(), each.end(), "humidity", f"{middle:g} %", each[0]))
    if not found:
        for each in _BARE_HUMIDITY.finditer(sentence):
            typed = f"{value(each[1]):g} %"
            found.append(_Found(each.start(1), each.end(1), "humidity", typed, each[0]))
    return found
