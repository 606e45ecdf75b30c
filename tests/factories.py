"""Rows to test with, as factory-boy makes them: a club, its people and accounts, its places and barrels."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import factory
from factory.django import DjangoModelFactory

from staveward.models import Barrel, Club, Person, Place, Role, User
from staveward.services.tags import tag_code_new

PASSWORD = "oar and rowlock 7"
JOINED = datetime(2026, 1, 4, 12, 0, tzinfo=UTC)


class UserFactory(DjangoModelFactory[User]):
    """An account that signs in with PASSWORD."""

    class Meta:
        model = User

    email = factory.Sequence(lambda number: f"person{number}@example.test")
    password = factory.django.Password(PASSWORD)


class ClubFactory(DjangoModelFactory[Club]):
    class Meta:
        model = Club

    name = "Wrackmouth Boat Club"
    slug = factory.Sequence(lambda number: f"boat-club-{number}")
    timezone = "Europe/London"
    currency = "GBP"


class PersonFactory(DjangoModelFactory[Person]):
    class Meta:
        model = Person

    club = factory.SubFactory(ClubFactory)
    user = factory.SubFactory(UserFactory)
    name = factory.Sequence(lambda number: f"Person {number}")
    role = Role.MEMBER
    joined_at = JOINED


class PlaceFactory(DjangoModelFactory[Place]):
    class Meta:
        model = Place

    club = factory.SubFactory(ClubFactory)
    name = factory.Sequence(lambda number: f"Place {number}")
    temp_c = 12.0
    rh = 0.75


class BarrelFactory(DjangoModelFactory[Barrel]):
    """A barrel of five litres, whose place belongs to the same club."""

    class Meta:
        model = Barrel

    club = factory.SubFactory(ClubFactory)
    place = factory.SubFactory(PlaceFactory, club=factory.SelfAttribute("..club"))
    name = factory.Sequence(lambda number: f"Barrel {number}")
    nominal_l = 5.0
    registered_at = JOINED

    @factory.lazy_attribute
    def tag_code(self) -> Any:
        return tag_code_new(self.club)  # type: ignore[attr-defined]
