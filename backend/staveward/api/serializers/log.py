"""The barrel log as it is read."""

from __future__ import annotations

from rest_framework import serializers

from staveward.api import choices


class LogEntryOutput(serializers.Serializer):
    """One entry. The body is null where the reader may not see what a private fill holds."""

    id = serializers.UUIDField()
    collection = serializers.CharField()
    barrel = serializers.UUIDField(allow_null=True)
    stay = serializers.UUIDField(allow_null=True)
    author = serializers.UUIDField()
    subject = serializers.UUIDField(allow_null=True)
    happened_at = serializers.DateTimeField()
    entered_at = serializers.DateTimeField()
    received_at = serializers.DateTimeField()
    placement = serializers.ChoiceField(choices=choices.PLACEMENTS)
    set_aside_reason = serializers.CharField(allow_blank=True)
    flags = serializers.ListField(child=serializers.CharField())
    replaces = serializers.UUIDField(allow_null=True)
    is_head = serializers.BooleanField()
    is_void = serializers.BooleanField()
    body = serializers.DictField(allow_null=True)
