"""The reader's tank as a line drawing: seen from the front, its depth drawn back at a slant.

In: a tank card. Out: inline SVG that says in lines, labels and a text alternative what the card
says in numbers, so that a keeper sees a slip of the tape measure. Lengths keep their proportions
until something would be too small to see; then the drawing says that it is not to scale.
Lines take the colour of the text around them.
"""

from __future__ import annotations

import re

from calculators.quantities import (
    AIR_FLOW,
    AREA,
    LENGTH,
    POWER,
    RELATIVE_HUMIDITY,
    TEMPERATURE,
    THICKNESS,
    Quantity,
    System,
    both,
    shown,
)
from calculators.tank.card import Lid, TankCard
from calculators.tank.geometry import Tank
from calculators.tank.sheet import LEFT, TOP, WIDTH, Box, Point, Sheet, pair, rounded

SYSTEMS: tuple[System, ...] = ("metric", "us")
LID_NAMES: dict[Lid, str] = {
    "glass": "glass lid",
    "glass with gaps": "glass lid with gaps",
    "film over mesh": "film over a mesh lid",
    "mesh": "mesh lid",
}


def draw(card: TankCard) -> str:
    """Return the drawing of ``card`` as one ``<svg>`` element; the same text for the same card."""
    tank, box, sheet = Tank.of(card), Box.of(card), Sheet()
    _room(sheet, card)
    _back(sheet, box, tank)
    _ground(sheet, box, card)
    _floor_items(sheet, box, tank)
    _front(sheet, box, card)
    _lid(sheet, box, card.lid)
    if card.air_flow > 0:
        _pump(sheet, box, tank)
    _lengths(sheet, box, card, sheet.lay_right())
    height = rounded(sheet.bottom + 8)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="dg-drawing" role="img" '
        f'viewBox="0 0 {WIDTH:g} {height}" font-size="14" stroke-linecap="round" '
        f'stroke-linejoin="round"><title>Your tank as you measured it</title>'
        f"<desc>{describe(card)}</desc>"
        f'<g fill="none" stroke="currentColor">{"".join(m for m in sheet.marks if m[1] != "t")}</g>'
        f'<g fill="currentColor">{"".join(m for m in sheet.marks if m[1] == "t")}</g></svg>'
    )


def describe(card: TankCard) -> str:
    """Return in words, with both systems of units, what the drawing shows."""
    tank = Tank.of(card)
    size = " by ".join(
        both(value, LENGTH) for value in (card.tank_length, card.tank_width, card.tank_height)
    )
    parts = [
        f"A tank of {size} (length, width, height) under a {LID_NAMES[card.lid]}",
        f"substrate {both(card.substrate_depth, LENGTH)} deep",
        f"the room at {both(card.room_temperature, TEMPERATURE)} and "
        f"{both(card.room_humidity, RELATIVE_HUMIDITY)}",
    ]
    if card.heater_power > 0 and tank.panel_area > 0:
        parts.append(
            f"on the back wall a heat mat of {both(card.heater_power, POWER)} and "
            f"{both(card.heater_area, AREA)}, its set point {both(card.set_point, TEMPERATURE)}"
        )
    else:
        parts.append("no heat mat")
    place = "at the back wall" if card.pools_place == "at the heated wall" else "away from it"
    for name, area in (("fresh", tank.fresh_pool_area), ("marine", tank.marine_pool_area)):
        parts.append(f"a {name} pool of {both(area, AREA)} {place}" if area else f"no {name} pool")
    where = {"none": "", "substrate": " in a tray"}.get(tank.moss_base, " at the back wall")
    parts.append(f"damp moss of {both(tank.moss_area, AREA)}{where}" if where else "no damp moss")
    if card.air_flow > 0:
        parts.append(
            f"an air pump that sends {both(card.air_flow, AIR_FLOW)} of air from the "
            f"{card.pump_draws_from} through air-stones"
        )
    if card.wall_insulation > 0:
        parts.append(f"{both(card.wall_insulation, THICKNESS)} of insulation over the other panes")
    return "; ".join(parts) + "."


def _room(sheet: Sheet, card: TankCard) -> None:
    air = [(card.room_temperature, TEMPERATURE), (card.room_humidity, RELATIVE_HUMIDITY)]
    sheet.text(Point(4, 16), ["room", *(_units(*value) for value in air)])


