"""Reading a stored forecast: straight lines between daily knots."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from staveward.selectors.forecasts import forecast_at, near_shown

FROM = datetime(2026, 3, 1, tzinfo=UTC)
NEAR: dict[str, Any] = {
    "from": "2026-03-01T00:00:00Z",
    "step_days": 1.0,
    "volume_l": [[4.0, 5.0, 6.0], [3.0, 4.8, 5.9], [2.0, 4.0, 5.0]],
    "abv_pct": [[50.0, 51.0, 52.0], [49.0, 50.0, 51.0], [48.0, 49.0, 50.0]],
    "level": [[0.5, 0.6, 0.7], [0.4, 0.5, 0.6], [0.3, 0.4, 0.5]],
    "added_l": 0.0,
    "sampled_l": 0.0,
    "top_up_at": None,
}


def at(days: float) -> Any:
    return forecast_at(NEAR, FROM + timedelta(days=days))


def test_it_reads_a_knot_as_it_stands() -> None:
    assert at(1).volume_l == (3.0, 4.8, 5.9)
    assert at(2).volume_l == (2.0, 4.0, 5.0)


def test_it_goes_straight_from_knot_to_knot() -> None:
    assert at(0.25).volume_l == pytest.approx((3.75, 4.95, 5.975))
    assert at(1.5).abv_pct == pytest.approx((48.5, 49.5, 50.5))
    assert at(1.5).level == pytest.approx((0.35, 0.45, 0.55))


def test_beyond_the_last_knot_nothing_is_known() -> None:
    assert at(2.01) is None


def test_a_clock_a_little_behind_reads_the_first_knot() -> None:
    assert at(-0.1).volume_l == (4.0, 5.0, 6.0)


def test_water_has_no_strength() -> None:
    found = forecast_at({**NEAR, "abv_pct": None}, FROM + timedelta(days=0.5))

    assert found is not None
    assert found.abv_pct is None


def test_a_device_gets_the_knots_and_no_sums() -> None:
    assert set(near_shown(NEAR, with_strength=True)) == {"from", "step_days", "volume_l", "abv_pct", "level"}
    assert near_shown(NEAR, with_strength=False)["abv_pct"] is None
