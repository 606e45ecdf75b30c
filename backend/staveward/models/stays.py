"""Stays: the unbroken periods of a barrel's life. Derived from acts by ``services.rebuild`` and never edited."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from staveward.models.base import ClubRow
from staveward.science.vocabulary import StayKind


class Stay(ClubRow):
    """One curing, fill or hold. Its key is that of the act that opened it; stays of a barrel never overlap."""

    barrel = models.ForeignKey("staveward.Barrel", on_delete=models.CASCADE, related_name="stays")
    kind = models.CharField(max_length=6)
    started_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)
    closing = models.ForeignKey(
        "staveward.Act", null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    # How it ended: tight, given_up, decanted, filled, held, cured, drained, retired, lost.
    outcome = models.CharField(max_length=12, blank=True, default="")
    # Wood used by all that came before this stay (1 = spent), low / typical / high.
    wood_before_low = models.FloatField(default=0.0)
    wood_before_typical = models.FloatField(default=0.0)
    wood_before_high = models.FloatField(default=0.0)
    # What the stay itself uses when it has ended (0 while it is open).
    wood_after_low = models.FloatField(default=0.0)
    wood_after_typical = models.FloatField(default=0.0)
    wood_after_high = models.FloatField(default=0.0)
    # Where the bung points now (a clock position, 12 is up) and what tasters have drunk of it.
    bung_clock = models.PositiveSmallIntegerField(default=12)
    sample_used_ml = models.FloatField(default=0.0)
    forecast = models.ForeignKey(
        "staveward.Forecast", null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )

    # The newest forecast of the best week to pull; a fill keeps it when it ends.
    pull = models.ForeignKey(
        "staveward.Forecast", null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )

    class Meta:
        ordering = ["started_at", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["barrel"], condition=Q(ended_at__isnull=True), name="stay_one_open_a_barrel"
            ),
            models.CheckConstraint(
                condition=Q(ended_at__isnull=True) | Q(ended_at__gte=F("started_at")),
                name="stay_starts_before_end",
            ),
            models.CheckConstraint(
                condition=Q(kind__in=[kind.value for kind in StayKind]), name="stay_kind_known"
            ),
        ]
        indexes = [models.Index(fields=["barrel", "started_at"], name="stay_of_barrel")]


class CareMark(models.Model):
    """When a task of care was last done in a stay, so that what is due is read without walking the log."""

    stay = models.ForeignKey(Stay, on_delete=models.CASCADE, related_name="care_marks")
    task = models.CharField(max_length=20)
    last_at = models.DateTimeField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["stay", "task"], name="care_mark_once_a_task")]
