"""Asking for a barrel's days: who gets them, who waits, who may decide, and what lapses."""

from __future__ import annotations

import threading
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import IntegrityError, connection, transaction

from staveward.models import (
    Act,
    Change,
    Notice,
    Reservation,
    ReservationDay,
    ReservationState,
)
from staveward.selectors.notices import notice_queryset, notice_rows
from staveward.services.errors import Conflict, Forbidden, Impossible, Refusal
from tests.ledger import DAY0
from tests.reserving import ReservingScene, on

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene() -> ReservingScene:
    return ReservingScene()


def days_of(reservation: Reservation) -> int:
    return ReservationDay.objects.filter(reservation=reservation).count()


# --- asking ----------------------------------------------------------------------------------------------


def test_the_first_to_ask_is_pencilled_and_owns_its_days(scene: ReservingScene) -> None:
    barrel = scene.cured()

    mine = scene.ask(barrel, 10, 40)

    assert mine.state == ReservationState.PENCILLED
    assert days_of(mine) == 30
    assert mine.expires_at == DAY0 + timedelta(days=scene.club.pencil_days)
    assert [(share.person_id, share.weight) for share in mine.shares.all()] == [
        (scene.people["member"].pk, 1)
    ]
    assert Act.objects.get(pk=mine.pk).collection == "reservations"
    changed = set(Change.objects.filter(club=scene.club).values_list("collection", "row_id"))
    assert {("reservations", mine.pk), ("barrels", barrel.pk)} <= changed


def test_the_second_to_ask_for_the_same_days_waits(scene: ReservingScene) -> None:
    barrel = scene.cured()
    scene.ask(barrel, 10, 40)

    late = scene.ask(barrel, 39, 60, by="sharer")

    assert late.state == ReservationState.WAITING
    assert days_of(late) == 0
    assert late.expires_at is None


def test_dates_that_only_touch_do_not_clash(scene: ReservingScene) -> None:
    """Half-open: one may start on the day another ends."""
    barrel = scene.cured()
    scene.ask(barrel, 10, 40)

    assert scene.ask(barrel, 40, 60, by="sharer").state == ReservationState.PENCILLED
    assert scene.ask(barrel, 5, 10, by="owner").state == ReservationState.PENCILLED


def test_another_barrel_is_another_matter(scene: ReservingScene) -> None:
    scene.ask(scene.cured("Neap"), 10, 40)

    assert scene.ask(scene.cured("Ebb"), 10, 40, by="sharer").state == ReservationState.PENCILLED


def test_days_of_what_lies_in_the_barrel_are_taken(scene: ReservingScene) -> None:
    """A fill holds the barrel for its planned days and those of turning round."""
    barrel = scene.cured()
    scene.fill(barrel, day=0, planned_days=20)

    assert scene.ask(barrel, 20, 30).state == ReservationState.WAITING
    assert scene.ask(barrel, 21, 30, by="sharer").state == ReservationState.PENCILLED


def test_storage_water_yields(scene: ReservingScene) -> None:
    barrel = scene.cured()
    scene.send("holds", barrel, day=0, water_l=2.5)

    assert scene.ask(barrel, 0, 30).state == ReservationState.PENCILLED


def test_the_same_request_twice_is_one_reservation(scene: ReservingScene) -> None:
    barrel, key = scene.cured(), uuid4()
    first = scene.ask(barrel, act_id=key)
    again = scene.ask(barrel, act_id=key)

    assert first == again
    assert Reservation.objects.filter(barrel=barrel).count() == 1
    with pytest.raises(Conflict) as refused:
        scene.ask(barrel, act_id=key, fill_name="rum")
    assert refused.value.code == "id_reused"


@pytest.mark.parametrize(
    ("field", "first", "last"),
    [
        ("ends_on", 10, 10),
        ("ends_on", 10, 9),
        ("starts_on", -1, 20),
        ("ends_on", 10, 1200),
        ("starts_on", 1200, 1210),
    ],
)
def test_it_refuses_dates_that_cannot_be(scene: ReservingScene, field: str, first: int, last: int) -> None:
    """Out of order, over already, longer or further than three years."""
    with pytest.raises(Impossible) as refused:
        scene.ask(scene.cured(), first, last)

    assert refused.value.fields[0].field == field
    assert not Reservation.objects.exists()


