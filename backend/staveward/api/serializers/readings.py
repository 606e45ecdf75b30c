"""The input of a reading. Which numbers a kind needs is judged with the act itself (``services.readings``)."""

from __future__ import annotations

from staveward.api import choices
from staveward.api.fields import IdField, QuantityField, StrengthField, WordField
from staveward.api.serializers.acts import mass_field, volume_field
from staveward.api.serializers.common import OPTIONAL, TEMP_C, ActInput


class ReadingInput(ActInput):
    kind = WordField(choices=choices.READING_KINDS)
    barrel = IdField(**OPTIONAL)
    place = IdField(help_text="For a climate; every other kind is read at a barrel.", **OPTIONAL)
    mass_kg = mass_field(**OPTIONAL)
    dip_mm = QuantityField("mm", 0, 1500, **OPTIONAL)
    volume_l = volume_field(**OPTIONAL)
    abv_apparent_pct = StrengthField(help_text="As the instrument shows it, uncorrected.", **OPTIONAL)
    temp_c = QuantityField("degC", TEMP_C.low, 60, **OPTIONAL)
    so2_mg_l = QuantityField("mg/L", 0, 2000, help_text="As a strip shows it.", **OPTIONAL)
    rh = QuantityField("", 0, 1, shown_unit="(a fraction; text may say 65 %)", **OPTIONAL)
