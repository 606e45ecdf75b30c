"""Locks, always taken in one order: barrels by key, then the club (for its feed counter), once a transaction.

On SQLite ``select_for_update`` does nothing; there every write transaction is IMMEDIATE, so writers queue anyway.
"""

from __future__ import annotations

from collections.abc import Iterable
from uuid import UUID

from django.db import transaction

from staveward.models import Barrel, Club


def lock_barrels(club: Club, barrel_ids: Iterable[UUID]) -> dict[UUID, Barrel]:
    """Locks barrels of a club in key order and returns their fresh rows by key."""
    connection = transaction.get_connection()
    if not connection.in_atomic_block:
        raise RuntimeError("lock_barrels needs an open transaction")
    wanted = sorted(set(barrel_ids))
    rows = Barrel.objects.for_club(club).filter(pk__in=wanted).order_by("pk").select_for_update()
    return {row.pk: row for row in rows}


def lock_club(club: Club) -> None:
    """Locks a club before anything of it is written that must be the only one of its name."""
    Club.objects.select_for_update().get(pk=club.pk)
