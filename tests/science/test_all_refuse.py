"""No public function of the science lets something that is no number through: each is held by a table of spoilt input.

The tables stand in the tests of the rooms; here it is only seen to that none is forgotten.
"""

from __future__ import annotations

import inspect
import math
import re
from datetime import date
from typing import Any

import numpy as np
import pytest

from staveward.science import (
    agreement,
    alcoholometry,
    barrel_readings,
    blending,
    club_course,
    curing,
    dip_strip,
    fill_plan,
    forecast_scores,
    geometry,
    hold_care,
    known_course,
    liking,
    oak,
    oak_plan,
    sharing,
    soaking,
    vapour,
    wood,
)
from staveward.science.errors import ScienceError

from .test_bad_input import GOOD
from .test_docstrings import FUNCTIONS, entries_of, sections_of

SHAPE = geometry.BarrelShape(12.0, 14.2, 15.8)
WOOD = {"area_m2": 0.164, "stave_mm": 14.5}
TABLE = np.array([[9.0, 2, 5], [6, 1, 3], [8, 4, 6], [7, 1, 2], [10, 5, 6]])
# Functions beside those of test_bad_input, with arguments that they accept and the ones to spoil.
MORE: dict[str, tuple[Any, dict[str, Any], tuple[str, ...]]] = {
    "alcoholometry.ethanol_density_kg_m3": (
        alcoholometry.ethanol_density_kg_m3,
        {"temp_c": 20.0},
        ("temp_c",),
    ),
    "agreement.own_noise": (
        agreement.own_noise,
        {"first": [5.0] * 5, "second": [5.5] * 5},
        ("first", "second"),
    ),
    "agreement.intraclass_correlations": (
        agreement.intraclass_correlations,
        {"ratings": TABLE},
        ("ratings",),
    ),
    "agreement.kendall_w": (agreement.kendall_w, {"ratings": TABLE}, ("ratings",)),
    "agreement.rater_offsets": (
        lambda liking: agreement.rater_offsets([agreement.Glass("g", "a", liking)]),
        {"liking": 5.0},
        ("liking",),
    ),
    "club_course.club_course": (
        club_course.club_course,
        {
            "volume_l": 5.0,
            "abv_pct": 60.0,
            "days": 3,
            "temp_c": 18.0,
            "rh_fraction": 0.6,
            **WOOD,
            "k": 1.0,
            "leak_g_per_day": 0.1,
            "sugar_g_l": 0.0,
        },
        (
            "volume_l",
            "abv_pct",
            "days",
            "temp_c",
            "rh_fraction",
            "area_m2",
            "stave_mm",
            "k",
            "leak_g_per_day",
        ),
    ),
    "curing.expected_drink": (
        curing.expected_drink,
        {"from_h": 1.0, "to_h": 9.0, "temp_c": 18.0, "rh_fraction": 0.6, **WOOD},
        ("from_h", "to_h", "temp_c", "rh_fraction", "area_m2", "stave_mm"),
    ),
    "curing.tightness capacity": (
        lambda capacity_l: curing.tightness(
            [curing.TopUpInterval(0.0, 24.0, 20.0)], 9.0, 12.0, capacity_l=capacity_l
        ),
        {"capacity_l": 5.0},
        ("capacity_l",),
    ),
    "dip_strip.dip_strip": (dip_strip.dip_strip, {"shape": SHAPE, "step_l": 0.5}, ("step_l",)),
    "fill_plan.plan_fill": (
        fill_plan.plan_fill,
        {
            "parts": [blending.Part(1.0, 60.0)],
            "capacity_l": 5.0,
            **WOOD,
            "wood_state": "cured",
            "top_up_days": 28.0,
            "samples_l": 0.1,
            "headroom_fraction": 0.04,
        },
        ("capacity_l", "area_m2", "stave_mm", "top_up_days", "samples_l", "headroom_fraction"),
    ),
    "blending.masses_of": (
        lambda volume_l, abv_pct: blending.masses_of(blending.Part(volume_l, abv_pct)),
        {"volume_l": 1.0, "abv_pct": 40.0},
        ("volume_l", "abv_pct"),
    ),
    "blending.scale_to_barrel": (
        blending.scale_to_barrel,
        {"parts": [blending.Part(1.0, 60.0)], "volume_l": 5.0},
        ("volume_l",),
    ),
    "forecast_scores.crps_normal": (
        forecast_scores.crps_normal,
        {"mean": 5.0, "sd": 1.0, "observed": 6.0},
        ("mean", "sd", "observed"),
    ),
    "forecast_scores.pinball_loss": (
        forecast_scores.pinball_loss,
        {"quantile": 5.0, "observed": 6.0, "tau": 0.1},
        ("quantile", "observed", "tau"),
    ),
    "forecast_scores.interval_score": (
        forecast_scores.interval_score,
        {"low": 5.0, "high": 9.0, "observed": 6.0, "level": 0.8},
        ("low", "high", "observed", "level"),
    ),
    "forecast_scores.coverage": (
        forecast_scores.coverage,
        {"low": [5.0], "high": [9.0], "observed": [6.0]},
        ("low", "high", "observed"),
    ),
    "forecast_scores.score_next_scores": (
        forecast_scores.score_next_scores,
        {"mean": [5.0], "sd": [1.0], "observed": [6.0]},
        ("mean", "sd", "observed"),
    ),
    "forecast_scores.lead_bucket": (forecast_scores.lead_bucket, {"lead_weeks": 3.0}, ("lead_weeks",)),
    "forecast_scores.is_hindsight_fit": (
        forecast_scores.is_hindsight_fit,
        {"low_week": 4.0, "mid_week": 5.0, "high_week": 6.0, "last_tasted_week": 9.0},
        ("low_week", "mid_week", "high_week", "last_tasted_week"),
    ),
    "hold_care.water_change_every_h": (
        hold_care.water_change_every_h,
        {"temp_c": 12.0, "usual_h": 168.0},
        ("temp_c", "usual_h"),
    ),
    "hold_care.water_change_due_h": (hold_care.water_change_due_h, {"stood_h": 12.0}, ("stood_h",)),
    "hold_care.hold_advice": (hold_care.hold_advice, {"idle_days": 12.0}, ("idle_days",)),
    "hold_care.refill_gate": (
        hold_care.refill_gate,
        {"is_drained": True, "smells_sound": True, "rinses": 3, "soaked_h": 24.0, "so2_mg_l": 3.0},
        ("rinses", "soaked_h", "so2_mg_l"),
    ),
    "known_course.simulate_segments": (
        lambda days, temp_c, rh_fraction: known_course.simulate_segments(
            5.0, 60.0, [(days, temp_c, rh_fraction)], 0.164, 14.5
        ),
        {"days": 3.0, "temp_c": 18.0, "rh_fraction": 0.6},
        ("days", "temp_c", "rh_fraction"),
    ),
    "known_course.require_climate": (
        known_course.require_climate,
        {"temp_c": 18.0, "rh_fraction": 0.6},
        ("temp_c", "rh_fraction"),
    ),
    "known_course.require_leak": (known_course.require_leak, {"leak_g_per_day": 0.3}, ("leak_g_per_day",)),
    "liking.forecast_pull": (
        lambda day, liking_, prior_week, today_day: liking.forecast_pull(
            [liking.Tasting(day, "a", liking_)], prior_week, today_day
        ),
        {"day": 7.0, "liking_": 6.0, "prior_week": 6.0, "today_day": 14.0},
        ("day", "liking_", "prior_week", "today_day"),
    ),
    "liking.prior_best_week": (
        liking.prior_best_week,
        {"capacity_l": 5.0, "wood_used": 0.2},
        ("capacity_l", "wood_used"),
    ),
    "oak.oak_index_months": (
        oak.oak_index_months,
        {"days": 28.0, "volume_l": 5.0, "area_m2": 0.164, "abv_pct": 60.0, "temp_c": 20.0},
        ("days", "volume_l", "area_m2", "abv_pct", "temp_c"),
    ),
    "oak_plan.oak_level": (oak_plan.oak_level, {"wood_used": 0.3}, ("wood_used",)),
    "oak_plan.usual_weeks": (oak_plan.usual_weeks, {"capacity_l": 5.0, "wood_used": 0.1}, ("capacity_l",)),
    "sharing.divide_bottling": (
        sharing.divide_bottling,
        {"total_ml": 4630, "bottle_ml": 700, "shares": [500, 500]},
        ("total_ml", "bottle_ml"),
    ),
    "sharing.divide_sizes": (
        lambda heel_ml, fill_ml, count: sharing.divide_sizes([(fill_ml, count)], [2, 1], heel_ml),
        {"heel_ml": 130, "fill_ml": 500, "count": 7},
        ("heel_ml", "fill_ml", "count"),
    ),
    "sharing.split_cost": (sharing.split_cost, {"cost": 999, "shares": [1, 1]}, ()),
    "vapour.climate_factors": (vapour.climate_factors, {"temp_c": 20.0}, ("temp_c",)),
    "carry_over.carry_over_fractions": (
        lambda volume_l, days: wood.carry_over_fractions(0.164, 14.5, [(volume_l, days)]),
        {"volume_l": 5.0, "days": 28.0},
        ("volume_l", "days"),
    ),
    "soaking.require_wood": (soaking.require_wood, WOOD, ("area_m2", "stave_mm")),
    "wood.wood_used": (
        lambda days: wood.wood_used([wood.WoodEvent("rum", days)]),
        {"days": 28.0},
        ("days",),
    ),
    "barrel_readings.is_odd_reading": (
        barrel_readings.is_odd_reading,
        {"value": 1.0, "expected": 1.1, "spread": 0.1},
        ("value", "expected", "spread"),
    ),
}
NEVER = (math.nan, math.inf, -math.inf, "five", [])


