"""Trouble: a leak, an off smell, damage, a missing barrel; how it ended, and who was told."""

from __future__ import annotations

from django.db import models

from staveward.models.base import ClubRow


class Trouble(models.Model):
    """The typed half of an act in ``troubles``; it stays open until the keeper settles it."""

    act = models.OneToOneField(
        "staveward.Act", primary_key=True, on_delete=models.CASCADE, related_name="trouble"
    )
    kind = models.CharField(max_length=12)
    # What it looks or smells like, by the diagnosis table; empty where nobody said.
    sign = models.CharField(max_length=16, blank=True, default="")
    quarantine = models.BooleanField(default=False)
    note = models.TextField(blank=True, default="")
    settled_by = models.ForeignKey(
        "staveward.Act", null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )


class TroubleSettlement(models.Model):
    """The typed half of an act in ``trouble-settlements``: litres lost or rescued, and why."""

    act = models.OneToOneField(
        "staveward.Act", primary_key=True, on_delete=models.CASCADE, related_name="trouble_settlement"
    )
    outcome = models.CharField(max_length=12)
    volume_l = models.FloatField(null=True, blank=True)
    cause = models.CharField(max_length=300, blank=True, default="")


class Notice(ClubRow):
    """Word to one person that trouble touches them: a fill they share, a barrel they own or have reserved.

    ``why`` also says what came of a reservation whose barrel was retired, and then was not.
    """

    person = models.ForeignKey("staveward.Person", on_delete=models.CASCADE, related_name="notices")
    barrel = models.ForeignKey("staveward.Barrel", on_delete=models.CASCADE, related_name="+")
    act = models.ForeignKey("staveward.Act", on_delete=models.CASCADE, related_name="notices")
    why = models.CharField(max_length=12)
    at = models.DateTimeField()

    class Meta:
        ordering = ["-at", "id"]
        # One act may touch two barrels: a correction that moves it from the one to the other.
        constraints = [
            models.UniqueConstraint(fields=["person", "act", "barrel"], name="notice_once_an_act"),
        ]
