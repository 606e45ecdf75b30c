"""Filters of lists that people look through."""

from __future__ import annotations

from typing import Any

import django_filters  # type: ignore[import-untyped]
from django.db.models import QuerySet

from staveward.api import choices
from staveward.models import Barrel
from staveward.selectors.barrels import barrels_in_state
from staveward.services.errors import FieldProblem, Malformed


class BarrelFilter(django_filters.FilterSet):
    """Barrels in one state, or standing in one place."""

    state = django_filters.ChoiceFilter(
        choices=[(word, word) for word in choices.BARREL_STATES], method="in_state"
    )
    place = django_filters.UUIDFilter(field_name="place_id")

    class Meta:
        model = Barrel
        fields = ("state", "place")

    def in_state(self, barrels: QuerySet[Barrel], name: str, state: str) -> QuerySet[Barrel]:
        return barrels_in_state(barrels, state)


ALLOWED = {"state": "one of " + ", ".join(choices.BARREL_STATES), "place": "the id of a place"}


def barrels_filtered(query: Any, barrels: QuerySet[Barrel]) -> QuerySet[Barrel]:
    """Returns the barrels that a query asks for, or refuses the query."""
    asked = BarrelFilter(query, queryset=barrels)
    if not asked.is_valid():
        rows = [
            FieldProblem(name, query.get(name), ALLOWED[name], " ".join(texts))
            for name, texts in asked.errors.items()
        ]
        raise Malformed(f"{rows[0].field}: {rows[0].detail} Allowed: {rows[0].allowed}.", fields=rows)
    found: QuerySet[Barrel] = asked.qs
    return found
