"""The input of a fill: the mix, whose it is, and who may taste it."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from staveward.api import choices
from staveward.api.fields import (
    FlagField,
    IdField,
    QuantityField,
    StrengthField,
    StrictSerializer,
    TextField,
    WholeField,
    WordField,
)
from staveward.api.serializers.acts import volume_field
from staveward.api.serializers.common import OPTIONAL, SUGAR_G_L, TEMP_C, BarrelActInput, SharesField

MANY_PARTS = 12
LONGEST_PLAN_DAYS = 3650


class FillPartInput(StrictSerializer):
    """One thing poured in."""

    name = TextField(max_length=80)
    volume_l = volume_field()
    abv_pct = StrengthField()
    sugar_g_l = QuantityField("g/L", SUGAR_G_L.low, SUGAR_G_L.high, **OPTIONAL)
    temp_c = QuantityField("degC", TEMP_C.low, TEMP_C.high, **OPTIONAL)
    supplied_by = IdField(**OPTIONAL)
    cost_minor = WholeField(min_value=0, max_value=10**12, **OPTIONAL)
    allergens = serializers.ListField(
        child=WordField(choices=choices.ALLERGENS), max_length=len(choices.ALLERGENS), required=False
    )


class FillInput(BarrelActInput):
    name = TextField(max_length=80)
    spirit = WordField(choices=choices.SPIRITS)
    family = WordField(choices=choices.FAMILIES)
    parts = serializers.ListField(child=FillPartInput(), min_length=1, max_length=MANY_PARTS)
    volume_l = volume_field(
        help_text="Measured, where it is better known than the sum of the parts.", **OPTIONAL
    )
    abv_pct = StrengthField(help_text="Measured, where it is better known than from the parts.", **OPTIONAL)
    abv_basis = WordField(choices=choices.ABV_BASES, **OPTIONAL)
    sharers = SharesField(default=list, help_text="Empty when the club owns the fill.")
    is_private = FlagField(default=False)
    open_to_tasting = FlagField(default=True)
    planned_days = WholeField(min_value=1, max_value=LONGEST_PLAN_DAYS, **OPTIONAL)
    reservation = IdField(**OPTIONAL)
    wood_state = WordField(choices=choices.WOOD_STATES, **OPTIONAL)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        if attrs.get("abv_basis") == "measured" and attrs.get("abv_pct") is None:
            raise serializers.ValidationError(
                {"abv_pct": ["A measured strength needs its figure."]}, code="required"
            )
        return attrs
