"""Finds what a body names, within the club only. What is not there is said as the field's problem."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import Q

from staveward.models import Act, Club, Person, Place
from staveward.services.errors import Impossible


def person_in(club: Club, person_id: UUID, field: str, at: datetime | None = None) -> Person:
    """Returns a person who is in the club now, or was when it happened."""
    person = Person.objects.for_club(club).filter(_is_here(at), pk=person_id).first()
    if person is None:
        raise Impossible.field(
            field, str(person_id), "a person of this club", "Nobody of that key is in this club."
        )
    return person


def _is_here(at: datetime | None) -> Q:
    here = Q(left_at__isnull=True)
    return here if at is None else here | Q(left_at__gt=at)


def place_in(club: Club, place_id: UUID, field: str) -> Place:
    """Returns a place of the club."""
    place = Place.objects.for_club(club).filter(pk=place_id).first()
    if place is None:
        raise Impossible.field(
            field, str(place_id), "a place of this club", "No place of that key is in this club."
        )
    return place


def act_in(club: Club, act_id: UUID, field: str, collection: str | None = None) -> Act:
    """Returns an act of the club, of one collection if that is asked."""
    acts = Act.objects.for_club(club).filter(pk=act_id)
    if collection is not None:
        acts = acts.filter(collection=collection)
    act = acts.select_related("barrel").first()
    if act is None:
        raise Impossible.field(
            field, str(act_id), "an entry of this club", "No entry of that key is in this club."
        )
    return act


def shares_in(
    club: Club, shares: Iterable[dict[str, Any]], field: str, at: datetime | None = None
) -> list[tuple[Person, int]]:
    """Returns persons with their weights; refuses a stranger or somebody named twice."""
    asked = list(shares)
    ids = [share["person"] for share in asked]
    known = {person.pk: person for person in Person.objects.for_club(club).filter(_is_here(at), pk__in=ids)}
    for person_id in ids:
        if person_id not in known:
            raise Impossible.field(
                field, str(person_id), "people of this club", "Nobody of that key is in this club."
            )
    if len(set(ids)) != len(ids):
        raise Impossible.field(
            field, [str(one) for one in ids], "each person once", "Somebody is named twice."
        )
    return [(known[share["person"]], int(share["weight"])) for share in asked]
