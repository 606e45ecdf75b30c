"""Recipes as their readers may see them: the club's and one's own; the keepers' eyes are everywhere."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.db.models import Q, QuerySet

from staveward.models import Club, Person, Recipe, RecipeVersion
from staveward.selectors.authority import permits
from staveward.selectors.shapes import instant_text

# What a version remembers, and what an edit may change.
CONTENT = ("name", "spirit", "family", "parts", "planned_days", "note", "is_club", "is_put_away")


def recipe_queryset(club: Club, reader: Person) -> QuerySet[Recipe]:
    """Returns the recipes that a person may know of."""
    recipes = Recipe.objects.for_club(club)
    if permits(reader, "recipes_all"):
        return recipes
    if not permits(reader, "recipes"):
        return recipes.none()
    return recipes.filter(Q(is_club=True) | Q(owner=reader))


def recipe_rows(recipes: Iterable[Recipe], reader: Person) -> list[dict[str, Any]]:
    """Returns recipes as the reader may see them; what a bottle cost is its owner's and the keepers'."""
    return [_row(recipe, reader) for recipe in recipes]


def version_queryset(recipe: Recipe) -> QuerySet[RecipeVersion]:
    """Returns all that a recipe ever said, oldest first."""
    return RecipeVersion.objects.filter(club_id=recipe.club_id, recipe=recipe)


def version_rows(versions: Iterable[RecipeVersion], recipe: Recipe, reader: Person) -> list[dict[str, Any]]:
    """Returns versions of one recipe; when it was somebody's own, only they and the keepers see what it said."""
    sees_all = _sees_all(recipe, reader)
    return [
        {
            "id": str(version.pk),
            "number": version.number,
            "author": str(version.author_id),
            "made_at": instant_text(version.made_at),
            **_content(version.content, with_cost=sees_all),
        }
        for version in versions
        if sees_all or version.content["is_club"]
    ]


def recipe_content(recipe: Recipe) -> dict[str, Any]:
    """Returns what a version remembers of a recipe."""
    return {name: getattr(recipe, name) for name in CONTENT}


def _sees_all(recipe: Recipe, reader: Person) -> bool:
    return recipe.owner_id == reader.pk or permits(reader, "recipes_all")


def _row(recipe: Recipe, reader: Person) -> dict[str, Any]:
    return {
        "id": str(recipe.pk),
        "version": recipe.version,
        "owner": str(recipe.owner_id),
        "is_mine": recipe.owner_id == reader.pk,
        "may_edit": permits(reader, "recipes_all") or (recipe.owner_id == reader.pk and not recipe.is_club),
        "changed_at": instant_text(recipe.changed_at),
        **_content(recipe_content(recipe), with_cost=_sees_all(recipe, reader)),
    }


def _content(content: dict[str, Any], *, with_cost: bool) -> dict[str, Any]:
    return {**content, "parts": [_part(part, with_cost) for part in content["parts"]]}


def _part(part: dict[str, Any], with_cost: bool) -> dict[str, Any]:
    return {**part, "bottle_cost_minor": part["bottle_cost_minor"] if with_cost else None}
