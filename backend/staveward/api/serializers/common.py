"""What every act carries, and the small shapes that many answers share."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from staveward.api.fields import (
    AwareDateTimeField,
    FlagField,
    IdField,
    StrictSerializer,
    TextField,
    WholeField,
)
from staveward.science.vocabulary import BOUNDS

NOTE_LENGTH = 2000
MANY_SHARES = 40
HEAVIEST_WEIGHT = 10_000

VOLUME_L = BOUNDS["volume_l"]
TEMP_C = BOUNDS["temp_c"]
WEIGHT_KG = BOUNDS["weight_kg"]
SUGAR_G_L = BOUNDS["sugar_g_l"]

OPTIONAL: dict[str, Any] = {"required": False, "allow_null": True}


class EntryInput(StrictSerializer):
    """What every body says of itself: its schema, and when it happened and was entered."""

    schema = WholeField(min_value=1, max_value=1, default=1)
    happened_at = AwareDateTimeField(help_text="When it happened.")
    entered_at = AwareDateTimeField(help_text="When it was entered on the device.")
    time_typed = FlagField(
        default=False, help_text="True when somebody typed the time, so that it is not corrected."
    )
    note = TextField(max_length=NOTE_LENGTH, allow_blank=True, **OPTIONAL)


class ActInput(EntryInput):
    """An act: it may replace an earlier act of the same collection."""

    replaces = IdField(help_text="The entry that this one corrects.", **OPTIONAL)


class BarrelActInput(ActInput):
    """An act at one barrel."""

    barrel = IdField()


class ShareInput(StrictSerializer):
    """Somebody's weight in a fill or in a barrel's wood."""

    person = IdField()
    weight = WholeField(min_value=1, max_value=HEAVIEST_WEIGHT)


class SharesField(serializers.ListField):
    """Shares of different people."""

    allowed = f"a list of at most {MANY_SHARES} shares, each person once"
    default_error_messages = {"twice": "The same person stands here twice."}

    def __init__(self, **options: Any) -> None:
        super().__init__(child=ShareInput(), max_length=MANY_SHARES, **options)

    def to_internal_value(self, data: Any) -> list[dict[str, Any]]:
        shares: list[dict[str, Any]] = super().to_internal_value(data)
        if len({share["person"] for share in shares}) != len(shares):
            self.fail("twice")
        return shares


class ShareOutput(serializers.Serializer):
    person = serializers.UUIDField()
    weight = serializers.IntegerField()


class BandOutput(serializers.Serializer):
    """A calculated figure with its 80 % interval."""

    low = serializers.FloatField()
    mid = serializers.FloatField()
    high = serializers.FloatField()


class RangeOutput(serializers.Serializer):
    low = serializers.FloatField()
    high = serializers.FloatField()
