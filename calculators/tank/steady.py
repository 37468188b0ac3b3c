"""The state at which nothing in a tank changes any more.

In: a tank in its room, the mat's power or the air temperature to be held. Out: that state and all
its flows, or NoAnswer. The unknowns are the temperatures of the nodes and the vapour pressure;
where the air is held, the mat's mean power takes the place of the air's temperature.
"""

from __future__ import annotations

from math import inf
from typing import NamedTuple

from calculators.air.mixture import MASS_RATIO, WATER_GAS_CONSTANT
from calculators.air.saturation import saturation_pressure, saturation_slope
from calculators.errors import NoAnswer
from calculators.quantities import ZERO_CELSIUS
from calculators.surfaces.radiation import STEFAN_BOLTZMANN
from calculators.tank.films import cross, fog_rate, outer_loss, stream_speed
from calculators.tank.flows import Flows, flows
from calculators.tank.newton import Evaluation, Matrix, Vector, relax, solve
from calculators.tank.nodes import (
    AIR,
    DRY_AIR_GAS_CONSTANT,
    DRY_AIR_HEAT,
    FRESH,
    LID,
    MARINE,
    MOSS,
    PANEL,
    PANES,
    SUBSTRATE,
    Setting,
    State,
)

CLOSURE = 1e-6
"""Heat or mass that a refused answer leaves open, as a share of what passes through the tank."""

_TOLERANCE = 1e-8  # where the search ends
_LATENT = 2.44e6  # J/kg: puts the vapour's row in watts beside the others
_PASCALS = 150.0  # one step of vapour pressure beside 1 K: about the slope of saturation
_WATTS = 4.0  # one step of power beside 1 K
_LONGEST = 15.0  # K
_COLDEST, _HOTTEST = -15.0, 98.0  # °C, where the equations hold
_NUDGE = 1e-4  # K, for slopes by difference
_LEAST_HEAT, _LEAST_VAPOUR = 0.01, 1e-10  # W, kg/s: what counts as something that passes


class Steady(NamedTuple):
    """A state at rest, the mat's mean power [W] and the flows; what is left open of each."""

    state: State
    heater_power: float
    flows: Flows
    heat_left: float
    mass_left: float


def left_open(found: Flows, heater_power: float) -> tuple[float, float]:
    """Return the largest gain of a node and that of the air's vapour, as shares of what passes."""
    vapour = sum(map(abs, found.vapour)) + abs(found.air_change) + found.fog
    vapour += abs(found.bubbles[0]) + abs(found.bubbles[1])
    heat = sum(map(abs, found.outside)) + abs(found.ventilation) + _LATENT * vapour
    heat = max(heat, abs(heater_power), _LEAST_HEAT)
    gain = max(max(found.gains), -min(found.gains))
    return gain / heat, abs(found.vapour_gain) / max(vapour, _LEAST_VAPOUR)


def first_guess(setting: Setting, heater_power: float, held: float | None) -> tuple[State, float]:
    """Return a state and a power from which the search starts when nothing better is known.

    ``heater_power`` [W], or the air temperature ``held`` [°C]. By one lump of ordinary films.
    """
    tank, room = setting.tank, setting.room.temperature
    panes = tank.panes_area / (tank.pane_resistance + 0.26)
    lid = tank.floor_area / (tank.lid_resistance + 0.22)
    loss = panes + lid + 0.6 * setting.ground_conductance + 2.0 * tank.floor_area
    kept = setting.mat_heard * 12.0 / (12.0 * setting.mat_heard + 1.0 / tank.back_resistance)
    air = min(room + kept * heater_power / loss, 60.0) if held is None else held
    power = heater_power if held is None else max(loss * (air - room) / max(kept, 0.3), 0.0)
    rise = air - room
    ground = room + 0.6 * rise
    pool = ground - 0.5
    panel = ground
    if tank.panel_area > 0.0:
        panel = min(air + kept * power / (12.0 * tank.panel_area), 70.0)
    moss = 0.5 * (ground + panel) if setting.moss_base == PANEL else ground
    cold = room + 0.45 * rise
    warm = room + (0.5 if tank.pane_resistance < 0.05 else 0.8) * rise
    wet = tank.fresh_pool_area + tank.marine_pool_area + tank.moss_area
    given = 5.0 * setting.vapour_for_heat * (wet + 2.0 * tank.wetness * tank.substrate_area)
    given /= setting.room.pressure
    taken = tank.air_changes * tank.air_volume / (WATER_GAS_CONSTANT * (air + ZERO_CELSIUS))
    outside = setting.room.vapour_pressure
    vapour = (given * saturation_pressure(pool) + taken * outside) / (given + taken)
    vapour = min(vapour, max(saturation_pressure(cold), outside))
    return State(pool, pool, ground, moss, panel, warm, cold, air, vapour), power


