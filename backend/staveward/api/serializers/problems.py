"""The error body (RFC 9457)."""

from __future__ import annotations

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers


@extend_schema_field(OpenApiTypes.ANY)
class AnyField(serializers.Field):
    """Whatever was sent."""


class FieldProblemOutput(serializers.Serializer):
    """One refused field."""

    field = serializers.CharField()
    value = AnyField(allow_null=True)
    allowed = serializers.CharField(allow_blank=True)
    detail = serializers.CharField()


class ProblemOutput(serializers.Serializer):
    """Why a request was refused."""

    type = serializers.CharField()
    title = serializers.CharField()
    status = serializers.IntegerField()
    code = serializers.CharField(help_text="Stable word for programs.")
    detail = serializers.CharField(help_text="A sentence for people.")
    fields = FieldProblemOutput(many=True)
