"""Is the gauge right? The salt test at home: the ``gauge-check`` calculator.

In: a salt, its temperature, what the gauge read beside its slurry. Out: the true humidity there,
the correction, and what a reading in the tank then means. ``correct`` serves every other
calculator that takes a reading.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import fmean
from typing import Annotated, Literal, NamedTuple

from annotated_types import Interval, Len

from calculators.air.saturation import saturation_pressure, saturation_slope
from calculators.errors import InputError, Problem
from calculators.fields import Answer, Hands
from calculators.keeping.salts import HIGHEST, LOWEST, Salt, fixed_point
from calculators.quantities import (
    HOUR,
    HOURS,
    RELATIVE_HUMIDITY,
    TEMPERATURE,
    Decimals,
    Range,
    Says,
    shown,
)

SecondSalt = Literal[
    "none",
    "table salt",
    "magnesium chloride",
    "magnesium nitrate",
    "potassium chloride",
    "potassium nitrate",
    "potassium sulphate",
]

JAR_UNEVENNESS = 0.2
"""How far gauge and slurry may differ in temperature [K] in a jar at home; common practice."""
DISPLAY_STEP = 0.005
"""Half a step of a display that shows whole per cents."""
SLOPE_SPREAD = 0.1
"""How far a gauge's slope may be off, so what one fixed point leaves open; common practice."""

WAITING = Range(12 * HOUR, 8 * HOUR, 24 * HOUR)
"""Hours beside the slurry before the reading counts [s]; common practice."""

REPEATS_WITHIN = 0.03
WORTH_KEEPING = 0.10
GOOD_AS_IT_IS = 0.03


class Point(NamedTuple):
    """One fixed point of a gauge: what it read, what was true, and how sure (a half-width)."""

    reading: float
    true: float
    uncertainty: float


def measured_point(salt: str, temperature: float, readings: Sequence[float]) -> Point:
    """Return the fixed point that ``readings`` (fractions, at least one) beside a slurry give.

    The uncertainty is the root of the sum of squares of: the salt's own; half the spread of the
    readings; half a step of the display; the jar's unevenness, RH des/dt / es times
    ``JAR_UNEVENNESS``. temperature [°C], 15 to 35. Errors: OutOfRange.
    """
    true = fixed_point(salt, temperature)
    uneven = true.middle * saturation_slope(temperature) / saturation_pressure(temperature)
    parts = (
        true.middle - true.low,
        0.5 * (max(readings) - min(readings)),
        DISPLAY_STEP,
        uneven * JAR_UNEVENNESS,
    )
    return Point(fmean(readings), true.middle, sqrt(sum(part * part for part in parts)))


def correct(reading: float, points: Sequence[Point]) -> Range:
    """Return the humidity (a fraction, 0 to 1) behind ``reading``, from one or two fixed points.

    One point: an offset, whose uncertainty grows by ``SLOPE_SPREAD`` of the distance from the
    point. Two: the straight line through both, its uncertainty carried along the line.
    Errors: ValueError when two points have the same reading.
    """
    first = points[0]
    if len(points) == 1:
        middle = reading + first.true - first.reading
        width = sqrt(first.uncertainty**2 + (SLOPE_SPREAD * (reading - first.reading)) ** 2)
    else:
        second = points[1]
        if first.reading == second.reading:
            raise ValueError("A gauge that reads the same at both points cannot be corrected.")
        share = (reading - first.reading) / (second.reading - first.reading)
        middle = first.true + share * (second.true - first.true)
        width = sqrt(((1.0 - share) * first.uncertainty) ** 2 + (share * second.uncertainty) ** 2)
    return Range(*(min(1.0, max(0.0, value)) for value in (middle, middle - width, middle + width)))


