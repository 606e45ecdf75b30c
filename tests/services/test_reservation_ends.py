"""A retirement that is taken back gives back the reservations it ended, whatever came in between, and in any order."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from itertools import permutations
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.db import transaction

from staveward.models import (
    Act,
    Barrel,
    Change,
    Notice,
    Reservation,
    ReservationDay,
    ReservationEnd,
    ReservationState,
)
from staveward.selectors.notices import notice_queryset, notice_rows
from staveward.services.club_check import club_check
from staveward.services.errors import Conflict
from staveward.services.reservation_days import CAME_FREE, DAYS_PASSED, reservation_expire
from staveward.services.reservation_ends import GIVEN_AWAY
from tests.ledger import DAY0
from tests.reserving import ReservingScene, on

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene(monkeypatch: pytest.MonkeyPatch) -> ReservingScene:
    """A club whose server's clock stands on the scene's fifth day; a test may move it."""
    at(monkeypatch, 5)
    return ReservingScene()


def at(monkeypatch: pytest.MonkeyPatch, day: float) -> None:
    monkeypatch.setattr("django.utils.timezone.now", lambda: DAY0 + timedelta(days=day))


def stands(barrel: Barrel) -> list[dict[str, Any]]:
    """Returns all that is kept of a barrel's reservations, but for how often they were written."""
    fields = ("state", "expires_at", "reason", "starts_on", "ends_on", "decided_by_id", "person__name")
    return [
        {
            **row,
            "days": ReservationDay.objects.filter(
                barrel=barrel, reservation__starts_on=row["starts_on"]
            ).count(),
        }
        for row in Reservation.objects.filter(barrel=barrel).order_by("starts_on", "id").values(*fields)
    ]


def news(scene: ReservingScene, who: str, day: float = 6) -> list[tuple[str, str, str]]:
    rows = notice_rows(notice_queryset(scene.club, scene.people[who], DAY0 + timedelta(days=day)))
    return [(row["why"], row["outcome"], row["cause"]) for row in rows]


def found(scene: ReservingScene) -> set[str]:
    """Returns what the club's self-check says of reservations."""
    faults = club_check(scene.club, DAY0 + timedelta(days=6))
    return {fault.code for fault in faults} & {"end_differs", "days_differ"}


class Booked:
    """A barrel with one reservation confirmed, one waiting behind it, and one pencilled later."""

    def __init__(self, scene: ReservingScene, name: str = "Neap") -> None:
        self.barrel = scene.cured(name)
        self.mine = scene.ask(self.barrel, 10, 40)
        self.waiting = scene.ask(self.barrel, 20, 50, by="sharer")
        self.later = scene.ask(
            self.barrel,
            60,
            90,
            by="owner",
            sharers=[{"person": scene.people[name].pk, "weight": 1} for name in ("owner", "other_sharer")],
        )
        scene.decide(self.mine, "confirm", day=0.5, reason="welcome")


def test_taken_back_it_gives_back_every_reservation_as_it_was(scene: ReservingScene) -> None:
    booked = Booked(scene)
    before = stands(booked.barrel)
    assert [row["state"] for row in before] == ["confirmed", "waiting", "pencilled"]
    gone = scene.send("retirements", booked.barrel, day=2, reason="worm in the head")
    assert {row["state"] for row in stands(booked.barrel)} == {"expired"}
    assert news(scene, "member") == [("reserver", "retired", "worm in the head")]
    seq = scene.club.__class__.objects.get(pk=scene.club.pk).change_seq

    scene.send("voids", day=4, act=gone.pk, reason="it was the one beside it")

    assert stands(booked.barrel) == before
    assert not ReservationEnd.objects.exists()
    assert found(scene) == set()
    for who in ("member", "sharer", "owner", "other_sharer"):
        assert news(scene, who) == [("reserver", "restored", "it was the one beside it")], who
    assert news(scene, "keeper") == []
    changed = set(Change.objects.filter(club=scene.club, seq__gt=seq).values_list("collection", "row_id"))
    assert {("reservations", one.pk) for one in (booked.mine, booked.waiting, booked.later)} <= changed


def test_while_it_is_retired_nobody_takes_the_days(scene: ReservingScene) -> None:
    booked = Booked(scene)
    gone = scene.send("retirements", booked.barrel, day=2, reason="a hoop gave way")
    with pytest.raises(Conflict):
        scene.ask(booked.barrel, 10, 40, by="owner", day=3)
    assert reservation_expire(now=DAY0 + timedelta(days=4)) == 0
    assert found(scene) == set()

    scene.send("voids", day=4, act=gone.pk, reason="wrong barrel")
    booked.mine.refresh_from_db()
    assert booked.mine.state == ReservationState.CONFIRMED


