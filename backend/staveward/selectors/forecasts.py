"""What a stored forecast says of a moment: a straight line between two of its daily knots.

``near`` is a forecast's answer around the time it was made::

    {"from": instant of the first knot, "step_days": 1.0,
     "volume_l": [[low, mid, high], ...], "abv_pct": [[...], ...] or null, "level": [[...], ...],
     "added_l": topped up so far, "sampled_l": drunk so far, "low_on": date the level passes its lower mark, or null}
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any, NamedTuple

from staveward.selectors.shapes import Range

SECONDS_A_DAY = 86_400.0
SHOWN = ("from", "step_days", "volume_l", "abv_pct", "level")

# Knots of ``today``: from up to two days before the forecast was made to two days after it.
TODAY_KNOTS = 5
TODAY_REACH = timedelta(days=2)

Knot = Sequence[float]


class Contents(NamedTuple):
    """What is in a barrel at a moment, low, mid and high: litres, strength (None for water) and height of the level."""

    volume_l: tuple[float, float, float]
    abv_pct: tuple[float, float, float] | None
    level: tuple[float, float, float]


def forecast_at(near: Mapping[str, Any], now: datetime) -> Contents | None:
    """Returns what is in the barrel at ``now``, or None where the forecast does not reach.

    A moment before the first knot belongs to an earlier forecast, save for a clock that is a little behind.
    """
    volumes = near["volume_l"]
    days = (now - datetime.fromisoformat(near["from"])).total_seconds() / SECONDS_A_DAY / near["step_days"]
    if days < 0.0:
        days = 0.0
    index = int(days)
    last = len(volumes) - 1
    if days > last:
        return None
    if index == last:
        index, share = max(last - 1, 0), 1.0 if last else 0.0
    else:
        share = days - index
    strengths = near["abv_pct"]
    return Contents(
        _between(volumes, index, share),
        None if strengths is None else _between(strengths, index, share),
        _between(near["level"], index, share),
    )


def near_first(near: Mapping[str, Any]) -> dict[str, Any]:
    """Returns the same forecast with its first knots only, for who reads many of them soon."""
    cut = {name: near[name] and near[name][:TODAY_KNOTS] for name in ("volume_l", "abv_pct", "level")}
    return {**near, **cut}


def near_shown(near: Mapping[str, Any], *, with_strength: bool) -> dict[str, Any]:
    """Returns the knots as a device gets them; strength only for who may know the mix."""
    shown = {name: near[name] for name in SHOWN}
    if not with_strength:
        shown["abv_pct"] = None
    return shown


def as_range(values: tuple[float, float, float], decimals: int) -> Range:
    """Returns three numbers as the API names them."""
    return {
        "low": round(values[0], decimals),
        "mid": round(values[1], decimals),
        "high": round(values[2], decimals),
    }


def _between(knots: Sequence[Knot], index: int, share: float) -> tuple[float, float, float]:
    a = knots[index]
    if share == 0.0:
        return a[0], a[1], a[2]
    b = knots[index + 1]
    rest = 1.0 - share
    return a[0] * rest + b[0] * share, a[1] * rest + b[1] * share, a[2] * rest + b[2] * share
