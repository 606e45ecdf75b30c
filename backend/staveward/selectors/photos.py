"""Photos as their readers may see them, and where their files lie."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any
from uuid import UUID

from django.conf import settings
from django.db.models import QuerySet

from staveward.models import Club, Person, Photo
from staveward.selectors.authority import permits
from staveward.selectors.log import LOG_COLLECTIONS, entries_open
from staveward.selectors.shapes import instant_text, key_text

FOLDER = "photos"
# The picture as it is kept, and the small one for a strip of many.
WHOLE, SMALL = "whole", "small"
SIZES = (WHOLE, SMALL)


def photo_path(club_id: UUID, sha256: str, size: str = WHOLE) -> Path:
    """Returns where a picture lies: by what it shows, so that the same picture is never written over by another."""
    ending = "" if size == WHOLE else f"-{size}"
    return Path(settings.DATA_DIR) / FOLDER / club_id.hex / sha256[:2] / f"{sha256}{ending}.jpg"


def photo_queryset(club: Club) -> QuerySet[Photo]:
    """Returns the photos of a club's entries, in the order they came."""
    return (
        Photo.objects.for_club(club)
        .filter(act__collection__in=LOG_COLLECTIONS)
        .select_related("act")
        .order_by("received_at", "id")
    )


def photos_seen(photos: Iterable[Photo], reader: Person) -> list[Photo]:
    """Returns those photos whose entry the reader may see; the number of queries does not depend on how many."""
    page = list(photos)
    if not permits(reader, "see_photos"):
        return []
    own = {photo.pk for photo in page if photo.author_id == reader.pk}
    known = entries_open({photo.act_id: photo.act for photo in page}.values(), reader)
    return [photo for photo in page if photo.pk in own or photo.act_id in known]


def photo_rows(photos: Iterable[Photo], reader: Person) -> list[dict[str, Any]]:
    """Returns the photos that the reader may see, as the API shows them."""
    return [photo_row(photo) for photo in photos_seen(photos, reader)]


def photo_row(photo: Photo) -> dict[str, Any]:
    """Returns one photo as the API shows it."""
    return {
        "id": str(photo.pk),
        "act": str(photo.act_id),
        "barrel": key_text(photo.act.barrel_id),
        "author": str(photo.author_id),
        "sha256": photo.sha256,
        "width_px": photo.width_px,
        "height_px": photo.height_px,
        "size_bytes": photo.size_bytes,
        "received_at": instant_text(photo.received_at),
        "removed_at": instant_text(photo.removed_at),
        "removed_by": key_text(photo.removed_by_id),
    }
