"""The changes feed: pages, vanished rows, what each role gets, and when a device must read anew."""

from __future__ import annotations

import threading
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection, transaction

from staveward.models import Change, Club, Place
from staveward.selectors.changes import CursorInvalid, ResyncNeeded, changes_page
from staveward.services.feed import feed_publish, visibility_bump
from tests.ledger import DAY0, ClubScene
from tests.reading import queries_of

pytestmark = pytest.mark.django_db

NOW = DAY0 + timedelta(days=10)


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


def page(
    scene: ClubScene, after: str | None = None, *, by: str = "member", limit: int = 200
) -> dict[str, Any]:
    return changes_page(scene.club, scene.people[by], after, NOW, limit)


def lines(found: dict[str, Any]) -> set[tuple[str, str]]:
    return {(row["collection"], row["id"]) for row in found["rows"]}


def test_a_new_device_reads_everything_that_was_published(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)

    found = page(scene)

    assert lines(found) == {("barrels", str(barrel.pk)), ("log", str(fill.pk))}
    assert found["more"] is False
    rows = {row["collection"]: row["row"] for row in found["rows"]}
    assert rows["barrels"]["contents"]["name"] == "rye, plain"
    assert rows["log"]["body"]["name"] == "rye, plain"
    assert found["server_time"] == "2026-03-11T12:00:00Z"


