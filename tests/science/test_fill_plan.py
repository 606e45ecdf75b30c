"""A recipe scaled to a barrel, with room to swell and something kept back."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from staveward.science.alcoholometry import density_from_abv_kg_m3
from staveward.science.blending import Part, blend
from staveward.science.errors import Inconsistent, OutOfRange, Underdetermined
from staveward.science.fill_plan import USUAL_HEADROOM, plan_fill
from staveward.science.soaking import soaked_l

RECIPE = [Part(0.6, 40.0), Part(0.3, 16.5, sugar_g_l=150.0), Part(0.02, 44.7)]
WOOD = {"area_m2": 0.164, "stave_mm": 14.5, "wood_state": "cured", "top_up_days": 28.0}


@settings(deadline=None)
@given(st.floats(1.0, 100.0), st.floats(0.0, 0.2), st.floats(0.0, 0.4))
def test_the_parts_make_what_is_mixed_at_the_recipes_strength(
    capacity_l: float, headroom: float, samples_l: float
):
    """Volume as planned, strength and sugar as in the recipe, nothing left over."""
    plan = plan_fill(RECIPE, capacity_l, **WOOD, headroom_fraction=headroom, samples_l=samples_l)
    made, recipe = blend(plan.parts), blend(RECIPE)

    assert float(made.volume_l) == pytest.approx(plan.mixed_l, rel=1e-9)
    assert float(made.abv_pct) == pytest.approx(float(recipe.abv_pct), rel=1e-9)
    assert float(made.sugar_g_l) == pytest.approx(float(recipe.sugar_g_l), rel=1e-9)
    assert plan.poured_l == pytest.approx(capacity_l * (1 - headroom))
    assert plan.mixed_l == plan.poured_l + plan.for_the_wood_l + plan.for_samples_l
    assert plan.for_the_wood_l == pytest.approx(float(soaked_l(28.0, 0.164, 14.5, "cured")))


def test_the_headroom_takes_a_warm_summer():
    """A 60 % vol spirit filled at 10 degrees swells less than the headroom by 35 (OIML R 22 densities)."""
    swollen = float(density_from_abv_kg_m3(60.0, 10.0) / density_from_abv_kg_m3(60.0, 35.0)) - 1.0

    assert 0.01 < swollen < USUAL_HEADROOM


@pytest.mark.parametrize(
    ("spoilt", "error"),
    [
        ({"capacity_l": 0.0}, OutOfRange),
        ({"headroom_fraction": 0.6}, OutOfRange),
        ({"headroom_fraction": -0.1}, OutOfRange),
        ({"samples_l": -0.1}, OutOfRange),
        ({"samples_l": 4.9}, Inconsistent),
        ({"top_up_days": float("nan")}, OutOfRange),
        ({"area_m2": 0.0}, OutOfRange),
        ({"wood_state": "soggy"}, OutOfRange),
        ({"parts": []}, Underdetermined),
    ],
)
def test_it_refuses_what_cannot_be(spoilt: dict[str, object], error: type[Exception]):
    """With the argument's name."""
    with pytest.raises(error, match=next(iter(spoilt))):
        plan_fill(**{"parts": RECIPE, "capacity_l": 5.0, **WOOD, **spoilt})  # type: ignore[arg-type]


def test_dry_wood_wants_more_kept_back_than_wet():
    """In the order of their thirst."""
    kept = [
        plan_fill(RECIPE, 5.0, **{**WOOD, "wood_state": state}).for_the_wood_l
        for state in ("wet", "cured", "stored_dry", "dry")
    ]

    assert np.all(np.diff(kept) > 0)
