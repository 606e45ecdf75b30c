"""Blind flights: what begins one, what is said of a code, and what the API shows before and after the opening."""

from __future__ import annotations

from rest_framework import serializers

from staveward.api import choices
from staveward.api.fields import FlagField, IdField, QuantityField, TextField
from staveward.api.serializers.common import EntryInput
from staveward.api.serializers.tastings import CODE_LENGTH, ScoreInput

MOST_SAMPLES, MOST_TASTERS = 10, 12
LARGEST_SAMPLE_ML = 50


class FlightInput(EntryInput):
    fills = serializers.ListField(child=IdField(), min_length=2, max_length=MOST_SAMPLES)
    tasters = serializers.ListField(
        child=IdField(), min_length=1, max_length=MOST_TASTERS, help_text="Not whoever pours."
    )
    sample_ml = QuantityField("mL", 0, LARGEST_SAMPLE_ML, above_low=True)
    is_without_duplicate = FlagField(
        required=False, help_text="True where no fill shall stand there twice; else one does, from four on."
    )


class BlindTastingInput(ScoreInput):
    flight = IdField()
    code = TextField(max_length=CODE_LENGTH)


class FlightClosingInput(EntryInput):
    flight = IdField()


class FlightTasterOutput(serializers.Serializer):
    person = serializers.UUIDField()
    scored = serializers.IntegerField(help_text="How many glasses this taster has scored.")
    codes = serializers.ListField(
        child=serializers.CharField(),
        allow_null=True,
        help_text="In this taster's own order; null for everybody but them and whoever poured.",
    )


class BlindScoreOutput(serializers.Serializer):
    """What the reader gave a glass."""

    code = serializers.CharField()
    act = serializers.UUIDField()
    liking = serializers.FloatField()
    oak = serializers.IntegerField(allow_null=True)


class FlightGlassOutput(serializers.Serializer):
    """What stands behind a code."""

    code = serializers.CharField()
    barrel = serializers.UUIDField()
    fill = serializers.UUIDField()


class FlightScoreOutput(serializers.Serializer):
    """What somebody gave a fill; the mean where it stood there twice."""

    person = serializers.UUIDField()
    barrel = serializers.UUIDField()
    fill = serializers.UUIDField()
    liking = serializers.FloatField()


class TasterNoiseOutput(serializers.Serializer):
    """How far a taster's own scores of one liquid lie apart, from hidden duplicates of all flights."""

    person = serializers.UUIDField()
    pairs = serializers.IntegerField()
    sd = serializers.FloatField(allow_null=True, help_text="Null under five pairs.")


class FlightOutput(serializers.Serializer):
    id = serializers.UUIDField()
    pourer = serializers.UUIDField()
    poured_at = serializers.DateTimeField()
    sample_ml = serializers.FloatField()
    ethanol_ml = serializers.FloatField(help_text="Pure alcohol in one taster's glasses, as filled.")
    allergens = serializers.ListField(
        child=serializers.ChoiceField(choices=choices.ALLERGENS), help_text="Of all glasses together."
    )
    note = serializers.CharField(allow_blank=True)
    opened_at = serializers.DateTimeField(allow_null=True)
    opened_by = serializers.ChoiceField(choices=choices.FLIGHT_OPENINGS, allow_null=True)
    glasses = serializers.IntegerField()
    tasters = FlightTasterOutput(many=True)
    mine = BlindScoreOutput(many=True)
    key = FlightGlassOutput(
        many=True, allow_null=True, help_text="Null until the opening, but for whoever poured."
    )
    scores = FlightScoreOutput(many=True, allow_null=True, help_text="Null until the opening.")
    noise = TasterNoiseOutput(many=True, help_text="One's own; for the keeper every taster's.")


class FlightAnswerOutput(serializers.Serializer):
    """The answer to an entry of a flight: where it stands, and the flight as it is now."""

    id = serializers.UUIDField()
    collection = serializers.CharField()
    placement = serializers.ChoiceField(choices=choices.PLACEMENTS)
    flags = serializers.ListField(child=serializers.CharField())
    flight = FlightOutput()
