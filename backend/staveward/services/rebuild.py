"""The barrel log as a projection: acts are laid into stays, and whatever was set aside is tried again.

``place`` is called under the barrel's lock. A plain event only needs its own place; an opening, a closing or a
correction lays the whole barrel anew. Both roads use the same rules (``lay`` and ``placing``), so the log is the
same whichever was taken.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Q
from django.utils import timezone

from staveward.models import Act, Barrel, Fill, Placement, Stay, StayKind, Trouble
from staveward.selectors.off_notes import sign_of
from staveward.services.commands import ActKind
from staveward.services.feed import FeedRow
from staveward.services.fill_before import fills_lay
from staveward.services.lay import (
    CLOSES,
    OPENS,
    SETTLED_EMPTY,
    LaidStay,
    Life,
    LifeAct,
    first_received,
    lay_life,
)
from staveward.services.marks import stay_mark_add, stay_marks_lay
from staveward.services.measures import barrel_measures_lay
from staveward.services.moves import barrel_place_lay
from staveward.services.notices import notices_of
from staveward.services.placing import PlacingContext, event_place
from staveward.services.reservation_days import fulfilment_lay
from staveward.services.reservation_ends import retirement_lay
from staveward.services.trouble_lay import barrel_troubles_lay
from staveward.services.vessels import barrel_vessels_lay
from staveward.services.worn import barrel_repairs, wood_lay

LIFE = (*OPENS, *CLOSES)
# What speaks of a barrel without being part of its life.
APART = ("barrels", "reservations", "reservation-decisions", "tray-decisions", "tag-issues", "photo-removals")
SETTLEMENTS = "trouble-settlements"
VERDICT_IN = {"curing-verdicts": "verdict", SETTLEMENTS: "outcome"}
# The acts that open or end a stay: of the settlements only those that leave nothing in the barrel.
IN_LIFE = Q(collection__in=[name for name in LIFE if name != SETTLEMENTS]) | Q(
    collection=SETTLEMENTS, body__outcome__in=SETTLED_EMPTY
)


@dataclass(frozen=True)
class Placed:
    """What a new act changed: the feed's rows, and the open stays whose contents it may have moved."""

    rows: list[FeedRow]
    open_stays: list[UUID]
    # The barrels whose whole log was laid anew.
    rebuilt: Sequence[UUID] = ()


def place(act: Act, kind: ActKind, barrel: Barrel | None, *, also: Iterable[UUID] = ()) -> Placed:
    """Gives a new act its place. ``barrel`` is the act's own; ``also`` names those a correction takes it from."""
    barrel_ids = sorted({*also, *([barrel.pk] if barrel else [])})
    rows: list[FeedRow] = [("barrels", barrel_id) for barrel_id in barrel_ids]
    if act.replaces_id is None and kind.part in ("event", "apart"):
        if kind.part == "apart" or barrel is None:
            return Placed(rows, [])
        context = PlacingContext.load(barrel, ZoneInfo(barrel.club.timezone), around=act)
        # A second score of one evening is a matter of order: which of the two stands is found by laying all anew.
        if not context.scores:
            touched = _event_lay(act, context)
            return Placed([*rows, *_trouble_lay(act, barrel, context)], touched)
    for one in Barrel.objects.filter(pk__in=barrel_ids).select_related("club"):
        rows += barrel_rebuild(one)
    act.refresh_from_db()
    return Placed(rows, open_stays(barrel_ids), barrel_ids)


def _trouble_lay(act: Act, barrel: Barrel, context: PlacingContext) -> list[FeedRow]:
    """Lays a barrel's troubles where one new event may change them, or is itself touched by one that stands."""
    if act.collection not in ("troubles", "tastings"):
        return []
    alarms = act.collection == "tastings" and bool(sign_of(act.body.get("off_notes") or ()))
    if not alarms and not Trouble.objects.filter(act__barrel=barrel, quarantine=True).exists():
        return []
    rows = barrel_troubles_lay(barrel, context)
    act.refresh_from_db(fields=["flags"])
    return rows


def _event_lay(act: Act, context: PlacingContext) -> list[UUID]:
    """Puts one event in its place without laying the barrel anew; returns the open stay it fell into, if one."""
    act.placement, act.set_aside_reason, act.stay_id = event_place(act, context)
    act.save(update_fields=["placement", "set_aside_reason", "stay"])
    stay = context.stay(act.stay_id)
    if stay is None or act.placement != Placement.PLACED:
        return []
    stay_mark_add(act, stay)
    return [stay.pk] if stay.ended_at is None else []


def life_lay(barrel: Barrel) -> tuple[Life, list[Stay]]:
    """Lays a barrel's openings and closings into stays, with the wood each used, and writes them."""
    acts = list(Act.objects.filter(IN_LIFE, barrel=barrel, is_head=True, is_void=False))
    first = _first_received(barrel, acts)
    life = lay_life(life_act(act, first.get(act.pk, act.received_at)) for act in acts)
    stays = _write_stays(barrel, life.stays)
    fills = list(Fill.objects.filter(act_id__in=[stay.pk for stay in stays]).select_related("act"))
    repairs = barrel_repairs(barrel, left_out=life.set_aside.keys())
    fills_lay(barrel, stays, fills, repairs)
    wood_lay(barrel, stays, fills, repairs)
    return life, stays


