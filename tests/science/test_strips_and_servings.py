"""A dip strip's marks, what a country calls one drink, and how long a bottle keeps."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from staveward.science.alcoholometry import standard_drinks
from staveward.science.bottles import keeping_days
from staveward.science.dip_strip import dip_strip
from staveward.science.errors import Inconsistent, OutOfRange
from staveward.science.geometry import BarrelShape
from staveward.science.servings import standard_drink_g, standard_drink_table


@settings(deadline=None)
@given(st.floats(1.0, 60.0), st.floats(0.02, 0.4), st.sampled_from(["parabolic", "spheroid", "cylinder"]))
def test_a_rod_wet_to_a_mark_means_the_marks_volume(capacity_l: float, share: float, profile: str):
    """Each mark read back through the barrel gives its volume; marks rise and end below the bung's stave."""
    shape = BarrelShape.from_capacity(capacity_l, profile)
    strip = dip_strip(shape, share * capacity_l)

    # Millimetres and back may leave the top mark a rounding above the bung's stave.
    dips_cm = np.minimum(strip.from_foot_mm / 10.0, shape.bilge_diameter_cm)
    assert np.allclose(shape.volume_at_dip_l(dips_cm), strip.volume_l, rtol=1e-9)
    assert np.all(strip.spacing_mm > 0)
    assert strip.from_foot_mm[-1] <= strip.full_mm * (1 + 1e-12)
    assert strip.spacing_mm.sum() == pytest.approx(strip.from_foot_mm[-1])
    assert strip.volume_l.size == int(1.0 / share + 1e-9)


def test_a_cylinders_marks_follow_the_circular_segment():
    """Lying cylinder: V = L (r^2 acos((r-h)/r) - (r-h) sqrt(2rh-h^2)) (closed form)."""
    strip = dip_strip(BarrelShape(20.0, 20.0, 30.0, "cylinder"), 1.0)

    for volume, mark in zip(strip.volume_l, strip.from_foot_mm, strict=True):
        h, r = mark / 10.0, 10.0
        segment = r * r * math.acos((r - h) / r) - (r - h) * math.sqrt(2 * r * h - h * h)
        assert 30.0 * segment / 1000.0 == pytest.approx(volume, rel=1e-9)


def test_marks_are_widest_at_foot_and_bung_and_say_when_they_are_too_close():
    """As in any lying barrel; a tenth of a litre on 20 L is under two millimetres in the middle."""
    coarse, fine = (dip_strip(BarrelShape.from_capacity(20.0), step) for step in (1.0, 0.1))

    middle = coarse.spacing_mm[len(coarse.spacing_mm) // 2]
    assert coarse.spacing_mm[0] > middle < coarse.spacing_mm[-1]
    assert not coarse.is_too_fine
    assert fine.is_too_fine


@pytest.mark.parametrize(
    ("step_l", "error"), [(0.0, OutOfRange), (-1.0, OutOfRange), (6.0, Inconsistent), (0.001, Inconsistent)]
)
def test_a_strip_without_marks_or_of_marks_alone_is_refused(step_l: float, error: type[Exception]):
    """With the argument's name."""
    with pytest.raises(error, match="step_l"):
        dip_strip(BarrelShape.from_capacity(5.0), step_l)


def test_a_country_has_its_own_drink():
    """25 mL at 40 % vol is 10 mL of ethanol: one unit in Great Britain by definition (10 mL), 0.56 in the US."""
    grams = 25 * 0.40 * 0.78924

    for country, each in (("GB", 8.0), ("US", 14.0), ("AT", 20.0)):
        drinks = float(standard_drinks(0.025, 40.0, standard_drink_g(country)))
        assert drinks == pytest.approx(grams / each, rel=1e-4)
    assert all(8.0 <= grams <= 20.0 for grams in standard_drink_table().values())


@pytest.mark.parametrize("country", ["", "XX", "gb", None])
def test_a_country_that_the_table_does_not_know_is_not_guessed(country: object):
    """With the argument's name and the countries that there are."""
    with pytest.raises(OutOfRange, match="country"):
        standard_drink_g(country)  # type: ignore[arg-type]


@given(st.floats(0, 1), st.floats(0, 1), st.floats(0, 100), st.booleans())
def test_a_fuller_and_a_stronger_bottle_never_keeps_shorter(
    gap: float, other: float, abv_pct: float, is_wine: bool
):
    """Falling with the gap; wine never longer than a spirit of the same strength, and always cold."""
    fuller, emptier = (keeping_days(one, abv_pct, is_wine_based=is_wine) for one in sorted((gap, other)))

    assert fuller.days >= emptier.days > 0
    assert keeping_days(gap, abv_pct, is_wine_based=True).days <= keeping_days(gap, abv_pct).days
    assert keeping_days(gap, abv_pct, is_wine_based=is_wine).is_kept_cold == (is_wine or abv_pct < 20)


@pytest.mark.parametrize(
    ("gap", "abv_pct", "is_wine", "days"),
    [
        (0.08, 30, False, 720),
        (0.081, 30, False, 360),
        (1 / 3, 29.9, False, 180),
        (0.5, 20, False, 90),
        (0.75, 19.9, False, 7),
        (0.76, 60, False, 30),
        (1.0, 25, False, 14),
        (0.0, 60, True, 60),
    ],
)
def test_a_bottle_keeps_as_the_table_says(gap: float, abv_pct: float, is_wine: bool, days: int):
    """Each limit belongs to the fuller row; common practice, no source."""
    assert keeping_days(gap, abv_pct, is_wine_based=is_wine).days == days


@pytest.mark.parametrize("abv_pct", [-0.5, 100.5])
def test_a_strength_that_cannot_be_keeps_no_time(abv_pct: float):
    """Refused by name."""
    with pytest.raises(OutOfRange) as caught:
        keeping_days(0.1, abv_pct)

    assert caught.value.argument == "abv_pct"
