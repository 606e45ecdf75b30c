"""The recipe book: written by PUT, edited against its version, every version kept."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from staveward.models import Act, Person, Recipe, RecipeVersion
from staveward.selectors.authority import permits
from staveward.selectors.recipes import CONTENT, recipe_content, recipe_queryset
from staveward.selectors.standing import Standing
from staveward.services.authority import require
from staveward.services.commands import ActCommand, ActKind
from staveward.services.edits import EditCommand, edit_save, unique_checked
from staveward.services.errors import Forbidden, Missing
from staveward.services.feed import FeedRow, feed_publish
from staveward.services.locking import lock_club
from staveward.services.mixes import mix_blend

PART_FIELDS = (
    "name",
    "kind",
    "volume_l",
    "abv_pct",
    "sugar_g_l",
    "allergens",
    "bottle_ml",
    "bottle_cost_minor",
)


def recipe_parts(parts: Iterable[dict[str, Any]]) -> list[dict[str, Any]]:
    """Returns parts in their kept form; refuses what no liquid can be."""
    kept = [{name: part.get(name) for name in PART_FIELDS} for part in parts]
    for part in kept:
        part["sugar_g_l"] = part["sugar_g_l"] or 0.0
        if part["allergens"] is not None:
            part["allergens"] = sorted(set(part["allergens"]))
    mix_blend(kept)
    return kept


def _authorise(command: ActCommand, standing: Standing) -> None:
    require(command.author, "recipes", detail="Only the people of the club write recipes.")
    if command.data.get("is_club"):
        _require_club(command.author)


def _require_club(author: Person) -> None:
    require(author, "recipes_all", detail="Only the keeper writes in the club's book; yours may be your own.")


def _judge(command: ActCommand) -> list[str]:
    recipe_parts(command.data["parts"])
    return []


def _save(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    data = command.data
    named = {name: data[name] for name in CONTENT if data.get(name) is not None}
    named["parts"] = recipe_parts(data["parts"])
    recipe = Recipe(
        id=act.pk, club=command.club, owner=command.author, changed_at=command.happened_at, **named
    )
    unique_checked(recipe, named)
    recipe.save(force_insert=True)
    _remember(recipe, command.author, command.happened_at)
    return [("recipes", recipe.pk)]


def recipe_edit(command: EditCommand, recipe_id: UUID) -> Recipe:
    """Writes a new version of a recipe; fills that were mixed from an older one keep their own copy."""
    require(command.author, "recipes", detail="Only the people of the club write recipes.")
    changes = dict(command.changes)
    with transaction.atomic():
        lock_club(command.club)
        recipe = recipe_queryset(command.club, command.author).filter(pk=recipe_id).first()
        if recipe is None:
            raise Missing("There is no such recipe.")
        if not permits(command.author, "recipes_all"):
            if recipe.owner_id != command.author.pk or recipe.is_club:
                raise Forbidden("Only the keeper changes the club's book; copy the recipe to make it yours.")
            if changes.get("is_club"):
                _require_club(command.author)
        if "parts" in changes:
            changes["parts"] = recipe_parts(changes["parts"])
        edit_save(command, recipe, {**changes, "changed_at": command.now}, collection="recipe-edits")
        _remember(recipe, command.author, command.now)
        feed_publish(command.club, [("recipes", recipe.pk)])
    return recipe


def _remember(recipe: Recipe, author: Person, at: datetime) -> None:
    RecipeVersion.objects.create(
        club_id=recipe.club_id,
        recipe=recipe,
        number=recipe.version,
        author=author,
        made_at=at,
        content=recipe_content(recipe),
    )


KINDS = (ActKind("recipes", "apart", _authorise, judge=_judge, save_detail=_save),)
