"""The club's settings, kept by its admins."""

from __future__ import annotations

from typing import Any

from django.db import transaction

from staveward.models import Barrel, Club, Person
from staveward.services.authority import require
from staveward.services.edits import EditCommand, edit_save
from staveward.services.feed import FeedRow, feed_publish, visibility_bump

# What every barrel's row is computed with.
BARREL_SETTINGS = frozenset({"care", "strict_water", "timezone", "sample_budget_pct", "turnaround_days"})
# What decides who may see or do what.
VISIBILITY_SETTINGS = frozenset({"members_may_taste_all", "members_may_tend", "sharers_may_fill"})


def club_edit(command: EditCommand) -> Club:
    """Changes settings; a change of who may do what makes every device read the club anew."""
    require(command.author, "settings", detail="Only an admin changes the club's settings.")
    with transaction.atomic():
        club = Club.objects.select_for_update().get(pk=command.club.pk)
        changes = dict(command.changes)
        if "care" in changes:
            changes["care"] = _care(changes["care"])
        edit_save(command, club, changes, collection="club-edits")
        rows: list[FeedRow] = [("club", club.pk)]
        if BARREL_SETTINGS & changes.keys():
            rows += [("barrels", pk) for pk in Barrel.objects.for_club(club).values_list("pk", flat=True)]
        if VISIBILITY_SETTINGS & changes.keys():
            visibility_bump(club, Person.objects.for_club(club).values_list("pk", flat=True))
        feed_publish(club, rows)
    return club


def _care(changes: dict[str, dict[str, Any]]) -> dict[str, dict[str, float]]:
    """Keeps only what differs from the usual schedule: a null goes back to it."""
    kept = {
        code: {name: value for name, value in line.items() if value is not None}
        for code, line in changes.items()
    }
    return {code: line for code, line in kept.items() if line}
