"""Helps tests of the read side: forecasts written by hand, and queries counted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from typing import Any

from django.db import connection
from django.test.utils import CaptureQueriesContext

from staveward.models import Forecast, Stay
from staveward.selectors.shapes import instant_text

Knot = Sequence[float]


def forecast_by_hand(
    stay: Stay,
    made_at: datetime,
    *,
    volume_l: Sequence[Knot],
    level: Sequence[Knot],
    abv_pct: Sequence[Knot] | None = None,
    added_l: float = 0.0,
    sampled_l: float = 0.0,
    top_up_at: datetime | None = None,
    back_days: float = 1.0,
    climate_guessed: bool = False,
) -> Forecast:
    """Stores a forecast with the knots given, the first a day before it was made, and points the stay to it."""
    near = {
        "from": instant_text(made_at - timedelta(days=back_days)),
        "step_days": 1.0,
        "volume_l": volume_l,
        "abv_pct": abv_pct,
        "level": level,
        "added_l": added_l,
        "sampled_l": sampled_l,
        "top_up_at": instant_text(top_up_at),
    }
    forecast = Forecast.objects.create(
        club_id=stay.club_id,
        stay=stay,
        made_at=made_at,
        input_seq=1,
        science_version="by hand",
        climate_guessed=climate_guessed,
        near=near,
        curve=near,
    )
    Stay.objects.filter(pk=stay.pk).update(forecast=forecast)
    return forecast


def queries_of(read: Callable[[], Any]) -> int:
    """Returns how many queries a read makes."""
    with CaptureQueriesContext(connection) as seen:
        read()
    return len(seen)
