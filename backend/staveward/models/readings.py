"""Readings: what was measured, with the climate of a place among them."""

from __future__ import annotations

from django.db import models
from django.db.models import Q


class Reading(models.Model):
    """The typed half of an act in ``readings``. Which numbers are set depends on the kind."""

    act = models.OneToOneField(
        "staveward.Act", primary_key=True, on_delete=models.CASCADE, related_name="reading"
    )
    kind = models.CharField(max_length=12)
    place = models.ForeignKey(
        "staveward.Place", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    mass_kg = models.FloatField(null=True, blank=True)
    dip_mm = models.FloatField(null=True, blank=True)
    volume_l = models.FloatField(null=True, blank=True)
    abv_apparent_pct = models.FloatField(null=True, blank=True)
    abv_pct = models.FloatField(null=True, blank=True)
    temp_c = models.FloatField(null=True, blank=True)
    rh = models.FloatField(null=True, blank=True)
    so2_mg_l = models.FloatField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(mass_kg__isnull=True) | Q(mass_kg__gt=0), name="reading_mass_positive"
            ),
            models.CheckConstraint(
                condition=Q(rh__isnull=True) | (Q(rh__gte=0) & Q(rh__lte=1)), name="reading_rh_fraction"
            ),
        ]