def _back(sheet: Sheet, box: Box, tank: Tank) -> None:
    """The back and what is on it: heat mat, moss."""
    length, depth, top, low = box.length, box.depth, box.height, box.substrate
    sheet.path(box.line((0, depth, low), (0, depth, top)), 0.75)
    sheet.path(box.line((0, depth, low), (0, 0, low)), 0.75)
    air, card = top - low, tank.card
    if tank.panel_area and card.heater_power > 0:
        share = tank.panel_height / tank.air_height
        high = max(share * air - 6, 18.0)
        along = min(max(tank.panel_area / tank.panel_height / card.tank_length * length, 24.0),
                    length - 8)  # fmt: skip
        start, foot = (length - along) / 2, low + (air - high) / 2
        corners = [(start, foot), (start + along, foot), (start + along, foot + high)]
        outline = [(x, depth, z) for x, z in [*corners, (start, foot + high)]]
        sheet.path(box.outline(*outline), 1.5, more=' stroke-dasharray="5 4"')
        rows = max(int(high / 9), 2)
        wire: list[tuple[float, float, float]] = []
        for number in range(rows):
            z = foot + high * (number + 0.5) / rows
            ends = [(start + 7, depth, z), (start + along - 7, depth, z)]
            wire += ends if number % 2 else reversed(ends)
        sheet.path(box.line(*wire), 0.6, more=' opacity="0.6"')
        set_point = _units(card.set_point, TEMPERATURE)
        sheet.beside(
            box.at(0, depth, top).y + 14,
            box.at(start + along, depth, foot + high * 0.6),
            ["heat mat", f"{_units(card.heater_power, POWER, 1)}, set", f"to {set_point}"],
        )
    if tank.moss_base in ("panel", "panes"):
        wide = min(
            max(tank.moss_area / card.tank_length / tank.air_height * length * 2, 30), length
        )
        start, rows = (length - wide) / 2, 3
        for number in range(rows):
            _tufts(sheet, box, start + 3, start + wide - 3, depth, low + 3 + 9.0 * number)
        sheet.beside(box.at(0, 0, low).y - 12, box.at(start + wide - 4, depth, low + 8),
                     ["damp moss", "at the wall"])  # fmt: skip


def _tufts(sheet: Sheet, box: Box, start: float, end: float, y: float, z: float) -> None:
    """Moss: a row of small forks."""
    count = max(int((end - start) / 10), 1)
    step = (end - start) / count
    shape = ""
    for number in range(count):
        x = start + step * (number + 0.5)
        for lean in (-3.2, 0.0, 3.2):
            shape += box.line((x, y, z), (x + lean, y, z + (6.5 if lean == 0 else 5)))
    sheet.path(shape, 1)


def _ground(sheet: Sheet, box: Box, card: TankCard) -> None:
    """Substrate: its level surface, and its depth behind the front pane."""
    length, depth, low = box.length, box.depth, box.substrate
    surface = [(0, 0, low), (length, 0, low), (length, depth, low), (0, depth, low)]
    sheet.path(box.outline(*[(float(x), float(y), z) for x, y, z in surface]), 1)
    if low <= 0:
        return
    grains = ""
    for row in range(int(low / 9)):
        for column in range(int(length / 14)):
            x = 7 + column * 14 + (7 if row % 2 else 0)
            if x < length - 4:
                grains += box.line((x, 0, row * 9 + 4.5), (x + 1.2, 0, row * 9 + 4.5))
    sheet.path(grains or box.line((4, 0, low / 2), (5, 0, low / 2)), 1, more=' opacity="0.55"')


def _floor_items(sheet: Sheet, box: Box, tank: Tank) -> None:
    """Pools and a moss tray, side by side, at the back wall or towards the front."""
    card = tank.card
    items: list[tuple[str, float, float]] = []
    if tank.fresh_pool_area:
        items.append(("fresh", card.fresh_pool_length, card.fresh_pool_width))
    if tank.marine_pool_area:
        items.append(("marine", card.marine_pool_length, card.marine_pool_width))
    if tank.moss_base == "substrate":
        side = tank.moss_area**0.5
        items.insert(1, ("moss", side, side))
    for slot, (name, along, back) in enumerate(items):
        room = box.length / len(items)
        half = min(max(along / card.tank_length * box.length, 26.0), room - 8) / 2
        deep = min(max(back / card.tank_width * box.depth, 20.0), box.depth * 0.72) / 2
        at_wall = card.pools_place == "at the heated wall" and name != "moss"
        x = room * (slot + 0.5)
        y = box.depth - deep - 2 if at_wall else deep + 0.1 * box.depth
        if name == "moss":
            _tray(sheet, box, x, y, half, deep)
        else:
            _pool(sheet, box, x, y, half, deep)
            if card.air_flow > 0:
                _stone(sheet, box, x, y, half)
        _name(sheet, box, x, y - deep, name)


