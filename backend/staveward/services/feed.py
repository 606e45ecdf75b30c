"""The write side of the changes feed.

``feed_publish`` is the last statement before a commit that changes what people see. It takes the club's row last,
so two commits can never show their numbers in the wrong order, and a late one is never skipped by a reader.
"""

from __future__ import annotations

from collections.abc import Iterable
from uuid import UUID

from django.db.models import F

from staveward.models import Change, Club, Person

FeedRow = tuple[str, UUID]


def feed_publish(club: Club, rows: Iterable[FeedRow], *, vanished: bool = False) -> int:
    """Gives the rows the next number of the feed and returns it."""
    unique = sorted(set(rows))
    Club.objects.filter(pk=club.pk).update(change_seq=F("change_seq") + 1)
    seq: int = Club.objects.values_list("change_seq", flat=True).get(pk=club.pk)
    Change.objects.bulk_create(
        [
            Change(club_id=club.pk, seq=seq, collection=collection, row_id=row_id, vanished=vanished)
            for collection, row_id in unique
        ],
        update_conflicts=True,
        unique_fields=["club", "collection", "row_id"],
        update_fields=["seq", "vanished"],
        batch_size=200,
    )
    return seq


def visibility_bump(club: Club, person_ids: Iterable[UUID]) -> None:
    """Makes the devices of these people read their club anew: what they may see has changed."""
    Person.objects.for_club(club).filter(pk__in=set(person_ids)).update(
        visibility_epoch=F("visibility_epoch") + 1
    )
