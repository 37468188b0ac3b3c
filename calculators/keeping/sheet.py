"""A tank on one page: the ``tank-sheet`` calculator.

In: a tank card, what is known of its gauge, the day its keeper starts. Out: measures, target, the
first step with the day to judge it, chores with amounts, and the cautions that apply to this tank.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import date, timedelta
from math import isclose
from typing import Annotated

from calculators.fields import Answer
from calculators.keeping import cautions, targets
from calculators.keeping.chores import Chore, chores
from calculators.keeping.dates import in_words, read_date
from calculators.keeping.plan import (
    NEXT,
    NOW,
    Checked,
    GaugeChecked,
    HasRead,
    Plan,
    Seen,
    Step,
    first_change,
    first_change_quick,
)
from calculators.keeping.verdicts import percent
from calculators.quantities import (
    AIR_FLOW,
    AREA,
    DAY,
    LENGTH,
    POWER,
    RELATIVE_HUMIDITY,
    TEMPERATURE,
    THICKNESS,
    VOLUME,
    Range,
    Says,
    both,
    shown,
)
from calculators.tank.card import TankCard
from calculators.tank.drawing import LID_NAMES
from calculators.tank.fit import fit
from calculators.tank.geometry import Tank
from calculators.tank.nodes import Room

READ_FIRST = 3 * DAY
"""How long a single reading is watched before anything is changed [s]; common practice."""


@dataclass(frozen=True)
class Measure:
    """One measure of the tank, as a keeper reads it."""

    what: Annotated[str, Says("What")]
    measured: Annotated[str, Says("Measured")]


@dataclass(frozen=True, kw_only=True)
class TankSheet(Answer):
    """What hangs beside a tank."""

    tank_named: Annotated[str, Says("Tank")]
    target_humidity: Annotated[float, RELATIVE_HUMIDITY, Says("Target")]
    in_range: Annotated[str, Says("In range", "act on what stays outside it for three days")]
    gauge_reads: Annotated[
        float | None, RELATIVE_HUMIDITY, Says("The gauge reads", "with its correction")
    ]
    first_step: Annotated[str, Says("The first step")]
    expected_humidity: Annotated[
        Range | None, RELATIVE_HUMIDITY, Says("Expect then", "eight times in ten within this")
    ]
    judge_on: Annotated[
        str, Says("Judge it", "at the same hour, and change nothing else till then")
    ]
    how: Annotated[str, Says("How")]
    measures: Annotated[tuple[Measure, ...], Says("As measured")]
    chores: Annotated[tuple[Chore, ...], Says("What to do, and how often")]


def tank_sheet(
    tank: TankCard,
    tank_name: Annotated[str, Says("Name of the tank", "printed at the top of the sheet")] = "",
    started: Annotated[
        str, Says("You start on", "a date such as 2026-02-03; empty if you do not know yet")
    ] = "",
    gauge_checked: GaugeChecked = "not yet",
    seen: HasRead = "one reading",
) -> TankSheet:
    """Return the sheet of ``tank``; ``started`` is a date in words or as year-month-day.

    The step is ``first_change``'s, the amounts are the fitted balance's. Errors: InputError for a
    date that cannot be read; NoAnswer where nothing reproduces the card's reading.
    """
    start = read_date(started, "started", "You start on")
    plan = first_change(tank, None, gauge_checked, seen)
    return _sheet(tank, tank_name, start, plan, seen)


def tank_sheet_quick(
    tank: TankCard, tank_name: str, started: str, gauge_checked: Checked, seen: Seen
) -> TankSheet:
    """Return the same sheet with middle values only, for a first look."""
    start = read_date(started, "started", "You start on")
    plan = first_change_quick(tank, None, gauge_checked, seen)
    return _sheet(tank, tank_name, start, plan, seen)


def _sheet(card: TankCard, name: str, start: date | None, plan: Plan, seen: Seen) -> TankSheet:
    now = fit(Tank.of(card), Room.of(card), card.true_reading, card.water_poured).balance
    step = step_now(plan)
    wait = wait_for(plan, seen)
    low, high = targets.band(card.species)
    return TankSheet(
        tank_named=name or _ready_name(card),
        target_humidity=plan.target_humidity,
        in_range=f"{low:.0%} to {high:.0%}".replace("%", " %"),
        gauge_reads=card.true_reading,
        first_step=plan.do_now,
        expected_humidity=step.humidity if step else None,
        judge_on=_judge(start, wait),
        how=how_to(plan, seen),
        measures=_measures(card),
        chores=chores(card, now),
        advice=plan.advice,
        cautions=(*plan.cautions, *_cautions(card, step)),
        notes=_notes(card),
    )


def _ready_name(card: TankCard) -> str:
    """The name of a ready tank, which is invented; empty for a tank of the reader's own."""
    for name, made in TankCard.ready.items():
        pairs = ((getattr(card, each.name), getattr(made, each.name)) for each in fields(card))
        if all(one == two or _close(one, two) for one, two in pairs):
            return f"{name.capitalize()} (invented)"
    return ""


