"""Pulling: the sharers say what they want, and somebody decides that a fill has had its time."""

from __future__ import annotations

from staveward.selectors.standing import Standing
from staveward.services.authority import require
from staveward.services.commands import ActCommand, ActKind


def _authorise_vote(command: ActCommand, standing: Standing) -> None:
    require(
        command.author,
        "vote_pull",
        sharers=standing.sharers,
        owners=standing.owners,
        detail="Only a fill's sharers say when it is pulled.",
    )


def _authorise_pull(command: ActCommand, standing: Standing) -> None:
    require(
        command.author,
        "pull",
        sharers=standing.sharers,
        owners=standing.owners,
        detail="In this club the keeper decides when a fill is pulled.",
    )


KINDS = (
    ActKind("pull-votes", "event", _authorise_vote),
    ActKind("pulls", "event", _authorise_pull),
)
