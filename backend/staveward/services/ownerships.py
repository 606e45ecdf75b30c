"""Who owns the wood: a dated act with whole-number weights."""

from __future__ import annotations

from collections.abc import Iterable

from staveward.models import Act, OwnerShare
from staveward.selectors.standing import Standing
from staveward.services.authority import require
from staveward.services.commands import ActCommand, ActKind
from staveward.services.feed import FeedRow, visibility_bump
from staveward.services.lookup import shares_in


def _authorise(command: ActCommand, standing: Standing) -> None:
    require(
        command.author,
        "edit_barrel",
        owners=standing.owners,
        detail="Only the keeper or an owner says who owns it.",
    )


def _save(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    shares = shares_in(command.club, command.data["shares"], "shares", command.happened_at)
    OwnerShare.objects.bulk_create(
        OwnerShare(act=act, person=person, weight=weight) for person, weight in shares
    )
    visibility_bump(command.club, [person.pk for person, _ in shares])
    return ()


KINDS = (ActKind("ownerships", "event", _authorise, save_detail=_save),)
