"""Photos of entries as they are read."""

from __future__ import annotations

from rest_framework import serializers


class PhotoOutput(serializers.Serializer):
    """One photo: the file is read at its own address."""

    id = serializers.UUIDField()
    act = serializers.UUIDField(help_text="The entry it belongs to.")
    barrel = serializers.UUIDField(allow_null=True)
    author = serializers.UUIDField()
    sha256 = serializers.CharField(help_text="The fingerprint of the picture as it is kept.")
    width_px = serializers.IntegerField()
    height_px = serializers.IntegerField()
    size_bytes = serializers.IntegerField()
    received_at = serializers.DateTimeField()
    removed_at = serializers.DateTimeField(allow_null=True, help_text="Taken back: its file is gone.")
    removed_by = serializers.UUIDField(allow_null=True)