def _slope(there: tuple[float, float], heat: float, left: float, far: float) -> tuple[float, float]:
    return (there[0] - heat) / far, (there[1] - left) / far


def slopes_at(setting: Setting, state: State, found: Flows) -> Matrix:
    """Return the slopes of all gains at ``state``, where ``found`` flows.

    Rows: gains of the eight nodes [W], then the vapour's [kg/s]; columns: their temperatures [K],
    then the vapour pressure [Pa]. Rows of absent nodes are of no use.
    """
    size = 9
    matrix = [[0.0] * size for _ in range(size)]
    air_row, vapour_row = matrix[AIR], matrix[8]
    total = setting.offered
    speed = found.air_speed
    gusts = (
        (PANEL, (stream_speed(setting, state.panel + _NUDGE, state.air) - speed) / _NUDGE),
        (AIR, (stream_speed(setting, state.panel, state.air + _NUDGE) - speed) / _NUDGE),
    )
    for face in setting.faces:
        node = face.node
        temperature = state[node]
        here = (state.air, state.vapour_pressure)
        heat, left = found.convection[node], found.vapour[node]
        warmer = cross(setting, face, temperature + _NUDGE, *here, speed)
        above = cross(setting, face, temperature, here[0] + _NUDGE, here[1], speed)
        damper = cross(setting, face, temperature, here[0], here[1] + 1.0, speed)
        row = matrix[node]
        radiant = face.offered * 4.0 * STEFAN_BOLTZMANN * (temperature + ZERO_CELSIUS) ** 3
        for other in setting.faces:
            matrix[other.node][node] += radiant * other.offered / total
        row[node] -= radiant
        for column, (by_heat, by_vapour) in (
            (node, _slope(warmer, heat, left, _NUDGE)),
            (AIR, _slope(above, heat, left, _NUDGE)),
            (8, _slope(damper, heat, left, 1.0)),
        ):
            row[column] -= by_heat + _LATENT * by_vapour
            air_row[column] += by_heat
            vapour_row[column] += by_vapour

        if face.stroke > 0.0:
            faster = cross(setting, face, temperature, *here, speed + _NUDGE)
            by_heat, by_vapour = _slope(faster, heat, left, _NUDGE)
            for column, gust in gusts:
                row[column] -= (by_heat + _LATENT * by_vapour) * gust
                air_row[column] += by_heat * gust
                vapour_row[column] += by_vapour * gust

    def tie(one: int, other: int, conductance: float) -> None:
        matrix[one][one] -= conductance
        matrix[one][other] += conductance
        matrix[other][other] -= conductance
        matrix[other][one] += conductance

    for node in (FRESH, MARINE):
        if setting.dishes[node]:
            tie(node, SUBSTRATE, setting.dishes[node])
        if setting.contacts[node]:
            tie(node, PANEL, setting.contacts[node])
    if setting.moss_base >= 0:
        tie(MOSS, setting.moss_base, setting.moss_conductance)
    matrix[SUBSTRATE][SUBSTRATE] -= setting.ground_conductance
    for node, loss in ((PANES, found.outside[2]), (LID, found.outside[3])):
        more = outer_loss(setting, state[node] + _NUDGE, node == LID)
        matrix[node][node] -= (more - loss) / _NUDGE
    matrix[PANEL][PANEL] -= setting.mat_heard * setting.mat_outward

    pressure = setting.room.pressure
    dry = pressure - state.vapour_pressure
    by_ratio = MASS_RATIO * pressure / (dry * dry)
    source_moves = 0.0 if setting.pump_from_room else 1.0
    for node, flow, activity in setting.bubbles:
        saturated = activity * saturation_pressure(state[node])
        steep = flow * MASS_RATIO * pressure / (pressure - saturated) ** 2
        by_heat = steep * activity * saturation_slope(state[node])
        matrix[node][node] -= flow * DRY_AIR_HEAT + _LATENT * by_heat
        matrix[node][AIR] += flow * DRY_AIR_HEAT * source_moves
        matrix[node][8] += _LATENT * flow * by_ratio * source_moves
        air_row[node] += flow * DRY_AIR_HEAT
        air_row[AIR] -= flow * DRY_AIR_HEAT
        vapour_row[node] += by_heat
        vapour_row[8] -= flow * by_ratio * source_moves
    kelvin = state.air + ZERO_CELSIUS
    exchanged = setting.tank.air_changes * setting.tank.air_volume * dry
    exchanged /= DRY_AIR_GAS_CONSTANT * kelvin
    pumped = setting.pump_flow if setting.pump_from_room else 0.0
    direct = exchanged if setting.bubbles else exchanged + pumped
    air_row[AIR] -= direct * DRY_AIR_HEAT
    vapour_row[8] -= (exchanged + pumped) * by_ratio
    if found.fog > 0.0:
        stiff = (fog_rate(setting, state.air, state.vapour_pressure + 1e-3) - found.fog) * 1e3
        vapour_row[8] -= stiff
        by_heat = stiff * saturation_slope(state.air)
        vapour_row[AIR] += by_heat
        air_row[8] += _LATENT * stiff
        air_row[AIR] -= _LATENT * by_heat
    return matrix


