"""The register of barrels as it is written, and a barrel as it is read."""

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
from staveward.api.serializers.acts import TAG_LENGTH, WORDS_LENGTH, mass_field
from staveward.api.serializers.common import (
    NOTE_LENGTH,
    OPTIONAL,
    BandOutput,
    EntryInput,
    RangeOutput,
    ShareOutput,
)
from staveward.science.vocabulary import BOUNDS
from staveward.selectors.tightness import SHOWN

NAME_LENGTH = 60
DIAMETER_CM = BOUNDS["diameter_cm"]
LENGTH_CM = BOUNDS["length_cm"]
STAVE_MM = BOUNDS["stave_mm"]
CAPACITY_L = BOUNDS["capacity_l"]


def _diameter() -> QuantityField:
    return QuantityField("cm", DIAMETER_CM.low, DIAMETER_CM.high, above_low=True, **OPTIONAL)


def _length() -> QuantityField:
    return QuantityField("cm", LENGTH_CM.low, LENGTH_CM.high, above_low=True, **OPTIONAL)


def _thickness() -> QuantityField:
    return QuantityField("mm", STAVE_MM.low, STAVE_MM.high, **OPTIONAL)


def _words() -> TextField:
    return TextField(max_length=WORDS_LENGTH, allow_blank=True, required=False)


def _list_of(words: list[str]) -> serializers.ListField:
    return serializers.ListField(child=WordField(choices=words), max_length=len(words), required=False)


class BarrelRegister(StrictSerializer):
    """What is known of a barrel besides its name, place and size."""

    weighed_capacity_l = QuantityField("L", 0, 400, above_low=True, **OPTIONAL)
    profile = WordField(choices=choices.PROFILES, required=False)
    bilge_diameter_cm = _diameter()
    head_diameter_cm = _diameter()
    length_cm = _length()
    outside_bilge_diameter_cm = _diameter()
    outside_head_diameter_cm = _diameter()
    outside_length_cm = _length()
    stave_mm = _thickness()
    head_mm = QuantityField(
        "mm",
        STAVE_MM.low,
        STAVE_MM.high,
        help_text="Thickness of a head; a usual one where unsaid.",
        **OPTIONAL,
    )
    chime_mm = QuantityField(
        "mm",
        0,
        200,
        help_text="From the end of a stave to the outer face of the head; a usual one where unsaid.",
        **OPTIONAL,
    )
    stave_count = WholeField(min_value=3, max_value=60, **OPTIONAL)
    wood = _words()
    char = _words()
    hoops = _words()
    spigot = _words()
    bung = _words()
    bung_tight = FlagField(required=False)
    maker = TextField(max_length=80, allow_blank=True, required=False)
    bought_on = DayField(**OPTIONAL)
    price_minor = WholeField(min_value=0, max_value=10**12, **OPTIONAL)
    dry_mass_kg = mass_field(**OPTIONAL)
    wet_mass_kg = mass_field(**OPTIONAL)
    max_abv_pct = StrengthField(required=False)
    adopted = FlagField(required=False)
    adopted_wood_used_low = NumberField(0, 3, required=False)
    adopted_wood_used_high = NumberField(0, 3, required=False)
    adopted_families = _list_of(choices.FAMILIES)
    adopted_allergens = _list_of(choices.ALLERGENS)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        low, high = attrs.get("adopted_wood_used_low"), attrs.get("adopted_wood_used_high")
        if low is not None and high is not None and low > high:
            raise serializers.ValidationError(
                {"adopted_wood_used_high": ["The upper figure is below the lower one."]}, code="out_of_order"
            )
        for head, bilge in (
            ("head_diameter_cm", "bilge_diameter_cm"),
            ("outside_head_diameter_cm", "outside_bilge_diameter_cm"),
        ):
            if attrs.get(head) and attrs.get(bilge) and attrs[head] > attrs[bilge]:
                raise serializers.ValidationError(
                    {head: ["A head is never wider than the bilge."]}, code="out_of_order"
                )
        return attrs


