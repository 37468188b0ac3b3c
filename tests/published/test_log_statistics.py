"""The log reader's statistics against numpy and SciPy, to rounding."""

from __future__ import annotations

from array import array

import numpy as np
import pytest
from scipy import integrate, optimize, stats

from calculators.air import mixture
from calculators.keeping.log.band import by_day, quantiles, shares, totals
from calculators.keeping.log.decay import find_decays, fit_decay
from calculators.keeping.log.moisture import means, saturated, split_swing
from calculators.keeping.log.regression import Autoregression, Estimate, averaged, student
from calculators.keeping.log.series import Series
from calculators.keeping.log.thin import MOST_POINTS, thin
from tests.log.simulated import CASES, covers

LUCK = np.random.default_rng(20260203)


@pytest.mark.parametrize("freedom", [2.0, 2.7, 5.0, 11.3, 40.0, 300.0])
@pytest.mark.parametrize("share", [0.9, 0.975, 0.995])
def test_student_quantiles_are_those_of_scipy(share: float, freedom: float) -> None:
    assert student(share, freedom) == pytest.approx(stats.t.ppf(share, freedom), rel=1e-9)


def test_weighted_quantiles_are_those_of_numpy() -> None:
    values = np.round(LUCK.normal(75, 5, 2000), 1)
    weight = LUCK.uniform(10, 900, 2000)
    wanted = [0.05, 0.5, 0.95]
    expected = np.quantile(values, wanted, weights=weight, method="inverted_cdf")
    found = quantiles(totals(list(values), list(weight)), wanted)
    assert found == pytest.approx(expected, rel=1e-12)
    assert quantiles(totals(list(values), [60.0] * 2000, even=True), wanted) == pytest.approx(
        np.quantile(values, wanted, method="inverted_cdf"), rel=1e-12
    )


def series(step: float = 600.0, count: int = 3000) -> Series:
    time = np.cumsum(LUCK.choice([step, 2 * step, 0.5 * step], count)) + 1.7e9
    humidity = np.clip(0.75 + np.cumsum(LUCK.normal(0, 0.004, count)), 0.2, 0.99)
    warm = 25 + LUCK.normal(0, 1, count)
    columns = [array("d", column) for column in (time, humidity, warm)]
    return Series.of([*columns, array("d")], step, 7200.0)


def test_shares_of_time_are_numpy_s() -> None:
    log = series()
    time, humidity = np.array(log.time), np.array(log.humidity)
    inner = np.array(log.weight)[1:-1]
    assert inner == pytest.approx((time[2:] - time[:-2]) / 2, rel=1e-12)
    whole = np.array(log.weight)
    result = shares(totals(log.humidity, log.weight), 0.72, 0.80)
    assert result.below == pytest.approx(whole[humidity < 0.72].sum() / whole.sum(), abs=1e-9)
    assert result.above == pytest.approx(whole[humidity > 0.80].sum() / whole.sum(), abs=1e-9)


@pytest.mark.parametrize(("start", "end"), [(8.0, 20.0), (22.0, 6.0), (0.0, 0.0)])
@pytest.mark.parametrize("shift", [0.0, 3600.0])
def test_day_and_night_are_the_clock_s(start: float, end: float, shift: float) -> None:
    log = series()
    change = log.time[1234]
    log = Series.of(
        [log.time, log.humidity, log.temperature, log.room], 600.0, 7200.0, ((change, shift),)
    )
    time = np.array(log.time)
    hour = ((time + np.where(time >= change, shift, 0.0)) % 86400) / 3600
    late, early = hour >= start, hour < end
    expected = late & early if start <= end else late | early
    assert list(by_day(log, start * 3600, end * 3600)) == list(expected)


def test_gaps_count_for_neither_side() -> None:
    time = array("d", [0.0, 600.0, 1200.0, 90000.0, 90600.0])
    empty = array("d")
    log = Series.of([time, time, empty, empty], 600.0, 7200.0)
    assert list(log.breaks) == [3]
    assert list(log.weight) == [600.0] * 5
    assert log.even


