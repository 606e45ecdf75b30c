"""Vessels: glass or steel that holds a liquid between barrel and bottle, with its strength, shares and allergens."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from staveward.models.base import ClubRow


class Vessel(ClubRow):
    """One liquid on its way. Its key is that of the first version of the act that made it.

    What comes from a fill (spirit, allergens, shares) is laid anew with the barrel's log by ``services.vessels``, so a
    corrected fill corrects what was drawn off it.
    """

    # The version of the act that counts now, and the fill the liquid came out of.
    act = models.ForeignKey("staveward.Act", on_delete=models.PROTECT, related_name="vessels_made")
    barrel = models.ForeignKey(
        "staveward.Barrel", null=True, blank=True, on_delete=models.PROTECT, related_name="vessels"
    )
    fill = models.ForeignKey(
        "staveward.Act", null=True, blank=True, on_delete=models.PROTECT, related_name="vessels_from"
    )
    # What somebody called it; else it is called by its fill.
    given_name = models.CharField(max_length=80, blank=True, default="")
    name = models.CharField(max_length=80, blank=True, default="")
    made_at = models.DateTimeField()
    # What was in it at the start; what is left is this less what was drawn.
    volume_l = models.FloatField()
    abv_pct = models.FloatField(null=True, blank=True)
    # "measured" when it was decanted, "as_filled" when nobody measured since the fill, "calculated" for a blend.
    abv_basis = models.CharField(max_length=12, default="as_filled")
    sugar_g_l = models.FloatField(default=0.0)
    # Water that went into a blend; None where that was never kept, and for whatever is no blend.
    water_l = models.FloatField(null=True, blank=True)
    spirit = models.CharField(max_length=20, default="unknown")
    family = models.CharField(max_length=20, default="neutral")
    allergens = models.JSONField(default=list, blank=True)
    is_private = models.BooleanField(default=False)
    cost_minor = models.BigIntegerField(null=True, blank=True)
    # The club's own weight beside its sharers': its fill's, or of a blend what was the club's of its parts.
    club_weight = models.PositiveIntegerField(default=0)
    # False once the act that made it was taken back, or while it waits for the keeper.
    stands = models.BooleanField(default=True)

    class Meta:
        ordering = ["made_at", "id"]
        constraints = [
            models.CheckConstraint(condition=Q(volume_l__gte=0), name="vessel_volume_positive"),
            models.CheckConstraint(
                condition=Q(abv_pct__isnull=True) | (Q(abv_pct__gte=0) & Q(abv_pct__lte=100)),
                name="vessel_abv_range",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class VesselShare(models.Model):
    """A sharer's weight in what a vessel holds."""

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="shares")
    person = models.ForeignKey("staveward.Person", on_delete=models.PROTECT, related_name="+")
    weight = models.PositiveIntegerField()

    class Meta:
        ordering = ["-weight", "person_id"]
        constraints = [
            models.UniqueConstraint(fields=["vessel", "person"], name="sharer_once_a_vessel"),
            models.CheckConstraint(condition=Q(weight__gt=0), name="vessel_weight_positive"),
        ]


class VesselDraw(models.Model):
    """What one act took out of a vessel: a bottling, a blend, a fill, a discard."""

    act = models.ForeignKey("staveward.Act", on_delete=models.CASCADE, related_name="draws")
    vessel = models.ForeignKey(Vessel, on_delete=models.PROTECT, related_name="draws")
    volume_l = models.FloatField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["act", "vessel"], name="draw_once_an_act"),
            models.CheckConstraint(condition=Q(volume_l__gt=0), name="draw_volume_positive"),
        ]
