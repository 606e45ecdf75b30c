"""What a barrel was like when it was filled: it hangs on what came before, so it is laid with the stays.

The curing's verdict, or the hold that kept the wood wet, may arrive after the fill that followed it.
"""

from __future__ import annotations

from datetime import timedelta

from staveward.models import Act, Barrel, Fill, Stay
from staveward.science.vocabulary import StayKind, WoodState

STILL_WET_WITHIN = timedelta(days=7)
NOT_TIGHT = "not_tight"


def fills_lay(barrel: Barrel) -> None:
    """Writes for each fill of a barrel how thirsty its wood was, unless somebody said, and whether it was tight."""
    stays = list(Stay.objects.filter(barrel=barrel).order_by("started_at", "id"))
    found = {
        stay.pk: (before, stay)
        for before, stay in zip([None, *stays], stays, strict=False)
        if stay.kind == StayKind.FILL
    }
    fills, acts = [], []
    for fill in Fill.objects.filter(act_id__in=found).select_related("act"):
        before, stay = found[fill.pk]
        state = fill.act.body.get("wood_state") or _wood_state(barrel, before, stay)
        if fill.wood_state != state:
            fill.wood_state = state
            fills.append(fill)
        flags = _flags(fill.act, before)
        if fill.act.flags != flags:
            fill.act.flags = flags
            acts.append(fill.act)
    Fill.objects.bulk_update(fills, ["wood_state"], batch_size=100)
    Act.objects.bulk_update(acts, ["flags"], batch_size=100)


def _wood_state(barrel: Barrel, before: Stay | None, stay: Stay) -> str:
    if before is None:
        return str(WoodState.STORED_DRY if barrel.adopted else WoodState.DRY)
    if before.kind == StayKind.CURING:
        return str(WoodState.CURED)
    since_wet = stay.started_at - (before.ended_at or stay.started_at)
    return str(WoodState.WET if since_wet <= STILL_WET_WITHIN else WoodState.STORED_DRY)


def _flags(act: Act, before: Stay | None) -> list[str]:
    was_cured = before is not None and before.kind == StayKind.CURING
    untight = was_cured and before is not None and before.outcome != "tight"
    return sorted({*(set(act.flags) - {NOT_TIGHT}), *([NOT_TIGHT] if untight else [])})
