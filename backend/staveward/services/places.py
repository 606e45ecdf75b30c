"""Places: rooms where barrels stand, and the climate assumed in them."""

from __future__ import annotations

from collections.abc import Iterable
from uuid import UUID

from django.db import transaction

from staveward.models import Act, Barrel, Place
from staveward.selectors.standing import Standing
from staveward.services import rebuild
from staveward.services.authority import require
from staveward.services.commands import ActCommand, ActKind
from staveward.services.edits import EditCommand, edit_save, unique_checked
from staveward.services.errors import Missing
from staveward.services.feed import FeedRow, feed_publish
from staveward.services.forecasts import forecast_queue
from staveward.services.locking import lock_club

FIELDS = ("name", "walking_order", "temp_c", "rh")
# What evaporates hangs on these where nobody measured.
CLIMATE = frozenset({"temp_c", "rh"})


def _authorise(command: ActCommand, standing: Standing) -> None:
    require(command.author, "register", detail="Only the keeper opens a place.")


def _save(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    named = {name: command.data[name] for name in FIELDS if command.data.get(name) is not None}
    place = Place(id=act.pk, club=command.club, **named)
    unique_checked(place, named)
    place.save(force_insert=True)
    return [("places", place.pk)]


def place_edit(command: EditCommand, place_id: UUID) -> Place:
    """Changes a place; its barrels show it at once."""
    require(command.author, "register", detail="Only the keeper changes a place.")
    with transaction.atomic():
        lock_club(command.club)
        place = Place.objects.for_club(command.club).filter(pk=place_id).first()
        if place is None:
            raise Missing("There is no such place.")
        edit_save(command, place, command.changes, collection="place-edits")
        rows: list[FeedRow] = [("places", place.pk)]
        barrel_ids: list[UUID] = []
        if CLIMATE & command.changes.keys():
            barrel_ids = list(
                Barrel.objects.for_club(command.club).filter(place=place).values_list("pk", flat=True)
            )
            rows += [("barrels", barrel_id) for barrel_id in barrel_ids]
        forecast_queue(rebuild.open_stays(barrel_ids), command.now)
        feed_publish(command.club, rows)
    return place


KINDS = (ActKind("places", "apart", _authorise, save_detail=_save),)
