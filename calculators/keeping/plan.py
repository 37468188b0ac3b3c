"""Which one change comes first: the ``first-change`` calculator.

In: a tank card with what was measured, the target. Out: the remedies in the trade's order with what
each would do in this tank, and one of them marked as the one to do now.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from annotated_types import Interval

from calculators.air.mixture import dew_point
from calculators.fields import Answer, Cards
from calculators.keeping import targets
from calculators.keeping.effects import (
    CHECKED_GAUGE_ERROR,
    GAUGE_ERROR,
    Effect,
    Study,
    study,
)
from calculators.keeping.sprays import Spray, sprays
from calculators.keeping.verdicts import conflicts, spoils, stands
from calculators.quantities import (
    AIR_CHANGES,
    DAY,
    HOURS,
    RELATIVE_HUMIDITY,
    TEMPERATURE,
    VAPOUR_PER_DAY,
    Range,
    Says,
    both,
    shown,
)
from calculators.tank.card import TankCard
from calculators.tank.fit import fit
from calculators.tank.geometry import Tank
from calculators.tank.nodes import Room

NOW, NEXT, LATER, NOT_HERE = "Do this now", "After that", "Only if that is not enough", "Not here"
HELPS = 0.02
"""A change smaller than this [1] cannot be told from a gauge's own error."""

Checked = Literal["not yet", "with the salt test", "against a second gauge"]
Seen = Literal["one reading", "most of three days"]
GaugeChecked = Annotated[Checked, Says("Has the gauge been checked?")]
HasRead = Annotated[Seen, Says("It has read like this for")]


@dataclass(frozen=True)
class Step:
    """One step of the plan, as a keeper reads it."""

    step: Annotated[str, Says("Step")]
    when: Annotated[str, Says("When")]
    humidity: Annotated[
        Range | None, RELATIVE_HUMIDITY, Says("Humidity then", "eight times in ten within this")
    ]
    air_temperature: Annotated[float | None, TEMPERATURE, Says("Air temperature then")]
    water: Annotated[Range | None, VAPOUR_PER_DAY, Says("Change in water lost to the room")]
    stands: Annotated[str, Says("Against the target")]
    spoils: Annotated[str, Says("What it may spoil")]
    wait: Annotated[float | None, HOURS, Says("Wait before you judge it")]
    how: Annotated[str, Says("How")]
    caution: Annotated[str, Says("Take care")]


@dataclass(frozen=True, kw_only=True)
class Plan(Answer):
    """The plan, and the tank as it is."""

    do_now: Annotated[str, Says("The one change to make now")]
    humidity_now: Annotated[float, RELATIVE_HUMIDITY, Says("Humidity now", "of the fitted tank")]
    target_humidity: Annotated[float, RELATIVE_HUMIDITY, Says("Target")]
    highest_humidity: Annotated[float, RELATIVE_HUMIDITY, Says("The coldest glass allows at most")]
    fitted_air_changes: Annotated[
        float, AIR_CHANGES, Says("Air changes that fit", "air swapped with the room")
    ]
    fitted_wetness: Annotated[
        float, RELATIVE_HUMIDITY, Says("Wet share of the substrate that fits")
    ]
    plan: Annotated[
        tuple[Step, ...],
        Cards("step", "when", "humidity", open=NOW),
        Says("The plan, in the usual order"),
    ]
    not_recommended: Annotated[
        tuple[Spray, ...], Cards("way"), Says("Not recommended, with what it costs here")
    ]


def first_change(
    tank: TankCard,
    target: Annotated[
        float | None,
        RELATIVE_HUMIDITY,
        Interval(ge=0.5, le=0.95),
        Says("Target humidity", "empty for the usual one of your species"),
    ] = None,
    gauge_checked: GaugeChecked = "not yet",
    seen: HasRead = "one reading",
) -> Plan:
    """Return the plan for ``tank``; ``target`` [0.5 to 0.95], or the species' own.

    Errors: NoAnswer where no leak and wetness reproduce the card's reading.
    """
    return _plan(tank, target, gauge_checked, seen, quick=False)


def first_change_quick(
    tank: TankCard, target: float | None, gauge_checked: Checked, seen: Seen
) -> Plan:
    """Return the same plan with middle values only, for a first look."""
    return _plan(tank, target, gauge_checked, seen, quick=True)


def _plan(card: TankCard, target: float | None, checked: Checked, seen: Seen, quick: bool) -> Plan:
    wanted = targets.target(card.species) if target is None else target
    room = Room.of(card)
    error = GAUGE_ERROR if checked == "not yet" else CHECKED_GAUGE_ERROR
    low, high = targets.band(card.species)
    now = fit(Tank.of(card), room, card.true_reading, card.water_poured)
    # The fitted tank decides the side; without a reading it is the balance's own humidity.
    reading = now.balance.relative_humidity
    side = "damp" if reading > max(wanted, 0.5 * (low + high)) else "dry"
    found = study(now, room, side, error, quick)
    in_range = min(low, wanted) <= reading <= max(high, wanted)
    best = None if in_range else _choose(found, wanted)
    steps = (_gauge_step(checked, in_range), *_steps(found, best, wanted, checked, in_range))
    return Plan(
        do_now=_title(best, checked, seen, in_range),
        humidity_now=reading,
        target_humidity=wanted,
        highest_humidity=found.fit.balance.highest_humidity,
        fitted_air_changes=found.fit.tank.air_changes,
        fitted_wetness=found.fit.tank.wetness,
        plan=steps,
        not_recommended=sprays(found.fit.tank, found.fit.balance, room) if side == "dry" else (),
        advice=_advice(found, best, wanted, checked, seen, in_range),
        notes=_notes(found, card),
        cautions=conflicts(found, wanted) if not in_range else (),
    )