def _pool(sheet: Sheet, box: Box, x: float, y: float, half: float, deep: float) -> None:
    """A dish with its water line."""
    low, rim = box.substrate, box.substrate + 5
    sheet.solid(box.ring(x, y, low, half * 0.92, deep * 0.92), 1.2)
    sheet.solid(box.ring(x, y, rim, half, deep), 1.3)
    sheet.path(box.ring(x, y, rim - 1.5, half * 0.84, deep * 0.8), 0.9,
               more=' fill="currentColor" fill-opacity="0.1"')  # fmt: skip


def _stone(sheet: Sheet, box: Box, x: float, y: float, half: float) -> None:
    """An air-stone in a pool, its airline to the lid's back edge, and bubbles."""
    water = box.substrate + 5
    stone, end = box.at(x + half * 0.3, y, water), box.at(box.length - 10, box.depth, box.height)
    middle = box.at(x + half * 0.3, y, box.height * 0.78 + water * 0.22)
    curve = f"M{pair(end)}Q{pair(Point(stone.x + 4, middle.y))} {pair(stone)}"
    sheet.path(curve, 1.1)
    sheet.dot(stone, 2.2, more=' fill="currentColor"')
    for across, up, radius in ((-0.3, 1, 1.6), (-0.05, 4, 2.2), (-0.42, 6.5, 2.6)):
        sheet.dot(box.at(x + half * across, y, water + up), radius)


def _tray(sheet: Sheet, box: Box, x: float, y: float, half: float, deep: float) -> None:
    low = box.substrate
    edges = [(x - half, y - deep), (x + half, y - deep), (x + half, y + deep), (x - half, y + deep)]
    sheet.solid(box.outline(*[(a, b, low) for a, b in edges]), 1.2)
    sheet.path(box.outline(*[(a, b, low + 4) for a, b in edges]), 1.2)
    for row in (0.55, 0.0, -0.55):
        _tufts(sheet, box, x - half + 2, x + half - 2, y + deep * row, low + 2)


def _name(sheet: Sheet, box: Box, x: float, edge: float, name: str) -> None:
    """A name under its pool, on the substrate's front or below the floor."""
    inside = box.substrate >= 24
    foot = box.floor - box.substrate + 17 if inside else box.floor + 15
    start = box.at(x, edge, box.substrate)
    sheet.path(f"M{pair(start)}L{pair(Point(LEFT + x, foot - 11))}", 0.75)
    sheet.text(Point(LEFT + x, foot), [name], "middle")


def _front(sheet: Sheet, box: Box, card: TankCard) -> None:
    """The panes, and insulation over both ends (over the front too, where it would hide all)."""
    length, depth, top = box.length, box.depth, box.height
    sheet.path(box.outline((0, 0, 0), (length, 0, 0), (length, 0, top), (0, 0, top)), 1.8)
    sheet.path(box.line((length, 0, 0), (length, depth, 0), (length, depth, top)), 1.5)
    if card.wall_insulation > 0:
        thick = min(max(card.wall_insulation / card.tank_length * length, 3.0), 5.0)
        for near, far, y_far in ((-thick - 1, -1.0, 0.0), (length + 1, length + thick + 1, depth)):
            face = far if y_far else near
            sheet.path(box.outline((near, 0, 0), (far, 0, 0), (far, 0, top), (near, 0, top)), 0.9)
            if y_far:
                sheet.path(box.line((face, 0, 0), (face, y_far, 0), (face, y_far, top),
                                    (face, 0, top)), 0.9)  # fmt: skip
            hatch = "".join(
                box.line((near, 0, z), (far, 0, z + thick)) for z in range(2, int(top - thick), 7)
            )
            sheet.path(hatch, 0.6)
        sheet.beside(box.at(0, 0, box.substrate).y, box.at(length + thick, depth * 0.5, 12),
                     ["insulation", _units(card.wall_insulation, THICKNESS)])  # fmt: skip


def _lid(sheet: Sheet, box: Box, lid: Lid) -> None:
    length, depth, top = box.length, box.depth, box.height
    sheet.path(box.outline((0, 0, top), (length, 0, top), (length, depth, top), (0, depth, top)),
               1.5)  # fmt: skip
    name = box.at(0, depth, top)
    sheet.text(Point(name.x, name.y - 8), [LID_NAMES[lid]])
    if lid.startswith("glass"):
        # The lid's own thickness.
        sheet.path(box.line((0, 0, top - 4), (length, 0, top - 4)), 0.9)
    if lid == "glass with gaps":
        for start, end in ((0.12, 0.34), (0.62, 0.86)):
            slit = [(start, 0.6), (end, 0.6), (end, 0.76), (start, 0.76)]
            sheet.solid(box.outline(*[(x * length, y * depth, top) for x, y in slit]), 1.1)
    if "mesh" in lid:
        rows = [depth * number / 6 for number in range(1, 6)]
        shape = "".join(box.line((2, y, top), (length - 2, y, top)) for y in rows)
        columns = int(length / 11)
        shape += "".join(
            box.line((length * n / columns, 2, top), (length * n / columns, depth - 2, top))
            for n in range(1, columns)
        )
        sheet.path(shape, 0.9, more=' stroke-dasharray="2.5 2.5"')
    if lid == "film over mesh":
        edge = [(-5.0, top - 7), (-5.0, top + 5), (length + 5, top + 5), (length + 5, top - 7)]
        sheet.path(box.line(*[(x, 0, z) for x, z in edge]), 1)


