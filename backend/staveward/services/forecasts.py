"""Forecasts: computed apart from the writes they follow, kept as rows, read by everybody.

What starts a stay is computed as soon as its write is committed, so that the barrel shows its level at once; so is what
somebody measured, who waits to see what it changes. What only
takes a sip or adds one is queued in the write's own transaction and computed by the next tick, many stays in one go:
a taste at the barrel must not wait for arithmetic. A forecast says when it was made.
"""

from __future__ import annotations

import logging
from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import datetime
from uuid import UUID

from django.db import transaction

from staveward.models import Act, Club, Forecast, Stay
from staveward.science.errors import ScienceError
from staveward.science.vocabulary import TendingKind
from staveward.selectors.course_answers import Answer, course_answers
from staveward.selectors.courses import Course, course_list
from staveward.selectors.forecasts import near_first
from staveward.services.forecast_rows import forecasts_keep, jobs_ask

SCIENCE_VERSION = "2026.11"
JOB_NAME = "forecast"
# Acts that start a stay, or may start another one in its place.
STARTS = frozenset({"curings", "fills", "holds"})
WATER_TASKS = frozenset({TendingKind.TOP_UP.value, TendingKind.WATER_CHANGE.value})

logger = logging.getLogger(__name__)


def forecast_refresh(*, stay_ids: Iterable[UUID], now: datetime) -> int:
    """Computes and stores the forecasts of these open stays and returns how many were made."""
    wanted = sorted(set(stay_ids))
    if not wanted:
        return 0
    # Read before the inputs: what is written meanwhile has a higher number and asks for a forecast of its own.
    clubs = {club.pk: club for club in Club.objects.filter(pk__in=_clubs_of(wanted))}
    by_club: defaultdict[UUID, list[tuple[Course, Answer]]] = defaultdict(list)
    for course, answer in _answered(course_list(wanted, now), now):
        by_club[course.club_id].append((course, answer))
    return sum(_store(clubs[club_id], by_club[club_id], now) for club_id in sorted(by_club))


def forecast_follow(act: Act, stay_ids: Sequence[UUID], now: datetime) -> None:
    """Sees to it that the forecasts follow an act; called in the act's own transaction."""
    if not stay_ids or not _moves_liquid(act):
        return
    if act.collection in STARTS or _waits(act):
        # Robust: the write stands, and has its answer, whatever becomes of its forecast; the daily tick tries again.
        transaction.on_commit(lambda: forecast_refresh(stay_ids=stay_ids, now=now), robust=True)
        return
    forecast_queue(stay_ids, now)


def forecast_queue(stay_ids: Sequence[UUID], now: datetime) -> None:
    """Asks the next tick for the forecasts of these stays; asking twice is asking once."""
    jobs_ask(JOB_NAME, stay_ids, now)


def _moves_liquid(act: Act) -> bool:
    """Whether an act can change what is in a barrel, or the air around it."""
    if act.replaces_id is not None or act.collection in STARTS:
        return True
    if act.collection == "tastings":
        return bool(act.body.get("sample_ml"))
    if act.collection == "samples":
        return True
    if act.collection == "tendings":
        return bool(WATER_TASKS & set(act.body.get("tasks", ())))
    return act.collection in ("readings", "moves")


def _waits(act: Act) -> bool:
    """Whether somebody stands there to see what an act says of the barrel: whoever measured it."""
    return act.collection == "readings" and act.body.get("kind") != "climate"


def _answered(courses: Sequence[Course], now: datetime) -> list[tuple[Course, Answer]]:
    """Runs all courses together; where one of them is impossible, each alone, so that it spoils no other."""
    if not courses:
        return []
    try:
        return list(zip(courses, course_answers(courses, now), strict=True))
    except ScienceError as error:
        if len(courses) == 1:
            logger.warning("No forecast for stay %s: %s", courses[0].stay_id, error)
            return []
        return [pair for course in courses for pair in _answered([course], now)]


def _clubs_of(stay_ids: Sequence[UUID]) -> list[UUID]:
    return list(Stay.objects.filter(pk__in=stay_ids).values_list("club_id", flat=True).distinct().order_by())


def _store(club: Club, answers: Sequence[tuple[Course, Answer]], now: datetime) -> int:
    """Writes the rows and points the stays to them; a stay that has ended meanwhile keeps what it had."""
    rows = [
        Forecast(
            club_id=club.pk,
            stay_id=course.stay_id,
            made_at=now,
            input_seq=club.change_seq,
            science_version=SCIENCE_VERSION,
            climate_guessed=answer.climate_guessed,
            near=answer.near,
            today=near_first(answer.near),
            curve=answer.curve,
        )
        for course, answer in answers
    ]
    barrel_ids = [course.barrel_id for course, _ in answers]
    return forecasts_keep(club, rows, barrel_ids=barrel_ids, pointer="forecast", ended_at__isnull=True)
