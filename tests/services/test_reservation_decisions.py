"""What is decided about reservations, and what becomes of those who wait: confirmed, moved, lapsed, filled."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest

from staveward.models import Reservation, ReservationDay, ReservationState
from staveward.services.errors import Conflict, Forbidden, Impossible
from staveward.services.reservation_days import reservation_expire
from tests.ledger import DAY0
from tests.reserving import ReservingScene, on

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene() -> ReservingScene:
    return ReservingScene()


def days_of(reservation: Reservation) -> int:
    return ReservationDay.objects.filter(reservation=reservation).count()


# --- who may ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("decision", ["confirm", "refuse", "move"])
def test_the_keeper_and_the_owner_decide(scene: ReservingScene, decision: str) -> None:
    extra = {"starts_on": on(50), "ends_on": on(60), "reason": "the cellar is full"}
    for by in ("keeper", "admin", "owner"):
        barrel = scene.cured(f"Barrel of the {by}")
        scene.send("ownerships", barrel, day=-1, shares=[{"person": scene.people["owner"].pk, "weight": 1}])
        mine = scene.ask(barrel)
        for stranger in ("member", "sharer", "tablet", "sensor"):
            with pytest.raises(Forbidden):
                scene.decide(mine, decision, by=stranger, **extra)

        scene.decide(mine, decision, by=by, **extra)

        mine.refresh_from_db()
        assert mine.decided_by == scene.people[by]


def test_an_owner_decides_about_their_own_barrel_only(scene: ReservingScene) -> None:
    own, other = scene.cured("Neap"), scene.cured("Ebb")
    scene.send("ownerships", own, day=-1, shares=[{"person": scene.people["owner"].pk, "weight": 1}])
    mine = scene.ask(other)

    with pytest.raises(Forbidden):
        scene.decide(mine, "confirm", by="owner")


def test_whoever_asked_withdraws_and_nobody_else(scene: ReservingScene) -> None:
    barrel = scene.cured()
    mine = scene.ask(barrel)

    for by in ("keeper", "sharer", "tablet"):
        with pytest.raises(Forbidden):
            scene.decide(mine, "withdraw", by=by)
    scene.decide(mine, "withdraw", by="member")

    mine.refresh_from_db()
    assert mine.state == ReservationState.WITHDRAWN
    assert days_of(mine) == 0
    assert scene.ask(barrel, by="sharer", day=1).state == ReservationState.PENCILLED


# --- deciding --------------------------------------------------------------------------------------------


def test_a_confirmed_reservation_does_not_lapse(scene: ReservingScene) -> None:
    mine = scene.ask(scene.cured())

    scene.decide(mine, "confirm")

    mine.refresh_from_db()
    assert (mine.state, mine.expires_at, mine.version) == (ReservationState.CONFIRMED, None, 2)
    assert days_of(mine) == 30
    assert reservation_expire(now=DAY0 + timedelta(days=30)) == 0


def test_a_refusal_says_why(scene: ReservingScene) -> None:
    mine = scene.ask(scene.cured())

    with pytest.raises(Impossible):
        scene.decide(mine, "refuse")
    scene.decide(mine, "refuse", reason="It is promised to the regatta.")

    mine.refresh_from_db()
    assert (mine.state, mine.reason) == (ReservationState.REFUSED, "It is promised to the regatta.")
    assert days_of(mine) == 0


@pytest.mark.parametrize("decision", ["confirm", "refuse", "withdraw", "move"])
def test_what_is_settled_stays_settled(scene: ReservingScene, decision: str) -> None:
    mine = scene.ask(scene.cured())
    scene.decide(mine, "withdraw", by="member")

    with pytest.raises(Conflict) as refused:
        scene.decide(
            mine,
            decision,
            by="member" if decision == "withdraw" else "keeper",
            day=2,
            reason="no",
            starts_on=on(60),
            ends_on=on(70),
        )
    assert refused.value.code == "reservation_settled"


def test_confirming_twice_is_said(scene: ReservingScene) -> None:
    mine = scene.ask(scene.cured())
    scene.decide(mine, "confirm")

    with pytest.raises(Conflict) as refused:
        scene.decide(mine, "confirm", day=2)
    assert "confirmed already" in refused.value.detail


def test_a_move_takes_the_new_days_and_gives_the_old_ones_back(scene: ReservingScene) -> None:
    barrel = scene.cured()
    mine = scene.ask(barrel, 10, 40)
    scene.decide(mine, "confirm")
    waiting = scene.ask(barrel, 12, 30, by="sharer")

    scene.decide(mine, "move", day=2, starts_on=on(35), ends_on=on(65))

    mine.refresh_from_db()
    waiting.refresh_from_db()
    assert (mine.state, mine.starts_on, days_of(mine)) == (ReservationState.CONFIRMED, on(35), 30)
    assert (waiting.state, days_of(waiting)) == (ReservationState.PENCILLED, 18)


def test_a_move_onto_days_that_are_taken_is_refused_with_the_next_free_day(scene: ReservingScene) -> None:
    barrel = scene.cured()
    scene.ask(barrel, 50, 80, by="sharer")
    mine = scene.ask(barrel, 10, 40)

    with pytest.raises(Conflict) as refused:
        scene.decide(mine, "move", starts_on=on(45), ends_on=on(60))

    assert refused.value.code == "days_taken"
    assert f"{on(80).day} {on(80):%B}" in refused.value.detail
    mine.refresh_from_db()
    assert (mine.starts_on, days_of(mine)) == (on(10), 30)


def test_a_move_needs_both_dates(scene: ReservingScene) -> None:
    mine = scene.ask(scene.cured())

    with pytest.raises(Impossible) as refused:
        scene.decide(mine, "move", starts_on=on(50))
    assert refused.value.fields[0].field == "ends_on"


def test_who_waits_is_confirmed_only_once_the_days_are_free(scene: ReservingScene) -> None:
    barrel = scene.cured()
    scene.ask(barrel, 10, 40)
    waiting = scene.ask(barrel, 10, 40, by="sharer")

    with pytest.raises(Conflict) as refused:
        scene.decide(waiting, "confirm")
    assert refused.value.code == "days_taken"


def test_nothing_is_confirmed_for_a_barrel_that_has_left(scene: ReservingScene) -> None:
    barrel = scene.cured()
    mine = scene.ask(barrel)
    scene.send("retirements", barrel, day=0.5, reason="a hoop gave way")

    # It has lapsed with its barrel.
    with pytest.raises(Conflict) as refused:
        scene.decide(mine, "confirm")
    assert refused.value.code == "reservation_settled"


def test_nothing_is_confirmed_for_a_barrel_in_quarantine(scene: ReservingScene) -> None:
    barrel = scene.cured()
    mine = scene.ask(barrel)
    scene.send("troubles", barrel, day=0.5, kind="off_smell", quarantine=True)

    with pytest.raises(Conflict) as refused:
        scene.decide(mine, "confirm")
    assert refused.value.code == "quarantine"


def test_a_decision_names_a_reservation_of_the_club(scene: ReservingScene) -> None:
    other = ReservingScene("Another Club")
    theirs = other.ask(other.cured())

    with pytest.raises(Impossible):
        scene.decide(theirs, "confirm")
    theirs.refresh_from_db()
    assert theirs.state == ReservationState.PENCILLED


def test_the_same_decision_twice_is_one_decision(scene: ReservingScene) -> None:
    mine, key = scene.ask(scene.cured()), uuid4()
    scene.decide(mine, "confirm", act_id=key)
    scene.decide(mine, "confirm", act_id=key)

    mine.refresh_from_db()
    assert mine.version == 2


# --- waiting, lapsing, filling ---------------------------------------------------------------------------


def test_days_that_come_free_go_to_the_first_who_waits(scene: ReservingScene) -> None:
    """First come, first served; who does not fit beside them goes on waiting."""
    barrel = scene.cured()
    holder = scene.ask(barrel, 10, 40)
    first = scene.ask(barrel, 15, 30, by="sharer", day=0.1)
    second = scene.ask(barrel, 20, 35, by="owner", day=0.2)
    beside = scene.ask(barrel, 30, 38, by="other_sharer", day=0.3)

    scene.decide(holder, "refuse", day=2, reason="too early")

    states = {row.pk: row.state for row in Reservation.objects.filter(barrel=barrel)}
    assert states == {
        holder.pk: "refused",
        first.pk: "pencilled",
        second.pk: "waiting",
        beside.pk: "pencilled",
    }
    first.refresh_from_db()
    assert first.expires_at == DAY0 + timedelta(days=2 + scene.club.pencil_days)
    assert first.reason == "The days came free, so they are pencilled for you now."


def test_a_pencilled_reservation_lapses_and_the_next_in_line_gets_its_days(scene: ReservingScene) -> None:
    barrel = scene.cured()
    mine = scene.ask(barrel, 10, 40)
    waiting = scene.ask(barrel, 10, 40, by="sharer", day=1)
    deadline = DAY0 + timedelta(days=scene.club.pencil_days)

    assert reservation_expire(now=deadline - timedelta(minutes=1)) == 0
    assert reservation_expire(now=deadline) == 1
    assert reservation_expire(now=deadline) == 0

    mine.refresh_from_db()
    waiting.refresh_from_db()
    assert (mine.state, mine.reason) == (ReservationState.EXPIRED, "Nobody confirmed it in time.")
    assert (waiting.state, days_of(waiting), days_of(mine)) == (ReservationState.PENCILLED, 30, 0)


def test_who_waited_in_vain_lapses_when_the_days_pass(scene: ReservingScene) -> None:
    barrel = scene.cured()
    scene.decide(scene.ask(barrel, 10, 40), "confirm")
    waiting = scene.ask(barrel, 10, 40, by="sharer")

    assert reservation_expire(now=DAY0 + timedelta(days=10)) == 0
    assert reservation_expire(now=DAY0 + timedelta(days=11)) == 1
    waiting.refresh_from_db()
    assert waiting.state == ReservationState.EXPIRED


def test_a_confirmed_one_that_nobody_filled_lapses_after_its_last_day(scene: ReservingScene) -> None:
    mine = scene.ask(scene.cured(), 10, 40)
    scene.decide(mine, "confirm")

    assert reservation_expire(now=DAY0 + timedelta(days=39)) == 0
    assert reservation_expire(now=DAY0 + timedelta(days=40)) == 1


def test_a_fill_that_came_out_early_gives_its_days_to_who_waits(scene: ReservingScene) -> None:
    """Nobody decided anything: the next tick finds the days free."""
    barrel = scene.cured()
    scene.fill(barrel, day=0, planned_days=60)
    waiting = scene.ask(barrel, 30, 50, day=1)
    assert waiting.state == ReservationState.WAITING

    scene.send("decants", barrel, day=20, measured_volume_l=4.2)
    reservation_expire(now=DAY0 + timedelta(days=20, hours=1))

    waiting.refresh_from_db()
    assert waiting.state == ReservationState.PENCILLED


def test_the_fill_that_was_reserved_takes_over_its_days(scene: ReservingScene) -> None:
    barrel = scene.cured()
    mine = scene.ask(barrel, 1, 30)
    scene.decide(mine, "confirm", day=0.5)

    scene.fill(barrel, day=1, reservation=mine.pk, planned_days=10)

    mine.refresh_from_db()
    assert (mine.state, days_of(mine)) == (ReservationState.FILLED, 0)
    assert scene.ask(barrel, 11, 20, by="sharer", day=2).state == ReservationState.WAITING
    assert scene.ask(barrel, 12, 20, by="sharer", day=2).state == ReservationState.PENCILLED


def test_nothing_is_offered_on_for_a_barrel_that_has_left(scene: ReservingScene) -> None:
    barrel = scene.cured()
    holder = scene.ask(barrel)
    waiting = scene.ask(barrel, by="sharer")
    scene.send("retirements", barrel, day=0.5, reason="a hoop gave way")

    for one in (holder, waiting):
        one.refresh_from_db()
        assert one.state == ReservationState.EXPIRED


def test_nothing_is_offered_on_for_a_barrel_in_quarantine(scene: ReservingScene) -> None:
    barrel = scene.cured()
    holder = scene.ask(barrel)
    waiting = scene.ask(barrel, by="sharer")
    scene.send("troubles", barrel, day=0.5, kind="off_smell", quarantine=True)

    scene.decide(holder, "withdraw", by="member")

    waiting.refresh_from_db()
    assert waiting.state == ReservationState.WAITING


def test_a_reservation_is_not_taken_back_like_an_entry(scene: ReservingScene) -> None:
    mine = scene.ask(scene.cured())

    with pytest.raises(Impossible):
        scene.send("voids", day=1, act=mine.pk, reason="wrong barrel")
