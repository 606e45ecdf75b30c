"""Today's walk: what is due by tonight, late first within a place."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from staveward.models import Club, Place
from staveward.selectors.walk import walk
from tests.ledger import DAY0, ClubScene
from tests.reading import queries_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


def walked(scene: ClubScene, day: float, by: str = "keeper") -> dict[str, Any]:
    return walk(scene.club, scene.people[by], DAY0 + timedelta(days=day))


def cards(found: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {card["name"]: card for place in found["places"] for card in place["barrels"]}


def test_it_shows_what_falls_due_before_midnight(scene: ClubScene) -> None:
    barrel = scene.barrel("Neap", 5.0)
    scene.fill(barrel, day=0)
    for day in (1, 2, 3):
        scene.send("tendings", barrel, day=day, tasks=["leak_check"])

    # Filled on 1 March at noon: the first roll is due on the 8th at noon.
    assert cards(walked(scene, 6.4)) == {}
    morning = cards(walked(scene, 6.8))["Neap"]

    assert [row["task"] for row in morning["due"]] == ["roll", "spigot_check"]
    assert morning["is_late"] is False
    assert morning["all_well"] == ["roll", "leak_check", "spigot_check"]
    assert morning["mass_full_kg"] > 5.0


def test_late_barrels_come_first_within_their_place(scene: ClubScene) -> None:
    loft = Place.objects.create(club=scene.club, name="Loft", walking_order=1)
    for name, day in (("A soon", 3.0), ("B late", 0.0), ("C late", 0.0)):
        scene.fill(scene.barrel(name), day=day)
    loft_barrel = scene.barrel("D loft")
    scene.fill(loft_barrel, day=0)
    scene.send("moves", loft_barrel, day=1, place=loft.pk)

    found = walked(scene, 4.5)

    assert [(place["name"], [card["name"] for card in place["barrels"]]) for place in found["places"]] == [
        ("Under the boathouse", ["B late", "C late", "A soon"]),
        ("Loft", ["D loft"]),
    ]
    assert (found["due"], found["late"]) == (4, 3)


def test_a_tended_barrel_is_counted_as_done(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.fill(barrel, day=0)
    scene.send("tendings", barrel, day=7.1, tasks=["roll", "leak_check", "spigot_check"])

    found = walked(scene, 7.2)

    assert found["done_today"] == 1
    assert cards(found) == {}
    assert walked(scene, 8.2)["done_today"] == 0


@pytest.mark.parametrize(
    ("bung_tight", "clock", "following"),
    [(True, 12, 4), (True, 4, 8), (True, 8, 12), (False, 12, 12), (False, 4, 12)],
)
def test_a_hold_is_turned_on_by_a_third_and_a_doubtful_bung_rests_up(
    scene: ClubScene, bung_tight: bool, clock: int, following: int
) -> None:
    """A third a week (common practice, no source); a bung that is not known to be tight never rests under liquid."""
    barrel = scene.barrel(bung_tight=bung_tight)
    scene.send("holds", barrel, day=0, water_l=2.5, bung_clock=clock)

    card = cards(walked(scene, 8))["Neap"]

    assert (card["bung_clock"], card["next_bung_clock"]) == (clock, following)
    assert card["all_well"] == ["roll", "leak_check"]
    assert card["water"]["changed_at"] == "2026-03-01T12:00:00Z"


def test_a_place_says_when_its_climate_wants_reading(scene: ClubScene) -> None:
    scene.send("readings", day=2, kind="climate", place=scene.place.pk, temp_c=12.0, rh=0.7)

    climate = walked(scene, 3)["places"][0]["climate"]

    assert climate["last_at"] == "2026-03-03T12:00:00Z"
    assert climate["due_at"] == "2026-03-10T12:00:00Z"


def test_thirty_barrels_take_as_many_queries_as_three(scene: ClubScene) -> None:
    for number in range(3):
        scene.fill(scene.barrel(f"first {number}"), day=0)
    club = Club.objects.get(pk=scene.club.pk)

    def read() -> dict[str, Any]:
        return walk(club, scene.people["keeper"], DAY0 + timedelta(days=9))

    few = queries_of(read)
    for number in range(27):
        scene.fill(scene.barrel(f"second {number}"), day=0)

    assert read()["due"] == 30
    assert queries_of(read) == few
