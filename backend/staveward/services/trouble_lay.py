"""What trouble stands at a barrel: raised by hand or by an alarming taste, and settled by whom.

A tasting with an alarming note *is* trouble, under its own key: as long as the entry stands and its fill is in the log,
and not a moment longer. So the phone knows its key before it is sent, and the order in which tastings, corrections and
settlements arrive makes no difference. Whoever settles an off smell of a fill has answered every taste of that fill up
to then; a later one asks again.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from staveward.models import Act, Barrel, Notice, Placement, Tasting, Trouble
from staveward.selectors.off_notes import OFF_SMELL, sign_of
from staveward.services.feed import FeedRow
from staveward.services.notices import notices_for
from staveward.services.placing import PlacingContext

RAISES = ("troubles", "tastings")
SETTLEMENTS = "trouble-settlements"
QUARANTINE = "quarantine"


@dataclass(frozen=True)
class Raised:
    """Trouble that stands; ``fill_id`` is set where a taste of that fill raised it."""

    id: UUID
    ordered_at: datetime
    fill_id: UUID | None = None


@dataclass(frozen=True)
class Settled:
    """A settlement that stands; ``fill_id`` is set where it answers an off smell of that fill."""

    id: UUID
    trouble_id: UUID
    ordered_at: datetime
    fill_id: UUID | None = None


def settled_by(raised: Iterable[Raised], settlements: Iterable[Settled]) -> dict[UUID, UUID]:
    """Returns what settled each trouble: the first that names it, or that answers its fill's smell after the taste."""
    in_order = sorted(settlements, key=lambda one: (one.ordered_at, one.id))
    found: dict[UUID, UUID] = {}
    for trouble in raised:
        for one in in_order:
            answers = trouble.fill_id is not None and trouble.fill_id == one.fill_id
            if one.trouble_id == trouble.id or (answers and trouble.ordered_at <= one.ordered_at):
                found[trouble.id] = one.id
                break
    return found


def barrel_troubles_lay(barrel: Barrel, context: PlacingContext) -> list[FeedRow]:
    """Lays a barrel's troubles anew, under its lock and once its log is; tells whom one concerns."""
    tastes = _tastes(barrel.pk)
    _write_tastes(barrel.pk, tastes)
    troubles = list(
        Trouble.objects.filter(act__barrel_id=barrel.pk)
        .select_related("act")
        .order_by("act__ordered_at", "pk")
    )
    now_of = _corrections(barrel.pk) if troubles else {}
    raised = [
        Raised(one.pk, one.act.ordered_at, one.act.stay_id if one.pk in tastes else None) for one in troubles
    ]
    settled = settled_by(raised, _settlements(barrel, now_of, context)) if troubles else {}
    for one in troubles:
        wanted = settled.get(_head(one.pk, now_of))
        if one.settled_by_id != wanted:
            Trouble.objects.filter(pk=one.pk).update(settled_by_id=wanted)
    groups: defaultdict[UUID | None, list[Act]] = defaultdict(list)
    for one in troubles:
        if one.pk in tastes and one.pk not in settled:
            groups[one.act.stay_id].append(one.act)
    flagged = _quarantine_flags_lay(barrel.pk)
    return [*flagged, *(row for acts in groups.values() for row in _tell(barrel, acts))]


def answered_with(trouble: Act, at: datetime) -> list[UUID]:
    """Returns the keys of all that is answered with one trouble: of a taste, the fill's others up to then."""
    if trouble.collection != "tastings" or trouble.stay_id is None:
        return [trouble.pk]
    same = Trouble.objects.filter(
        act__collection="tastings",
        act__stay_id=trouble.stay_id,
        act__ordered_at__lte=at,
        settled_by__isnull=True,
    )
    return [trouble.pk, *same.values_list("pk", flat=True)]


def _tastes(barrel_id: UUID) -> dict[UUID, str]:
    """Returns the sign of each tasting of a barrel that stands and alarms."""
    rows = (
        Tasting.objects.filter(
            act__barrel_id=barrel_id,
            act__is_head=True,
            act__is_void=False,
            act__placement=Placement.PLACED,
            act__stay__isnull=False,
        )
        .exclude(off_notes=[])
        .values_list("act_id", "off_notes")
    )
    return {act_id: sign for act_id, notes in rows if (sign := sign_of(notes))}


