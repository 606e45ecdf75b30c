"""Moves: a barrel carried to another place."""

from __future__ import annotations

from collections.abc import Iterable
from uuid import UUID

from staveward.models import Act, Barrel
from staveward.services.commands import ActCommand, ActKind
from staveward.services.curings import cellar_work
from staveward.services.feed import FeedRow
from staveward.services.lookup import place_in


def barrel_place_lay(barrel_id: UUID) -> None:
    """Puts a barrel where its newest move says it stands, whatever order the moves came in.

    With every move taken back it stands again where it was registered.
    """
    newest = (
        Act.objects.filter(barrel_id=barrel_id, collection="moves", is_head=True, is_void=False)
        .order_by("-ordered_at", "-id")
        .values_list("body__place", flat=True)
        .first()
    )
    if newest is None:
        registered = Act.objects.filter(pk=barrel_id, collection="barrels")
        newest = registered.values_list("body__place", flat=True).first()
    if newest is not None:
        Barrel.objects.filter(pk=barrel_id).update(place_id=newest)


def _save(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    assert command.barrel is not None
    place_in(command.club, command.data["place"], "place")
    barrel_place_lay(command.barrel.pk)
    return ()


KINDS = (ActKind("moves", "event", cellar_work, save_detail=_save),)
