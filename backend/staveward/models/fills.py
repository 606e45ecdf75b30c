"""Fills: what was poured, whose it is, and how it ended."""

from __future__ import annotations

from django.db import models
from django.db.models import Q


class Fill(models.Model):
    """The typed half of an act in ``fills``; the mix as poured, reduced to true volume and strength."""

    act = models.OneToOneField(
        "staveward.Act", primary_key=True, on_delete=models.CASCADE, related_name="fill"
    )
    name = models.CharField(max_length=80)
    spirit = models.CharField(max_length=20)
    family = models.CharField(max_length=20)
    volume_l = models.FloatField()
    abv_pct = models.FloatField()
    sugar_g_l = models.FloatField(default=0.0)
    # "measured" by alcoholmeter or scale, "label" for one plain spirit, "calculated" for a mix.
    abv_basis = models.CharField(max_length=12, default="calculated")
    allergens = models.JSONField(default=list, blank=True)
    wood_state = models.CharField(max_length=12, default="cured")
    is_private = models.BooleanField(default=False)
    open_to_tasting = models.BooleanField(default=True)
    planned_days = models.PositiveSmallIntegerField(null=True, blank=True)
    sample_budget_ml = models.PositiveIntegerField(default=0)
    # The club's own weight beside its sharers'; without sharers the whole is the club's, and no weight is needed.
    club_weight = models.PositiveIntegerField(default=0)
    reservation = models.ForeignKey(
        "staveward.Reservation", null=True, blank=True, on_delete=models.SET_NULL, related_name="fills"
    )
    # Where the mix came from. The fill's own copy of it is in its act's body and changes with no later version.
    recipe = models.ForeignKey(
        "staveward.Recipe", null=True, blank=True, on_delete=models.SET_NULL, related_name="fills"
    )
    recipe_version = models.PositiveIntegerField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(volume_l__gt=0), name="fill_volume_positive"),
            models.CheckConstraint(condition=Q(abv_pct__gte=0) & Q(abv_pct__lte=100), name="fill_abv_range"),
        ]


class FillPart(models.Model):
    """One thing poured into a fill, in the order of pouring."""

    fill = models.ForeignKey(Fill, on_delete=models.CASCADE, related_name="parts")
    position = models.PositiveSmallIntegerField()
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=16, blank=True, default="")
    volume_l = models.FloatField()
    abv_pct = models.FloatField()
    sugar_g_l = models.FloatField(default=0.0)
    temp_c = models.FloatField(default=20.0)
    supplied_by = models.ForeignKey(
        "staveward.Person", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    cost_minor = models.BigIntegerField(null=True, blank=True)

    class Meta:
        ordering = ["position"]
        constraints = [models.UniqueConstraint(fields=["fill", "position"], name="part_position_once_a_fill")]


class FillShare(models.Model):
    """A sharer's weight in a fill."""

    fill = models.ForeignKey(Fill, on_delete=models.CASCADE, related_name="shares")
    person = models.ForeignKey("staveward.Person", on_delete=models.PROTECT, related_name="+")
    weight = models.PositiveIntegerField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["fill", "person"], name="sharer_once_a_fill"),
            models.CheckConstraint(condition=Q(weight__gt=0), name="share_weight_positive"),
        ]


class Decant(models.Model):
    """The typed half of an act in ``decants``: the measured yield."""

    act = models.OneToOneField(
        "staveward.Act", primary_key=True, on_delete=models.CASCADE, related_name="decant"
    )
    measured_volume_l = models.FloatField()
    abv_pct = models.FloatField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(measured_volume_l__gte=0), name="decant_volume_positive")
        ]
