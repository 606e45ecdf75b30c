"""Pulling, blending, bottling and what becomes of a bottle: what is sent, and what the ledger shows."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from staveward.api import choices
from staveward.api.fields import (
    IdField,
    StrengthField,
    StrictSerializer,
    TextField,
    WholeField,
    WordField,
)
from staveward.api.serializers.acts import REASON_LENGTH, volume_field
from staveward.api.serializers.common import OPTIONAL, ActInput, BarrelActInput, EntryInput

MANY_SIZES = 12
MANY_GIVEN = 400
MANY_BOTTLES = 1000
MOST_PARTS = 12
LARGEST_BOTTLE_ML = 20_000


def millilitres_field(*, least: int = 0, most: int = LARGEST_BOTTLE_ML, **options: Any) -> WholeField:
    return WholeField(min_value=least, max_value=most, **options)


class PullVoteInput(BarrelActInput):
    fill = IdField()
    choice = WordField(choices=choices.PULL_CHOICES)


class PullInput(BarrelActInput):
    fill = IdField()


class BlendPartInput(StrictSerializer):
    vessel = IdField()
    volume_l = volume_field()


class BlendInput(ActInput):
    name = TextField(max_length=80)
    parts = serializers.ListField(child=BlendPartInput(), min_length=1, max_length=MOST_PARTS)
    water_l = volume_field(above_zero=False, **OPTIONAL)
    volume_l = volume_field(help_text="Measured, where it is better known than the sum.", **OPTIONAL)
    abv_pct = StrengthField(help_text="Measured, where it is better known than the sum.", **OPTIONAL)


class DiscardInput(ActInput):
    vessel = IdField()
    volume_l = volume_field()
    reason = TextField(max_length=REASON_LENGTH)


class BottleLineInput(StrictSerializer):
    """Bottles of one size that were filled."""

    size_ml = millilitres_field(least=1)
    fill_ml = millilitres_field(least=1)
    count = WholeField(min_value=1, max_value=MANY_BOTTLES)


class GivenInput(StrictSerializer):
    """How many bottles of one size somebody takes; nobody named is the club."""

    person = IdField(required=True, allow_null=True)
    size_ml = millilitres_field(least=1)
    count = WholeField(min_value=0, max_value=MANY_BOTTLES)


class BottlingInput(EntryInput):
    """A bottling is frozen: it has no correction, and is taken back by a void while nobody has drunk from it."""

    vessel = IdField()
    bottles = serializers.ListField(child=BottleLineInput(), min_length=1, max_length=MANY_SIZES)
    loss_ml = millilitres_field(most=100_000, help_text="What filter and hose kept.", **OPTIONAL)
    heel_ml = millilitres_field(most=100_000, help_text="The rest, shared out in a glass.", **OPTIONAL)
    given = serializers.ListField(
        child=GivenInput(),
        max_length=MANY_GIVEN,
        help_text="Who takes what; without it the shares decide.",
        **OPTIONAL,
    )
    drawn = serializers.ListField(
        child=IdField(allow_null=True),
        max_length=MANY_GIVEN,
        help_text="In which order the device settled ties, first to last (null is the club), where shares were level.",
        **OPTIONAL,
    )
    abv_pct = StrengthField(help_text="Measured as it was bottled.", **OPTIONAL)


class BottleChangeInput(ActInput):
    bottle = IdField()
    change = WordField(choices=choices.BOTTLE_CHANGES)
    level_ml = millilitres_field(**OPTIONAL)
    person = IdField(help_text="To whom it is handed; nobody means out of the club.", **OPTIONAL)


class BottleOutput(serializers.Serializer):
    id = serializers.UUIDField()
    tag_code = serializers.CharField()
    number = serializers.IntegerField()
    made = serializers.IntegerField(help_text="How many bottles its bottling made.")
    bottling = serializers.UUIDField()
    vessel = serializers.UUIDField()
    barrel = serializers.UUIDField(allow_null=True)
    fill = serializers.UUIDField(allow_null=True)
    name = serializers.CharField(allow_blank=True)
    spirit = serializers.ChoiceField(choices=choices.SPIRITS)
    family = serializers.ChoiceField(choices=choices.FAMILIES)
    allergens = serializers.ListField(child=serializers.ChoiceField(choices=choices.ALLERGENS))
    is_private = serializers.BooleanField()
    abv_pct = serializers.FloatField(allow_null=True)
    abv_basis = serializers.ChoiceField(choices=choices.VESSEL_ABV_BASES)
    size_ml = serializers.IntegerField()
    fill_ml = serializers.IntegerField()
    level_ml = serializers.IntegerField()
    holder = serializers.UUIDField(allow_null=True)
    bottled_at = serializers.DateTimeField()
    opened_at = serializers.DateTimeField(allow_null=True)
    ended_at = serializers.DateTimeField(allow_null=True)
    end = serializers.ChoiceField(choices=choices.BOTTLE_ENDS, allow_blank=True)
    best_before = serializers.DateField(allow_null=True, help_text="Quality, never safety.")
    drink_from = serializers.DateField(
        allow_null=True, help_text="From when on its best days are near, by the club's care schedule."
    )
    is_kept_cold = serializers.BooleanField()


class DivisionShareOutput(serializers.Serializer):
    """What one sharer got, and what it costs them."""

    person = serializers.UUIDField(allow_null=True)
    bottles = serializers.IntegerField()
    heel_ml = serializers.IntegerField()
    received_ml = serializers.IntegerField()
    fair_ml = serializers.IntegerField(help_text="What the shares alone would have given.")
    cost_minor = serializers.IntegerField(allow_null=True)
    lost_tie = serializers.BooleanField(
        help_text="Stood level for the last bottle and did not get it: first next time."
    )


class DivisionOutput(serializers.Serializer):
    act = serializers.UUIDField()
    happened_at = serializers.DateTimeField()
    heel_ml = serializers.IntegerField()
    loss_ml = serializers.IntegerField()
    cost_minor = serializers.IntegerField(allow_null=True)
    is_drawn_apart = serializers.BooleanField(
        help_text="Its ties were drawn without signal, and otherwise than the club would have settled them."
    )
    shares = DivisionShareOutput(many=True)
