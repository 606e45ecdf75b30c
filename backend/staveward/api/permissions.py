"""Which club and which person a request is about. A stranger learns nothing: everything is 404."""

from __future__ import annotations

from contextlib import suppress
from uuid import UUID

from django.db.models import Q

from staveward.models import Person, User
from staveward.services.errors import Missing

NO_CLUB = "There is no such club, or you are not in it."


def member_of(user: User, club: str) -> Person:
    """Returns who an account is in the club that the address names by its short name or its id."""
    if "\x00" in club:
        raise Missing(NO_CLUB)
    named = Q(club__slug=club)
    with suppress(ValueError):
        named |= Q(club_id=UUID(club))
    person = Person.objects.filter(named, user=user, left_at__isnull=True).select_related("club").first()
    if person is None:
        raise Missing(NO_CLUB)
    person.user = user
    return person
