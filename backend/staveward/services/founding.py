"""How a club begins: its row, its first admin, and people whose accounts are made with it.

After that people come by invitation (``services.people``); this is for the command line and the demo.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from allauth.account.models import EmailAddress
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction

from staveward.models import Club, Person, Role, User
from staveward.services.errors import Conflict, Impossible
from staveward.services.feed import feed_publish


def club_found(
    *,
    name: str,
    slug: str,
    admin_name: str,
    admin_email: str,
    admin_password: str,
    now: datetime,
    settings: dict[str, Any] | None = None,
) -> Club:
    """Makes a club and its first admin."""
    values = dict(settings or {})
    _slug_checked(slug)
    _zone_checked(values.get("timezone", "UTC"))
    with transaction.atomic():
        if Club.objects.filter(slug=slug).exists():
            raise Conflict(f"There is a club called {slug} already.", code="club_exists")
        club = Club.objects.create(name=name, slug=slug, **values)
        person_join(
            club, name=admin_name, role=Role.ADMIN, email=admin_email, password=admin_password, joined_at=now
        )
        feed_publish(club, [("club", club.pk)])
    return club


def person_join(
    club: Club,
    *,
    name: str,
    role: str,
    joined_at: datetime,
    email: str = "",
    password: str = "",
    avoid_allergens: Iterable[str] = (),
) -> Person:
    """Makes a person; with an address and a password one who can sign in at once, else one known by name only."""
    with transaction.atomic():
        user = _account(email, password) if email and password else None
        person = Person.objects.create(
            club=club,
            user=user,
            name=name,
            role=role,
            joined_at=joined_at,
            avoid_allergens=list(avoid_allergens),
        )
        feed_publish(club, [("people", person.pk)])
    return person


def _account(email: str, password: str) -> User:
    user = User.objects.filter(email=email.lower()).first()
    if user is not None:
        return user
    try:
        validate_password(password)
    except ValidationError as weak:
        raise Impossible.field(
            "password", "(not shown)", "a password of some length", weak.messages[0]
        ) from weak
    user = User.objects.create_user(email, password)
    EmailAddress.objects.create(user=user, email=user.email, primary=True, verified=True)
    return user


def _slug_checked(slug: str) -> None:
    try:
        Club._meta.get_field("slug").run_validators(slug)
    except ValidationError as odd:
        raise Impossible.field(
            "slug", slug, "letters, digits, hyphens, at most 60", f"{slug!r} cannot stand in an address."
        ) from odd


def _zone_checked(timezone: str) -> None:
    try:
        ZoneInfo(timezone)
    except (ZoneInfoNotFoundError, ValueError) as unknown:
        raise Impossible.field(
            "timezone",
            timezone,
            "a zone of the time zone database, as Europe/London",
            f"No zone is called {timezone}.",
        ) from unknown
