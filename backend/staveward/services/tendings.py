"""Tendings: rolls, looks, spigots, water changes, top-ups."""

from __future__ import annotations

from collections.abc import Iterable

from staveward.models import Act, Tending
from staveward.science.vocabulary import TendingKind
from staveward.selectors.standing import Standing
from staveward.services.authority import require
from staveward.services.commands import ActCommand, ActKind
from staveward.services.errors import Impossible
from staveward.services.feed import FeedRow
from staveward.services.water import volume_judged


def _authorise(command: ActCommand, standing: Standing) -> None:
    if TendingKind.SULPHITING in command.data["tasks"]:
        require(
            command.author,
            "cellar_work",
            owners=standing.owners,
            detail="Sulphite is the keeper's: never alone, never with asthma, outdoors or in moving air.",
        )
        return
    require(
        command.author,
        "tend",
        sharers=standing.sharers,
        owners=standing.owners,
        detail="This club lets only the keeper and a fill's sharers tend its barrels.",
    )


def _judge(command: ActCommand) -> list[str]:
    assert command.barrel is not None
    tasks = command.data["tasks"]
    volume_l = command.data.get("volume_l")
    if TendingKind.TOP_UP in tasks and volume_l is None:
        raise Impossible.field(
            "volume_l", None, "a volume, for a top-up", "A top-up needs the volume poured in."
        )
    return volume_judged(command.barrel, volume_l, "volume_l") if volume_l is not None else []


def _save(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    Tending.objects.bulk_create(
        Tending(
            act=act,
            task=task,
            volume_l=command.data.get("volume_l"),
            abv_pct=command.data.get("abv_pct"),
            bung_clock=command.data.get("bung_clock"),
            is_well=command.data.get("is_well", True),
        )
        for task in command.data["tasks"]
    )
    return ()


KINDS = (ActKind("tendings", "event", _authorise, judge=_judge, save_detail=_save),)
