"""How good pull forecasts were: three ledgers that are never mixed, per fill, and the club's sums of them.

The best week itself is never seen. What is seen is the next score of each taster, and the week in which a fill was
really decanted; members act on the forecast, so the second flatters it. The third is hindsight: the last forecast of
a fill that was tasted well past its best week, itself uncertain.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from staveward.models import Club, Forecast, ForecastScore, Stay, StayKind, Tasting, Trouble
from staveward.science.forecast_scores import (
    SD_OF_80,
    Coverage,
    coverage,
    crps_normal,
    interval_score,
    is_hindsight_fit,
    lead_bucket,
    pinball_loss,
)
from staveward.science.liking import DAYS_A_WEEK
from staveward.selectors import stays as facts
from staveward.selectors.off_notes import ALARMING
from staveward.selectors.pull_forecasts import KIND


@dataclass(frozen=True)
class ScoredFill:
    """A fill that was decanted: its week, what was foretold when, and the scores that came."""

    stay_id: UUID
    ended_at: datetime
    decanted_week: float
    counts: bool
    snapshots: Sequence[tuple[datetime, Mapping[str, Any]]]
    scores: Sequence[tuple[date, datetime, str, float]] = field(default=())
    zone: ZoneInfo = field(default_factory=lambda: ZoneInfo("UTC"))


def scored_fills(club: Club, stay_ids: Sequence[UUID]) -> list[ScoredFill]:
    """Returns what is needed to score these fills; those not decanted (any more) are left out."""
    zone = ZoneInfo(club.timezone)
    stays = list(
        Stay.objects.for_club(club)
        .filter(pk__in=stay_ids, kind=StayKind.FILL, outcome="decanted")
        .order_by("id")
    )
    snapshots: defaultdict[UUID, list[tuple[datetime, Mapping[str, Any]]]] = defaultdict(list)
    rows = Forecast.objects.for_club(club).filter(stay__in=stays, kind=KIND).order_by("made_at", "id")
    for stay_id, made_at, near in rows.values_list("stay_id", "made_at", "near"):
        snapshots[stay_id].append((made_at, near))
    scores: defaultdict[UUID, list[tuple[date, datetime, str, float]]] = defaultdict(list)
    spoiled: set[UUID] = set()
    tastings = Tasting.objects.filter(facts.standing(), act__stay__in=stays).order_by("tasted_on", "act_id")
    for stay_id, day, received_at, taster, liking, off_notes in tastings.values_list(
        "act__stay_id", "tasted_on", "act__received_at", "taster_id", "liking", "off_notes"
    ):
        scores[stay_id].append((day, received_at, str(taster), liking))
        if ALARMING & set(off_notes):
            spoiled.add(stay_id)
    troubled = set(
        Trouble.objects.filter(facts.standing(), act__stay__in=stays).values_list("act__stay_id", flat=True)
    )
    return [
        ScoredFill(
            stay_id=stay.pk,
            ended_at=stay.ended_at,
            decanted_week=_weeks(stay, zone),
            # Pulled for another reason than its taste: it says nothing of the forecast.
            counts=stay.pk not in spoiled | troubled,
            snapshots=snapshots[stay.pk],
            scores=scores[stay.pk],
            zone=zone,
        )
        for stay in stays
        if stay.ended_at is not None
    ]


def _weeks(stay: Stay, zone: ZoneInfo) -> float:
    assert stay.ended_at is not None
    days = (stay.ended_at.astimezone(zone).date() - stay.started_at.astimezone(zone).date()).days
    return days / DAYS_A_WEEK


def fill_score(fill: ScoredFill) -> dict[str, Any]:
    """Returns the three ledgers of one fill."""
    return {
        "decanted_week": round(fill.decanted_week, 3),
        "counts": fill.counts,
        "pull_week": _pull_weeks(fill),
        "next_score": _next_scores(fill),
        "hindsight": _hindsight(fill),
    }


def _pull_weeks(fill: ScoredFill) -> list[dict[str, Any]]:
    """Returns one row a lead time: the last forecast in it against the week really decanted."""
    last: dict[int, Mapping[str, Any]] = {}
    for made_at, near in fill.snapshots:
        if made_at >= fill.ended_at:
            # Said when the week was known already.
            continue
        lead = fill.decanted_week - near["week"]
        if lead >= 0:
            last[lead_bucket(lead)] = near
    seen = fill.decanted_week
    rows = []
    for bucket in sorted(last):
        low, mid, high = last[bucket]["best_week"]
        rows.append(
            {
                "lead": bucket,
                "low": low,
                "mid": mid,
                "high": high,
                "prior": last[bucket]["prior_week"],
                "pinball": [
                    round(float(pinball_loss(told, seen, tau)), 4)
                    for told, tau in ((low, 0.1), (mid, 0.5), (high, 0.9))
                ],
                "interval": round(float(interval_score(low, high, seen)), 4),
                "is_inside": bool(low <= seen <= high),
            }
        )
    return rows


def _next_scores(fill: ScoredFill) -> list[dict[str, Any]]:
    """Returns one row a score: what the last forecast before its evening expected of that taster."""
    rows = []
    for day, received_at, taster, liking in fill.scores:
        known = [near for made_at, near in fill.snapshots if _before(made_at, day, received_at, fill.zone)]
        if not known:
            continue
        expected = known[-1]["next"]
        mean, sd = expected.get(taster, expected.get("", (None, None)))
        if mean is None:
            continue
        rows.append(
            {
                "day": day.isoformat(),
                "mean": mean,
                "sd": sd,
                "liking": liking,
                "crps": round(float(crps_normal(mean, sd, liking)), 4),
                "is_inside": bool(abs(liking - mean) <= SD_OF_80 * sd),
            }
        )
    return rows


def _before(made_at: datetime, day: date, received_at: datetime, zone: ZoneInfo) -> bool:
    """Whether a forecast was there before an evening began and before its score arrived."""
    return made_at < received_at and made_at.astimezone(zone).date() < day


def _hindsight(fill: ScoredFill) -> dict[str, float] | None:
    """Returns the final forecast, where the fill was tasted well past its best week and the interval is narrow."""
    if not fill.snapshots or not fill.scores:
        return None
    final = fill.snapshots[-1][1]
    low, mid, high = final["best_week"]
    if not is_hindsight_fit(low, mid, high, final["last_tasted_week"]):
        return None
    return {"low": low, "mid": mid, "high": high}


def pull_honesty(club: Club) -> dict[str, Any]:
    """Returns how often the weeks foretold held the week a fill was pulled, and the next score, for the whole club."""
    low, high, seen = [], [], []
    score_low, score_high, scored = [], [], []
    fills = 0
    rows = ForecastScore.objects.for_club(club).order_by("stay_id")
    for counts, decanted, pulls, nexts in rows.values_list(
        "counts", "decanted_week", "pull_week", "next_score"
    ):
        for one in nexts:
            score_low.append(one["mean"] - SD_OF_80 * one["sd"])
            score_high.append(one["mean"] + SD_OF_80 * one["sd"])
            scored.append(one["liking"])
        if not counts or not pulls:
            continue
        fills += 1
        # One forecast a fill, the one two to four weeks ahead where there is one: what planning needs.
        one = next((row for row in pulls if row["lead"] == 1), pulls[-1])
        low.append(one["low"])
        high.append(one["high"])
        seen.append(decanted)
    return {
        "fills": fills,
        "pull_week": _coverage(coverage(low, high, seen)) if seen else None,
        "next_score": _coverage(coverage(score_low, score_high, scored)) if scored else None,
    }


def _coverage(found: Coverage) -> dict[str, Any]:
    return {
        "hits": found.hits,
        "n": found.n,
        "low": round(found.low, 3),
        "high": round(found.high, 3),
        "verdict": found.verdict,
    }