class BarrelInput(BarrelRegister, EntryInput):
    """A new barrel. Without a tag code the server makes one."""

    name = TextField(max_length=NAME_LENGTH)
    place = IdField()
    nominal_l = QuantityField("L", CAPACITY_L.low, CAPACITY_L.high)
    tag_code = TextField(max_length=TAG_LENGTH, **OPTIONAL)


class BarrelEditInput(BarrelRegister):
    """What is not named stays. A move is an act of its own."""

    name = TextField(max_length=NAME_LENGTH, required=False)
    nominal_l = QuantityField("L", CAPACITY_L.low, CAPACITY_L.high, required=False)
    tag_code = TextField(max_length=TAG_LENGTH, required=False)
    note = TextField(max_length=NOTE_LENGTH, allow_blank=True, required=False)


# --- as it is read ---------------------------------------------------------------------------------------


def _band_row() -> serializers.ListField:
    """low, mid, high"""
    return serializers.ListField(child=serializers.FloatField(), min_length=3, max_length=3)


class BarrelShapeOutput(serializers.Serializer):
    """Inside measures; for a barrel nobody taped, those of usual proportions."""

    profile = serializers.ChoiceField(choices=choices.PROFILES)
    bilge_diameter_cm = serializers.FloatField()
    head_diameter_cm = serializers.FloatField()
    length_cm = serializers.FloatField()
    stave_mm = serializers.FloatField(allow_null=True)
    stave_count = serializers.IntegerField(allow_null=True)
    assumed_mm = serializers.DictField(
        child=serializers.FloatField(),
        help_text="Measured outside: `head_mm` and `chime_mm`, where nobody said it and a usual one is taken.",
    )


class NearOutput(serializers.Serializer):
    """Knots around today, between which a screen interpolates: each a row of low, mid, high."""

    # The name is a word of Python, so it is set below.
    step_days = serializers.FloatField()
    volume_l = serializers.ListField(child=_band_row())
    abv_pct = serializers.ListField(child=_band_row(), allow_null=True)
    level = serializers.ListField(child=_band_row())

    def get_fields(self) -> dict[str, serializers.Field[Any, Any, Any, Any]]:
        return {"from": serializers.DateTimeField(), **super().get_fields()}


class PartOutput(serializers.Serializer):
    name = serializers.CharField()
    volume_l = serializers.FloatField()
    abv_pct = serializers.FloatField()


class AgreementOutput(serializers.Serializer):
    """How far the tasters of a fill agree, each evening being one glass; no figure where too little was shared."""

    evenings = serializers.IntegerField()
    tasters = serializers.IntegerField()
    verdict = serializers.ChoiceField(choices=choices.AGREEMENT_VERDICTS)
    alpha = serializers.FloatField(allow_null=True)


class PullCurveOutput(serializers.Serializer):
    """A typical taster's liking by week, with the band that holds 80 % of cases."""

    weeks = serializers.ListField(child=serializers.FloatField())
    mean = serializers.ListField(child=serializers.FloatField())
    low = serializers.ListField(child=serializers.FloatField())
    high = serializers.ListField(child=serializers.FloatField())


class PullForecastOutput(serializers.Serializer):
    """When a fill will be liked best, by the scores of its tasters; the interval holds 80 % of cases."""

    made_at = serializers.DateTimeField()
    scores = serializers.IntegerField()
    tasters = serializers.IntegerField()
    last_tasted_on = serializers.DateField(allow_null=True)
    best_week = BandOutput(help_text="Weeks since the fill.")
    prior_week = serializers.FloatField(help_text="Expected before anything was tasted.")
    prior_basis = serializers.ChoiceField(choices=choices.PRIOR_BASES)
    verdict = serializers.ChoiceField(choices=choices.PULL_VERDICTS)
    reason = serializers.ChoiceField(choices=choices.PULL_REASONS)
    log_more = serializers.IntegerField(help_text="Scores wanted before a word is said.")
    p_more = serializers.FloatField(help_text="Chance that one more week is better.")
    p_past = serializers.FloatField(help_text="Chance that a week less would have been better.")
    is_pull_advised = serializers.BooleanField()
    agreement = AgreementOutput(allow_null=True)
    curve = PullCurveOutput(allow_null=True, help_text="None under four scores.")


