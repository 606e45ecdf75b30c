"""Who wins a tie for a bottle that cannot be halved: whoever lost more of them before, then a drawn lot.

Equal shares of one vessel draw lots by the vessel's own key, so the draw can be made again and opening a form twice
draws nothing anew. Losing is remembered among the same people only: what somebody lost in other company is not repaid
here. Where a phone drew without knowing an earlier tie, what was handed out is what counts from then on: its entry says
in which order it drew.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID, uuid5

from django.db.models import Count

from staveward.models import Bottle, Bottling, Club, Vessel, VesselShare
from staveward.science.sharing import divide_sizes, tie_order_of

# Nobody named is the club.
Sharer = UUID | None
_Company = frozenset[Sharer]
_Sizes = list[tuple[int, int]]


@dataclass(frozen=True)
class Sharing:
    """Who shares a vessel, the largest share first, with their weights, and in which order ties are settled."""

    people: tuple[Sharer, ...]
    weights: tuple[int, ...]
    tie_order: tuple[int, ...]
    # How often each lost a tie in this company before.
    owed: tuple[int, ...] = ()

    @property
    def winners_first(self) -> list[Sharer]:
        """Returns the people in the order in which ties are settled."""
        return [self.people[row] for row in self.tie_order]

    def order_of(self, drawn: Sequence[Any] | None) -> tuple[int, ...] | None:
        """Returns the order of ties that an entry says it drew, or None where it names other people than these."""
        if drawn is None:
            return None
        names = [None if one is None else str(one) for one in drawn]
        rows = {None if one is None else str(one): row for row, one in enumerate(self.people)}
        if len(names) != len(rows) or set(names) != set(rows):
            return None
        return tuple(rows[name] for name in names)


@dataclass(frozen=True)
class Ties:
    """How ties are settled at some vessels, and how they were at the bottlings of the same people."""

    sharings: dict[UUID, Sharing]
    # Who lost a tie in each bottling that had one.
    losers: dict[UUID, frozenset[Sharer]]


def ties_of(vessels: Iterable[Vessel]) -> Ties:
    """Returns each vessel's sharing, and who lost in its bottlings; the number of queries depends on no number."""
    weights = {vessel.pk: _weights(vessel) for vessel in vessels}
    clubs = {vessel.club_id for vessel in vessels}
    losers: dict[UUID, frozenset[Sharer]] = {}
    lost = _lost(clubs, {frozenset(shares) for shares in weights.values() if len(shares) > 1}, losers)
    found = {key: _sharing(key, shares, lost.get(frozenset(shares), {})) for key, shares in weights.items()}
    return Ties(found, losers)


def sharings(vessels: Iterable[Vessel]) -> dict[UUID, Sharing]:
    """Returns each vessel's sharing, by its key."""
    return ties_of(vessels).sharings


def _weights(vessel: Vessel) -> dict[Sharer, int]:
    shares = sorted(vessel.shares.all(), key=lambda share: (-share.weight, share.person_id))
    found: dict[Sharer, int] = {share.person_id: share.weight for share in shares}
    if vessel.club_weight or not found:
        found[None] = vessel.club_weight or 1
    return found


def _sharing(vessel_id: UUID, shares: dict[Sharer, int], lost: dict[Sharer, int]) -> Sharing:
    people = tuple(shares)
    lots = [str(uuid5(vessel_id, str(person_id or "club"))) for person_id in people]
    drawn = sorted(range(len(people)), key=lambda row: lots[row])
    owed = tuple(lost.get(person, 0) for person in people)
    first = tie_order_of([owed[row] for row in drawn])
    return Sharing(people, tuple(shares.values()), tuple(drawn[place] for place in first), owed)


def _lost(
    clubs: set[UUID], companies: set[_Company], losers: dict[UUID, frozenset[Sharer]]
) -> dict[_Company, dict[Sharer, int]]:
    """Returns how often each lost a tie among the same people, by the bottlings that stand, one after the other.

    Writes into ``losers`` who lost in which of them.
    """
    found: dict[_Company, dict[Sharer, int]] = {company: defaultdict(int) for company in companies}
    people = {person for company in companies for person in company if person is not None}
    if not people:
        return found
    theirs = VesselShare.objects.filter(person_id__in=people).values("vessel_id")
    bottlings = (
        Bottling.objects.filter(act__club_id__in=clubs, act__is_head=True, act__is_void=False)
        .filter(vessel_id__in=theirs, vessel__stands=True)
        .select_related("act", "vessel")
        .prefetch_related("vessel__shares")
        .order_by("act__ordered_at", "act_id")
    )
    sizes = _sizes(clubs)
    for bottling in bottlings:
        shares = _weights(bottling.vessel)
        lost = found.get(frozenset(shares))
        if lost is None:
            continue
        sharing = _sharing(bottling.vessel_id, shares, lost)
        order = sharing.order_of(bottling.act.body.get("drawn")) or sharing.tie_order
        division = divide_sizes(sizes.get(bottling.pk, []), sharing.weights, bottling.heel_ml, order)
        if division.lost:
            losers[bottling.pk] = frozenset(sharing.people[row] for row in division.lost)
        for row in division.lost:
            lost[sharing.people[row]] += 1
    return found


def _sizes(clubs: set[UUID]) -> dict[UUID, _Sizes]:
    """Returns what each bottling filled: how much went into one bottle, and how many of them, by its size."""
    found: defaultdict[UUID, _Sizes] = defaultdict(list)
    rows = (
        Bottle.objects.filter(club_id__in=clubs)
        .values("bottling_id", "size_ml", "fill_ml")
        .annotate(count=Count("pk"))
        .order_by("bottling_id", "-size_ml")
        .values_list("bottling_id", "fill_ml", "count")
    )
    for bottling_id, fill_ml, count in rows:
        found[bottling_id].append((fill_ml, count))
    return dict(found)


def company_of(vessel: Vessel) -> frozenset[Sharer]:
    """Returns who shares a vessel; its shares must be fetched already."""
    return frozenset(_weights(vessel))


def companies_where_lost(vessels: Iterable[Vessel]) -> set[frozenset[Sharer]]:
    """Returns who shares these vessels, of those that were bottled: their ties may be remembered elsewhere."""
    companies = {vessel.pk: company_of(vessel) for vessel in vessels}
    shared = [key for key, company in companies.items() if len(company) > 1]
    bottled = Bottling.objects.filter(vessel_id__in=shared).values_list("vessel_id", flat=True)
    return {companies[key] for key in bottled}


def same_company(
    club: Club, companies: Iterable[frozenset[Sharer]], leave_out: UUID | None = None
) -> list[UUID]:
    """Returns the vessels of exactly these people: a tie lost at the one goes first at the others."""
    wanted = {company for company in companies if len(company) > 1}
    people = {person for company in wanted for person in company if person is not None}
    if not people:
        return []
    others = (
        Vessel.objects.for_club(club)
        .filter(stands=True, shares__person_id__in=people)
        .distinct()
        .prefetch_related("shares")
    )
    return [other.pk for other in others if other.pk != leave_out and company_of(other) in wanted]