def _close(one: object, two: object) -> bool:
    """True for numbers that differ by no more than typing them in another unit does."""
    return isinstance(one, float) and isinstance(two, float) and isclose(one, two, rel_tol=1e-9)


def step_now(plan: Plan) -> Step | None:
    """Return the step of ``plan`` to do now, or None where there is none."""
    return next((step for step in plan.plan if step.when == NOW), None)


def wait_for(plan: Plan, seen: Seen) -> float | None:
    """Return how long to wait before judging [s], or None where nothing is to be judged."""
    step = step_now(plan)
    if step is None and not any(each.when == NEXT for each in plan.plan):
        return None
    if seen == "one reading":
        return READ_FIRST
    return step.wait if step else None


def how_to(plan: Plan, seen: Seen) -> str:
    """Return how to do what comes first, in sentences."""
    step = step_now(plan)
    if wait_for(plan, seen) is None or step is None:
        return "Keep both pools full, and read the gauge at the same hour."
    if seen == "one reading":
        return (
            "Read temperature and humidity at the same two hours, morning and evening, for three "
            "days. Change nothing meanwhile."
        )
    return step.how


def _judge(start: date | None, wait: float | None) -> str:
    if wait is None:
        return "nothing to judge: single peaks and dips are normal"
    days = max(1, round(wait / DAY))
    if start is None:
        count = {1: "one day", 2: "two days", 3: "three days"}.get(days, f"{days} days")
        return f"{count} after you start"
    return f"on {in_words(start + timedelta(days=days))}"


def _size(*lengths: float) -> str:
    texts = [
        " × ".join(shown(each, LENGTH, system).split(" ")[0] for each in lengths)
        for system in ("metric", "us")
    ]
    return f"{texts[0]} cm ({texts[1]} in)"


def _measures(card: TankCard) -> tuple[Measure, ...]:
    size = card.tank_length, card.tank_width, card.tank_height
    rows = [
        ("Inside", f"{_size(*size)}, {both(size[0] * size[1] * size[2], VOLUME)}"),
        ("Substrate", f"{both(card.substrate_depth, LENGTH)} deep"),
        ("Glass and lid", f"{both(card.glass_thickness, THICKNESS)}, {LID_NAMES[card.lid]}"),
        (
            "Room",
            f"{both(card.room_temperature, TEMPERATURE)}, {percent(card.room_humidity)}",
        ),
        ("Heat", _heat(card)),
        ("Pools", _pools(card)),
    ]
    if card.moss_area and card.moss_place != "none":
        where = "in a tray" if card.moss_place == "tray" else card.moss_place
        rows.append(("Damp moss", f"{both(card.moss_area, AREA)} {where}"))
    if card.air_flow:
        source = card.pump_draws_from
        rows.append(("Air pump", f"{both(card.air_flow, AIR_FLOW)}, air from the {source}"))
    rows.append(("Species", card.species))
    return tuple(Measure(*row) for row in rows)


def _heat(card: TankCard) -> str:
    insulated = (
        f"; panes insulated with {both(card.wall_insulation, THICKNESS)}"
        if card.wall_insulation
        else ""
    )
    if not card.heater_power:
        return f"no mat{insulated}"
    return (
        f"mat of {both(card.heater_power, POWER)}, {both(card.heater_area, AREA)}, set to "
        f"{both(card.set_point, TEMPERATURE)}{insulated}"
    )


def _pools(card: TankCard) -> str:
    parts = [
        f"{name} {_size(length, width)}"
        for name, length, width in (
            ("fresh", card.fresh_pool_length, card.fresh_pool_width),
            ("marine", card.marine_pool_length, card.marine_pool_width),
        )
        if length * width
    ]
    if not parts:
        return "none"
    place = "away from the heated wall" if card.pools_place == "away" else card.pools_place
    return ", ".join(parts) + (f"; {place}" if card.heater_power else "")


def _cautions(card: TankCard, step: Step | None) -> tuple[str, ...]:
    """The cautions of this tank and of the step to do now, each once."""
    of_step = step.caution if step else ""
    pump, mat = card.air_flow > 0.0, card.heater_power > 0.0
    pools = card.fresh_pool_area + card.marine_pool_area > 0.0
    moss = card.moss_area > 0.0 and card.moss_place != "none"
    told = []
    for sentence, applies in (
        (cautions.ELECTRIC, mat or pump),
        (cautions.MAT, mat),
        (cautions.SMOKE_ALARM, mat),
        (cautions.PUMP, pump),
        (cautions.CLIMB_OUT, pools),
        (cautions.DECHLORINATE, True),
        (cautions.GLOVES, moss),
        (cautions.STALE_AIR, card.lid in ("glass", "film over mesh")),
        (cautions.WATCH, False),
    ):
        if applies or sentence in of_step:
            told.append(sentence)
        of_step = of_step.replace(sentence, "")
    return (*told, *filter(None, (of_step.strip(),)))


def _notes(card: TankCard) -> tuple[str, ...]:
    told = [
        "Amounts of water are good to a factor of about two: what you measure beats them. Order, "
        "waiting and how often are common practice, no published source.",
    ]
    if card.reading is None:
        told.append("No reading was given, so the sheet is for a usual tank of these measures.")
    return tuple(told)
