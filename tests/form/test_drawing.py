"""The drawing of the reader's tank: whole, legible and true for every card that is allowed."""

from __future__ import annotations

import re
from dataclasses import fields, replace
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from calculators.ask import answer
from calculators.errors import InputError
from calculators.fields import fields_of
from calculators.tank.card import TankCard
from calculators.tank.drawing import describe, draw

SVG = "{http://www.w3.org/2000/svg}"
READY = TankCard.ready["wrack"]


@st.composite
def cards(draw_from: st.DrawFn) -> TankCard:
    """Any card that is allowed, with every field free."""
    values: dict[str, Any] = {}
    for field in fields_of(TankCard):
        if field.choices:
            values[field.name] = draw_from(st.sampled_from(field.choices))
        elif field.optional:
            values[field.name] = None
        else:
            edge = st.sampled_from((field.low, field.high, field.default))
            values[field.name] = draw_from(edge | st.floats(field.low, field.high))
    # Most free combinations do not fit together; shares of what fits do.
    share = st.floats(0.0, 1.0)
    values["substrate_depth"] = draw_from(share) * (values["tank_height"] - 0.05)
    floor = values["tank_length"] * values["tank_width"]
    for pool in ("fresh", "marine"):
        area = draw_from(share) * 0.3 * floor
        length = values[f"{pool}_pool_length"]
        values[f"{pool}_pool_width"] = min(area / length, 1.0) if length else 0.0
    values["moss_area"] = draw_from(share) * min(0.3 * floor, 1.0)
    wall = values["tank_length"] * (values["tank_height"] - values["substrate_depth"])
    values["heater_area"] = draw_from(share) * min(wall, 1.5)
    try:
        return TankCard(**values)
    except InputError:
        assume(False)
        raise


def numbers(text: str) -> list[float]:
    return [float(part) for part in re.findall(r"-?\d+(?:\.\d+)?", text)]


def points(path: str) -> list[tuple[float, float]]:
    """The points a path of ours goes through, control points included."""
    x = y = 0.0
    found = []
    for command, rest in re.findall(r"([A-Za-z])([^A-Za-z]*)", path):
        values = numbers(rest)
        if command in "MLCQ":
            pairs = list(zip(values[::2], values[1::2], strict=True))
        elif command in "ml":
            pairs = []
            for right, down in zip(values[::2], values[1::2], strict=True):
                pairs.append((x + right, y + down))
                x, y = pairs[-1]
        elif command in "HhVv":
            base = {"H": 0.0, "V": 0.0, "h": x, "v": y}[command] + values[0]
            pairs = [(base, y) if command in "Hh" else (x, base)]
            assert len(values) == 1
        else:
            assert command in "Zz"
            pairs = []
        if pairs:
            x, y = pairs[-1]
        found += pairs
    return found


def words(text: ElementTree.Element, system: str) -> str:
    other = {"metric": "dg-us", "us": "dg-metric"}[system]
    spans = [text.text or ""]
    for span in text:
        spans += ["" if span.get("class") == other else span.text or "", span.tail or ""]
    return "".join(spans)


def boxes(svg: ElementTree.Element, system: str) -> list[tuple[str, float, float, float, float]]:
    """Each label with the room it takes, at 0.54 em a letter: a wide sans serif."""
    found = []
    size = float(svg.get("font-size", "0"))
    for text in svg.iter(f"{SVG}text"):
        shown = words(text, system)
        wide = 0.54 * size * len(shown)
        x, y = float(text.get("x", "")), float(text.get("y", ""))
        left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[text.get("text-anchor", "")] * wide
        found.append((shown, left, y - 0.75 * size, left + wide, y + 0.2 * size))
    return found


def check_inside(card: TankCard) -> None:
    svg = ElementTree.fromstring(draw(card))
    left, top, wide, high = numbers(svg.get("viewBox", ""))
    assert svg.get("role") == "img"
    assert svg.find(f"{SVG}title") is not None
    places = [place for path in svg.iter(f"{SVG}path") for place in points(path.get("d", ""))]
    for circle in svg.iter(f"{SVG}circle"):
        x, y, r = (float(circle.get(name, "")) for name in ("cx", "cy", "r"))
        places += [(x - r, y - r), (x + r, y + r)]
    for system in ("metric", "us"):
        for _, *box in boxes(svg, system):
            places += [(box[0], box[1]), (box[2], box[3])]
    outside = [p for p in places if not (left <= p[0] <= wide and top <= p[1] <= high)]
    assert not outside, (outside, svg.get("viewBox"))


