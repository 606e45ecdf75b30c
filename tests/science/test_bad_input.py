"""What cannot be is refused with the argument's name, the value and the bound; nothing is clipped in silence and
no result is ever not a number. The bounds are those the docstrings state."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from staveward.science import (
    ageing,
    alcoholometry,
    blending,
    bottles,
    curing,
    evaporation,
    gauging,
    geometry,
    holding,
    sharing,
    wood,
)
from staveward.science.blending import Part
from staveward.science.errors import Inconsistent, NoSolution, OutOfRange, ScienceError, Underdetermined

Call = Callable[..., Any]
WOOD = {"area_m2": 0.164, "stave_mm": 14.5}
CLIMATE = {"temp_c": 20.0, "rh_fraction": 0.55}
SHAPE = geometry.BarrelShape(12.0, 14.2, 15.8)
CASK = {"bilge_diameter_cm": 60.0, "head_diameter_cm": 48.0, "length_cm": 78.0}


def blend_of(**values: Any) -> blending.Blend:
    return blending.blend([Part(**values), Part(1.0, 40.0)])


def course_of(**values: Any) -> ageing.Trajectory:
    return ageing.trajectory(days=3, **values)


def guards_of(**values: Any) -> Any:
    return blending.mix_guards(**values)


# Every public function of numbers with arguments that it accepts; each argument is then spoilt in turn.
GOOD: dict[str, tuple[Call, dict[str, Any]]] = {
    "density_kg_m3": (alcoholometry.density_kg_m3, {"mass_fraction": 0.4, "temp_c": 20.0}),
    "mass_fraction_from_abv_pct": (alcoholometry.mass_fraction_from_abv_pct, {"abv_pct": 40.0}),
    "abv_pct_from_mass_fraction": (alcoholometry.abv_pct_from_mass_fraction, {"mass_fraction": 0.4}),
    "density_from_abv_kg_m3": (alcoholometry.density_from_abv_kg_m3, {"abv_pct": 40.0, "temp_c": 20.0}),
    "mass_fraction_from_density": (
        alcoholometry.mass_fraction_from_density,
        {"density_kg_m3": 948.0, "temp_c": 20.0},
    ),
    "abv_pct_from_density": (alcoholometry.abv_pct_from_density, {"density_kg_m3": 948.0, "temp_c": 20.0}),
    "mass_fraction_from_instrument": (
        alcoholometry.mass_fraction_from_instrument,
        {"density_mark_kg_m3": 948.0, "temp_c": 20.0},
    ),
    "abv_pct_from_reading": (
        alcoholometry.abv_pct_from_reading,
        {"apparent_pct": 40.0, "temp_c": 15.0, "calibrated_c": 20.0, "sugar_g_l": 0.0},
    ),
    "us_proof_from_abv_pct": (alcoholometry.us_proof_from_abv_pct, {"abv_pct": 40.0}),
    "abv_pct_from_us_proof": (alcoholometry.abv_pct_from_us_proof, {"proof": 80.0}),
    "pure_alcohol_l": (alcoholometry.pure_alcohol_l, {"volume_l": 5.0, "abv_pct": 40.0}),
    "ethanol_g": (alcoholometry.ethanol_g, {"volume_l": 5.0, "abv_pct": 40.0}),
    "proof_gallons": (alcoholometry.proof_gallons, {"volume_l": 5.0, "abv_pct": 40.0}),
    "standard_drinks": (alcoholometry.standard_drinks, {"volume_l": 0.05, "abv_pct": 40.0, "grams": 10.0}),
    "volume_at_20c_l": (gauging.volume_at_20c_l, {"volume_l": 5.0, "abv_pct": 40.0, "temp_c": 12.0}),
    "headspace_fill_ml": (bottles.headspace_fill_ml, {"bottle_ml": 500.0, "headspace_fraction": 0.05}),
    "neck_depth_mm": (bottles.neck_depth_mm, {"headspace_ml": 10.0, "bore_mm": 18.5}),
    "keeping_days": (bottles.keeping_days, {"headspace_fraction": 0.1, "abv_pct": 40.0}),
    "volume_from_weight_l": (
        gauging.volume_from_weight_l,
        {"weight_kg": 10.0, "density_20c_kg_m3": 948.0},
    ),
    "weight_in_air_kg": (gauging.weight_in_air_kg, {"volume_l": 5.0, "density_kg_m3": 948.0}),
    "capacity_by_four_measures_l": (
        gauging.capacity_by_four_measures_l,
        {**CASK, "middle_diameter_cm": 57.0},
    ),
    "capacity_by_general_rule_l": (gauging.capacity_by_general_rule_l, CASK),
    "capacity_by_mean_diameter_l": (gauging.capacity_by_mean_diameter_l, {**CASK, "factor": 0.65}),
    "capacity_by_diagonal_l": (gauging.capacity_by_diagonal_l, {"diagonal_cm": 60.0}),
    "end_volume_by_three_diameters_l": (
        gauging.end_volume_by_three_diameters_l,
        {"surface_diameter_cm": 60.0, "middle_diameter_cm": 57.0, "end_diameter_cm": 48.0, "depth_cm": 20.0},
    ),
    "old_ullage_fraction": (gauging.old_ullage_fraction, {"level_fraction": 0.4}),
    "blend": (blend_of, {"volume_l": 1.0, "abv_pct": 30.0, "sugar_g_l": 100.0, "temp_c": 18.0}),
    "water_to_reach_kg": (
        blending.water_to_reach_kg,
        {"volume_l": 1.0, "abv_pct": 60.0, "target_abv_pct": 40.0, "sugar_g_l": 0.0},
    ),
    "water_to_reach_l": (
        blending.water_to_reach_l,
        {"volume_l": 1.0, "abv_pct": 60.0, "target_abv_pct": 40.0, "sugar_g_l": 0.0},
    ),
    "volume_of_masses_l": (
        blending.volume_of_masses_l,
        {"ethanol_kg": 1.0, "water_kg": 1.0, "sugar_kg": 0.1},
    ),
    "apparent_abv_pct": (blending.apparent_abv_pct, {"abv_pct": 40.0, "sugar_g_l": 5.0}),
    "syrup_density_kg_m3": (blending.syrup_density_kg_m3, {"sugar_mass_fraction": 0.5}),
    "syrup_sugar_g_l": (blending.syrup_sugar_g_l, {"sugar_mass_fraction": 0.5}),
    "delle_units": (blending.delle_units, {"abv_pct": 16.0, "sugar_g_l": 50.0}),
    "flash_point_c": (blending.flash_point_c, {"abv_pct": 40.0}),
    "mix_guards": (
        guards_of,
        {
            "abv_pct": 30.0,
            "sugar_g_l": 50.0,
            "fill_fraction": 0.9,
            "weeks_slack": 1.0,
            "cellar_temp_c": 15.0,
            "strongest_allowed_pct": 60.0,
        },
    ),
    "level_fraction": (
        geometry.level_fraction,
        {"volume_fraction": 0.5, "head_to_bilge": 0.8, "length_to_bilge": 1.3},
    ),
    "BarrelShape": (
        geometry.BarrelShape,
        {"head_diameter_cm": 12.0, "bilge_diameter_cm": 14.2, "length_cm": 15.8, "weighed_capacity_l": 2.2},
    ),
    "from_capacity": (geometry.BarrelShape.from_capacity, {"capacity_l": 5.0}),
    "from_outside": (
        geometry.BarrelShape.from_outside,
        {
            "head_diameter_cm": 14.0,
            "bilge_diameter_cm": 16.8,
            "length_cm": 20.0,
            "stave_cm": 1.3,
            "chime_cm": 0.9,
            "head_thickness_cm": 1.2,
        },
    ),
    "volume_at_dip_l": (SHAPE.volume_at_dip_l, {"dip_cm": 7.0}),
    "dip_at_volume_cm": (SHAPE.dip_at_volume_cm, {"volume_l": 1.0}),
    "surface_at_dip_cm2": (SHAPE.surface_at_dip_cm2, {"dip_cm": 7.0}),
    "standing_volume_l": (SHAPE.standing_volume_l, {"depth_cm": 7.0}),
    "standing_depth_cm": (SHAPE.standing_depth_cm, {"volume_l": 1.0}),
    "wetted_at_dip": (SHAPE.wetted_at_dip, {"dip_cm": 7.0}),
    "wetted_area_cm2": (SHAPE.wetted_area_cm2, {"volume_l": 1.0}),
    "wetted_standing": (SHAPE.wetted_standing, {"depth_cm": 7.0}),
    "rotation_plan": (SHAPE.rotation_plan, {"dip_cm": 7.0, "overlap_deg": 10.0}),
    "capacity_uncertainty": (
        SHAPE.capacity_uncertainty,
        {"bilge_u_cm": 0.1, "head_u_cm": 0.1, "length_u_cm": 0.1, "shape_u": 0.01},
    ),
    "vapour_pressure_water_kpa": (evaporation.vapour_pressure_water_kpa, {"temp_c": 20.0}),
    "vapour_pressure_ethanol_kpa": (evaporation.vapour_pressure_ethanol_kpa, {"temp_c": 20.0}),
    "mole_fraction_from_mass_fraction": (
        evaporation.mole_fraction_from_mass_fraction,
        {"mass_fraction": 0.4},
    ),
    "activity_coefficients": (
        evaporation.activity_coefficients,
        {"mole_fraction_ethanol": 0.2, "temp_c": 20.0},
    ),
    "partial_pressures": (
        evaporation.partial_pressures,
        {"abv_pct": 40.0, "temp_c": 20.0, "sugar_kg_per_kg": 0.1},
    ),
    "loss_g_per_day": (
        evaporation.loss_g_per_day,
        {
            "abv_pct": 60.0,
            **CLIMATE,
            **WOOD,
            "k": 1.0,
            "sugar_kg_per_kg": 0.0,
            "wetted_fraction": 0.9,
            "dry_wood_share": 0.8,
            "ambient_ethanol_kpa": 0.0,
        },
    ),
    "crossover_rh": (evaporation.crossover_rh, {"abv_pct": 60.0, "temp_c": 20.0, "permeability_ratio": 0.1}),
    "usual_wood_area_m2": (evaporation.usual_wood_area_m2, {"capacity_l": 5.0}),
    "usual_stave_mm": (evaporation.usual_stave_mm, {"capacity_l": 5.0}),
    "standard_fills": (wood.standard_fills, {"days": 28.0}),
    "held_l": (wood.held_l, WOOD),
    "soaked_l": (lambda **values: wood.soaked_l(wood_state="dry", **values), {"days": 28.0, **WOOD}),
    "mixed_strength_pct": (
        wood.mixed_strength_pct,
        {"volume_l": 5.0, "abv_pct": 60.0, **WOOD, "held_abv_pct": 0.0, "days": 28.0},
    ),
    "wood_factor": (wood.wood_factor, {"wood_used": 0.5}),
    "strength_factor": (wood.strength_factor, {"abv_pct": 60.0}),
    "oak_index": (
        wood.oak_index,
        {
            "days": 28.0,
            "volume_l": 5.0,
            "area_m2": 0.164,
            "abv_pct": 60.0,
            "temp_c": 20.0,
            "wood_used": 0.2,
            "toast": 1.0,
            "reference_area_m2_m3": 8.95,
        },
    ),
    "oak_strength": (wood.oak_strength, {"typical_months": 5.0}),
    "carry_over_fraction": (
        wood.carry_over_fraction,
        {**WOOD, "volume_l": 5.0, "days": 28.0, "rinse": 0.5},
    ),
    "simulate": (
        ageing.simulate,
        {
            "volume_l": 5.0,
            "abv_pct": 60.0,
            **CLIMATE,
            **WOOD,
            "days": 3.0,
            "k": 1.0,
            "leak_g_per_day": 0.2,
            "sugar_g_l": 0.0,
        },
    ),
    "trajectory": (
        course_of,
        {
            "volume_l": 5.0,
            "abv_pct": 60.0,
            **CLIMATE,
            "capacity_l": 5.0,
            **WOOD,
            "sugar_g_l": 0.0,
            "k_median": 1.0,
            "k_spread": 1.6,
            "leak_median_g_per_day": 0.2,
            "leak_spread": 4.0,
        },
    ),
    "prior_leak_g_per_day": (ageing.prior_leak_g_per_day, {"capacity_l": 5.0}),
    "expected_yield_l": (ageing.expected_yield_l, {"volume_l": 5.0, "drain_loss_l": 0.05}),
    "calibrate": (
        ageing.calibrate,
        {
            "volume_l": 5.0,
            "abv_pct": 60.0,
            **CLIMATE,
            **WOOD,
            "capacity_l": 5.0,
            "predict_day": 3.0,
            "k_spread": 1.6,
            "leak_spread": 4.0,
        },
    ),
    "is_odd_reading": (ageing.is_odd_reading, {"value": 1.0, "expected": 1.1, "spread": 0.1}),
    "water_level_now": (
        holding.water_level_now,
        {
            "volume_l": 2.5,
            "days": 7.0,
            **CLIMATE,
            "capacity_l": 5.0,
            **WOOD,
            "k_spread": 1.6,
            "leak_spread": 4.0,
        },
    ),
    "top_up_due": (
        holding.top_up_due,
        {
            "volume_l": 2.5,
            **CLIMATE,
            "capacity_l": 5.0,
            **WOOD,
            "at_fraction": 0.45,
            "k_spread": 1.6,
            "leak_spread": 4.0,
        },
    ),
    "holding_solution": (
        holding.holding_solution,
        {"volume_l": 5.0, "citric_g_l": 0.8, "metabisulphite_g_l": 0.7},
    ),
    "active_so2_share": (holding.active_so2_share, {"ph": 3.0}),
    "so2_carried_mg_l": (holding.so2_carried_mg_l, {"total_so2_mg_l": 400.0, "carried_fraction": 0.05}),
    "bottle_count": (bottles.bottle_count, {"volume_l": 4.0, "fill_l": 0.5, "loss_l": 0.05}),
    "headspace_oxygen_mg_l": (
        bottles.headspace_oxygen_mg_l,
        {"headspace_fraction": 0.1, "temp_c": 20.0, "pressure_kpa": 101.0},
    ),
    "tightness": (
        lambda **values: curing.tightness([curing.TopUpInterval(0.0, 24.0, 20.0)], **values),
        {"inner_area_dm2": 9.0, "dry_joint_h": 12.0, "reading_u_ml": 5.0},
    ),
    "TopUpInterval": (
        lambda **values: curing.tightness([curing.TopUpInterval(**values)], 9.0, 12.0),
        {"from_h": 0.0, "to_h": 24.0, "topped_up_ml": 20.0, "expected_ml": 5.0},
    ),
}
# Arguments for which "none given" has a meaning of its own.
MAY_BE_NONE = {"weighed_capacity_l", "cellar_temp_c", "leak_median_g_per_day"}
NEVER = (np.nan, np.inf, -np.inf, 1e300, "five", True, [], [[1.0], [2.0, 3.0]])
SPOILT = [
    pytest.param(name, argument, value, id=f"{name}-{argument}-{value}")
    for name, (_, arguments) in GOOD.items()
    for argument in arguments
    for value in NEVER
    if not (value is True and argument == "rinse")
]


def numbers_of(answer: Any) -> list[Any]:
    """Every number in an answer, its properties included."""
    if dataclasses.is_dataclass(answer):
        return [
            number
            for field in dataclasses.fields(answer)
            for number in numbers_of(getattr(answer, field.name))
        ]
    if isinstance(answer, (tuple, list)):
        return [number for one in answer for number in numbers_of(one)]
    return [] if answer is None or isinstance(answer, str) else [answer]


@pytest.mark.parametrize("name", GOOD)
def test_it_answers_good_input_with_finite_numbers(name: str):
    """The row of the table that is spoilt below is itself fine."""
    function, arguments = GOOD[name]

    for number in numbers_of(function(**arguments)):
        assert np.all(np.isfinite(np.asarray(number, dtype=float)))


@pytest.mark.parametrize(("name", "argument", "value"), SPOILT)
def test_it_refuses_what_is_no_number(name: str, argument: str, value: Any):
    """Not a number, infinite, absurd, text, truth values, nothing and ragged lists."""
    function, arguments = GOOD[name]
    with pytest.raises(ScienceError) as caught:
        function(**{**arguments, argument: value})

    refused = caught.value
    assert refused.argument
    assert refused.bound
    assert refused.argument in str(refused)
    if isinstance(refused, OutOfRange):
        assert (
            refused.argument.split()[-1] in {argument, *argument.split("_")} or argument in refused.argument
        )


# A cold day, and figures that are differences.
MAY_BE_NEGATIVE = {"temp_c", "calibrated_c", "cellar_temp_c", "value", "expected"}


@pytest.mark.parametrize(
    ("name", "argument"),
    [
        pytest.param(name, argument, id=f"{name}-{argument}")
        for name, (_, arguments) in GOOD.items()
        for argument, value in arguments.items()
        if isinstance(value, (int, float)) and not isinstance(value, bool) and argument not in MAY_BE_NEGATIVE
    ],
)
def test_it_refuses_less_than_nothing(name: str, argument: str):
    """A little less, too: half of the unit, or one where only whole numbers count."""
    function, arguments = GOOD[name]
    less = -1 if isinstance(arguments[argument], int) else -0.5
    with pytest.raises(ScienceError):
        function(**{**arguments, argument: less})


@pytest.mark.parametrize("name", [name for name in GOOD if not MAY_BE_NONE & set(GOOD[name][1])])
def test_it_refuses_nothing_at_all(name: str):
    """None is no number."""
    function, arguments = GOOD[name]
    for argument in arguments:
        with pytest.raises(ScienceError):
            function(**{**arguments, argument: None})


WRONG: list[tuple[str, dict[str, Any], type[ScienceError], str]] = [
    ("density_kg_m3", {"mass_fraction": 1.0001}, OutOfRange, "mass_fraction"),
    ("density_kg_m3", {"temp_c": 40.1}, OutOfRange, "temp_c"),
    ("density_kg_m3", {"temp_c": -20.1}, OutOfRange, "temp_c"),
    ("mass_fraction_from_abv_pct", {"abv_pct": 100.1}, OutOfRange, "abv_pct"),
    ("mass_fraction_from_abv_pct", {"abv_pct": -0.1}, OutOfRange, "abv_pct"),
    ("abv_pct_from_density", {"density_kg_m3": 1005.0}, NoSolution, "density_kg_m3"),
    ("abv_pct_from_density", {"density_kg_m3": 780.0}, NoSolution, "density_kg_m3"),
    ("abv_pct_from_reading", {"sugar_g_l": 4.1}, Inconsistent, "sugar_g_l"),
    ("abv_pct_from_reading", {"sugar_g_l": [0.0, 150.0]}, Inconsistent, "sugar_g_l"),
    ("abv_pct_from_us_proof", {"proof": 201.0}, OutOfRange, "proof"),
    ("pure_alcohol_l", {"volume_l": -1.0}, OutOfRange, "volume_l"),
    ("blend", {"abv_pct": 98.0}, OutOfRange, "abv_pct"),
    ("blend", {"sugar_g_l": 901.0}, OutOfRange, "sugar_g_l"),
    ("blend", {"abv_pct": 60.0, "sugar_g_l": 800.0}, Inconsistent, "abv_pct"),
    ("blend", {"density_kg_m3": 701.0, "abv_pct": 90.0, "sugar_g_l": 50.0}, Inconsistent, "density_kg_m3"),
    ("blend", {"temp_c": 41.0}, OutOfRange, "temp_c"),
    ("volume_of_masses_l", {"ethanol_kg": -0.1}, OutOfRange, "ethanol_kg"),
    ("volume_of_masses_l", {"water_kg": -0.1}, OutOfRange, "water_kg"),
    ("volume_of_masses_l", {"sugar_kg": -0.1}, OutOfRange, "sugar_kg"),
    ("water_to_reach_kg", {"target_abv_pct": 61.0}, NoSolution, "target_abv_pct"),
    ("water_to_reach_kg", {"target_abv_pct": 0.0}, OutOfRange, "target_abv_pct"),
    ("apparent_abv_pct", {"abv_pct": 5.0, "sugar_g_l": 300.0}, NoSolution, "density_kg_m3"),
    ("flash_point_c", {"abv_pct": 4.0}, OutOfRange, "abv_pct"),
    ("mix_guards", {"fill_fraction": 1.2}, OutOfRange, "fill_fraction"),
    ("mix_guards", {"ingredients": ["sand"]}, OutOfRange, "ingredients"),
    ("mix_guards", {"allergens": ["pollen"]}, OutOfRange, "allergens"),
    ("BarrelShape", {"head_diameter_cm": 14.3}, OutOfRange, "head_diameter_cm"),
    ("BarrelShape", {"length_cm": 0.0}, OutOfRange, "length_cm"),
    ("BarrelShape", {"profile": "egg"}, OutOfRange, "profile"),
    ("BarrelShape", {"profile": "cylinder"}, Inconsistent, "head_diameter_cm"),
    ("BarrelShape", {"profile": "circular_arc", "length_cm": 2.0}, Inconsistent, "length_cm"),
    ("BarrelShape", {"weighed_capacity_l": 0.0}, OutOfRange, "weighed_capacity_l"),
    ("from_outside", {"stave_cm": 7.5}, Inconsistent, "stave_cm"),
    ("from_outside", {"length_cm": 4.0}, Inconsistent, "length_cm"),
    ("volume_at_dip_l", {"dip_cm": 14.3}, OutOfRange, "dip_cm"),
    ("dip_at_volume_cm", {"volume_l": 2.3}, OutOfRange, "volume_l"),
    ("standing_volume_l", {"depth_cm": 15.9}, OutOfRange, "depth_cm"),
    ("loss_g_per_day", {"rh_fraction": 55.0}, OutOfRange, "rh_fraction"),
    ("loss_g_per_day", {"temp_c": 45.1}, OutOfRange, "temp_c"),
    ("loss_g_per_day", {"abv_pct": 96.1}, OutOfRange, "abv_pct"),
    ("loss_g_per_day", {"k": 0.04}, OutOfRange, "k"),
    ("loss_g_per_day", {"area_m2": 0.0}, OutOfRange, "area_m2"),
    ("loss_g_per_day", {"stave_mm": 4.9}, OutOfRange, "stave_mm"),
    ("crossover_rh", {"abv_pct": 0.0}, OutOfRange, "abv_pct"),
    ("vapour_pressure_water_kpa", {"temp_c": -0.1}, OutOfRange, "temp_c"),
    ("standard_fills", {"days": -1.0}, OutOfRange, "days"),
    ("soaked_l", {"days": -1.0}, OutOfRange, "days"),
    ("wood_factor", {"wood_used": -0.1}, OutOfRange, "wood_used"),
    ("oak_index", {"volume_l": 0.0}, OutOfRange, "volume_l"),
    ("carry_over_fraction", {"rinse": 1.1}, OutOfRange, "rinse_before"),
    ("carry_over_fraction", {"rinse": "scrubbed"}, OutOfRange, "rinse_before"),
    ("simulate", {"days": 3651.0}, OutOfRange, "days"),
    ("simulate", {"leak_g_per_day": 501.0}, OutOfRange, "leak_g_per_day"),
    ("simulate", {"volume_l": 0.0}, OutOfRange, "volume_l"),
    ("trajectory", {"rh_fraction": 55.0}, OutOfRange, "rh_fraction"),
    ("trajectory", {"wood_state": "moist"}, OutOfRange, "wood_state"),
    ("trajectory", {"temp_c": np.full((1, 2), 20.0)}, Inconsistent, "temp_c"),
    ("trajectory", {"events": [ageing.LiquidEvent(1, 0.0, -0.1)]}, OutOfRange, "events barrel"),
    ("trajectory", {"events": [ageing.LiquidEvent(0, 4.0, -0.1)]}, OutOfRange, "events day"),
    ("trajectory", {"events": [ageing.LiquidEvent(0, 1.0, 0.1)]}, Inconsistent, "events abv_pct"),
    ("trajectory", {"events": [ageing.LiquidEvent(0, 1.0, -6.0)]}, Inconsistent, "events volume_l"),
    ("calibrate", {"weighings": [ageing.Weighing(1.0, 6.0)]}, Inconsistent, "tare_kg"),
    ("calibrate", {"strengths": [ageing.StrengthReading(5.0, 60.0)]}, Inconsistent, "predict_day"),
    (
        "calibrate",
        {"sugar_g_l": 50.0, "abv_pct": 30.0, "strengths": [ageing.StrengthReading(1.0, 30.0)]},
        Inconsistent,
        "strengths",
    ),
    ("calibrate", {"weighings": [ageing.Weighing(1.0, 6.0)] * 201, "tare_kg": 2.0}, OutOfRange, "weighings"),
    ("water_level_now", {"volume_l": 5.6}, Inconsistent, "volume_l"),
    ("water_level_now", {"days": -1.0}, OutOfRange, "days"),
    ("holding_solution", {"metabisulphite_g_l": 5.1}, OutOfRange, "metabisulphite_g_l"),
    ("bottle_count", {"loss_l": 4.1}, Inconsistent, "loss_l"),
    ("headspace_oxygen_mg_l", {"headspace_fraction": 1.0}, OutOfRange, "headspace_fraction"),
    ("TopUpInterval", {"to_h": 0.0}, Inconsistent, "intervals to_h"),
]


@pytest.mark.parametrize(("name", "spoilt", "error", "argument"), WRONG)
def test_it_names_argument_value_and_bound(
    name: str, spoilt: dict[str, Any], error: type[ScienceError], argument: str
):
    """The message can be shown as it is: which, what was given, what is allowed."""
    function, arguments = GOOD[name]
    with pytest.raises(error) as caught:
        function(**{**arguments, **spoilt})

    refused = caught.value
    assert refused.argument == argument
    assert refused.bound
    assert str(refused).startswith(f"{argument} is ")
    assert f"allowed: {refused.bound}" in str(refused)


@pytest.mark.parametrize(
    ("name", "one", "other"),
    [
        ("density_kg_m3", "mass_fraction", "temp_c"),
        ("abv_pct_from_density", "density_kg_m3", "temp_c"),
        ("abv_pct_from_reading", "apparent_pct", "temp_c"),
        ("volume_at_20c_l", "volume_l", "abv_pct"),
        ("volume_from_weight_l", "weight_kg", "density_20c_kg_m3"),
        ("blend", "volume_l", "abv_pct"),
        ("blend", "sugar_g_l", "temp_c"),
        ("water_to_reach_kg", "volume_l", "target_abv_pct"),
        ("level_fraction", "volume_fraction", "head_to_bilge"),
        ("loss_g_per_day", "abv_pct", "rh_fraction"),
        ("partial_pressures", "abv_pct", "temp_c"),
        ("crossover_rh", "abv_pct", "permeability_ratio"),
        ("held_l", "area_m2", "stave_mm"),
        ("oak_index", "days", "volume_l"),
        ("mixed_strength_pct", "volume_l", "days"),
        ("simulate", "volume_l", "area_m2"),
        ("simulate", "temp_c", "leak_g_per_day"),
        ("trajectory", "volume_l", "area_m2"),
        ("water_level_now", "volume_l", "days"),
        ("top_up_due", "volume_l", "area_m2"),
        ("holding_solution", "volume_l", "citric_g_l"),
        ("headspace_oxygen_mg_l", "headspace_fraction", "temp_c"),
    ],
)
def test_it_refuses_shapes_that_do_not_fit(name: str, one: str, other: str):
    """Two of one and three of the other."""
    function, arguments = GOOD[name]
    spoilt = {one: np.full(2, arguments[one]), other: np.full(3, arguments[other])}
    with pytest.raises(Inconsistent) as caught:
        function(**{**arguments, **spoilt})

    assert caught.value.argument
    assert "shape" in caught.value.bound or "climate" in caught.value.bound


def test_it_refuses_to_answer_from_nothing():
    """No part, no fill, no interval, no share, no water and no spirit."""
    for call in (
        lambda: blending.blend([]),
        lambda: blending.blend([Part(0.0, 40.0)]),
        lambda: wood.carry_over_fractions(0.164, 14.5, []),
        lambda: wood.wood_used([wood.WoodEvent((), 28.0)]),
        lambda: curing.tightness([], 9.0, 12.0),
        lambda: sharing.divide_bottles([], 3),
        lambda: sharing.divide_bottles([0, 0], 3),
    ):
        with pytest.raises(Underdetermined):
            call()


@pytest.mark.parametrize(
    ("shares", "bottles_given", "order"), [([1, -1], 3, None), ([1.5, 1], 3, None), ([1, 1], -1, None)]
)
def test_it_divides_whole_numbers_only(shares: list[Any], bottles_given: int, order: Any):
    """What must add up exactly is an integer."""
    with pytest.raises(OutOfRange):
        sharing.divide_bottles(shares, bottles_given, order)


def test_it_divides_by_a_complete_order_only():
    """A tie order names every row once."""
    with pytest.raises(Inconsistent) as caught:
        sharing.divide_bottles([1, 1], 1, [0, 0])

    assert caught.value.argument == "tie_order"


def test_each_error_is_the_built_in_it_refines():
    """Whoever catches ValueError or ArithmeticError catches ours."""
    for error in (OutOfRange, Inconsistent, Underdetermined):
        assert issubclass(error, ValueError)
    assert issubclass(NoSolution, ArithmeticError)
    assert str(OutOfRange("abv_pct", 101.0, "0 to 100 % vol")) == "abv_pct is 101; allowed: 0 to 100 % vol"
