"""What must hold in any tank at rest: closure, order, limits, the guide's insights."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import root

from calculators.air.mixture import vapour_pressure
from calculators.air.saturation import latent_heat
from calculators.surfaces.evaporation import evaporation_flux
from calculators.tank.balance import Balance, balance
from calculators.tank.card import TankCard
from calculators.tank.films import cross
from calculators.tank.flows import flows
from calculators.tank.geometry import Tank
from calculators.tank.newton import factorise, substitute
from calculators.tank.nodes import AIR, FRESH, Room, Setting, State
from tests.bench.balance import solve_many

SEA_LEVEL = 101325.0
READY = list(TankCard.ready)
# A tank whose parts are all there, in an ordinary room.
COMPLETE = replace(
    TankCard.ready["kelp"], room_temperature=20.0, room_humidity=0.5, heater_power=60.0
)


def at_rest(card: TankCard, **assumed: float) -> Balance:
    return balance(replace(Tank.of(card), **assumed), Room.of(card))


class TestClosure:
    @pytest.mark.parametrize("name", READY)
    def test_all_vapour_that_enters_the_air_leaves_it(self, name: str) -> None:
        found = at_rest(TankCard.ready[name])
        entering = sum(part for part in found.vapour if part > 0.0)
        assert sum(found.vapour) == pytest.approx(0.0, abs=1e-6 * entering)

    @pytest.mark.parametrize("name", READY)
    def test_all_heat_that_the_mat_gives_leaves_by_a_named_path(self, name: str) -> None:
        found = at_rest(TankCard.ready[name])
        assert sum(found.heat) == pytest.approx(found.heater_power, rel=1e-6)

    def test_heat_closes_when_vapour_is_counted_at_its_source(self) -> None:
        """Heat for evaporation recomputed from water and temperature alone."""
        found = at_rest(COMPLETE)
        fresh, marine = found.state.fresh_pool, found.state.marine_pool
        bubbled = 0.5 * (fresh + marine)
        at = {
            "fresh_pool": fresh, "marine_pool": marine,
            "substrate": found.substrate_temperature, "moss": found.state.moss,
            "bubbles": bubbled, "panes": found.panes_temperature, "lid": found.lid_temperature,
        }  # fmt: skip
        latent = sum(getattr(found.vapour, part) * latent_heat(t) for part, t in at.items())
        # What is left out, warming vapour from its source to the air, is below 1 % of it.
        assert found.heat.evaporation == pytest.approx(latent, rel=0.01)
        others = sum(found.heat) - found.heat.evaporation
        assert others + latent == pytest.approx(found.heater_power, rel=1e-3)

    def test_random_tanks_all_have_an_answer_that_closes(self) -> None:
        """The same draw of 100 000 is run by tests/bench/balance.py --tanks 100000."""
        solved, failed = solve_many(1500, seed=7)
        assert not failed, failed[0]
        for found in solved:
            assert max(found.heat_left, found.mass_left) < 1e-6
            scale = sum(abs(part) for part in found.heat) + 1e-2
            assert sum(found.heat) == pytest.approx(found.heater_power, abs=1e-5 * scale)
            assert 0.0 < found.relative_humidity <= 1.0
            assert found.dew_point <= found.air_temperature + 0.05
            assert 0.0 <= found.share_on <= 1.0

    def test_another_solver_from_another_start_finds_the_same_state(self) -> None:
        tank, room = Tank.of(COMPLETE), Room.of(COMPLETE)
        ours = balance(tank, room)
        setting = Setting(tank, room)
        absent = [k for k in range(7) if k not in setting.present]
        assert not absent

        def gains(x: np.ndarray) -> list[float]:
            found = flows(setting, State(*x[:8], 100.0 * x[8]), ours.heater_power)
            return [*found.gains, 2.4e6 * found.vapour_gain]

        start = [22.0, 22.0, 22.0, 22.0, 30.0, 22.0, 22.0, 24.0, 22.0]
        theirs = root(gains, start, method="hybr", tol=1e-11)
        assert theirs.success
        assert np.allclose(theirs.x[:8], ours.state[:8], atol=1e-4)
        assert 100.0 * theirs.x[8] == pytest.approx(ours.vapour_pressure, rel=1e-5)

    def test_a_warm_start_changes_nothing_but_the_time(self) -> None:
        tank, room = Tank.of(COMPLETE), Room.of(COMPLETE)
        cold = balance(tank, room)
        warm = balance(tank, room, at_rest(TankCard.ready["samphire"]).state)
        assert warm.state == pytest.approx(cold.state, rel=1e-6)

    def test_the_small_solver_agrees_with_a_large_one(self) -> None:
        draw = np.random.default_rng(3)
        for _ in range(20):
            matrix, right = draw.normal(size=(9, 9)), draw.normal(size=9)
            ours = substitute(factorise(matrix.tolist()), right.tolist())
            assert np.allclose(ours, np.linalg.solve(matrix, right), rtol=1e-8)


class TestThermostat:
    def test_the_share_on_holds_the_set_point(self) -> None:
        found = at_rest(COMPLETE)
        assert found.air_temperature == pytest.approx(COMPLETE.set_point, abs=1e-9)
        assert found.share_on * COMPLETE.heater_power == pytest.approx(found.heater_power)

    def test_a_small_mat_stays_on_and_says_so(self) -> None:
        found = at_rest(replace(COMPLETE, heater_power=10.0))
        assert found.heater_too_small
        assert found.share_on == 1.0
        assert found.air_temperature < COMPLETE.set_point - 1.0

    def test_a_warm_room_needs_no_heat(self) -> None:
        found = at_rest(replace(COMPLETE, room_temperature=32.0))
        assert found.heater_power == 0.0
        assert found.air_temperature > COMPLETE.set_point

    def test_a_mat_just_large_enough_is_on_nearly_all_the_time(self) -> None:
        enough = at_rest(COMPLETE).heater_power
        found = at_rest(replace(COMPLETE, heater_power=1.001 * enough))
        assert found.share_on == pytest.approx(1.0 / 1.001, rel=1e-4)
        short = at_rest(replace(COMPLETE, heater_power=0.999 * enough))
        assert short.heater_too_small
        assert short.air_temperature == pytest.approx(COMPLETE.set_point, abs=0.02)

    def test_a_colder_room_needs_more_heat(self) -> None:
        powers = [
            at_rest(replace(COMPLETE, room_temperature=room)).heater_power for room in (14, 18, 22)
        ]
        assert powers == sorted(powers, reverse=True)


class TestLimits:
    def test_without_a_heater_a_tank_is_nearly_as_warm_as_its_room(self) -> None:
        found = at_rest(replace(COMPLETE, heater_power=0.0, heater_area=0.0))
        # Evaporation cools it a little; nothing can warm it.
        assert 19.0 < found.air_temperature < 20.0
        assert found.wall_temperature is None

    def test_a_closed_tank_as_warm_as_its_room_fills_to_saturation(self) -> None:
        card = replace(COMPLETE, heater_power=0.0, air_flow=0.0, marine_pool_length=0.0)
        assert at_rest(card, air_changes=1e-9).relative_humidity > 0.995

    def test_only_salt_water_in_an_even_tank_stops_at_its_water_activity(self) -> None:
        card = replace(
            COMPLETE, heater_power=0.0, fresh_pool_length=0.0, moss_place="none", air_flow=0.0
        )
        found = at_rest(card, air_changes=1e-9, wetness=1e-9)
        assert found.relative_humidity == pytest.approx(0.981, abs=0.003)

    def test_a_gale_through_the_tank_brings_the_rooms_vapour(self) -> None:
        found = at_rest(replace(COMPLETE, heater_power=0.0), air_changes=2.0)
        room = vapour_pressure(20.0, 0.5, SEA_LEVEL)
        assert found.vapour_pressure == pytest.approx(room, rel=0.01)
        assert found.air_temperature == pytest.approx(20.0, abs=0.2)

    def test_more_insulation_always_saves_heat(self) -> None:
        powers = [
            at_rest(replace(COMPLETE, wall_insulation=t)).heater_power for t in (0, 0.01, 0.1)
        ]
        assert powers == sorted(powers, reverse=True)

    def test_condensation_needs_a_surface_below_the_dew_point(self) -> None:
        for name in READY:
            found = at_rest(TankCard.ready[name])
            for part, surface in (
                (found.vapour.panes, found.panes_temperature),
                (found.vapour.lid, found.lid_temperature),
            ):
                assert part <= 0.0
                assert (part < 0.0) == (surface < found.dew_point)

    def test_the_pool_of_a_tank_evaporates_as_the_pool_calculator_says(self) -> None:
        """One film for heat and vapour here, one for vapour there: within 3 %."""
        tank = Tank.of(COMPLETE)
        setting = Setting(tank, Room.of(COMPLETE))
        face = next(face for face in setting.faces if face.node == FRESH)
        humid = vapour_pressure(26.0, 0.8, SEA_LEVEL)
        for pool in (23.5, 25.0, 27.0):
            _, ours = cross(setting, face, pool, 26.0, humid, 0.1)
            theirs = evaporation_flux(pool, 26.0, humid, SEA_LEVEL, face.length, 0.1)
            assert ours / face.area == pytest.approx(theirs, rel=0.03)


class TestInsights:
    def test_in_a_cold_room_insulation_beats_water(self) -> None:
        """The coldest pane caps the humidity: what more water adds runs down the glass."""
        cold = replace(
            COMPLETE, room_temperature=12.0, heater_power=120.0, heater_area=0.15, air_flow=0.0
        )
        bare = at_rest(cold)
        wetter = at_rest(
            replace(cold, fresh_pool_length=0.28, marine_pool_length=0.28)  # 40 % more water
        )
        wrapped = at_rest(replace(cold, wall_insulation=0.02))
        assert bare.condensation > 0.0
        assert bare.relative_humidity < bare.highest_humidity + 0.05
        gained = wetter.relative_humidity - bare.relative_humidity
        assert wrapped.relative_humidity - bare.relative_humidity > 1.5 * gained

    def test_a_cool_bubbled_pool_can_lower_the_humidity(self) -> None:
        """Each bubble is saturated, but only at the cool pool's temperature."""
        moist = replace(
            COMPLETE, room_temperature=20.0, room_humidity=0.9, pools_place="away",
            moss_place="at the heated wall", moss_area=0.04, wall_insulation=0.05, air_flow=0.0,
            substrate_depth=0.02, set_point=28.0, heater_power=100.0,
        )  # fmt: skip
        still = at_rest(moist)
        bubbled = at_rest(replace(moist, air_flow=8e-3 / 60, pump_draws_from="room"))
        assert bubbled.vapour.bubbles > 0.0
        assert bubbled.relative_humidity < still.relative_humidity - 0.01
        # Drawn from the tank itself, the bubbles of such a pool take vapour out of the air.
        looped = at_rest(replace(moist, air_flow=8e-3 / 60, pump_draws_from="tank"))
        assert looped.fresh_pool_temperature < looped.dew_point
        assert looped.vapour.bubbles < 0.0

    @pytest.mark.parametrize("name", READY)
    def test_more_heat_raises_the_vapour_and_lowers_the_humidity(self, name: str) -> None:
        card = replace(TankCard.ready[name], heater_power=90.0, heater_area=0.12)
        cool = at_rest(card)
        warm = at_rest(replace(card, set_point=card.set_point + 2.0))
        assert warm.dew_point > cool.dew_point
        assert warm.relative_humidity < cool.relative_humidity

    def test_a_mesh_lid_cannot_be_out_evaporated(self) -> None:
        """Four times the water under mesh stays drier than a quarter of it under glass."""
        card = replace(TankCard.ready["wrack"], heater_power=100.0)
        ponds = replace(
            card, lid="mesh", fresh_pool_length=0.28, fresh_pool_width=0.30,
            marine_pool_length=0.28, marine_pool_width=0.30,
        )  # fmt: skip
        saucers = replace(
            card, lid="glass", fresh_pool_length=0.05, fresh_pool_width=0.08, marine_pool_length=0.0
        )
        assert at_rest(ponds).relative_humidity < at_rest(saucers).relative_humidity - 0.15

    def test_venting_into_a_more_humid_room_does_not_dry(self) -> None:
        muggy = replace(TankCard.ready["kelp"], room_humidity=0.9, air_flow=0.0)
        room = vapour_pressure(muggy.room_temperature, 0.9, SEA_LEVEL)
        # However wide the gap, the air never gets drier than the room's vapour makes it.
        for changes in (0.2, 2.0, 20.0, 200.0):
            assert at_rest(muggy, air_changes=changes / 3600).vapour_pressure > room
        # And a tank with less vapour than the room gets damper.
        dry = replace(
            muggy, fresh_pool_length=0.0, marine_pool_length=0.0, moss_place="none",
            heater_power=0.0, set_point=15.0,
        )  # fmt: skip
        humidity = [
            balance(replace(Tank.of(dry), wetness=1e-3, air_changes=n / 3600), Room(25.0, e))
            for n, e in ((0.2, 0.4 * room), (0.2, room), (20.0, room))
        ]
        assert humidity[1].vapour_pressure > humidity[0].vapour_pressure
        assert humidity[2].vapour_pressure == pytest.approx(room, rel=1e-3)

    def test_the_invented_tanks_show_what_their_stories_say(self) -> None:
        humidity = {name: at_rest(TankCard.ready[name]).relative_humidity for name in READY}
        assert 0.50 < humidity["wrack"] < 0.68
        assert humidity["kelp"] > 0.88
        assert 0.80 < humidity["samphire"] < 0.87