@pytest.mark.parametrize(
    ("name", "argument", "value"),
    [
        pytest.param(name, argument, value, id=f"{name}-{argument}-{value}")
        for name, (_, _, spoilt) in MORE.items()
        for argument in spoilt
        for value in NEVER
    ],
)
def test_it_refuses_what_is_no_number(name: str, argument: str, value: Any):
    """Not a number, infinite, text and nothing: an error of ours that names argument, value and bound."""
    function, good, _ = MORE[name]
    with pytest.raises(ScienceError) as caught:
        function(**{**good, argument: value})

    assert caught.value.argument
    assert caught.value.bound


# A cold day, and figures that are differences; a score takes any number.
MAY_BE_NEGATIVE = {"temp_c", "value", "expected"}


@pytest.mark.parametrize(
    ("name", "argument"),
    [
        pytest.param(name, argument, id=f"{name}-{argument}")
        for name, (_, _, spoilt) in MORE.items()
        for argument in spoilt
        if argument not in MAY_BE_NEGATIVE and not name.startswith("forecast_scores.")
    ],
)
def test_it_refuses_less_than_nothing(name: str, argument: str):
    """A little less, too: half of the unit, or one where only whole numbers count."""
    function, good, _ = MORE[name]
    less = -1 if isinstance(good[argument], int) else -0.5
    with pytest.raises(ScienceError):
        function(**{**good, argument: less})


