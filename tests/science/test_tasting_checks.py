"""Runs the check file of tasting and planning through the rooms that serve it.

``STAVEWARD_VECTORS`` names another folder with files of the same format; the default is fixtures/vectors.
"""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from staveward.science.agreement import (
    Glass,
    intraclass_correlations,
    kendall_w,
    krippendorff_alpha,
    rater_offsets,
)
from staveward.science.bookings import Booking, overlapping_pairs
from staveward.science.forecast_scores import crps_normal, interval_score, pinball_loss, wilson_interval
from staveward.science.liking import Tasting, forecast_pull
from staveward.science.planning import BarrelOffer, FillRequest, priority, rank_barrels
from staveward.science.season import SeasonBarrel, SeasonPlan, SeasonRequest, SeasonRow, season_plan
from staveward.science.sharing import divide_bottles, divide_bottling, split_cost, tie_order_of

from .vectors import is_own_set, read_checks

CHECKS = read_checks("tasting_checks.json")

SERVED = {
    "agreement",
    "booking_overlap",
    "bottling",
    "forecast_scores",
    "largest_remainder",
    "priority",
    "pull_forecast",
    "season_plan",
    "split_cents",
    "taster_offsets",
    "which_barrel",
}
# The blocks that hold several lists, and their lists.
PARTS = {
    "agreement": {"icc", "kendall_w", "krippendorff_alpha"},
    "forecast_scores": {"crps_gaussian", "pinball", "interval_score", "wilson95"},
}
TOLERANCES = CHECKS["_about"]["tolerances"]
WEEKS = {"abs": 0.01, "rel": 0.002}
WORDS = {
    "too_few": "too few",
    "keep_going": "keep going",
    "near_best": "near its best",
    "past_best": "past its best",
}
# Parts are printed to three decimals.
PART_TOLERANCE = 0.0005


def rows(block: str, part: str | None = None) -> list[dict[str, Any]]:
    """Gives the rows of a block; another set may leave a block out."""
    found: Any = CHECKS.get(block, {} if part else [])
    return list(found.get(part, [])) if part else list(found)


def test_it_knows_every_block_of_the_file():
    """A block that appears is served, its parts too, and in the own set a served one is there."""
    assert set(CHECKS) - {"_about"} <= SERVED
    for block, parts in PARTS.items():
        assert set(CHECKS.get(block, {})) <= parts
    if is_own_set():
        assert all(CHECKS[block] for block in SERVED)
        assert all(CHECKS[block][part] for block, parts in PARTS.items() for part in parts)


@pytest.mark.parametrize("check", rows("booking_overlap"))
def test_it_finds_the_clashing_bookings(check: dict[str, Any]):
    """Half-open dates: touching is allowed (common practice, no source)."""
    bookings = [
        Booking(row["id"], row["barrel"], date.fromisoformat(row["start"]), date.fromisoformat(row["end"]))
        for row in check["bookings"]
    ]

    expected = sorted(tuple(sorted(pair)) for pair in check["expect"])
    assert expected == overlapping_pairs(bookings)
    assert expected == overlapping_pairs(bookings[::-1])


@pytest.mark.parametrize("check", rows("which_barrel"))
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


@pytest.mark.parametrize("check", rows("priority"))
def test_it_gives_the_priority(check: dict[str, Any]):
    """Integers, exactly."""
    assert check["expect"] == priority(check["shares"], check["wait_days"], check["fills_last_365"])


@pytest.mark.parametrize("check", rows("pull_forecast"), ids=lambda check: check["name"])
def test_it_forecasts_the_pull(check: dict[str, Any]):
    """Weeks, chances, liking and words; held against a separate implementation and importance sampling."""
    expect = check["expect"]
    said = forecast_pull(
        [Tasting(row["day"], row["rater"], row["liking"]) for row in check["tastings"]],
        check["prior_best_week"],
        check["today_day"],
        prior_log_sd=check["prior_log_sd"],
        curve_weeks=[point["week"] for point in expect.get("curve", [{"week": 0}])],
    )

    assert expect["best_week_median"] == pytest.approx(said.best_week_mid, **WEEKS)
    assert expect["best_week_lo80"] == pytest.approx(said.best_week_low, **WEEKS)
    assert expect["best_week_hi80"] == pytest.approx(said.best_week_high, **WEEKS)
    for name in ("p_one_more_week_better", "p_past", "p_flat", "sd_log"):
        assert expect[name] == pytest.approx(getattr(said, name), abs=TOLERANCES["probabilities"]), name
    assert expect["loss_if_pulled_now"] == pytest.approx(said.loss_if_pulled_now, abs=TOLERANCES["liking"])
    assert (expect["verdict"], expect["log_more"]) == (WORDS[said.verdict], said.log_more)
    for row, point in enumerate(expect.get("curve", [])):
        assert point["mean"] == pytest.approx(said.curve.mean[row], abs=TOLERANCES["liking"])
        assert point["sd"] == pytest.approx(said.curve.sd[row], abs=TOLERANCES["liking"])
    if "rater_offset" in expect:
        assert expect["rater_offset"] == pytest.approx(dict(said.taster_offset), abs=TOLERANCES["liking"])


@pytest.mark.parametrize("check", rows("agreement", "icc"))
def test_it_gives_the_intraclass_correlations(check: dict[str, Any]):
    """Shrout and Fleiss, Psychological Bulletin 86, 1979, 420-428, worked example."""
    said = intraclass_correlations(check["ratings"])

    names = {"BMS": "between_targets", "WMS": "within_targets", "JMS": "between_tasters", "EMS": "residual"}
    for name, value in check["expect"].items():
        assert value == pytest.approx(getattr(said, names.get(name, name)), abs=TOLERANCES["agreement"]), name


