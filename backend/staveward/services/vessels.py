"""Vessels: made by a decant, a rescue or a blend, drawn on by bottlings, blends, fills and discards.

A vessel's own figures (litres, strength, name) are what the act that made it says. What it has of its fill, or a blend
of its parts, is laid anew whenever that barrel's log is (``vessels_lay``): so it does not matter whether the fill, its
correction or the decant came first. A draw beyond what is left is flagged in the order of the log, never refused: the
liquid was taken.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from itertools import count
from typing import Any
from uuid import UUID

from django.db.models import Q, QuerySet, Sum

from staveward.models import (
    Act,
    Barrel,
    Club,
    Fill,
    FillShare,
    Person,
    Placement,
    StayKind,
    Vessel,
    VesselDraw,
    VesselShare,
)
from staveward.science.blending import Part, blend
from staveward.science.errors import ScienceError
from staveward.science.vocabulary import BOUNDS
from staveward.selectors.standing import barrel_owners
from staveward.selectors.ties import companies_where_lost, same_company
from staveward.services.authority import require
from staveward.services.errors import Impossible
from staveward.services.feed import FeedRow
from staveward.services.lineage import fills_follow
from staveward.services.locking import lock_club

OVER_VESSEL = "over_vessel"
# Two measures of one liquid differ by this much without anybody being wrong: design value of this project.
MEASURE_TOLERANCE = 0.01
# A blend of a blend of a blend: deeper than anybody blends, and an end to whatever a mistake ties into a knot.
DEEPEST_BLEND = 12
# What makes a vessel or draws on one.
TOUCHES_VESSELS = frozenset({"decants", "trouble-settlements", "blends", "fills", "bottlings", "discards"})
# What a vessel has of its fill.
_OF_FILL = ("spirit", "family", "sugar_g_l", "allergens", "is_private", "cost_minor", "fill_id")


def vessel_from_fill(
    act: Act, stay_fill: Fill | None, *, volume_l: float, abv_pct: float | None, name: str
) -> list[FeedRow]:
    """Makes the vessel that an act fills from a barrel, or gives it the figures of the act's correction.

    ``stay_fill`` may be None where the fill is not in the log yet; the vessel has it as soon as the log is laid. The
    vessel keeps the key of the first version of its act.
    """
    if not act.is_head:
        # A second correction of the same entry waits for the keeper and changes nothing.
        return []
    lock_club(act.club)
    values: dict[str, Any] = {
        "act": act,
        "barrel_id": act.barrel_id,
        "given_name": name,
        "name": name or (stay_fill.name if stay_fill else ""),
        "made_at": act.ordered_at,
        "volume_l": volume_l,
        "abv_pct": abv_pct,
        "abv_basis": "as_filled" if abv_pct is None else "measured",
        "stands": True,
    }
    vessel, _ = Vessel.objects.update_or_create(pk=act_root(act), club_id=act.club_id, defaults=values)
    if stay_fill is not None:
        Vessel.objects.filter(pk=vessel.pk).update(fill_id=stay_fill.act_id)
    return [("vessels", vessel.pk)]


def vessel_draw(act: Act, club: Club, vessel_id: UUID, volume_l: float, field: str) -> list[FeedRow]:
    """Takes litres out of a vessel for an act; more than 110 % of what was ever in it cannot be."""
    vessel = vessel_in(club, vessel_id, field)
    vessel_authorise(act.author, vessel)
    most_l = BOUNDS["overfill_fraction"].high * vessel.volume_l
    if not 0 < volume_l <= most_l:
        raise Impossible.field(
            field,
            volume_l,
            f"more than 0, up to {most_l:.2f} L (110 % of {vessel.volume_l:.2f} L)",
            f"{vessel.name or 'That vessel'} held {vessel.volume_l:.2f} L; {volume_l:g} L cannot come out of it.",
        )
    VesselDraw.objects.create(act=act, vessel=vessel, volume_l=volume_l)
    return [("vessels", vessel.pk)]


def vessel_in(club: Club, vessel_id: UUID, field: str) -> Vessel:
    """Returns a vessel of the club, whose row is locked first: two who draw on one vessel do so one after the other."""
    lock_club(club)
    vessel = Vessel.objects.for_club(club).select_related("barrel").filter(pk=vessel_id).first()
    if vessel is None:
        raise Impossible.field(
            field, str(vessel_id), "a vessel of this club", "No vessel of that key is in this club."
        )
    return vessel


def vessel_authorise(author: Person, vessel: Vessel) -> None:
    """Opens a vessel to the keeper, to the owners of its barrel and, if the club allows, to its sharers."""
    sharers = frozenset(VesselShare.objects.filter(vessel=vessel).values_list("person_id", flat=True))
    owners = barrel_owners(vessel.barrel) if vessel.barrel is not None else frozenset()
    require(
        author, "fill", sharers=sharers, owners=owners, detail="In this club the keeper works with vessels."
    )


def act_root(act: Act) -> UUID:
    """Returns the key of the first version of an act."""
    root, earlier = act.pk, act.replaces
    while earlier is not None:
        root, earlier = earlier.pk, earlier.replaces
    return root


def is_made_from(club: Club, vessel_ids: Iterable[UUID], wanted: UUID) -> bool:
    """Whether one of these vessels is the wanted one, or was blended from it."""
    line = set(vessel_ids)
    for _ in range(DEEPEST_BLEND):
        if wanted in line:
            return True
        makers = Vessel.objects.for_club(club).filter(pk__in=line, act__collection="blends")
        line = set(
            VesselDraw.objects.filter(act__in=makers.values("act")).values_list("vessel_id", flat=True)
        )
    return bool(line)


def vessels_follow(act: Act, *, rebuilt: Collection[UUID] = ()) -> list[FeedRow]:
    """Lays the vessels anew that an act, or what it replaced, drew on or made.

    ``rebuilt`` names barrels whose log has just been laid, and with it their vessels.
    """
    ids = [act.pk, *([act.replaces_id] if act.replaces_id else [])]
    touched: dict[UUID, UUID | None] = {
        **dict(VesselDraw.objects.filter(act_id__in=ids).values_list("vessel_id", "vessel__barrel_id")),
        **dict(Vessel.objects.filter(act_id__in=ids).values_list("id", "barrel_id")),
    }
    rows: list[FeedRow] = [("vessels", pk) for pk in touched]
    if act.replaces is not None and act.replaces.collection == "bottlings":
        # A tie that was lost there is lost no more: their other vessels are told.
        vessels = Vessel.objects.for_club(act.club).filter(pk__in=touched).prefetch_related("shares")
        rows += [("vessels", pk) for pk in same_company(act.club, companies_where_lost(vessels))]
    left = [pk for pk, barrel_id in touched.items() if barrel_id not in rebuilt]
    if left:
        rows += vessels_lay(left)
        # Whoever sent it is told at once that it took more than was left.
        act.refresh_from_db(fields=["flags"])
    return rows


def barrel_vessels_lay(barrel: Barrel) -> list[FeedRow]:
    """Lays anew what all vessels of a barrel have of their fills; called when its log has been laid."""
    ids = set(Vessel.objects.filter(barrel=barrel).values_list("id", flat=True))
    if not ids:
        return []
    lock_club(barrel.club)
    return vessels_lay(ids)


def vessels_lay(vessel_ids: Iterable[UUID]) -> list[FeedRow]:
    """Lays vessels and the blends and fills made from them, and so on; returns the rows that changed."""
    rows: list[FeedRow] = []
    wanted = set(vessel_ids)
    for depth in count():
        if not wanted or depth > DEEPEST_BLEND:
            return rows
        changed, flagged = _lay(wanted)
        rows += [*(("vessels", pk) for pk in changed), *(("log", pk) for pk in flagged)]
        filled = {fill.act.barrel_id for fill in fills_follow(wanted) if fill.act.barrel_id is not None}
        rows += [("barrels", pk) for pk in filled]
        # On into blends, and by way of another barrel's wood into whatever is decanted from it.
        onward = Q(act__collection="blends", act__draws__vessel_id__in=wanted, act__is_head=True)
        wanted = set(Vessel.objects.filter(onward | Q(barrel_id__in=filled)).values_list("id", flat=True))
    return rows


def _lay(vessel_ids: set[UUID]) -> tuple[list[UUID], list[UUID]]:
    vessels = list(
        Vessel.objects.filter(pk__in=sorted(vessel_ids))
        .select_related("act__stay", "barrel", "club")
        .prefetch_related("shares")
        .order_by("pk")
    )
    fills = _fills_of(vessels)
    memories = _allergens_before({vessel.barrel_id for vessel in vessels if vessel.barrel_id is not None})
    draws = _parts_of(vessels)
    shares = _shares_of(vessels, fills, draws)
    known: defaultdict[UUID, dict[UUID, int]] = defaultdict(dict)
    for share in VesselShare.objects.filter(vessel__in=vessels):
        known[share.vessel_id][share.person_id] = share.weight
    changed: list[UUID] = []
    regrouped: list[Vessel] = []
    for vessel in vessels:
        before = {
            name: getattr(vessel, name)
            for name in (*_OF_FILL, "stands", "volume_l", "abv_pct", "name", "club_weight")
        }
        vessel.stands = _stands(vessel.act)
        fill = fills.get(vessel.act.stay_id) if vessel.act.stay_id else None
        if vessel.act.collection == "blends":
            _mind_parts(vessel, draws.get(vessel.act_id, []))
        elif fill is not None:
            _mind_fill(vessel, fill, memories.get(vessel.barrel_id, []))
        wanted = shares.get(vessel.pk, {})
        if wanted != known[vessel.pk]:
            VesselShare.objects.filter(vessel=vessel).delete()
            VesselShare.objects.bulk_create(
                VesselShare(vessel=vessel, person_id=person_id, weight=weight)
                for person_id, weight in sorted(wanted.items())
            )
        after = {name: getattr(vessel, name) for name in before}
        if after != before:
            vessel.save(update_fields=list(before))
        if after != before or wanted != known[vessel.pk]:
            changed.append(vessel.pk)
        if wanted != known[vessel.pk] or after["stands"] != before["stands"]:
            regrouped.append(vessel)
    return [*changed, *_remembering(regrouped)], _flags_lay([vessel.pk for vessel in vessels])


def _remembering(regrouped: Sequence[Vessel]) -> list[UUID]:
    """Returns the other vessels of those who shared one until now or do so from now on: its ties are theirs or not."""
    if not regrouped:
        return []
    # As they were read, and as they are now.
    fresh = Vessel.objects.filter(pk__in=[vessel.pk for vessel in regrouped]).prefetch_related("shares")
    companies = companies_where_lost(regrouped) | companies_where_lost(fresh)
    return same_company(regrouped[0].club, companies)


def _stands(act: Act) -> bool:
    """Whether what an act filled is there. A decant that waits for its fill was still poured; a rescue out of a barrel

    that held nothing to rescue was not.
    """
    is_waiting = act.collection == "trouble-settlements" and act.placement == Placement.SET_ASIDE
    return act.is_head and not act.is_void and not is_waiting


def _fills_of(vessels: Sequence[Vessel]) -> dict[UUID, Fill]:
    """Returns the fills that the stays of these vessels' acts are about, by stay, each with its cost."""
    stay_ids = {
        vessel.act.stay.pk
        for vessel in vessels
        if vessel.act.stay is not None and vessel.act.stay.kind == StayKind.FILL
    }
    fills = (
        Fill.objects.filter(act__stay_id__in=stay_ids, act__collection="fills", act__is_head=True)
        .select_related("act__stay")
        .annotate(cost_minor=Sum("parts__cost_minor"))
    )
    return {fill.act.stay_id: fill for fill in fills if fill.act.stay_id is not None}


