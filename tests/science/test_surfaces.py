"""Wood by a surface of revolution, and the turning of a barrel as a clock."""

from __future__ import annotations

import math

import numpy as np
import pytest

from staveward.science.errors import OutOfRange
from staveward.science.geometry import BarrelShape, level_fraction

HEAD, BILGE, LENGTH = 12.0, 14.2, 15.8
PROFILES = {
    "parabolic": lambda u: BILGE / 2 - (BILGE - HEAD) / 2 * u**2,
    "cones": lambda u: BILGE / 2 - (BILGE - HEAD) / 2 * u,
    "spheroid": lambda u: np.sqrt((BILGE / 2) ** 2 - ((BILGE / 2) ** 2 - (HEAD / 2) ** 2) * u**2),
    "paraboloids": lambda u: np.sqrt((BILGE / 2) ** 2 - ((BILGE / 2) ** 2 - (HEAD / 2) ** 2) * u),
}


@pytest.mark.parametrize("profile", PROFILES)
def test_the_staves_are_a_surface_of_revolution(profile: str):
    """Sum of 200,000 cone frustums from middle to head, twice (four varieties of C. Hutton, Mensuration)."""
    u = np.linspace(0.0, 1.0, 200_001)
    radius, x = PROFILES[profile](u), u * LENGTH / 2
    slant = np.hypot(np.diff(radius), np.diff(x))
    side = 2 * np.sum(math.pi * (radius[1:] + radius[:-1]) * slant)
    shape = BarrelShape(HEAD, BILGE, LENGTH, profile)

    assert shape.side_area_cm2 == pytest.approx(side, rel=1e-7)
    half = shape.wetted_at_dip(BILGE / 2)
    assert half.side_cm2 == pytest.approx(side / 2, rel=1e-6)


@pytest.mark.parametrize("profile", [*PROFILES, "circular_arc"])
def test_a_part_wetted_standing_is_the_same_surface(profile: str):
    """The lowest third of a standing barrel is as large as its highest, and smaller than the one in the middle."""
    shape = BarrelShape(HEAD, BILGE, LENGTH, profile)
    depth = LENGTH / 3
    below, all_of_it = shape.wetted_standing(depth), shape.wetted_standing(LENGTH)

    above = shape.side_area_cm2 - shape.wetted_standing(LENGTH - depth).side_cm2
    assert below.side_cm2 == pytest.approx(above, rel=1e-7)
    assert all_of_it.side_cm2 == pytest.approx(shape.side_area_cm2, rel=1e-9)
    assert below.side_cm2 < shape.side_area_cm2 / 3


@pytest.mark.parametrize(
    ("dip_cm", "places"), [(7.1, (12.0, 4.0, 8.0)), (14.2, (12.0,)), (11.0, (12.0, 6.0))]
)
def test_the_turning_is_a_clock(dip_cm: float, places: tuple[float, ...]):
    """Even steps round the dial, the bung up first; as many as the wet arc wants (closed form)."""
    plan = BarrelShape(HEAD, BILGE, LENGTH).rotation_plan(dip_cm)

    assert plan.clock_positions == pytest.approx(places)
    assert plan.positions == len(places)


@pytest.mark.parametrize(
    ("argument", "good", "bad"),
    [
        ("length_to_bilge", 10.0, 10.1),
        ("length_to_bilge", 0.1, 0.09),
        ("head_to_bilge", 1.0, 1.01),
        ("volume_fraction", 1.0, 1.001),
    ],
)
def test_the_bounds_of_a_level_are_those_it_says(argument: str, good: float, bad: float):
    """The last value allowed answers, the next is refused."""
    usual = {"volume_fraction": 0.3, "head_to_bilge": 0.8, "length_to_bilge": 1.3}

    assert 0 < float(level_fraction(**{**usual, argument: good})) <= 1
    with pytest.raises(OutOfRange, match=argument):
        level_fraction(**{**usual, argument: bad})