class TestOrder:
    @pytest.mark.parametrize(
        "change",
        [
            {"evaporation_factor": 1.5},
            {"wetness": 0.4},
            {"air_changes": 0.2 / 3600},
        ],
    )
    def test_what_adds_water_or_keeps_it_raises_the_humidity(
        self, change: dict[str, float]
    ) -> None:
        card = TankCard.ready["wrack"]
        assert at_rest(card, **change).relative_humidity > at_rest(card).relative_humidity + 0.01

    def test_pools_at_the_heated_wall_are_warmer_and_give_more(self) -> None:
        away, near = (
            at_rest(replace(COMPLETE, pools_place=place, air_flow=0.0))
            for place in ("away", "at the heated wall")
        )
        assert near.fresh_pool_temperature > away.fresh_pool_temperature + 0.3
        assert near.vapour.fresh_pool > away.vapour.fresh_pool

    def test_fog_forms_rather_than_a_humidity_above_one(self) -> None:
        """Hot wet moss in a cold, wrapped tank: the air holds no more."""
        card = replace(
            COMPLETE, moss_place="at the heated wall", moss_area=0.10, wall_insulation=0.1,
            set_point=30.0, heater_power=100.0, lid="film over mesh", room_temperature=24.0,
        )  # fmt: skip
        found = at_rest(card, air_changes=1e-7, film_factor=1.0)
        assert found.relative_humidity <= 1.0
        assert (found.relative_humidity == 1.0) == (found.vapour.fog < 0.0)

    def test_nodes_are_in_the_order_of_the_state(self) -> None:
        assert State._fields[AIR] == "air"
        assert State._fields[FRESH] == "fresh_pool"