def _pump(sheet: Sheet, box: Box, tank: Tank) -> None:
    """The air pump, higher than the water, and where its air comes from."""
    card = tank.card
    left, foot, across = WIDTH - 48, 24.0, 32.0
    sheet.path(f"M{rounded(left)} 6h34v18h-34zm6 18v3m22 -3v3", 1.5)
    into = box.at(box.length - 10, box.depth, box.height)
    line = f"V{rounded(across)}H{rounded(into.x)}V{rounded(into.y)}"
    sheet.path(f"M{rounded(left + 12)} {rounded(foot)}{line}", 1.1)
    if card.pump_draws_from == "tank":
        back = box.at(box.length - 3, box.depth, box.height - 14)
        sheet.path(
            f"M{rounded(left + 20)} {rounded(foot)}V{rounded(across + 6)}H{rounded(back.x)}"
            f"V{rounded(back.y)}", 1.1, more=' stroke-dasharray="3 3"',
        )  # fmt: skip
    flow = f"air pump, {_units(card.air_flow, AIR_FLOW)} of {card.pump_draws_from} air"
    sheet.text(Point(left - 6, 18), [flow], "end")


def _lengths(sheet: Sheet, box: Box, card: TankCard, column: float) -> None:
    """Dimension lines: length below, width at the corner, height and substrate at the left."""
    out = 5.0 if card.wall_insulation > 0 else 0.0
    x = LEFT - 6 - out
    floor, surface, top = (box.floor - z for z in (0.0, box.substrate, box.height))
    ticks = "".join(f"M{rounded(x - 3)} {rounded(y)}h6" for y in {floor: 0, surface: 0, top: 0})
    sheet.path(f"M{rounded(x)} {rounded(floor)}V{rounded(top)}{ticks}", 0.75)
    high = [_units(card.tank_height, LENGTH), "high"]
    sheet.text(Point(x - 5, max((top + surface) / 2 - 12, TOP)), high, "end")
    if box.substrate > 0:
        middle = max((surface + floor) / 2 - 2, (top + surface) / 2 + 22)
        sheet.text(Point(x - 5, middle), ["substrate", _units(card.substrate_depth, LENGTH)], "end")
    below = box.floor + (12 if box.substrate >= 24 else 26)
    end = LEFT + box.length
    ends = f"M{rounded(LEFT)} {rounded(below - 3)}v6M{rounded(end)} {rounded(below - 3)}v6"
    sheet.path(f"M{rounded(LEFT)} {rounded(below)}H{rounded(end)}{ends}", 0.75)
    sheet.text(Point((LEFT + end) / 2, below + 16),
               [f"{_units(card.tank_length, LENGTH)} long"], "middle")  # fmt: skip
    a, b = box.at(box.length + 4 + out, 0, -4), box.at(box.length + 4 + out, box.depth, -4)
    sheet.path(f"M{pair(a)}L{pair(b)}M{pair(Point(a.x - 3, a.y - 2))}l6 4"
               f"M{pair(Point(b.x - 3, b.y - 2))}l6 4", 0.75)  # fmt: skip
    place = Point((a.x + b.x) / 2 - 4, max(below + 16, column + 8))
    sheet.text(place, [f"{_units(card.tank_width, LENGTH)} wide"])
    if not box.to_scale:
        sheet.text(Point(4, below + 34), ["Not to scale."])


def _units(value: float, quantity: Quantity, decimals: int | None = None) -> str:
    """Return ``value`` in both systems; a page shows the reader's, anything else the metric one."""
    texts = (shown(value, quantity, system, decimals) for system in SYSTEMS)
    metric, us = (re.sub(r"(\.\d*?)0+ ", r"\1 ", text).replace(". ", " ") for text in texts)
    if metric == us:
        return metric
    return (
        f'<tspan class="dg-metric">{metric}</tspan><tspan class="dg-us" display="none">{us}</tspan>'
    )
