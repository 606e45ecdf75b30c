"""What both kinds of forecast share: asking the clock for them, and keeping them where readers find them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.models import Exists, OuterRef

from staveward.models import Club, Forecast, Job, Stay
from staveward.services.feed import feed_publish
from staveward.services.locking import lock_barrels

# Nobody reads an old course but to ask what was thought of late; forecasts of the pull are kept, for they are scored.
COURSES_KEPT = timedelta(days=14)


def jobs_ask(name: str, stay_ids: Iterable[UUID], now: datetime) -> None:
    """Asks the next tick for a job on each of these stays; asking twice is asking once."""
    Job.objects.bulk_create(
        [Job(name=name, key=str(stay_id), run_after=now) for stay_id in sorted(set(stay_ids))],
        update_conflicts=True,
        unique_fields=["name", "key"],
        update_fields=["run_after", "done_at", "tries"],
    )


def forecasts_keep(
    club: Club,
    rows: Sequence[Forecast],
    *,
    barrel_ids: Iterable[UUID],
    pointer: str,
    **stays_that_may: Any,
) -> int:
    """Writes the rows and points their stays to them by the field ``pointer``; returns how many were kept.

    Only a stay that still is as ``stays_that_may`` asks gets its row, told under the lock of its barrel.
    """
    with transaction.atomic():
        lock_barrels(club, barrel_ids)
        asked = Stay.objects.for_club(club).filter(pk__in=[row.stay_id for row in rows], **stays_that_may)
        stays = asked.in_bulk()
        kept = [row for row in rows if row.stay_id in stays]
        Forecast.objects.bulk_create(kept, batch_size=100)
        for row in kept:
            setattr(stays[row.stay_id], f"{pointer}_id", row.pk)
        Stay.objects.bulk_update([stays[row.stay_id] for row in kept], [pointer], batch_size=200)
        if kept:
            feed_publish(club, [("barrels", stays[row.stay_id].barrel_id) for row in kept])
    return len(kept)


def courses_thin(club_id: UUID, now: datetime) -> int:
    """Removes old courses that no stay points to any more; returns how many there were."""
    told = Stay.objects.filter(forecast=OuterRef("pk"))
    old = Forecast.objects.filter(club_id=club_id, kind="contents", made_at__lt=now - COURSES_KEPT)
    _, removed = old.filter(~Exists(told)).delete()
    return removed.get(Forecast._meta.label, 0)
