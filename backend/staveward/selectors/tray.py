"""The keeper's tray: entries that arrived and could not be fitted, with what can be done about each."""

from __future__ import annotations

from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import Q, QuerySet

from staveward.models import Act, Barrel, Club, Person, Placement
from staveward.selectors.authority import permits
from staveward.selectors.log import LOG_COLLECTIONS, log_rows
from staveward.selectors.questions import Scope
from staveward.selectors.shapes import instant_text
from staveward.selectors.stays import barrels_owned_by

# Why an entry could not be placed, as a sentence; {barrel} is the barrel's name.
REASONS = {
    "openings_clash": "Another entry says that {barrel} held something else then; the one that arrived first stands.",
    "nothing_to_decant": "There was no fill in {barrel} to decant then.",
    "nothing_curing": "{barrel} was not curing then.",
    "nothing_to_drain": "There was no water in {barrel} to drain then.",
    "retired": "{barrel} was retired before that.",
    "fill_not_placed": "The fill that was tasted is not in {barrel}'s log, or waits here itself.",
    "before_fill": "It is dated before {barrel} was filled.",
    "after_decant": "It is dated after {barrel} was decanted.",
    "already_scored": "The same person scored this fill on the same day already.",
    "already_corrected": "Somebody else corrected the same entry first.",
    "no_water_in_barrel": "{barrel} held no water to change or dose then.",
    "no_such_glass": "No flight that was poured for them that evening has a glass {code}, or it has not arrived yet.",
    "flight_unclear": "Two flights were poured for them that evening, and both have a glass {code}.",
    "flight_open": "The names of the flight with the glass {code} were told before that.",
}
# A blind score is in no log, and waits here where no flight has its glass.
_KEPT = (*LOG_COLLECTIONS, "blind-tastings")
OTHER_REASON = "It does not fit what {barrel}'s log says of that time."


def tray_queryset(club: Club, reader: Person) -> QuerySet[Act]:
    """Returns what waits for a decision and concerns the reader, oldest first.

    Keepers see all of it, owners what came to their barrels, everybody their own entries.
    """
    waiting = (
        Act.objects.for_club(club)
        .filter(placement=Placement.SET_ASIDE, set_aside_settled=False, collection__in=_KEPT)
        # What has been corrected or taken back since waits no longer.
        .filter(Q(is_head=True) | Q(set_aside_reason="already_corrected"), is_void=False)
        .order_by("received_at", "id")
    )
    if permits(reader, "tray_all"):
        return waiting
    owned = barrels_owned_by(reader.pk, Scope(club.pk))
    return waiting.filter(Q(author=reader) | Q(subject=reader) | Q(barrel_id__in=owned))


def tray(club: Club, reader: Person, now: datetime) -> dict[str, Any]:
    """Returns the tray as the reader may see it."""
    acts = list(tray_queryset(club, reader))
    names: dict[UUID, str] = dict(
        Barrel.objects.for_club(club)
        .filter(pk__in={act.barrel_id for act in acts if act.barrel_id is not None})
        .values_list("id", "name")
    )
    all_of_it = permits(reader, "tray_all")
    owned = frozenset() if all_of_it else barrels_owned_by(reader.pk, Scope(club.pk))
    entries = []
    for act, row in zip(acts, log_rows(acts, reader), strict=True):
        name = names.get(act.barrel_id, "") if act.barrel_id is not None else ""
        decides = all_of_it or act.barrel_id in owned
        entries.append(
            {
                **row,
                "barrel_name": name or None,
                "reason_text": REASONS.get(act.set_aside_reason, OTHER_REASON).format(
                    barrel=name or "The barrel", code=act.body.get("code", "")
                ),
                "ways": [
                    # What somebody else corrected first is superseded: there is nothing to mend or to take back.
                    *(() if act.set_aside_reason == "already_corrected" else ("correct", "void")),
                    *(["leave"] if decides else []),
                ],
            }
        )
    return {"made_at": instant_text(now), "entries": entries}
