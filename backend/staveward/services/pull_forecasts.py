"""Pull forecasts: made anew by a job after each score, stored when they say something else, scored at the decant.

A forecast is a snapshot and never changed: what was said before an evening is what that evening's scores are held
against. The order of arrival never matters, since every forecast starts from all the scores that stand.
"""

from __future__ import annotations

import logging
from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from staveward.models import Act, Club, Forecast, ForecastScore, StayKind
from staveward.science.errors import ScienceError
from staveward.selectors.forecast_scores import ScoredFill, fill_score, scored_fills
from staveward.selectors.pull_forecasts import KIND, PullCase, pull_answer, pull_cases, pull_changed
from staveward.services.forecast_rows import forecasts_keep, jobs_ask
from staveward.services.forecasts import SCIENCE_VERSION

JOB_NAME = "pull_forecast"
# What can change the scores of a fill, its plan or its end.
FOLLOWED = frozenset({"fills", "tastings", "decants"})

logger = logging.getLogger(__name__)


def pull_follow(act: Act, open_stays: Sequence[UUID], now: datetime) -> None:
    """Sees to it that the pull forecasts follow an act; called in the act's own transaction."""
    if act.collection not in FOLLOWED and act.replaces_id is None:
        return
    stay_ids = set(open_stays)
    if act.stay_id is not None:
        # A late score of a fill that has ended, or the decant itself.
        stay_ids.add(act.stay_id)
    if act.collection == "fills":
        # A fill is rare, and its screen asks at once when it may be best. Robust: the write stands whatever comes.
        transaction.on_commit(lambda: pull_refresh(stay_ids=stay_ids, now=now), robust=True)
        return
    pull_queue(stay_ids, now)


def pull_queue(stay_ids: Iterable[UUID], now: datetime) -> None:
    """Asks the next tick for the pull forecasts of these stays; asking twice is asking once."""
    jobs_ask(JOB_NAME, stay_ids, now)


def pull_refresh(*, stay_ids: Iterable[UUID], now: datetime) -> int:
    """Forecasts these fills anew, scores those that have been decanted, and returns how many forecasts are new."""
    wanted = sorted(set(stay_ids))
    if not wanted:
        return 0
    by_club: defaultdict[UUID, list[PullCase]] = defaultdict(list)
    for case in pull_cases(wanted, now):
        by_club[case.club_id].append(case)
    clubs = Club.objects.in_bulk(sorted(by_club))
    made = sum(_store(clubs[club_id], by_club[club_id], now) for club_id in sorted(by_club))
    for club_id in sorted(by_club):
        _score(clubs[club_id], [case.stay_id for case in by_club[club_id]], now)
    return made


def _answer(case: PullCase) -> tuple[dict[str, Any], dict[str, list[float]]] | None:
    try:
        return pull_answer(case)
    except ScienceError as error:
        # Longer in the wood than the model is valid for: the last forecast stays, with its date.
        logger.warning("No pull forecast for stay %s: %s", case.stay_id, error)
        return None


def _store(club: Club, cases: Sequence[PullCase], now: datetime) -> int:
    answers = [(case, found) for case in cases if (found := _answer(case)) is not None]
    new = [(case, found) for case, found in answers if pull_changed(case.previous, found[0])]
    if not new:
        return 0
    rows = [
        Forecast(
            club_id=club.pk,
            stay_id=case.stay_id,
            kind=KIND,
            made_at=now,
            input_seq=club.change_seq,
            science_version=SCIENCE_VERSION,
            near=near,
            curve=curve,
        )
        for case, (near, curve) in new
    ]
    barrel_ids = [case.barrel_id for case, _ in new]
    return forecasts_keep(club, rows, barrel_ids=barrel_ids, pointer="pull", kind=StayKind.FILL)


def _score(club: Club, stay_ids: Sequence[UUID], now: datetime) -> None:
    """Holds what was foretold of fills that have ended against what came; a fill opened again loses its score."""
    found: list[tuple[ScoredFill, dict[str, Any]]] = [
        (fill, fill_score(fill)) for fill in scored_fills(club, stay_ids)
    ]
    ForecastScore.objects.for_club(club).filter(stay__in=stay_ids).exclude(
        stay__in=[fill.stay_id for fill, _ in found]
    ).delete()
    for fill, values in found:
        ForecastScore.objects.update_or_create(
            stay_id=fill.stay_id, defaults={"club_id": club.pk, "made_at": now, **values}
        )
