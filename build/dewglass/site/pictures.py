"""Pictures that the build draws from the guide's own functions, so that they cannot disagree.

In: nothing but ``calculators.air``. Out: the humidity chart as one SVG file.
"""

from __future__ import annotations

from collections.abc import Iterable

from calculators.air.mixture import (
    STANDARD_PRESSURE,
    absolute_humidity,
    dew_point,
    vapour_pressure,
)

WIDTH, HEIGHT = 640, 440
LEFT, RIGHT, TOP, BOTTOM = 62, 70, 20, 62
COLDEST, WARMEST, MOST = 14.0, 32.0, 34.0  # °C, °C, g/m³
CURVES = (1.0, 0.9, 0.8, 0.7, 0.6, 0.5)
EXAMPLE = (26.0, 0.8)  # °C and relative humidity: a tank in range


def humidity_chart() -> str:
    """Return the SVG: vapour in air against temperature, a curve for each relative humidity.

    Air moves level when only its temperature changes, and turns to water where it meets the
    curve of 100 %: its dew point.
    """
    curves = []
    for humidity in CURVES:
        points = [
            (warmth, _grams(warmth, humidity))
            for warmth in _steps(COLDEST, WARMEST, 73)
            if _grams(warmth, humidity) <= MOST
        ]
        weight = 2.4 if humidity == 1.0 else 1.1
        curves.append(
            f'<path d="M{" L".join(f"{_x(t):.1f} {_y(g):.1f}" for t, g in points)}" '
            f'stroke-width="{weight}"/>'
        )
        warmth, grams = points[-1]
        curves.append(_text(_x(warmth) + 6, _y(grams) + 4, f"{humidity:.0%}"))
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" '
            'fill="none" stroke="black" font-family="sans-serif" font-size="14">',
            "<title>Relative humidity, temperature and water vapour</title>",
            f"<desc>{_description()}</desc>",
            *_axes(),
            *curves,
            *_example(),
            "</svg>",
        ]
    )


def _grams(warmth: float, humidity: float) -> float:
    return 1000.0 * absolute_humidity(warmth, vapour_pressure(warmth, humidity, STANDARD_PRESSURE))


def _steps(low: float, high: float, count: int) -> Iterable[float]:
    return (low + (high - low) * step / (count - 1) for step in range(count))


def _x(warmth: float) -> float:
    return LEFT + (warmth - COLDEST) / (WARMEST - COLDEST) * (WIDTH - LEFT - RIGHT)


def _y(grams: float) -> float:
    return HEIGHT - BOTTOM - grams / MOST * (HEIGHT - TOP - BOTTOM)


def _text(x: float, y: float, text: str, anchor: str = "start") -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="black" stroke="none">'
        f"{text}</text>"
    )


def _axes() -> list[str]:
    floor = HEIGHT - BOTTOM
    parts = [f'<path d="M{LEFT} {TOP}V{floor}H{WIDTH - RIGHT}"/>']
    for warmth in range(14, 33, 2):
        x = _x(warmth)
        parts.append(f'<path d="M{x:.1f} {floor}v5"/>')
        parts.append(_text(x, floor + 20, str(warmth), "middle"))
        if warmth % 4 == 2:
            parts.append(_text(x, floor + 36, f"({warmth * 1.8 + 32:.0f})", "middle"))
    for grams in range(0, 31, 5):
        parts.append(f'<path d="M{LEFT} {_y(grams):.1f}h-5"/>')
        parts.append(_text(LEFT - 9, _y(grams) + 5, str(grams), "end"))
    middle = (LEFT + WIDTH - RIGHT) / 2
    parts.append(_text(middle, HEIGHT - 8, "temperature, °C (°F)", "middle"))
    parts.append(
        f'<text transform="translate(16 {(TOP + floor) / 2}) rotate(-90)" text-anchor="middle" '
        'fill="black" stroke="none">water vapour in the air, g/m³</text>'
    )
    return parts


def _example() -> list[str]:
    warmth, humidity = EXAMPLE
    grams = _grams(warmth, humidity)
    dew = _dew()
    y = _y(grams)
    return [
        f'<circle cx="{_x(warmth):.1f}" cy="{y:.1f}" r="4.5" fill="black"/>',
        f'<path d="M{_x(warmth) - 7:.1f} {y:.1f}H{_x(dew):.1f}" stroke-dasharray="6 4"/>',
        *(
            f'<path d="M{_x(each):.1f} {y:.1f}V{HEIGHT - BOTTOM}" stroke-dasharray="2 4"/>'
            for each in (dew, warmth)
        ),
        _text(_x(dew) - 6, HEIGHT - BOTTOM - 22, "dew point", "end"),
        _text(_x(dew) - 6, HEIGHT - BOTTOM - 6, f"{dew:.1f} °C ({dew * 1.8 + 32:.1f} °F)", "end"),
        _text(_x(warmth) + 6, HEIGHT - BOTTOM - 22, f"air, {humidity:.0%}"),
        _text(_x(warmth) + 6, HEIGHT - BOTTOM - 6, f"{warmth:.0f} °C ({warmth * 1.8 + 32:.0f} °F)"),
    ]


def _dew() -> float:
    warmth, humidity = EXAMPLE
    return dew_point(vapour_pressure(warmth, humidity, STANDARD_PRESSURE), STANDARD_PRESSURE)


def _description() -> str:
    warmth, humidity = EXAMPLE
    return (
        "Six rising curves show how many grams of water vapour a cubic metre of air holds at each "
        "temperature, for 50 to 100 % relative humidity. A dashed level line leads from air of "
        f"{warmth:.0f} °C and {humidity:.0%} to the curve of 100 %, which it meets at its dew "
        f"point, {_dew():.1f} °C."
    )