def _quarantine_flags_lay(barrel_id: UUID) -> list[FeedRow]:
    """Flags what was poured into or tasted from a barrel while it was in quarantine: it happened, so it is kept."""
    shut = [
        (act_id, raised_at, settled_at)
        for act_id, raised_at, settled_at in Trouble.objects.filter(
            act__barrel_id=barrel_id,
            act__is_head=True,
            act__is_void=False,
            act__placement=Placement.PLACED,
            quarantine=True,
        ).values_list("act_id", "act__ordered_at", "settled_by__ordered_at")
    ]
    changed: list[Act] = []
    for act in Act.objects.filter(
        barrel_id=barrel_id, collection__in=("fills", "tastings"), is_head=True, is_void=False
    ).only("id", "ordered_at", "flags"):
        is_shut = any(
            (raised_at, act_id) < (act.ordered_at, act.pk) and (end is None or act.ordered_at < end)
            for act_id, raised_at, end in shut
        )
        if is_shut != (QUARANTINE in act.flags):
            act.flags = sorted({*act.flags, QUARANTINE} if is_shut else set(act.flags) - {QUARANTINE})
            changed.append(act)
    Act.objects.bulk_update(changed, ["flags"], batch_size=200)
    return [("log", act.pk) for act in changed]


def _write_tastes(barrel_id: UUID, tastes: dict[UUID, str]) -> None:
    known = dict(
        Trouble.objects.filter(act__barrel_id=barrel_id, act__collection="tastings").values_list("pk", "sign")
    )
    gone = known.keys() - tastes.keys()
    if gone:
        Trouble.objects.filter(pk__in=gone).delete()
    Trouble.objects.bulk_create(
        Trouble(act_id=act_id, kind=OFF_SMELL, sign=sign, quarantine=True)
        for act_id, sign in tastes.items()
        if act_id not in known
    )


def _corrections(barrel_id: UUID) -> dict[UUID, UUID]:
    """Returns what took the place of each entry of a barrel that raised trouble and was corrected."""
    rows = Act.objects.filter(
        barrel_id=barrel_id,
        collection__in=RAISES,
        replaces__isnull=False,
        placement=Placement.PLACED,
    )
    return dict(rows.values_list("replaces_id", "id"))


def _head(act_id: UUID, now_of: dict[UUID, UUID]) -> UUID:
    while act_id in now_of:
        act_id = now_of[act_id]
    return act_id


def _settlements(barrel: Barrel, now_of: dict[UUID, UUID], context: PlacingContext) -> list[Settled]:
    """Returns the settlements of a barrel that stand; one that waits for the keeper settles nothing."""
    acts = list(
        Act.objects.filter(
            barrel=barrel,
            collection=SETTLEMENTS,
            is_head=True,
            is_void=False,
            placement=Placement.PLACED,
        )
    )
    named = {act.pk: _head(UUID(str(act.body["trouble"])), now_of) for act in acts}
    targets = Act.objects.for_club(barrel.club).select_related("trouble").in_bulk(set(named.values()))
    return [
        Settled(act.pk, named[act.pk], act.ordered_at, _smelt_in(targets.get(named[act.pk]), context))
        for act in acts
    ]


def _smelt_in(target: Act | None, context: PlacingContext) -> UUID | None:
    """Returns the fill whose off smell a settlement answers, or None where it is about something else.

    A taste that was taken back meanwhile still says which fill was looked at.
    """
    if target is None:
        return None
    if target.collection == "tastings":
        return context.fill_now(UUID(str(target.body["fill"])))
    is_smell = hasattr(target, "trouble") and target.trouble.kind == OFF_SMELL
    return target.stay_id if is_smell else None


def _tell(barrel: Barrel, acts: Sequence[Act]) -> list[FeedRow]:
    """Tells everybody whom the open tastes of one fill concern, each once however many tasted it."""
    keys = [act.pk for act in acts]
    knows = {person for act in acts for person in (act.author_id, act.subject_id) if person is not None}
    knows |= set(Notice.objects.filter(act_id__in=keys).values_list("person_id", flat=True))
    rows: list[FeedRow] = []
    for act in acts:
        told = notices_for(act, barrel, knows=knows)
        rows += [("notices", notice.pk) for notice in told]
        knows |= {notice.person_id for notice in told}
    return rows
