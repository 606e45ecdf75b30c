"""The input of a tasting and of a sample. Out of range is refused, never moved into range: a score is a measurement."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from staveward.api import choices
from staveward.api.fields import (
    DayField,
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
from staveward.api.serializers.common import OPTIONAL, ActInput, BarrelActInput

MOST_AN_EVENING = 60
CODE_LENGTH = 3
LARGEST_DRAWN_ML = 2000
MOST_GLASSES = 60


class ProfileInput(StrictSerializer):
    """What was noticed, each from 0 (none) by 5 (clear) to 10 (very strong); what was not noticed is left out."""

    def get_fields(self) -> dict[str, serializers.Field[Any, Any, Any, Any]]:
        return {name: NumberField(0, 10, **OPTIONAL) for name in choices.TASTE_ATTRIBUTES}


class ScoreInput(ActInput):
    """What somebody says of one sample, whether they know what it is or not."""

    tasted_on = DayField(help_text="In the club's calendar.")
    liking = NumberField(0, 10)
    oak = WholeField(min_value=-1, max_value=1, help_text="-1 too little, 0 right, 1 too much.", **OPTIONAL)
    off_notes = serializers.ListField(
        child=WordField(choices=choices.OFF_NOTES), max_length=len(choices.OFF_NOTES), required=False
    )
    sample_ml = QuantityField("mL", 0, 500, **OPTIONAL)
    profile = ProfileInput(help_text="The full profile behind the score.", **OPTIONAL)
    strength_served_abv_pct = StrengthField(
        help_text="Where the sample was let down with water; else it was served as it is.", **OPTIONAL
    )
    is_spat = FlagField(required=False, help_text="True when the sample was spat out.")

    def validate_off_notes(self, words: list[str]) -> list[Any]:
        return list(dict.fromkeys(words))


class TastingInput(BarrelActInput, ScoreInput):
    fill = IdField()
    taster = IdField(help_text="The author, unless a tablet writes for a member.", **OPTIONAL)
    replicate = WholeField(min_value=1, max_value=10, default=1)
    flight = IdField(help_text="In a correction of what was scored blind.", **OPTIONAL)
    code = TextField(
        max_length=CODE_LENGTH, help_text="In a correction of what was scored blind.", **OPTIONAL
    )
    position = WholeField(
        min_value=1,
        max_value=MOST_AN_EVENING,
        help_text="The how manieth spirit of the taster's evening it was; the fifth and later are judged less sharply.",
        **OPTIONAL,
    )


class SampleInput(BarrelActInput):
    """Drawn off and scored by nobody."""

    fill = IdField()
    sample_ml = QuantityField("mL", 0, LARGEST_DRAWN_ML, above_low=True)
    flight = IdField(help_text="In a correction of what a blind flight left unscored.", **OPTIONAL)
    glasses = WholeField(
        min_value=0,
        max_value=MOST_GLASSES,
        help_text="In a correction of what a blind flight left unscored.",
        **OPTIONAL,
    )
