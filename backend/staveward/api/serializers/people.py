"""The people of a club, and who is signed in."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from staveward.api import choices
from staveward.api.fields import FlagField, StrictSerializer, TextField, WordField
from staveward.api.serializers.common import OPTIONAL, EntryInput

NAME_LENGTH = 80
EMAIL_LENGTH = 254


class EmailField(serializers.EmailField, TextField):
    """An e-mail address."""

    allowed = "an e-mail address"  # type: ignore[assignment]


def allergens_field(**options: Any) -> serializers.ListField:
    return serializers.ListField(
        child=WordField(choices=choices.ALLERGENS), max_length=len(choices.ALLERGENS), **options
    )


class PersonInput(EntryInput):
    name = TextField(max_length=NAME_LENGTH)
    role = WordField(choices=choices.ROLES)
    email = EmailField(
        max_length=EMAIL_LENGTH, help_text="Makes an account; the person sets a password by mail.", **OPTIONAL
    )
    avoid_allergens = allergens_field(required=False)


class PersonEditInput(StrictSerializer):
    """An admin may change all of it; everybody what they avoid, and whether their name stays when they leave."""

    name = TextField(max_length=NAME_LENGTH, required=False)
    role = WordField(choices=choices.ROLES, required=False)
    email = EmailField(max_length=EMAIL_LENGTH, required=False)
    avoid_allergens = allergens_field(required=False)
    keep_name = FlagField(required=False)
    has_left = FlagField(required=False)


class PersonOutput(serializers.Serializer):
    """A person; address and allergens are null for whoever they are none of their business."""

    id = serializers.UUIDField()
    version = serializers.IntegerField()
    name = serializers.CharField()
    role = serializers.ChoiceField(choices=choices.ROLES)
    joined_at = serializers.DateTimeField()
    left_at = serializers.DateTimeField(allow_null=True)
    is_me = serializers.BooleanField()
    email = serializers.CharField(allow_null=True)
    avoid_allergens = serializers.ListField(child=serializers.CharField(), allow_null=True)


class MeUserOutput(serializers.Serializer):
    id = serializers.UUIDField()
    email = serializers.CharField()


class MeClubOutput(serializers.Serializer):
    id = serializers.UUIDField()
    slug = serializers.CharField()
    name = serializers.CharField()


class MePersonOutput(serializers.Serializer):
    id = serializers.UUIDField()
    name = serializers.CharField()
    role = serializers.ChoiceField(choices=choices.ROLES)
    club = MeClubOutput()


class MeOutput(serializers.Serializer):
    """Who is signed in, and who they are in each club."""

    user = MeUserOutput()
    persons = MePersonOutput(many=True)


class HealthOutput(serializers.Serializer):
    status = serializers.CharField()
