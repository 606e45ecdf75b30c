"""Reservations in and out, what is decided about them, and the barrels that suit a wish."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from staveward.api import choices
from staveward.api.fields import (
    DayField,
    FlagField,
    IdField,
    StrengthField,
    StrictSerializer,
    TextField,
    WholeField,
    WordField,
)
from staveward.api.serializers.acts import REASON_LENGTH, volume_field
from staveward.api.serializers.common import OPTIONAL, EntryInput, RangeOutput, ShareOutput, SharesField

LONGEST_WEEKS = 156


class ReservationInput(EntryInput):
    """A wish for a barrel on the days from ``starts_on`` up to, and without, ``ends_on``."""

    barrel = IdField()
    starts_on = DayField()
    ends_on = DayField(help_text="The first day that is free again.")
    fill_name = TextField(max_length=80)
    spirit = WordField(choices=choices.SPIRITS)
    family = WordField(choices=choices.FAMILIES)
    volume_l = volume_field()
    abv_pct = StrengthField(**OPTIONAL)
    oak_wish = WholeField(min_value=1, max_value=5, default=3, help_text="1 hardly any oak, 5 strong.")
    sharers = SharesField(default=list, help_text="Empty when it is for whoever asks alone.")
    allergens_seen = FlagField(
        default=False,
        help_text="True when whoever asks has read what the barrel held and takes it for themselves.",
    )


class ReservationDecisionInput(EntryInput):
    """What becomes of a reservation; a move names both dates, a refusal its reason."""

    reservation = IdField()
    decision = WordField(choices=choices.RESERVATION_DECISIONS)
    starts_on = DayField(**OPTIONAL)
    ends_on = DayField(**OPTIONAL)
    reason = TextField(max_length=REASON_LENGTH, allow_blank=True, **OPTIONAL)


class ReservationOutput(serializers.Serializer):
    id = serializers.UUIDField()
    version = serializers.IntegerField()
    barrel = serializers.UUIDField()
    person = serializers.UUIDField()
    starts_on = serializers.DateField()
    ends_on = serializers.DateField()
    state = serializers.ChoiceField(choices=choices.RESERVATION_STATES)
    waiting_place = serializers.IntegerField(
        allow_null=True, help_text="1 is next in line; null when not waiting."
    )
    fill_name = serializers.CharField()
    spirit = serializers.ChoiceField(choices=choices.SPIRITS)
    family = serializers.ChoiceField(choices=choices.FAMILIES)
    volume_l = serializers.FloatField()
    abv_pct = serializers.FloatField(allow_null=True)
    oak_wish = serializers.IntegerField()
    shares = ShareOutput(many=True)
    note = serializers.CharField(allow_blank=True, help_text="Empty for whoever has no part in it.")
    asked_at = serializers.DateTimeField()
    expires_at = serializers.DateTimeField(allow_null=True)
    decided_by = serializers.UUIDField(allow_null=True)
    reason = serializers.CharField(allow_blank=True)


class ClashOutput(serializers.Serializer):
    """Who or what holds the days: another reservation, or what lies in the barrel (then nobody is named)."""

    starts_on = serializers.DateField()
    ends_on = serializers.DateField()
    person = serializers.UUIDField(allow_null=True)
    state = serializers.ChoiceField(choices=choices.CLASH_STATES)


class ReservationAnswerOutput(serializers.Serializer):
    """What became of a wish, or of a decision about one."""

    reservation = ReservationOutput()
    clash = ClashOutput(allow_null=True)
    next_free_on = serializers.DateField(allow_null=True)


class SuggestionQuery(StrictSerializer):
    """A wish, as the address asks it."""

    volume_l = volume_field()
    spirit = WordField(choices=choices.SPIRITS)
    family = WordField(choices=choices.FAMILIES)
    abv_pct = StrengthField(**OPTIONAL)
    earliest = DayField()
    weeks = WholeField(min_value=1, max_value=LONGEST_WEEKS)
    oak = WholeField(min_value=1, max_value=5, default=3)
    allergens_seen = FlagField(default=False)


class SuggestionPartsOutput(serializers.Serializer):
    fill = serializers.FloatField()
    oak = serializers.FloatField()
    time = serializers.FloatField()
    carry = serializers.FloatField()


class SuggestionOutput(serializers.Serializer):
    barrel = serializers.UUIDField()
    points = serializers.IntegerField(help_text="0 to 100.")
    starts_on = serializers.DateField()
    ends_on = serializers.DateField()
    parts = SuggestionPartsOutput()
    reasons = serializers.ListField(child=serializers.CharField())
    carry_over_pct = RangeOutput(allow_null=True)
    ask_keeper = serializers.BooleanField()
    held_last = serializers.CharField(allow_null=True)
    allergens = serializers.ListField(child=serializers.ChoiceField(choices=choices.ALLERGENS))
    waiting = serializers.IntegerField()


class NotThisTimeOutput(serializers.Serializer):
    barrel = serializers.UUIDField()
    code = serializers.CharField()
    detail = serializers.CharField()


class SuggestionsOutput(serializers.Serializer):
    suits = SuggestionOutput(many=True)
    not_this_time = NotThisTimeOutput(many=True)


def query_values(query: Any) -> dict[str, Any]:
    """Returns a query's texts as the values a body would have: numbers as numbers, flags as flags."""
    values: dict[str, Any] = {}
    for name in query:
        text = query.get(name)
        if name in ("volume_l", "abv_pct", "weeks", "oak"):
            values[name] = _number(text)
        elif name == "allergens_seen":
            values[name] = {"true": True, "false": False}.get(text, text)
        else:
            values[name] = text
    return values


def _number(text: str) -> Any:
    """Reads a plain number; anything else stays text, for the field to judge."""
    plain = text.strip()
    if not plain.isascii() or len(plain) > 30 or not plain.strip("+-.").replace(".", "", 1).isdigit():
        return text
    try:
        return int(plain) if plain.lstrip("+-").isdigit() else float(plain)
    except ValueError:
        return text