def _choose(found: Study, wanted: float) -> Effect | None:
    """Return the first remedy of the order that helps; the pane's limit changes the order."""
    now = found.fit.balance
    reading = now.relative_humidity
    upward = 1.0 if reading < wanted else -1.0
    helpful = [
        each
        for each in found.effects
        if each.after is not None and upward * (each.after.relative_humidity - reading) >= HELPS
    ]
    if upward > 0.0 and now.highest_humidity < wanted and reading > now.highest_humidity - 0.05:
        for each in helpful:
            if each.remedy.name == "insulate":
                return each
    lasting = [each for each in helpful if each.remedy.lasting]
    if upward < 0.0:
        # The trade vents first; what vents only while open is done at once but cannot be the cure.
        helpful = lasting or helpful
    return helpful[0] if helpful else None


def _steps(
    found: Study, best: Effect | None, wanted: float, checked: Checked, in_range: bool
) -> tuple[Step, ...]:
    steps = []
    reading = found.fit.balance.relative_humidity
    gauge_first = checked == "not yet"
    for each in found.effects:
        if each.after is None or each.humidity is None:
            steps.append(
                Step(each.remedy.title, NOT_HERE, None, None, None, each.why_not, "", None, "", "")
            )
            continue
        when = LATER
        if each is best:
            when = NEXT if gauge_first else NOW
        elif in_range:
            when = "Nothing to mend"
        elif (each.humidity.middle - reading) * (wanted - reading) <= 0.0:
            when = NOT_HERE
        steps.append(
            Step(
                step=each.remedy.title,
                when=when,
                humidity=each.humidity,
                air_temperature=each.after.air_temperature,
                water=each.water,
                stands=stands(each, reading, wanted, targets.band(found.fit.tank.card.species)),
                spoils=spoils(each, found),
                wait=each.remedy.wait,
                how=each.remedy.how,
                caution=each.remedy.caution,
            )
        )
    return tuple(steps)


def _gauge_step(checked: Checked, in_range: bool) -> Step:
    done = checked != "not yet"
    when = "Done" if done else ("When you can" if in_range else NOW)
    return Step(
        step="Check the gauge",
        when=when,
        humidity=None,
        air_temperature=None,
        water=None,
        stands="Nothing in the tank changes, but every number below hangs on it.",
        spoils="Nothing.",
        wait=DAY if checked == "not yet" else None,
        how="Hang it in mid-tank, away from wall, lid, moss and mat, and read it after an hour. "
        "Then do the salt test: see the page on the gauge.",
        caution="Keep salt and its slurry out of the animals’ reach.",
    )


def _title(best: Effect | None, checked: Checked, seen: Seen, in_range: bool) -> str:
    if in_range:
        return "None: the air is in range"
    if seen == "one reading":
        return "None yet: read for three days first"
    if checked == "not yet":
        return "Check the gauge"
    return best.remedy.title if best else "None of the usual steps: see the advice"


def _advice(
    found: Study, best: Effect | None, wanted: float, checked: Checked, seen: Seen, in_range: bool
) -> str:
    reading = found.fit.balance.relative_humidity
    now = shown(reading, RELATIVE_HUMIDITY, "metric")
    if in_range:
        return f"{now} is in range. Change nothing; single peaks and dips are normal."
    step = _expected(best, reading, wanted)
    if seen == "one reading":
        return (
            f"One reading of {now} may be a passing peak. Change nothing yet: read the gauge at "
            f"the same two hours for three days. If it stays, {step}"
        )
    if checked == "not yet":
        return f"Check the gauge first: it takes a day and spoils nothing. If it is right, {step}"
    return step[0].upper() + step[1:]


def _expected(best: Effect | None, reading: float, wanted: float) -> str:
    if best is None or best.humidity is None:
        return (
            "no single usual step helps much here. Look at the cautions below, and measure the "
            "water you pour in for a week."
        )
    before = shown(reading, RELATIVE_HUMIDITY, "metric")
    after = shown(best.humidity, RELATIVE_HUMIDITY, "metric")
    days = round(best.remedy.wait / DAY)
    wait = f"{days} day{'s' if days > 1 else ''}"
    return (
        f"make one change: {best.remedy.title[0].lower()}{best.remedy.title[1:]}. Expect the air "
        f"to go from {before} to about {after}. Wait {wait}, then judge it "
        "at the same hour. Change nothing else meanwhile."
    )


def _notes(found: Study, card: TankCard) -> tuple[str, ...]:
    now, room = found.fit.balance, found.room
    outside = dew_point(room.vapour_pressure, room.pressure)
    notes = [
        "The bands hold eight times in ten: they come from what nobody knows of your tank (leak, "
        "wet surface, films of air, the gauge), each moved to its own limits, and the tank fitted "
        "to your reading again.",
        f"The dew point is {both(now.dew_point, TEMPERATURE)} in the tank and "
        f"{both(outside, TEMPERATURE)} in the room.",
    ]
    if found.fit.open_question:
        notes.append(found.fit.open_question)
    if card.reading is not None and card.gauge_correction is None:
        notes.append("The reading is taken as it is: no correction from a salt test was given.")
    notes.append("Order and waiting times are common practice, no published source.")
    return tuple(notes)
