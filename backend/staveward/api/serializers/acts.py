"""The inputs of the acts at a barrel that have no file of their own, and the answer to every act."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from staveward.api import choices
from staveward.api.fields import (
    DayField,
    FlagField,
    IdField,
    QuantityField,
    StrengthField,
    StrictSerializer,
    TextField,
    WholeField,
    WordField,
)
from staveward.api.serializers.common import (
    OPTIONAL,
    VOLUME_L,
    WEIGHT_KG,
    BarrelActInput,
    EntryInput,
    SharesField,
)
from staveward.api.serializers.log import LogEntryOutput

REASON_LENGTH = 300
WORDS_LENGTH = 60
TAG_LENGTH = 12


def volume_field(*, above_zero: bool = True, **options: Any) -> QuantityField:
    """A volume that could be in a barrel."""
    return QuantityField("L", VOLUME_L.low, VOLUME_L.high, above_low=above_zero, **options)


def mass_field(**options: Any) -> QuantityField:
    return QuantityField("kg", WEIGHT_KG.low, WEIGHT_KG.high, above_low=True, **options)


def clock_field(**options: Any) -> WholeField:
    """Where the bung stands, as on a clock's face: 12 is up."""
    return WholeField(
        min_value=1, max_value=12, help_text="Where the bung stands on a clock's face; 12 is up.", **options
    )


def dose_field() -> QuantityField:
    """Grams of what a holding solution is made of."""
    return QuantityField("g", 0, 4000, **OPTIONAL)


class CuringInput(BarrelActInput):
    water_l = volume_field()
    dry_mass_kg = mass_field(**OPTIONAL)
    inspected = serializers.ListField(
        child=WordField(choices=choices.INSPECTED),
        max_length=len(choices.INSPECTED),
        required=False,
        help_text="What was looked at before the water went in, and found sound.",
    )
    rinses = WholeField(min_value=0, max_value=20, help_text="Rinses until it ran clear.", **OPTIONAL)


class CuringVerdictInput(BarrelActInput):
    verdict = WordField(choices=choices.CURING_VERDICTS)
    full_mass_kg = mass_field(help_text="Full of water, before it is drained.", **OPTIONAL)
    wet_mass_kg = mass_field(help_text="Drained, the wood wet.", **OPTIONAL)
    water_temp_c = QuantityField("degC", 0, 40, **OPTIONAL)
    weighed_capacity_l = volume_field(
        help_text="Computed from both weights where it is not sent.", **OPTIONAL
    )
    reason = TextField(max_length=REASON_LENGTH, allow_blank=True, **OPTIONAL)


class DecantInput(BarrelActInput):
    measured_volume_l = volume_field(above_zero=False)
    abv_pct = StrengthField(**OPTIONAL)
    vessel_name = TextField(
        max_length=80, allow_blank=True, help_text="What the vessel it goes into is called.", **OPTIONAL
    )


class HoldInput(BarrelActInput):
    water_l = volume_field()
    spirit_dose_ml = QuantityField("mL", 0, 20_000, **OPTIONAL)
    bung_clock = clock_field(**OPTIONAL)
    is_solution = FlagField(default=False)
    citric_acid_g = dose_field()
    metabisulphite_g = dose_field()


class DrainingInput(BarrelActInput):
    reason = TextField(max_length=REASON_LENGTH, allow_blank=True, **OPTIONAL)


class JointInput(StrictSerializer):
    """A joint that was wiped, or looked at since: where it is, and whether it beads."""

    part = WordField(choices=choices.JOINT_PARTS)
    clock = clock_field(**OPTIONAL)
    state = WordField(choices=choices.JOINT_STATES)


class TendingInput(BarrelActInput):
    tasks = serializers.ListField(child=WordField(choices=choices.TENDING_TASKS), min_length=1, max_length=10)
    volume_l = volume_field(
        above_zero=False, help_text="0 for a level that still stood at its mark.", **OPTIONAL
    )
    abv_pct = StrengthField(**OPTIONAL)
    bung_clock = clock_field(**OPTIONAL)
    is_well = FlagField(default=True)
    is_filling_up = FlagField(
        default=False, help_text="A top-up to a new, higher mark, not back to the one before."
    )
    reading_u_ml = QuantityField(
        "mL", 0, 100, above_low=True, help_text="How well the poured volume was read.", **OPTIONAL
    )
    joints = serializers.ListField(child=JointInput(), required=False, max_length=24)
    smell = WordField(choices=choices.SIGNS, help_text="What the water smelt of.", **OPTIONAL)
    citric_acid_g = dose_field()
    metabisulphite_g = dose_field()

    def validate_tasks(self, tasks: list[str]) -> list[str]:
        if len(set(tasks)) != len(tasks):
            raise serializers.ValidationError("The same task stands here twice.", code="twice")
        return tasks


class MoveInput(BarrelActInput):
    place = IdField()


class OwnershipInput(BarrelActInput):
    shares = SharesField(help_text="Empty when the club owns the barrel.")


class RetirementInput(BarrelActInput):
    reason = TextField(max_length=REASON_LENGTH)
    why = WordField(choices=choices.RETIREMENT_WHY, **OPTIONAL)


class RepairInput(BarrelActInput):
    kind = WordField(choices=choices.REPAIRS)
    by = TextField(max_length=WORDS_LENGTH, allow_blank=True, help_text="Who did the work.", **OPTIONAL)


class LoanInput(BarrelActInput):
    borrower = TextField(max_length=120)
    back_by = DayField(**OPTIONAL)


class LoanReturnInput(BarrelActInput):
    pass


class TagIssueInput(EntryInput):
    """A new code for a barrel whose tag is lost or unreadable. Without one the server makes it."""

    barrel = IdField()
    tag_code = TextField(max_length=TAG_LENGTH, **OPTIONAL)


class TroubleInput(BarrelActInput):
    kind = WordField(choices=choices.TROUBLE_KINDS)
    sign = WordField(choices=choices.SIGNS, **OPTIONAL)
    quarantine = FlagField(default=False)


class TroubleSettlementInput(BarrelActInput):
    trouble = IdField()
    outcome = WordField(choices=choices.TROUBLE_OUTCOMES)
    volume_l = volume_field(help_text="Litres rescued into a vessel, or lost.", **OPTIONAL)
    abv_pct = StrengthField(help_text="Of what was rescued, where it was measured.", **OPTIONAL)
    vessel_name = TextField(max_length=60, allow_blank=True, **OPTIONAL)
    cause = TextField(max_length=REASON_LENGTH, allow_blank=True, **OPTIONAL)


class VoidInput(EntryInput):
    act = IdField()
    reason = TextField(max_length=REASON_LENGTH)


class PhotoRemovalInput(EntryInput):
    photo = IdField()


class TrayDecisionInput(EntryInput):
    act = IdField()
    decision = WordField(choices=choices.TRAY_DECISIONS)


class ActOutput(serializers.Serializer):
    """What became of an act."""

    id = serializers.UUIDField()
    collection = serializers.CharField()
    placement = serializers.ChoiceField(choices=choices.PLACEMENTS)
    set_aside_reason = serializers.CharField(allow_blank=True)
    flags = serializers.ListField(child=serializers.CharField())
    row = LogEntryOutput()
