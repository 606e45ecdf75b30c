"""What a pull forecast is made from, and what one says: the scores of a fill by day, and the week to expect.

``near`` of a stored forecast of this kind is its answer::

    {
        "scores": 6,
        "tasters": 3,
        "last_tasted_on": "2026-05-03",
        "last_tasted_week": 7.9,
        "week": 8.4,
        "prior_week": 5.0,
        "prior_sd_log": 0.55,
        "prior_basis": "table",
        "best_week": [low, mid, high],
        "verdict": ...,
        "reason": ...,
        "log_more": 0,
        "p_more": 0.6,
        "p_past": 0.1,
        "p_flat": 0.05,
        "loss": 0.3,
        "is_pull_advised": false,
        "next": {person: [mean, sd], "": [...]},
        "agreement": {...} or null,
    }

and ``curve`` its picture, {"weeks": [...], "mean": [...], "low": [...], "high": [...]}, empty under four scores.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import numpy as np

from staveward.models import Stay, StayKind
from staveward.models import Tasting as TastingRow
from staveward.science.agreement import PanelAgreement, rater_agreement
from staveward.science.liking import (
    DAYS_A_WEEK,
    LONGEST_WEEKS,
    PriorWeek,
    PullForecast,
    Tasting,
    forecast_pull,
    prior_best_week,
)
from staveward.science.vocabulary import Family
from staveward.selectors import stays as facts
from staveward.selectors.questions import Scope
from staveward.selectors.shapes import date_text, instant_text
from staveward.selectors.stays import PullFacts

KIND = "pull"
# Fewer scores than this draw no curve: it would be the prior's.
CURVE_FROM_SCORES = 4
CURVE_POINTS = 25
# From here on the scores of a finished fill say something of its best week.
OWN_FROM_SCORES = 3
SAME_SIZE = 1.25


@dataclass(frozen=True)
class PullCase:
    """One fill as the science needs it: days are counted on the club's calendar from the day it was poured."""

    stay_id: UUID
    club_id: UUID
    barrel_id: UUID
    filled_on: date
    ended_on: date | None
    today_day: float
    prior: PriorWeek
    scores: Sequence[Tasting] = ()
    previous: Mapping[str, Any] | None = field(default=None, compare=False)

    @property
    def last_tasted_on(self) -> date | None:
        """Returns the day of the last score."""
        if not self.scores:
            return None
        return date.fromordinal(self.filled_on.toordinal() + int(max(one.day for one in self.scores)))


def pull_cases(stay_ids: Iterable[UUID], now: datetime) -> list[PullCase]:
    """Returns these fills, open or ended; the number of queries does not grow with how many."""
    rows = list(
        Stay.objects.filter(pk__in=set(stay_ids), kind=StayKind.FILL)
        .select_related("barrel", "club", "pull")
        .order_by("club_id", "id")
    )
    by_club: defaultdict[UUID, list[Stay]] = defaultdict(list)
    for row in rows:
        by_club[row.club_id].append(row)
    return [case for club_id, stays in by_club.items() for case in _club_cases(club_id, stays, now)]


def _club_cases(club_id: UUID, stays: Sequence[Stay], now: datetime) -> list[PullCase]:
    zone = ZoneInfo(stays[0].club.timezone)
    fills = facts.fills_by_stay(Scope(club_id, tuple({stay.barrel_id for stay in stays})))
    scores = _scores([stay.pk for stay in stays])
    finished = _finished(club_id)
    cases = []
    for stay in stays:
        fill = fills.get(stay.pk)
        if fill is None:
            continue
        filled_on = stay.started_at.astimezone(zone).date()
        until = min(now, stay.ended_at) if stay.ended_at is not None else now
        own = scores.get(stay.pk, ())
        days = [(day - filled_on).days for day, _, _ in own]
        cases.append(
            PullCase(
                stay_id=stay.pk,
                club_id=club_id,
                barrel_id=stay.barrel_id,
                filled_on=filled_on,
                ended_on=None if stay.ended_at is None else stay.ended_at.astimezone(zone).date(),
                # A score dated after today (a clock that is ahead) moves today; it is never left out.
                today_day=float(max([0, (until.astimezone(zone).date() - filled_on).days, *days])),
                prior=_prior(stay, fill.family, fill.planned_days, finished),
                scores=[
                    Tasting(day=float(day), taster=str(taster), liking=liking)
                    for day, (_, taster, liking) in zip(days, own, strict=True)
                ],
                previous=None if stay.pull is None else stay.pull.near,
            )
        )
    return cases