def barrel_rebuild(barrel: Barrel) -> list[FeedRow]:
    """Lays one barrel's whole life anew and returns the log rows whose place changed."""
    life, stays = life_lay(barrel)
    acts = list(
        Act.objects.filter(barrel=barrel, is_head=True)
        .exclude(collection__in=APART)
        .select_related("tasting")
        .order_by("ordered_at", "id")
    )
    barrel_place_lay(barrel.pk)
    barrel_measures_lay(barrel.pk)

    stay_of_opening = {stay.id: stay.id for stay in life.stays}
    stay_of_closing = {stay.closing_id: stay.id for stay in life.stays if stay.closing_id}
    context = PlacingContext(barrel, stays, ZoneInfo(barrel.club.timezone), scores={})
    changed: list[Act] = []
    for act in acts:
        if _is_in_life(act) and not act.is_void:
            reason = life.set_aside.get(act.id, "")
            placement = str(Placement.SET_ASIDE if reason else Placement.PLACED)
            stay_id = stay_of_opening.get(act.id) or stay_of_closing.get(act.id)
        elif act.is_void:
            placement, reason, stay_id = Placement.PLACED, "", None
        else:
            placement, reason, stay_id = event_place(act, context)
        if (act.placement, act.set_aside_reason, act.stay_id) != (placement, reason, stay_id):
            act.placement, act.set_aside_reason, act.stay_id = placement, reason, stay_id
            changed.append(act)
    Act.objects.bulk_update(changed, ["placement", "set_aside_reason", "stay"], batch_size=200)
    told = barrel_troubles_lay(barrel, context)
    stay_marks_lay(stays)
    vessels = barrel_vessels_lay(barrel)
    now = timezone.now()
    reserved = [*fulfilment_lay(barrel, now), *retirement_lay(barrel, now)]
    return [
        ("barrels", barrel.pk),
        *(("log", act.pk) for act in changed),
        *vessels,
        *reserved,
        *told,
        *notices_of(barrel.pk),
    ]


def open_stays(barrel_ids: Iterable[UUID]) -> list[UUID]:
    """Returns the open stays of these barrels: the ones whose forecast a new act may change."""
    return list(
        Stay.objects.filter(barrel_id__in=list(barrel_ids), ended_at__isnull=True).values_list(
            "id", flat=True
        )
    )


def fill_stays(barrel_ids: Iterable[UUID]) -> list[UUID]:
    """Returns the fills of these barrels, ended ones too: those whose scores may have changed."""
    fills = Stay.objects.filter(barrel_id__in=list(barrel_ids), kind=StayKind.FILL)
    return list(fills.values_list("id", flat=True))


def _first_received(barrel: Barrel, acts: Iterable[Act]) -> dict[UUID, datetime]:
    """Returns when what a correction corrects was first received: mending an entry does not cost it its turn."""
    if all(act.replaces_id is None for act in acts):
        return {}
    replaced: dict[UUID, tuple[UUID, datetime]] = {
        act_id: (earlier_id, received_at)
        for act_id, earlier_id, received_at in Act.objects.filter(
            barrel=barrel, collection__in=LIFE, replaces__barrel=barrel
        ).values_list("id", "replaces_id", "replaces__received_at")
    }
    return first_received(replaced)


def _is_in_life(act: Act) -> bool:
    if act.collection == SETTLEMENTS:
        return act.body.get("outcome") in SETTLED_EMPTY
    return act.collection in LIFE


def life_act(act: Act, first_received_at: datetime) -> LifeAct:
    """Returns what the rule of a barrel's life needs of an act."""
    return LifeAct(
        id=act.pk,
        collection=act.collection,
        ordered_at=act.ordered_at,
        received_at=first_received_at,
        verdict=str(act.body.get(VERDICT_IN[act.collection], "")) if act.collection in VERDICT_IN else "",
    )


def _write_stays(barrel: Barrel, laid: list[LaidStay]) -> list[Stay]:
    """Saves the stays and returns them in order; ended ones are saved first, so that at no moment two are open."""
    known = {stay.pk: stay for stay in Stay.objects.filter(barrel=barrel)}
    gone = known.keys() - {stay.id for stay in laid}
    if gone:
        Stay.objects.filter(pk__in=gone, barrel=barrel).delete()
    stays: list[Stay] = []
    for one in sorted(laid, key=lambda stay: stay.ended_at is None):
        values = {
            "kind": str(one.kind),
            "started_at": one.started_at,
            "ended_at": one.ended_at,
            "closing_id": one.closing_id,
            "outcome": one.outcome,
        }
        stay = known.get(one.id)
        if stay is None:
            stay = Stay.objects.create(pk=one.id, club_id=barrel.club_id, barrel=barrel, **values)
        elif any(getattr(stay, name) != value for name, value in values.items()):
            for name, value in values.items():
                setattr(stay, name, value)
            stay.save(update_fields=list(values))
        stays.append(stay)
    return sorted(stays, key=lambda stay: (stay.started_at, stay.pk))
