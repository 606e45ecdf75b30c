"""The recipe book: listed in pages, written by PUT, edited by PATCH against its version, every version readable."""

from __future__ import annotations

from typing import Any

from rest_framework.request import Request
from rest_framework.response import Response

from staveward.api.schema import (
    EDIT,
    IF_MATCH,
    NEW_ID,
    PAGE,
    READ,
    ROW_ID,
    SENT_AT,
    WRITE,
    documented,
    page_of,
)
from staveward.api.serializers.recipes import (
    RecipeEditInput,
    RecipeInput,
    RecipeOutput,
    RecipeVersionOutput,
)
from staveward.api.validation import validated
from staveward.api.views.acts import EntryView
from staveward.api.views.base import ClubView, versioned
from staveward.models import Recipe
from staveward.selectors.recipes import recipe_queryset, recipe_rows, version_queryset, version_rows
from staveward.services.errors import Missing
from staveward.services.recipes import recipe_edit


class RecipeListView(ClubView):
    """The club's recipes and one's own."""

    deed = "recipes"

    @documented(
        "recipeList",
        {200: page_of("RecipePage", RecipeOutput)},
        problems=READ,
        parameters=PAGE,
        tag="recipes",
        summary="List the recipes: the club's and one's own",
    )
    def get(self, request: Request, club: str) -> Response:
        recipes, pager = self.page(recipe_queryset(self.club, self.person), "name", "id")
        return pager.get_paginated_response(recipe_rows(recipes, self.person))


class RecipeView(EntryView):
    """One recipe."""

    deed = "recipes"
    collection = "recipes"
    input_class = RecipeInput

    @documented(
        "recipeGet", {200: RecipeOutput}, parameters=(ROW_ID,), tag="recipes", summary="Read a recipe"
    )
    def get(self, request: Request, club: str, id: str) -> Response:
        return versioned(self.row(id))

    @documented(
        "recipePut",
        {200: RecipeOutput, 201: RecipeOutput},
        request=RecipeInput,
        problems=WRITE,
        parameters=(NEW_ID, SENT_AT),
        tag="recipes",
        summary="Write a recipe",
    )
    def put(self, request: Request, club: str, id: str) -> Response:
        act, is_new = self.receive(id)
        return versioned(self.row(str(act.pk)), status=201 if is_new else 200)

    @documented(
        "recipePatch",
        {200: RecipeOutput},
        request=RecipeEditInput,
        problems=EDIT,
        parameters=(ROW_ID, IF_MATCH),
        tag="recipes",
        summary="Write a new version of a recipe",
    )
    def patch(self, request: Request, club: str, id: str) -> Response:
        recipe_id = self.row_id(id)
        changes = validated(RecipeEditInput, self.body()[0])
        recipe = recipe_edit(self.edit(changes, "recipes", str(recipe_id)), recipe_id)
        return versioned(recipe_rows([recipe], self.person)[0])

    def row(self, id: str) -> dict[str, Any]:
        return recipe_rows([_found(self, id)], self.person)[0]


class RecipeVersionListView(ClubView):
    """All that one recipe ever said."""

    deed = "recipes"

    @documented(
        "recipeVersionList",
        {200: page_of("RecipeVersionPage", RecipeVersionOutput)},
        problems=READ,
        parameters=(ROW_ID, *PAGE),
        tag="recipes",
        summary="List the versions of a recipe, oldest first",
    )
    def get(self, request: Request, club: str, id: str) -> Response:
        recipe = _found(self, id)
        versions, pager = self.page(version_queryset(recipe), "number", "id")
        return pager.get_paginated_response(version_rows(versions, recipe, self.person))


def _found(view: ClubView, id: str) -> Recipe:
    recipe = recipe_queryset(view.club, view.person).filter(pk=view.row_id(id)).first()
    if recipe is None:
        raise Missing("There is no such recipe.")
    return recipe