@pytest.mark.parametrize("name", [name for name, row in MORE.items() if row[2]])
def test_the_row_that_is_spoilt_is_fine_itself(name: str):
    """Else the refusal would prove nothing."""
    function, good, _ = MORE[name]

    assert function(**good) is not None


# What takes no number of its own: words, dates, records that check themselves, tables and checks.
WITHOUT_NUMBERS = {
    "barrel_measures.BarrelMeasures.odd_proportions",
    "errors.require_number",
    "vapour.pressures_of",  # the inner step of a long run, whose door checks
    "agreement.krippendorff_alpha",  # gaps are told by not-a-number, on purpose
    "agreement.rater_agreement",
    "bookings.is_overlap",
    "bookings.next_free_start",
    "bookings.overlapping_pairs",
    "carry_over.allergen_conflicts",
    "carry_over.allergen_memory",
    "carry_over.suits_next",
    "errors.in_words",
    "errors.require_choice",
    "errors.require_numbers",
    "errors.require_same_shape",
    "errors.unwrap",
    "evaporation.require_transport",
    "forecast_scores.score_forecasts",
    "forecast_scores.wilson_interval",
    "holding.half_mark_cm",
    "holding.lowest_mark_cm",
    "planning.carry_values",
    "planning.first_keeper_day",
    "planning.half_up",
    "planning.priority",
    "planning.rank_barrels",
    "season.season_plan",
    "servings.standard_drink_g",
    "servings.standard_drink_table",
    "sharing.divide_bottles",
    "sharing.split_cost",
    "sharing.tie_order_of",
    "tables.read_column",
    "tables.read_header",
    "tables.read_rows",
    "vocabulary.care_rules_for",
    "wood.fills_left",
    "wood.fills_left_by_spirit",
    "wood.fills_left_many",
    "wood.wood_limits",
}


