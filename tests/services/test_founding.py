"""How a club begins."""

from __future__ import annotations

from typing import Any

import pytest

from staveward.models import Club, Person, Role, User
from staveward.services.errors import Conflict, Impossible
from staveward.services.founding import club_found
from tests.ledger import DAY0

pytestmark = pytest.mark.django_db

GOOD: dict[str, Any] = {
    "name": "Wrackmouth Boat Club",
    "slug": "wrackmouth-boat-club",
    "admin_name": "Tansy",
    "admin_email": "Tansy@Wrackmouth.example",
    "admin_password": "above-the-tide-line",
    "now": DAY0,
}


def test_it_makes_the_club_with_an_admin_who_can_sign_in() -> None:
    club = club_found(**GOOD, settings={"timezone": "Europe/London"})

    admin = Person.objects.get(club=club)
    assert (admin.role, admin.name) == (Role.ADMIN, "Tansy")
    assert User.objects.get(email="tansy@wrackmouth.example").check_password("above-the-tide-line")


def test_it_refuses_a_second_club_of_that_short_name() -> None:
    club_found(**GOOD)

    with pytest.raises(Conflict):
        club_found(**GOOD)
    assert Club.objects.count() == 1


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"slug": "boat/club"}, "slug"),
        ({"slug": "x" * 61}, "slug"),
        ({"admin_password": "12345"}, "password"),
        ({"settings": {"timezone": "Nowhere/Atall"}}, "timezone"),
    ],
)
def test_it_refuses_what_cannot_be_and_leaves_nothing_behind(change: dict[str, Any], field: str) -> None:
    with pytest.raises(Impossible) as refused:
        club_found(**{**GOOD, **change})

    assert refused.value.fields[0].field == field
    assert not Club.objects.exists()
    assert not User.objects.exists()
