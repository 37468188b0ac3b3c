"""The course of a tank against SciPy's stiff solvers and against closed forms."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from math import exp, log, pi, sqrt

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from calculators.air.mixture import STANDARD_PRESSURE, humidity_ratio, vapour_pressure
from calculators.air.saturation import saturation_pressure
from calculators.tank import rosenbrock
from calculators.tank.balance import balance
from calculators.tank.capacities import Capacities, daily_depth
from calculators.tank.card import TankCard
from calculators.tank.course import HYSTERESIS, Course, Lamp, Vent, course
from calculators.tank.geometry import Tank
from calculators.tank.nodes import Room
from calculators.tank.rates import Climate, Rates
from calculators.tank.rosenbrock import Stepper

HOUR = 3600.0
POINT = 0.01  # of relative humidity

VENTS = (Vent(18 * HOUR, 20 * HOUR, 0.010), Vent(42 * HOUR, 42.5 * HOUR, 0.030))
LAMP = Lamp(9 * HOUR, 19 * HOUR, 4.0)
SWINGING = {
    "wrack": Climate.between(20.0, 0.28, 16.0, 0.35),
    "kelp": Climate.between(29.0, 0.60, 21.0, 0.80),
    "samphire": Climate.between(23.0, 0.48, 19.0, 0.55),
}


def reference(found: Course, tank: Tank, climate: Climate, cycles: bool = False) -> np.ndarray:
    """The humidity at the same times by SciPy's Radau, restarted at the same switches."""
    rates = Rates(tank, climate)
    rates.heater_power = balance(tank, climate.mean).heater_power
    y = np.array(rates.begin(found.states[0]))
    rates.gain = 0.0 if cycles else tank.card.heater_power / HYSTERESIS
    last = found.times[-1]
    stops = {found.times[0], last}
    stops |= {time for vent in VENTS for time in (vent.opens, vent.closes)}
    stops |= {24 * HOUR * day + at for day in range(3) for at in (LAMP.on, LAMP.off)}
    first = found.times[0]
    stops = {stop for stop in stops if stop >= first}
    power = dict(zip(found.times, found.heater_power, strict=True))
    if cycles:
        stops |= {early for early, late in pairwise(found.times) if early == late}
    edges = sorted(stop for stop in stops if stop <= last)
    humidity = np.empty(len(found.times))
    times = np.array(found.times)
    for early, late in pairwise(edges):
        rates.gap = sum(vent.area for vent in VENTS if vent.opens <= early < vent.closes)
        rates.lamp = LAMP.power if LAMP.on <= early % (24 * HOUR) < LAMP.off else 0.0
        if cycles:
            rates.heater_power = power[early]
        inside = (times >= early) & (times <= late)
        done = solve_ivp(
            lambda time, values: rates(time, list(values)),
            (early, late),
            y,
            method="Radau",
            t_eval=np.unique(times[inside]),
            rtol=1e-8,
            atol=1e-8,
        )
        assert done.success, done.message
        y = done.y[:, -1]
        air, vapour = done.y[rates.vapour - 1], done.y[rates.vapour]
        full = np.array([saturation_pressure(value) for value in air]) * rates.setting.enhancement
        humidity[inside] = np.interp(times[inside], done.t, np.minimum(vapour / full, 1.0))
    return humidity


@pytest.mark.parametrize("name", TankCard.ready)
def test_three_days_follow_scipy(name: str, record_check: Callable[..., None]) -> None:
    tank, climate = Tank.of(TankCard.ready[name]), SWINGING[name]
    found = course(tank, climate, 0.0, 72 * HOUR, VENTS, LAMP)
    exact = reference(found, tank, climate)
    worst = float(np.max(np.abs(exact - found.humidity)))
    record_check(
        f"Relative humidity over 72 h, day and night, two vents, a lamp: {name}",
        "SciPy solve_ivp, Radau, rtol 1e-8, the same rates and switching times",
        ["venting"],
        "calculators.tank.course:course",
        "% relative humidity",
        worst / POINT,
        0.1,
        len(found.times),
        tolerance_why="our own bar: a tenth of what the best gauge shows",
    )


def test_the_thermostat_s_cycles_follow_scipy(record_check: Callable[..., None]) -> None:
    tank, climate = Tank.of(TankCard.ready["samphire"]), SWINGING["samphire"]
    found = course(tank, climate, 12 * HOUR, 24 * HOUR, VENTS, LAMP, cycles=True)
    exact = reference(found, tank, climate, cycles=True)
    worst = float(np.max(np.abs(exact - found.humidity)))
    record_check(
        "Relative humidity over 12 h with the mat switched on and off: samphire",
        "SciPy solve_ivp, Radau, rtol 1e-8, the same rates and switching times",
        ["venting"],
        "calculators.tank.course:course",
        "% relative humidity",
        worst / POINT,
        0.1,
        len(found.times),
        tolerance_why="our own bar: a tenth of what the best gauge shows",
    )


