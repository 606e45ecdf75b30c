"""Water in wood: the first filling of a curing, and the storage water of a hold."""

from __future__ import annotations

from django.db import models


class Curing(models.Model):
    """The typed half of an act in ``curings``."""

    act = models.OneToOneField(
        "staveward.Act", primary_key=True, on_delete=models.CASCADE, related_name="curing"
    )
    water_l = models.FloatField()
    dry_mass_kg = models.FloatField(null=True, blank=True)


class Hold(models.Model):
    """The typed half of an act in ``holds``."""

    act = models.OneToOneField(
        "staveward.Act", primary_key=True, on_delete=models.CASCADE, related_name="hold"
    )
    water_l = models.FloatField()
    spirit_dose_ml = models.FloatField(default=0.0)
    bung_clock = models.PositiveSmallIntegerField(default=12)
    is_solution = models.BooleanField(default=False)
    citric_acid_g = models.FloatField(null=True, blank=True)
    metabisulphite_g = models.FloatField(null=True, blank=True)
