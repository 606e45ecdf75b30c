"""The inputs of the acts at a barrel that have no file of their own, and the answer to every act."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from staveward.api import choices
from staveward.api.fields import (
    FlagField,
    IdField,
    QuantityField,
    StrengthField,
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


class CuringInput(BarrelActInput):
    water_l = volume_field()
    dry_mass_kg = mass_field(**OPTIONAL)


class CuringVerdictInput(BarrelActInput):
    verdict = WordField(choices=choices.CURING_VERDICTS)
    wet_mass_kg = mass_field(**OPTIONAL)
    weighed_capacity_l = volume_field(**OPTIONAL)
    reason = TextField(max_length=REASON_LENGTH, allow_blank=True, **OPTIONAL)


class DecantInput(BarrelActInput):
    measured_volume_l = volume_field(above_zero=False)
    abv_pct = StrengthField(**OPTIONAL)


class HoldInput(BarrelActInput):
    water_l = volume_field()
    spirit_dose_ml = QuantityField("mL", 0, 20_000, **OPTIONAL)
    bung_clock = clock_field(**OPTIONAL)
    is_solution = FlagField(default=False)


class DrainingInput(BarrelActInput):
    reason = TextField(max_length=REASON_LENGTH, allow_blank=True, **OPTIONAL)


class TendingInput(BarrelActInput):
    tasks = serializers.ListField(child=WordField(choices=choices.TENDING_TASKS), min_length=1, max_length=10)
    volume_l = volume_field(**OPTIONAL)
    abv_pct = StrengthField(**OPTIONAL)
    bung_clock = clock_field(**OPTIONAL)
    is_well = FlagField(default=True)

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


class TroubleInput(BarrelActInput):
    kind = WordField(choices=choices.TROUBLE_KINDS)
    quarantine = FlagField(default=False)


class TroubleSettlementInput(BarrelActInput):
    trouble = IdField()
    outcome = WordField(choices=choices.TROUBLE_OUTCOMES)


class VoidInput(EntryInput):
    act = IdField()
    reason = TextField(max_length=REASON_LENGTH)


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
