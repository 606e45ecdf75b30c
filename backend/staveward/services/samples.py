"""Samples: drawn off a fill and scored by nobody, and so off its stock and its budget all the same."""

from __future__ import annotations

from collections.abc import Iterable

from staveward.models import Act, Sample
from staveward.selectors.standing import Standing
from staveward.services.authority import require
from staveward.services.commands import ActCommand, ActKind
from staveward.services.errors import Impossible
from staveward.services.feed import FeedRow


def _authorise(command: ActCommand, standing: Standing) -> None:
    require(
        command.author,
        "sample",
        sharers=standing.sharers,
        owners=standing.owners,
        open_fill=standing.open_fill,
        detail="This fill is its sharers' to draw from.",
    )


def _judge(command: ActCommand) -> list[str]:
    """A sample names a flight only where it corrects what the flight's end wrote."""
    named = command.body.get("flight")
    earlier = command.replaces.body.get("flight") if command.replaces is not None else None
    if named not in (None, earlier):
        raise Impossible.field(
            "flight",
            named,
            "only in a correction of what a flight left unscored",
            "What a flight poured is written at its end.",
        )
    return []


def _save(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    Sample.objects.create(act=act, sample_ml=command.data["sample_ml"])
    return ()


KINDS = (ActKind("samples", "event", _authorise, judge=_judge, save_detail=_save),)