@dataclass(frozen=True, kw_only=True)
class GaugeCheck(Answer):
    """What a salt test says about a gauge."""

    true_humidity: Annotated[
        Range, RELATIVE_HUMIDITY, Decimals(1), Says("True humidity in the jar", "over this salt")
    ]
    correction: Annotated[
        Range,
        RELATIVE_HUMIDITY,
        Decimals(1),
        Hands("tank", "gauge_correction"),
        Says("Correction", "add it to what the gauge reads; with a minus, take it off"),
    ]
    corrected_reading: Annotated[
        Range | None, RELATIVE_HUMIDITY, Says("So the reading in the tank really means")
    ]
    uncertainty: Annotated[
        float | None, RELATIVE_HUMIDITY, Decimals(1), Says("Uncertainty of that, plus or minus")
    ]
    verdict: Annotated[str, Says("Is the gauge worth keeping?")]
    waiting_time: Annotated[Range, HOURS, Says("Leave the gauge in the closed jar for")]


def gauge_check(
    salt: Annotated[
        Salt,
        Says("Salt", "table salt is sodium chloride: no iodine or anti-caking agent if you can"),
    ] = "table salt",
    temperature: Annotated[
        float,
        TEMPERATURE,
        Interval(ge=LOWEST, le=HIGHEST),
        Says("Temperature of the jar", "steady for the whole test, as near the tank's as you can"),
    ] = 24.0,
    readings: Annotated[
        tuple[float, ...],
        RELATIVE_HUMIDITY,
        Interval(ge=0.01, le=1.0),
        Len(1, 12),
        Says("What the gauge read in the jar", "one or more, with spaces between"),
    ] = (0.71, 0.72, 0.71),
    present_reading: Annotated[
        float,
        RELATIVE_HUMIDITY,
        Interval(ge=0.01, le=1.0),
        Says("What the gauge reads in the tank now"),
    ] = 0.72,
    second_salt: Annotated[
        SecondSalt, Says("A second salt", "finds a wrong slope too; “none” if you used one")
    ] = "none",
    second_readings: Annotated[
        tuple[float, ...],
        RELATIVE_HUMIDITY,
        Interval(ge=0.01, le=1.0),
        Len(0, 12),
        Says("What the gauge read over the second salt", "leave empty if you used one salt"),
    ] = (),
) -> GaugeCheck:
    """Return what a salt test says: temperature [°C], 15 to 35; readings as fractions.

    See ``fixed_point``, ``measured_point`` and ``correct`` for equations and sources. Raises
    InputError when the second salt and its readings do not go together.
    """
    true = fixed_point(salt, temperature)
    points = [measured_point(salt, temperature, readings)]
    _check_second(salt, second_salt, second_readings)
    if second_salt != "none":
        points.append(measured_point(second_salt, temperature, second_readings))
    spread = max(max(each) - min(each) for each in (readings, second_readings) if each)
    first = points[0]
    correction = first.true - first.reading
    stuck = _is_stuck(points)
    corrected = None if stuck else correct(present_reading, points)
    worst = max(abs(point.true - point.reading) for point in points)
    verdict, advice = _judge(present_reading, corrected, worst, spread, len(readings))
    return GaugeCheck(
        true_humidity=true,
        correction=Range(
            correction, correction - first.uncertainty, correction + first.uncertainty
        ),
        corrected_reading=corrected,
        uncertainty=None if corrected is None else 0.5 * (corrected.high - corrected.low),
        verdict=verdict,
        waiting_time=WAITING,
        advice=advice,
        cautions=_cautions(salt, second_salt),
        notes=_notes(salt, len(points), present_reading, first),
    )


def _check_second(salt: str, second: str, readings: tuple[float, ...]) -> None:
    sentence = ""
    name = "second_readings"
    if second != "none" and not readings:
        sentence = (
            "What the gauge read over the second salt: nothing is typed. Type that reading, or "
            "set the second salt to none."
        )
    elif second == "none" and readings:
        name = "second_salt"
        sentence = "A second salt: readings are typed but no salt is chosen. Choose the salt."
    elif second == salt:
        name = "second_salt"
        sentence = (
            f"A second salt: {second} is the first salt too. Put all its readings in the first "
            "box, or choose another salt."
        )
    elif {salt, second} == {"potassium nitrate", "potassium sulphate"}:
        name = "second_salt"
        sentence = (
            "A second salt: these two lie too close together to show a slope. Choose table salt "
            "as one of them."
        )
    if sentence:
        raise InputError((Problem(name, sentence),))


