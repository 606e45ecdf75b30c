"""People as others may see them."""

from __future__ import annotations

from typing import Any

import pytest

from staveward.models import Person
from staveward.selectors.people import person_queryset, person_rows
from tests.factories import PersonFactory
from tests.ledger import DAY0, ClubScene
from tests.reading import queries_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


def rows(scene: ClubScene, by: str) -> dict[str, dict[str, Any]]:
    found = person_rows(person_queryset(scene.club).select_related("user"), scene.people[by])
    return {row["name"]: row for row in found}


def test_address_and_allergens_are_theirs_and_the_keepers(scene: ClubScene) -> None:
    Person.objects.filter(pk=scene.people["sharer"].pk).update(avoid_allergens=["nuts"])

    seen = {by: rows(scene, by)["Sharer"] for by in ("member", "sharer", "keeper")}

    assert (seen["member"]["email"], seen["member"]["avoid_allergens"]) == (None, None)
    assert seen["sharer"]["avoid_allergens"] == seen["keeper"]["avoid_allergens"] == ["nuts"]
    assert seen["keeper"]["email"].startswith("sharer@")
    assert [seen[by]["is_me"] for by in seen] == [False, True, False]


def test_who_left_is_named_as_they_chose(scene: ClubScene) -> None:
    mine = scene.people["sharer"]
    Person.objects.filter(pk=mine.pk).update(left_at=DAY0, keep_name=False)
    Person.objects.filter(pk=scene.people["owner"].pk).update(left_at=DAY0, keep_name=True)

    names = set(rows(scene, "member"))

    assert {"former member", "Owner"} <= names
    assert "Sharer" not in names


def test_more_people_take_no_more_queries(scene: ClubScene) -> None:
    few = queries_of(lambda: rows(scene, "keeper"))
    for number in range(27):
        PersonFactory(club=scene.club, name=f"More {number}")

    assert queries_of(lambda: rows(scene, "keeper")) == few
