"""When the water of a hold asks to be topped up: 45 % of the capacity, common practice, no source."""

from __future__ import annotations

import numpy as np
import pytest

from staveward.science.errors import OutOfRange
from staveward.science.holding import water_level_now
from staveward.science.sulphite import holding_solution, so2_carried_mg_l

BARREL = {"temp_c": 20.0, "rh_fraction": 0.5, "capacity_l": 5.0, "area_m2": 0.16374499, "stave_mm": 14.529928}


def test_it_may_want_water_before_it_plainly_does():
    """The low course decides the one, the middle course the other, whatever the day."""
    for day in range(0, 61, 2):
        level = water_level_now(2.5, day, **BARREL)

        assert bool(level.may_need_top_up) == (float(level.volume_low_l) < 0.45 * 5.0)
        assert bool(level.needs_top_up) == (float(level.volume_mid_l) < 0.45 * 5.0)


def test_the_whole_wait_is_seen():
    """Enough, then perhaps too little, then too little, each once."""
    level = water_level_now(np.full(3, 2.5), np.array([8.0, 20.0, 60.0]), **BARREL)

    assert level.may_need_top_up.tolist() == [False, True, True]
    assert level.needs_top_up.tolist() == [False, False, True]


def test_a_dose_for_no_water_is_refused():
    """By name; a drop is dosed."""
    with pytest.raises(OutOfRange) as caught:
        holding_solution(0.0)

    assert caught.value.argument == "volume_l"
    assert float(holding_solution(1e-3).citric_acid_g) > 0.0


def test_next_to_no_sulphite_carries_next_to_none():
    """From nothing up, in proportion."""
    assert so2_carried_mg_l(np.array([0.0, 0.5, 5000.0]), 0.1).tolist() == pytest.approx([0.0, 0.05, 500.0])


def test_each_hold_of_many_loses_by_its_own_wood():
    """A big barrel beside a small one is as it would be alone."""
    areas, staves, sizes = np.array([0.164, 0.413]), np.array([14.5, 17.5]), np.array([5.0, 20.0])

    together = water_level_now(sizes / 2, 30, 20.0, 0.5, sizes, areas, staves)

    for row in range(2):
        alone = water_level_now(sizes[row] / 2, 30, 20.0, 0.5, sizes[row], areas[row], staves[row])
        assert float(together.volume_low_l[row]) == pytest.approx(float(alone.volume_low_l), rel=1e-12)
        assert float(together.volume_high_l[row]) == pytest.approx(float(alone.volume_high_l), rel=1e-12)
