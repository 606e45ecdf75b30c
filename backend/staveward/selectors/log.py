"""The barrel log: every entry that ever arrived, as its reader may see it.

A private fill is an outline to those outside it: the entries are there, so that the weeks and the care can be read,
but what was poured, tasted, measured and drawn off is its sharers'. What it cost is theirs and the keepers' always.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Protocol
from uuid import UUID

from django.db.models import QuerySet

from staveward.models import Act, Club, Fill, FillShare, Person, Role
from staveward.selectors.authority import permits
from staveward.selectors.bottles import FROM_GLASS, Told, glass_closed
from staveward.selectors.shapes import instant_text, key_text


class Logged(Told, Protocol):
    """What of an entry a log's line is made of: an act itself, or its columns."""

    @property
    def barrel_id(self) -> UUID | None: ...
    @property
    def stay_id(self) -> UUID | None: ...
    @property
    def author_id(self) -> UUID: ...
    @property
    def subject_id(self) -> UUID | None: ...
    @property
    def happened_at(self) -> datetime: ...
    @property
    def entered_at(self) -> datetime: ...
    @property
    def received_at(self) -> datetime: ...
    @property
    def placement(self) -> str: ...
    @property
    def set_aside_reason(self) -> str: ...
    @property
    def flags(self) -> list[str]: ...
    @property
    def replaces_id(self) -> UUID | None: ...
    @property
    def is_head(self) -> bool: ...
    @property
    def is_void(self) -> bool: ...
    @property
    def body(self) -> dict[str, Any]: ...


# The columns of it, and the one the log is ordered by.
_COLUMNS = (
    "id",
    "collection",
    "barrel_id",
    "stay_id",
    "author_id",
    "subject_id",
    "happened_at",
    "entered_at",
    "received_at",
    "ordered_at",
    "placement",
    "set_aside_reason",
    "flags",
    "replaces_id",
    "is_head",
    "is_void",
    "body",
)

# What happened at a barrel; edits of registers, settings and people are for their own pages.
LOG_COLLECTIONS = (
    "curings",
    "curing-verdicts",
    "fills",
    "decants",
    "holds",
    "drainings",
    "tendings",
    "readings",
    "tastings",
    "samples",
    "moves",
    "ownerships",
    "retirements",
    "repairs",
    "loans",
    "loan-returns",
    "tag-issues",
    "troubles",
    "trouble-settlements",
    "pull-votes",
    "pulls",
    "bottlings",
    "blends",
    "discards",
    "bottle-changes",
    "voids",
    "tray-decisions",
    "photo-removals",
)
# What a private fill keeps to its sharers. A tending is hidden only where it tells of the mix.
_ALWAYS_HIDDEN = frozenset({"fills", "tastings", "samples", "decants", "readings", "pull-votes", "pulls"})


def log_queryset(club: Club, reader: Person) -> QuerySet[Act]:
    """Returns the entries of a club that the reader may know of, newest first."""
    return _known_to(Act.objects.for_club(club), reader).order_by("-ordered_at", "-id")


def log_of_keys(club: Club, keys: Iterable[UUID], reader: Person) -> list[Act]:
    """Returns those of the entries that are the club's and that the reader may know of, in no order.

    By their keys alone: SQLite, which counts no rows beforehand, would look for the club first and read its whole
    ledger for each page of the feed.
    """
    acts = _known_to(Act.objects.filter(pk__in=keys), reader).order_by()
    return [act for act in acts if act.club_id == club.pk]


def _known_to(acts: QuerySet[Act], reader: Person) -> QuerySet[Act]:
    acts = acts.filter(collection__in=LOG_COLLECTIONS)
    if reader.role == Role.SENSOR:
        # A sensor posts the climate of a place and may read back what it posted.
        acts = acts.filter(collection="readings", author=reader, barrel__isnull=True)
    return acts


def log_of_barrel(club: Club, barrel_id: UUID, reader: Person) -> QuerySet[Act, Any]:
    """Returns the log of one barrel, newest first, in rows that hold no more than a log's line: years fit in a page."""
    return log_queryset(club, reader).filter(barrel_id=barrel_id).values_list(*_COLUMNS, named=True)


def log_rows(acts: Iterable[Logged], reader: Person) -> list[dict[str, Any]]:
    """Returns entries as the reader may see them; the number of queries does not depend on how many."""
    page = list(acts)
    veil = _Veil.over(page, reader)
    return [_row(act, veil) for act in page]


def log_row(act: Act, reader: Person) -> dict[str, Any]:
    """Returns one entry as the reader may see it."""
    return log_rows([act], reader)[0]


def entries_open(acts: Iterable[Logged], reader: Person) -> frozenset[UUID]:
    """Returns which of these entries lie open to the reader: in no fill that is closed to them, or their own."""
    page = list(acts)
    veil = _Veil.over(page, reader)
    return frozenset(act.id for act in page if not veil.covers(act))


