"""People as others may see them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.db.models import QuerySet

from staveward.models import Club, Person
from staveward.selectors.shapes import instant_text


def person_queryset(club: Club) -> QuerySet[Person]:
    """Returns everybody the club knows by name, those who left among them (the log still speaks of them)."""
    return Person.objects.for_club(club)


def person_rows(people: Iterable[Person], reader: Person) -> list[dict[str, Any]]:
    """Returns people as the reader may see them: what they avoid and their address are theirs and the keepers'."""
    return [_row(person, reader) for person in people]


def person_row(person: Person, reader: Person) -> dict[str, Any]:
    """Returns one person as the reader may see them."""
    return _row(person, reader)


def _row(person: Person, reader: Person) -> dict[str, Any]:
    is_me = person.pk == reader.pk
    sees_all = is_me or reader.is_keeper
    return {
        "id": str(person.pk),
        "version": person.version,
        "name": person.shown_name,
        "role": person.role,
        "joined_at": instant_text(person.joined_at),
        "left_at": instant_text(person.left_at),
        "is_me": is_me,
        "email": person.user.email if sees_all and person.user is not None else None,
        "avoid_allergens": list(person.avoid_allergens) if sees_all else None,
    }
