"""Vessels: what the API shows of them."""

from __future__ import annotations

from rest_framework import serializers

from staveward.api import choices
from staveward.api.serializers.bottles import DivisionOutput
from staveward.api.serializers.common import BandOutput, ShareOutput


class VesselDrawOutput(serializers.Serializer):
    """What one act took out."""

    act = serializers.UUIDField()
    collection = serializers.CharField()
    happened_at = serializers.DateTimeField()
    volume_l = serializers.FloatField()
    into = serializers.UUIDField(allow_null=True, help_text="The barrel, where it went back into wood.")


class VesselOutput(serializers.Serializer):
    id = serializers.UUIDField()
    name = serializers.CharField(allow_blank=True)
    made_by = serializers.CharField(help_text="The collection of the act that made it.")
    made_at = serializers.DateTimeField()
    barrel = serializers.UUIDField(allow_null=True)
    fill = serializers.UUIDField(allow_null=True)
    volume_l = serializers.FloatField(help_text="At the start.")
    left_l = serializers.FloatField()
    expected_l = BandOutput(
        allow_null=True, help_text="What was forecast for its decant, with its 80 % band."
    )
    abv_pct = serializers.FloatField(allow_null=True)
    abv_basis = serializers.ChoiceField(choices=choices.VESSEL_ABV_BASES)
    sugar_g_l = serializers.FloatField()
    spirit = serializers.ChoiceField(choices=choices.SPIRITS)
    family = serializers.ChoiceField(choices=choices.FAMILIES)
    allergens = serializers.ListField(child=serializers.ChoiceField(choices=choices.ALLERGENS))
    is_private = serializers.BooleanField()
    is_wine_based = serializers.BooleanField(
        help_text="A wine, or a mix built on one: its bottles keep cold."
    )
    cost_minor = serializers.IntegerField(allow_null=True)
    club_weight = serializers.IntegerField(help_text="The club's own weight beside the sharers'.")
    shares = ShareOutput(many=True)
    ties = serializers.ListField(
        child=serializers.UUIDField(allow_null=True),
        help_text="Who gets the odd bottle where shares are level, first to last; null is the club.",
    )
    ties_lost = serializers.ListField(
        child=serializers.IntegerField(),
        help_text="How often each of them, in that order, lost a tie among the same people before.",
    )
    draws = VesselDrawOutput(many=True)
    bottlings = DivisionOutput(many=True, help_text="How each bottling was divided, and what it cost each.")
