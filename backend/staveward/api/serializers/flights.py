"""Blind flights: what begins one, what is said of a code, and what the API shows before and after the opening."""

from __future__ import annotations

from rest_framework import serializers

from staveward.api import choices
from staveward.api.fields import FlagField, IdField, QuantityField, StrictSerializer, TextField
from staveward.api.serializers.common import OPTIONAL, EntryInput
from staveward.api.serializers.tastings import CODE_LENGTH, ScoreInput

MOST_SAMPLES, MOST_TASTERS = 10, 12
LARGEST_SAMPLE_ML = 50
REASON_LENGTH = 500


class GlassInput(StrictSerializer):
    """A code, and the fill behind it."""

    code = TextField(max_length=CODE_LENGTH)
    fill = IdField()


class FlightInput(EntryInput):
    fills = serializers.ListField(child=IdField(), min_length=2, max_length=MOST_SAMPLES)
    tasters = serializers.ListField(
        child=IdField(), min_length=1, max_length=MOST_TASTERS, help_text="Not whoever pours."
    )
    sample_ml = QuantityField("mL", 0, LARGEST_SAMPLE_ML, above_low=True)
    is_without_duplicate = FlagField(
        required=False, help_text="True where no fill shall stand there twice; else one does, from four on."
    )
    glasses = serializers.ListField(
        child=GlassInput(),
        min_length=2,
        max_length=MOST_SAMPLES + 1,
        required=False,
        help_text="In the order of pouring, made where there is no signal; left out, the service makes them.",
    )


class BlindTastingInput(ScoreInput):
    flight = IdField(
        help_text="Left out by a phone that has not read it: then it is the one of that evening that was poured for "
        "this taster and has such a code, now or when it arrives.",
        **OPTIONAL,
    )
    code = TextField(max_length=CODE_LENGTH)


class FlightClosingInput(EntryInput):
    flight = IdField()
    not_poured_for = serializers.ListField(
        child=IdField(),
        max_length=MOST_TASTERS,
        required=False,
        help_text="Tasters whose glasses stayed empty; else all that was not scored leaves the stock too.",
    )


class FlightCancellationInput(EntryInput):
    flight = IdField()
    reason = TextField(max_length=REASON_LENGTH)
    is_poured = FlagField(help_text="True where the glasses had been poured: then it leaves the stock.")


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
    sample_ml = serializers.FloatField()
    is_spat = serializers.BooleanField()
    tasted_on = serializers.DateField()


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


class TasterOwnOutput(serializers.Serializer):
    """What all flights say of the reader, told to nobody else."""

    pairs = serializers.IntegerField(help_text="Hidden duplicates they scored twice.")
    sd = serializers.FloatField(
        allow_null=True, help_text="How far two scores of one liquid lie apart. Null under five pairs."
    )
    shared_glasses = serializers.IntegerField(help_text="Glasses that somebody else scored too.")
    offset = serializers.FloatField(
        allow_null=True,
        help_text="How much higher than the others they score. Null where that may be chance, or under eight glasses.",
    )


class FlightOutput(serializers.Serializer):
    id = serializers.UUIDField()
    pourer = serializers.UUIDField()
    poured_at = serializers.DateTimeField()
    sample_ml = serializers.FloatField()
    ethanol_ml = serializers.FloatField(
        help_text="Pure alcohol in one taster's glasses, as filled; a twin as the strongest of them."
    )
    allergens = serializers.ListField(
        child=serializers.ChoiceField(choices=choices.ALLERGENS), help_text="Of all glasses together."
    )
    note = serializers.CharField(allow_blank=True)
    opened_at = serializers.DateTimeField(allow_null=True)
    opened_by = serializers.ChoiceField(choices=choices.FLIGHT_OPENINGS, allow_null=True)
    called_off_at = serializers.DateTimeField(allow_null=True)
    called_off_by = serializers.UUIDField(allow_null=True)
    called_off_reason = serializers.CharField(allow_blank=True)
    glasses = serializers.IntegerField()
    tasters = FlightTasterOutput(many=True)
    mine = BlindScoreOutput(many=True)
    key = FlightGlassOutput(
        many=True, allow_null=True, help_text="Null until the opening, but for whoever poured."
    )
    scores = FlightScoreOutput(many=True, allow_null=True, help_text="Null until the opening.")
    own = TasterOwnOutput(allow_null=True, help_text="For a taster, once the names are told.")


class FlightAnswerOutput(serializers.Serializer):
    """The answer to an entry of a flight: where it stands, and the flight as it is now."""

    id = serializers.UUIDField()
    collection = serializers.CharField()
    placement = serializers.ChoiceField(choices=choices.PLACEMENTS)
    flags = serializers.ListField(child=serializers.CharField())
    flight = FlightOutput(allow_null=True, help_text="Null while a score waits for its flight.")