def test_hourly_means_are_numpy_s() -> None:
    log = series()
    vapour = saturated(log.temperature, 101325.0)
    result = means(log, vapour, 3600.0)
    hours = (np.array(log.time) // 3600).astype(int)
    weight, warm = np.array(log.weight), np.array(log.temperature)
    for n in range(0, len(result.place), 17):
        chosen = hours == result.place[n]
        expected = np.average(warm[chosen], weights=weight[chosen])
        assert result.temperature[n] == pytest.approx(expected, rel=1e-9)


def test_saturated_table_is_the_equation() -> None:
    for t in LUCK.uniform(-40, 60, 300):
        exact = mixture.vapour_pressure(float(t), 1.0, 101325.0)
        assert saturated([float(t)], 101325.0)[0] == pytest.approx(exact, rel=1.2e-5)


def test_the_swing_s_parts_add_up_and_change_sides_together() -> None:
    for e0, s0, e1, s1 in LUCK.uniform(1000, 4000, (200, 4)):
        warmth, moisture = split_swing(e0, s0, e1, s1)
        assert warmth + moisture == pytest.approx(e1 / s1 - e0 / s0, abs=1e-12)
        back = split_swing(e1, s1, e0, s0)
        assert back == pytest.approx((-warmth, -moisture), abs=1e-12)
    assert split_swing(2000, 3000, 2000, 2500)[1] == 0.0
    assert split_swing(2000, 3000, 2400, 3000)[0] == 0.0


def test_regression_is_generalised_least_squares() -> None:
    """Against the textbook formula with the whole covariance matrix, holes included."""
    hours = np.sort(LUCK.choice(200, 150, replace=False))
    known = np.column_stack(
        [np.ones(150), hours > 100, np.sin(2 * np.pi * hours / 6), np.cos(2 * np.pi * hours / 6)]
    ).astype(float)
    y = known @ [20, 1.5, 0.4, -0.2] + np.cumsum(LUCK.normal(0, 0.2, 150))
    model = Autoregression(
        [list(column) for column in known.T], [list(y)], [int(hour) for hour in hours]
    )
    for phi in (0.0, 0.6, 0.93):
        covariance = phi ** np.abs(hours[:, None] - hours[None, :]) if phi else np.eye(150)
        inverse = np.linalg.inv(covariance)
        normal = known.T @ inverse @ known
        beta = np.linalg.solve(normal, known.T @ inverse @ y)
        rest = y - known @ beta
        variance = rest @ inverse @ rest / (150 - 4)
        error = np.sqrt(variance * np.linalg.inv(normal)[1, 1])
        found = model.at(phi, 1)
        assert found.value == pytest.approx(beta[1], rel=1e-8)
        assert found.error == pytest.approx(error, rel=1e-8)

    def deviance(phi: float) -> float:
        covariance = phi ** np.abs(hours[:, None] - hours[None, :])
        inverse = np.linalg.inv(covariance)
        normal = known.T @ inverse @ known
        beta = np.linalg.solve(normal, known.T @ inverse @ y)
        rest = y - known @ beta
        variance = rest @ inverse @ rest / (150 - 4)
        return float(
            146 * np.log(variance) + np.linalg.slogdet(covariance)[1] + np.linalg.slogdet(normal)[1]
        )

    best = optimize.minimize_scalar(deviance, bounds=(0.5, 0.9995), method="bounded")
    # Both searches stop within a few ten-thousandths of the flat optimum.
    assert model.estimate(1).correlation == pytest.approx(best.x, abs=2e-3)


def test_decay_is_scipy_s_fit_and_the_true_rate() -> None:
    time = np.arange(0, 5400, 60.0)
    values = 1400 + 900 * np.exp(-time * 2.4 / 3600) + LUCK.normal(0, 4, len(time))
    rate, fit = fit_decay(list(time), list(values))

    def shape(t: np.ndarray, level: float, height: float, speed: float) -> np.ndarray:
        return level + height * np.exp(-speed * t / 3600)

    expected, _ = optimize.curve_fit(shape, time, values, p0=(1300, 1000, 2.0), xtol=1e-13)
    assert rate * 3600 == pytest.approx(expected[2], rel=1e-6)
    residual = values - shape(time, *expected)
    assert fit == pytest.approx(1 - residual.var() / values.var(), abs=1e-9)


def test_decays_in_a_log_are_found() -> None:
    time = np.arange(0, 3 * 86400, 300.0)
    values = np.full(len(time), 2400.0)
    for start in (86400 * 0.75, 86400 * 1.75):
        after = (time >= start) & (time < start + 7200)
        values[after] = 1500 + 900 * np.exp(-(time[after] - start) * 1.8 / 3600)
        back = (time >= start + 7200) & (time < start + 43200)
        values[back] = 2400 - 870 * np.exp(-(time[back] - start - 7200) / 14400)
    values += LUCK.normal(0, 3, len(time))
    found = find_decays(array("d", time), array("d", values), 7200.0)
    assert len(found) == 2
    for decay in found:
        assert decay.rate * 3600 == pytest.approx(1.8, rel=0.1)
        assert decay.fit > 0.99


def test_thinning_keeps_every_extreme() -> None:
    count = 200_000
    values = array("d", np.cumsum(LUCK.normal(0, 1, count)))
    values[77_777] += 500.0
    time = array("d", np.arange(count) * 60.0)
    kept = thin(time, [values])
    assert len(kept) <= MOST_POINTS
    assert {0, 77_777, count - 1, int(np.argmin(values))} <= set(kept)


@pytest.mark.parametrize("a", [0.02, 0.4, 1.5, 6.0])
def test_means_of_a_memory_are_those_of_the_double_integral(a: float) -> None:
    """Means over stretches of length ``a`` of a process that correlates as exp(-|t|)."""

    def covariance(gap: float) -> float:
        def over(edge: float) -> float:
            kink = None if gap else [edge]
            part = integrate.quad(
                lambda t: np.exp(-abs(t - edge)), gap, gap + a, points=kink, epsabs=1e-13
            )
            return float(part[0])

        return float(integrate.quad(over, 0.0, a, epsabs=1e-13)[0]) / a**2

    alone, neighbours = covariance(0.0), covariance(a)
    r = neighbours / alone
    # In the long run each stretch adds the integral of exp(-|t|), 2, over its length.
    expected = (2.0 / a / alone) / ((1 + r) / (1 - r))
    found = averaged(Estimate(0.0, 1.0, 5.0, r))
    assert found.error**2 == pytest.approx(expected, rel=1e-5)


@pytest.mark.parametrize("name", ["white", "middling memory", "long memory, room", "three days"])
def test_intervals_hold_the_truth_as_often_as_they_say(name: str) -> None:
    """Of 300 simulated logs; tests/bench/log.py has 2 000 of each of more kinds.

    The bar is 90 to 97 % of a great many. Of 300 the share strays by a standard error of 1.0 to
    1.7 %, so that 2.6 of it (one in a hundred for each edge's own share) is allowed on each side.
    """
    luck = np.random.default_rng(list(CASES).index(name))
    share = sum(covers(luck, CASES[name]) for _ in range(300)) / 300
    assert 0.90 - 2.6 * 0.0173 <= share <= 0.97 + 2.6 * 0.0098
