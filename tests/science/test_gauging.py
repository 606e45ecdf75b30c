"""Volumes at 20 degrees from what was read in glass or in steel."""

from __future__ import annotations

import numpy as np
import pytest

from staveward.science.gauging import volume_at_20c_l


@pytest.mark.parametrize(("temp_c", "growth"), [(0.0, -7.2e-4), (20.0, 0.0), (35.0, 5.4e-4)])
def test_a_steel_measure_grows_with_warmth(temp_c: float, growth: float):
    """By 36e-6 a kelvin from 20 degrees (OIML R 22, 1975, Table XI)."""
    in_steel = volume_at_20c_l(5.0, 40.0, temp_c, steel_measure=True)
    in_glass = volume_at_20c_l(5.0, 40.0, temp_c)

    assert in_steel / in_glass - 1.0 == pytest.approx(growth, abs=1e-12)


def test_many_are_gauged_as_each_alone():
    """Strength and temperature of each their own."""
    together = volume_at_20c_l(
        np.array([1.0, 2.0]), np.array([40.0, 60.0]), np.array([10.0, 30.0]), steel_measure=True
    )

    assert together[1] == volume_at_20c_l(2.0, 60.0, 30.0, steel_measure=True)
