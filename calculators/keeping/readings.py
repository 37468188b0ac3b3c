"""What a gauge's log says: the ``readings`` calculator.

In: the text of a log in any delimited form, and the band. Out: whether a fault lasts, what
temperature and what moisture did, whether a change worked, and everything found on the way.
"""

from __future__ import annotations

import math
from array import array
from contextvars import ContextVar
from itertools import compress
from typing import Annotated, Literal

from annotated_types import Interval

from calculators.air import mixture
from calculators.errors import NoAnswer
from calculators.fields import Among, OfText, Pasted, Takes
from calculators.keeping.inputs import Altitude
from calculators.keeping.log import band, report
from calculators.keeping.log.choice import Choice
from calculators.keeping.log.clean import clean
from calculators.keeping.log.reading import Log, Progress, no_progress, read_log, when
from calculators.keeping.log.report import Readings, TimeOfDay
from calculators.keeping.log.series import Series
from calculators.keeping.log.times import parse_clock, parse_date, split_cell
from calculators.keeping.log.view import MIDDLE_NINETY, MoistureView
from calculators.quantities import (
    DAY,
    HOUR,
    HOURS,
    RELATIVE_HUMIDITY,
    TEMPERATURE,
    Range,
    Says,
)

PROGRESS: ContextVar[Progress] = ContextVar("progress", default=no_progress)
"""Set to a function of the share done (0 to 1) to hear how far a long log is."""


_NAMED = "its name or number; empty: found"


