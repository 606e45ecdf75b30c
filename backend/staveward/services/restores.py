"""After a backup was put back: every device must learn that the club's past has changed."""

from __future__ import annotations

from uuid import uuid4

from django.db import transaction

from staveward.models import Club


def feeds_renew() -> int:
    """Gives every club's feed a new id, so that each device reads its club anew, and returns how many clubs.

    A device keeps its outbox; what it had already sent and the backup had lost is sent again by its author.
    """
    with transaction.atomic():
        clubs = list(Club.objects.select_for_update().order_by("pk"))
        for club in clubs:
            club.feed_id = uuid4()
            club.save(update_fields=["feed_id"])
    return len(clubs)
