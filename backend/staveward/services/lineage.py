"""What a fill has of the vessels it was poured out of: their allergens, and its part of what they cost.

It is laid anew whenever those vessels are. So a fill that was corrected after its liquid had gone on into another
barrel corrects that one too, and what is decanted from it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any
from uuid import UUID

from staveward.models import Fill, FillPart, Vessel


def fill_allergens(parts: Iterable[Mapping[str, Any]], lineage: Mapping[UUID, Vessel]) -> list[str]:
    """Returns what a mix may do to somebody: by the labels, and by what the vessels held before."""
    found: set[str] = set()
    for part in parts:
        found.update(part.get("allergens") or ())
        vessel = _vessel_of(part, lineage)
        found.update(vessel.allergens if vessel is not None else ())
    return sorted(found)


def part_cost_minor(part: Mapping[str, Any], volume_l: float, lineage: Mapping[UUID, Vessel]) -> int | None:
    """Returns what a part cost: as said, else its share of what its vessel cost."""
    said: int | None = part.get("cost_minor")
    vessel = _vessel_of(part, lineage)
    if said is not None or vessel is None or vessel.cost_minor is None or not vessel.volume_l:
        return said
    return round(vessel.cost_minor * min(1.0, volume_l / vessel.volume_l))


def fills_follow(vessel_ids: Iterable[UUID]) -> list[Fill]:
    """Lays anew what fills have of these vessels, under the club's lock, and returns the fills that changed."""
    fills = list(
        Fill.objects.filter(
            act__collection="fills", act__is_head=True, act__draws__vessel_id__in=sorted(vessel_ids)
        )
        .select_related("act__club")
        .prefetch_related("parts")
        .order_by("pk")
        .distinct()
    )
    if not fills:
        return []
    named = {vessel_id for fill in fills for vessel_id in _vessels_named(fill)}
    lineage = {
        vessel.pk: vessel
        for vessel in Vessel.objects.for_club(fills[0].act.club).filter(pk__in=sorted(named))
    }
    changed = [fill for fill in fills if _mind_vessels(fill, lineage)]
    Fill.objects.bulk_update(changed, ["allergens"], batch_size=100)
    return changed


def _mind_vessels(fill: Fill, lineage: Mapping[UUID, Vessel]) -> bool:
    """Whether the vessels changed what a fill warns of or what its parts cost; the costs are written at once."""
    said: Sequence[Mapping[str, Any]] = fill.act.body["parts"]
    allergens = fill_allergens(said, lineage)
    dearer: list[FillPart] = []
    for row, part in zip(fill.parts.all(), said, strict=True):
        cost = part_cost_minor(part, row.volume_l, lineage)
        if cost != row.cost_minor:
            row.cost_minor = cost
            dearer.append(row)
    FillPart.objects.bulk_update(dearer, ["cost_minor"], batch_size=100)
    is_warned_alike = allergens == fill.allergens
    fill.allergens = allergens
    return bool(dearer) or not is_warned_alike


def _vessels_named(fill: Fill) -> list[UUID]:
    return [UUID(str(part["vessel"])) for part in fill.act.body["parts"] if part.get("vessel") is not None]


def _vessel_of(part: Mapping[str, Any], lineage: Mapping[UUID, Vessel]) -> Vessel | None:
    """Returns a part's vessel, whether its key is one already or stands in a body as it was sent."""
    named = part.get("vessel")
    return None if named is None else lineage.get(UUID(str(named)))