def test_whose_days_are_over_by_then_is_told_that_it_stays_ended(
    scene: ReservingScene, monkeypatch: pytest.MonkeyPatch
) -> None:
    booked = Booked(scene)
    gone = scene.send("retirements", booked.barrel, day=2, reason="a hoop gave way")

    at(monkeypatch, 55)
    scene.send("voids", day=55, act=gone.pk, reason="wrong barrel")

    assert [(row["state"], row["reason"], row["days"]) for row in stands(booked.barrel)] == [
        ("expired", DAYS_PASSED, 0),
        ("expired", DAYS_PASSED, 0),
        ("pencilled", "", 30),
    ]
    assert news(scene, "member", 56) == [("reserver", "stays_ended", "wrong barrel")]
    assert news(scene, "owner", 56) == [("reserver", "restored", "wrong barrel")]
    # Nobody could confirm it meanwhile, so it has its days of grace anew.
    later = Reservation.objects.get(pk=booked.later.pk)
    assert later.expires_at == DAY0 + timedelta(days=55 + scene.club.pencil_days)
    assert found(scene) == set()


def test_days_that_somebody_else_owns_by_then_stay_theirs(scene: ReservingScene) -> None:
    booked = Booked(scene)
    gone = scene.send("retirements", booked.barrel, day=2, reason="a hoop gave way")
    # By the services nobody can: the row is put there as a hand in the database would.
    rival = Reservation.objects.get(pk=booked.later.pk)
    ReservationDay.objects.create(barrel=booked.barrel, day=on(39), reservation=rival)

    scene.send("voids", day=4, act=gone.pk, reason="wrong barrel")

    booked.mine.refresh_from_db()
    assert (booked.mine.state, booked.mine.reason) == (ReservationState.EXPIRED, GIVEN_AWAY)
    assert news(scene, "member") == [("reserver", "stays_ended", "wrong barrel")]


def test_who_takes_it_back_hears_of_their_own_only_where_it_stays_ended(
    scene: ReservingScene, monkeypatch: pytest.MonkeyPatch
) -> None:
    barrel = scene.cured()
    scene.ask(barrel, 10, 40, by="keeper")
    gone = scene.send("retirements", barrel, day=2, reason="a hoop gave way")
    at(monkeypatch, 55)
    scene.send("voids", day=55, act=gone.pk, reason="wrong barrel")
    assert news(scene, "keeper", 56) == [("reserver", "stays_ended", "wrong barrel")]


def test_corrected_to_another_barrel_it_gives_back_here_and_ends_there(scene: ReservingScene) -> None:
    here, there = Booked(scene), Booked(scene, "Ebb")
    before = stands(here.barrel)
    wrong = scene.send("retirements", here.barrel, day=2, reason="worm in the head")

    right = scene.send("retirements", there.barrel, day=2, reason="worm in the head", replaces=wrong.pk)

    assert stands(here.barrel) == before
    assert {row["state"] for row in stands(there.barrel)} == {"expired"}
    assert sorted(news(scene, "member")) == [
        ("reserver", "restored", ""),
        ("reserver", "retired", "worm in the head"),
    ]
    told = Notice.objects.filter(act=right, person=scene.people["member"]).values_list("barrel__name", "why")
    assert sorted(told) == [("Ebb", "reserver"), ("Neap", "restored")]

    scene.send("voids", day=4, act=right.pk, reason="neither of them")
    assert stands(there.barrel) == [{**row, "reason": row["reason"]} for row in before], (
        "the other one has its own back as well"
    )
    assert found(scene) == set()


def test_a_corrected_reason_is_told_in_the_place_of_the_earlier(scene: ReservingScene) -> None:
    booked = Booked(scene)
    before = stands(booked.barrel)
    first = scene.send("retirements", booked.barrel, day=2, reason="worm in the head")
    second = scene.send("retirements", booked.barrel, day=2, reason="a crack", replaces=first.pk)

    assert {row["reason"] for row in stands(booked.barrel)} == {"Neap was retired: a crack"}
    assert news(scene, "member") == [("reserver", "retired", "a crack")]

    scene.send("voids", day=4, act=second.pk, reason="wrong barrel")
    assert stands(booked.barrel) == before


def test_of_two_retirements_the_other_holds_on_when_one_is_taken_back(scene: ReservingScene) -> None:
    booked = Booked(scene)
    before = stands(booked.barrel)
    late = scene.send("retirements", booked.barrel, day=3, reason="a crack")
    early = scene.send("retirements", booked.barrel, day=2, reason="worm in the head")
    assert {row["reason"] for row in stands(booked.barrel)} == {"Neap was retired: worm in the head"}

    scene.send("voids", day=4, act=early.pk, reason="no worm")
    assert {row["reason"] for row in stands(booked.barrel)} == {"Neap was retired: a crack"}
    assert found(scene) == set()

    scene.send("voids", day=4.1, act=late.pk, reason="no crack either")
    assert stands(booked.barrel) == before