def _scores(stay_ids: Sequence[UUID]) -> dict[UUID, list[tuple[date, UUID, float]]]:
    found: defaultdict[UUID, list[tuple[date, UUID, float]]] = defaultdict(list)
    rows = (
        TastingRow.objects.filter(facts.standing(), act__stay__in=stay_ids, act__collection="tastings")
        .order_by("tasted_on", "act_id")
        .values_list("act__stay_id", "tasted_on", "taster_id", "liking")
    )
    for stay_id, day, taster, liking in rows:
        found[stay_id].append((day, taster, liking))
    return dict(found)


def _finished(club_id: UUID) -> list[tuple[UUID, float, str, float]]:
    """Returns the best weeks of the club's own decanted fills: stay, size of the barrel, family and week."""
    rows = Stay.objects.filter(
        club_id=club_id, kind=StayKind.FILL, outcome="decanted", pull__near__scores__gte=OWN_FROM_SCORES
    ).values_list("id", "barrel__nominal_l", "pull__near", "barrel_id")
    kept = list(rows)
    fills = facts.fills_by_stay(Scope(club_id, tuple({row[3] for row in kept}))) if kept else {}
    return [
        (stay_id, nominal_l, fills[stay_id].family, float(near["best_week"][1]))
        for stay_id, nominal_l, near, _ in kept
        if stay_id in fills
    ]


def _prior(
    stay: Stay, family: str, planned_days: int | None, finished: Sequence[tuple[UUID, float, str, float]]
) -> PriorWeek:
    """Returns the week to expect: the plan made at the fill, else the club's own fills, else the usual one."""
    nominal_l = stay.barrel.nominal_l
    own = [
        week
        for stay_id, size_l, kind, week in finished
        if stay_id != stay.pk
        and kind == family
        and max(size_l, nominal_l) <= SAME_SIZE * min(size_l, nominal_l)
    ]
    return prior_best_week(
        nominal_l,
        family=family if family in list(Family) else None,
        wood_used=min(1.0, max(0.0, stay.wood_before_typical)),
        own_best_weeks=own,
        keeper_week=min(LONGEST_WEEKS, planned_days / DAYS_A_WEEK) if planned_days else None,
    )


def pull_answer(case: PullCase) -> tuple[dict[str, Any], dict[str, list[float]]]:
    """Asks the science and returns its answer and its picture, as they are stored."""
    said = forecast_pull(
        case.scores,
        case.prior.week,
        case.today_day,
        prior_log_sd=case.prior.log_sd,
        curve_weeks=_curve_weeks(case),
        next_day=_next_day(case),
    )
    return _near(case, said), _curve(said) if said.scores >= CURVE_FROM_SCORES else {}


def _next_day(case: PullCase) -> float:
    """Returns the evening the next score is expected on: a week after the last one, or after the fill."""
    last = max((one.day for one in case.scores), default=0.0)
    return max(case.today_day, last + DAYS_A_WEEK)


def _curve_weeks(case: PullCase) -> Any:
    """Returns the weeks of the picture: past today, past the week expected, with today itself among them."""
    today = case.today_day / DAYS_A_WEEK
    last = min(LONGEST_WEEKS, max(1.35 * today, 1.8 * case.prior.week, today + 3.0))
    weeks = np.linspace(0.0, last, CURVE_POINTS)
    return np.unique(np.append(weeks, today))