@pytest.mark.parametrize("check", rows("agreement", "kendall_w"))
def test_it_gives_kendalls_w(check: dict[str, Any]):
    """R package DescTools, page KendallW (ties), and a university's worked example (no ties)."""
    assert check["expect"] == pytest.approx(kendall_w(check["items_by_rater"]), abs=TOLERANCES["agreement"])


@pytest.mark.parametrize("level", ["nominal", "ordinal", "interval"])
@pytest.mark.parametrize("check", rows("agreement", "krippendorff_alpha"))
def test_it_gives_krippendorffs_alpha(check: dict[str, Any], level: str):
    """Krippendorff, Computing Krippendorff's Alpha-Reliability, 2011: 4 observers x 12 units with gaps."""
    said = krippendorff_alpha(check["raters_by_unit"], level)

    assert check["expect"][level] == pytest.approx(said, abs=TOLERANCES["agreement"])


@pytest.mark.parametrize("check", rows("taster_offsets"))
def test_it_gives_each_tasters_offset(check: dict[str, Any]):
    """The prediction of a mixed model with glasses fixed."""
    said = rater_offsets([Glass(*row) for row in check["scores"]])

    assert check["expect"].keys() == said.keys()
    for name, expect in check["expect"].items():
        assert expect["offset"] == pytest.approx(said[name].offset, abs=TOLERANCES["agreement"])
        assert expect["sd"] == pytest.approx(said[name].sd, abs=TOLERANCES["agreement"])


@pytest.mark.parametrize("check", rows("largest_remainder"))
def test_it_divides_whole_bottles(check: dict[str, Any]):
    """Textbook tables of the largest remainder; the source stands beside each row."""
    order = None if check["balance"] is None else tie_order_of(check["balance"])

    assert tuple(check["expect"]) == divide_bottles(check["shares"], check["total"], order).bottles


@pytest.mark.parametrize("check", rows("split_cents"))
def test_it_splits_to_the_smallest_coin(check: dict[str, Any]):
    """Exact integers."""
    assert tuple(check["expect"]) == split_cost(check["cents"], check["shares"])


@pytest.mark.parametrize("check", rows("bottling"))
def test_it_divides_a_bottling(check: dict[str, Any]):
    """Exact integers; all that was bottled is received by somebody."""
    said = divide_bottling(check["total_ml"], check["bottle_ml"], check["shares"])

    for name, value in check["expect"].items():
        assert (tuple(value) if isinstance(value, list) else value) == getattr(said, name), name
    assert check["total_ml"] == sum(said.received_ml) + said.keeper_sample_ml


@pytest.mark.parametrize("check", rows("forecast_scores", "crps_gaussian"))
def test_it_gives_the_crps(check: dict[str, Any]):
    """Gneiting and Raftery, JASA 102, 2007, 359-378."""
    said = crps_normal(check["mean"], check["sd"], check["observed"])

    assert check["expect"] == pytest.approx(float(said), abs=TOLERANCES["scores"])


@pytest.mark.parametrize("check", rows("forecast_scores", "pinball"))
def test_it_gives_the_pinball_loss(check: dict[str, Any]):
    """Gneiting and Raftery, JASA 102, 2007, 359-378."""
    said = pinball_loss(check["quantile"], check["observed"], check["tau"])

    assert check["expect"] == pytest.approx(float(said), abs=TOLERANCES["scores"])


@pytest.mark.parametrize("check", rows("forecast_scores", "interval_score"))
def test_it_gives_the_interval_score(check: dict[str, Any]):
    """Gneiting and Raftery, JASA 102, 2007, 359-378, section 6.2."""
    said = interval_score(check["lo"], check["hi"], check["observed"], check["level"])

    assert check["expect"] == pytest.approx(float(said), abs=TOLERANCES["scores"])


@pytest.mark.parametrize("check", rows("forecast_scores", "wilson95"))
def test_it_gives_the_wilson_interval(check: dict[str, Any]):
    """Wilson, JASA 22, 1927, 209-212; the same figures from statsmodels."""
    said = wilson_interval(check["hits"], check["n"])

    assert check["expect"] == pytest.approx(said, abs=TOLERANCES["scores"])


def planned(check: dict[str, Any]) -> SeasonPlan:
    """Runs one season of the check file."""
    return season_plan(
        [
            SeasonRequest(code=code, family=family, members=frozenset(check["members"][code]))
            for code, family in check["family"].items()
        ],
        [
            SeasonBarrel(code=code, fills_left=fills, families_held=frozenset(check["families_held"][code]))
            for code, fills in check["fills_left"].items()
        ],
        [
            SeasonRow(row["request"], row["barrel"], row["slot"], row["duration"], row["value"])
            for row in check["candidates"]
        ],
        slots=check["slots"],
        keeper_jobs_per_slot=check["keeper_jobs_per_slot"],
        max_fills_per_member=check["max_fills_per_member"],
    )


@pytest.mark.parametrize("check", rows("season_plan"))
def test_it_plans_the_season(check: dict[str, Any]):
    """The optimum of the complete enumeration; the very rows where only one plan reaches it."""
    plan = planned(check)

    assert check["expect"]["optimum"] == plan.value
    assert plan.gap == 0.0
    assert check["expect"]["greedy_value"] < plan.value
    if check["expect"]["optimal_plans"] == 1:
        assert sorted(map(tuple, check["expect"]["one_plan"])) == sorted(
            (row.request, row.barrel, row.slot) for row in plan.rows
        )