@dataclass(frozen=True)
class _Veil:
    """Which fills are closed to a reader, and whose costs are open to them."""

    reader: Person
    closed: frozenset[UUID]
    shared: frozenset[UUID]
    # Entries about private liquid that has left the wood.
    glass: frozenset[UUID]

    @classmethod
    def over(cls, acts: Sequence[Logged], reader: Person) -> _Veil:
        """Looks up the fills that a page of entries is about."""
        if permits(reader, "see_private"):
            return cls(reader, frozenset(), frozenset(), frozenset())
        barrels = {act.barrel_id for act in acts if act.barrel_id is not None}
        versions = list(
            Fill.objects.filter(act__barrel_id__in=barrels, act__collection="fills").values_list(
                "act_id", "act__replaces_id", "act__stay_id", "act__set_aside_reason", "is_private"
            )
        )
        mine = set(
            FillShare.objects.filter(
                fill__act__barrel_id__in=barrels, fill__act__collection="fills", person=reader
            ).values_list("fill_id", flat=True)
        )
        root_of: dict[UUID, UUID] = {}
        replaced = {act_id: replaces_id for act_id, replaces_id, *_ in versions}
        # The version that counts, or counted last where the fill was taken back.
        late = {act_id for act_id, _, _, reason, _ in versions if reason == "already_corrected"}
        newest = replaced.keys() - late - {replaced[act_id] for act_id in replaced.keys() - late}
        for act_id in replaced:
            root = act_id
            while (earlier := replaced.get(root)) is not None:
                root = earlier
            root_of[act_id] = root
        private = {root_of[act_id] for act_id, *_, is_private in versions if act_id in newest and is_private}
        shared = {root_of[act_id] for act_id in newest & mine}
        closed: set[UUID] = set()
        open_to: set[UUID] = set()
        for act_id, _, stay_id, _, is_private in versions:
            names = {act_id} if stay_id is None else {act_id, stay_id}
            if root_of[act_id] in shared:
                open_to |= names
            elif is_private or root_of[act_id] in private:
                closed |= names
        return cls(reader, frozenset(closed), frozenset(open_to), glass_closed(acts, reader))

    def hides(self, act: Logged) -> bool:
        """Whether the body of an entry is closed to the reader."""
        if act.collection == "blind-tastings":
            # What somebody gave a glass must lead nobody who may have it before them yet.
            return self.reader.pk not in (act.author_id, act.subject_id)
        if not self.covers(act):
            return False
        if act.collection in FROM_GLASS:
            return True
        if act.collection == "tendings":
            return act.body.get("abv_pct") is not None
        return act.collection in _ALWAYS_HIDDEN

    def covers(self, act: Logged) -> bool:
        """Whether an entry lies in a fill that is closed to the reader, and is not their own."""
        # What somebody wrote on the shared tablet is not for whoever stands there next.
        is_own = act.author_id == self.reader.pk and self.reader.role != Role.TABLET
        if act.collection in FROM_GLASS:
            return not is_own and act.id in self.glass
        return not is_own and bool(self.closed & _fills_named(act))

    def hides_cost(self, act: Logged) -> bool:
        """Whether the prices in an entry are closed to the reader."""
        if act.collection != "fills" or self.reader.is_keeper or act.author_id == self.reader.pk:
            return False
        return act.id not in self.shared


def _fills_named(act: Logged) -> set[UUID]:
    named = {act.id}
    if act.stay_id is not None:
        named.add(act.stay_id)
    if act.collection in ("tastings", "samples", "pull-votes", "pulls"):
        named.add(UUID(str(act.body["fill"])))
    return named


def _row(act: Logged, veil: _Veil) -> dict[str, Any]:
    hidden = veil.hides(act)
    body: dict[str, Any] | None = None if hidden else act.body
    if body is not None and veil.hides_cost(act) and "parts" in body:
        body = _without_costs(body)
    return {
        "id": str(act.id),
        "collection": act.collection,
        "barrel": key_text(act.barrel_id),
        "stay": key_text(act.stay_id),
        "author": str(act.author_id),
        "subject": None if hidden else key_text(act.subject_id),
        "happened_at": instant_text(act.happened_at),
        "entered_at": instant_text(act.entered_at),
        "received_at": instant_text(act.received_at),
        "placement": act.placement,
        "set_aside_reason": act.set_aside_reason,
        "flags": list(act.flags),
        "replaces": key_text(act.replaces_id),
        "is_head": act.is_head,
        "is_void": act.is_void,
        "body": body,
    }


_COSTS = frozenset({"cost_minor", "bottle_cost_minor"})


def _without_costs(body: dict[str, Any]) -> dict[str, Any]:
    """Returns the body of a fill without its prices, in what was poured and in its copy of the recipe."""
    shown = {**body, "parts": [_without_cost(part) for part in body["parts"]]}
    if isinstance(shown.get("plan"), dict):
        plan = shown["plan"]
        shown["plan"] = {**plan, "parts": [_without_cost(part) for part in plan.get("parts") or ()]}
    return shown


def _without_cost(part: Any) -> Any:
    if not isinstance(part, dict):
        return part
    return {name: value for name, value in part.items() if name not in _COSTS}
