"""The barrel log as its reader may see it."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from staveward.models import Act, Barrel
from staveward.selectors.log import lines_of, log_of_barrel, log_of_keys, log_queryset, log_rows
from tests.ledger import ClubScene
from tests.reading import queries_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


def log(scene: ClubScene, barrel: Barrel, by: str = "member") -> list[dict[str, Any]]:
    reader = scene.people[by]
    return log_rows(lines_of(log_of_barrel(scene.club, barrel.pk, reader)), reader)


def a_private_life(scene: ClubScene, name: str = "Neap") -> Barrel:
    barrel = scene.barrel(name)
    fill = scene.fill(barrel, day=0, is_private=True)
    scene.taste(barrel, fill, day=7)
    scene.send("tendings", barrel, day=8, tasks=["roll"])
    scene.send("tendings", barrel, day=9, tasks=["top_up"], volume_l=0.1, abv_pct=55.0)
    scene.send("readings", barrel, day=10, kind="alcoholmeter", abv_apparent_pct=54.0, temp_c=15.0)
    scene.send("troubles", barrel, day=11, kind="leak")
    scene.send("decants", barrel, day=20, measured_volume_l=4.4)
    return barrel


def test_it_lists_what_happened_newest_first(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel, day=0)
    taste = scene.taste(barrel, fill, day=7)
    other = scene.barrel("Fetch")
    scene.fill(other, day=1)

    rows = log(scene, barrel)

    assert [row["collection"] for row in rows] == ["tastings", "fills"]
    newest = rows[0]
    assert newest["id"] == str(taste.pk)
    assert newest["barrel"] == str(barrel.pk)
    assert newest["stay"] == str(fill.pk)
    assert newest["author"] == newest["subject"] == str(scene.people["sharer"].pk)
    assert newest["happened_at"] == "2026-03-08T12:00:00Z"
    assert (newest["placement"], newest["is_head"], newest["is_void"]) == ("placed", True, False)
    assert newest["body"]["liking"] == 7.5


def test_a_private_fill_hides_what_tells_of_it_from_those_outside(scene: ClubScene) -> None:
    rows = log(scene, a_private_life(scene))

    shown = {(row["collection"], row["body"] is not None) for row in rows}

    assert shown == {
        ("decants", False),
        ("troubles", True),
        ("readings", False),
        ("tendings", False),
        ("tendings", True),
        ("tastings", False),
        ("fills", False),
    }
    assert next(row for row in rows if row["collection"] == "tastings")["subject"] is None


@pytest.mark.parametrize("by", ["sharer", "other_sharer", "keeper", "admin"])
def test_a_private_fill_is_open_to_its_people(scene: ClubScene, by: str) -> None:
    assert all(row["body"] is not None for row in log(scene, a_private_life(scene), by))


def test_an_owner_of_the_wood_sees_the_outline_only(scene: ClubScene) -> None:
    barrel = a_private_life(scene)
    scene.send("ownerships", barrel, day=1, shares=[{"person": scene.people["owner"].pk, "weight": 1}])

    assert next(row for row in log(scene, barrel, "owner") if row["collection"] == "fills")["body"] is None


def test_a_fill_made_private_hides_its_open_past_too(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel, day=0)
    scene.taste(barrel, fill, day=7)
    assert all(row["body"] is not None for row in log(scene, barrel))

    scene.fill(barrel, day=0, replaces=fill.pk, is_private=True)

    rows = log(scene, barrel)
    assert {row["collection"]: row["body"] for row in rows} == {"fills": None, "tastings": None}
    assert [row["is_head"] for row in rows if row["collection"] == "fills"].count(False) == 1
    assert all(row["body"] is not None for row in log(scene, barrel, "sharer"))


def test_another_fill_of_the_barrel_stays_readable(scene: ClubScene) -> None:
    barrel = a_private_life(scene)
    scene.fill(barrel, day=30, name="for all")

    bodies = {row["id"]: row["body"] for row in log(scene, barrel) if row["collection"] == "fills"}

    assert [body["name"] for body in bodies.values() if body is not None] == ["for all"]


def test_costs_are_the_sharers_and_the_keepers(scene: ClubScene) -> None:
    barrel = scene.barrel()
    parts = [{"name": "rye", "volume_l": 4.7, "abv_pct": 55.0, "cost_minor": 12_500}]
    scene.fill(barrel, day=0, parts=parts)

    def cost(by: str) -> Any:
        return log(scene, barrel, by)[0]["body"]["parts"][0].get("cost_minor")

    assert {by: cost(by) for by in ("member", "owner", "sharer", "keeper")} == {
        "member": None,
        "owner": None,
        "sharer": 12_500,
        "keeper": 12_500,
    }
    assert Act.objects.get(collection="fills").body["parts"][0]["cost_minor"] == 12_500


def test_a_private_fill_set_aside_is_hidden_as_well(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.fill(barrel, day=0)
    late = scene.fill(barrel, day=1, name="clashes", is_private=True)
    late.refresh_from_db()
    assert late.placement == "set_aside"

    row = next(row for row in log(scene, barrel) if row["id"] == str(late.pk))

    assert row["body"] is None


def test_registers_settings_and_people_are_no_part_of_the_log(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    Act.objects.filter(pk=fill.pk).update(collection="people")

    assert log(scene, barrel, "admin") == []


def test_a_sensor_reads_back_only_its_own_climate(scene: ClubScene) -> None:
    climate = {"kind": "climate", "place": scene.place.pk, "temp_c": 12.0, "rh": 0.7}
    mine = scene.send("readings", by="sensor", day=1, **climate)
    scene.send("readings", by="keeper", day=2, **climate)
    scene.fill(scene.barrel())

    assert [act.pk for act in log_queryset(scene.club, scene.people["sensor"])] == [mine.pk]


def test_thirty_entries_take_as_many_queries_as_three(scene: ClubScene) -> None:
    a_private_life(scene, "one")
    reader = scene.people["member"]

    def read() -> list[dict[str, Any]]:
        return log_rows(log_queryset(scene.club, reader), reader)

    few = queries_of(read)
    for number in range(5):
        a_private_life(scene, f"more {number}")

    assert len(read()) > 30
    assert queries_of(read) == few


@pytest.mark.parametrize("by", ["keeper", "member"])
def test_lines_read_as_text_say_what_the_entries_at_hand_do(scene: ClubScene, by: str) -> None:
    barrel = a_private_life(scene)
    # To the second, to the millisecond with and without last zeros, and less than a millisecond.
    for number, microseconds in enumerate((0, 120_000, 123_456, 7)):
        late = timedelta(microseconds=microseconds)
        scene.send("moves", barrel, day=21 + number + late / timedelta(days=1), place=scene.place.pk)
    reader = scene.people[by]
    at_hand = log_rows(log_queryset(scene.club, reader), reader)
    keys = list(Act.objects.filter(club=scene.club).values_list("pk", flat=True))

    assert log(scene, barrel, by) == at_hand
    assert sorted(
        log_rows(log_of_keys(scene.club, keys, reader), reader), key=lambda row: str(row["id"])
    ) == sorted(at_hand, key=lambda row: str(row["id"]))
    fractions = {row["happened_at"][19:] for row in at_hand if row["collection"] == "moves"}
    assert fractions == {"Z", ".120Z", ".123Z", ".000Z"}


def test_keys_of_another_club_find_nothing(scene: ClubScene) -> None:
    fill = scene.fill(scene.barrel(), day=0)
    elsewhere = ClubScene("Longshore Rowers")
    foreign = elsewhere.fill(elsewhere.barrel(), day=0)

    found = log_of_keys(scene.club, [fill.pk, foreign.pk], scene.people["admin"])

    assert [line.id for line in found] == [str(fill.pk)]


def test_entries_of_the_feed_are_looked_up_by_their_keys_alone(scene: ClubScene) -> None:
    """However long the club's ledger is: with a club to look for, SQLite reads all of it for each page."""
    fill = scene.fill(scene.barrel(), day=0)

    with CaptureQueriesContext(connection) as asked:
        log_of_keys(scene.club, [fill.pk], scene.people["admin"])

    (sql,) = [query["sql"] for query in asked.captured_queries]
    condition = sql.partition(" WHERE ")[2]
    assert "club_id" not in condition
    assert "ORDER BY" not in condition
