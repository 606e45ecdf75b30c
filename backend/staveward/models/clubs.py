"""The club and its places."""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models import F, Q

from staveward.models.base import ClubRow


class Club(models.Model):
    """A members' club: its settings, its clock's zone and the counter of its changes feed."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    slug = models.SlugField(unique=True, max_length=60)
    name = models.CharField(max_length=120)
    timezone = models.CharField(max_length=64, default="UTC")
    currency = models.CharField(max_length=3, default="EUR")
    # Whose standard drink is counted in: a country that science.servings knows, or WHO.
    drink_country = models.CharField(max_length=3, default="WHO")

    # Who may do what, where the permission table says "if the club allows".
    members_may_tend = models.BooleanField(default=True)
    sharers_may_fill = models.BooleanField(default=False)
    members_may_taste_all = models.BooleanField(default=True)

    # Who says that a fill is pulled: the keeper, or its sharers too.
    pull_by = models.CharField(max_length=8, default="keeper")

    # Periods and budgets; codes and defaults live in science.vocabulary, a club stores only what it changed.
    care = models.JSONField(default=dict, blank=True)
    sample_budget_pct = models.FloatField(default=4.0)
    pencil_days = models.PositiveSmallIntegerField(default=7)
    turnaround_days = models.PositiveSmallIntegerField(default=1)
    strict_water = models.BooleanField(default=False)

    # What the club answered about local law; an unanswered question stays amber on every fill.
    law = models.JSONField(default=dict, blank=True)

    # The changes feed: one number a commit, and an id that a restore renews.
    change_seq = models.BigIntegerField(default=0)
    feed_id = models.UUIDField(default=uuid.uuid4)
    version = models.PositiveIntegerField(default=1)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(sample_budget_pct__gte=0) & Q(sample_budget_pct__lte=50),
                name="club_sample_budget_range",
            )
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def sharers_pull(self) -> bool:
        """Whether a fill's sharers decide with each other when it is pulled."""
        return self.pull_by == "sharers"


class Place(ClubRow):
    """A room where barrels stand, with the climate that is assumed until somebody measures it."""

    name = models.CharField(max_length=80)
    walking_order = models.PositiveSmallIntegerField(default=0)
    temp_c = models.FloatField(default=13.0)
    rh = models.FloatField(default=0.70)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["walking_order", "name", "id"]
        constraints = [
            models.UniqueConstraint(fields=["club", "name"], name="place_name_once_a_club"),
            models.CheckConstraint(condition=Q(rh__gte=0) & Q(rh__lte=1), name="place_rh_fraction"),
            models.CheckConstraint(condition=Q(temp_c__gte=-20) & Q(temp_c__lte=45), name="place_temp_range"),
        ]

    def __str__(self) -> str:
        return self.name


class Change(models.Model):
    """The newest change of one row that readers may know: the feed holds one line a row, not a history."""

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="+")
    seq = models.BigIntegerField()
    collection = models.CharField(max_length=32)
    row_id = models.UUIDField()
    vanished = models.BooleanField(default=False)

    class Meta:
        ordering = ["seq", "collection", "row_id"]
        constraints = [
            models.UniqueConstraint(fields=["club", "collection", "row_id"], name="change_once_a_row")
        ]
        indexes = [
            models.Index(F("club"), F("seq"), F("collection"), F("row_id"), name="change_in_feed_order")
        ]
