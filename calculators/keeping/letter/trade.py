"""The words of the trade in a letter: lid, mat, pump, moss, species, gauge, how long.

A word that is denied in the same breath ("no bubbler") says that there is none.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from calculators.keeping.letter.facts import NUMBER, Fact, quoted, sentences, value

_I = re.IGNORECASE
_NO = r"(?:\bno\b|\bnone\b|\bnot\b|\bwithout\b|n't\b|\bnever\b|\bnobody\b)"
_LID = r"(?:lid|top|cover|roof|hood)"
_MESH = r"(?:mesh|screen|wire|net(?:ted|ting)?|perforated)"
_FILM = r"(?:cling ?film|cling ?wrap|plastic wrap|saran(?: wrap)?|film|foil|plastic sheet)"
_GLASS = r"(?:glass|acrylic|perspex|plexi(?:glass)?|polycarbonate|solid)"
_GAP = r"(?:gaps?|slits?|notch(?:es)?|cable holes?|cracks?|vents?|leak(?:s|y)?|ajar)"


def _lid_is(what: str) -> str:
    return rf"{what}\W+(?:\w+\W+){{0,2}}?{_LID}\b|\b{_LID}s?\W+(?:\w+\W+){{0,4}}?{what}\b"


_LIDS = (
    ("film over mesh", rf"{_FILM}\W+(?:\w+\W+){{0,4}}?(?:{_MESH}|{_LID})\b|"
                       rf"\b(?:{_MESH}|{_LID})\W+(?:\w+\W+){{0,6}}?{_FILM}\b"),
    ("mesh", _lid_is(_MESH)),
    ("glass with gaps", rf"(?:{_lid_is(_GAP)})|{_GLASS}\W+{_LID}\W+(?:\w+\W+){{0,8}}?{_GAP}\b"),
    ("glass", _lid_is(_GLASS)),
)  # fmt: skip
_SPECIES = (
    ("Caribbean", r"clypeatus|caribbean|purple pinchers?"),
    ("Indo-Pacific", r"rugosus|perlatus|brevimanus|violascens|cavipes|indo[- ]?pacific|"
                     r"strawberry (?:hermit|crab)s?"),
)  # fmt: skip
_PUMP = r"bubblers?|air ?-?stones?|air ?-?pumps?|bubbles"
_FLOW = re.compile(NUMBER + r"\s*(l/min|lpm|l/h|ml/min|gph|gal/h)\b", _I)
_WATTS = re.compile(NUMBER + r"\s*-?\s*w(?:atts?)?\b", _I)
_MAT = r"heat(?:er|ing)?\b|\bmat\b|\buth\b|heat ?pad"
_DEPTH = (
    re.compile(NUMBER + r'\s*(cm|inches|inch|in|")[\s-]*(?:deep\b\s*)?(?:of\s+)?(?:\w+\s+)?'
               r"(?:substrate|sand|coir|coco)", _I),
    re.compile(r"(?:substrate|sand|coir)\D{0,24}?" + NUMBER + r'\s*(cm|inches|inch|in\b|")', _I),
)  # fmt: skip
_POURED = re.compile(
    NUMBER + r"\s*(ml|l|cups?|fl\.? ?oz|oz|ounces)\b[^.;\n]{0,24}?"
    r"(?:(?:a|per|each|every)\s+day|daily|/\s*d(?:ay)?)\b",
    _I,
)
_POURED_IN = {"ml": 1.0, "l": 1000.0, "cup": 237.0, "cups": 237.0}  # else fluid ounces
_CHECKS = (
    ("with the salt test", r"salt[ -]?test(?:ed)?|calibrat\w+|salt jar"),
    ("against a second gauge", r"(?:second|two|other|another|2)\s+(?:digital\s+)?"
                               r"(?:gauges?|hygrometers?|meters?|sensors?|thermometers?)"),
)  # fmt: skip
_LONG = (
    r"\b(?:[3-9]|\d\d|three|four|five|six|seven|several|few|many)\s+(?:days|nights)\b|"
    r"\b(?:a|one|two|three|four|several|few|many|past|last|\d+)\s+(?:weeks?|months?)\b|"
    r"\bfor (?:days|weeks|months)\b|\balways\b|\bconstantly\b|\bkeeps\b|\ball (?:week|winter|"
    r"summer|month)\b|\bevery (?:single )?day\b|\bnever (?:goes|gets|rises|drops)\b"
)
_SHORT = r"\btoday\b|\bthis (?:morning|evening|afternoon)\b|\btonight\b|\bjust now\b|\bsuddenly\b"
_OWNING = r"\b(?:had|have had|got|bought|owned|adopted|keeping|kept)\b"


def trade(text: str) -> list[Fact]:
    """Return what ``text`` says of lid, heat, pump, moss, species, gauge, water and time."""
    found: list[Fact] = []
    for sentence in sentences(text):
        for part in (_lid, _species, _pump, _moss, _heat, _depth, _poured, _checked, _seen):
            found += part(sentence)
    return found


def denied(sentence: str, start: int) -> bool:
    """True where a "no" stands shortly before ``start``, in the same breath."""
    clause = max(sentence.rfind(mark, 0, start) for mark in (",", " but ", " and "))
    words = " ".join(sentence[max(clause, 0) : start].split()[-5:])
    return bool(re.search(_NO, words, _I))


def _first(field: str, table: tuple[tuple[str, str], ...], sentence: str) -> Iterator[Fact]:
    for typed, pattern in table:
        found = re.search(pattern, sentence, _I)
        if found:
            if not denied(sentence, found.start()):
                yield Fact(field, typed, quoted(found[0]))
            return


def _lid(sentence: str) -> Iterator[Fact]:
    yield from _first("lid", _LIDS, sentence)


def _species(sentence: str) -> Iterator[Fact]:
    yield from _first("species", _SPECIES, sentence)


def _pump(sentence: str) -> Iterator[Fact]:
    found = re.search(_PUMP, sentence, _I)
    if not found:
        return
    if denied(sentence, found.start()):
        yield Fact("air_flow", "0 L/min", quoted(sentence[: found.end()])[-40:])
        return
    flow = _FLOW.search(sentence)
    typed = f"{flow[1]} {_flow_unit(flow[2])}" if flow else "1 L/min"
    yield Fact("air_flow", typed, quoted(flow[0] if flow else found[0]))


def _flow_unit(written: str) -> str:
    return {"l/min": "L/min", "lpm": "L/min", "l/h": "L/h", "ml/min": "mL/min"}.get(
        written.lower(), "gal/h"
    )


def _moss(sentence: str) -> Iterator[Fact]:
    found = re.search(r"\b(dry )?moss\b", sentence, _I)
    if not found or found[1]:
        return
    if denied(sentence, found.start()):
        yield Fact("moss_place", "none", quoted(sentence[: found.end()])[-40:])
        return
    warm = re.search(r"(?:heat\w*|warm) (?:wall|glass|side|mat)", sentence, _I)
    yield Fact("moss_place", "at the heated wall" if warm else "tray", quoted(found[0]))


def _heat(sentence: str) -> Iterator[Fact]:
    found = re.search(_MAT, sentence, _I)
    if not found:
        return
    watts = _WATTS.search(sentence)
    if watts and not re.search(r"lamp|bulb|light", sentence[watts.start() :][:24], _I):
        yield Fact("heater_power", f"{watts[1]} W", quoted(watts[0]))
    elif re.search(
        r"(?:\bno|without an?|don't have an?|do not have an?|not any) heat", sentence, _I
    ):
        yield Fact("heater_power", "0 W", quoted(sentence[: found.end()])[-40:])


def _depth(sentence: str) -> Iterator[Fact]:
    for pattern in _DEPTH:
        found = pattern.search(sentence)
        if found:
            unit = "cm" if found[2].lower() == "cm" else "in"
            yield Fact("substrate_depth", f"{found[1]} {unit}", quoted(found[0]))
            return


def _poured(sentence: str) -> Iterator[Fact]:
    found = _POURED.search(sentence)
    if found:
        amount = value(found[1]) * _POURED_IN.get(found[2].lower(), 29.57)
        yield Fact("water_poured", f"{amount:.4g} mL/d", quoted(found[0]))


def _checked(sentence: str) -> Iterator[Fact]:
    yield from _first("gauge_checked", _CHECKS, sentence)


def _seen(sentence: str) -> Iterator[Fact]:
    if not re.search(_OWNING, sentence, _I):
        found = re.search(_LONG, sentence, _I)
        if found:
            yield Fact("seen", "most of three days", quoted(found[0]))
            return
    found = re.search(_SHORT, sentence, _I)
    if found:
        yield Fact("seen", "one reading", quoted(found[0]))
