"""Who wins a tie for a bottle that cannot be halved: whoever lost more of them before, then a drawn lot.

Equal shares of one vessel draw lots by the vessel's own key, so the draw can be made again and opening a form twice
draws nothing anew. Losing is remembered among the same people only: what somebody lost in other company is not repaid
here.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from uuid import UUID, uuid5

from django.db.models import Count

from staveward.models import Bottle, Bottling, Vessel, VesselShare
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

    @property
    def winners_first(self) -> list[Sharer]:
        """Returns the people in the order in which ties are settled."""
        return [self.people[row] for row in self.tie_order]


def sharings(vessels: Iterable[Vessel]) -> dict[UUID, Sharing]:
    """Returns each vessel's sharing, by its key; the number of queries does not depend on how many there are."""
    weights = {vessel.pk: _weights(vessel) for vessel in vessels}
    clubs = {vessel.club_id for vessel in vessels}
    lost = _lost(clubs, {frozenset(shares) for shares in weights.values() if len(shares) > 1})
    return {key: _sharing(key, shares, lost.get(frozenset(shares), {})) for key, shares in weights.items()}


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
    owed = tie_order_of([lost.get(people[row], 0) for row in drawn])
    return Sharing(people, tuple(shares.values()), tuple(drawn[place] for place in owed))


def _lost(clubs: set[UUID], companies: set[_Company]) -> dict[_Company, dict[Sharer, int]]:
    """Returns how often each lost a tie among the same people, by the bottlings that stand, one after the other."""
    found: dict[_Company, dict[Sharer, int]] = {company: defaultdict(int) for company in companies}
    people = {person for company in companies for person in company if person is not None}
    if not people:
        return found
    theirs = VesselShare.objects.filter(person_id__in=people).values("vessel_id")
    bottlings = (
        Bottling.objects.filter(act__club_id__in=clubs, act__is_head=True, act__is_void=False)
        .filter(vessel_id__in=theirs)
        .select_related("vessel")
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
        division = divide_sizes(
            sizes.get(bottling.pk, []), sharing.weights, bottling.heel_ml, sharing.tie_order
        )
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


def same_company(vessel: Vessel) -> list[UUID]:
    """Returns the other vessels of the same people: a tie lost here goes first there."""
    company = frozenset(_weights(vessel))
    if len(company) < 2:
        return []
    others = (
        Vessel.objects.for_club(vessel.club)
        .filter(stands=True, shares__person_id__in=[person for person in company if person is not None])
        .exclude(pk=vessel.pk)
        .distinct()
        .prefetch_related("shares")
    )
    return [other.pk for other in others if frozenset(_weights(other)) == company]
