"""Trouble: a leak, an off smell, damage, a missing barrel."""

from __future__ import annotations

from django.db import models


class Trouble(models.Model):
    """The typed half of an act in ``troubles``; it stays open until the keeper settles it."""

    act = models.OneToOneField(
        "staveward.Act", primary_key=True, on_delete=models.CASCADE, related_name="trouble"
    )
    kind = models.CharField(max_length=12)
    quarantine = models.BooleanField(default=False)
    note = models.TextField(blank=True, default="")
    settled_by = models.ForeignKey(
        "staveward.Act", null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