def test_a_cursor_gives_only_what_came_after(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    cursor = page(scene)["cursor"]
    assert page(scene, cursor)["rows"] == []

    taste = scene.taste(barrel, fill, day=7)

    assert lines(page(scene, cursor)) == {("barrels", str(barrel.pk)), ("log", str(taste.pk))}


def test_pages_of_any_size_give_each_row_once(scene: ClubScene) -> None:
    keys = {uuid4() for _ in range(7)}
    # One commit may publish more than a page holds, so a page may end within one number of the feed.
    feed_publish(scene.club, [("places", key) for key in keys])
    feed_publish(scene.club, [("people", person.pk) for person in scene.people.values()])
    expected = {("places", str(key)) for key in keys} | {
        ("people", str(person.pk)) for person in scene.people.values()
    }

    for size in (1, 2, 3, 5, 100):
        cursor, seen, more = None, [], True
        while more:
            found = page(scene, cursor, limit=size)
            assert len(found["rows"]) <= size
            seen += [(row["collection"], row["id"]) for row in found["rows"]]
            cursor, more = found["cursor"], found["more"]
        assert len(seen) == len(expected)
        assert set(seen) == expected


def test_a_row_changed_while_pages_are_read_comes_again_at_the_end(scene: ClubScene) -> None:
    places = [Place.objects.create(club=scene.club, name=f"Room {number}") for number in range(3)]
    for place in places:
        feed_publish(scene.club, [("places", place.pk)])
    first = page(scene, limit=1)
    feed_publish(scene.club, [("places", places[0].pk)])

    rest = page(scene, first["cursor"])

    assert [row["id"] for row in rest["rows"]] == [str(places[number].pk) for number in (1, 2, 0)]


def test_a_vanished_row_is_null(scene: ClubScene) -> None:
    gone = uuid4()
    feed_publish(scene.club, [("barrels", gone)], vanished=True)

    assert page(scene)["rows"] == [{"collection": "barrels", "id": str(gone), "row": None}]


def test_what_the_reader_may_not_see_of_a_private_fill_is_left_out(scene: ClubScene) -> None:
    scene.fill(scene.barrel(), is_private=True)

    bodies = {
        by: next(row["row"]["body"] for row in page(scene, by=by)["rows"] if row["collection"] == "log")
        for by in ("member", "sharer", "keeper")
    }

    assert bodies["member"] is None
    assert bodies["sharer"] is not None
    assert bodies["keeper"] is not None


def test_a_tablet_gets_names_and_barrels_and_no_log(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.fill(barrel)
    feed_publish(scene.club, [("people", scene.people["member"].pk)])

    assert {row["collection"] for row in page(scene, by="tablet")["rows"]} == {"people", "barrels"}


def test_a_sensor_gets_nothing(scene: ClubScene) -> None:
    scene.fill(scene.barrel())

    assert page(scene, by="sensor")["rows"] == []


def test_another_clubs_changes_stay_there(scene: ClubScene) -> None:
    other = ClubScene()
    other.fill(other.barrel())

    assert page(scene)["rows"] == []


def test_a_change_of_role_share_or_privacy_asks_to_read_anew(scene: ClubScene) -> None:
    cursor = page(scene)["cursor"]
    other = page(scene, by="other_sharer")["cursor"]
    visibility_bump(scene.club, [scene.people["member"].pk])

    with pytest.raises(ResyncNeeded):
        page(scene, cursor)
    assert page(scene, other, by="other_sharer")["rows"] == []
    assert page(scene)["cursor"] != cursor


def test_a_restored_club_asks_to_read_anew(scene: ClubScene) -> None:
    scene.fill(scene.barrel())
    cursor = page(scene)["cursor"]
    Club.objects.filter(pk=scene.club.pk).update(feed_id=uuid4())

    with pytest.raises(ResyncNeeded):
        page(scene, cursor)


def test_a_cursor_from_the_future_of_an_older_copy_asks_to_read_anew(scene: ClubScene) -> None:
    scene.fill(scene.barrel())
    cursor = page(scene)["cursor"]
    Change.objects.filter(club=scene.club).delete()
    Club.objects.filter(pk=scene.club.pk).update(change_seq=0)

    with pytest.raises(ResyncNeeded):
        page(scene, cursor)


def test_a_cursor_of_another_club_asks_to_read_anew(scene: ClubScene) -> None:
    with pytest.raises(ResyncNeeded):
        page(scene, page(ClubScene())["cursor"])


@pytest.mark.parametrize(
    "text",
    [
        "",
        "x",
        "1.2.3",
        "zz.1.1..",
        "0" * 32 + ".1.x..",
        "0" * 32 + ".1.1.log.",
        "0" * 32 + ".1.1.secrets.00",
        "é" * 40,
        "." * 4 + "9" * 400,
    ],
)
def test_what_is_no_cursor_is_refused(scene: ClubScene, text: str) -> None:
    with pytest.raises(CursorInvalid):
        page(scene, text)


def test_a_page_takes_the_same_queries_however_many_rows_it_has(scene: ClubScene) -> None:
    def grow(name: str) -> None:
        barrel = scene.barrel(name)
        scene.taste(barrel, scene.fill(barrel), day=7)

    for number in range(3):
        grow(f"first {number}")
    feed_publish(scene.club, [("people", person.pk) for person in scene.people.values()])
    few = queries_of(lambda: page(scene))
    for number in range(7):
        grow(f"second {number}")

    assert len(page(scene)["rows"]) == 30 + len(scene.people)
    assert queries_of(lambda: page(scene)) == few


@pytest.mark.django_db(transaction=True)
def test_a_late_commit_is_not_skipped() -> None:
    """A write that took its number first and commits last must not be passed by a reader's cursor."""
    scene = ClubScene()
    slow, quick = uuid4(), uuid4()
    started, may_commit = threading.Event(), threading.Event()

    def write_slowly() -> None:
        try:
            with transaction.atomic():
                feed_publish(scene.club, [("barrels", slow)])
                started.set()
                may_commit.wait(10)
        finally:
            connection.close()

    def write_quickly() -> None:
        try:
            with transaction.atomic():
                feed_publish(scene.club, [("barrels", quick)])
        finally:
            connection.close()

    first = threading.Thread(target=write_slowly)
    second = threading.Thread(target=write_quickly)
    first.start()
    assert started.wait(10)
    second.start()
    # While the first holds the club's row the second cannot commit a higher number.
    second.join(0.5)
    assert second.is_alive()
    before = page(scene)
    may_commit.set()
    first.join(20)
    second.join(20)

    after = page(scene, before["cursor"])

    assert before["rows"] == []
    assert [row["id"] for row in after["rows"]] == [str(slow), str(quick)]
