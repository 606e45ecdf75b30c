"""Recipes: what is mixed for a fill, as the club keeps it, every version of it."""

from __future__ import annotations

from django.db import models

from staveward.models.base import ClubRow


class Recipe(ClubRow):
    """A recipe as it stands: the club's, or one person's own. Amounts are proportions, scaled to each barrel."""

    owner = models.ForeignKey("staveward.Person", on_delete=models.PROTECT, related_name="+")
    # In the club's book everybody may mix it; otherwise it is its owner's own.
    is_club = models.BooleanField(default=False)
    name = models.CharField(max_length=80)
    spirit = models.CharField(max_length=20)
    family = models.CharField(max_length=20)
    parts = models.JSONField()
    planned_days = models.PositiveSmallIntegerField(null=True, blank=True)
    note = models.TextField(blank=True, default="")
    # Out of the way, but never gone: fills name it.
    is_put_away = models.BooleanField(default=False)
    version = models.PositiveIntegerField(default=1)
    changed_at = models.DateTimeField()

    class Meta:
        ordering = ["name", "id"]

    def __str__(self) -> str:
        return self.name


class RecipeVersion(ClubRow):
    """What a recipe said when somebody had written it; kept for ever."""

    recipe = models.ForeignKey(Recipe, on_delete=models.CASCADE, related_name="versions")
    number = models.PositiveIntegerField()
    author = models.ForeignKey("staveward.Person", on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()
    content = models.JSONField()

    class Meta:
        ordering = ["number", "id"]
        constraints = [
            models.UniqueConstraint(fields=["recipe", "number"], name="recipe_version_once"),
        ]
