"""A notice as its person reads it."""

from __future__ import annotations

from rest_framework import serializers

from staveward.api import choices


class NoticeOutput(serializers.Serializer):
    """Word of trouble that touches the reader, or of how it ended."""

    id = serializers.UUIDField()
    barrel = serializers.UUIDField()
    entry = serializers.UUIDField()
    trouble = serializers.UUIDField()
    kind = serializers.ChoiceField(choices=choices.TROUBLE_KINDS, allow_null=True)
    outcome = serializers.ChoiceField(choices=choices.NOTICE_OUTCOMES, allow_null=True)
    volume_l = serializers.FloatField(allow_null=True)
    cause = serializers.CharField(allow_blank=True)
    why = serializers.ChoiceField(choices=choices.NOTICE_WHY)
    at = serializers.DateTimeField()