def at_power(setting: Setting, heater_power: float, start: State | None = None) -> Steady:
    """Return the steady state while the mat draws ``heater_power`` [W].

    ``start`` is a state to search from. Raises NoAnswer when heat and mass do not close.
    """
    return closed(_search(setting, heater_power, None, start, inf))


def at_temperature(
    setting: Setting, air_temperature: float, start: State | None = None, most: float = 2000.0
) -> Steady:
    """Return the steady state with the air held at ``air_temperature`` [°C] by the mat.

    Its ``heater_power`` may come out below 0 (the tank would have to be cooled) or above ``most``
    [W]; then it tells no more than that, and its state is not at rest. Raises NoAnswer.
    """
    steady = _search(setting, 0.0, air_temperature, start, most)
    if steady.heater_power > most or _is_closed(steady):
        return steady
    # Slow and sure: halve the range of powers. More power never cools the air.
    low, high = 0.0, most
    if at_power(setting, high).state.air < air_temperature:
        return steady._replace(heater_power=2.0 * most)
    steady = at_power(setting, low)
    if steady.state.air > air_temperature:
        return steady._replace(heater_power=-1.0)
    while high - low > 1e-9 * high:
        middle = 0.5 * (low + high)
        steady = at_power(setting, middle, steady.state)
        if steady.state.air < air_temperature:
            low = middle
        else:
            high = middle
    return steady


def _search(
    setting: Setting, given: float, held: float | None, start: State | None, most: float
) -> Steady:
    nodes = [*setting.present, AIR]
    begin, power_guess = first_guess(setting, given, held)
    base = list(start or begin)
    last = len(nodes) - 1

    def evaluate(x: Vector) -> Evaluation:
        values = list(base)
        for node, value in zip(nodes, x, strict=False):
            values[node] = min(max(value, _COLDEST), _HOTTEST)
        values[8] = max(x[-1] * _PASCALS, 1.0)
        power = given
        if held is not None:
            values[AIR], power = held, x[last] * _WATTS
        state = State._make(values)
        found = flows(setting, state, power)
        residuals = [found.gains[node] for node in nodes]
        residuals.append(_LATENT * found.vapour_gain)
        return Evaluation(residuals, max(left_open(found, power)), (state, power, found))

    def slopes(details: tuple[State, float, Flows]) -> Matrix:
        full = slopes_at(setting, details[0], details[2])
        keep = [*nodes, 8]
        matrix = [[full[row][column] for column in keep] for row in keep]
        if held is not None:
            for node, row in zip(keep, matrix, strict=True):
                row[last] = setting.mat_heard * _WATTS if node == PANEL else 0.0
        for row in matrix:
            row[-1] *= _PASCALS
        matrix[-1] = [value * _LATENT for value in matrix[-1]]
        return matrix

    def stop(x: Vector, left: float) -> bool:
        # A mat that is plainly too small need not be weighed to the last digit.
        return held is not None and left < 0.01 and x[last] * _WATTS > 1.02 * most

    x = [base[node] for node in nodes]
    if held is not None:
        x[last] = min(power_guess, most) / _WATTS
    x.append(base[8] / _PASCALS)
    _, here = solve(evaluate, slopes, x, _LONGEST, _TOLERANCE, stop)
    if here.left > _TOLERANCE and held is None:
        _, here = relax(evaluate, slopes, x, _LONGEST / 4.0, _TOLERANCE)
    state, power, flowing = here.details
    return Steady(state, power, flowing, *left_open(flowing, power))


def _is_closed(steady: Steady) -> bool:
    return max(steady.heat_left, steady.mass_left) <= CLOSURE


def closed(steady: Steady) -> Steady:
    """Return ``steady``, or raise NoAnswer where heat or mass does not close."""
    if not _is_closed(steady):
        raise NoAnswer(
            "The heat and water of this tank could not be made to balance, so no answer is given. "
            "Check the measures of the tank, the mat and the pools."
        )
    return steady
