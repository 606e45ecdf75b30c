"""The changes feed, and the keeper's tray."""

from __future__ import annotations

from drf_spectacular.utils import PolymorphicProxySerializer, extend_schema_field
from rest_framework import serializers

from staveward.api import choices
from staveward.api.serializers.barrels import BarrelOutput
from staveward.api.serializers.bottles import BottleOutput
from staveward.api.serializers.clubs import ClubOutput
from staveward.api.serializers.flights import FlightOutput
from staveward.api.serializers.log import LogEntryOutput
from staveward.api.serializers.notices import NoticeOutput
from staveward.api.serializers.people import PersonOutput
from staveward.api.serializers.places import PlaceOutput
from staveward.api.serializers.recipes import RecipeOutput
from staveward.api.serializers.reservations import ReservationOutput
from staveward.api.serializers.vessels import VesselOutput

ROWS = PolymorphicProxySerializer(
    "ChangedRow",
    [
        ClubOutput,
        PlaceOutput,
        PersonOutput,
        BarrelOutput,
        LogEntryOutput,
        ReservationOutput,
        RecipeOutput,
        NoticeOutput,
        VesselOutput,
        BottleOutput,
        FlightOutput,
    ],
    resource_type_field_name=None,
)


@extend_schema_field(ROWS)
class ChangedRowField(serializers.Field):
    """A row as its own collection shows it."""


class ChangeOutput(serializers.Serializer):
    """A changed row; null when it is gone, or no longer for this reader."""

    collection = serializers.ChoiceField(choices=choices.CHANGED)
    id = serializers.UUIDField()
    row = ChangedRowField(allow_null=True)


class ChangesOutput(serializers.Serializer):
    cursor = serializers.CharField(help_text="Send it as after to go on from here.")
    more = serializers.BooleanField()
    server_time = serializers.DateTimeField()
    rows = ChangeOutput(many=True)


class TrayEntryOutput(LogEntryOutput):
    """An entry that could not be fitted, why, and what can be done about it."""

    barrel_name = serializers.CharField(allow_null=True)
    reason_text = serializers.CharField()
    ways = serializers.ListField(child=serializers.CharField())


class TrayOutput(serializers.Serializer):
    made_at = serializers.DateTimeField()
    entries = TrayEntryOutput(many=True)
