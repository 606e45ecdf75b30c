"""The whole club in one call against scipy's adaptive solver, one barrel at a time, in a climate that changes daily."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from staveward.science.ageing import LiquidEvent, simulate, simulate_segments
from staveward.science.alcoholometry import abv_pct_from_mass_fraction, density_kg_m3
from staveward.science.club_course import club_course
from staveward.science.errors import Inconsistent, OutOfRange
from staveward.science.evaporation import loss_g_per_day, usual_stave_mm, usual_wood_area_m2

DAYS = 12


def solved(
    volume_l: float, abv_pct: float, temp_c: np.ndarray, rh: np.ndarray, k: float, leak: float
) -> tuple:
    """Integrates one barrel of plain spirit with scipy from the public loss function, day after day."""
    area, stave = usual_wood_area_m2(volume_l), usual_stave_mm(volume_l)
    start = simulate(volume_l, abv_pct, 20.0, 0.5, area, stave, 0)
    masses = np.array([float(start.water_g), float(start.ethanol_g)])
    for day in range(temp_c.size):

        def rate(_: float, now: np.ndarray, day: int = day) -> list[float]:
            share = now[1] / now.sum()
            strength = float(abv_pct_from_mass_fraction(share))
            lost = loss_g_per_day(strength, temp_c[day], rh[day], area, stave, k)
            return [
                -float(lost.water_g_per_day) - leak * (1 - share),
                -float(lost.ethanol_g_per_day) - leak * share,
            ]

        masses = solve_ivp(rate, (0.0, 1.0), masses, method="RK45", rtol=1e-9, atol=1e-6).y[:, -1]
    share = masses[1] / masses.sum()
    return masses.sum() / float(density_kg_m3(share, 20.0)), float(abv_pct_from_mass_fraction(share))


def test_every_barrel_goes_as_an_adaptive_solver_says():
    """Sizes, strengths, multipliers and leaks apart; volume and strength to 1e-7 after twelve changing days."""
    draw = np.random.default_rng(4)
    volumes, strengths = [1.0, 4.75, 19.0], [42.0, 60.0, 71.0]
    k, leak = [0.8, 1.0, 1.7], [0.4, 0.0, 1.1]
    temp_c = 18 + 6 * np.sin(np.arange(DAYS) / 6) + draw.normal(0, 1, (3, DAYS))
    rh = np.clip(0.6 + draw.normal(0, 0.1, (3, DAYS)), 0, 1)
    area, stave = usual_wood_area_m2(volumes), usual_stave_mm(volumes)

    said = club_course(volumes, strengths, DAYS, temp_c, rh, area, stave, k=k, leak_g_per_day=leak)

    for row in range(3):
        volume, strength = solved(volumes[row], strengths[row], temp_c[row], rh[row], k[row], leak[row])
        assert said.volume_l[row, -1] == pytest.approx(volume, rel=1e-7)
        assert said.abv_pct[row, -1] == pytest.approx(strength, rel=1e-7)


@given(
    st.floats(1.0, 30.0),
    st.floats(15.0, 80.0),
    st.floats(0.0, 40.0),
    st.floats(0.0, 1.0),
    st.floats(0.1, 4.0),
)
@settings(max_examples=40, deadline=None)
def test_laws_of_a_course(volume_l: float, abv_pct: float, temp_c: float, rh_fraction: float, k: float):
    """Day 0 is the fill; days chain; one climate day by day is the same as in one go; a leak leaves strength alone."""
    area, stave = usual_wood_area_m2(volume_l), usual_stave_mm(volume_l)
    given_ = (volume_l, abv_pct, 12, temp_c, rh_fraction, area, stave)
    course = club_course(*given_, k=k)
    whole = simulate(volume_l, abv_pct, temp_c, rh_fraction, area, stave, 12, k=k)
    leaking = club_course(*given_, k=0.0, leak_g_per_day=3.0)

    assert course.volume_l[0, 0] == pytest.approx(volume_l, rel=1e-9)
    assert course.abv_pct[0, 0] == pytest.approx(abv_pct, rel=1e-9)
    if not course.is_empty[0, -1]:
        assert course.volume_l[0, -1] == pytest.approx(float(whole.volume_l), rel=1e-5)
    assert np.allclose(leaking.abv_pct, abv_pct, rtol=1e-9)
    assert np.all(np.diff(leaking.volume_l) < 0)


def test_a_sample_and_a_top_up_act_on_their_barrel_and_day_alone():
    """The neighbour goes its way."""
    fixed = (DAYS, 20.0, 0.55, 0.164, 14.5)
    plain = club_course([4.75, 4.75], 60.0, *fixed)
    events = [LiquidEvent(0, 5, -0.1), LiquidEvent(0, 10, 0.3, 40.0)]

    said = club_course([4.75, 4.75], 60.0, *fixed, events=events)

    assert np.array_equal(said.volume_l[1], plain.volume_l[1])
    assert np.array_equal(said.volume_l[0, :5], plain.volume_l[0, :5])
    assert said.volume_l[0, 5] == pytest.approx(plain.volume_l[0, 5] - 0.1, abs=1e-9)
    assert said.abv_pct[0, 5] == pytest.approx(plain.abv_pct[0, 5], abs=1e-9)
    assert said.abv_pct[0, 10] < plain.abv_pct[0, 10]


def test_segments_by_day_say_the_same():
    """The other way to run many barrels through a changing climate."""
    climate = [(1.0, 15.0 + day, 0.5 + 0.01 * day) for day in range(10)]
    temp_c, rh = np.array([row[1] for row in climate]), np.array([row[2] for row in climate])

    said = club_course(4.75, 60.0, 10, temp_c[None], rh[None], 0.164, 14.5, leak_g_per_day=0.5)
    other = simulate_segments(4.75, 60.0, climate, 0.164, 14.5, leak_g_per_day=0.5)

    assert said.volume_l[0, -1] == pytest.approx(float(other.volume_l), rel=1e-6)


@pytest.mark.parametrize(
    ("spoilt", "error"),
    [
        ({"days": 1.5}, OutOfRange),
        ({"days": -1}, OutOfRange),
        ({"rh_fraction": 55.0}, OutOfRange),
        ({"temp_c": float("nan")}, OutOfRange),
        ({"volume_l": 0.0}, OutOfRange),
        ({"abv_pct": 101.0}, OutOfRange),
        ({"leak_g_per_day": -1.0}, OutOfRange),
        ({"k": 30.0}, OutOfRange),
        ({"temp_c": [[20.0, 21.0]]}, Inconsistent),
        ({"area_m2": [0.1, 0.2, 0.3], "volume_l": [1.0, 2.0]}, Inconsistent),
    ],
)
def test_it_refuses_what_cannot_be(spoilt: dict[str, object], error: type[Exception]):
    """With the argument's name."""
    good = {
        "volume_l": 4.75,
        "abv_pct": 60.0,
        "days": 5,
        "temp_c": 20.0,
        "rh_fraction": 0.55,
        "area_m2": 0.164,
        "stave_mm": 14.5,
    }

    with pytest.raises(error, match=next(iter(spoilt))):
        club_course(**{**good, **spoilt})  # type: ignore[arg-type]
