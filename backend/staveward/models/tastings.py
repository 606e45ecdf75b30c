"""What is drawn off to be tasted: scores of one fill, week by week, and samples that nobody scored."""

from __future__ import annotations

from django.db import models
from django.db.models import Q


class Tasting(models.Model):
    """The typed half of an act in ``tastings``."""

    act = models.OneToOneField(
        "staveward.Act", primary_key=True, on_delete=models.CASCADE, related_name="tasting"
    )
    taster = models.ForeignKey("staveward.Person", on_delete=models.PROTECT, related_name="+")
    tasted_on = models.DateField()
    liking = models.FloatField()
    # -1 too little, 0 right, +1 too much; empty when the taster did not say.
    oak = models.SmallIntegerField(null=True, blank=True)
    off_notes = models.JSONField(default=list, blank=True)
    sample_ml = models.FloatField(default=0.0)
    replicate = models.PositiveSmallIntegerField(default=1)
    note = models.TextField(blank=True, default="")

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(liking__gte=0) & Q(liking__lte=10), name="tasting_liking_range"
            ),
            models.CheckConstraint(
                condition=Q(oak__isnull=True) | Q(oak__in=[-1, 0, 1]), name="tasting_oak_known"
            ),
            models.CheckConstraint(condition=Q(sample_ml__gte=0), name="tasting_sample_positive"),
        ]


class Sample(models.Model):
    """The typed half of an act in ``samples``: drawn off and scored by nobody."""

    act = models.OneToOneField(
        "staveward.Act", primary_key=True, on_delete=models.CASCADE, related_name="sample"
    )
    sample_ml = models.FloatField()

    class Meta:
        constraints = [models.CheckConstraint(condition=Q(sample_ml__gt=0), name="sample_positive")]