def test_air_without_sources_decays_as_mixed_air_does(record_check: Callable[..., None]) -> None:
    """No water, no mat, no difference of temperature: W - W_room falls as exp(-n t)."""
    changes = 1.0 / HOUR
    card = TankCard(
        air_changes=changes, room_temperature=24.0, room_humidity=0.40, heater_power=0.0,
        fresh_pool_length=0.0, marine_pool_length=0.0,
    )  # fmt: skip
    tank, climate = Tank(card, changes, wetness=0.0), Climate.of(card)
    rest = balance(tank, climate.mean).state
    damp = vapour_pressure(24.0, 0.80, STANDARD_PRESSURE)
    found = course(tank, climate, 0.0, 3 * HOUR, start=rest._replace(vapour_pressure=damp))
    room = humidity_ratio(climate.mean.vapour_pressure, STANDARD_PRESSURE)
    first = humidity_ratio(damp, STANDARD_PRESSURE) - room
    worst = max(
        abs(
            (humidity_ratio(state.vapour_pressure, STANDARD_PRESSURE) - room) / first
            - exp(-changes * time)
        )
        for time, state in zip(found.times, found.states, strict=True)
    )
    record_check(
        "Vapour in a tank without sources, one air change an hour",
        "exp(-n t), the closed form of ASTM E741",
        ["venting"],
        "calculators.tank.course:course",
        "of the first excess",
        worst,
        2e-3,
        len(found.times),
        how_known="closed form",
        tolerance_why="0.1 points of humidity of 40, the bar of every course",
    )


def test_one_node_cools_as_newton_says(record_check: Callable[..., None]) -> None:
    """dT/dt = -(T - room)/τ beside a node 400 times faster, at the tolerance a course uses."""
    slow, fast = 3600.0, 9.0

    def rates(_: float, y: list[float]) -> list[float]:
        return [-y[0] / slow, (y[0] - y[1]) / fast]

    stepper = Stepper(rates, [0.03, 0.03], [1e-3, 1e-3], [1.0, 1.0])
    time, y, worst, points = 0.0, [10.0, 10.0], 0.0, 0
    while time < 4 * HOUR:
        step = stepper.step(time, y, 4 * HOUR - time)
        share = 1.0 / (1.0 - fast / slow)
        for part in (0.5, 1.0):
            at = time + part * step.size
            lag = share * exp(-at / slow) + (1.0 - share) * exp(-at / fast)
            values = step.at(part)
            worst = max(worst, abs(values[0] - 10 * exp(-at / slow)), abs(values[1] - 10 * lag))
            points += 2
        time, y = time + step.size, step.end
    record_check(
        "A body that cools, and a light one that follows it",
        "exponentials, the closed form of two linear equations",
        ["venting"],
        "calculators.tank.rosenbrock.Stepper",
        "K of 10",
        worst,
        0.1,
        points,
        how_known="closed form",
        tolerance_why="0.03 K is allowed a step",
    )


def test_the_method_meets_its_order_conditions() -> None:
    """Rosenbrock-W conditions up to order 3 (Hairer & Wanner, ODEs II, IV.7), any slopes."""
    a = np.zeros((4, 4))
    g = np.zeros((4, 4))
    for i in range(4):
        a[i, :i] = rosenbrock.STAGES[i]
        g[i, :i] = rosenbrock.IMPLICIT[i]
        g[i, i] = rosenbrock.DIAGONAL
    b, low = np.array(rosenbrock.WEIGHTS), np.array(rosenbrock.LOWER_WEIGHTS)
    one = np.ones(4)
    c = a @ one
    for weights in (b, low):
        assert weights @ one == pytest.approx(1.0, abs=1e-14)
        assert weights @ c == pytest.approx(0.5, abs=1e-14)
        assert weights @ g @ one == pytest.approx(0.0, abs=1e-14)
    assert b @ c**2 == pytest.approx(1 / 3, abs=1e-14)
    assert b @ a @ c == pytest.approx(1 / 6, abs=1e-14)
    for mixed in (a @ g, g @ a, g @ g):
        assert b @ mixed @ one == pytest.approx(0.0, abs=1e-14)
    between = np.array(rosenbrock.BETWEEN)
    assert between.sum(axis=1) == pytest.approx(b, abs=1e-12)
    # L-stable: the last row of stages is the step itself.
    assert a[3] + g[3] == pytest.approx(b, abs=1e-14)


def test_a_layer_of_daily_depth_has_the_admittance_of_the_ground() -> None:
    """ISO 13786: a half space takes sqrt(ω k c) watts per kelvin; so must the lump."""
    k, c, period = 1.0, 1.9e6, 86400.0
    omega = 2 * pi / period
    assert omega * c * daily_depth(k, c) == pytest.approx(sqrt(omega * k * c), rel=1e-12)
    # Sand in a day: 0.1 to 0.15 m of penetration (Carslaw & Jaeger, section 2.6).
    assert 0.1 < sqrt(2) * daily_depth(k, c) < 0.15


def test_a_dry_tank_cools_by_its_capacities() -> None:
    """Panes alone, air of no weight, in still air: the logarithm falls no faster than h A / C."""
    card = TankCard(heater_power=0.0, fresh_pool_length=0.0, marine_pool_length=0.0)
    tank = Tank(card, 0.3 / HOUR, wetness=0.0)
    room = Room.of(card)
    rest = balance(tank, room).state
    warm = rest._replace(**dict.fromkeys(rest._fields[:8], 26.0))
    found = course(tank, Climate.of(card), 0.0, 24 * HOUR, start=warm)
    heat = sum(Capacities(tank).surfaces)
    least = tank.floor_conductance + tank.side_conductance
    most = least + 12.0 * (tank.panes_area + tank.floor_area)  # a generous film and radiation
    fall = log((26.0 - 20.0) / (found.states[-1].substrate - 20.0)) / (24 * HOUR)
    assert least / heat * 0.5 < fall < most / heat