def test_today_is_the_clubs_today(scene: ReservingScene) -> None:
    """At half past eleven at night in UTC it is tomorrow already in Auckland."""
    barrel = scene.cured()
    scene.club.timezone = "Pacific/Auckland"
    scene.club.save()
    scene.people["member"].refresh_from_db()

    with pytest.raises(Impossible):
        scene.ask(barrel, 0, 10, day=0.48)
    assert scene.ask(barrel, 1, 10, day=0.48).state == ReservationState.PENCILLED


def test_it_refuses_more_than_any_barrel_of_that_size_could_hold(scene: ReservingScene) -> None:
    with pytest.raises(Impossible) as refused:
        scene.ask(scene.cured(), volume_l=5.6)

    assert refused.value.fields[0].field == "volume_l"


@pytest.mark.parametrize(
    ("code", "changes", "words"),
    [
        ("too_big", {"volume_l": 5.2}, "holds 5 L"),
        ("too_small", {"volume_l": 4.0}, "too large"),
        ("too_weak", {"abv_pct": 14.0}, "15 % vol"),
        ("too_strong", {"abv_pct": 71.0}, "at most 70 % vol"),
    ],
)
def test_a_rule_says_no_with_its_reason(
    scene: ReservingScene, code: str, changes: dict[str, Any], words: str
) -> None:
    with pytest.raises(Conflict) as refused:
        scene.ask(scene.cured(), **changes)

    assert refused.value.code == code
    assert words in refused.value.detail
    assert not Act.objects.filter(collection="reservations").exists()


def test_it_refuses_what_the_last_fills_would_spoil(scene: ReservingScene) -> None:
    barrel = scene.cured()
    scene.fill(barrel, day=-8, name="smoky agave", family="smoke", spirit="agave")
    scene.send("decants", barrel, day=-1, measured_volume_l=4.2)

    with pytest.raises(Conflict) as refused:
        scene.ask(barrel, family="neutral")
    assert refused.value.code == "carry_over"
    assert scene.ask(barrel, family="smoke").state == ReservationState.PENCILLED


def test_it_refuses_oak_from_spent_wood(scene: ReservingScene) -> None:
    """Spent wood gives no oak; as a plain vessel it still serves."""
    barrel = scene.cured(adopted=True, adopted_wood_used_low=1.0, adopted_wood_used_high=1.2)

    with pytest.raises(Conflict) as refused:
        scene.ask(barrel, oak_wish=3)
    assert refused.value.code == "wood_spent"
    assert scene.ask(barrel, oak_wish=1).state == ReservationState.PENCILLED


def test_a_retired_barrel_is_not_reserved(scene: ReservingScene) -> None:
    barrel = scene.cured()
    scene.send("retirements", barrel, day=-1, reason="a hoop gave way")

    with pytest.raises(Conflict) as refused:
        scene.ask(barrel)
    assert refused.value.code == "retired"


def test_a_barrel_in_quarantine_is_not_reserved(scene: ReservingScene) -> None:
    barrel = scene.cured()
    trouble = scene.send("troubles", barrel, day=-1, kind="off_smell", quarantine=True)

    with pytest.raises(Conflict) as refused:
        scene.ask(barrel)
    assert refused.value.code == "quarantine"

    scene.send("trouble-settlements", barrel, day=-0.5, trouble=trouble.pk, outcome="sound")
    assert scene.ask(barrel).state == ReservationState.PENCILLED


def test_a_barrel_that_was_given_up_is_not_reserved(scene: ReservingScene) -> None:
    barrel = scene.barrel()
    scene.send("curings", barrel, day=-9, water_l=5.0)
    scene.send("curing-verdicts", barrel, day=-2, verdict="given_up", reason="it will not close")

    with pytest.raises(Conflict) as refused:
        scene.ask(barrel)
    assert refused.value.code == "not_tight"