def _mind_fill(vessel: Vessel, fill: Fill, memories: list[tuple[Any, list[str]]]) -> None:
    vessel.fill_id = fill.act_id
    vessel.name = vessel.given_name or fill.name
    vessel.spirit, vessel.family, vessel.sugar_g_l = fill.spirit, fill.family, fill.sugar_g_l
    vessel.is_private = fill.is_private
    began = fill.act.stay.started_at if fill.act.stay is not None else vessel.made_at
    # Wood remembers: what was in the barrel before is named with what is in the glass.
    held = {one for moment, allergens in memories if moment <= began for one in allergens}
    adopted = vessel.barrel.adopted_allergens if vessel.barrel is not None else []
    vessel.allergens = sorted({*fill.allergens, *held, *adopted})
    if vessel.abv_basis == "as_filled":
        vessel.abv_pct = fill.abv_pct
    vessel.cost_minor = getattr(fill, "cost_minor", None)
    vessel.club_weight = fill.club_weight


def _mind_parts(vessel: Vessel, draws: Sequence[VesselDraw]) -> None:
    """Gives a blend what its parts have in common and all that any of them warns of."""
    parts = [draw.vessel for draw in draws]
    if not parts:
        return
    vessel.allergens = sorted({one for part in parts for one in part.allergens})
    vessel.is_private = any(part.is_private for part in parts)
    most = max(draws, key=lambda draw: (draw.volume_l, str(draw.vessel_id))).vessel
    vessel.spirit = most.spirit if len({part.spirit for part in parts}) == 1 else "unknown"
    vessel.family = most.family
    costs = [
        draw.vessel.cost_minor * min(1.0, draw.volume_l / draw.vessel.volume_l)
        for draw in draws
        if draw.vessel.cost_minor is not None and draw.vessel.volume_l > 0
    ]
    vessel.cost_minor = round(sum(costs)) if costs else None
    vessel.club_weight = round(sum(_weights(draw)[None] for draw in draws))
    _mind_mixture(vessel, draws)