def _near(case: PullCase, said: PullForecast) -> dict[str, Any]:
    return {
        "scores": said.scores,
        "tasters": len({one.taster for one in case.scores}),
        "last_tasted_on": date_text(case.last_tasted_on),
        "last_tasted_week": round(max((one.day for one in case.scores), default=0.0) / DAYS_A_WEEK, 3),
        "week": round(case.today_day / DAYS_A_WEEK, 3),
        "prior_week": round(case.prior.week, 3),
        "prior_sd_log": case.prior.log_sd,
        "prior_basis": case.prior.basis,
        "best_week": [
            round(week, 3) for week in (said.best_week_low, said.best_week_mid, said.best_week_high)
        ],
        "verdict": str(said.verdict),
        "reason": said.reason,
        "log_more": said.log_more,
        "p_more": round(said.p_one_more_week_better, 3),
        "p_past": round(said.p_past, 3),
        "p_flat": round(said.p_flat, 3),
        "loss": round(said.loss_if_pulled_now, 3),
        "is_pull_advised": said.is_pull_advised,
        "next": {name: [round(one.mean, 3), round(one.sd, 3)] for name, one in said.next_score.items()},
        "agreement": _agreement(case.scores),
    }


def _curve(said: PullForecast) -> dict[str, list[float]]:
    curve = said.curve
    return {
        "weeks": [round(float(week), 2) for week in curve.weeks],
        "mean": [round(float(value), 2) for value in curve.mean],
        "low": [round(float(value), 2) for value in curve.low],
        "high": [round(float(value), 2) for value in curve.high],
    }


def _agreement(scores: Sequence[Tasting]) -> dict[str, Any] | None:
    """Returns how far the tasters of this fill agree, each evening being one glass; None where nobody shared one."""
    tasters = sorted({one.taster for one in scores})
    days = sorted({one.day for one in scores})
    if len(tasters) < 2:
        return None
    heaps: defaultdict[tuple[int, int], list[float]] = defaultdict(list)
    for one in scores:
        heaps[tasters.index(one.taster), days.index(one.day)].append(one.liking)
    table = np.full((len(tasters), len(days)), np.nan)
    for (row, column), heap in heaps.items():
        table[row, column] = float(np.mean(heap))
    said: PanelAgreement = rater_agreement(table)
    return {
        "evenings": said.targets,
        "tasters": said.tasters,
        "verdict": said.verdict,
        "alpha": None if said.alpha is None else round(said.alpha, 3),
    }


def pull_changed(before: Mapping[str, Any] | None, after: Mapping[str, Any]) -> bool:
    """Whether an answer says something else than the one before; the passing of a day alone seldom does."""
    if before is None:
        return True
    if any(
        before.get(name) != after[name] for name in ("scores", "verdict", "reason", "log_more", "agreement")
    ):
        return True
    if before["best_week"] != after["best_week"] or before.get("next", {}).keys() != after["next"].keys():
        return True
    return any(abs(before[name] - after[name]) >= 0.05 for name in ("p_more", "p_past"))


def pull_row(found: PullFacts) -> dict[str, Any]:
    """Returns a forecast as the API shows it: what it expects of named people stays here."""
    near, curve = found.near, found.curve
    low, mid, high = near["best_week"]
    return {
        "made_at": instant_text(found.made_at),
        "scores": near["scores"],
        "tasters": near["tasters"],
        "last_tasted_on": near["last_tasted_on"],
        "best_week": {"low": low, "mid": mid, "high": high},
        "prior_week": near["prior_week"],
        "prior_basis": near["prior_basis"],
        "verdict": near["verdict"],
        "reason": near["reason"],
        "log_more": near["log_more"],
        "p_more": near["p_more"],
        "p_past": near["p_past"],
        "is_pull_advised": near["is_pull_advised"],
        "agreement": near["agreement"],
        "curve": curve or None,
    }
