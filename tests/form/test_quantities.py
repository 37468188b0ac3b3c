"""Units against Pint, an independent library of units, and against NIST SP 811."""

from __future__ import annotations

import pint
import pytest

from calculators import quantities as q

UNITS = pint.UnitRegistry()
UNITS.define("month = 30 day")  # ours: a month of thirty days
PINT = {
    "%": "percent", "1/h": "1/hour", "g/kg": "g/kg", "": "dimensionless", "W": "watt",
    "kWh/month": "kWh/month", "g/d": "g/day", "mL/d": "mL/day", "mm/d": "mm/day",
    "in/d": "inch/day", "oz/d": "oz/day", "oz/h": "oz/hour", "g/h": "g/hour", "in": "inch",
    "fl oz/d": "US_fluid_ounce/day", "gal/h": "gallon/hour", "ft/min": "foot/minute",
    "gr/ft³": "grain/foot**3", "L/min": "L/minute", "L/h": "L/hour", "in²": "inch**2",
    "cm²": "cm**2", "m²": "m**2", "g/m³": "g/m**3", "cm³": "cm**3", "m³": "m**3",
    "inHg": "inHg", "h": "hour", "d": "day", "min": "minute", "ppm": "ppm",
    "mL/min": "mL/minute", "g/kg/d": "g/kg/day", "L/d": "L/day", "ppm/d": "ppm/day",
}  # fmt: skip
INSIDE = {
    "pressure": "Pa", "mass": "kg", "length": "m", "altitude": "m", "thickness": "m",
    "area": "m**2", "volume": "m**3", "absolute humidity": "kg/m**3", "air speed": "m/s",
    "power": "W",
    "water vapour a unit of time": "kg/s", "water vapour a day": "kg/s", "water a day": "m**3/s",
    "fall of the water level a day": "m/s", "air changes": "1/s", "air flow": "m**3/s", "time": "s",
    "energy a month": "W",
}  # fmt: skip
ALL = [value for value in vars(q).values() if isinstance(value, q.Quantity)]


@pytest.mark.parametrize("quantity", ALL, ids=lambda quantity: quantity.name)
def test_every_unit_agrees_with_pint(quantity: q.Quantity) -> None:
    for unit in quantity.units:
        if "temperature" in quantity.name:
            continue
        inside = INSIDE.get(quantity.name, "dimensionless")
        wanted = UNITS.Quantity(1.0, PINT.get(unit.symbol, unit.symbol))
        if quantity.name.startswith("rise of salinity"):
            inside = "1/s"
        assert unit.inside(1.0) == pytest.approx(wanted.to(inside).magnitude, rel=1e-6), unit.symbol


@pytest.mark.parametrize("quantity", ALL, ids=lambda quantity: quantity.name)
def test_a_limit_is_the_same_number_however_it_came(quantity: q.Quantity) -> None:
    # Written as 0.7 in the calculators or typed as 70 %, a reading of 70 % must not fall below it.
    for step in range(1, 1000):
        typed = step / 10
        assert quantity.base.outside(quantity.base.inside(typed)) == typed
    if quantity.base.symbol == "%":
        for step in range(101):
            assert quantity.base.inside(step) == step / 100
            assert quantity.base.inside(quantity.base.outside(step / 100)) == step / 100


@pytest.mark.parametrize("fahrenheit", [32.0, 79.0, 140.0])
def test_fahrenheit_agrees_with_pint(fahrenheit: float) -> None:
    wanted = UNITS.Quantity(fahrenheit, "degF").to("degC").magnitude
    assert q.TEMPERATURE.us.inside(fahrenheit) == pytest.approx(wanted, abs=1e-9)
    assert q.TEMPERATURE.us.outside(wanted) == pytest.approx(fahrenheit, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "quantity", "inside"),
    [
        ("26", q.TEMPERATURE, 26.0),
        ("79F", q.TEMPERATURE, 26.0 + 1 / 9),
        ("79 °F", q.TEMPERATURE, 26.0 + 1 / 9),
        ("-3,5 °C", q.TEMPERATURE, -3.5),
        ("−3.5", q.TEMPERATURE, -3.5),
        ("20gal", q.VOLUME, 0.0757082357),  # 20 US gallons, NIST SP 811
        ("75 %", q.RELATIVE_HUMIDITY, 0.75),
        ("12 in", q.LENGTH, 0.3048),
        ("35 ppt", q.SALINITY, 0.035),
        ("60 L/h", q.AIR_FLOW, 1e-3 / 60),
    ],
)
def test_what_is_typed_is_read(text: str, quantity: q.Quantity, inside: float) -> None:
    assert q.parse(text, quantity) == pytest.approx(inside, rel=1e-9)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("warm", "“warm” is not a number. Type a number such as 26.5, with or without a unit "
                 "(°C, °F)."),
        ("26 bar", "“bar” is not a unit of temperature. Use one of: °C, °F."),
        ("1,234", "“1,234” could mean 1234 or 1.234. Type it without the comma."),
        ("1e999", "“1e999” is too large a number."),
    ],
)  # fmt: skip
def test_what_cannot_be_read_says_what_to_do(text: str, sentence: str) -> None:
    with pytest.raises(ValueError) as caught:  # noqa: PT011 (the whole sentence is checked below)
        q.parse(text, q.TEMPERATURE)
    assert str(caught.value) == sentence


@pytest.mark.parametrize(
    ("value", "quantity", "metric", "us"),
    [
        (22.2931, q.TEMPERATURE, "22.3 °C", "72.1 °F"),
        (-0.01, q.TEMPERATURE, "0.0 °C", "32.0 °F"),
        (0.7512, q.RELATIVE_HUMIDITY, "75 %", "75 %"),
        (0.0757082357, q.VOLUME, "75.7 L", "20.0 gal"),
        (0.0, q.MASS, "0 g", "0 oz"),
        (1234.5, q.POWER, "1200 W", "1200 W"),
        (q.Range(0.01803, 0.0121, 0.0259), q.MASS, "18 g (12 to 26)", "0.64 oz (0.43 to 0.91)"),
    ],
)
def test_a_reader_sees_sensible_figures(
    value: float, quantity: q.Quantity, metric: str, us: str
) -> None:
    assert q.shown(value, quantity, "metric") == metric
    assert q.shown(value, quantity, "us") == us
