"""The register of barrels, and who owns the wood."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from staveward.models.base import ClubRow


class Barrel(ClubRow):
    """One barrel's register. Its state, contents and wood left are derived from its acts, not kept here."""

    name = models.CharField(max_length=60)
    tag_code = models.CharField(max_length=12)
    place = models.ForeignKey("staveward.Place", on_delete=models.PROTECT, related_name="barrels")

    # Capacity: what the maker says, what the tape says, what the scale says. The best known one counts.
    nominal_l = models.FloatField()
    weighed_capacity_l = models.FloatField(null=True, blank=True)
    profile = models.CharField(max_length=20, default="parabolic")
    bilge_diameter_cm = models.FloatField(null=True, blank=True)
    head_diameter_cm = models.FloatField(null=True, blank=True)
    length_cm = models.FloatField(null=True, blank=True)
    outside_bilge_diameter_cm = models.FloatField(null=True, blank=True)
    outside_head_diameter_cm = models.FloatField(null=True, blank=True)
    outside_length_cm = models.FloatField(null=True, blank=True)
    stave_mm = models.FloatField(null=True, blank=True)
    head_mm = models.FloatField(null=True, blank=True)
    chime_mm = models.FloatField(null=True, blank=True)
    stave_count = models.PositiveSmallIntegerField(null=True, blank=True)

    wood = models.CharField(max_length=60, blank=True, default="")
    char = models.CharField(max_length=60, blank=True, default="")
    hoops = models.CharField(max_length=60, blank=True, default="")
    spigot = models.CharField(max_length=60, blank=True, default="")
    bung = models.CharField(max_length=60, blank=True, default="")
    bung_tight = models.BooleanField(default=False)
    maker = models.CharField(max_length=80, blank=True, default="")
    bought_on = models.DateField(null=True, blank=True)
    price_minor = models.BigIntegerField(null=True, blank=True)
    dry_mass_kg = models.FloatField(null=True, blank=True)
    wet_mass_kg = models.FloatField(null=True, blank=True)
    max_abv_pct = models.FloatField(default=70.0)

    # A club's old barrel is adopted as found: what its wood gave before is a range, its history some families.
    adopted = models.BooleanField(default=False)
    adopted_wood_used_low = models.FloatField(default=0.0)
    adopted_wood_used_high = models.FloatField(default=0.0)
    adopted_families = models.JSONField(default=list, blank=True)
    adopted_allergens = models.JSONField(default=list, blank=True)
    # What repairs before the first stay left of the wood used then; laid by ``services.worn``, never edited.
    adopted_wood_kept = models.FloatField(default=1.0)

    note = models.TextField(blank=True, default="")
    registered_at = models.DateTimeField()
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["name", "id"]
        constraints = [
            models.UniqueConstraint(fields=["club", "tag_code"], name="barrel_tag_once_a_club"),
            models.UniqueConstraint(fields=["club", "name"], name="barrel_name_once_a_club"),
            models.CheckConstraint(
                condition=Q(nominal_l__gt=0) & Q(nominal_l__lte=350), name="barrel_nominal_range"
            ),
            models.CheckConstraint(
                condition=Q(weighed_capacity_l__isnull=True)
                | (Q(weighed_capacity_l__gt=0) & Q(weighed_capacity_l__lte=400)),
                name="barrel_weighed_range",
            ),
            models.CheckConstraint(
                condition=Q(adopted_wood_used_low__gte=0)
                & Q(adopted_wood_used_high__gte=models.F("adopted_wood_used_low")),
                name="barrel_adopted_wood_range",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class OwnerShare(models.Model):
    """One weight in a dated act of ownership; the newest act holds. No rows means the club owns it."""

    act = models.ForeignKey("staveward.Act", on_delete=models.CASCADE, related_name="owner_shares")
    person = models.ForeignKey("staveward.Person", on_delete=models.PROTECT, related_name="+")
    weight = models.PositiveIntegerField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["act", "person"], name="owner_once_an_act"),
            models.CheckConstraint(condition=Q(weight__gt=0), name="owner_weight_positive"),
        ]


class BarrelMeasure(models.Model):
    """What one act said of a barrel's masses and weighed capacity, by field; None where it said "not known".

    The register shows the newest that stands, so an act taken back takes its figures with it.
    """

    act = models.OneToOneField(
        "staveward.Act", primary_key=True, on_delete=models.CASCADE, related_name="measure"
    )
    measured = models.JSONField()


class FormerTag(ClubRow):
    """A code that a barrel no longer carries: whoever scans it is led to the barrel, and told so."""

    code = models.CharField(max_length=12)
    barrel = models.ForeignKey("staveward.Barrel", on_delete=models.CASCADE, related_name="former_tags")
    replaced_at = models.DateTimeField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["club", "code"], name="former_tag_once_a_club")]


class Repair(models.Model):
    """The typed half of an act in ``repairs``: work on the wood that gives some of its life back."""

    act = models.OneToOneField(
        "staveward.Act", primary_key=True, on_delete=models.CASCADE, related_name="repair"
    )
    kind = models.CharField(max_length=20)
