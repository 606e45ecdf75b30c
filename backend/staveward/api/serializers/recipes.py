"""The recipe book's inputs and answers. Amounts are proportions; each barrel scales them."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from staveward.api import choices
from staveward.api.fields import (
    FlagField,
    QuantityField,
    StrengthField,
    StrictSerializer,
    TextField,
    WholeField,
    WordField,
)
from staveward.api.serializers.acts import volume_field
from staveward.api.serializers.common import OPTIONAL, SUGAR_G_L, EntryInput

NAME_LENGTH = 80
NOTE_LENGTH = 2000
MANY_PARTS = 12
LONGEST_PLAN_DAYS = 3650
LARGEST_BOTTLE_ML = 60_000
DEAREST_MINOR = 10**12


def allergen_list() -> serializers.ListField:
    """The allergens of a part: an empty list says that there are none, null that nobody has looked."""
    return serializers.ListField(
        child=WordField(choices=choices.ALLERGENS), max_length=len(choices.ALLERGENS), **OPTIONAL
    )


class RecipePartInput(StrictSerializer):
    """One thing to pour, in the order of pouring."""

    name = TextField(max_length=NAME_LENGTH)
    kind = WordField(choices=choices.INGREDIENTS, **OPTIONAL)
    volume_l = volume_field()
    abv_pct = StrengthField()
    sugar_g_l = QuantityField("g/L", SUGAR_G_L.low, SUGAR_G_L.high, **OPTIONAL)
    allergens = allergen_list()
    bottle_ml = QuantityField("mL", 0, LARGEST_BOTTLE_ML, above_low=True, **OPTIONAL)
    bottle_cost_minor = WholeField(min_value=0, max_value=DEAREST_MINOR, **OPTIONAL)


def parts_field(**options: Any) -> serializers.ListField:
    return serializers.ListField(child=RecipePartInput(), min_length=1, max_length=MANY_PARTS, **options)


def planned_field() -> WholeField:
    return WholeField(min_value=1, max_value=LONGEST_PLAN_DAYS, **OPTIONAL)


class RecipeInput(EntryInput):
    name = TextField(max_length=NAME_LENGTH)
    spirit = WordField(choices=choices.SPIRITS)
    family = WordField(choices=choices.FAMILIES)
    parts = parts_field()
    planned_days = planned_field()
    is_club = FlagField(default=False, help_text="In the club's book, for everybody; else its writer's own.")


class RecipeEditInput(StrictSerializer):
    name = TextField(max_length=NAME_LENGTH, required=False)
    spirit = WordField(choices=choices.SPIRITS, required=False)
    family = WordField(choices=choices.FAMILIES, required=False)
    parts = parts_field(required=False)
    planned_days = planned_field()
    note = TextField(max_length=NOTE_LENGTH, allow_blank=True, required=False)
    is_club = FlagField(required=False)
    is_put_away = FlagField(required=False)


class RecipePartOutput(serializers.Serializer):
    name = serializers.CharField()
    kind = serializers.ChoiceField(choices=choices.INGREDIENTS, allow_null=True)
    volume_l = serializers.FloatField()
    abv_pct = serializers.FloatField()
    sugar_g_l = serializers.FloatField()
    allergens = serializers.ListField(child=serializers.CharField(), allow_null=True)
    bottle_ml = serializers.FloatField(allow_null=True)
    bottle_cost_minor = serializers.IntegerField(
        allow_null=True, help_text="Null also for whoever it is none of their business."
    )


class RecipeContentOutput(serializers.Serializer):
    name = serializers.CharField()
    spirit = serializers.ChoiceField(choices=choices.SPIRITS)
    family = serializers.ChoiceField(choices=choices.FAMILIES)
    parts = RecipePartOutput(many=True)
    planned_days = serializers.IntegerField(allow_null=True)
    note = serializers.CharField(allow_blank=True)
    is_club = serializers.BooleanField()
    is_put_away = serializers.BooleanField()


class RecipeOutput(RecipeContentOutput):
    id = serializers.UUIDField()
    version = serializers.IntegerField()
    owner = serializers.UUIDField()
    is_mine = serializers.BooleanField()
    may_edit = serializers.BooleanField()
    changed_at = serializers.DateTimeField()


class RecipeVersionOutput(RecipeContentOutput):
    """What a recipe said when somebody had written it."""

    id = serializers.UUIDField()
    number = serializers.IntegerField()
    author = serializers.UUIDField()
    made_at = serializers.DateTimeField()
