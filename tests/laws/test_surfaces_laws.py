"""What must hold at any surface, whatever the numbers: signs, order, balance, refusal."""

import math
from itertools import pairwise

import pytest

from calculators.air.mixture import vapour_pressure
from calculators.errors import OutOfRange
from calculators.surfaces import brine, conduction, convection, radiation
from calculators.surfaces.evaporation import evaporation_flux, mass_transfer_coefficient

SEA_LEVEL = 101325.0
BOWL = 0.04  # m, area / perimeter of a 16 cm bowl


def flux(water: float, air: float = 26.0, humidity: float = 0.75, **more: float) -> float:
    in_air = vapour_pressure(air, humidity, SEA_LEVEL)
    return evaporation_flux(water, air, in_air, SEA_LEVEL, BOWL, **more)


class TestEvaporation:
    def test_nothing_moves_at_equilibrium(self) -> None:
        assert flux(26.0, humidity=1.0) == pytest.approx(0.0, abs=1e-15)
        assert flux(26.0, humidity=0.98, water_activity=0.98) == pytest.approx(0.0, abs=1e-15)

    def test_vapour_settles_on_a_surface_below_the_dew_point(self) -> None:
        assert flux(18.0) < 0.0 < flux(26.0)

    def test_a_warm_pool_stirs_its_air_and_a_cool_one_lies_calm(self) -> None:
        in_air = vapour_pressure(26.0, 0.75, SEA_LEVEL)

        def speed(water: float) -> float:
            surface = vapour_pressure(water, 1.0, SEA_LEVEL)
            return mass_transfer_coefficient(water, surface, 26.0, in_air, SEA_LEVEL, BOWL)

        # 4 K either side: the same size of temperature difference, not the same air.
        assert speed(30.0) > 1.7 * speed(22.0)

    def test_vapour_alone_lifts_the_air_over_a_pool_as_warm_as_the_air(self) -> None:
        # Dry-air thinking would call this pool neutral: only conduction, k = (2/π) D / L.
        in_air = vapour_pressure(26.0, 0.4, SEA_LEVEL)
        surface = vapour_pressure(26.0, 1.0, SEA_LEVEL)
        speed = mass_transfer_coefficient(26.0, surface, 26.0, in_air, SEA_LEVEL, BOWL)
        assert speed > 4.0 * convection.STILL_PLATE * 2.6e-5 / BOWL

    def test_more_for_warmer_water_drier_air_and_a_breeze(self) -> None:
        # At rest a pool as heavy as its air has the calmest air of all, so "warmer" is held from
        # there on; a breeze of 5 cm/s is enough for it to hold everywhere.
        warmer = [flux(26.0 + step / 4.0) for step in range(60)]
        warmer_in_a_breeze = [flux(15.0 + step / 4.0, air_speed=0.05) for step in range(100)]
        drier = [flux(26.0, humidity=share / 50.0) for share in range(50, 0, -1)]
        windier = [flux(25.0, air_speed=speed / 20.0) for speed in range(40)]
        for series in (warmer, warmer_in_a_breeze, drier, windier):
            assert all(a < b for a, b in pairwise(series))

    def test_no_cliff_where_the_air_turns_from_calm_to_stirred(self) -> None:
        # 0.01 K must not move the flux by more than 5 % of what it is 2 K on.
        rates = [flux(23.0 + step / 100.0) for step in range(400)]
        assert max(abs(b - a) for a, b in pairwise(rates)) < 0.05 * rates[-1]

    @pytest.mark.parametrize("water", [24.0, 26.0, 28.0])
    def test_a_deep_rim_holds_water_back(self, water: float) -> None:
        rates = [flux(water, rim_depth=depth / 1000.0) for depth in range(0, 100, 5)]
        assert all(a >= b for a, b in pairwise(rates))
        assert rates[4] < 0.7 * rates[0]

    def test_a_deep_calm_column_is_stefan_diffusion(self) -> None:
        # Cool water, 1 m below the rim: the column alone decides, D p / (Rv T z) ln(...).
        # D of Massman, 0.2178 cm²/s (T / 273.15)^1.81; 3 % for the film that stays.
        in_air = vapour_pressure(26.0, 0.5, SEA_LEVEL)
        surface = vapour_pressure(20.0, 1.0, SEA_LEVEL)
        kelvin = 296.15
        diffusivity = 0.2178e-4 * (kelvin / 273.15) ** 1.81
        drive = math.log((SEA_LEVEL - in_air) / (SEA_LEVEL - surface))
        column = diffusivity * SEA_LEVEL / (461.523 * kelvin * 1.0) * drive
        assert flux(20.0, humidity=0.5, rim_depth=1.0) == pytest.approx(column, rel=0.03)

    def test_brine_gives_off_less(self) -> None:
        activity = brine.water_activity(0.035, 26.0)
        assert flux(26.0, water_activity=activity) < flux(26.0)
        # At 75 % a lowering of 1.9 % takes about 1.9 / 25 of the step away, and some stirring.
        share = flux(26.0, water_activity=activity) / flux(26.0)
        assert 0.88 < share < 0.94

    def test_thin_air_carries_vapour_faster(self) -> None:
        in_air = vapour_pressure(26.0, 0.75, 80000.0)
        assert evaporation_flux(26.0, 26.0, in_air, 80000.0, BOWL, 0.5) > flux(26.0, air_speed=0.5)

    @pytest.mark.parametrize(
        "wrong",
        [
            {"rim_depth": -0.01},
            {"water_activity": 1.2},
            {"air_speed": 9.0},
            {"air_speed": math.nan},
        ],
    )
    def test_refuses_what_the_equation_does_not_hold_for(self, wrong: dict[str, float]) -> None:
        with pytest.raises(OutOfRange):
            flux(26.0, **wrong)