# --- allergens: hard, and each for themselves ------------------------------------------------------------


def test_an_allergen_stops_whoever_avoids_it_until_they_say_yes(scene: ReservingScene) -> None:
    barrel = scene.cured(adopted=True, adopted_allergens=["nuts"])
    member = scene.people["member"]
    member.avoid_allergens = ["nuts"]
    member.save()

    with pytest.raises(Conflict) as refused:
        scene.ask(barrel)
    assert refused.value.code == "allergen"
    assert "nuts, which you avoid" in refused.value.detail

    assert scene.ask(barrel, allergens_seen=True).state == ReservationState.PENCILLED


def test_nobody_says_yes_for_another_sharer(scene: ReservingScene) -> None:
    barrel = scene.cured(adopted=True, adopted_allergens=["nuts", "milk"])
    sharer = scene.people["sharer"]
    sharer.avoid_allergens = ["milk"]
    sharer.save()
    both = [{"person": scene.people[name].pk, "weight": 1} for name in ("member", "sharer")]

    with pytest.raises(Conflict) as refused:
        scene.ask(barrel, sharers=both, allergens_seen=True)
    assert refused.value.code == "allergen"
    assert "milk, which a sharer avoids" in refused.value.detail
    assert (
        scene.ask(barrel, by="sharer", sharers=both, allergens_seen=True).state == ReservationState.PENCILLED
    )


# --- sharers ---------------------------------------------------------------------------------------------


def test_it_keeps_the_sharers_with_their_weights(scene: ReservingScene) -> None:
    named = [
        {"person": scene.people["sharer"].pk, "weight": 2},
        {"person": scene.people["member"].pk, "weight": 1},
    ]

    mine = scene.ask(scene.cured(), sharers=named)

    assert {(share.person_id, share.weight) for share in mine.shares.all()} == {
        (one["person"], one["weight"]) for one in named
    }


def test_it_refuses_strangers_devices_and_doubles_as_sharers(scene: ReservingScene) -> None:
    barrel, other_club = scene.cured(), ReservingScene("Another Club")
    member = scene.people["member"].pk
    for named in (
        [other_club.people["member"].pk],
        [scene.people["tablet"].pk],
        [member, member],
        [uuid4()],
    ):
        with pytest.raises(Impossible) as refused:
            scene.ask(barrel, sharers=[{"person": one, "weight": 1} for one in named])
        assert refused.value.fields[0].field == "sharers"


# --- who may ---------------------------------------------------------------------------------------------


def test_people_reserve_and_devices_do_not(scene: ReservingScene) -> None:
    barrel = scene.cured()
    for number, by in enumerate(("member", "sharer", "owner", "keeper", "admin")):
        mine = scene.ask(barrel, 10 + 5 * number, 15 + 5 * number, by=by)
        assert mine.state == ReservationState.PENCILLED
    for by in ("tablet", "sensor"):
        with pytest.raises(Forbidden):
            scene.ask(barrel, 90, 95, by=by)


# --- two at once -----------------------------------------------------------------------------------------


def test_a_fill_taken_back_gives_the_reservation_its_days_again(scene: ReservingScene) -> None:
    barrel = scene.cured()
    mine = scene.ask(barrel, 0, 30)
    scene.decide(mine, "confirm", day=0.1)
    fill = scene.fill(barrel, day=0.2, reservation=mine.pk)
    mine.refresh_from_db()
    assert (mine.state, days_of(mine)) == (ReservationState.FILLED, 0)

    scene.send("voids", day=0.3, act=fill.pk, reason="it went into another barrel")

    mine.refresh_from_db()
    assert (mine.state, days_of(mine)) == (ReservationState.CONFIRMED, 30)


