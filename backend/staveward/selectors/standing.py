"""How a person stands to a barrel and its fill: owner, sharer, or neither."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import Q

from staveward.models import Act, Barrel, FillShare, OwnerShare, Stay, StayKind


@dataclass(frozen=True)
class Standing:
    """The people the permission table asks about, for one barrel and the fill in question."""

    owners: frozenset[UUID] = frozenset()
    sharers: frozenset[UUID] = frozenset()
    open_fill: bool = False
    is_private: bool = False


def barrel_owners(barrel: Barrel) -> frozenset[UUID]:
    """Returns who owns the barrel by its newest ownership act; empty means the club."""
    newest = (
        Act.objects.filter(
            barrel=barrel, collection="ownerships", is_head=True, placement="placed", is_void=False
        )
        .order_by("-ordered_at", "-id")
        .values_list("id", flat=True)
        .first()
    )
    if newest is None:
        return frozenset()
    return frozenset(OwnerShare.objects.filter(act_id=newest).values_list("person_id", flat=True))


def barrel_standing(barrel: Barrel, fill_id: UUID | None = None, at: datetime | None = None) -> Standing:
    """Returns the standing around one barrel: of the fill named, else of that in it then, else of that in it now."""
    stays = Stay.objects.filter(barrel=barrel, kind=StayKind.FILL)
    stay_id = fill_id
    if stay_id is None and at is not None:
        around = stays.filter(Q(ended_at__isnull=True) | Q(ended_at__gte=at), started_at__lte=at)
        stay_id = around.order_by("-started_at", "-id").values_list("id", flat=True).first()
    if stay_id is None:
        stay_id = stays.filter(ended_at__isnull=True).values_list("id", flat=True).first()
    if stay_id is None:
        return Standing(owners=barrel_owners(barrel))
    versions = Act.objects.filter(pk=_standing_version(stay_id), collection="fills", barrel=barrel)
    fill = versions.select_related("fill").first()
    if fill is None:
        return Standing(owners=barrel_owners(barrel))
    return Standing(
        owners=barrel_owners(barrel),
        sharers=frozenset(FillShare.objects.filter(fill_id=fill.pk).values_list("person_id", flat=True)),
        open_fill=fill.fill.open_to_tasting and not fill.fill.is_private,
        is_private=fill.fill.is_private,
    )


def _standing_version(fill_id: UUID) -> UUID:
    """Returns the key of the version of a fill that stands after all corrections."""
    while True:
        newer = (
            Act.objects.filter(replaces_id=fill_id, collection="fills", placement="placed")
            .values_list("id", flat=True)
            .first()
        )
        if newer is None:
            return fill_id
        fill_id = newer