def test_who_waited_is_offered_the_days_that_did_not_come_back(
    scene: ReservingScene, monkeypatch: pytest.MonkeyPatch
) -> None:
    barrel = scene.cured()
    scene.ask(barrel, 6, 30)
    waiting = scene.ask(barrel, 29, 60, by="sharer")
    gone = scene.send("retirements", barrel, day=2, reason="a hoop gave way")
    at(monkeypatch, 30)
    # The last of its days is the thirtieth, which is over for it; who waits has not begun.
    Reservation.objects.filter(pk=waiting.pk).update(starts_on=on(30))
    scene.send("voids", day=30, act=gone.pk, reason="wrong barrel")
    reservation_expire(now=DAY0 + timedelta(days=30))
    waiting.refresh_from_db()
    assert (waiting.state, waiting.reason) == (ReservationState.PENCILLED, CAME_FREE)


# --- any order ------------------------------------------------------------------------------------------------

FILL, UNFILL, RETIRE, MEND, UNRETIRE = "fill", "unfill", "retire", "mend", "unretire"
BEFORE = ((FILL, UNFILL), (RETIRE, MEND), (MEND, UNRETIRE))
Sent = tuple[str, ...]


def orders(*, left_out: str = "") -> list[Sent]:
    """Returns every order in which these can arrive: what speaks of an entry comes after it."""
    names = [name for name in (FILL, UNFILL, RETIRE, MEND, UNRETIRE) if name != left_out]
    pairs = [pair for pair in BEFORE if left_out not in pair]
    return [
        order
        for order in permutations(names)
        if all(order.index(first) < order.index(second) for first, second in pairs)
    ]


def each_lived(scene: ReservingScene, booked: Booked, some: list[Sent]) -> Iterator[tuple[Sent, Any]]:
    """Sends the entries in each order and reads the reservations; all of it is undone."""
    for order in some:
        ids = {name: uuid4() for name in (FILL, UNFILL, RETIRE, MEND, UNRETIRE)}
        with transaction.atomic():
            for name in order:
                _send(scene, booked, name, ids)
                assert found(scene) == set(), order
            yield order, stands(booked.barrel)
            transaction.set_rollback(True)


def _send(scene: ReservingScene, booked: Booked, name: str, ids: dict[str, UUID]) -> Act:
    received = DAY0 + timedelta(days=5)
    common: dict[str, Any] = {"received": received, "act_id": ids[name]}
    if name == FILL:
        return scene.fill(booked.barrel, day=1, reservation=booked.mine.pk, **common)
    if name == RETIRE:
        return scene.send("retirements", booked.barrel, day=3, reason="worm", **common)
    if name == MEND:
        return scene.send(
            "retirements", booked.barrel, day=2, reason="a crack", replaces=ids[RETIRE], **common
        )
    target = ids[FILL] if name == UNFILL else ids[MEND]
    return scene.send("voids", day=4, act=target, reason="wrong barrel", **common)


def test_filled_unfilled_retired_and_not_leaves_them_as_they_were_in_any_order(scene: ReservingScene) -> None:
    booked = Booked(scene)
    before = stands(booked.barrel)
    lived = list(each_lived(scene, booked, orders()))
    assert len(lived) == 10
    for order, told in lived:
        assert told == before, order


def test_what_was_filled_stays_filled_in_any_order(scene: ReservingScene) -> None:
    booked = Booked(scene)
    lived = list(each_lived(scene, booked, orders(left_out=UNFILL)))
    assert len(lived) == 4
    for order, told in lived:
        assert told == lived[0][1], order
        assert [row["state"] for row in told] == ["filled", "waiting", "pencilled"], order


def test_a_retirement_that_stands_ends_all_but_what_was_filled_in_any_order(scene: ReservingScene) -> None:
    booked = Booked(scene)
    lived = list(each_lived(scene, booked, orders(left_out=UNRETIRE)))
    assert len(lived) == 6
    for order, told in lived:
        assert [(row["state"], row["reason"]) for row in told] == [
            ("expired", "Neap was retired: a crack")
        ] * 3, order


def test_days_that_a_filled_one_left_to_another_stay_the_others_in_any_order(scene: ReservingScene) -> None:
    """Filled, its later days went to somebody else: unfilled while the barrel is retired it asks for them in vain."""
    barrel = scene.cured()
    mine = scene.ask(barrel, 6, 40)
    poured, gone = uuid4(), uuid4()

    def empty() -> None:
        scene.send("voids", day=3, act=poured, reason="wrong barrel")

    def retire() -> None:
        scene.send("retirements", barrel, day=4, reason="worm", act_id=gone)

    told = []
    for steps in ((empty, retire), (retire, empty)):
        with transaction.atomic():
            scene.fill(barrel, day=1, reservation=mine.pk, planned_days=5, act_id=poured)
            scene.ask(barrel, 30, 50, by="sharer", day=2)
            for step in steps:
                step()
            scene.send("voids", day=4.5, act=gone, reason="no worm")
            told.append(stands(barrel))
            transaction.set_rollback(True)
    assert [row["state"] for row in told[0]] == ["waiting", "pencilled"]
    assert told[0] == told[1]
