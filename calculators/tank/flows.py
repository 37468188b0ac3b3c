"""What flows between the parts of a tank at one moment: heat and vapour from a given state.

In: a tank in its room, the temperatures of its nodes and the vapour pressure of its air, the power
of its mat. Out: what each node gains. Steady balance and time course both stand on ``flows``.

Every inner surface trades heat and vapour with the air through its film, and radiation with the
radiant mean of all of them. Wet surfaces give and take vapour; dry ones only take it, below the dew
point. Vapour crosses each surface at that surface's temperature: the surface pays or gains the
latent heat, the air warms or cools the vapour.
"""

from __future__ import annotations

from typing import NamedTuple

from calculators.air.mixture import MASS_RATIO
from calculators.air.saturation import latent_heat, saturation_pressure
from calculators.quantities import ZERO_CELSIUS
from calculators.surfaces.radiation import STEFAN_BOLTZMANN
from calculators.tank.films import cross, fog_rate, outer_loss, stream_speed
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
    VAPOUR_HEAT,
    Setting,
    State,
)


class Flows(NamedTuple):
    """Everything that flows at one state; heat in W, vapour in kg/s.

    ``gains`` is the heat each node gains (zero when steady), ``vapour_gain`` what the air gains.
    Tuples of seven run over the surfaces: ``convection`` from surface to air, ``radiation`` from
    surface to the radiant mean, ``vapour`` from surface to air. ``bubbles`` is vapour from the two
    pools, ``air_change`` vapour lost to the room (the pump's air with it), ``fog`` vapour lost to
    drops. ``outside`` is heat lost to the room by substrate (floor and sides), mat's back, panes
    and lid; ``ventilation`` sensible heat lost with air.
    """

    gains: tuple[float, ...]
    vapour_gain: float
    convection: tuple[float, ...]
    radiation: tuple[float, ...]
    vapour: tuple[float, ...]
    bubbles: tuple[float, float]
    air_change: float
    fog: float
    outside: tuple[float, float, float, float]
    ventilation: float
    mat_temperature: float
    air_speed: float


def flows(setting: Setting, state: State, heater_power: float) -> Flows:
    """Return what flows in ``setting`` at ``state`` while the mat draws ``heater_power`` [W].

    Temperatures from -20 to 100 °C. Raises OutOfRange outside the ranges of the equations.
    """
    air, vapour_here = state[AIR], state.vapour_pressure
    pressure, room = setting.room.pressure, setting.room
    kelvin = air + ZERO_CELSIUS
    dry = pressure - vapour_here
    enhancement = setting.enhancement

    emitted = []
    mean = 0.0
    for face in setting.faces:
        hot = state[face.node] + ZERO_CELSIUS
        hot *= STEFAN_BOLTZMANN * hot * hot * hot
        emitted.append(hot)
        mean += face.offered * hot
    mean /= setting.offered
    speed = stream_speed(setting, state.panel, air)

    gains = [0.0] * 8
    convection, radiation, vapour = [0.0] * 7, [0.0] * 7, [0.0] * 7
    to_air = 0.0
    for face, hot in zip(setting.faces, emitted, strict=True):
        node = face.node
        temperature = state[node]
        radiated = face.offered * (hot - mean)
        sensible, left = cross(setting, face, temperature, air, vapour_here, speed)
        gains[node] -= sensible + radiated + left * latent_heat(temperature)
        to_air += sensible + left * VAPOUR_HEAT * (temperature - air)
        convection[node], radiation[node], vapour[node] = sensible, radiated, left
    total_vapour = sum(vapour)

    # Contacts: dishes on the substrate, pools and moss against glass.
    ground = state.substrate
    for node in (FRESH, MARINE):
        through = setting.dishes[node] * (ground - state[node])
        contact = setting.contacts[node] * (state.panel - state[node])
        gains[node] += through + contact
        gains[SUBSTRATE] -= through
        gains[PANEL] -= contact
    if setting.moss_base >= 0:
        through = setting.moss_conductance * (state[setting.moss_base] - state.moss)
        gains[MOSS] += through
        gains[setting.moss_base] -= through

    # To the room: through the substrate, the mat's back, panes and lid.
    below = setting.ground_conductance * (ground - room.temperature)
    panes_loss = outer_loss(setting, state.panes, lid=False)
    lid_loss = outer_loss(setting, state.lid, lid=True)
    inward, outward = setting.mat_inward, setting.mat_outward
    back = 0.0
    mat = state.panel
    if inward > 0.0:
        pulled = inward * state.panel + outward * room.temperature
        mat = (heater_power + pulled) / (inward + outward)
        back = outward * (mat - room.temperature)
        gains[PANEL] += inward * (mat - state.panel)
    gains[SUBSTRATE] -= below
    gains[PANES] -= panes_loss
    gains[LID] -= lid_loss

    # Bubbles leave saturated at their pool's temperature.
    ratio = MASS_RATIO * vapour_here / dry
    blown = [0.0, 0.0]
    source, source_ratio = (
        (room.temperature, setting.room_ratio) if setting.pump_from_room else (air, ratio)
    )
    for node, flow, activity in setting.bubbles:
        pool = state[node]
        saturated = activity * enhancement * saturation_pressure(pool)
        leaving = MASS_RATIO * saturated / (pressure - saturated)
        taken = flow * (leaving - source_ratio)
        blown[node] = taken
        total_vapour += taken
        gains[node] -= taken * latent_heat(pool) + flow * (
            DRY_AIR_HEAT + source_ratio * VAPOUR_HEAT
        ) * (pool - source)
        to_air += flow * (DRY_AIR_HEAT + leaving * VAPOUR_HEAT) * (pool - air)

    # Air change: so much air leaves at the tank's state and as much dry air comes from the room.
    exchanged = (
        setting.tank.air_changes * setting.tank.air_volume * dry / (DRY_AIR_GAS_CONSTANT * kelvin)
    )
    pumped = setting.pump_flow if setting.pump_from_room else 0.0
    lost = (exchanged + pumped) * (ratio - setting.room_ratio)
    room_heat = (DRY_AIR_HEAT + setting.room_ratio * VAPOUR_HEAT) * (air - room.temperature)
    ventilation = (exchanged + pumped) * room_heat
    direct = exchanged if setting.bubbles else exchanged + pumped
    fog = fog_rate(setting, air, vapour_here)
    gains[AIR] = to_air - direct * room_heat + fog * latent_heat(air)
    return Flows(
        tuple(gains), total_vapour - lost - fog, tuple(convection), tuple(radiation),
        tuple(vapour), (blown[0], blown[1]), lost, fog, (below, back, panes_loss, lid_loss),
        ventilation, mat, speed,
    )  # fmt: skip
