"""How much of the wood each stay found used, and left used: laid beside the stays."""

from __future__ import annotations

from staveward.models import Barrel, Fill, Stay
from staveward.science.vocabulary import StayKind
from staveward.science.wood import WoodEvent, WoodUsed, wood_used

SECONDS_A_DAY = 86_400.0


def wood_lay(barrel: Barrel) -> None:
    """Writes wood used before and after every stay of a barrel, low to high, from its fills in order.

    A mix counts by its spirit as named; an adopted barrel starts from the range the keeper gave.
    """
    stays = list(Stay.objects.filter(barrel=barrel).order_by("started_at", "id"))
    spirits = dict(
        Fill.objects.filter(act_id__in=[stay.pk for stay in stays]).values_list("act_id", "spirit")
    )
    events: list[WoodEvent] = []
    before = wood_used([])
    changed = []
    for stay in stays:
        after = before
        if stay.kind == StayKind.FILL and stay.ended_at is not None:
            days = (stay.ended_at - stay.started_at).total_seconds() / SECONDS_A_DAY
            events.append(WoodEvent(spirits[stay.pk], days))
            after = wood_used(events)
        values = {**_columns(barrel, before, "before"), **_columns(barrel, after, "after")}
        if any(getattr(stay, name) != value for name, value in values.items()):
            for name, value in values.items():
                setattr(stay, name, value)
            changed.append(stay)
        before = after
    Stay.objects.bulk_update(
        changed,
        [f"wood_{when}_{which}" for when in ("before", "after") for which in ("low", "typical", "high")],
        batch_size=100,
    )


def _columns(barrel: Barrel, used: WoodUsed, when: str) -> dict[str, float]:
    low, high = barrel.adopted_wood_used_low, barrel.adopted_wood_used_high
    return {
        f"wood_{when}_low": low + used.optimistic,
        f"wood_{when}_typical": (low + high) / 2.0 + used.typical,
        f"wood_{when}_high": high + used.pessimistic,
    }
