"""The parts of the answer that need temperature beside humidity.

In: readings that have both, and the air's pressure. Out: pieces of the answer by name.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from calculators.air import mixture
from calculators.keeping.log import band, change, decay, moisture, report
from calculators.keeping.log.reading import Progress, no_progress, when
from calculators.keeping.log.report import Point
from calculators.keeping.log.series import Series
from calculators.keeping.log.thin import thin
from calculators.quantities import DAY, HOUR, ZERO_CELSIUS, Range

MIDDLE_NINETY = (0.5, 0.05, 0.95)
_DRIEST = 20.0  # [Pa], dew point of about -40 °C, where its equation ends


class MoistureView:
    """The same log as moisture; without a temperature every answer is None."""

    def __init__(self, series: Series, pressure: float, progress: Progress = no_progress) -> None:
        self._series, self._pressure = series, pressure
        self._vapour = moisture.vapour_pressures(
            series, pressure, lambda share: progress(0.6 * share)
        )
        self.change: change.Change | None = None
        self._hourly = moisture.means(
            series, self._vapour, HOUR, lambda share: progress(0.6 + 0.4 * share)
        )

    def _dew_point(self, vapour: float) -> float:
        return mixture.dew_point(max(_DRIEST, vapour), self._pressure)

    def levels(self, progress: Progress = no_progress) -> dict[str, Any]:
        """Return temperature, dew point and absolute humidity as middle, 5 % and 95 %."""
        series, vapour = self._series, self._vapour
        if not series.time:
            return dict.fromkeys(("temperature", "dew_point", "absolute_humidity"))
        warmth = self._ninety(series.temperature)
        progress(0.3)
        # Dew point rises with vapour pressure, so its quantiles are theirs.
        vapours = self._ninety(vapour)
        progress(0.6)
        # So does absolute humidity with e / T, but for a few parts in ten thousand.
        densities = [
            e / (t + ZERO_CELSIUS) for e, t in zip(vapour, series.temperature, strict=True)
        ]
        progress(0.8)
        places = map(densities.index, self._ninety(densities))
        absolute = [
            mixture.absolute_humidity(series.temperature[n], vapour[n], self._pressure)
            for n in places
        ]
        return {
            "temperature": Range(*warmth),
            "dew_point": Range(*map(self._dew_point, vapours)),
            "absolute_humidity": Range(*absolute),
        }

    def _ninety(self, values: Sequence[float]) -> list[float]:
        series = self._series
        return band.quantiles(band.totals(values, series.weight, series.even), MIDDLE_NINETY)

    def swing(self) -> dict[str, Any]:
        """Return the mean daily swing and its two parts."""
        names = ("swing", "swing_by_temperature", "swing_by_moisture")
        if not self._series.time:
            return dict.fromkeys(names)
        found = moisture.daily_swing(self._hourly, self._pressure)
        if found is None:
            return dict.fromkeys(names)
        return dict(zip(names, (found.whole, found.by_temperature, found.by_moisture), strict=True))

    def wet(self, room: float | None) -> dict[str, Any]:
        """Return for how long a pane as cold as the room was wet."""
        seconds = math.nan
        if self._series.time:
            seconds = moisture.wet_time(self._series, self._vapour, room, self._pressure)
        return {"wet_hours": None if math.isnan(seconds) else seconds}

    def changed(self, moment: float | None, low: float, high: float) -> tuple[dict[str, Any], str]:
        """Return what changed at ``moment``, or where the log itself changes, and a sentence."""
        answers: dict[str, Any] = {
            "changed_at": "" if moment is None else when(moment),
            "change_dew_point": None,
            "change_humidity": None,
            "verdict": "cannot tell yet",
            "more_days": None,
        }
        if not self._series.time or self._series.step > change.STRETCH:
            return answers, ""
        spans = moisture.wider(self._hourly, round(change.STRETCH / HOUR))
        at = change.propose_moment(spans, self._pressure) if moment is None else moment
        if at is None:
            return answers, ""
        found = change.measure_change(spans, at, self._pressure, spans.room)
        if found is None:
            days = change.LEAST / DAY
            since = (self._series.time[-1] - at) / DAY
            more = math.ceil(max(1.0, days + change.SETTLING / DAY - since))
            text = (
                f"It is too early to tell whether the change at {when(at)} worked: at least "
                f"{days:.0f} days before it and 3 days after it are needed."
            )
            return {**answers, "changed_at": when(at), "more_days": more * DAY}, text
        confidence = 0.95 if moment is not None else change.PICKED
        verdict, more_days = change.judge(found, low, high, confidence)
        self.change = found
        text = report.change_sentence(found, verdict, more_days, moment is not None)
        return {
            "changed_at": when(at) + ("" if moment is not None else " (proposed by the log)"),
            "change_dew_point": Range(found.dew_point.value, *found.dew_point.interval()),
            "change_humidity": Range(found.humidity.value, *found.humidity.interval()),
            "verdict": verdict,
            "more_days": None if more_days is None else more_days * DAY,
        }, text

    def decays(self) -> dict[str, Any]:
        """Return the air changes from the falls of moisture, and the middle one's fit."""
        series = self._series
        found = decay.find_decays(series.time, self._vapour, series.gap) if series.time else []
        if not found:
            empty = dict.fromkeys(("air_changes", "decay_fit", "decay_span"))
            return {**empty, "decays": 0}
        found.sort(key=lambda item: item.rate)
        middle = found[len(found) // 2]
        return {
            "air_changes": Range(middle.rate, found[0].rate, found[-1].rate),
            "decays": len(found),
            "decay_fit": middle.fit,
            "decay_span": middle.lasts,
        }

    def points(self, known: Series, progress: Progress = no_progress) -> tuple[Point, ...]:
        """Return the picture's points: of both where there is a temperature, else humidity."""
        series = self._series if self._series.time else known
        if not series.time:
            return ()
        lines = [series.humidity]
        if self._series.time:
            lines += [series.temperature, self._vapour]
        start = series.time[0]
        result = []
        for n in thin(series.time, lines, progress):
            warm = series.temperature[n] if self._series.time else None
            dew = self._dew_point(self._vapour[n]) if self._series.time else None
            clock = when(series.wall(series.time[n]))
            result.append(Point(series.time[n] - start, clock, series.humidity[n], warm, dew))
        return tuple(result)
