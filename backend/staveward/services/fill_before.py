"""What a barrel was like when it was filled: it hangs on what came before, so it is laid with the stays.

The curing's verdict, or the hold that kept the wood wet, may arrive after the fill that followed it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta

from staveward.models import Act, Barrel, Fill, Stay
from staveward.science.vocabulary import StayKind, WoodState
from staveward.selectors.tightness import NOT_SHOWN_TIGHT, last_shown
from staveward.services.worn import LaidRepair

STILL_WET_WITHIN = timedelta(days=7)
NOT_TIGHT = "not_tight"


def fills_lay(
    barrel: Barrel, stays: Sequence[Stay], known: Iterable[Fill], repairs: Iterable[LaidRepair]
) -> None:
    """Writes for each fill of a barrel how thirsty its wood was, unless somebody said, and whether it was tight.

    ``stays`` are the barrel's in order, ``known`` the fills among them.
    """
    repaired_at = [repair.at for repair in repairs]
    found = {
        stay.pk: (stays[:number], stay) for number, stay in enumerate(stays) if stay.kind == StayKind.FILL
    }
    fills, acts = [], []
    for fill in known:
        if fill.pk not in found:
            continue
        earlier, stay = found[fill.pk]
        state = fill.act.body.get("wood_state") or _wood_state(barrel, earlier[-1] if earlier else None, stay)
        if fill.wood_state != state:
            fill.wood_state = state
            fills.append(fill)
        flags = _flags(fill.act, earlier, [at for at in repaired_at if at <= stay.started_at])
        if fill.act.flags != flags:
            fill.act.flags = flags
            acts.append(fill.act)
    Fill.objects.bulk_update(fills, ["wood_state"], batch_size=100)
    Act.objects.bulk_update(acts, ["flags"], batch_size=100)


def _wood_state(barrel: Barrel, before: Stay | None, stay: Stay) -> str:
    if before is None:
        return str(WoodState.STORED_DRY if barrel.adopted else WoodState.DRY)
    dry_for = stay.started_at - (before.ended_at or stay.started_at)
    if dry_for > STILL_WET_WITHIN:
        # A barrel that was cured and left standing has dried like any other.
        return str(WoodState.STORED_DRY)
    return str(WoodState.CURED if before.kind == StayKind.CURING else WoodState.WET)


def _flags(act: Act, earlier: Sequence[Stay], repaired_at: Sequence[datetime]) -> list[str]:
    untight = last_shown(earlier, repaired_at).shown in NOT_SHOWN_TIGHT
    return sorted({*(set(act.flags) - {NOT_TIGHT}), *([NOT_TIGHT] if untight else [])})
