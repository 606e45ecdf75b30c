"""The keeper's tray: what was set aside is left as it is, on the keeper's word."""

from __future__ import annotations

from collections.abc import Iterable

from staveward.models import Act
from staveward.selectors.standing import Standing
from staveward.services.authority import require
from staveward.services.commands import ActCommand, ActKind
from staveward.services.feed import FeedRow
from staveward.services.lookup import act_in


def _authorise(command: ActCommand, standing: Standing) -> None:
    require(command.author, "tray_all", owners=standing.owners, detail="The tray is the keeper's.")


def _save(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    target = act_in(command.club, command.data["act"], "act")
    Act.objects.filter(pk=target.pk).update(set_aside_settled=True)
    return [("log", target.pk)]


KINDS = (ActKind("tray-decisions", "apart", _authorise, save_detail=_save),)
