"""Photos of entries: taken once under an id of the device, kept as files, told by the feed."""

from __future__ import annotations

import hashlib
import os
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from uuid import UUID, uuid4

from django.db import IntegrityError, transaction

from staveward.models import Act, Club, Person, Photo, Role
from staveward.selectors.authority import permits
from staveward.selectors.log import LOG_COLLECTIONS, entries_open
from staveward.selectors.photos import SMALL, WHOLE, photo_path
from staveward.selectors.standing import Standing, barrel_standing
from staveward.services.errors import Conflict, FieldProblem, Forbidden, Impossible, Malformed
from staveward.services.feed import feed_publish
from staveward.services.locking import lock_barrels, lock_club
from staveward.services.lookup import act_in
from staveward.services.pictures import Picture, picture_made

MOST_A_ENTRY = 12


@dataclass(frozen=True)
class PhotoCommand:
    """A photo as it arrived: for which entry, the file, and what its sender says the file's fingerprint is."""

    id: UUID
    club: Club
    author: Person
    act_id: UUID
    sent: bytes
    told_sha256: str
    received_at: datetime

    @property
    def sha256(self) -> str:
        """The fingerprint of what arrived."""
        return hashlib.sha256(self.sent).hexdigest()


def photo_receive(command: PhotoCommand) -> tuple[Photo, bool]:
    """Keeps a photo and returns it, with whether it is new (False: the same one was already here)."""
    if command.sha256 != command.told_sha256:
        raise Malformed(
            "The photo did not arrive as it was sent. Send it once more.",
            code="digest_differs",
            fields=[
                FieldProblem("Content-Digest", command.told_sha256, command.sha256, "The file's fingerprint.")
            ],
        )
    earlier = _replayed(command)
    if earlier is not None:
        return earlier, False
    act = act_in(command.club, command.act_id, "act")
    _authorise(command, act)
    # Before the transaction: it takes a while, and nobody should wait for it.
    picture = picture_made(command.sent)
    _files_kept(command.club, picture)
    with transaction.atomic():
        if act.barrel_id is None:
            lock_club(command.club)
        else:
            lock_barrels(command.club, [act.barrel_id])
        return _saved(command, act, picture)


def _saved(command: PhotoCommand, act: Act, picture: Picture) -> tuple[Photo, bool]:
    earlier = _replayed(command)
    if earlier is not None:
        return earlier, False
    # Under the club's lock no removal of the same picture takes away the file that this photo is to show.
    lock_club(command.club)
    _files_kept(command.club, picture)
    if Photo.objects.for_club(command.club).filter(act=act, removed_at=None).count() >= MOST_A_ENTRY:
        raise Conflict(f"This entry has {MOST_A_ENTRY} photos already; it takes no more.", code="too_many")
    photo = Photo(
        id=command.id,
        club=command.club,
        act=act,
        author=command.author,
        sent_sha256=command.sha256,
        sha256=picture.sha256,
        width_px=picture.width_px,
        height_px=picture.height_px,
        size_bytes=len(picture.whole),
        received_at=command.received_at,
    )
    try:
        with transaction.atomic():
            photo.save(force_insert=True)
    except IntegrityError:
        # The same id came from two sides at once, for entries of different barrels.
        earlier = _replayed(command)
        if earlier is None:
            raise
        return earlier, False
    feed_publish(command.club, [("photos", photo.pk)])
    return photo, True


def _replayed(command: PhotoCommand) -> Photo | None:
    photo = Photo.objects.select_related("act").filter(pk=command.id).first()
    if photo is None:
        return None
    known = (photo.club_id, photo.author_id, photo.act_id, photo.sent_sha256)
    if known == (command.club.pk, command.author.pk, command.act_id, command.sha256):
        return photo
    raise Conflict("This id was used before for another photo. Nothing was changed.", code="id_reused")


def _authorise(command: PhotoCommand, act: Act) -> None:
    """Whoever made an entry, or has a part in it, may add a photo to it."""
    if act.collection not in LOG_COLLECTIONS:
        raise Impossible.field(
            "act", str(act.pk), "an entry of a barrel's log", "Only what is in a log has photos."
        )
    author = command.author
    if not permits(author, "see_photos"):
        raise Forbidden("Somebody signed in adds photos; a device does not.")
    if not entries_open([act], author):
        raise Forbidden("Only its sharers add photos to a private fill.")
    if author.pk in (act.author_id, act.subject_id):
        return
    standing = Standing()
    if act.barrel is not None and author.role == Role.MEMBER:
        standing = barrel_standing(act.barrel, act.stay_id, act.ordered_at)
    if not permits(author, "photograph", sharers=standing.sharers, owners=standing.owners):
        raise Forbidden("You may add a photo to your own entries and to those of your fills and barrels.")


def _files_kept(club: Club, picture: Picture) -> None:
    _file_kept(photo_path(club.pk, picture.sha256, WHOLE), picture.whole)
    _file_kept(photo_path(club.pk, picture.sha256, SMALL), picture.small)


def _file_kept(path: Path, content: bytes) -> None:
    """Writes a file whole or not at all; one that is there under its fingerprint is the same."""
    if path.exists():
        return
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    draft = path.with_name(f".{uuid4().hex}.part")
    try:
        with draft.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        draft.chmod(0o600)
        os.replace(draft, path)
    finally:
        draft.unlink(missing_ok=True)