def _mind_mixture(vessel: Vessel, draws: Sequence[VesselDraw]) -> None:
    """Gives a blend the volume, strength and sugar that its parts make together, where nobody measured them.

    As long as the strength of a part is not known the blend's is not either: no figure is better than a false one.
    """
    if vessel.water_l is None:
        return
    parts = [
        Part(draw.volume_l, draw.vessel.abv_pct or 0.0, draw.vessel.sugar_g_l)
        for draw in draws
        if draw.volume_l > 0
    ]
    if vessel.water_l > 0:
        parts.append(Part(vessel.water_l, 0.0))
    poured_l: float = sum(draw.volume_l for draw in draws) + vessel.water_l
    if poured_l <= 0:
        return
    volume_l = poured_l
    abv_pct: float | None = None
    sugar_g_l = sum(draw.volume_l * draw.vessel.sugar_g_l for draw in draws) / poured_l
    if all(draw.vessel.abv_pct is not None for draw in draws):
        try:
            mixed = blend(parts)
        except ScienceError:
            # Figures that contradict each other make no mixture that anybody could name.
            pass
        else:
            volume_l, abv_pct = float(mixed.volume_l), float(mixed.abv_pct)
            sugar_g_l = float(mixed.sugar_g_l)
    vessel.sugar_g_l = sugar_g_l
    if vessel.act.body.get("volume_l") is None:
        vessel.volume_l = volume_l
    if vessel.abv_basis == "calculated":
        vessel.abv_pct = abv_pct


