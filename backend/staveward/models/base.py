"""What every row of a club shares: a UUID key and a way to ask only for one club's rows.

The club comes from the address of the request, never from a body, so every look-up of a foreign key goes
through ``for_club``; an architecture test holds that rule.
"""

from __future__ import annotations

import uuid
from typing import TYPE_CHECKING, Self

from django.db import models

if TYPE_CHECKING:
    from staveward.models.clubs import Club


class ClubQuerySet(models.QuerySet):  # type: ignore[type-arg]
    """Rows that belong to clubs."""

    def for_club(self, club: Club) -> Self:
        """Returns the rows of one club."""
        return self.filter(club_id=club.pk)


class ClubRow(models.Model):
    """A row owned by exactly one club."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    club = models.ForeignKey("staveward.Club", on_delete=models.CASCADE, related_name="+")

    objects = ClubQuerySet.as_manager()

    class Meta:
        abstract = True
