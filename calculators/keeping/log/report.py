"""What the log reader answers: its rows, its numbers and its sentences.

In: the parts worked out in this package. Out: the frozen answer that a page or a terminal shows.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

from calculators.fields import Answer, Asks, Chart, Hands
from calculators.keeping.log.band import RULE, Lasting
from calculators.keeping.log.change import MATTERS, Change, Verdict
from calculators.keeping.log.choice import Columns, Question
from calculators.keeping.log.reading import Findings, Log, when
from calculators.quantities import (
    ABSOLUTE_HUMIDITY,
    AIR_CHANGES,
    COUNT,
    DAYS,
    HOURS,
    RELATIVE_HUMIDITY,
    SHARE,
    TEMPERATURE,
    TEMPERATURE_DIFFERENCE,
    Decimals,
    Quantity,
    Range,
    Says,
    both,
)

# A difference of relative humidity is shown like the humidity itself.
_PERCENT: Quantity = RELATIVE_HUMIDITY


@dataclass(frozen=True)
class TimeOfDay:
    """The shares of one half of the day."""

    part: Annotated[str, Says("Part of the day")]
    below: Annotated[float, SHARE, Says("Below the band")]
    inside: Annotated[float, SHARE, Says("In the band")]
    above: Annotated[float, SHARE, Says("Above the band")]


@dataclass(frozen=True)
class Found:
    """One line of the list of what was found in the log."""

    line: Annotated[int, COUNT, Says("Line")]
    what: Annotated[str, Says("What was found")]
    done: Annotated[str, Says("What was done")]


@dataclass(frozen=True)
class Kind:
    """How often one kind of finding came up."""

    what: Annotated[str, Says("Kind")]
    count: Annotated[int, COUNT, Says("How often")]


@dataclass(frozen=True)
class Asked:
    """One question the file leaves open; answer it with the input of that name."""

    input: Annotated[str, Says("Input")]
    sentence: Annotated[str, Says("Question")]
    choices: Annotated[str, Says("Choices", "parted by |")]
    assumed: Annotated[str, Says("Assumed meanwhile")]


@dataclass(frozen=True)
class ColumnThere:
    """One column of the log: what it is called, what stands in it first, what it was read as."""

    number: Annotated[int, COUNT, Says("Column")]
    name: Annotated[str, Says("Its name")]
    first: Annotated[str, Says("Stands in it")]
    used: Annotated[str, Says("Read as")]


@dataclass(frozen=True)
class Point:
    """One point of the picture."""

    day: Annotated[float, DAYS, Decimals(3), Says("Days from the start")]
    clock: Annotated[str, Says("Time")]
    relative_humidity: Annotated[float, RELATIVE_HUMIDITY, Says("Relative humidity")]
    temperature: Annotated[float | None, TEMPERATURE, Says("Temperature")]
    dew_point: Annotated[float | None, TEMPERATURE, Says("Dew point")]


@dataclass(frozen=True, kw_only=True)
class Readings(Answer):
    """What a log says about a tank."""

    lasting_or_passing: Annotated[str, Says("Lasting or passing")]
    share_below: Annotated[float, SHARE, Says("Time below the band")]
    share_in: Annotated[float, SHARE, Says("Time in the band")]
    share_above: Annotated[float, SHARE, Says("Time above the band")]
    share_act_below: Annotated[float, SHARE, Says("Time below the act-below limit")]
    share_look_above: Annotated[float, SHARE, Says("Time above the look-above limit")]
    longest_run: Annotated[float, HOURS, Says("Longest time outside the band without a break")]
    times_of_day: Annotated[tuple[TimeOfDay, ...], Says("By day and by night")]
    relative_humidity: Annotated[
        Range, RELATIVE_HUMIDITY, Says("Relative humidity", "middle, and what held for 90 % of it")
    ]
    lately: Annotated[
        Range,
        RELATIVE_HUMIDITY,
        Says("Relative humidity lately", "the last 3 days: middle, and what held for 90 % of them"),
    ]
    gauge_lately: Annotated[
        Range,
        RELATIVE_HUMIDITY,
        Hands("tank", "reading"),
        Says("Your gauge showed lately", "the same, before its correction"),
    ]
    temperature: Annotated[
        Range | None, TEMPERATURE, Says("Temperature", "middle, and what held for 90 % of the time")
    ]
    dew_point: Annotated[
        Range | None, TEMPERATURE, Says("Dew point", "middle, and what held for 90 % of the time")
    ]
    absolute_humidity: Annotated[
        Range | None,
        ABSOLUTE_HUMIDITY,
        Says("Water vapour in the air", "middle, and what held for 90 % of the time"),
    ]
    swing: Annotated[
        float | None, _PERCENT, Says("Daily swing of the reading", "points of relative humidity")
    ]
    swing_by_temperature: Annotated[float | None, _PERCENT, Says("of it, made by temperature")]
    swing_by_moisture: Annotated[float | None, _PERCENT, Says("of it, made by moisture")]
    wet_hours: Annotated[
        float | None, HOURS, Says("A pane as cold as the room was wet for", "at most")
    ]
    changed_at: Annotated[str, Says("Change looked for at")]
    change_dew_point: Annotated[
        Range | None, TEMPERATURE_DIFFERENCE, Says("Change of dew point", "with its 95 % interval")
    ]
    change_humidity: Annotated[
        Range | None,
        _PERCENT,
        Says("Change of relative humidity", "points, with the 95 % interval"),
    ]
    verdict: Annotated[str, Says("Did it work?")]
    more_days: Annotated[float | None, DAYS, Decimals(0), Says("Days more to be sure")]
    air_changes: Annotated[
        Range | None,
        AIR_CHANGES,
        Hands("tank", "air_changes", "only if the lid then stood as it usually does"),
        Says("Air changes while moisture fell", "lowest to highest"),
    ]
    decays: Annotated[int, COUNT, Says("Falls of moisture that could be measured")]
    decay_fit: Annotated[
        float | None, SHARE, Says("How well they follow an exponential", "r² of the middle one")
    ]
    decay_span: Annotated[float | None, HOURS, Says("Length of the middle one")]
    readings_used: Annotated[int, COUNT, Says("Readings used")]
    covers: Annotated[float, DAYS, Says("Days covered")]
    usual_step: Annotated[float, HOURS, Decimals(3), Says("Usual time between readings")]
    columns: Annotated[str, Says("Columns read")]
    columns_there: Annotated[tuple[ColumnThere, ...], Says("Columns of the log")]
    questions: Annotated[tuple[Asked, ...], Asks(), Says("Questions")]
    found: Annotated[tuple[Found, ...], Says("Found in the log", "the first 50 by line")]
    found_totals: Annotated[tuple[Kind, ...], Says("Found in all")]
    points: Annotated[
        tuple[Point, ...],
        Says("The log"),
        Chart(
            "clock",
            ("relative_humidity", "temperature", "dew_point"),
            levels=("lowest", "highest"),
            moment="changed_at",
        ),
    ]


def found_rows(findings: Findings, most: int = 50) -> tuple[Found, ...]:
    """Return the first findings in order of line."""
    rows = sorted((item for item in findings.first if item.what), key=lambda item: item.line)
    return tuple(Found(item.line, item.what, item.done) for item in rows[:most])


def found_totals(findings: Findings) -> tuple[Kind, ...]:
    """Return how often each kind came up, the commonest first."""
    return tuple(Kind(kind, count) for kind, count in findings.totals.most_common())


def asked_rows(questions: Sequence[Question]) -> tuple[Asked, ...]:
    """Return the questions as rows."""
    return tuple(Asked(q.name, q.sentence, " | ".join(q.choices), q.assumed) for q in questions)


def columns_read(columns: Columns) -> str:
    """Return in words which column was read as what."""
    parts = ["time: " + " and ".join(columns.name(n) for n in columns.time)]
    parts.append(f"relative humidity: {columns.name(columns.humidity)}")
    parts.append(f"temperature: {columns.name(columns.temperature)}")
    if columns.temperature is not None:
        parts[-1] += " in °F" if columns.fahrenheit else " in °C"
    if columns.room is not None:
        parts.append(f"room temperature: {columns.name(columns.room)}")
    return "; ".join(parts)


def columns_there(log: Log, longest: int = 40) -> tuple[ColumnThere, ...]:
    """Return every column of the log, with its first words and what it was read as."""
    columns = log.columns
    used = dict.fromkeys(columns.time, "time")
    for place, role in (
        (columns.humidity, "relative humidity"),
        (columns.temperature, "temperature"),
        (columns.room, "room temperature"),
    ):
        if place is not None:
            used[place] = role
    return tuple(
        ColumnThere(
            place + 1,
            name[:longest],
            next((c.strip() for c in log.layout.cells(place) if c.strip()), "")[:longest],
            used.get(place, ""),
        )
        for place, name in enumerate(columns.names)
    )


_NEXT = {
    "in the band": "The humidity was in the band all the time. Leave the tank as it is.",
    "passing": "The humidity left the band only for a while. Peaks and dips are normal: wait, and "
    "look at the log again in three days before you change anything.",
    "lasting, too dry": "The tank is lastingly too dry. Check the gauge first, then make one "
    "change at a time.",
    "lasting, too damp": "The tank is lastingly too damp. Check the gauge first, then make one "
    "change at a time.",
    "lasting, both": "The tank swings lastingly from too dry to too damp. Check the gauge and its "
    "place first, then look at what temperature does to the reading.",
    "cannot tell yet": "The log is shorter than two days, too short to tell a lasting fault from a "
    "passing one. Keep logging, and read it again in three days.",
}


def advice(lasting: Lasting, by_temperature: float, by_moisture: float, asked: bool) -> str:
    """Return what to do first."""
    text = _NEXT[lasting]
    if abs(by_temperature) > 2.0 * abs(by_moisture) and abs(by_temperature) > 0.05:
        text += (
            " Most of its daily swing is temperature and no water came or went: steady the "
            "temperature before you add or remove moisture."
        )
    if asked:
        text = "Some of the file is a guess: answer the questions below first. " + text
    return text


def change_sentence(change: Change, verdict: Verdict, more: float | None, given: bool) -> str:
    """Return what the change at the mark means, in a sentence or three."""
    low, high = change.humidity.interval()
    moment = when(change.moment)
    start = f"At {moment}" + ("" if given else ", where the log itself changes most,")
    text = (
        f"{start} the relative humidity moved by {100 * change.humidity.value:+.1f} points "
        f"(95 % interval {100 * low:+.1f} to {100 * high:+.1f}). "
    )
    dew_low, dew_high = change.dew_point.interval()
    if verdict in ("worked", "made it worse") and dew_low < 0 < dew_high:
        text += "The dew point did not clearly move: it may be temperature and not moisture. "
    if verdict == "did nothing":
        text += f"That is less than {100 * MATTERS:.0f} points, what gauges are off by. "
    if verdict == "cannot tell yet":
        text += (
            f"About {more:.0f} more days like these would settle it. "
            if more is not None
            else "More days alone will hardly settle it: the log before the change is too short "
            "or too restless. "
        )
    if not given:
        text += (
            "Nobody marked that moment, it was picked because the log changes there, so the "
            "interval is narrower than it should be. Give the date of your change."
        )
    return text.strip()


def notes(log: Log, change: Change | None, decays: int) -> tuple[str, ...]:
    """Return what was assumed, and how sure the numbers are."""
    columns = log.columns
    lines = [
        RULE,
        "Every share is of time: each reading counts for half of the time to its neighbours, and "
        "a gap counts for neither side.",
        "A gauge is commonly off by 3 % of humidity; test it before you trust a difference "
        "smaller than that.",
    ]
    if columns.order != "year first":
        lines.append(f"Dates were read with the {columns.order}.")
    if len(log.zones) == 1 and 0.0 in log.zones:
        lines.append("The log's clock is UTC, so day and night are by UTC and not by your clock.")
    if columns.humidity_whole == 1.0:
        lines.append("The humidity was read as a fraction from 0 to 1.")
    if columns.temperature is None:
        lines.append("Without a temperature column there is no dew point, and no split of swings.")
    if change is not None:
        lines.append(
            "The change is a step in a regression on means over four hours with a daily rhythm"
            + (" and the room's temperature" if change.for_room else "")
            + ", errors correlated from mean to mean (restricted maximum likelihood) and Student's "
            "t with the effective number of independent means; the first day after the change is "
            f"left out. Readings compared: {change.days_before:.1f} days before and "
            f"{change.days_after:.1f} after, at most 28 on each side."
        )
    if decays:
        lines.append(
            "A fall of moisture shows the air changes only if the pools and the substrate give "
            "little while it lasts, and it is the rate with the lid as it then was. Where they "
            "give or the walls take, the true number differs."
        )
    return tuple(lines)


def wet_caution(hours: float | None, room: float | None) -> tuple[str, ...]:
    """Return the caution about water on the glass, where there was some."""
    if not hours:
        return ()
    place = both(room, TEMPERATURE) if room is not None else "the room's temperature"
    return (
        f"A pane at {place} would have been wet. Wipe up what runs down within a day or two: what "
        "stays damp grows mould. Keep plugs and cables clear of drips, with a drip loop below the "
        "outlet.",
    )