def readings(
    log: Annotated[
        str, Pasted(), Says("Log", "the table your logger exports: CSV or similar text")
    ],
    time_column: Annotated[
        str, Among("columns_there", "time", none=False), Says("Time column", _NAMED)
    ] = "",
    humidity_column: Annotated[
        str,
        Among("columns_there", "relative humidity", none=False),
        Says("Humidity column", _NAMED),
    ] = "",
    temperature_column: Annotated[
        str, Among("columns_there", "temperature"), Says("Temperature column", _NAMED)
    ] = "",
    room_column: Annotated[
        str, Among("columns_there", "room temperature"), Says("Room temperature column", _NAMED)
    ] = "",
    date_order: Annotated[
        Literal["found", "day first", "month first", "year first"],
        OfText(),
        Says("Order of dates"),
    ] = "found",
    temperature_unit: Annotated[
        Literal["found", "°C", "°F"], OfText(), Says("Unit of temperature")
    ] = "found",
    lowest: Annotated[
        float, RELATIVE_HUMIDITY, Interval(ge=0.1, le=0.99), Says("Band from", "target humidity")
    ] = 0.75,
    highest: Annotated[
        float, RELATIVE_HUMIDITY, Interval(ge=0.1, le=1.0), Says("Band to", "target humidity")
    ] = 0.85,
    act_below: Annotated[
        float, RELATIVE_HUMIDITY, Interval(ge=0.0, le=1.0), Says("Act below")
    ] = 0.70,
    look_above: Annotated[
        float, RELATIVE_HUMIDITY, Interval(ge=0.0, le=1.0), Says("Look for the cause above")
    ] = 0.90,
    correction: Annotated[
        float,
        RELATIVE_HUMIDITY,
        Interval(ge=-0.4, le=0.4),
        Takes("tank", "gauge_correction"),
        Says("Correction of the gauge", "added to every reading; from the salt test"),
    ] = 0.0,
    changed: Annotated[
        str,
        OfText(),
        Says("Date of your change", "as in the log, such as 2026-02-03 18:00; or leave empty"),
    ] = "",
    outside_temperature: Annotated[
        float | None,
        TEMPERATURE,
        Interval(ge=0.0, le=40.0),
        Says("Room temperature", "used where the log has no column for the room"),
    ] = None,
    altitude: Altitude = 0.0,
    day_from: Annotated[
        float, HOURS, Interval(ge=0.0, le=DAY), Says("Day begins at", "hour of the clock")
    ] = 8 * HOUR,
    night_from: Annotated[
        float, HOURS, Interval(ge=0.0, le=DAY), Says("Night begins at", "hour of the clock")
    ] = 20 * HOUR,
) -> Readings:
    """Return what a log of times and relative humidity (and temperature) says.

    ``lowest``, ``highest``, ``act_below``, ``look_above`` [fractions, 0 to 1] are common practice,
    no source. ``outside_temperature`` [°C, 0 to 40]; ``altitude`` [m, 0 to 3000]; ``day_from``
    and ``night_from`` [s after midnight]. ``correction`` [fraction, -0.4 to 0.4] is added to every
    humidity. The equations stand in the package ``log``. Raises
    NoAnswer, with one sentence, when the text is no log or the band is upside down.
    """
    if lowest >= highest:
        raise NoAnswer(
            "Band: its lower end must be below its upper end. Common practice is 75 to 85 %.",
            "lowest",
        )
    tell = PROGRESS.get()
    choice = Choice(
        time_column, temperature_column, humidity_column, room_column, date_order, temperature_unit
    )
    try:
        raw = read_log(log, choice, _part(tell, 0.0, 0.45))
    except NoAnswer as error:
        error.field = error.field or "log"
        raise
    series = clean(raw, _part(tell, 0.45, 0.6)).corrected(correction)
    known = series.only()
    if not known.time:
        raise NoAnswer(
            f"No line of “{raw.columns.names[raw.columns.humidity]}” holds a relative humidity "
            "that air can have. Name another humidity column.",
            "log",
        )
    tell(0.6)
    day = band.by_day(known, day_from % DAY, night_from % DAY)
    night = day.translate(bytes([1, 0]).ljust(256))
    by_day = _read_in(known, day)
    tell(0.62)
    by_night = _read_in(known, night)
    read = band.together(by_day, by_night)
    tell(0.64)
    whole = band.shares(read, lowest, highest)
    limits = band.shares(read, act_below, look_above)
    runs = band.runs(known, lowest, highest)
    lasting = band.lasting(known, lowest, highest, runs)
    tell(0.67)
    both = known.only(temperature=True)
    tell(0.68)
    view = MoistureView(both, mixture.air_pressure(altitude), _part(tell, 0.68, 0.8))
    answers = {**view.levels(_part(tell, 0.8, 0.88)), **view.swing()}
    answers |= view.wet(outside_temperature)
    tell(0.89)
    changes, sentence = view.changed(_moment(changed, raw), lowest, highest)
    answers |= changes
    tell(0.91)
    answers |= view.decays()
    tell(0.95)
    parts = []
    for name, half in (("day", by_day), ("night", by_night)):
        part = band.shares(half, lowest, highest)
        if part.inside == part.inside:
            parts.append(TimeOfDay(name, part.below, part.inside, part.above))
    asked = report.asked_rows(raw.questions)
    lately = Range(*band.quantiles(band.lately(known), MIDDLE_NINETY))
    result = Readings(
        lasting_or_passing=lasting,
        share_below=whole.below,
        share_in=whole.inside,
        share_above=whole.above,
        share_act_below=limits.below,
        share_look_above=limits.above,
        longest_run=max((run.lasts for run in runs), default=0.0),
        times_of_day=tuple(parts),
        relative_humidity=Range(*band.quantiles(read, MIDDLE_NINETY)),
        lately=lately,
        gauge_lately=Range(*(each - correction for each in lately)),
        readings_used=len(known.time),
        covers=sum(known.weight),
        usual_step=series.step,
        columns=report.columns_read(raw.columns),
        columns_there=report.columns_there(raw),
        questions=asked,
        found=report.found_rows(raw.findings),
        found_totals=report.found_totals(raw.findings),
        points=view.points(known, _part(tell, 0.95, 1.0)),
        advice=" ".join(
            part
            for part in (
                report.advice(
                    lasting,
                    answers["swing_by_temperature"] or 0.0,
                    answers["swing_by_moisture"] or 0.0,
                    bool(asked),
                ),
                sentence,
            )
            if part
        ),
        notes=report.notes(raw, view.change, answers["decays"]),
        cautions=report.wet_caution(
            answers["wet_hours"], None if series.room else outside_temperature
        ),
        **answers,
    )
    tell(1.0)
    return result


def _part(tell: Progress, start: float, end: float) -> Progress:
    """Return what tells the progress of a part of the work, from ``start`` to ``end``."""
    return lambda share: tell(start + (end - start) * share)


def _read_in(series: Series, mask: bytes) -> dict[float, float]:
    """Return for how long each humidity was read where ``mask`` is 1."""
    humidity = list(compress(series.humidity, mask))
    weight = series.weight[: len(humidity)]
    if not series.even:
        weight = array("d", list(compress(series.weight, mask)))
    return band.totals(humidity, weight, series.even)


def _moment(text: str, raw: Log) -> float | None:
    """Return the moment the reader marked [s], or None; NoAnswer when it cannot be read."""
    if not text.strip():
        return None
    head, tail = split_cell(text)
    seconds = parse_date(head, raw.columns.order) + parse_clock(tail)[0]
    if not math.isfinite(seconds):
        raise NoAnswer(
            f"Date of your change: “{text}” is no date. Type it like 2026-02-03 or "
            "2026-02-03 18:00.",
            "changed",
        )
    first, last = min(raw.time), max(raw.time)
    if not first < seconds < last:
        raise NoAnswer(
            f"Date of your change: {when(seconds)} is outside the log, which runs from "
            f"{when(first)} to {when(last)}. Type a date between these.",
            "changed",
        )
    return seconds