def _is_stuck(points: Sequence[Point]) -> bool:
    """Return whether the gauge moved less than half as far as the humidity did, or backwards."""
    if len(points) == 1:
        return False
    first, second = points
    return (second.reading - first.reading) / (second.true - first.true) < 0.5


def _percent(value: float, decimals: int = 0) -> str:
    return shown(value, RELATIVE_HUMIDITY, "metric", decimals)


def _judge(
    reading: float, corrected: Range | None, worst: float, spread: float, count: int
) -> tuple[str, str]:
    if corrected is None:
        return (
            "no: it hardly follows the humidity",
            "Replace this gauge, and change nothing in the tank until you have another. It moved "
            "less than half as far as the air did between the two jars.",
        )
    if spread > REPEATS_WITHIN:
        return (
            "not yet: its readings do not agree",
            f"Repeat the test before you trust any number. Your readings differ by "
            f"{_percent(spread)}; leave the jar shut, in one even place, for 24 hours. If they "
            "differ again, replace the gauge.",
        )
    if worst > WORTH_KEEPING:
        return (
            f"no: it is off by {_percent(worst)}",
            f"Replace this gauge soon; one this far off tends to drift further. Until then read "
            f"{_percent(reading)} in the tank as about {_percent(corrected.middle)}.",
        )
    rule = f"Read {_percent(reading)} in the tank as about {_percent(corrected.middle)}."
    again = "" if count > 1 else " One reading can fool you: read it again in an hour."
    if worst <= GOOD_AS_IT_IS:
        return (
            "yes: it is as good as such gauges get",
            f"Keep this gauge and trust it. {rule}{again} Test it again in six months.",
        )
    return (
        "yes, with its correction",
        f"Keep this gauge, and write the correction on a piece of tape on it. {rule}{again} Test "
        "it again in six months.",
    )


def _cautions(salt: str, second: str) -> tuple[str, ...]:
    cautions = [
        "Do the test in a closed jar away from the tank. The wet salt must never come within "
        "reach of an animal, and no crab goes in the jar.",
        "The gauge must not touch the slurry or get wet: stand it on a dry cap. If it is a mains "
        "gauge, or one whose probe cannot go into the jar alone, do not test it this way.",
    ]
    used = {salt, second}
    if used - {"table salt", "none"}:
        cautions.append(
            "Buy a pure salt with its safety sheet. Keep it in its labelled pot, away from "
            "children and food, and wash your hands after."
        )
    if used & {"magnesium nitrate", "potassium nitrate"}:
        cautions.append("Nitrates feed a fire: keep them away from flames, paper and fuel.")
    return tuple(cautions)


def _notes(salt: str, count: int, reading: float, first: Point) -> tuple[str, ...]:
    notes = [
        "How to: put a spoonful of the salt in a bottle cap and add a few drops of water, until it "
        "is like wet sand, never all dissolved. Stand cap and gauge in a clear, closed jar or bag "
        "out of the sun. Wait, then read it through the glass without opening.",
        "The jar must be at one even temperature: if gauge and salt differ by 1 °C (1.8 °F), the "
        "reading is off by about 4 %. We allow for a fifth of that.",
    ]
    if salt == "table salt":
        notes.append(
            "The value for sodium chloride is Greenspan's, as in OIML R 121, where it is good to "
            "0.3 %. Another laboratory found 0.5 % more at 30 °C, so we say ± 0.5 %. Additives in "
            "kitchen salt can move it a little; nobody has published how much."
        )
    else:
        notes.append("The value for this salt is the CRC Handbook's, good to about 2 %.")
    if count == 1:
        notes.append(
            "One salt gives the error at one humidity only. Further away we widen the band by a "
            "tenth of the distance, which is common practice and has no source."
        )
        if abs(reading - first.reading) > 0.15:
            notes.append(
                "Your tank's reading is far from the jar's. Test with a second salt nearer to it."
            )
    else:
        notes.append(
            "Two salts give an offset and a slope. That holds between the two and a little beyond; "
            "a gauge that bends in between is not seen. The correction shown is the first jar's."
        )
    notes.append(
        "The rule for keeping it (repeats within 3 %, error at most 10 %) is common practice and "
        "has no source. So are the 8 to 24 hours in the jar."
    )
    return tuple(notes)
