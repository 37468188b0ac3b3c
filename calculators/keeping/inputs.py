"""Inputs that several calculators ask for in the same words and the same range.

In: nothing. Out: types for a calculator's parameters, read by ``fields``.
"""

from __future__ import annotations

from typing import Annotated

from annotated_types import Interval

from calculators.quantities import ALTITUDE, RELATIVE_HUMIDITY, TEMPERATURE, Says

AirTemperature = Annotated[
    float, TEMPERATURE, Interval(ge=10.0, le=40.0), Says("Air temperature in the tank")
]
RelativeHumidity = Annotated[
    float, RELATIVE_HUMIDITY, Interval(ge=0.05, le=1.0), Says("Relative humidity in the tank")
]
Altitude = Annotated[
    float,
    ALTITUDE,
    Interval(ge=0.0, le=3000.0),
    Says("Height above the sea", "leave at 0 unless you live in the mountains"),
]