SCALARS = [
    pytest.param(function, good, argument, id=f"{name}-{argument}")
    for name, (function, good) in [*GOOD.items(), *((name, row[:2]) for name, row in MORE.items())]
    for argument in good
    if inspect.isfunction(inspect.unwrap(function))
    and re.search(
        rf"^[\w, ]*\b{argument}\b[\w, ]* : (float|int)[\w ]*, scalar$", inspect.getdoc(function) or "", re.M
    )
]


def test_many_numbers_are_told_from_one():
    """The table below is not empty."""
    assert len(SCALARS) > 60


@pytest.mark.parametrize(("function", "good", "argument"), SCALARS)
def test_it_refuses_many_where_one_is_meant(function: Any, good: dict[str, Any], argument: str):
    """Two numbers for an argument that is told as one."""
    with pytest.raises(ScienceError) as caught:
        function(**{**good, argument: [good[argument], good[argument]]})

    assert caught.value.argument


def test_no_function_is_forgotten():
    """Every public function stands in one of the tables, or among those that take no number or refuse elsewhere."""
    known = {inspect.unwrap(row[0]) for row in MORE.values()} | {
        getattr(row[0], "__func__", inspect.unwrap(row[0])) for row in GOOD.values()
    }
    named = set(MORE) | WITHOUT_NUMBERS | {f".{name}" for name in GOOD}
    forgotten = [
        name
        for name, function in FUNCTIONS
        if function not in known and name not in named and f".{name.split('.')[-1]}" not in named
    ]

    assert forgotten == []


def test_a_date_is_no_number():
    """A day of the calendar where days since the fill are meant."""
    with pytest.raises(ScienceError):
        wood.soaked_l(date(2031, 5, 5), 0.164, 14.5, "dry")  # type: ignore[arg-type]


TOLD_BOUND = re.compile(r"(?:^|\s|\[)(-?\d+(?:\.\d+)?) (?:up )?to (-?\d+(?:\.\d+)?)(?=[\s,;.\]])")


# Zero or 0.05 to 20; a climate's two bounds in one entry; bounds of the readings, which are not the argument's.
TOLD_OTHERWISE = {
    ("simulate", "k"),
    ("loss_g_per_day", "k"),
    ("club_course.club_course", "k"),
    ("calibrate", "temp_c"),
    ("calibrate", "rh_fraction"),
}


def told_bounds() -> list[Any]:
    """Every argument whose docstring tells from where to where, with the row that serves its function."""
    found = []
    rows = [*GOOD.items(), *((name, row[:2]) for name, row in MORE.items())]
    for name, (function, good) in rows:
        bare = inspect.unwrap(getattr(function, "__func__", function))
        for head, text in entries_of(sections_of(bare)[1].get("Parameters", "")):
            told = TOLD_BOUND.findall(text)
            for argument in (word.strip() for word in head.split(" : ")[0].split(",")):
                if told and argument in good and (name, argument) not in TOLD_OTHERWISE:
                    found.append(
                        pytest.param(function, good, argument, told[0], id=f"{name}-{argument}-{told[0]}")
                    )
    return found


BOUNDS_TOLD = told_bounds()


@pytest.mark.parametrize(("function", "good", "argument", "told"), BOUNDS_TOLD)
def test_it_holds_the_bounds_that_it_tells(
    function: Any, good: dict[str, Any], argument: str, told: tuple[str, str]
):
    """What is told from where to where is refused a hair beyond either end, and named with those ends."""
    low, high = (float(edge) for edge in told)
    for beyond in (low - 1e-6, high + 1e-6):
        spoilt = np.full_like(good[argument], beyond) if np.ndim(good[argument]) else beyond
        with pytest.raises(ScienceError) as caught:
            function(**{**good, argument: spoilt})

        assert (
            f"{low:g} to {high:g}" in caught.value.bound or f"{low:g}, up to {high:g}" in caught.value.bound
        )


def test_many_bounds_are_told():
    """The table above is not empty."""
    assert len(BOUNDS_TOLD) > 50
