"""Runs the check file of tasting and planning through the rooms that serve it.

``STAVEWARD_VECTORS`` names another folder with files of the same format; the default is fixtures/vectors.
"""

from __future__ import annotations

import json
import os
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from staveward.science.bookings import Booking, overlapping_pairs
from staveward.science.planning import BarrelOffer, FillRequest, priority, rank_barrels

VECTORS = Path(os.environ.get("STAVEWARD_VECTORS", Path(__file__).parents[2] / "fixtures" / "vectors"))
CHECKS: dict[str, Any] = json.loads((VECTORS / "tasting_checks.json").read_text(encoding="utf-8"))

SERVED = {"booking_overlap", "which_barrel", "priority"}
# Blocks whose rooms (liking, sharing, season plan) are not built yet; each leaves this list with its room.
NOT_YET_SERVED = {
    "pull_forecast",
    "agreement",
    "taster_offsets",
    "largest_remainder",
    "split_cents",
    "bottling",
    "season_plan",
    "forecast_scores",
}
# Parts are printed to three decimals.
PART_TOLERANCE = 0.0005


def test_it_knows_every_block_of_the_file():
    """A block that appears must be served or stand on the list; a served one must be there."""
    blocks = set(CHECKS) - {"_about"}

    assert blocks <= SERVED | NOT_YET_SERVED
    assert blocks >= SERVED
    assert all(CHECKS[block] for block in SERVED)


@pytest.mark.parametrize("check", CHECKS["booking_overlap"])
def test_it_finds_the_clashing_bookings(check: dict[str, Any]):
    """Half-open dates: touching is allowed (common practice, no source)."""
    bookings = [
        Booking(row["id"], row["barrel"], date.fromisoformat(row["start"]), date.fromisoformat(row["end"]))
        for row in check["bookings"]
    ]

    expected = sorted(tuple(sorted(pair)) for pair in check["expect"])
    assert expected == overlapping_pairs(bookings)
    assert expected == overlapping_pairs(bookings[::-1])


@pytest.mark.parametrize("check", CHECKS["which_barrel"])
def test_it_ranks_the_barrels(check: dict[str, Any]):
    """Order, starts and points exactly; parts to the printed decimals; the first gate as the reason."""
    wish = check["request"]
    request = FillRequest(
        volume_ml=wish["volume_ml"],
        abv_pct=wish["abv"],
        family=wish["family"],
        avoid_allergens=frozenset(wish["avoid"]),
        oak_wanted=wish["oak_wanted"],
        earliest=date.fromisoformat(wish["earliest"]),
        latest=date.fromisoformat(wish["latest"]),
    )
    offers = [
        BarrelOffer(
            code=row["code"],
            capacity_ml=row["capacity_ml"],
            free_from=date.fromisoformat(row["free_from"]),
            fills_left=row["fills_left"],
            max_abv_pct=row["abv_max"],
            allergens=frozenset(row["allergens"]),
            families_held=frozenset(row["families_held"]),
            oak_level=row["oak_level"],
            keeper_weekdays=tuple(row["keeper_weekdays"]),
        )
        for row in check["barrels"]
    ]

    ranking = rank_barrels(request, offers)

    expected = check["expect"]["ranked"]
    assert [(row["barrel"], row["start"], row["points"]) for row in expected] == [
        (one.code, one.starts_on.isoformat(), one.points) for one in ranking.ranked
    ]
    for row, one in zip(expected, ranking.ranked, strict=True):
        got = {part: float(getattr(one, part)) for part in row["parts"]}
        assert row["parts"] == pytest.approx(got, abs=PART_TOLERANCE)
    assert [(row["barrel"], row["reason"]) for row in check["expect"]["refused"]] == [
        (one.code, one.reason) for one in ranking.refused
    ]


@pytest.mark.parametrize("check", CHECKS["priority"])
def test_it_gives_the_priority(check: dict[str, Any]):
    """Integers, exactly."""
    assert check["expect"] == priority(check["shares"], check["wait_days"], check["fills_last_365"])
