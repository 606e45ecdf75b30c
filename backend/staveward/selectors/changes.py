"""The changes feed as a device pulls it: pages of changed and vanished rows, scoped to what the reader may see.

A cursor names the feed (a restore renews it), the reader's visibility epoch (a change of role, share or privacy
renews it) and the last line read. The club's counter is raised by the last statement of every write, under the lock
of the club's row, so a number is never shown before a smaller one: reading on from a cursor misses nothing.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import Q

from staveward.models import Change, Club, Person, Place, Role
from staveward.selectors.barrels import barrel_queryset, barrel_rows
from staveward.selectors.bottles import bottle_queryset, bottle_rows
from staveward.selectors.clubs import club_row, place_rows
from staveward.selectors.flights import flight_queryset, flight_rows
from staveward.selectors.log import log_of_keys, log_rows
from staveward.selectors.notices import notice_queryset, notice_rows
from staveward.selectors.people import person_queryset, person_rows
from staveward.selectors.photos import photo_queryset, photo_rows
from staveward.selectors.recipes import recipe_queryset, recipe_rows
from staveward.selectors.reservations import reservation_queryset, reservation_rows
from staveward.selectors.shapes import instant_text
from staveward.selectors.vessels import vessel_queryset, vessel_rows

LIMIT_DEFAULT, LIMIT_MOST = 200, 500
CURSOR_LENGTH_MOST = 160

COLLECTIONS = (
    "club",
    "places",
    "people",
    "barrels",
    "log",
    "reservations",
    "recipes",
    "photos",
    "notices",
    "vessels",
    "bottles",
    "flights",
)
_SEEN_BY_ROLE: dict[str, tuple[str, ...]] = {
    Role.ADMIN: COLLECTIONS,
    Role.KEEPER: COLLECTIONS,
    Role.MEMBER: COLLECTIONS,
    # A tablet stands at the bar: names, barrels and what is open in them.
    Role.TABLET: ("club", "places", "people", "barrels"),
}


class CursorInvalid(ValueError):
    """Occurs when a cursor was not made by this feed at all."""


class ResyncNeeded(Exception):
    """Occurs when a cursor was right once and cannot be continued: the device reads everything anew."""


@dataclass(frozen=True)
class Cursor:
    """A place in the feed: after the last line read, in (seq, collection, row id) order."""

    feed_id: UUID
    epoch: int
    seq: int
    collection: str = ""
    row_id: UUID | None = None

    def text(self) -> str:
        """Returns the cursor as devices keep it; they need not understand it."""
        row = self.row_id.hex if self.row_id is not None else ""
        return f"{self.feed_id.hex}.{self.epoch}.{self.seq}.{self.collection}.{row}"

    @classmethod
    def parsed(cls, text: str) -> Cursor:
        """Reads a cursor back, or raises ``CursorInvalid``."""
        parts = text.split(".")
        if len(text) > CURSOR_LENGTH_MOST or len(parts) != 5:
            raise CursorInvalid(text)
        feed, epoch, seq, collection, row = parts
        numbers_fit = all(part.isascii() and part.isdigit() and len(part) <= 18 for part in (epoch, seq))
        if not numbers_fit or collection not in ("", *COLLECTIONS) or bool(row) != bool(collection):
            raise CursorInvalid(text)
        try:
            return cls(UUID(hex=feed), int(epoch), int(seq), collection, UUID(hex=row) if row else None)
        except ValueError:
            raise CursorInvalid(text) from None


def changes_page(
    club: Club, reader: Person, after: str | None, now: datetime, limit: int = LIMIT_DEFAULT
) -> dict[str, Any]:
    """Returns the next page of the feed after a cursor, from the very start without one."""
    # Read afresh: the objects at hand may be older than the feed.
    feed_id, head = Club.objects.values_list("feed_id", "change_seq").get(pk=club.pk)
    epoch = Person.objects.for_club(club).values_list("visibility_epoch", flat=True).get(pk=reader.pk)
    cursor = Cursor(feed_id, epoch, 0) if after is None else Cursor.parsed(after)
    if cursor.feed_id != feed_id or cursor.epoch != epoch or cursor.seq > head:
        raise ResyncNeeded
    size = max(1, min(limit, LIMIT_MOST))
    lines = list(
        Change.objects.filter(_beyond(cursor), club=club, collection__in=_SEEN_BY_ROLE.get(reader.role, ()))
        .order_by("seq", "collection", "row_id")
        .values_list("seq", "collection", "row_id", "vanished")[: size + 1]
    )
    more = len(lines) > size
    lines = lines[:size]
    rows = _rows(
        [(collection, row_id) for _, collection, row_id, gone in lines if not gone], club, reader, now
    )
    if lines:
        seq, collection, row_id, _ = lines[-1]
        cursor = Cursor(feed_id, epoch, seq, collection, row_id)
    return {
        "cursor": cursor.text(),
        "more": more,
        "server_time": instant_text(now),
        "rows": [
            {"collection": collection, "id": key, "row": None if gone else rows.get((collection, key))}
            for _, collection, row_id, gone in lines
            for key in [str(row_id)]
        ],
    }


def _beyond(cursor: Cursor) -> Q:
    if cursor.row_id is None:
        return Q(seq__gt=cursor.seq)
    within = Q(seq=cursor.seq) & (
        Q(collection__gt=cursor.collection) | Q(collection=cursor.collection, row_id__gt=cursor.row_id)
    )
    return Q(seq__gte=cursor.seq) & (Q(seq__gt=cursor.seq) | within)


def _rows(
    wanted: Iterable[tuple[str, UUID]], club: Club, reader: Person, now: datetime
) -> dict[tuple[str, str], dict[str, Any]]:
    """Reads the rows of a page, one collection at a time; a row the reader may not see is left out."""
    ids: defaultdict[str, list[UUID]] = defaultdict(list)
    for collection, row_id in wanted:
        ids[collection].append(row_id)
    readers: dict[str, Callable[[list[UUID]], list[dict[str, Any]]]] = {
        "club": lambda keys: [club_row(row, now) for row in Club.objects.filter(pk__in=keys, id=club.pk)],
        "places": lambda keys: place_rows(Place.objects.for_club(club).filter(pk__in=keys)),
        "people": lambda keys: person_rows(
            person_queryset(club).filter(pk__in=keys).select_related("user"), reader
        ),
        "barrels": lambda keys: barrel_rows(barrel_queryset(club).filter(pk__in=keys), club, reader, now),
        "log": lambda keys: log_rows(log_of_keys(club, keys, reader), reader),
        "reservations": lambda keys: reservation_rows(reservation_queryset(club).filter(pk__in=keys), reader),
        "recipes": lambda keys: recipe_rows(recipe_queryset(club, reader).filter(pk__in=keys), reader),
        "photos": lambda keys: photo_rows(photo_queryset(club).filter(pk__in=keys), reader),
        "notices": lambda keys: notice_rows(notice_queryset(club, reader, now).filter(pk__in=keys)),
        "bottles": lambda keys: bottle_rows(bottle_queryset(club, reader).filter(pk__in=keys), club),
        "flights": lambda keys: flight_rows(flight_queryset(club, reader).filter(pk__in=keys), club, reader),
        "vessels": lambda keys: vessel_rows(vessel_queryset(club, reader).filter(pk__in=keys)),
    }
    return {
        (collection, row["id"]): row for collection, keys in ids.items() for row in readers[collection](keys)
    }
