"""Today's walk: what is due, barrel by barrel, in the order somebody walks past them."""

from __future__ import annotations

from collections import defaultdict
from datetime import datetime, time, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from staveward.models import Club, Person, Place
from staveward.science.vocabulary import BarrelState, TendingKind
from staveward.selectors.barrels import BUNG_UP, BarrelView, Cellar, barrel_queryset
from staveward.selectors.care import CareDue
from staveward.selectors.clubs import club_today_text
from staveward.selectors.shapes import instant_text
from staveward.selectors.stays import climate_read_at_by_place

# What one "All well" says of a barrel: turned, looked at, spigot moved. Never a measurement, a taste or water.
ALL_WELL = {
    BarrelState.FILLED.value: (TendingKind.ROLL, TendingKind.LEAK_CHECK, TendingKind.SPIGOT_CHECK),
    BarrelState.HELD.value: (TendingKind.ROLL, TendingKind.LEAK_CHECK),
}
CLOCK = 12
THIRD = 4


def walk(club: Club, reader: Person, now: datetime) -> dict[str, Any]:
    """Returns what is due by the end of today, place by place, late barrels first within a place."""
    cellar = Cellar(list(barrel_queryset(club)), club, reader, now)
    zone = ZoneInfo(club.timezone)
    midnight = datetime.combine(now.astimezone(zone).date(), time(), zone)
    tonight = midnight + timedelta(days=1)
    cards: defaultdict[UUID, list[dict[str, Any]]] = defaultdict(list)
    done_today = 0
    for view in cellar.views:
        due = [row for row in view.care() if row.due_at < tonight]
        if due:
            cards[view.barrel.place_id].append(_card(view, due, now))
        if any(last_at >= midnight for last_at in view.marks.values()):
            done_today += 1
    read_at = climate_read_at_by_place(club.pk)
    places = []
    in_order: list[dict[str, Any]] = []
    for place in Place.objects.for_club(club):
        here = sorted(cards.get(place.pk, []), key=lambda card: (not card["is_late"], card["name"]))
        in_order += here
        places.append(
            {
                "id": str(place.pk),
                "name": place.name,
                "climate": cellar.care_book.climate(read_at.get(place.pk), club.created_at).as_row(),
                "barrels": here,
            }
        )
    return {
        "made_at": instant_text(now),
        "today": club_today_text(club, now),
        "due": len(in_order),
        "late": sum(1 for card in in_order if card["is_late"]),
        "done_today": done_today,
        "places": places,
    }


def next_bung_clock(view: BarrelView) -> int | None:
    """Returns where the bung should point after the next turn, or None where nothing is turned.

    A fill is rolled once round and rests bung up, and so does whatever has a bung that is not known to be tight. A hold
    behind a tight bung goes on by a third, so that no stave stays dry for long.
    """
    if view.state[0] == BarrelState.FILLED:
        return BUNG_UP
    if view.state[0] != BarrelState.HELD or view.stay is None:
        return None
    clock = view.stay.bung_clock
    if view.barrel.bung_tight:
        return (clock + THIRD - 1) % CLOCK + 1
    return BUNG_UP


def _card(view: BarrelView, due: list[CareDue], now: datetime) -> dict[str, Any]:
    state, _ = view.state
    return {
        "id": str(view.barrel.pk),
        "name": view.barrel.name,
        "tag_code": view.barrel.tag_code,
        "capacity_l": round(view.capacity_l, 3),
        "mass_full_kg": view.mass_full_kg(),
        "state": state,
        "bung_clock": view.stay.bung_clock if view.stay is not None else BUNG_UP,
        "next_bung_clock": next_bung_clock(view),
        "is_late": any(row.late_at <= now for row in due),
        "due": [row.as_row() for row in due],
        "all_well": [task.value for task in ALL_WELL.get(state, ())],
        "water": view.water_row(),
        "now": view.now_row(),
        "troubles": view.trouble_rows(),
        "may_taste": view.may_taste,
    }