@settings(max_examples=150, deadline=None)
@given(cards())
def test_every_allowed_card_is_drawn_within_its_frame(card: TankCard) -> None:
    check_inside(card)
    assert draw(card) == draw(replace(card))


def variants() -> list[TankCard]:
    changes: list[dict[str, Any]] = [
        {},
        {"lid": "film over mesh", "air_flow": 1e-3 / 60, "pump_draws_from": "tank"},
        {"lid": "mesh", "moss_place": "at the heated wall", "moss_area": 0.02},
        {"pools_place": "at the heated wall", "wall_insulation": 0.02, "air_flow": 2e-3 / 60},
        {"moss_place": "tray", "moss_area": 0.02, "wall_insulation": 0.02},
        {"heater_power": 0.0, "heater_area": 0.0},
        {"fresh_pool_length": 0.0, "marine_pool_length": 0.0},
    ]
    return [replace(card, **change) for card in TankCard.ready.values() for change in changes]


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("card", variants())
def test_labels_do_not_overlap(card: TankCard, system: str) -> None:
    found = boxes(ElementTree.fromstring(draw(card)), system)
    for number, (one, a, b, c, d) in enumerate(found):
        for other, e, f, g, h in found[number + 1 :]:
            assert c <= e or g <= a or d <= f or h <= b, (one, other)


def test_lengths_are_to_scale_where_they_can_be() -> None:
    card = TankCard.ready["samphire"]
    svg = ElementTree.fromstring(draw(card))
    front = next(
        points(path.get("d", "")) for path in svg.iter(f"{SVG}path")
        if path.get("stroke-width") == "1.8"
    )  # fmt: skip
    xs, ys = zip(*front, strict=True)
    assert (max(xs) - min(xs)) / (max(ys) - min(ys)) == pytest.approx(1.00 / 0.50, rel=0.01)
    assert "Not to scale" not in draw(card)
    assert "Not to scale" in draw(replace(card, tank_length=3.0))


@pytest.mark.parametrize(
    ("change", "drawn", "said"),
    [
        ({"lid": "glass with gaps"}, "glass lid with gaps", "under a glass lid with gaps"),
        ({"lid": "mesh"}, "mesh lid", "under a mesh lid"),
        ({"heater_power": 0.0}, "", "no heat mat"),
        ({"heater_power": 40.0}, "40 W", "a heat mat of 40"),
        ({"fresh_pool_length": 0.0}, "marine", "no fresh pool"),
        ({"pools_place": "at the heated wall"}, "fresh", "at the back wall"),
        ({"moss_place": "tray", "moss_area": 0.02}, "moss", "200 cm² (31 in²) in a tray"),
        (
            {"air_flow": 1.5e-3 / 60, "pump_draws_from": "tank"},
            "of tank air",
            "1.50 L/min (23.8 gal/h) of air from the tank through air-stones",
        ),
        ({"wall_insulation": 0.02}, "insulation", "20 mm (0.79 in) of insulation"),
    ],
)
def test_what_is_drawn_is_also_said(change: dict[str, Any], drawn: str, said: str) -> None:
    card = replace(READY, **change)
    assert said in describe(card)
    assert drawn in draw(card)
    assert draw(card) != draw(TankCard.ready["kelp"])


def test_pictures_differ_by_what_a_keeper_can_change() -> None:
    base = replace(TankCard.ready["kelp"], wall_insulation=0.01)
    changed = {
        "lid": "mesh", "pools_place": "away", "moss_place": "at the heated wall", "air_flow": 0.0,
        "pump_draws_from": "tank", "wall_insulation": 0.0, "tank_length": 0.9,
        "substrate_depth": 0.1, "room_temperature": 20.0, "set_point": 25.0, "heater_area": 0.05,
    }  # fmt: skip
    assert set(changed) <= {field.name for field in fields(TankCard)}
    for name, value in changed.items():
        assert draw(replace(base, **{name: value})) != draw(base), name


def test_the_document_holds_the_drawing_for_a_calculator_that_takes_a_card() -> None:
    document = answer("glass-condensation", {"tank": "kelp"})
    assert document["drawings"] == {"tank": draw(TankCard.ready["kelp"])}
    assert answer("dew-point", {})["drawings"] == {}
