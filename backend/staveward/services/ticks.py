"""What happens because time passes: the clock's calls, each safe to make once too often.

A job is a row. Whoever finds it due takes a lease on it by a single compare-and-set, so two clocks never run the same
job together, and a clock that dies leaves a lease that runs out. A job that fails keeps the reason and is tried again,
ever more slowly.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from functools import partial
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import F, Q

from staveward.models import Club, Job, Stay, StayKind
from staveward.services.forecast_rows import courses_thin
from staveward.services.forecasts import JOB_NAME as FORECAST
from staveward.services.forecasts import forecast_refresh
from staveward.services.pull_forecasts import JOB_NAME as PULL
from staveward.services.pull_forecasts import pull_refresh
from staveward.services.reservation_days import reservation_expire

DAILY = "forecast_daily"
EXPIRE = "reservation_expire"
ONCE = "all"
LEASE = timedelta(minutes=10)
EXPIRE_EVERY = timedelta(minutes=1)
KEEP_DONE = timedelta(days=7)
RETRY_FIRST, RETRY_LAST = timedelta(minutes=1), timedelta(hours=6)
ERROR_LENGTH = 300
# Forecasts asked for at once; more wait for the next round of the same tick.
FORECASTS_A_ROUND = 200

logger = logging.getLogger(__name__)


@dataclass
class TickReport:
    """What one call of the clock did."""

    forecasts: int = 0
    pulls: int = 0
    lapsed: int = 0
    pruned: int = 0
    thinned: int = 0
    failed: list[str] = field(default_factory=list)


def tick(now: datetime) -> TickReport:
    """Does everything that is due at ``now`` and returns what that was."""
    done = TickReport()
    _jobs_appoint(now)
    for job in _due(EXPIRE, now):
        _attempt([job], now, done, partial(_expire, now, done), again=EXPIRE_EVERY)
    for job in _due(DAILY, now):
        club_id = UUID(job.key.partition("@")[0])
        _attempt([job], now, done, partial(_daily, club_id, now, done))
    while jobs := _leased(FORECAST, now, FORECASTS_A_ROUND):
        stay_ids = [UUID(job.key) for job in jobs]
        _attempt(jobs, now, done, partial(_forecasts, stay_ids, now, done), leased=True)
    while jobs := _leased(PULL, now, FORECASTS_A_ROUND):
        stay_ids = [UUID(job.key) for job in jobs]
        _attempt(jobs, now, done, partial(_pulls, stay_ids, now, done), leased=True)
    done.pruned, _ = Job.objects.filter(done_at__lt=now - KEEP_DONE).delete()
    return done


def _jobs_appoint(now: datetime) -> None:
    """Writes down what is to be done today; what is written already stays as it is."""
    jobs = [Job(name=EXPIRE, key=ONCE, run_after=now)]
    for club_id, zone in Club.objects.values_list("id", "timezone"):
        today = now.astimezone(ZoneInfo(zone)).date()
        jobs.append(Job(name=DAILY, key=f"{club_id}@{today.isoformat()}", run_after=now))
    Job.objects.bulk_create(jobs, ignore_conflicts=True)


def _expire(now: datetime, done: TickReport) -> None:
    done.lapsed += reservation_expire(now=now)


def _daily(club_id: UUID, now: datetime, done: TickReport) -> None:
    """Makes the day's forecasts of every stay that is going on in a club."""
    stays = Stay.objects.filter(club_id=club_id, ended_at__isnull=True).order_by("id")
    _forecasts(list(stays.values_list("id", flat=True)), now, done)
    # The week goes on without a score, and with it what is to be done.
    _pulls(list(stays.filter(kind=StayKind.FILL).values_list("id", flat=True)), now, done)
    done.thinned += courses_thin(club_id, now)


def _forecasts(stay_ids: Sequence[UUID], now: datetime, done: TickReport) -> None:
    for start in range(0, len(stay_ids), FORECASTS_A_ROUND):
        done.forecasts += forecast_refresh(stay_ids=stay_ids[start : start + FORECASTS_A_ROUND], now=now)


def _pulls(stay_ids: Sequence[UUID], now: datetime, done: TickReport) -> None:
    for start in range(0, len(stay_ids), FORECASTS_A_ROUND):
        done.pulls += pull_refresh(stay_ids=stay_ids[start : start + FORECASTS_A_ROUND], now=now)


def _open(now: datetime) -> Q:
    return Q(done_at__isnull=True, run_after__lte=now) & (
        Q(leased_until__isnull=True) | Q(leased_until__lt=now)
    )


def _due(name: str, now: datetime) -> list[Job]:
    return list(Job.objects.filter(_open(now), name=name).order_by("run_after", "id"))


def _leased(name: str, now: datetime, most: int) -> list[Job]:
    """Returns due jobs that are now ours."""
    return [job for job in _due(name, now)[:most] if _lease(job, now)]


def _lease(job: Job, now: datetime) -> bool:
    """Whether the job became ours; of two that try, one does."""
    taken = Job.objects.filter(_open(now), pk=job.pk, run_after=job.run_after).update(
        leased_until=now + LEASE, tries=F("tries") + 1
    )
    return taken == 1


def _attempt(
    jobs: Sequence[Job],
    now: datetime,
    done: TickReport,
    work: Callable[[], None],
    *,
    again: timedelta | None = None,
    leased: bool = False,
) -> None:
    """Runs work under the lease of its jobs and writes down how it went."""
    if not leased and not all(_lease(job, now) for job in jobs):
        return
    try:
        work()
    except Exception as error:
        logger.exception("%s failed", jobs[0].name)
        done.failed.append(jobs[0].name)
        for job in jobs:
            _failed(job, now, error)
        return
    for job in jobs:
        # Whoever asked for it again meanwhile has moved run_after: that request is not done yet.
        mine = Job.objects.filter(pk=job.pk, run_after=job.run_after)
        if again is not None:
            mine.update(leased_until=None, run_after=now + again, tries=0, last_error="")
        else:
            mine.update(leased_until=None, done_at=now, last_error="")
        Job.objects.filter(pk=job.pk, done_at__isnull=True).update(leased_until=None)


def _failed(job: Job, now: datetime, error: Exception) -> None:
    wait = min(RETRY_FIRST * 2 ** min(job.tries, 10), RETRY_LAST)
    Job.objects.filter(pk=job.pk).update(
        leased_until=None, run_after=now + wait, last_error=f"{type(error).__name__}: {error}"[:ERROR_LENGTH]
    )
