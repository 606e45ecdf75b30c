"""Bottlings and the bottles they made: who holds which, how full, opened when."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from staveward.models.base import ClubRow


class Bottling(models.Model):
    """The typed half of an act in ``bottlings``. It is frozen: a mistake is taken back and entered anew."""

    act = models.OneToOneField(
        "staveward.Act", primary_key=True, on_delete=models.CASCADE, related_name="bottling"
    )
    vessel = models.ForeignKey("staveward.Vessel", on_delete=models.PROTECT, related_name="bottlings")
    loss_ml = models.PositiveIntegerField(default=0)
    heel_ml = models.PositiveIntegerField(default=0)
    abv_pct = models.FloatField(null=True, blank=True)
    # The vessel's cost that went into these bottles, in the currency's smallest unit.
    cost_minor = models.BigIntegerField(null=True, blank=True)


class BottlingShare(models.Model):
    """What one sharer got of a bottling and what it costs them; nobody named stands for the club."""

    bottling = models.ForeignKey(Bottling, on_delete=models.CASCADE, related_name="shares")
    person = models.ForeignKey(
        "staveward.Person", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    bottles = models.PositiveIntegerField()
    heel_ml = models.PositiveIntegerField(default=0)
    received_ml = models.PositiveIntegerField()
    # What the shares alone would have given them, before any swap.
    fair_ml = models.PositiveIntegerField()
    cost_minor = models.BigIntegerField(null=True, blank=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["bottling", "person"], name="share_once_a_bottling")]


class Bottle(ClubRow):
    """One bottle. What became of it is laid from the acts that name it."""

    bottling = models.ForeignKey(Bottling, on_delete=models.CASCADE, related_name="bottles")
    number = models.PositiveSmallIntegerField()
    tag_code = models.CharField(max_length=12)
    size_ml = models.PositiveIntegerField()
    fill_ml = models.PositiveIntegerField()
    # Whose it was at the division; who holds it now follows from what was handed over.
    first_holder = models.ForeignKey(
        "staveward.Person", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    # --- laid anew from its acts ------------------------------------------------------------------------------
    holder = models.ForeignKey(
        "staveward.Person", null=True, blank=True, on_delete=models.PROTECT, related_name="bottles"
    )
    level_ml = models.PositiveIntegerField()
    opened_at = models.DateTimeField(null=True, blank=True)
    # The air in the gap was last renewed then: at the bottling, or when it was last open.
    air_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)
    # How it ended: finished, broken, or left the club.
    end = models.CharField(max_length=10, blank=True, default="")

    class Meta:
        ordering = ["bottling_id", "number"]
        constraints = [
            models.UniqueConstraint(fields=["bottling", "number"], name="bottle_number_once_a_bottling"),
            models.UniqueConstraint(fields=["club", "tag_code"], name="bottle_tag_once_a_club"),
            models.CheckConstraint(condition=Q(size_ml__gt=0), name="bottle_size_positive"),
        ]


class BottleChange(models.Model):
    """The typed half of an act in ``bottle-changes``."""

    act = models.OneToOneField(
        "staveward.Act", primary_key=True, on_delete=models.CASCADE, related_name="bottle_change"
    )
    bottle = models.ForeignKey(Bottle, on_delete=models.PROTECT, related_name="changes")
    change = models.CharField(max_length=12)
    level_ml = models.PositiveIntegerField(null=True, blank=True)
    person = models.ForeignKey(
        "staveward.Person", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
