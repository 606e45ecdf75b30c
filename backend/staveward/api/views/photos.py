"""Photos of entries: sent as files, read as files by those who may see the entry."""

from __future__ import annotations

import base64
import binascii
import re
from collections.abc import Mapping
from typing import IO, Any
from uuid import UUID

from django.http import HttpResponse
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter
from rest_framework.parsers import BaseParser
from rest_framework.request import Request
from rest_framework.response import Response

from staveward.api.idempotency import uuid7_checked
from staveward.api.schema import NEW_ID, READ, ROW_ID, WRITE, documented
from staveward.api.serializers.photos import PhotoOutput
from staveward.api.views.base import ClubView
from staveward.selectors.photos import SIZES, WHOLE, photo_path, photo_queryset, photo_row, photos_seen
from staveward.services.errors import FieldProblem, Malformed, Missing
from staveward.services.photos import PhotoCommand, photo_receive

# RFC 9530, section 2: the fingerprint of the content, in base64 between colons.
_DIGEST = re.compile(r"(?:^|,)\s*sha-256=:([0-9A-Za-z+/=]{44}):\s*(?:,|$)")
DIGEST_ALLOWED = "sha-256=:...:, the SHA-256 of the file in base64 (RFC 9530)"
DIGEST = OpenApiParameter(
    "Content-Digest",
    {"type": "string", "pattern": "^sha-256=:[0-9A-Za-z+/]{43}=:$"},
    OpenApiParameter.HEADER,
    required=True,
    description="The fingerprint of the file (RFC 9530), so that half a photo is never taken for a whole one.",
)
ACT = OpenApiParameter("act", OpenApiTypes.UUID, required=True, description="The entry it belongs to.")
SIZE = OpenApiParameter("size", str, enum=SIZES, description="The whole picture if not said.")
FILE = {
    (200, "image/jpeg"): OpenApiTypes.BINARY,
}


class PhotoParser(BaseParser):
    """Takes a file as it is. What it is shows its content, not the name it was given."""

    media_type = "image/*"

    def parse(
        self,
        stream: IO[bytes],
        media_type: str | None = None,
        parser_context: Mapping[str, Any] | None = None,
    ) -> Any:
        return stream.read()


class PhotoView(ClubView):
    """One photo of an entry."""

    deed = "see_photos"
    parser_classes = (PhotoParser,)

    @documented(
        "photoPut",
        {200: PhotoOutput, 201: PhotoOutput},
        request=dict.fromkeys(("image/jpeg", "image/png", "image/webp"), OpenApiTypes.BINARY),
        problems=WRITE,
        parameters=(NEW_ID, ACT, DIGEST),
        tag="photos",
        summary="Add a photo to an entry; it is made smaller, and what the camera noted beside it is dropped",
    )
    def put(self, request: Request, club: str, id: str) -> Response:
        photo, is_new = photo_receive(
            PhotoCommand(
                id=uuid7_checked(id),
                club=self.club,
                author=self.person,
                act_id=self._act_id(),
                sent=request.data if isinstance(request.data, bytes) else b"",
                told_sha256=self._told_sha256(),
                received_at=self.now,
            )
        )
        return Response(photo_row(photo), status=201 if is_new else 200)

    @documented(
        "photoGet", FILE, problems=READ, parameters=(ROW_ID, SIZE), tag="photos", summary="Read a photo"
    )
    def get(self, request: Request, club: str, id: str) -> HttpResponse | Response:
        size = request.query_params.get("size", WHOLE)
        if size not in SIZES:
            allowed = f"one of {', '.join(SIZES)}"
            raise Malformed(
                f"size: not known. Allowed: {allowed}.",
                fields=[FieldProblem("size", size, allowed, "Not known.")],
            )
        found = photos_seen(photo_queryset(self.club).filter(pk=self.row_id(id)), self.person)
        is_there = bool(found) and found[0].removed_at is None
        path = photo_path(self.club.pk, found[0].sha256, size) if is_there else None
        if path is None or not path.is_file():
            raise Missing("There is no such photo.")
        answer = HttpResponse(path.read_bytes(), content_type="image/jpeg")
        # It never changes under its id; but who may see it does, so no shared cache keeps it.
        answer["Cache-Control"] = "private, max-age=86400, immutable"
        answer["Content-Disposition"] = f'inline; filename="{id}.jpg"'
        return answer

    def _act_id(self) -> UUID:
        text = self.request.query_params.get("act", "")
        try:
            if len(text) == 36:
                return UUID(text)
        except ValueError:
            pass
        raise Malformed(
            "act: say which entry the photo belongs to.",
            fields=[FieldProblem("act", text, "the id of an entry", "Say which entry the photo belongs to.")],
        )

    def _told_sha256(self) -> str:
        text = self.request.headers.get("Content-Digest", "")
        found = _DIGEST.search(text)
        try:
            if found is not None:
                return base64.b64decode(found[1], validate=True).hex()
        except binascii.Error:
            pass
        raise Malformed(
            f"Content-Digest: missing or unreadable. Allowed: {DIGEST_ALLOWED}.",
            fields=[FieldProblem("Content-Digest", text, DIGEST_ALLOWED, "Missing or unreadable.")],
        )
