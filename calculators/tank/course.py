"""A tank over hours and days: what venting, night and day, or a lamp do to it.

In: a tank, its room by day and night, what is opened and when. Out: a Course: the state at many
times, means, how long until, what after. Stiff: air answers in half a minute, substrate in days.

Every step lands on the times at which something is switched. Its error is held to the tolerances
below; all steps together keep the relative humidity within 0.1 points of an exact solution.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil, floor, inf

from calculators.air.saturation import saturation_pressure
from calculators.errors import OutOfRange
from calculators.quantities import DAY
from calculators.tank.balance import balance
from calculators.tank.geometry import Tank
from calculators.tank.newton import Vector
from calculators.tank.nodes import AIR, PANEL, State
from calculators.tank.rates import Climate, Rates
from calculators.tank.rosenbrock import Step, Stepper

HYSTERESIS = 1.0
"""From where a mat's thermostat switches off to where it switches on again [K]: half above the set
point, half below. Common practice, no source: makers print 0.5 to 2."""

LONGEST = 900.0
"""Longest step [s]: no curve is drawn from points further apart."""

_LONGEST_COURSE = 60.0 * DAY
_AIR, _WALL, _OTHER = 0.015, 0.2, 0.05  # K a step
_VAPOUR, _WATER = 1.0, 2e-4  # Pa, kg a step
_NUDGE, _NUDGE_VAPOUR, _NUDGE_WATER = 1e-3, 0.1, 1e-5
_REACH, _REACH_WALL, _REACH_VAPOUR = 0.5, 5.0, 50.0  # K, K, Pa: how far slopes are good
_FIRST, _SHORT = 5.0, 60.0  # s, first step after an event, after a bend


@dataclass(frozen=True)
class Vent:
    """The lid slid back by a gap of ``area`` [m²] from ``opens`` to ``closes`` [s]."""

    opens: float
    closes: float
    area: float


@dataclass(frozen=True)
class Lamp:
    """A lamp that gives the lid ``power`` [W] every day from ``on`` to ``off`` [s after midnight].

    Only what the lid takes up counts; about half of what is printed on the lamp (assumed).
    """

    on: float
    off: float
    power: float


@dataclass(frozen=True)
class Course:
    """A tank over time: ``times`` [s after the first midnight] and what holds at each.

    ``humidity`` is the relative humidity (0 to 1); ``heater_power`` [W] what the mat draws;
    ``moss_water`` and ``glass_water`` [kg] what moss and glass hold. ``evaluations`` counts what it
    took. Between the times everything runs straight.
    """

    times: tuple[float, ...]
    states: tuple[State, ...]
    humidity: tuple[float, ...]
    heater_power: tuple[float, ...]
    moss_water: tuple[float, ...]
    glass_water: tuple[float, ...]
    evaluations: int

    def at(self, values: Sequence[float], time: float) -> float:
        """Return one of the rows of values at ``time`` [s]. Raises OutOfRange outside."""
        first, last = self.times[0], self.times[-1]
        if not first <= time <= last:
            raise OutOfRange("A time", time, first, last, "s", "the course")
        k = min(max(bisect_right(self.times, time), 1), len(self.times) - 1)
        early, late = self.times[k - 1], self.times[k]
        share = (time - early) / (late - early) if late > early else 1.0
        return values[k - 1] + share * (values[k] - values[k - 1])

    def humidity_at(self, time: float) -> float:
        """Return the relative humidity (0 to 1) at ``time`` [s]."""
        return self.at(self.humidity, time)

    def mean(self, values: Sequence[float], begin: float, end: float) -> float:
        """Return the time-weighted mean of a row of values from ``begin`` to ``end`` [s]."""
        inner = [k for k, time in enumerate(self.times) if begin < time < end]
        times = [begin, *(self.times[k] for k in inner), end]
        heights = [self.at(values, begin), *(values[k] for k in inner), self.at(values, end)]
        areas = (
            0.5 * (a + b) * (late - early)
            for a, b, early, late in zip(heights, heights[1:], times, times[1:], strict=False)
        )
        return sum(areas) / (end - begin)

    def time_to(self, humidity: float, begin: float) -> float | None:
        """Return how long [s] after ``begin`` the air first reads ``humidity``; None if never."""
        here = self.humidity_at(begin)
        early = begin
        for time, there in zip(self.times, self.humidity, strict=True):
            if time <= begin:
                continue
            if (here - humidity) * (there - humidity) <= 0.0:
                share = (humidity - here) / (there - here) if there != here else 0.0
                return early + share * (time - early) - begin
            early, here = time, there
        return None


def course(
    tank: Tank,
    climate: Climate,
    begin: float,
    end: float,
    vents: Iterable[Vent] = (),
    lamp: Lamp | None = None,
    start: State | None = None,
    cycles: bool = False,
) -> Course:
    """Return the course of ``tank`` from ``begin`` to ``end`` [s after the first midnight].

    It starts from ``start``, else from the steady balance in the room's mean air; so do moss, damp,
    and glass, as wet as it has long been. With ``cycles`` the thermostat switches the mat on and
    off, HYSTERESIS apart; else the mat draws what it draws on the mean, without the swing of 10 to
    40 minutes, for a course that is to be read by the hour.
    Errors: OutOfRange for a course that is too long; NoAnswer as ``balance`` has it.
    """
    if not 0.0 < end - begin <= _LONGEST_COURSE:
        raise OutOfRange("A course's length", end - begin, 0.0, _LONGEST_COURSE, "s")
    steady = balance(tank, climate.mean)
    rates = Rates(tank, climate)
    rates.heater_power = steady.heater_power
    y = rates.begin(steady.state)
    if start is not None:
        y[: rates.vapour + 1] = [*(start[node] for node in rates.nodes), start.vapour_pressure]
    if cycles and tank.card.heater_power > 0.0:
        rates.heater_power = tank.card.heater_power if steady.heater_power > 0.0 else 0.0
    else:
        rates.gain = tank.card.heater_power / HYSTERESIS
    return _Walk(rates, tuple(vents), lamp, cycles).walk(y, begin, end)


class _Walk:
    """The steps of one course, and what they leave behind."""

    def __init__(
        self, rates: Rates, vents: tuple[Vent, ...], lamp: Lamp | None, cycles: bool
    ) -> None:
        self.rates, self.vents, self.lamp = rates, vents, lamp
        self.cycles = cycles and rates.tank.card.heater_power > 0.0
        own = {AIR: _AIR, PANEL: _WALL}
        waters = rates.size - rates.vapour - 1
        self.stepper = Stepper(
            rates,
            [*(own.get(node, _OTHER) for node in rates.nodes), _VAPOUR, *[_WATER] * waters],
            [*[_NUDGE] * rates.vapour, _NUDGE_VAPOUR, *[_NUDGE_WATER] * waters],
            [
                *(_REACH_WALL if node == PANEL else _REACH for node in rates.nodes),
                _REACH_VAPOUR,
                *[inf] * waters,
            ],
        )
        self.switched: bool | None = None  # to on or off, just now
        self.served = {True: 100.0, False: 100.0}  # s, steps that served after a switch
        self.times: list[float] = []
        self.rows: list[tuple[Vector, float]] = []

    def walk(self, y: Vector, begin: float, end: float) -> Course:
        time = begin
        self._keep(time, y)
        for stop in self._switches(begin, end):
            self._switch(time)
            self.stepper.size = _FIRST
            self.stepper.renew()
            while time < stop:
                step = self._step(time, y, stop)
                if self.switched is not None:
                    self.served[self.switched] = 1.1 * step.size
                    self.switched = None
                time, y = self._end(step)
                if stop - time < 1e-6:
                    time = stop
                self._keep(time, y)
        return self._course()

    def _switches(self, begin: float, end: float) -> list[float]:
        """Return the times at which something is opened, closed or lit, and the end."""
        times = {end}
        for vent in self.vents:
            times |= {vent.opens, vent.closes}
        if self.lamp is not None:
            for day in range(floor(begin / DAY), ceil(end / DAY) + 1):
                times |= {day * DAY + self.lamp.on, day * DAY + self.lamp.off}
        return sorted(time for time in times if begin < time <= end)

    def _switch(self, time: float) -> None:
        self.rates.gap = sum(v.area for v in self.vents if v.opens <= time < v.closes)
        if self.lamp is not None:
            hour = time % DAY
            on, off = self.lamp.on, self.lamp.off
            lit = on <= hour < off if on <= off else not off <= hour < on
            self.rates.lamp = self.lamp.power if lit else 0.0

    def _end(self, step: Step) -> tuple[float, Vector]:
        """Return where a step ends: at its end, or where the thermostat switches within it."""
        if not self.cycles:
            return step.time + step.size, step.end
        card = self.rates.tank.card
        air, on = self.rates.vapour - 1, self.rates.heater_power > 0.0
        edge = card.set_point + (0.5 if on else -0.5) * HYSTERESIS

        def past(y: Vector) -> bool:
            return y[air] >= edge if on else y[air] <= edge

        if not past(step.end):
            return step.time + step.size, step.end
        low, high = 0.0, 1.0
        while high - low > 1e-6:
            middle = 0.5 * (low + high)
            low, high = (low, middle) if past(step.at(middle)) else (middle, high)
        time, y = step.time + high * step.size, step.at(high)
        self._keep(time, y)  # with the power before, so that means over a cycle are true
        self.rates.heater_power = 0.0 if on else card.heater_power
        # One cycle is much like the last: begin with the step that served then.
        self.stepper.size, self.switched = self.served[not on], not on
        return time, y

    def _step(self, time: float, y: Vector, stop: float) -> Step:
        """Return the next step, short across the mat's limits, with slopes afresh behind them."""
        air, limit = self.rates.vapour - 1, self.rates.at_limit
        before = limit(y[air])
        while True:
            step = self.stepper.step(time, y, min(LONGEST, stop - time))
            if limit(step.end[air]) == before:
                return step
            if step.size <= _SHORT:
                self.stepper.renew()
                self.stepper.size = min(self.stepper.size, _SHORT)
                return step
            low, high = 0.0, 1.0
            while (high - low) * step.size > 0.2 * _SHORT:
                middle = 0.5 * (low + high)
                past = limit(step.at(middle)[air]) != before
                low, high = (low, middle) if past else (middle, high)
            self.stepper.size = max(low * step.size, _SHORT)

    def _keep(self, time: float, y: Vector) -> None:
        self.times.append(time)
        self.rows.append((y, self.rates.power(y[self.rates.vapour - 1])))

    def _course(self) -> Course:
        rates = self.rates
        states = tuple(rates.state(y) for y, _ in self.rows)
        enhancement = rates.setting.enhancement
        return Course(
            times=tuple(self.times),
            states=states,
            humidity=tuple(
                min(s.vapour_pressure / (enhancement * saturation_pressure(s.air)), 1.0)
                for s in states
            ),
            heater_power=tuple(power for _, power in self.rows),
            moss_water=tuple(y[rates.moss] if rates.moss else 0.0 for y, _ in self.rows),
            glass_water=tuple(sum(y[k] for k, _, _ in rates.glass) for y, _ in self.rows),
            evaluations=self.stepper.evaluations,
        )
