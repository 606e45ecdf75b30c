"""The barrel log: every entry that ever arrived, as its reader may see it.

A private fill is an outline to those outside it: the entries are there, so that the weeks and the care can be read,
but what was poured, tasted, measured and drawn off is its sharers'. What it cost is theirs and the keepers' always.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple
from uuid import UUID

from django.db.models import F, QuerySet

from staveward.models import Act, Club, Fill, FillShare, Person, Role
from staveward.selectors.authority import permits
from staveward.selectors.bottles import FROM_GLASS, glass_closed
from staveward.selectors.shapes import instant_text, key_text
from staveward.selectors.texts import as_text, instant_shown, key_shown


class LogLine(NamedTuple):
    """What of an entry a line of the log is made of; keys and instants as the API writes them."""

    id: str
    collection: str
    barrel: str | None
    stay: str | None
    author: str
    subject: str | None
    happened_at: str
    entered_at: str
    received_at: str
    placement: str
    set_aside_reason: str
    flags: list[str]
    replaces: str | None
    is_head: bool
    is_void: bool
    body: dict[str, Any]


_KEYS = {
    "id": "id",
    "barrel": "barrel_id",
    "stay": "stay_id",
    "author": "author_id",
    "subject": "subject_id",
    "replaces": "replaces_id",
}
_INSTANTS = ("happened_at", "entered_at", "received_at")
# The columns of a line as the database writes them.
_COLUMNS = {
    f"line_{name}": as_text(_KEYS.get(name, name)) if name in _KEYS or name in _INSTANTS else F(name)
    for name in LogLine._fields
}

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


def log_of_keys(club: Club, keys: Iterable[UUID], reader: Person) -> list[LogLine]:
    """Returns those of the entries that are the club's and that the reader may know of, in no order.

    By their keys alone: SQLite, which counts no rows beforehand, would look for the club first and read its whole
    ledger for each page of the feed.
    """
    acts = _known_to(Act.objects.filter(pk__in=keys), reader).order_by()
    return [
        _line(row) for club_id, *row in acts.values_list("club_id", *_COLUMNS.values()) if club_id == club.pk
    ]


def _known_to(acts: QuerySet[Act], reader: Person) -> QuerySet[Act]:
    acts = acts.filter(collection__in=LOG_COLLECTIONS)
    if reader.role == Role.SENSOR:
        # A sensor posts the climate of a place and may read back what it posted.
        acts = acts.filter(collection="readings", author=reader, barrel__isnull=True)
    return acts


def log_of_barrel(club: Club, barrel_id: UUID, reader: Person) -> QuerySet[Act, Any]:
    """Returns the log of one barrel, newest first, as rows for ``lines_of``: years of them fit in a page."""
    acts = log_queryset(club, reader).filter(barrel_id=barrel_id)
    # A page of a list goes on from the time of its last row.
    return acts.annotate(**_COLUMNS).values_list("ordered_at", *_COLUMNS, named=True)


def lines_of(rows: Iterable[Any]) -> list[LogLine]:
    """Returns the lines that rows of ``log_of_barrel`` hold."""
    return [_line(row[1:]) for row in rows]


def line_of(act: Act) -> LogLine:
    """Returns the line of an entry at hand."""
    return LogLine(
        str(act.pk),
        act.collection,
        key_text(act.barrel_id),
        key_text(act.stay_id),
        str(act.author_id),
        key_text(act.subject_id),
        instant_text(act.happened_at),
        instant_text(act.entered_at),
        instant_text(act.received_at),
        act.placement,
        act.set_aside_reason,
        act.flags,
        key_text(act.replaces_id),
        act.is_head,
        act.is_void,
        act.body,
    )


def _line(row: Sequence[Any]) -> LogLine:
    key, collection, barrel, stay, author, subject, happened_at, entered_at, received_at, *rest = row
    placement, set_aside_reason, flags, replaces, is_head, is_void, body = rest
    return LogLine(
        key_shown(key),
        collection,
        key_shown(barrel),
        key_shown(stay),
        key_shown(author),
        key_shown(subject),
        instant_shown(happened_at),
        instant_shown(entered_at),
        instant_shown(received_at),
        placement,
        set_aside_reason,
        flags,
        key_shown(replaces),
        is_head,
        is_void,
        body,
    )


def log_rows(entries: Iterable[Act | LogLine], reader: Person) -> list[dict[str, Any]]:
    """Returns entries as the reader may see them; the number of queries does not depend on how many."""
    page = [line_of(one) if isinstance(one, Act) else one for one in entries]
    veil = _Veil.over(page, reader)
    return [_row(line, veil) for line in page]


def log_row(act: Act, reader: Person) -> dict[str, Any]:
    """Returns one entry as the reader may see it."""
    return log_rows([act], reader)[0]


def entries_open(acts: Iterable[Act], reader: Person) -> frozenset[UUID]:
    """Returns which of these entries lie open to the reader: in no fill that is closed to them, or their own."""
    page = list(acts)
    lines = [line_of(act) for act in page]
    veil = _Veil.over(lines, reader)
    return frozenset(act.pk for act, line in zip(page, lines, strict=True) if not veil.covers(line))


@dataclass(frozen=True)
class _Veil:
    """Which fills are closed to a reader, and whose costs are open to them; all keys as text."""

    reader: Person
    reader_key: str
    closed: frozenset[str] = frozenset()
    shared: frozenset[str] = frozenset()
    # Entries about private liquid that has left the wood.
    glass: frozenset[str] = frozenset()

    @classmethod
    def over(cls, lines: Sequence[LogLine], reader: Person) -> _Veil:
        """Looks up the fills that a page of entries is about."""
        reader_key = str(reader.pk)
        if permits(reader, "see_private"):
            return cls(reader, reader_key)
        barrels = {line.barrel for line in lines if line.barrel is not None}
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
        closed: set[str] = set()
        open_to: set[str] = set()
        for act_id, _, stay_id, _, is_private in versions:
            names = {str(act_id)} if stay_id is None else {str(act_id), str(stay_id)}
            if root_of[act_id] in shared:
                open_to |= names
            elif is_private or root_of[act_id] in private:
                closed |= names
        glass = glass_closed([UUID(line.id) for line in lines if line.collection in FROM_GLASS], reader)
        return cls(reader, reader_key, frozenset(closed), frozenset(open_to), frozenset(map(str, glass)))

    def hides(self, line: LogLine) -> bool:
        """Whether the body of an entry is closed to the reader."""
        if line.collection == "blind-tastings":
            # What somebody gave a glass must lead nobody who may have it before them yet.
            return self.reader_key not in (line.author, line.subject)
        if not self.covers(line):
            return False
        if line.collection in FROM_GLASS:
            return True
        if line.collection == "tendings":
            return line.body.get("abv_pct") is not None
        return line.collection in _ALWAYS_HIDDEN

    def covers(self, line: LogLine) -> bool:
        """Whether an entry lies in a fill that is closed to the reader, and is not their own."""
        if line.collection in FROM_GLASS:
            return line.id in self.glass and not self.is_own(line)
        return bool(self.closed) and not self.is_own(line) and not self.closed.isdisjoint(_fills_named(line))

    def is_own(self, line: LogLine) -> bool:
        """Whether the reader wrote it; what the shared tablet wrote is not for whoever stands there next."""
        return line.author == self.reader_key and self.reader.role != Role.TABLET

    def hides_cost(self, line: LogLine) -> bool:
        """Whether the prices in an entry are closed to the reader."""
        if line.collection != "fills" or self.reader.is_keeper or line.author == self.reader_key:
            return False
        return line.id not in self.shared


def _fills_named(line: LogLine) -> set[str]:
    named = {line.id}
    if line.stay is not None:
        named.add(line.stay)
    if line.collection in ("tastings", "samples", "pull-votes", "pulls"):
        named.add(str(UUID(str(line.body["fill"]))))
    return named


def _row(line: LogLine, veil: _Veil) -> dict[str, Any]:
    row = line._asdict()
    if veil.hides(line):
        return {**row, "subject": None, "body": None}
    if veil.hides_cost(line) and "parts" in line.body:
        return {**row, "body": _without_costs(line.body)}
    return row


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
