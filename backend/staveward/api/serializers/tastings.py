"""The input of a tasting. Out of range is refused, never moved into range: a score is a measurement."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from staveward.api import choices
from staveward.api.fields import DayField, IdField, NumberField, QuantityField, WholeField, WordField
from staveward.api.serializers.common import OPTIONAL, BarrelActInput


class TastingInput(BarrelActInput):
    fill = IdField()
    taster = IdField(help_text="The author, unless a tablet writes for a member.", **OPTIONAL)
    tasted_on = DayField(help_text="In the club's calendar.")
    liking = NumberField(0, 10)
    oak = WholeField(min_value=-1, max_value=1, help_text="-1 too little, 0 right, 1 too much.", **OPTIONAL)
    off_notes = serializers.ListField(
        child=WordField(choices=choices.OFF_NOTES), max_length=len(choices.OFF_NOTES), required=False
    )
    sample_ml = QuantityField("mL", 0, 500, **OPTIONAL)
    replicate = WholeField(min_value=1, max_value=10, default=1)

    def validate_off_notes(self, words: list[str]) -> list[Any]:
        return list(dict.fromkeys(words))
