"""Blind flights: glasses known by their codes until all have been scored, and what was said of them meanwhile."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from staveward.models.base import ClubRow


class Flight(ClubRow):
    """An evening's glasses, poured by one person for others. Its key is that of the act that began it."""

    pourer = models.ForeignKey("staveward.Person", on_delete=models.PROTECT, related_name="+")
    poured_at = models.DateTimeField()
    sample_ml = models.FloatField()
    # Pure alcohol in one taster's glasses, at the strengths of the fills when they were poured into the wood; a twin
    # as strong as the strongest.
    ethanol_ml = models.FloatField(default=0.0)
    # What the glasses may hold that somebody must not drink: of the fills, and of all the wood held before.
    allergens = models.JSONField(default=list, blank=True)
    note = models.TextField(blank=True, default="")
    # When the service let the names be known, and why: "finished" by the last score, "closed" by the pourer.
    opened_at = models.DateTimeField(null=True, blank=True)
    opened_by = models.CharField(max_length=8, blank=True, default="")
    # When it was called off instead: then no name is told and no score counts.
    called_off_at = models.DateTimeField(null=True, blank=True)
    called_off_by = models.ForeignKey(
        "staveward.Person", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    called_off_reason = models.TextField(blank=True, default="")

    class Meta:
        ordering = ["-poured_at", "-id"]
        constraints = [models.CheckConstraint(condition=Q(sample_ml__gt=0), name="flight_sample_positive")]


class FlightGlass(models.Model):
    """One code, and the fill behind it. A doubled fill stands behind two."""

    flight = models.ForeignKey(Flight, on_delete=models.CASCADE, related_name="glasses")
    position = models.PositiveSmallIntegerField()
    code = models.CharField(max_length=3)
    barrel = models.ForeignKey("staveward.Barrel", on_delete=models.PROTECT, related_name="+")
    fill = models.ForeignKey("staveward.Act", on_delete=models.PROTECT, related_name="+")
    is_doubled = models.BooleanField(default=False)

    class Meta:
        ordering = ["position"]
        constraints = [models.UniqueConstraint(fields=["flight", "code"], name="code_once_a_flight")]


class FlightTaster(models.Model):
    """Somebody who tastes in a flight, with the codes in the order that is theirs."""

    flight = models.ForeignKey(Flight, on_delete=models.CASCADE, related_name="tasters")
    person = models.ForeignKey("staveward.Person", on_delete=models.PROTECT, related_name="+")
    codes = models.JSONField()
    # False where the closing says that nothing was poured for them: whoever did not come.
    is_poured = models.BooleanField(default=True)

    class Meta:
        ordering = ["id"]
        constraints = [models.UniqueConstraint(fields=["flight", "person"], name="taster_once_a_flight")]


class BlindTasting(models.Model):
    """The typed half of an act in ``blind-tastings``: a score of a code. It names no barrel; its glass does.

    Without a glass it waits: its flight has not arrived yet, or no flight has such a code.
    """

    act = models.OneToOneField(
        "staveward.Act", primary_key=True, on_delete=models.CASCADE, related_name="blind_tasting"
    )
    glass = models.ForeignKey(
        FlightGlass, null=True, blank=True, on_delete=models.PROTECT, related_name="scores"
    )
    taster = models.ForeignKey("staveward.Person", on_delete=models.PROTECT, related_name="+")
    liking = models.FloatField()
    # Empty: as much as was poured.
    sample_ml = models.FloatField(null=True, blank=True)
    # The entry in the barrel's log that it became when the names were known.
    tasting = models.OneToOneField(
        "staveward.Act", null=True, blank=True, on_delete=models.PROTECT, related_name="blind_origin"
    )

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(liking__gte=0) & Q(liking__lte=10), name="blind_liking_range")
        ]
