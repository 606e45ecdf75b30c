"""Simulated cures: a sound new barrel drinks and is tight in time, a leaking one never is."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from staveward.science.curing import ExpectedDrink, Tightness, TopUpInterval, expected_drink, tightness
from staveward.science.errors import Inconsistent, OutOfRange
from staveward.science.evaporation import loss_g_per_day, usual_stave_mm, usual_wood_area_m2
from staveward.science.soaking import soaked_l
from staveward.science.vocabulary import CuringVerdict

# When a keeper tops up: after 4 h, before bed, then morning and evening.
HOURS = (0, 4, 10, 22, 34, 46, 58, 70)
TEMP_C, RH_FRACTION = 18.0, 0.60


def cured(
    capacity_l: float, leak_ml_per_dm2_day: float, seed: int, reading_u_ml: float, thirst: float = 1.0
) -> list[Tightness]:
    """Judges after every top-up of a barrel that drinks, evaporates and leaks; each top-up is read with an error.

    ``thirst`` is how much more than the model the wood drinks; a sound barrel's joints close with 8 h in the wet.
    """
    draw = np.random.default_rng(seed)
    area, stave = float(usual_wood_area_m2(capacity_l)), float(usual_stave_mm(capacity_l))
    dry_air = float(loss_g_per_day(0.0, TEMP_C, RH_FRACTION, area, stave).water_g_per_day)
    judged, steps = [], []
    for begin, end in pairwise(HOURS):
        drunk = 1000.0 * float(np.diff(soaked_l(np.array([begin, end]) / 24.0, area, stave, "dry"))[0])
        closing = 6.0 * 100.0 * area * 8.0 / 24.0 * (np.exp(-begin / 8.0) - np.exp(-end / 8.0))
        leaking = leak_ml_per_dm2_day * 100.0 * area * (end - begin) / 24.0
        gone = thirst * drunk + dry_air * (end - begin) / 24.0 / 0.998 + closing + leaking
        read = float(max(0.0, gone + draw.normal(0.0, reading_u_ml)))
        said = expected_drink(begin, end, TEMP_C, RH_FRACTION, area, stave)
        steps.append(TopUpInterval(begin, end, read, said.total_ml, said.u_ml))
        dry_joint_h = 24.0 if leak_ml_per_dm2_day == 0 and end >= 34 else 0.0
        judged.append(tightness(steps, 100.0 * area, dry_joint_h, reading_u_ml))
    return judged


@pytest.mark.parametrize("seed", range(20))
@pytest.mark.parametrize(("capacity_l", "reading_u_ml"), [(1.0, 1.0), (3.0, 2.0), (5.0, 2.0), (20.0, 5.0)])
def test_a_sound_new_barrel_comes_out_tight_within_72_hours(
    capacity_l: float, reading_u_ml: float, seed: int
):
    """Read with what suits its size: a syringe or small cylinder up to 5 L, a jug above."""
    judged = cured(capacity_l, 0.0, seed, reading_u_ml)

    assert any(one.verdict is CuringVerdict.TIGHT for one in judged)
    # A jug may be too coarse for two top-ups of a small barrel; then that is what it says.
    assert all(one.is_too_coarse for one in judged if one.verdict is CuringVerdict.NOT_CLOSING)


@pytest.mark.parametrize("seed", range(20))
@pytest.mark.parametrize(("capacity_l", "reading_u_ml"), [(1.0, 1.0), (3.0, 2.0), (5.0, 2.0), (20.0, 5.0)])
def test_a_leaking_barrel_does_not(capacity_l: float, reading_u_ml: float, seed: int):
    """A steady leak of twice the limit is never called tight, and is told from closing at the end."""
    judged = cured(capacity_l, 2.0, seed, reading_u_ml)

    assert all(one.verdict is not CuringVerdict.TIGHT for one in judged)
    # Only the figure is asked here: even joints that look dry do not make it tight.
    assert judged[-1].leak_upper_ml_per_dm2_day > 1.0


def test_nothing_taken_off_calls_a_sound_barrel_leaking():
    """Why the wood's own drinking is taken off: without it the same barrel fails at 34 h and passes with it."""
    area, stave = float(usual_wood_area_m2(5.0)), float(usual_stave_mm(5.0))
    plain, corrected = [], []
    for begin, end in ((0, 10), (10, 22), (22, 34)):
        said = expected_drink(begin, end, TEMP_C, RH_FRACTION, area, stave)
        plain.append(TopUpInterval(begin, end, said.total_ml))
        corrected.append(TopUpInterval(begin, end, said.total_ml, said.total_ml, said.u_ml))

    without, taken_off = (tightness(steps, 100.0 * area, 24.0, 2.0) for steps in (plain, corrected))

    assert without.verdict is not CuringVerdict.TIGHT
    assert taken_off.verdict is CuringVerdict.TIGHT
    assert taken_off.leak_ml_per_dm2_day == 0.0
    assert taken_off.wood_and_air_ml_per_h == pytest.approx(without.rate_ml_per_h)


def test_the_uncertainty_of_the_wood_is_shown_apart():
    """It adds up over the window and never moves the leak's upper bound."""
    steps = [TopUpInterval(0, 12, 60, 50, 15), TopUpInterval(12, 24, 40, 30, 9)]
    sure = [TopUpInterval(one.from_h, one.to_h, one.topped_up_ml, one.expected_ml) for one in steps]

    judged, without = tightness(steps, 16.0, 0.0), tightness(sure, 16.0, 0.0)

    assert judged.wood_and_air_u_ml_per_h == pytest.approx(24.0 / 24.0)
    assert without.wood_and_air_u_ml_per_h == 0.0
    assert without.leak_upper_ml_per_dm2_day == judged.leak_upper_ml_per_dm2_day


