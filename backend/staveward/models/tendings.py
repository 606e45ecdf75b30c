"""Tendings: what the keeper does to a barrel without changing what it is."""

from __future__ import annotations

from django.db import models


class Tending(models.Model):
    """One task in an act of ``tendings``; "All well" is one act with several tasks."""

    act = models.ForeignKey("staveward.Act", on_delete=models.CASCADE, related_name="tendings")
    task = models.CharField(max_length=20)
    volume_l = models.FloatField(null=True, blank=True)
    abv_pct = models.FloatField(null=True, blank=True)
    bung_clock = models.PositiveSmallIntegerField(null=True, blank=True)
    is_well = models.BooleanField(default=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["act", "task"], name="task_once_an_act")]
