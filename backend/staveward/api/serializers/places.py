"""The places where barrels stand."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from staveward.api.fields import QuantityField, StrictSerializer, TextField, WholeField
from staveward.api.serializers.common import EntryInput

NAME_LENGTH = 80


def order_field(**options: Any) -> WholeField:
    return WholeField(min_value=0, max_value=32_767, **options)


def climate_fields() -> tuple[QuantityField, QuantityField]:
    """The climate that is assumed until somebody measures it."""
    return (
        QuantityField("degC", -20, 45, required=False),
        QuantityField("", 0, 1, shown_unit="(a fraction; text may say 65 %)", required=False),
    )


class PlaceInput(EntryInput):
    name = TextField(max_length=NAME_LENGTH)
    walking_order = order_field(default=0)
    temp_c, rh = climate_fields()


class PlaceEditInput(StrictSerializer):
    name = TextField(max_length=NAME_LENGTH, required=False)
    walking_order = order_field(required=False)
    temp_c, rh = climate_fields()


class PlaceOutput(serializers.Serializer):
    id = serializers.UUIDField()
    version = serializers.IntegerField()
    name = serializers.CharField()
    walking_order = serializers.IntegerField()
    temp_c = serializers.FloatField()
    rh = serializers.FloatField()