def test_what_the_wood_drinks_adds_up_and_air_takes_its_part():
    """Two stretches make one; wet air takes nothing, cured wood a quarter."""
    wood = {"temp_c": 20.0, "rh_fraction": 0.6, "area_m2": 0.164, "stave_mm": 14.5}
    whole = expected_drink(0, 24, **wood)
    parts = [expected_drink(0, 7, **wood), expected_drink(7, 24, **wood)]

    assert sum(part.total_ml for part in parts) == pytest.approx(whole.total_ml, rel=1e-12)
    assert expected_drink(0, 24, **{**wood, "rh_fraction": 1.0}).evaporated_ml == 0.0
    cured_wood = expected_drink(0, 24, **wood, wood_state="cured")
    assert cured_wood.soaked_ml == pytest.approx(0.25 * whole.soaked_ml)
    assert expected_drink(5, 5, **wood) == ExpectedDrink(0.0, 0.0, 0.0, 0.0)


@pytest.mark.parametrize(
    ("spoilt", "error"),
    [
        ({"from_h": -1.0}, OutOfRange),
        ({"to_h": 1.0}, Inconsistent),
        ({"to_h": float("nan")}, OutOfRange),
        ({"rh_fraction": 60.0}, OutOfRange),
        ({"area_m2": 0.0}, OutOfRange),
        ({"stave_mm": float("inf")}, OutOfRange),
        ({"wood_state": "soggy"}, OutOfRange),
    ],
)
def test_it_refuses_what_cannot_be(spoilt: dict[str, object], error: type[Exception]):
    """With the argument's name."""
    good = {
        "from_h": 2.0,
        "to_h": 8.0,
        "temp_c": 20.0,
        "rh_fraction": 0.6,
        "area_m2": 0.164,
        "stave_mm": 14.5,
    }

    with pytest.raises(error, match=next(iter(spoilt))):
        expected_drink(**{**good, **spoilt})  # type: ignore[arg-type]


def test_the_latest_stretch_tells_when_the_limit_is_reached():
    """Under the limit it is reached now; a steady fall is carried on; a rise never reaches it."""
    halving = [TopUpInterval(8.0 * row, 8.0 * row + 8.0, 400.0 / 2**row) for row in range(4)]
    rising = [TopUpInterval(8.0 * row, 8.0 * row + 8.0, 100.0 + 50.0 * row) for row in range(4)]
    dry = [*halving, TopUpInterval(32.0, 40.0, 1.0)]

    # 50 mL in 8 h on 16 dm2 is 9.375 times the limit; a halving takes 8 h.
    assert tightness(halving, 16.0, 0.0).predicted_tight_h == pytest.approx(32 + 8 * np.log2(9.375), rel=1e-3)
    assert tightness(rising, 16.0, 0.0).predicted_tight_h is None
    assert tightness(dry, 16.0, 0.0).predicted_tight_h == 40.0


def test_an_uneven_fall_is_the_weighted_line_through_its_latest_stretches():
    """numpy's weighted least squares of ln rate: a top-up is read to 2 mL and 2 %, the limit is 1 mL a dm2 a day."""
    lost = [410.0, 160.0, 150.0, 33.0, 30.0]
    steps = [TopUpInterval(8.0 * row, 8.0 * row + 8.0, volume) for row, volume in enumerate(lost)]
    latest = np.array(lost[-4:])
    sure = latest / np.hypot(2.0, 0.02 * latest)
    slope, _ = np.polyfit(8.0 * np.arange(1, 5) + 4.0, np.log(latest / 8.0), 1, w=sure)
    over_limit = 24.0 * lost[-1] / 8.0 / 16.0 / 1.0

    found = tightness(steps, 16.0, 0.0, 2.0).predicted_tight_h

    assert found == pytest.approx(40.0 + np.log(over_limit) / -slope, rel=1e-9)


def test_what_pours_out_or_is_cracked_goes_back_at_once():
    """Over a tenth of the capacity an hour after the first day; a crack whatever the figure (design value)."""
    first_day = [TopUpInterval(0.0, 1.0, 3000.0), TopUpInterval(1.0, 24.0, 100.0)]
    later = [*first_day, TopUpInterval(24.0, 26.0, 1001.0)]
    sound = [*first_day, TopUpInterval(24.0, 26.0, 999.0)]
    drunk = [*first_day, TopUpInterval(24.0, 26.0, 1001.0, expected_ml=10.0)]

    assert not tightness(first_day, 16.0, 0.0, capacity_l=5.0).is_rejected
    assert tightness(later, 16.0, 0.0, capacity_l=5.0).is_rejected
    assert not tightness(sound, 16.0, 0.0, capacity_l=5.0).is_rejected
    assert not tightness(drunk, 16.0, 0.0, capacity_l=5.0).is_rejected
    assert not tightness(later, 16.0, 0.0).is_rejected
    assert tightness(first_day, 16.0, 24.0, is_cracked=True).is_rejected
    with pytest.raises(OutOfRange, match="capacity_l"):
        tightness(later, 16.0, 0.0, capacity_l=0.0)
