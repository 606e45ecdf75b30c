"""After an update: the logs are laid anew that hold what a new rule reads and the earlier version did not."""

from __future__ import annotations

from collections import defaultdict
from uuid import UUID

from django.db import transaction

from staveward.models import Club
from staveward.selectors.unlaid import tastes_unheard
from staveward.services.feed import feed_publish
from staveward.services.locking import lock_barrels
from staveward.services.rebuild import barrel_rebuild


def logs_lay_anew() -> int:
    """Lays anew each barrel whose log says more than was laid of it, and returns how many there were.

    One question where there is none. Safe to run again, and while the club is at work: each barrel is laid under its
    lock, in a transaction of its own.
    """
    unlaid: defaultdict[UUID, set[UUID]] = defaultdict(set)
    for club_id, barrel_id in tastes_unheard().values_list("act__club_id", "act__barrel_id").distinct():
        unlaid[club_id].add(barrel_id)
    for club in Club.objects.filter(pk__in=unlaid) if unlaid else ():
        for barrel_id in sorted(unlaid[club.pk]):
            with transaction.atomic():
                barrel = lock_barrels(club, [barrel_id])[barrel_id]
                feed_publish(club, barrel_rebuild(barrel))
    return sum(len(barrel_ids) for barrel_ids in unlaid.values())
