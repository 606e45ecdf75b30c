"""Wet holds, and the draining that ends one."""

from __future__ import annotations

from collections.abc import Iterable

from staveward.models import Act, Hold
from staveward.services.commands import ActCommand, ActKind
from staveward.services.curings import cellar_work
from staveward.services.feed import FeedRow
from staveward.services.water import volume_judged


def _judge(command: ActCommand) -> list[str]:
    assert command.barrel is not None
    return volume_judged(command.barrel, command.data["water_l"], "water_l")


def _save(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    Hold.objects.create(
        act=act,
        water_l=command.data["water_l"],
        spirit_dose_ml=command.data.get("spirit_dose_ml") or 0.0,
        bung_clock=command.data.get("bung_clock") or 12,
        is_solution=bool(command.data.get("is_solution")),
        citric_acid_g=command.data.get("citric_acid_g"),
        metabisulphite_g=command.data.get("metabisulphite_g"),
    )
    return ()


KINDS = (
    ActKind("holds", "opening", cellar_work, judge=_judge, save_detail=_save),
    ActKind("drainings", "closing", cellar_work),
)
