"""Repairs of the wood: charring or toasting anew gives some of its life back."""

from __future__ import annotations

from collections.abc import Iterable

from staveward.models import Act, Repair
from staveward.science.vocabulary import Repair as RepairKind
from staveward.services.commands import ActCommand, ActKind
from staveward.services.curings import cellar_work
from staveward.services.feed import FeedRow

# Re-toast at most once on staves thinner than this (science.wood, a working assumption).
THIN_STAVES_MM = 16.0


def _judge(command: ActCommand) -> list[str]:
    """Flags a toast on staves that are thin and were toasted before."""
    barrel = command.barrel
    assert barrel is not None
    if command.data["kind"] != RepairKind.RETOAST or (barrel.stave_mm or THIN_STAVES_MM) >= THIN_STAVES_MM:
        return []
    before = Repair.objects.filter(
        act__barrel=barrel, act__is_head=True, act__is_void=False, kind=RepairKind.RETOAST
    )
    if command.replaces is not None:
        before = before.exclude(act_id=command.replaces.pk)
    return ["thin_staves"] if before.exists() else []


def _save(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    Repair.objects.create(act=act, kind=command.data["kind"])
    return ()


KINDS = (ActKind("repairs", "closing", cellar_work, judge=_judge, save_detail=_save),)
