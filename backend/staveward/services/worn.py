"""How much of the wood each stay found used, and left used: laid beside the stays."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from staveward.models import Act, Barrel, Fill, Stay
from staveward.science.vocabulary import Repair as RepairKind
from staveward.science.vocabulary import StayKind
from staveward.science.wood import REPAIR_FACTOR, WoodEvent, WoodUsed, wood_used

SECONDS_A_DAY = 86_400.0


@dataclass(frozen=True)
class LaidRepair:
    """A repair that fits the barrel's life."""

    at: datetime
    kind: str | None


def barrel_repairs(barrel: Barrel, *, left_out: Collection[UUID] = ()) -> list[LaidRepair]:
    """Returns the repairs of a barrel in order; ``left_out`` names those that do not fit its life."""
    rows = Act.objects.filter(barrel=barrel, collection="repairs", is_head=True, is_void=False)
    return [
        LaidRepair(at, kind)
        for key, at, kind in rows.order_by("ordered_at", "id").values_list("pk", "ordered_at", "repair__kind")
        if key not in left_out
    ]


def wood_lay(
    barrel: Barrel, stays: Sequence[Stay], fills: Iterable[Fill], repaired: Iterable[LaidRepair]
) -> None:
    """Writes wood used before and after every stay of a barrel, low to high, from its fills and repairs in order.

    A mix counts by its spirit as named; an adopted barrel starts from the range the keeper gave. A repair counts
    with the stay before it, so what that stay left is what the next finds; before the first stay it counts with the
    barrel itself.
    """
    spirits = {fill.pk: fill.spirit for fill in fills}
    repairs = [(repair.at, repair.kind) for repair in repaired if repair.kind is not None]
    kept = 1.0
    while repairs and (not stays or repairs[0][0] < stays[0].started_at):
        kept *= REPAIR_FACTOR[RepairKind(repairs.pop(0)[1])]
    if barrel.adopted_wood_kept != kept:
        barrel.adopted_wood_kept = kept
        Barrel.objects.filter(pk=barrel.pk).update(adopted_wood_kept=kept)
    events: list[WoodEvent] = []
    before = wood_used([])
    kept_before = kept
    changed = []
    for number, stay in enumerate(stays):
        if stay.kind == StayKind.FILL and stay.ended_at is not None:
            days = (stay.ended_at - stay.started_at).total_seconds() / SECONDS_A_DAY
            events.append(WoodEvent(spirits[stay.pk], days))
        next_at = stays[number + 1].started_at if number + 1 < len(stays) else None
        while repairs and (next_at is None or repairs[0][0] < next_at):
            kind = repairs.pop(0)[1]
            events.append(WoodEvent(kind))
            kept *= REPAIR_FACTOR[RepairKind(kind)]
        after = wood_used(events)
        values = {
            **_columns(barrel, before, kept_before, "before"),
            **_columns(barrel, after, kept, "after"),
        }
        if any(getattr(stay, name) != value for name, value in values.items()):
            for name, value in values.items():
                setattr(stay, name, value)
            changed.append(stay)
        before, kept_before = after, kept
    Stay.objects.bulk_update(
        changed,
        [f"wood_{when}_{which}" for when in ("before", "after") for which in ("low", "typical", "high")],
        batch_size=100,
    )


def _columns(barrel: Barrel, used: WoodUsed, kept: float, when: str) -> dict[str, float]:
    """Returns the columns of a stay: what the fills used, and what is left to count of the use before adoption."""
    low, high = kept * barrel.adopted_wood_used_low, kept * barrel.adopted_wood_used_high
    return {
        f"wood_{when}_low": low + used.optimistic,
        f"wood_{when}_typical": (low + high) / 2.0 + used.typical,
        f"wood_{when}_high": high + used.pessimistic,
    }
