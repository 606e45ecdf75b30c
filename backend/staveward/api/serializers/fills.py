"""The input of a fill: the mix, whose it is, and who may taste it."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from staveward.api import choices
from staveward.api.fields import (
    FlagField,
    IdField,
    NumberField,
    QuantityField,
    StrengthField,
    StrictSerializer,
    TextField,
    WholeField,
    WordField,
)
from staveward.api.serializers.acts import mass_field, volume_field
from staveward.api.serializers.common import (
    HEAVIEST_WEIGHT,
    OPTIONAL,
    SUGAR_G_L,
    TEMP_C,
    BarrelActInput,
    SharesField,
)
from staveward.api.serializers.recipes import LONGEST_PLAN_DAYS, MANY_PARTS, allergen_list, parts_field

MANY_GATES = 20
REASON_LENGTH = 300


class FillPartInput(StrictSerializer):
    """One thing poured in: measured, or weighed, or both."""

    name = TextField(max_length=80)
    kind = WordField(choices=choices.INGREDIENTS, **OPTIONAL)
    volume_l = volume_field(**OPTIONAL)
    mass_kg = mass_field(help_text="What the scale showed for the liquid alone.", **OPTIONAL)
    abv_pct = StrengthField()
    sugar_g_l = QuantityField("g/L", SUGAR_G_L.low, SUGAR_G_L.high, **OPTIONAL)
    temp_c = QuantityField("degC", TEMP_C.low, TEMP_C.high, **OPTIONAL)
    supplied_by = IdField(**OPTIONAL)
    cost_minor = WholeField(min_value=0, max_value=10**12, **OPTIONAL)
    allergens = allergen_list()
    vessel = IdField(
        help_text="The vessel it comes out of: its allergens and its cost come along.", **OPTIONAL
    )

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        if attrs.get("volume_l") is None and attrs.get("mass_kg") is None:
            raise serializers.ValidationError(
                {"volume_l": ["A part needs its volume or its weight."]}, code="required"
            )
        return attrs


class FillPlanInput(StrictSerializer):
    """The fill's own copy of the recipe, as it was scaled to the barrel."""

    name = TextField(max_length=80)
    capacity_l = volume_field(**OPTIONAL)
    headroom_pct = NumberField(0, 50, **OPTIONAL)
    for_the_wood_l = volume_field(above_zero=False, **OPTIONAL)
    kept_back_l = volume_field(above_zero=False, **OPTIONAL)
    parts = parts_field()


class FillGateInput(StrictSerializer):
    """One thing looked at before the fill; where it was not as it should be, whether somebody chose to go on."""

    gate = WordField(choices=choices.FILL_GATES)
    ok = FlagField()
    reason = TextField(max_length=REASON_LENGTH, allow_blank=True)
    accepted_by_choice = FlagField(default=False)


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
    abv_apparent_pct = StrengthField(help_text="As the alcoholmeter showed it, at abv_temp_c.", **OPTIONAL)
    abv_temp_c = QuantityField("degC", TEMP_C.low, TEMP_C.high, **OPTIONAL)
    recipe = IdField(help_text="The recipe it was mixed from.", **OPTIONAL)
    recipe_version = WholeField(min_value=1, max_value=2**31 - 1, **OPTIONAL)
    plan = FillPlanInput(**OPTIONAL)
    gates = serializers.ListField(child=FillGateInput(), max_length=MANY_GATES, required=False)
    sharers = SharesField(default=list, help_text="Empty when the club owns the fill.")
    club_weight = WholeField(
        min_value=0,
        max_value=HEAVIEST_WEIGHT,
        help_text="What the club holds itself beside the sharers; its part of the bottles and of the cost.",
        **OPTIONAL,
    )
    shares_total = WholeField(
        min_value=1,
        max_value=10**6,
        help_text="What the shares must add up to, where it was said.",
        **OPTIONAL,
    )
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
        if (attrs.get("abv_apparent_pct") is None) != (attrs.get("abv_temp_c") is None):
            raise serializers.ValidationError(
                {"abv_temp_c": ["A reading and its temperature come together."]}, code="required"
            )
        return attrs
