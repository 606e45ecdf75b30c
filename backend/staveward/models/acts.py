"""The ledger: every write that arrived, as it was sent.

An act is what somebody says happened (or asks for): it is never changed or deleted, only superseded by
another act. Its key was made on the device. The columns below the line are the server's judgement of it and
are laid anew by ``services.rebuild``; everything above the line is the act itself.
"""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from staveward.models.base import ClubRow


class Placement(models.TextChoices):
    """Whether an act fits the barrel's life, or waits for the keeper."""

    PLACED = "placed"
    SET_ASIDE = "set_aside"


class Act(ClubRow):
    """One entry: who sent what, about which barrel, when it happened and when it came."""

    collection = models.CharField(max_length=32)
    path = models.CharField(max_length=200)
    author = models.ForeignKey("staveward.Person", on_delete=models.PROTECT, related_name="+")
    subject = models.ForeignKey(
        "staveward.Person", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    barrel = models.ForeignKey(
        "staveward.Barrel", null=True, blank=True, on_delete=models.PROTECT, related_name="acts"
    )
    body = models.JSONField()
    body_sha256 = models.CharField(max_length=64)
    schema = models.PositiveSmallIntegerField(default=1)
    happened_at = models.DateTimeField()
    entered_at = models.DateTimeField()
    received_at = models.DateTimeField()
    skew_s = models.FloatField(null=True, blank=True)
    # The instant that orders the log: happened_at, less the device's skew where its clock was plainly wrong.
    ordered_at = models.DateTimeField()
    replaces = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="replaced_by"
    )
    is_void = models.BooleanField(default=False)

    # --- the server's judgement, laid anew at each rebuild -------------------------------------------------
    placement = models.CharField(max_length=9, default=Placement.PLACED)
    set_aside_reason = models.CharField(max_length=32, blank=True, default="")
    set_aside_settled = models.BooleanField(default=False)
    flags = models.JSONField(default=list, blank=True)
    is_head = models.BooleanField(default=True)
    stay = models.ForeignKey(
        "staveward.Stay", null=True, blank=True, on_delete=models.SET_NULL, related_name="acts"
    )

    class Meta:
        ordering = ["ordered_at", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["replaces"],
                condition=Q(replaces__isnull=False, placement="placed"),
                name="act_replaced_once",
            ),
            models.CheckConstraint(condition=Q(placement__in=Placement.values), name="act_placement_known"),
        ]
        indexes = [
            models.Index(fields=["barrel", "-ordered_at", "-id"], name="act_log_of_barrel"),
            models.Index(fields=["stay", "collection"], name="act_of_stay"),
            models.Index(fields=["barrel", "collection"], name="act_of_barrel"),
            # Whole, not partial: SQLite uses a partial index only where the query spells its condition out.
            models.Index(fields=["club", "placement", "received_at"], name="act_by_placement"),
        ]

    def __str__(self) -> str:
        return f"{self.collection} {self.id}"