class TestConvection:
    def test_grows_with_the_driving_difference_and_never_stops(self) -> None:
        rayleighs = [10.0 ** (step / 10.0) for step in range(-30, 100)]
        for law in (
            convection.nusselt_horizontal_unstable,
            convection.nusselt_horizontal_stable,
            lambda ra: convection.nusselt_vertical(ra, 0.7),
        ):
            values = [law(ra) for ra in rayleighs]
            assert all(a <= b for a, b in pairwise(values))
            assert law(0.0) > 0.0

    def test_no_jump_between_published_laws(self) -> None:
        for law in (convection.nusselt_horizontal_unstable, convection.nusselt_horizontal_stable):
            for step in range(-200, 990):
                below, above = law(10.0 ** (step / 100.0)), law(10.0 ** ((step + 0.1) / 100.0))
                assert above / below < 1.001

    def test_calm_air_carries_less_than_stirred_air(self) -> None:
        for step in range(10):
            rayleigh = 10.0**step
            calm = convection.nusselt_horizontal_stable(rayleigh)
            assert calm <= convection.nusselt_horizontal_unstable(rayleigh)

    def test_the_blend_is_each_published_law_a_few_kelvin_away_from_neutral(self) -> None:
        scale = 1e6
        for law, lighter in (
            (convection.nusselt_horizontal_unstable, 0.01),
            (convection.nusselt_horizontal_stable, -0.01),
        ):
            blended = convection.nusselt_horizontal(lighter, scale)
            assert blended == pytest.approx(law(0.01 * scale), rel=1e-3)

    def test_mixed_is_at_least_the_larger_and_at_most_the_sum(self) -> None:
        assert convection.mixed(3.0, 0.0) == pytest.approx(3.0)
        assert 4.0 < convection.mixed(3.0, 4.0) < 7.0
        assert convection.mixed(3.0, 4.0) == convection.mixed(4.0, 3.0)

    def test_wall_speed_is_the_same_up_a_warm_as_down_a_cold_wall(self) -> None:
        up = convection.boundary_layer_speed(32.0, 26.0, 0.3)
        assert up == convection.boundary_layer_speed(26.0, 32.0, 0.3)
        assert convection.boundary_layer_speed(26.0, 26.0, 0.3) == 0.0
        assert convection.boundary_layer_speed(32.0, 26.0, 0.075) == pytest.approx(up / 2.0)

    def test_refuses_out_of_range(self) -> None:
        with pytest.raises(OutOfRange, match="Rayleigh"):
            convection.nusselt_vertical(2e12, 0.7)
        with pytest.raises(OutOfRange):
            convection.nusselt_horizontal_stable(-1.0)
        with pytest.raises(OutOfRange, match="Reynolds"):
            convection.nusselt_forced_laminar(1e6, 0.7)
        with pytest.raises(OutOfRange):
            convection.boundary_layer_speed(60.0, 10.0, 1.5)