def _weights(draw: VesselDraw) -> dict[UUID | None, float]:
    """Returns whose the liquid of a draw is, in millilitres; the club's stands under None."""
    shares = list(draw.vessel.shares.all())
    whole = sum(share.weight for share in shares) + draw.vessel.club_weight
    volume_ml = 1000.0 * draw.volume_l
    if whole == 0:
        return {None: volume_ml}
    return {
        None: volume_ml * draw.vessel.club_weight / whole,
        **{share.person_id: volume_ml * share.weight / whole for share in shares},
    }


def _allergens_before(barrel_ids: set[UUID]) -> dict[UUID | None, list[tuple[Any, list[str]]]]:
    """Returns what each fill of these barrels warned of, with when it began."""
    found: defaultdict[UUID | None, list[tuple[Any, list[str]]]] = defaultdict(list)
    rows = Fill.objects.filter(
        act__stay__barrel_id__in=sorted(barrel_ids),
        act__collection="fills",
        act__is_head=True,
        act__is_void=False,
        act__placement=Placement.PLACED,
    ).values_list("act__stay__barrel_id", "act__stay__started_at", "allergens")
    for barrel_id, started_at, allergens in rows:
        found[barrel_id].append((started_at, allergens))
    return found


def _shares_of(
    vessels: Sequence[Vessel], fills: dict[UUID, Fill], draws: dict[UUID, list[VesselDraw]]
) -> dict[UUID, dict[UUID, int]]:
    """Returns whose each vessel is: the fill's sharers, or for a blend each part's by the millilitres it gave."""
    of_fill: defaultdict[UUID, dict[UUID, int]] = defaultdict(dict)
    for share in FillShare.objects.filter(fill__in=list(fills.values())):
        of_fill[share.fill_id][share.person_id] = share.weight
    found: dict[UUID, dict[UUID, int]] = {}
    for vessel in vessels:
        fill = fills.get(vessel.act.stay_id) if vessel.act.stay_id else None
        if vessel.act.collection == "blends":
            weights: defaultdict[UUID, float] = defaultdict(float)
            for draw in draws.get(vessel.act_id, []):
                for person_id, weight in _weights(draw).items():
                    if person_id is not None:
                        weights[person_id] += weight
            found[vessel.pk] = {person_id: max(1, round(weight)) for person_id, weight in weights.items()}
        elif fill is not None:
            found[vessel.pk] = of_fill[fill.pk]
    return found


