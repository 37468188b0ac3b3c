"""The reply itself, in plain words to copy: one step, its reason, its wait, its caution.

In: what is known, the plan, what comes before any number. Out: text, paragraph by paragraph.
"""

from __future__ import annotations

from dataclasses import dataclass

from calculators.air import mixture
from calculators.keeping import targets
from calculators.keeping.letter.questions import Question
from calculators.keeping.letter.tank import FIELDS, Known
from calculators.keeping.plan import Plan, Seen
from calculators.keeping.sheet import how_to, step_now, wait_for
from calculators.keeping.verdicts import percent
from calculators.quantities import DAY, TEMPERATURE, both
from calculators.tank.card import Species

MOST_ASKED = 5
"""Nobody answers more questions than this at once."""
HEAT = "Bring the air back to 24 to 29 °C (75 to 84 °F) before anything else"
HEAT_HOW = {
    "cold": "Look whether the mat’s plug is in, what the thermostat shows, and whether its probe "
    "still hangs in the tank’s air. Warm the room meanwhile.",
    "hot": "Take the tank out of the sun and away from the radiator, and turn the thermostat down. "
    "If the mat stays on above its set point, unplug it.",
}
THANKS = "Thank you for asking, and good that you looked."
CLOSING = (
    "I am neither a vet nor an electrician: for a weak crab or a doubtful plug, ask one of those."
)


@dataclass(frozen=True)
class Found:
    """All that a reply is written from; ``trouble`` says why there is no plan, where that is so."""

    facts: Known
    plan: Plan | None
    trouble: str
    alarms: tuple[str, ...]
    questions: tuple[Question, ...]
    seen: Seen


@dataclass(frozen=True)
class Written:
    """The reply, and its parts that stand alone; ``wait`` [s]."""

    text: str
    likely: str
    first_step: str
    wait: float | None


def write(found: Found) -> Written:
    """Return the reply."""
    likely = _likely(found)
    step, how, wait, caution = _step(found)
    parts = [THANKS]
    if found.alarms:
        parts.append("First of all: " + " ".join(found.alarms))
    parts += [likely, f"The one next step: {step[0].lower()}{step[1:]}. {how}".strip()]
    if wait is not None:
        days = round(wait / DAY)
        parts.append(
            f"Wait {days} day{'' if days == 1 else 's'}, then read at the same hour and write to "
            "me, better or worse. Change nothing else meanwhile."
        )
    parts.append(
        "Please note until then: temperature and humidity in the middle of the tank at the same "
        "hour, and the water you pour in each day."
    )
    if caution:
        parts.append(f"Take care: {caution}")
    asked = found.questions[:MOST_ASKED]
    if asked:
        lines = [f"{number}. {each.question}" for number, each in enumerate(asked, start=1)]
        parts.append("\n".join(["Could you also tell me:", *lines]))
    if assumed := _assumed(found):
        parts.append(assumed)
    parts.append(CLOSING)
    return Written("\n\n".join(parts), likely, step, wait)


def _likely(found: Found) -> str:
    values = found.facts.values
    reading = values.get("reading")
    if reading is None:
        return (
            "Without the gauge’s reading nobody can say what is wrong, or whether anything is. "
            "Please change nothing until we have it."
        )
    species: Species = values.get("species", "Caribbean")
    low, high = targets.band(species)
    now = percent(reading)
    warm = values.get("air_temperature", values.get("set_point"))
    told = {
        "dry": f"At {now} your tank is probably too dry: most keepers act when it stays below "
        f"{percent(low)}, and aim for {percent(targets.target(species))}.",
        "damp": f"At {now} your tank is probably too damp: keepers look for the cause when it "
        f"stays above {percent(high)}, and aim for {percent(targets.target(species))}.",
        "in range": f"{now} is in range, {percent(low)} to {percent(high)}: most likely nothing is "
        "wrong. Single peaks and dips are normal.",
    }[targets.side(reading, species)]
    if found.facts.said("set_point") or found.facts.said("air_temperature"):
        told += _dew_points(found.facts, warm, reading)
    if found.trouble:
        told += (
            " But the numbers do not fit together yet, so one of them is probably not right: "
            f"{found.trouble}"
        )
    elif found.plan is not None:
        told += "".join(f" {each}" for each in found.plan.cautions[:1])
    return told


def _dew_points(facts: Known, warm: float | None, reading: float) -> str:
    if warm is None:
        return ""
    pressure = mixture.STANDARD_PRESSURE

    def dew(temperature: float, humidity: float) -> float:
        return mixture.dew_point(mixture.vapour_pressure(temperature, humidity, pressure), pressure)

    told = f" Its dew point is {both(dew(warm, reading), TEMPERATURE)}"
    room, humid = facts.values.get("room_temperature"), facts.values.get("room_humidity")
    if room is not None and humid is not None:
        told += f", the room’s {both(dew(room, humid), TEMPERATURE)}"
    return told + ". That, not the percent, tells how much water the air holds."


def _step(found: Found) -> tuple[str, str, float | None, str]:
    """Return the step, how to do it, the wait [s] and the caution."""
    values, plan = found.facts.values, found.plan
    air = values.get("air_temperature")
    if air is not None and not targets.COLD_ALARM <= air <= targets.HOT_ALARM:
        how = HEAT_HOW["cold" if air < targets.COLD_ALARM else "hot"]
        return HEAT, how, 2 * DAY, "Unplug before a hand goes in."
    if plan is not None:
        wait, step = wait_for(plan, found.seen), step_now(plan)
        reads = found.seen == "one reading" or wait is None
        title = {
            True: "Change nothing, and read for three days first",
            False: plan.do_now,
        }[wait is not None and found.seen == "one reading"]
        title = "Change nothing" if wait is None else title
        return title, how_to(plan, found.seen), wait, "" if reads or not step else step.caution
    if found.trouble:
        return "Measure again", "Read gauge, room and sizes once more, each on its own.", None, ""
    reading = values.get("reading")
    if (
        reading is not None
        and targets.side(reading, values.get("species", "Caribbean")) == "in range"
    ):
        return "Change nothing", "Keep both pools full, and read at the same hour.", None, ""
    return (
        "Change nothing until these questions are answered",
        "Keep both pools full: that protects the crabs best.",
        None,
        "",
    )


def _assumed(found: Found) -> str:
    if found.plan is None:
        return ""
    labels = [
        FIELDS[name].label.lower().replace(", power", "")
        for name in (
            "tank_length",
            "lid",
            "set_point",
            "heater_power",
            "species",
            "substrate_depth",
        )
        if found.facts.words.get(name, "").startswith("assumed")
    ]
    if not labels:
        return ""
    named = ", ".join(labels).replace("tank length", "the tank’s proportions")
    return f"I had to assume: {named}. So my answer is only as good as that."