class TestRadiationAndConduction:
    def test_exchange_is_antisymmetric_and_zero_at_equal_temperatures(self) -> None:
        there = radiation.net_exchange(30.0, 20.0, 0.84)
        assert there == pytest.approx(-radiation.net_exchange(20.0, 30.0, 0.84))
        assert radiation.net_exchange(20.0, 20.0, 0.84) == 0.0

    def test_exchange_is_the_difference_of_two_emissions(self) -> None:
        ours = radiation.emission(30.0, 0.84) - radiation.emission(20.0, 0.84)
        assert radiation.net_exchange(30.0, 20.0, 0.84) == pytest.approx(ours)

    def test_layers_add_and_order_does_not_matter(self) -> None:
        glass = conduction.layer_resistance(0.004, conduction.GLASS.conductivity)
        foam = conduction.layer_resistance(0.02, conduction.EXPANDED_POLYSTYRENE.conductivity)
        assert conduction.u_value([glass, foam]) == conduction.u_value([foam, glass])
        assert conduction.u_value([glass, foam]) < conduction.u_value([glass])
        assert conduction.series_resistance([glass, foam]) == glass + foam

    def test_every_material_names_its_source(self) -> None:
        materials = [v for v in vars(conduction).values() if isinstance(v, conduction.Material)]
        assert materials
        assert all(material.source and 0.02 < material.conductivity < 2.0 for material in materials)

    def test_refuses_out_of_range(self) -> None:
        with pytest.raises(OutOfRange):
            radiation.emission(20.0, 1.1)
        with pytest.raises(OutOfRange):
            conduction.layer_resistance(-0.001, 1.0)
        with pytest.raises(OutOfRange):
            conduction.u_value([-0.1])


class TestBrine:
    def test_salt_makes_water_denser_and_warmth_lighter(self) -> None:
        rows = [brine.seawater_density(s / 1000.0, 25.0) for s in range(51)]
        assert all(a < b for a, b in pairwise(rows))
        warm = [brine.seawater_density(0.035, float(t)) for t in range(41)]
        assert all(a > b for a, b in pairwise(warm))

    def test_fresh_water_is_densest_near_4_degrees(self) -> None:
        densest = max(range(0, 400), key=lambda t: brine.density_of_water(t / 10.0))
        assert 38 <= densest <= 41

    @pytest.mark.parametrize("marking", brine.MARKINGS, ids=lambda marking: marking.name)
    def test_a_hydrometer_there_and_back(self, marking: brine.Marking) -> None:
        for salinity in (0.0, 0.020, 0.035, 0.050):
            for temperature in (18.0, 25.0, 30.0):
                reading = brine.specific_gravity(salinity, temperature, *marking[1:])
                found = brine.salinity_from_specific_gravity(reading, temperature, *marking[1:])
                assert found == pytest.approx(salinity, abs=2e-9)

    def test_the_marking_moves_the_salinity_by_grams(self) -> None:
        found = [
            brine.salinity_from_specific_gravity(1.0250, 25.0, marking.sample_at, marking.water_at)
            for marking in brine.MARKINGS
        ]
        assert 0.003 < max(found) - min(found) < 0.006

    def test_fresh_water_is_not_lowered_and_salt_lowers_more_and_more(self) -> None:
        assert brine.water_activity(0.0, 25.0) == 1.0
        rows = [brine.water_activity(s / 1000.0, 25.0) for s in range(51)]
        assert all(a > b for a, b in pairwise(rows))

    def test_refuses_out_of_range(self) -> None:
        with pytest.raises(OutOfRange):
            brine.seawater_density(0.06, 25.0)
        with pytest.raises(OutOfRange):
            brine.water_activity(0.035, 45.0)
        with pytest.raises(OutOfRange, match="specific gravity"):
            brine.salinity_from_specific_gravity(0.98, 25.0, 25.0, 25.0)
