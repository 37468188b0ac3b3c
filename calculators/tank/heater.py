"""How much heat a tank needs, where it goes, and which common mat gives it.

In: a tank, its room at the coldest. Out: the heat [W], the losses by path, how warm the glass under
the mat gets, the next common size.
"""

from __future__ import annotations

from dataclasses import dataclass

from calculators.errors import NoAnswer
from calculators.tank.balance import Balance, report
from calculators.tank.flows import flows
from calculators.tank.geometry import Tank
from calculators.tank.nodes import PANEL, Room, Setting
from calculators.tank.steady import at_power, at_temperature

COMMON_SIZES = (4.0, 7.0, 11.0, 14.0, 20.0, 28.0, 35.0, 50.0, 60.0, 75.0, 100.0, 150.0, 200.0)
"""Powers heat mats are sold in [W]; common practice, no source."""

MARGIN = 1.25
"""Power wanted for each watt needed: a colder night, a lid left open; common practice."""

_MOST = 1500.0  # W/m²: a mat that gave more would be far above 90 °C

_TOO_SMALL = (
    "So small a mat cannot warm this tank: the glass under it would have to be hotter than 90 °C "
    "(194 °F). Choose a mat with a larger area, or insulate the tank."
)


@dataclass(frozen=True)
class Need:
    """The heat that holds the set point, mat's back included [W], and the balance it makes.

    ``heater_power`` may be 0 where the room is warm enough. ``balance`` holds losses by path
    (``balance.heat``) and the wall's mean temperature; ``setting`` serves wall_while_on.
    """

    heater_power: float
    balance: Balance
    setting: Setting


def needed(tank: Tank, room: Room) -> Need:
    """Return the heat that holds ``tank`` exactly at its set point in ``room``, whatever it takes.

    The mat's power is taken as without limit, its area as on the card. Raises NoAnswer for a card
    without a mat's area, or where the glass under so small a mat would have to be hotter than this
    model reaches.
    """
    if tank.panel_area == 0.0:
        raise NoAnswer(
            "Without a heat mat's area there is no wall to warm the tank. Type the area of the mat "
            "you have or think of: a third of the back wall is a usual size."
        )
    setting = Setting(tank, room)
    most = _MOST * tank.panel_area
    try:
        steady = at_temperature(setting, tank.card.set_point, most=most)
    except NoAnswer as error:
        raise NoAnswer(_TOO_SMALL) from error
    if steady.heater_power > most or steady.state.panel > 90.0:
        raise NoAnswer(_TOO_SMALL)
    if steady.heater_power <= 0.0:
        steady = at_power(setting, 0.0)
    return Need(steady.heater_power, report(setting, steady, too_small=False), setting)


def next_size(power: float, margin: float = MARGIN) -> float | None:
    """Return the smallest common size [W] of at least ``power`` [W] times ``margin``.

    None where no single mat is sold that large.
    """
    return next((size for size in COMMON_SIZES if size >= power * margin), None)


def wall_while_on(need: Need, heater_power: float) -> tuple[float, float]:
    """Return how warm glass and mat [°C] get while a mat of ``heater_power`` [W] stays on.

    The inner face of the glass, then the mat's own face, with the air held at the set point: what
    they tend to in a long spell of heating. A mat that cycles quickly stays between its mean and
    this.
    """
    setting, state = need.setting, need.balance.state
    low, high = state.panel, 98.0
    for _ in range(50):
        middle = 0.5 * (low + high)
        found = flows(setting, state._replace(panel=middle), heater_power)
        if found.gains[PANEL] > 0.0:
            low = middle
        else:
            high = middle
    found = flows(setting, state._replace(panel=low), heater_power)
    return low, found.mat_temperature
