"""Today's walk as it is read."""

from __future__ import annotations

from rest_framework import serializers

from staveward.api import choices
from staveward.api.serializers.barrels import CareDueOutput, NowOutput, TroubleOutput, WaterOutput


class WalkBarrelOutput(serializers.Serializer):
    """One barrel that something is due for."""

    id = serializers.UUIDField()
    name = serializers.CharField()
    tag_code = serializers.CharField()
    capacity_l = serializers.FloatField()
    mass_full_kg = serializers.FloatField()
    state = serializers.ChoiceField(choices=choices.BARREL_STATES)
    bung_clock = serializers.IntegerField()
    next_bung_clock = serializers.IntegerField(
        allow_null=True, help_text="Where the bung goes at the next turn."
    )
    is_late = serializers.BooleanField()
    due = CareDueOutput(many=True)
    all_well = serializers.ListField(
        child=serializers.CharField(), help_text="The tasks that one All well records."
    )
    water = WaterOutput(allow_null=True)
    now = NowOutput(allow_null=True)
    troubles = TroubleOutput(many=True)
    may_taste = serializers.BooleanField()


class WalkPlaceOutput(serializers.Serializer):
    """One room of the walk."""

    id = serializers.UUIDField()
    name = serializers.CharField()
    climate = CareDueOutput()
    barrels = WalkBarrelOutput(many=True)


class WalkOutput(serializers.Serializer):
    """What is due by the end of today, in walking order."""

    made_at = serializers.DateTimeField()
    today = serializers.DateField()
    due = serializers.IntegerField(help_text="Barrels that something is due for.")
    late = serializers.IntegerField(help_text="How many of them are late.")
    done_today = serializers.IntegerField(help_text="Barrels that were tended today.")
    places = WalkPlaceOutput(many=True)
