"""What must hold for a tank's geometry, its openings and its heater."""

from dataclasses import replace
from itertools import pairwise

import pytest

from calculators.air.mixture import moist_air_density
from calculators.errors import NoAnswer, OutOfRange
from calculators.surfaces.convection import GRAVITY
from calculators.surfaces.radiation import GLASS_EMISSIVITY
from calculators.tank.balance import balance
from calculators.tank.card import TankCard
from calculators.tank.geometry import Tank
from calculators.tank.heater import COMMON_SIZES, needed, next_size, wall_while_on
from calculators.tank.nodes import Room
from calculators.tank.openings import assumed_air_changes, exchange_flow, gap_flow

READY = list(TankCard.ready)


class TestGeometry:
    @pytest.mark.parametrize("name", READY)
    def test_the_floor_is_shared_out_without_rest(self, name: str) -> None:
        tank = Tank.of(TankCard.ready[name])
        shares = (tank.fresh_pool_area, tank.marine_pool_area, tank.substrate_area)
        tray = tank.moss_area if tank.moss_base == "substrate" else 0.0
        assert sum(shares) + tray == pytest.approx(tank.floor_area)

    def test_moss_on_the_mat_covers_its_glass(self) -> None:
        card = replace(TankCard.ready["wrack"], moss_area=0.04, moss_place="at the heated wall")
        tank = Tank.of(card)
        assert tank.moss_base == "panel"
        assert tank.bare_panel_area + tank.moss_area == pytest.approx(tank.panel_area)

    def test_measured_air_changes_are_believed(self) -> None:
        card = replace(TankCard.ready["wrack"], air_changes=1e-4)
        assert Tank.of(card).air_changes == 1e-4
        unknown = replace(card, air_changes=None)
        assert Tank.of(unknown).air_changes == assumed_air_changes(unknown.lid).middle

    def test_a_loop_of_radiating_faces_cannot_beat_a_black_enclosure(self) -> None:
        for name in READY:
            tank = Tank.of(TankCard.ready[name])
            # A whole grey lid that sees only black walls would offer A ε.
            assert 0.6 * tank.floor_area < tank.radiators.lid
            assert tank.radiators.lid < tank.floor_area * GLASS_EMISSIVITY * 1.5


class TestOpenings:
    def test_no_difference_moves_no_air(self) -> None:
        assert gap_flow(1e-3, 0.1, 24.0, 1500.0, 24.0, 1500.0) == 0.0
        assert exchange_flow(0.5, 0.3, 0.6, 24.0, 1500.0, 24.0, 1500.0) == 0.0

    def test_vapour_alone_moves_air(self) -> None:
        assert gap_flow(1e-3, 0.1, 24.0, 2500.0, 24.0, 1000.0) > 1e-5
        assert exchange_flow(0.5, 0.3, 0.6, 24.0, 2500.0, 24.0, 1000.0) > 1e-5

    def test_air_heavier_than_the_rooms_stays_in_an_open_tank(self) -> None:
        assert exchange_flow(0.5, 0.3, 0.6, 20.0, 1000.0, 26.0, 1500.0) == 0.0

    def test_the_driving_difference_is_that_of_whole_densities(self) -> None:
        tank, room = (26.0, 2600.0), (19.0, 700.0)
        light = moist_air_density(*tank, 101325.0)
        heavy = moist_air_density(*room, 101325.0)
        speed = gap_flow(1.0, 0.1, *tank, *room, discharge=1.0)
        # Two equal openings in series: each takes half of g H Δρ (Bernoulli).
        assert 0.5 * light * speed**2 == pytest.approx(
            0.5 * GRAVITY * 0.1 * (heavy - light), rel=0.02
        )

    def test_assumed_bands_run_from_tight_to_open(self) -> None:
        lids = ("glass", "film over mesh", "glass with gaps", "mesh")
        bands = [assumed_air_changes(lid) for lid in lids]
        assert all(band.low < band.middle < band.high for band in bands)
        assert all(one.middle < other.middle for one, other in pairwise(bands))

    def test_a_gap_wider_than_a_tank_is_refused(self) -> None:
        with pytest.raises(OutOfRange):
            gap_flow(2.0, 0.1, 26.0, 2600.0, 19.0, 700.0)


class TestHeater:
    @pytest.mark.parametrize("name", READY)
    def test_the_heat_needed_is_what_the_balance_uses(self, name: str) -> None:
        card = TankCard.ready[name]
        need = needed(Tank.of(card), Room.of(card))
        assert need.heater_power == pytest.approx(
            balance(Tank.of(card), Room.of(card)).heater_power, rel=1e-6
        )
        assert sum(need.balance.heat) == pytest.approx(need.heater_power, rel=1e-6)

    def test_the_need_does_not_depend_on_the_mat_that_is_there(self) -> None:
        card = replace(TankCard.ready["wrack"], heater_power=4.0)
        strong = replace(card, heater_power=80.0)
        needs = [needed(Tank.of(c), Room.of(c)).heater_power for c in (card, strong)]
        assert needs[0] == pytest.approx(needs[1], rel=1e-6)

    def test_a_warm_room_needs_nothing(self) -> None:
        card = replace(TankCard.ready["wrack"], room_temperature=30.0)
        assert needed(Tank.of(card), Room.of(card)).heater_power == 0.0

    def test_the_next_size_is_the_least_that_does(self) -> None:
        assert next_size(28.0, 1.0) == 28.0
        assert next_size(28.1, 1.0) == 35.0
        assert next_size(28.0) == 35.0
        assert next_size(190.0) is None
        assert list(COMMON_SIZES) == sorted(COMMON_SIZES)

    def test_glass_is_warmer_while_the_mat_is_on_than_over_its_cycle(self) -> None:
        card = TankCard.ready["kelp"]
        need = needed(Tank.of(card), Room.of(card))
        mean, (glass, mat) = need.balance.wall_temperature, wall_while_on(need, card.heater_power)
        assert mean is not None
        assert mean < glass < mat
        assert wall_while_on(need, need.heater_power)[0] == pytest.approx(mean, abs=1e-3)

    def test_no_mat_and_a_hopeless_mat_are_refused_in_words(self) -> None:
        card = replace(TankCard.ready["wrack"], heater_power=0.0, heater_area=0.0)
        with pytest.raises(NoAnswer, match="area of the mat"):
            needed(Tank.of(card), Room.of(card))
        tiny = replace(card, heater_area=0.002, room_temperature=5.0)
        with pytest.raises(NoAnswer, match="larger area"):
            needed(Tank.of(tiny), Room.of(tiny))
