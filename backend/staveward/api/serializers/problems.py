"""The error body (RFC 9457)."""

from __future__ import annotations

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers


@extend_schema_field({"type": ["string", "number", "boolean", "null"]})
class SentValueField(serializers.Field):
    """What was sent; a list or an object is shown as text."""


class FieldProblemOutput(serializers.Serializer):
    """One refused field."""

    field = serializers.CharField()
    value = SentValueField()
    allowed = serializers.CharField(allow_blank=True)
    detail = serializers.CharField()


class ProblemOutput(serializers.Serializer):
    """Why a request was refused."""

    type = serializers.CharField()
    title = serializers.CharField()
    status = serializers.IntegerField()
    code = serializers.CharField(help_text="Stable word for programs.")
    detail = serializers.CharField(help_text="A sentence for people.")
    fields = FieldProblemOutput(many=True)  # type: ignore[assignment]
