"""Taking a photo back: whoever added it or the keeper says so. Its file goes; that it was there stays in the log."""

from __future__ import annotations

from collections.abc import Iterable
from uuid import UUID

from django.db import transaction

from staveward.models import Act, Club, Photo
from staveward.selectors.authority import permits
from staveward.selectors.photos import SIZES, photo_path
from staveward.selectors.standing import Standing
from staveward.services.commands import ActCommand, ActKind
from staveward.services.errors import Forbidden, Impossible
from staveward.services.feed import FeedRow
from staveward.services.locking import lock_club


def photo_in(club: Club, photo_id: UUID, field: str) -> Photo:
    """Returns a photo of the club, whether or not it was taken back already."""
    photo = Photo.objects.for_club(club).select_related("act__barrel").filter(pk=photo_id).first()
    if photo is None:
        raise Impossible.field(
            field, str(photo_id), "a photo of this club", "No photo of that key is in this club."
        )
    return photo


def _authorise(command: ActCommand, standing: Standing) -> None:
    photo = photo_in(command.club, command.data["photo"], "photo")
    is_own = photo.author_id == command.author.pk and permits(command.author, "see_photos")
    if not is_own and not permits(command.author, "correct_any"):
        raise Forbidden("Whoever added a photo takes it back, or the keeper.")


def _save(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    lock_club(command.club)
    photo = photo_in(command.club, command.data["photo"], "photo")
    if photo.removed_at is not None:
        # Two people took it back: the first one did.
        return ()
    photo.removed_at = command.received_at
    photo.removed_by = command.author
    photo.save(update_fields=["removed_at", "removed_by"])
    # Only once it is certain: a file cannot be rolled back.
    transaction.on_commit(lambda: _file_forgotten(command.club, photo.sha256), robust=True)
    return [("photos", photo.pk)]


def _file_forgotten(club: Club, sha256: str) -> None:
    """Deletes the files of a picture that no photo shows any more; the same picture may hang at another entry."""
    with transaction.atomic():
        # A photo of the same picture is saved under this lock, its file within it.
        lock_club(club)
        if Photo.objects.for_club(club).filter(sha256=sha256, removed_at__isnull=True).exists():
            return
        for size in SIZES:
            photo_path(club.pk, sha256, size).unlink(missing_ok=True)


KINDS = (ActKind("photo-removals", "apart", _authorise, save_detail=_save),)