def test_a_fill_that_is_set_aside_fulfils_nothing_until_it_has_its_place(scene: ReservingScene) -> None:
    barrel = scene.cured()
    other = scene.fill(barrel, day=0)
    mine = scene.ask(barrel, 100, 130)
    fill = scene.fill(barrel, day=0.5, reservation=mine.pk)
    mine.refresh_from_db()
    assert (fill.placement, mine.state) == ("set_aside", ReservationState.PENCILLED)

    scene.send("voids", day=1, act=other.pk, reason="it went into another barrel")

    mine.refresh_from_db()
    assert mine.state == ReservationState.FILLED


def test_a_fill_revives_no_reservation_that_was_refused(scene: ReservingScene) -> None:
    barrel = scene.cured()
    mine = scene.ask(barrel, 0, 30)
    scene.decide(mine, "refuse", day=0.1, reason="the barrel is promised")
    scene.fill(barrel, day=0.2, reservation=mine.pk)

    mine.refresh_from_db()
    assert mine.state == ReservationState.REFUSED


def test_a_sharer_fills_on_nobody_elses_reservation(scene: ReservingScene) -> None:
    scene.club.sharers_may_fill = True
    scene.club.save()
    for person in scene.people.values():
        person.refresh_from_db()
    barrel = scene.cured()
    theirs, own = scene.ask(barrel, 0, 30, by="member"), scene.ask(barrel, 40, 60, by="sharer")

    with pytest.raises(Forbidden):
        scene.fill(barrel, day=0.2, by="sharer", reservation=theirs.pk)
    assert scene.fill(barrel, day=0.2, by="sharer", reservation=own.pk).placement == "placed"


def test_the_database_itself_gives_a_day_only_once(scene: ReservingScene) -> None:
    barrel = scene.cured()
    mine, late = scene.ask(barrel), scene.ask(barrel, by="sharer")

    with pytest.raises(IntegrityError), transaction.atomic():
        ReservationDay.objects.create(barrel=barrel, day=on(20), reservation=late)
    assert days_of(mine) == 30


@pytest.mark.django_db(transaction=True)
def test_of_many_who_ask_at_once_exactly_one_is_pencilled() -> None:
    """Six people, one barrel, the same weeks, at the same moment: five wait, nobody gets an error."""
    scene = ReservingScene()
    barrel = scene.cured()
    names = ["member", "sharer", "other_sharer", "owner", "keeper", "admin"]
    gate, errors = threading.Barrier(len(names)), []

    def ask(by: str, first: int) -> None:
        try:
            gate.wait(10)
            scene.ask(barrel, first, first + 30, by=by)
        except (Refusal, Exception) as error:
            errors.append(error)
        finally:
            connection.close()

    threads = [threading.Thread(target=ask, args=(by, 10 + number)) for number, by in enumerate(names)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)

    states = sorted(Reservation.objects.filter(barrel=barrel).values_list("state", flat=True))
    assert errors == []
    assert states == ["pencilled", *["waiting"] * 5]
    assert ReservationDay.objects.filter(barrel=barrel).count() == 30


# --- the end of a barrel --------------------------------------------------------------------------------------


def test_retiring_a_barrel_lets_its_reservations_lapse_and_tells_who_had_them(scene: ReservingScene) -> None:
    barrel = scene.cured()
    mine, waiting = scene.ask(barrel, 10, 40), scene.ask(barrel, 20, 50, by="sharer")
    gone = scene.send("retirements", barrel, day=2, reason="worm in the head")

    for asked in (mine, waiting):
        asked.refresh_from_db()
        assert asked.state == ReservationState.EXPIRED
        assert asked.reason == f"{barrel.name} was retired: worm in the head"
        assert days_of(asked) == 0
    told = dict(Notice.objects.filter(act=gone).values_list("person__name", "why"))
    assert told == {"Member": "reserver", "Sharer": "reserver"}
    (shown,) = notice_rows(notice_queryset(scene.club, scene.people["member"], DAY0 + timedelta(days=3)))
    assert (shown["kind"], shown["outcome"], shown["cause"]) == (None, "retired", "worm in the head")
    changed = set(Change.objects.filter(club=scene.club).values_list("collection", "row_id"))
    assert {("reservations", mine.pk), ("reservations", waiting.pk)} <= changed
