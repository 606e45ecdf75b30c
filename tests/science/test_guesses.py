"""What a guessed climate adds to a band, what events do at their edges, and when a leak is suspected."""

from __future__ import annotations

import numpy as np
import pytest

from staveward.science.ageing import LiquidEvent, StrengthReading, Weighing, calibrate, simulate, trajectory
from staveward.science.carry_over import RINSE_SHARE
from staveward.science.errors import OutOfRange
from staveward.science.oak import oak_index_months

BARREL = {"area_m2": 0.164, "stave_mm": 14.5}
DAYS = 60


def band_of(temp_c: float, rh_fraction: float, *, is_guessed: bool) -> tuple[float, float, float]:
    """Gives the last day's band of one barrel whose k and leak are known."""
    course = trajectory(
        4.75,
        60.0,
        DAYS,
        temp_c,
        rh_fraction,
        5.0,
        **BARREL,
        is_climate_guessed=is_guessed,
        k_spread=1.0,
        leak_spread=1.0,
        leak_median_g_per_day=0.0,
    )
    low, mid, high = (
        float(one[0, -1]) for one in (course.volume_low_l, course.volume_mid_l, course.volume_high_l)
    )
    return low, mid, high


def test_a_guess_widens_by_three_degrees_and_a_tenth_of_humidity():
    """Half the change over plus and minus one standard uncertainty of each, in quadrature with the model's own 0.15.

    Without spread of k and leak the band is that error alone, so bands are as wide as the errors are large.
    """
    temp_c, rh = 18.0, 0.6

    def volume(warmer: float, damper: float) -> float:
        return float(simulate(4.75, 60.0, temp_c + warmer, rh + damper, **BARREL, days=DAYS).volume_l)

    by_warmth = (volume(3.0, 0.0) - volume(-3.0, 0.0)) / 2
    by_damp = (volume(0.0, 0.1) - volume(0.0, -0.1)) / 2
    own = 0.15 * (4.75 - volume(0.0, 0.0))

    measured, guessed = band_of(temp_c, rh, is_guessed=False), band_of(temp_c, rh, is_guessed=True)

    widened = (guessed[2] - guessed[0]) / (measured[2] - measured[0])
    assert widened == pytest.approx(np.sqrt(own**2 + by_warmth**2 + by_damp**2) / own, rel=1e-3)
    assert guessed[1] == pytest.approx(measured[1])
    assert abs(by_damp) > 0.05 * own


def test_a_guess_at_the_edge_of_the_climate_stays_inside_it():
    """Saturated air and a cold cellar: the shift is cut to what can be, and the band is still one."""
    low, mid, high = band_of(1.0, 1.0, is_guessed=True)

    assert low < mid < high


def test_an_event_of_nothing_is_nothing():
    """A sample or top-up of no volume needs no strength and changes no course."""
    given = (4.75, 60.0, 5, 20.0, 0.55, 5.0)
    plain = trajectory(*given, **BARREL)
    none = trajectory(*given, **BARREL, events=[LiquidEvent(0, 2.0, 0.0)])

    assert np.array_equal(plain.volume_mid_l, none.volume_mid_l)


def test_a_strength_is_read_with_the_extract_it_says():
    """Three tenths of a gram a litre unless the reader knows better (working assumption)."""
    assert StrengthReading(10.0, 58.0) == StrengthReading(10.0, 58.0, 0.3)


@pytest.mark.parametrize(("good", "bad"), [(0.4, 0.39), (0.7, 0.71)])
def test_the_bounds_of_the_time_law_are_those_it_says(good: float, bad: float):
    """0.4 to 0.7, ends included."""
    given = (28, 5.0, 0.164, 60.0, 20.0)

    assert float(oak_index_months(*given, exponent=good)) > 0
    with pytest.raises(OutOfRange, match="exponent"):
        oak_index_months(*given, exponent=bad)


def test_a_course_runs_dry_on_its_own_day():
    """Of two barrels the one that is drained on the second day is empty from then on, the other never."""
    drained = LiquidEvent(barrel=0, day=2.0, volume_l=-4.71)

    course = trajectory(
        [4.75, 4.75], 60.0, 20, 20.0, 0.55, [5.0, 5.0], [0.164, 0.164], [14.5, 14.5], events=[drained]
    )

    assert course.is_empty.shape == course.volume_mid_l.shape == (2, 21)
    first = int(np.argmax(course.is_empty[0]))
    assert first == 2
    assert course.is_empty[0, first:].all()
    assert not course.is_empty[1].any()


@pytest.mark.parametrize(("share", "is_empty"), [(0.98, False), (0.995, True)])
def test_a_sample_of_all_but_a_hundredth_empties_the_barrel(share: float, is_empty: bool):
    """What is left then only wets the wood."""
    course = trajectory(4.75, 60.0, 3, 20.0, 0.55, 5.0, **BARREL, events=[LiquidEvent(0, 0.0, -4.75 * share)])

    assert bool(course.is_empty[0, -1]) == is_empty


@pytest.mark.parametrize(("leak_g_per_day", "is_suspected"), [(0.25, False), (12.0, True)])
def test_a_leak_is_suspected_only_where_the_scales_say_so(leak_g_per_day: float, is_suspected: bool):
    """Weighed to five grams over eight weeks: the usual leak of 5 L, and fifty times as much."""
    days = np.arange(4.0, 57.0, 4.0)
    true = [
        simulate(4.75, 60.0, 18.0, 0.6, **BARREL, days=day, leak_g_per_day=leak_g_per_day) for day in days
    ]
    weighings = [
        Weighing(float(day), float(one.water_g + one.ethanol_g) / 1000.0 + 2.0, 0.005)
        for day, one in zip(days, true, strict=True)
    ]
    readings = [StrengthReading(float(day), float(one.abv_pct)) for day, one in zip(days, true, strict=True)]

    said = calibrate(
        4.75,
        60.0,
        18.0,
        0.6,
        **BARREL,
        capacity_l=5.0,
        predict_day=60.0,
        weighings=weighings,
        tare_kg=2.0,
        strengths=readings,
    )

    assert said.is_leak_suspected == is_suspected


def test_a_longer_rinse_takes_more_and_never_all():
    """Shares between nothing and everything, in the order of the trouble taken (working assumptions)."""
    shares = [
        RINSE_SHARE[rinse]
        for rinse in ("none", "quick", "hot", "soak_day", "wet_hold_week", "wet_hold_month")
    ]

    assert shares == [0.0, 0.1, 0.25, 0.5, 0.7, 0.9]
