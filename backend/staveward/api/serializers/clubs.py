"""The club and its settings."""

from __future__ import annotations

from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from rest_framework import serializers

from staveward.api import choices
from staveward.api.fields import (
    FlagField,
    NumberField,
    StrictSerializer,
    TextField,
    WholeField,
    WordField,
)
from staveward.selectors.care_lines import LONGEST_HOURS, care_lines

MANY_LAW_ANSWERS = 30
CARE_KEYS = sorted({*care_lines(), *(rule.code for rule in care_lines().values())})


class CareChangeInput(StrictSerializer):
    """What a club does at another pace; null goes back to the usual one."""

    first_hours = NumberField(
        -LONGEST_HOURS,
        LONGEST_HOURS,
        required=False,
        allow_null=True,
        help_text="From the event it counts from; before a day to come it is negative.",
    )
    every_hours = NumberField(1, LONGEST_HOURS, required=False, allow_null=True)
    leeway_hours = NumberField(0, LONGEST_HOURS, required=False, allow_null=True)


class CareField(serializers.DictField):
    """Changes to the care schedule by the key of its line, or by a code for all sizes of barrel at once."""

    allowed = "an object with " + ", ".join(CARE_KEYS)
    default_error_messages = {"unknown": "{name} is not a line of the care schedule."}

    def __init__(self, **options: Any) -> None:
        super().__init__(child=CareChangeInput(), **options)

    def to_internal_value(self, data: Any) -> Any:
        changes = super().to_internal_value(data)
        for name in changes:
            if name not in CARE_KEYS:
                self.fail("unknown", name=name[:60])
        return changes


class LawAnswerInput(StrictSerializer):
    """One answer about local law, with where it stands and when that was read."""

    answer = TextField(max_length=300)
    source = TextField(  # type: ignore[assignment]
        max_length=300, allow_blank=True, required=False
    )
    asked_on = TextField(max_length=10, allow_blank=True, required=False)


class LawField(serializers.DictField):
    """Answers by question."""

    allowed = f"an object of at most {MANY_LAW_ANSWERS} answers"
    default_error_messages = {
        "too_many": "These are too many answers.",
        "name": "A question is named in at most 40 characters.",
    }

    def __init__(self, **options: Any) -> None:
        super().__init__(child=LawAnswerInput(), **options)

    def to_internal_value(self, data: Any) -> Any:
        answers = super().to_internal_value(data)
        if len(answers) > MANY_LAW_ANSWERS:
            self.fail("too_many")
        if any(not 1 <= len(name) <= 40 or not name.isascii() or not name.isprintable() for name in answers):
            self.fail("name")
        return answers


class ClubEditInput(StrictSerializer):
    """The settings an admin may change; what is not named stays."""

    name = TextField(max_length=120, required=False)
    timezone = TextField(max_length=64, required=False, help_text="A name of the IANA time zone database.")
    currency = TextField(max_length=3, min_length=3, required=False, help_text="Three letters (ISO 4217).")
    drink_country = WordField(choices=choices.DRINK_COUNTRIES, required=False)
    members_may_tend = FlagField(required=False)
    sharers_may_fill = FlagField(required=False)
    members_may_taste_all = FlagField(required=False)
    pull_by = WordField(choices=choices.PULL_BY, required=False)
    care = CareField(required=False)
    sample_budget_pct = NumberField(0, 50, required=False)
    pencil_days = WholeField(min_value=1, max_value=90, required=False)
    turnaround_days = WholeField(min_value=0, max_value=30, required=False)
    strict_water = FlagField(required=False)
    law = LawField(required=False)

    def validate_timezone(self, name: str) -> str:
        try:
            ZoneInfo(name)
            # The machine's own zone has a file too, and another one on the next machine.
            is_zone = name != "localtime"
        except (ZoneInfoNotFoundError, ValueError, OSError):
            is_zone = False
        if not is_zone:
            raise serializers.ValidationError(f"{name!r} is no time zone.", code="invalid_choice")
        return name

    def validate_currency(self, code: str) -> str:
        if not (code.isascii() and code.isalpha() and code.isupper()):
            raise serializers.ValidationError(f"{code!r} is no currency.", code="invalid_choice")
        return code


class CarePeriodsOutput(serializers.Serializer):
    """The periods of one line."""

    first_hours = serializers.FloatField()
    every_hours = serializers.FloatField(allow_null=True)
    leeway_hours = serializers.FloatField()


class CareOutput(CarePeriodsOutput):
    """One line of the care schedule as it holds in this club."""

    line = serializers.CharField(help_text="The key to change it by.")
    code = serializers.CharField()
    what = serializers.CharField()
    counts_from = serializers.CharField(help_text="The event that the first period counts from.")
    over_capacity_l = serializers.FloatField()
    up_to_capacity_l = serializers.FloatField(allow_null=True)
    usual = CarePeriodsOutput(help_text="The periods it has until a club changes them.")
    is_changed = serializers.BooleanField()


class DrinkSizeOutput(serializers.Serializer):
    """How much ethanol a country calls one standard drink."""

    country = serializers.ChoiceField(choices=choices.DRINK_COUNTRIES)
    grams = serializers.FloatField()


class ClubOutput(serializers.Serializer):
    id = serializers.UUIDField()
    slug = serializers.CharField()
    version = serializers.IntegerField()
    name = serializers.CharField()
    timezone = serializers.CharField()
    currency = serializers.CharField()
    drink_country = serializers.ChoiceField(
        choices=choices.DRINK_COUNTRIES, help_text="ISO 3166-1 alpha-2, or WHO."
    )
    drink_g = serializers.FloatField(help_text="Ethanol in one standard drink of that country.")
    drink_sizes = DrinkSizeOutput(many=True, help_text="What the club may choose from.")
    today = serializers.DateField(help_text="The date on the club's wall.")
    members_may_tend = serializers.BooleanField()
    sharers_may_fill = serializers.BooleanField()
    members_may_taste_all = serializers.BooleanField()
    pull_by = serializers.ChoiceField(choices=choices.PULL_BY)
    sample_budget_pct = serializers.FloatField()
    pencil_days = serializers.IntegerField()
    turnaround_days = serializers.IntegerField()
    strict_water = serializers.BooleanField()
    law = serializers.DictField()
    care = CareOutput(many=True)
