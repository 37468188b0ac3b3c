"""The tank's balance against numbers and tools from outside the project."""

from dataclasses import replace
from math import pi

import pytest
from CoolProp.CoolProp import HAPropsSI, PropsSI

from calculators.air.mixture import humidity_ratio, vapour_pressure
from calculators.tank.balance import balance
from calculators.tank.card import TankCard
from calculators.tank.films import outer_loss
from calculators.tank.flows import flows
from calculators.tank.geometry import Tank
from calculators.tank.nodes import Room, Setting, State
from calculators.tank.openings import gap_flow

SEA_LEVEL = 101325.0


def test_half_an_air_change_of_a_100_litre_tank_loses_15_grams_a_day() -> None:
    """Arithmetic of the trade notes: 100 L, 26 °C, 80 %; room 20 °C, 40 %. Printed as 15."""
    card = replace(
        TankCard.ready["wrack"], tank_length=0.5, tank_width=0.5, tank_height=0.55,
        substrate_depth=0.15, room_temperature=20.0, room_humidity=0.4, air_changes=0.5 / 3600,
    )  # fmt: skip
    setting = Setting(Tank.of(card), Room.of(card))
    assert setting.tank.air_volume == pytest.approx(0.1)
    state = State(*[26.0] * 8, vapour_pressure(26.0, 0.8, SEA_LEVEL))
    assert flows(setting, state, 0.0).air_change * 1e3 * 86400 == pytest.approx(15.0, abs=0.5)


def test_a_panes_outer_film_is_that_of_a_room() -> None:
    """ISO 6946: 0.13 m² K/W, convection and radiation together (from memory).

    Held within 12 %, the spread of accepted formulas for an upright plate.
    """
    card = replace(TankCard.ready["samphire"], wall_insulation=0.0, glass_thickness=0.004)
    setting = Setting(Tank.of(card), Room.of(card))
    warm = card.room_temperature + 3.0
    passed = outer_loss(setting, warm, lid=False) / setting.tank.panes_area
    assert 3.0 / passed - 0.004 == pytest.approx(0.13, rel=0.12)


def test_a_bare_pane_indoors_passes_less_than_a_window() -> None:
    """ISO 6946 films 0.13 on both sides of 4 mm glass: U 3.8 W/(m² K) (from memory); a window 5.8.

    From 3.0 to 4.0 here: the standard lets a pane see walls as warm as the air, while a tank's
    pane sees a cool lid and floor, which takes up to a fifth off.
    """
    card = replace(
        TankCard.ready["samphire"], wall_insulation=0.0, glass_thickness=0.004, heater_power=100.0
    )
    found, tank = balance(Tank.of(card), Room.of(card)), Tank.of(card)
    through = found.heat.panes / tank.panes_area / (found.air_temperature - card.room_temperature)
    assert 3.0 < through < 4.0


def test_heat_closes_by_the_enthalpies_of_coolprop() -> None:
    """Heat that leaves with air and water, from real-gas enthalpies (ASHRAE RP-1485, IAPWS-95).

    Within 2 % of that heat: the balance takes 1006 and 1860 J/(kg K) as constants.
    """
    card = replace(TankCard.ready["wrack"], heater_power=100.0, air_changes=20.0 / 3600)
    tank, room = Tank.of(card), Room.of(card)
    found = balance(tank, room)

    def enthalpy(temperature: float, vapour: float) -> float:
        ratio = humidity_ratio(vapour, SEA_LEVEL)
        kelvin = temperature + 273.15
        return float(HAPropsSI("H", "T", kelvin, "P", SEA_LEVEL, "W", ratio))

    def liquid(temperature: float) -> float:
        return float(PropsSI("H", "T", temperature + 273.15, "Q", 0, "Water"))

    volume = float(
        HAPropsSI(
            "V", "T", found.air_temperature + 273.15, "P", SEA_LEVEL,
            "W", humidity_ratio(found.vapour_pressure, SEA_LEVEL),
        )
    )  # fmt: skip
    dry_air = tank.air_changes * tank.air_volume / volume
    carried = dry_air * (
        enthalpy(found.air_temperature, found.vapour_pressure)
        - enthalpy(room.temperature, room.vapour_pressure)
    )
    water = {
        found.state.fresh_pool: found.vapour.fresh_pool,
        found.state.marine_pool: found.vapour.marine_pool,
        found.state.substrate: found.vapour.substrate,
        found.state.panes: found.vapour.panes,
        found.state.lid: found.vapour.lid,
    }
    carried -= sum(left * liquid(temperature) for temperature, left in water.items())
    assert found.heat.air_change + found.heat.evaporation == pytest.approx(carried, rel=0.02)
    walls = sum(found.heat) - found.heat.air_change - found.heat.evaporation
    assert walls + carried == pytest.approx(found.heater_power, rel=0.005)


def test_radiation_between_two_wide_plates_meets_the_closed_form() -> None:
    """A / (1/ε1 + 1/ε2 - 1), Incropera & DeWitt, 7th ed., eq. 13.19, for parallel plates.

    A box of 3 m by 1.5 m and 5 cm of air; its low sides carry a few per cent: held to 6 %.
    """
    card = TankCard(
        tank_length=3.0, tank_width=1.5, tank_height=0.2, substrate_depth=0.15,
        fresh_pool_length=0.0, marine_pool_length=0.0, heater_power=0.0, heater_area=0.0,
    )  # fmt: skip
    tank = Tank.of(card)
    offered = tank.radiators
    series = 1.0 / (1.0 / offered.substrate + 1.0 / offered.lid)
    closed_form = tank.floor_area / (1.0 / 0.90 + 1.0 / 0.84 - 1.0)
    assert series == pytest.approx(closed_form, rel=0.06)


def test_a_cube_sees_itself_as_carroll_says() -> None:
    """Six equal faces: F = 1 / (1 - 1/6) = 1.2 (Carroll 1980)."""
    card = TankCard(
        tank_length=0.5, tank_width=0.5, tank_height=0.5, substrate_depth=0.0,
        fresh_pool_length=0.0, marine_pool_length=0.0, heater_power=0.0, heater_area=0.0,
    )  # fmt: skip
    offered = Tank.of(card).radiators
    assert offered.lid == pytest.approx(0.25 / (1.0 / 1.2 + 0.16 / 0.84), rel=1e-6)


def test_buried_panes_lose_as_a_basement_wall() -> None:
    """Quarter circles of Latta & Boileau (1969), summed numerically in 10 000 strips."""
    tank = Tank.of(replace(TankCard.ready["wrack"], wall_insulation=0.0))
    outside, k = tank.pane_resistance + 0.13, tank.substrate_conductivity
    depth, strips = tank.card.substrate_depth, 10_000
    step = depth / strips
    per_metre = sum(step / (outside + pi * (n + 0.5) * step / (2.0 * k)) for n in range(strips))
    assert tank.side_conductance == pytest.approx(1.9 * per_metre, rel=1e-5)


def test_the_stack_flow_of_humidity_alone() -> None:
    """22 °C at 95 and at 40 %: 0.0065 kg/m³ (reference arithmetic), Q = Cd A sqrt(g H Δρ/ρ)."""
    wet, dry = (vapour_pressure(22.0, humidity, SEA_LEVEL) for humidity in (0.95, 0.40))
    by_hand = 0.5 * 1e-3 * (9.80665 * 0.2 * 0.0065 / 1.19) ** 0.5
    assert gap_flow(1e-3, 0.2, 22.0, wet, 22.0, dry) == pytest.approx(by_hand, rel=0.01)
