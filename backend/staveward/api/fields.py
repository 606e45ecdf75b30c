"""The fields that requests are made of: strict about types, kind about units, and able to say what they allow.

REST framework's own fields turn "3" into 3 and 1 into True. An entry that is kept for ever as it was sent must not
be guessed at, so these take JSON's own types only; a quantity may also be text with a unit.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.utils.dateparse import parse_datetime
from rest_framework import serializers

from staveward.api.quantities import (
    STRENGTH_UNIT,
    QuantityUnitWrong,
    QuantityUnreadable,
    abv_pct_from_text,
    number_from_text,
)
from staveward.science.errors import ScienceError, in_words

# Codes of a value that is of the right type and yet cannot be: 422. Every other one is 400.
IMPOSSIBLE_CODES = frozenset(
    {"min_value", "max_value", "invalid_choice", "wrong_unit", "not_finite", "impossible", "out_of_order"}
)


class TextField(serializers.CharField):
    """Text, and nothing that merely could be written as text."""

    def to_internal_value(self, data: Any) -> str:
        if not isinstance(data, str):
            self.fail("invalid")
        return str(super().to_internal_value(data))

    @property
    def allowed(self) -> str:
        return f"text of at most {self.max_length} characters" if self.max_length else "text"


class FlagField(serializers.BooleanField):
    """True or false as JSON has them."""

    allowed = "true or false"

    def to_internal_value(self, data: Any) -> bool:
        if not isinstance(data, bool):
            self.fail("invalid", input=data)
        return data


class WholeField(serializers.IntegerField):
    """A whole number."""

    def to_internal_value(self, data: Any) -> int:
        if isinstance(data, bool) or not isinstance(data, int | float) or data != data // 1:
            self.fail("invalid")
        return int(data)

    @property
    def allowed(self) -> str:
        return in_words(self.min_value, self.max_value, "") if self._is_bounded else "a whole number"

    @property
    def _is_bounded(self) -> bool:
        return self.min_value is not None or self.max_value is not None


class WordField(serializers.ChoiceField):
    """One word of a list."""

    def to_internal_value(self, data: Any) -> Any:
        if not isinstance(data, str):
            self.fail("not_text")
        return super().to_internal_value(data)

    default_error_messages = {"not_text": "Not a word.", "invalid_choice": '"{input}" is not known here.'}

    @property
    def allowed(self) -> str:
        return "one of " + ", ".join(str(word) for word in self.choices)


class IdField(serializers.UUIDField):
    """The id of another row, as text with hyphens."""

    allowed = "a UUID"

    def to_internal_value(self, data: Any) -> UUID:
        if not isinstance(data, str) or len(data) != 36:
            self.fail("invalid", value=data)
        return super().to_internal_value(data)


class DayField(serializers.DateField):
    """A day of the club's calendar."""

    allowed = "a date such as 2027-03-09"

    def to_internal_value(self, data: Any) -> Any:
        if not isinstance(data, str) or len(data) != 10:
            self.fail("invalid", format="YYYY-MM-DD")
        return super().to_internal_value(data)


class AwareDateTimeField(serializers.DateTimeField):
    """An instant with its offset: a time without one means another instant on every device."""

    allowed = "an instant with its offset, such as 2027-03-09T18:30:00+01:00"
    default_error_messages = {
        "no_offset": "The time has no offset from UTC.",
        "invalid": "Not an instant in ISO 8601.",
        "impossible": "There is no such instant on the calendar.",
    }

    def to_internal_value(self, value: Any) -> Any:
        if not isinstance(value, str) or len(value) > 40 or "T" not in value:
            self.fail("invalid", format="ISO 8601")
        try:
            parsed = parse_datetime(value)
        except ValueError:
            self.fail("impossible")
        if parsed is None:
            self.fail("invalid", format="ISO 8601")
        if parsed.tzinfo is None:
            self.fail("no_offset")
        # Years that overflow when a zone is applied are no dates of any barrel.
        if not 1900 <= parsed.year <= 2200:
            self.fail("impossible")
        return parsed


class QuantityField(serializers.Field):
    """A number in the unit that the field's name ends in, or text with a unit that measures the same."""

    default_error_messages = {
        "invalid": "Not a number, nor a number with a unit.",
        "wrong_unit": "{reason}.",
        "not_finite": "Not a finite number.",
        "min_value": "{value:g} is too small.",
        "max_value": "{value:g} is too large.",
    }

    def __init__(
        self,
        unit: str,
        low: float | None = None,
        high: float | None = None,
        *,
        above_low: bool = False,
        shown_unit: str | None = None,
        **options: Any,
    ) -> None:
        self.unit, self.low, self.high, self.above_low = unit, low, high, above_low
        self.shown_unit = shown_unit if shown_unit is not None else unit
        options.setdefault(
            "help_text", f"Allowed: {in_words(low, high, self.shown_unit, above_low=above_low)}."
        )
        super().__init__(**options)

    @property
    def allowed(self) -> str:
        return in_words(self.low, self.high, self.shown_unit, above_low=self.above_low)

    def number_from_text(self, text: str) -> float:
        return number_from_text(text, self.unit)

    def to_internal_value(self, data: Any) -> float:
        if isinstance(data, bool) or not isinstance(data, int | float | str):
            self.fail("invalid")
        try:
            value = self.number_from_text(data) if isinstance(data, str) else float(data)
        except QuantityUnreadable:
            self.fail("not_finite" if _names_no_number(data) else "invalid")
        except (QuantityUnitWrong, ScienceError) as error:
            self.fail("wrong_unit", reason=error)
        except OverflowError:
            self.fail("not_finite")
        if not math.isfinite(value):
            self.fail("not_finite")
        if self.low is not None and (value <= self.low if self.above_low else value < self.low):
            self.fail("min_value", value=value)
        if self.high is not None and value > self.high:
            self.fail("max_value", value=value)
        return value

    def to_representation(self, value: Any) -> float:
        return float(value)


def _names_no_number(data: Any) -> bool:
    return isinstance(data, str) and data.strip().lower().lstrip("+-").startswith(("nan", "inf"))


class StrengthField(QuantityField):
    """A strength in % vol at 20 °C; text may say per cent or United States proof."""

    def __init__(self, low: float = 0.0, high: float = 100.0, **options: Any) -> None:
        super().__init__(STRENGTH_UNIT, low, high, **options)

    def number_from_text(self, text: str) -> float:
        return abv_pct_from_text(text)


class NumberField(QuantityField):
    """A plain number without a unit."""

    def __init__(self, low: float | None = None, high: float | None = None, **options: Any) -> None:
        super().__init__("", low, high, **options)

    def to_internal_value(self, data: Any) -> float:
        if isinstance(data, str):
            self.fail("not_finite" if _names_no_number(data) else "invalid")
        return super().to_internal_value(data)


class StrictSerializer(serializers.Serializer):  # type: ignore[type-arg]
    """A body of known names only: what the server would not read, it must not seem to accept."""

    default_error_messages = {"unknown": "This name is not known here."}

    def to_internal_value(self, data: Any) -> dict[str, Any]:
        if isinstance(data, Mapping):
            writable = {name for name, field in self.fields.items() if not field.read_only}
            unknown = [name for name in data if name not in writable]
            if unknown:
                raise serializers.ValidationError(
                    {
                        name: [serializers.ErrorDetail(str(self.error_messages["unknown"]), code="unknown")]
                        for name in unknown
                    }
                )
        return dict(super().to_internal_value(data))

    @property
    def allowed(self) -> str:
        return "an object with " + ", ".join(
            name for name, field in self.fields.items() if not field.read_only
        )