class ContentsOutput(serializers.Serializer):
    """What is in the barrel. Of a private fill an outsider sees the outline only."""

    stay = serializers.UUIDField()
    kind = serializers.ChoiceField(choices=choices.STAY_KINDS)
    started_at = serializers.DateTimeField()
    name = serializers.CharField(allow_null=True)
    spirit = serializers.ChoiceField(choices=choices.SPIRITS, allow_null=True)
    family = serializers.ChoiceField(choices=choices.FAMILIES, allow_null=True)
    abv_basis = serializers.ChoiceField(choices=choices.ABV_BASES, allow_null=True)
    is_private = serializers.BooleanField()
    open_to_tasting = serializers.BooleanField()
    may_taste = serializers.BooleanField(help_text="Whether this reader may log a taste.")
    start_volume_l = serializers.FloatField()
    start_abv_pct = serializers.FloatField(allow_null=True)
    sugar_g_l = serializers.FloatField(allow_null=True)
    sharers = ShareOutput(many=True)
    club_weight = serializers.IntegerField(help_text="The club's own weight beside the sharers'.")
    allergens = serializers.ListField(child=serializers.CharField())
    parts = PartOutput(many=True, allow_null=True)
    sample_budget_ml = serializers.FloatField()
    sample_used_ml = serializers.FloatField()
    planned_days = serializers.IntegerField(allow_null=True)
    near = NearOutput(allow_null=True)
    forecast_at = serializers.DateTimeField(allow_null=True)
    climate_guessed = serializers.BooleanField()
    pull = PullForecastOutput(allow_null=True)


class NowOutput(serializers.Serializer):
    at = serializers.DateTimeField()
    volume_l = BandOutput()
    abv_pct = BandOutput(allow_null=True)
    level = BandOutput(help_text="Wet depth over the bung diameter, 0 to 1.")


class WoodUsedOutput(serializers.Serializer):
    low = serializers.FloatField()
    typical = serializers.FloatField()
    high = serializers.FloatField()


class HeldBeforeOutput(serializers.Serializer):
    name = serializers.CharField(allow_null=True)
    spirit = serializers.ChoiceField(choices=choices.SPIRITS, allow_null=True)
    family = serializers.ChoiceField(choices=choices.FAMILIES, allow_null=True)
    ended_on = serializers.DateField()


class CareDueOutput(serializers.Serializer):
    task = serializers.CharField()
    last_at = serializers.DateTimeField(allow_null=True)
    due_at = serializers.DateTimeField()
    late_at = serializers.DateTimeField()


class WaterOutput(serializers.Serializer):
    changed_at = serializers.DateTimeField()
    half_volume_l = serializers.FloatField()
    half_level = serializers.FloatField()
    top_up_at = serializers.DateTimeField(allow_null=True)


class TimelineOutput(serializers.Serializer):
    kind = serializers.CharField()
    to = serializers.DateTimeField(allow_null=True)
    name = serializers.CharField(allow_null=True)

    def get_fields(self) -> dict[str, serializers.Field[Any, Any, Any, Any]]:
        return {"from": serializers.DateTimeField(), **super().get_fields()}


class NextReservationOutput(serializers.Serializer):
    id = serializers.UUIDField()
    person = serializers.UUIDField()
    starts_on = serializers.DateField()
    ends_on = serializers.DateField()
    state = serializers.ChoiceField(choices=choices.RESERVATION_STATES)


class TroubleOutput(serializers.Serializer):
    id = serializers.UUIDField()
    kind = serializers.ChoiceField(choices=choices.TROUBLE_KINDS)
    since = serializers.DateTimeField()
    sign = serializers.CharField(allow_blank=True)
    quarantine = serializers.BooleanField()
    note = serializers.CharField(allow_blank=True)
    # The tastings of one fill that raised it by their notes, the first first; empty where somebody wrote it down.
    tastes = serializers.ListField(child=serializers.UUIDField())


class LoanOutput(serializers.Serializer):
    borrower = serializers.CharField()
    since = serializers.DateTimeField()
    back_by = serializers.DateField(allow_null=True)