def _parts_of(vessels: Sequence[Vessel]) -> dict[UUID, list[VesselDraw]]:
    """Returns what each blend took, by its act."""
    found: defaultdict[UUID, list[VesselDraw]] = defaultdict(list)
    acts = [vessel.act_id for vessel in vessels if vessel.act.collection == "blends"]
    draws = (
        VesselDraw.objects.filter(act_id__in=acts).select_related("vessel").prefetch_related("vessel__shares")
    )
    for draw in draws.order_by("vessel_id"):
        found[draw.act_id].append(draw)
    return found


def _flags_lay(vessel_ids: Sequence[UUID]) -> list[UUID]:
    """Flags the draws that go beyond what was left, in the order of the log; returns the acts whose flag changed."""
    touched = {draw.act_id: draw.act for draw in _draws(Q(vessel_id__in=vessel_ids)).select_related("act")}
    drawn: defaultdict[UUID, float] = defaultdict(float)
    beyond: defaultdict[UUID, bool] = defaultdict(bool)
    # An act may draw on more vessels than these: it is over if any of them is.
    for draw in _draws(Q(vessel__draws__act_id__in=list(touched))).select_related("vessel").distinct():
        drawn[draw.vessel_id] += draw.volume_l
        beyond[draw.act_id] |= drawn[draw.vessel_id] > draw.vessel.volume_l * (1.0 + MEASURE_TOLERANCE)
    changed: list[Act] = []
    for act in touched.values():
        flags = sorted({*act.flags, OVER_VESSEL} if beyond[act.pk] else set(act.flags) - {OVER_VESSEL})
        if flags != act.flags:
            act.flags = flags
            changed.append(act)
    Act.objects.bulk_update(changed, ["flags"], batch_size=200)
    return [act.pk for act in changed]


def _draws(condition: Q) -> QuerySet[VesselDraw]:
    """Returns draws of acts that count, in the order of the log."""
    return VesselDraw.objects.filter(condition, act__is_head=True, act__is_void=False).order_by(
        "act__ordered_at", "act_id", "vessel_id"
    )