class SulphiteOutput(serializers.Serializer):
    """Sulphite that the next fill would meet, until a strip says otherwise."""

    made_at = serializers.DateTimeField()
    strip_mg_l = serializers.FloatField(allow_null=True)
    strip_at = serializers.DateTimeField(allow_null=True)
    is_clear = serializers.BooleanField()


class TightnessOutput(serializers.Serializer):
    """What was last shown of a barrel: a curing's verdict, a fill that stood in it, or a repair that undid both."""

    shown = serializers.ChoiceField(choices=SHOWN)
    at = serializers.DateTimeField(allow_null=True)


class FormerTagOutput(serializers.Serializer):
    code = serializers.CharField()
    replaced_at = serializers.DateTimeField()


class RegisterOutput(serializers.Serializer):
    """The register as it was entered; a measure that nobody took is null, whatever `shape` assumes in its place."""

    dry_mass_kg = serializers.FloatField(allow_null=True)
    wet_mass_kg = serializers.FloatField(allow_null=True)
    weighed_capacity_l = serializers.FloatField(allow_null=True)
    bilge_diameter_cm = serializers.FloatField(allow_null=True)
    head_diameter_cm = serializers.FloatField(allow_null=True)
    length_cm = serializers.FloatField(allow_null=True)
    outside_bilge_diameter_cm = serializers.FloatField(allow_null=True)
    outside_head_diameter_cm = serializers.FloatField(allow_null=True)
    outside_length_cm = serializers.FloatField(allow_null=True)
    stave_mm = serializers.FloatField(allow_null=True)
    head_mm = serializers.FloatField(allow_null=True)
    chime_mm = serializers.FloatField(allow_null=True)
    hoops = serializers.CharField(allow_blank=True)
    spigot = serializers.CharField(allow_blank=True)
    bung = serializers.CharField(allow_blank=True)
    maker = serializers.CharField(allow_blank=True)
    adopted = serializers.BooleanField()
    adopted_allergens = serializers.ListField(child=serializers.CharField())
    note = serializers.CharField(allow_blank=True)


class BarrelOutput(serializers.Serializer):
    id = serializers.UUIDField()
    version = serializers.IntegerField()
    name = serializers.CharField()
    tag_code = serializers.CharField()
    place = serializers.UUIDField()
    nominal_l = serializers.FloatField()
    capacity_l = serializers.FloatField()
    capacity_basis = serializers.ChoiceField(choices=choices.CAPACITY_BASES)
    shape = BarrelShapeOutput()
    wood = serializers.CharField(allow_blank=True)
    char = serializers.CharField(allow_blank=True)
    bung_tight = serializers.BooleanField()
    max_abv_pct = serializers.FloatField()
    mass_full_kg = serializers.FloatField()
    state = serializers.ChoiceField(choices=choices.BARREL_STATES)
    state_since = serializers.DateTimeField(allow_null=True)
    bung_clock = serializers.IntegerField()
    contents = ContentsOutput(allow_null=True)
    now = NowOutput(allow_null=True)
    wood_used = WoodUsedOutput()
    wood_spent = serializers.BooleanField()
    fills_left = serializers.DictField(
        child=serializers.ListField(child=serializers.FloatField(), min_length=2, max_length=2),
        help_text="By spirit: from and to, in standard fills.",
    )
    held_before = HeldBeforeOutput(many=True)
    carry_over_pct = RangeOutput(allow_null=True)
    allergens = serializers.ListField(child=serializers.CharField())
    care = CareDueOutput(many=True)
    water = WaterOutput(allow_null=True)
    timeline = TimelineOutput(many=True)
    owners = ShareOutput(many=True)
    next_reservation = NextReservationOutput(allow_null=True)
    troubles = TroubleOutput(many=True)
    loan = LoanOutput(allow_null=True)
    sulphite = SulphiteOutput(allow_null=True)
    repaired_at = serializers.DateTimeField(allow_null=True)
    tightness = TightnessOutput()
    former_tags = FormerTagOutput(many=True)
    register = RegisterOutput()


class TagOutput(serializers.Serializer):
    barrel = serializers.UUIDField()
    reissued_at = serializers.DateTimeField(
        allow_null=True, help_text="Set for an old code: since then the barrel carries another one."
    )
