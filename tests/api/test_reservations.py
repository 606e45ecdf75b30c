"""The addresses of reserving: asking, deciding, listing, and the barrels that suit."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta
from typing import Any
from urllib.parse import urlencode
from uuid import uuid4

import pytest
from django.http import HttpResponse

from staveward.models import Act, Reservation
from tests.api.cast import Cast, problem, uuid7
from tests.factories import BarrelFactory

pytestmark = pytest.mark.django_db


def on(days: int) -> str:
    """Returns the date so many days from now, well inside the day in any zone of these tests."""
    day: date = datetime.now(UTC).date() + timedelta(days=days)
    return day.isoformat()


def wish(cast: Cast, first: int = 10, last: int = 40, **changes: Any) -> dict[str, Any]:
    body = {
        "starts_on": on(first),
        "ends_on": on(last),
        "fill_name": "rye with aperitif",
        "spirit": "cocktail",
        "family": "cocktail",
        "volume_l": 5,
        "abv_pct": 31,
        "oak_wish": 2,
    }
    return cast.entry(**{"barrel": str(cast.barrel.pk), **body, **changes})


def ask(cast: Cast, by: str = "member", *, id: str = "", **changes: Any) -> tuple[str, HttpResponse]:
    key = id or uuid7()
    return key, cast[by].put(cast.url("reservations", key), wish(cast, **changes))


def decide(cast: Cast, reservation: str, decision: str, by: str = "keeper", **changes: Any) -> HttpResponse:
    body = cast.entry(reservation=reservation, decision=decision, **changes)
    return cast[by].put(cast.url("reservation-decisions", uuid7()), body)


def suggestions(cast: Cast, by: str = "member", **changes: Any) -> HttpResponse:
    query = {
        "volume_l": 5,
        "spirit": "cocktail",
        "family": "cocktail",
        "abv_pct": 31,
        "earliest": on(10),
        "weeks": 8,
        "oak": 2,
        **changes,
    }
    named = {name: value for name, value in query.items() if value is not None}
    return cast[by].get(cast.url("barrel-suggestions") + "?" + urlencode(named))


def test_asking_answers_with_the_pencilled_reservation(cast: Cast) -> None:
    key, answer = ask(cast, note="for the regatta")
    said = answer.json()

    assert answer.status_code == 201
    assert said["clash"] is None
    assert said["next_free_on"] is None
    row = said["reservation"]
    assert (row["id"], row["state"], row["person"]) == (key, "pencilled", cast.id("member"))
    assert (row["starts_on"], row["ends_on"], row["waiting_place"]) == (on(10), on(40), None)
    assert row["shares"] == [{"person": cast.id("member"), "weight": 1}]
    assert row["expires_at"] is not None
    assert cast["member"].get(cast.url("reservations", key)).json() == row


def test_a_clash_is_answered_with_who_the_next_free_day_and_a_place_in_line(cast: Cast) -> None:
    ask(cast, first=10, last=40)

    _, answer = ask(cast, "sharer", first=30, last=50)
    _, behind = ask(cast, "other_sharer", first=35, last=45)

    said = answer.json()
    assert answer.status_code == 201
    assert said["reservation"]["state"] == "waiting"
    assert said["reservation"]["waiting_place"] == 1
    assert said["clash"] == {
        "starts_on": on(10),
        "ends_on": on(40),
        "person": cast.id("member"),
        "state": "pencilled",
    }
    assert said["next_free_on"] == on(40)
    assert behind.json()["reservation"]["waiting_place"] == 2


def test_a_clash_with_what_lies_in_the_barrel_names_nobody(cast: Cast) -> None:
    cast.fill(days_ago=3, planned_days=30)

    _, answer = ask(cast, first=10, last=40)

    assert answer.json()["clash"]["state"] == "filled"
    assert answer.json()["clash"]["person"] is None


def test_the_same_request_again_is_answered_with_the_row_as_it_is_now(cast: Cast) -> None:
    body, key = wish(cast), uuid7()
    first = cast["member"].put(cast.url("reservations", key), body)
    decide(cast, key, "confirm")
    again = cast["member"].put(cast.url("reservations", key), body)

    assert (first.status_code, again.status_code) == (201, 200)
    assert again.json()["reservation"]["state"] == "confirmed"
    assert Reservation.objects.count() == 1
    other = cast["member"].put(cast.url("reservations", key), {**body, "fill_name": "another"})
    assert (other.status_code, problem(other)["code"]) == (409, "id_reused")


def test_the_keeper_confirms(cast: Cast) -> None:
    key, _ = ask(cast)

    answer = decide(cast, key, "confirm")

    assert answer.status_code == 201
    row = answer.json()["reservation"]
    assert (row["state"], row["decided_by"], row["expires_at"]) == ("confirmed", cast.id("keeper"), None)
    assert answer.json()["clash"] is None


def test_a_member_is_told_who_confirms(cast: Cast) -> None:
    key, _ = ask(cast)

    answer = decide(cast, key, "confirm", by="member")

    assert answer.status_code == 403
    assert problem(answer)["detail"] == "Only the keeper confirms a reservation."


def test_a_note_is_for_its_own_people(cast: Cast) -> None:
    sharers = [{"person": cast.id(name), "weight": 1} for name in ("member", "sharer")]
    key, _ = ask(cast, note="for the regatta", sharers=sharers)

    shown = {
        by: cast[by].get(cast.url("reservations", key)).json()["note"]
        for by in ("member", "sharer", "keeper", "other_sharer")
    }
    assert shown == {
        "member": "for the regatta",
        "sharer": "for the regatta",
        "keeper": "for the regatta",
        "other_sharer": "",
    }


# --- who may, whoever asks -------------------------------------------------------------------------------

EVERYBODY = (
    "member",
    "sharer",
    "owner",
    "keeper",
    "admin",
    "tablet",
    "sensor",
    "stranger",
    "other_keeper",
    "nobody",
)
PEOPLE = {"member", "sharer", "owner", "keeper", "admin"}


def expected(by: str, allowed: set[str], status: int) -> int:
    if by == "nobody":
        return 401
    if by in ("stranger", "other_keeper"):
        return 404
    return status if by in allowed else 403


def test_who_may_ask_read_and_decide(cast: Cast) -> None:
    """The rows of the permission table about reservations, for every role at every address."""
    cast.owned()
    key, _ = ask(cast)
    for number, by in enumerate(EVERYBODY):
        first = 100 + 10 * number
        got = {
            "ask": ask(cast, by, first=first, last=first + 5)[1].status_code,
            "one": cast[by].get(cast.url("reservations", key)).status_code,
            "list": cast[by].get(cast.url("reservations")).status_code,
            "suggestions": suggestions(cast, by).status_code,
            "move": decide(
                cast, key, "move", by, starts_on=on(50 + number), ends_on=on(60 + number)
            ).status_code,
            "withdraw": 0 if by == "member" else decide(cast, key, "withdraw", by).status_code,
        }
        assert got == {
            "ask": expected(by, PEOPLE, 201),
            "one": expected(by, PEOPLE, 200),
            "list": expected(by, PEOPLE, 200),
            "suggestions": expected(by, PEOPLE, 200),
            "move": expected(by, {"owner", "keeper", "admin"}, 201),
            "withdraw": 0 if by == "member" else expected(by, set(), 201),
        }, by
    assert decide(cast, key, "withdraw", "member").status_code == 201


def test_another_clubs_rows_are_not_there(cast: Cast) -> None:
    theirs = BarrelFactory(club=cast.other.club)

    _, answer = ask(cast, barrel=str(theirs.pk))
    assert answer.status_code == 404
    assert cast["member"].get(cast.url("reservations", uuid4())).status_code == 404
    assert decide(cast, uuid7(), "confirm").status_code == 422


# --- bad input -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changes", "status", "field"),
    [
        ({"ends_on": on(10)}, 422, "ends_on"),
        ({"ends_on": on(9)}, 422, "ends_on"),
        ({"starts_on": "2020-02-02"}, 422, "starts_on"),
        ({"ends_on": on(1200)}, 422, "ends_on"),
        ({"starts_on": "2031-02-30"}, 400, "starts_on"),
        ({"starts_on": 20310201}, 400, "starts_on"),
        ({"starts_on": None}, 400, "starts_on"),
        ({"spirit": "perry"}, 422, "spirit"),
        ({"family": "tea"}, 422, "family"),
        ({"volume_l": 0}, 422, "volume_l"),
        ({"volume_l": "5 kg"}, 422, "volume_l"),
        ({"volume_l": 5.6}, 422, "volume_l"),
        ({"abv_pct": 101}, 422, "abv_pct"),
        ({"abv_pct": -1}, 422, "abv_pct"),
        ({"oak_wish": 6}, 422, "oak_wish"),
        ({"oak_wish": 2.5}, 400, "oak_wish"),
        ({"fill_name": ""}, 400, "fill_name"),
        ({"fill_name": "x" * 81}, 400, "fill_name"),
        ({"allergens_seen": "yes"}, 400, "allergens_seen"),
        ({"sharers": [{"person": str(uuid4()), "weight": 1}]}, 422, "sharers"),
        ({"sharers": [{"person": str(uuid4()), "weight": 0}]}, 422, "sharers.0.weight"),
        ({"colour": "amber"}, 400, "colour"),
        ({"replaces": str(uuid4())}, 400, "replaces"),
    ],
)
def test_bad_input_names_the_field_and_keeps_nothing(
    cast: Cast, changes: dict[str, Any], status: int, field: str
) -> None:
    key, answer = ask(cast, **changes)
    said = problem(answer)

    assert answer.status_code == status, said
    assert said["fields"][0]["field"] == field
    assert not Act.objects.filter(pk=key).exists()


@pytest.mark.parametrize(
    ("changes", "status", "field"),
    [
        ({"decision": "maybe"}, 422, "decision"),
        ({"decision": "move"}, 422, "starts_on"),
        ({"decision": "move", "starts_on": on(50), "ends_on": on(45)}, 422, "ends_on"),
        ({"decision": "refuse"}, 422, "reason"),
        ({"decision": "refuse", "reason": "  "}, 422, "reason"),
        ({"decision": "refuse", "reason": "x" * 301}, 400, "reason"),
        ({"reservation": "12"}, 400, "reservation"),
        ({"reservation": str(uuid4())}, 422, "reservation"),
    ],
)
def test_a_bad_decision_names_the_field(cast: Cast, changes: dict[str, Any], status: int, field: str) -> None:
    key, _ = ask(cast)

    body = cast.entry(**{"reservation": key, "decision": "confirm", **changes})
    answer = cast["keeper"].put(cast.url("reservation-decisions", uuid7()), body)

    assert answer.status_code == status, answer.content
    assert problem(answer)["fields"][0]["field"] == field


def test_a_quantity_may_carry_its_unit(cast: Cast) -> None:
    _, answer = ask(cast, volume_l="169 fl oz", abv_pct="62 proof")

    assert answer.status_code == 201
    assert answer.json()["reservation"]["volume_l"] == pytest.approx(4.998, abs=0.001)
    assert answer.json()["reservation"]["abv_pct"] == pytest.approx(31.0, abs=0.1)


def test_a_rule_answers_409_with_its_code_and_reason(cast: Cast) -> None:
    _, answer = ask(cast, abv_pct=12)

    assert answer.status_code == 409
    assert problem(answer)["code"] == "too_weak"


# --- lists -----------------------------------------------------------------------------------------------


def test_the_list_is_in_order_of_dates_and_filters(cast: Cast) -> None:
    other = BarrelFactory(club=cast.club, place=cast.place, name="Ebb")
    late, _ = ask(cast, first=50, last=60)
    early, _ = ask(cast, "sharer", first=10, last=20)
    elsewhere, _ = ask(cast, first=30, last=40, barrel=str(other.pk))
    waiting, _ = ask(cast, "owner", first=12, last=15)

    def listed(**query: Any) -> list[str]:
        answer = cast["member"].get(cast.url("reservations") + "?" + urlencode(query))
        assert answer.status_code == 200, answer.content
        return [row["id"] for row in json.loads(answer.content)["results"]]

    assert listed() == [early, waiting, elsewhere, late]
    assert listed(barrel=other.pk) == [elsewhere]
    assert listed(person=cast.id("sharer")) == [early]
    assert listed(state="waiting") == [waiting]
    assert listed(ends_after=on(40)) == [late]
    assert listed(limit=2) == [early, waiting]


@pytest.mark.parametrize(
    ("query", "status"),
    [
        ("state=hoped", 422),
        ("barrel=12", 400),
        ("ends_after=soon", 400),
        ("colour=red", 400),
        ("limit=0", 400),
    ],
)
def test_a_bad_filter_is_refused(cast: Cast, query: str, status: int) -> None:
    answer = cast["member"].get(cast.url("reservations") + "?" + query)

    assert (answer.status_code, problem(answer)["status"]) == (status, status)


# --- suggestions -----------------------------------------------------------------------------------------


def test_suggestions_say_when_what_and_why(cast: Cast) -> None:
    BarrelFactory(club=cast.club, place=cast.place, name="Fathom", nominal_l=2.0)

    said = suggestions(cast).json()

    assert [row["barrel"] for row in said["suits"]] == [str(cast.barrel.pk)]
    row = said["suits"][0]
    assert set(row) == {
        "barrel",
        "points",
        "starts_on",
        "ends_on",
        "parts",
        "reasons",
        "carry_over_pct",
        "ask_keeper",
        "held_last",
        "allergens",
        "waiting",
    }
    # Eight weeks and the club's day of turning round.
    assert (row["starts_on"], row["ends_on"]) == (on(10), on(10 + 56 + 1))
    assert [one["code"] for one in said["not_this_time"]] == ["too_big"]
    assert said["not_this_time"][0]["detail"] == "Fathom holds 2 L."


@pytest.mark.parametrize(
    ("changes", "status", "field"),
    [
        ({"volume_l": None}, 400, "volume_l"),
        ({"volume_l": 0}, 422, "volume_l"),
        ({"volume_l": "lots"}, 400, "volume_l"),
        ({"spirit": "perry"}, 422, "spirit"),
        ({"abv_pct": 120}, 422, "abv_pct"),
        ({"earliest": "2020-01-01"}, 422, "earliest"),
        ({"earliest": "9999-12-31"}, 422, "earliest"),
        ({"earliest": "soon"}, 400, "earliest"),
        ({"weeks": 0}, 422, "weeks"),
        ({"weeks": 2000}, 422, "weeks"),
        ({"weeks": 1.5}, 400, "weeks"),
        ({"oak": 9}, 422, "oak"),
        ({"allergens_seen": "perhaps"}, 400, "allergens_seen"),
        ({"colour": "amber"}, 400, "colour"),
    ],
)
def test_a_bad_wish_is_refused(cast: Cast, changes: dict[str, Any], status: int, field: str) -> None:
    answer = suggestions(cast, **changes)

    assert answer.status_code == status, answer.content
    assert problem(answer)["fields"][0]["field"] == field


def test_what_is_suggested_can_be_asked_for(cast: Cast) -> None:
    """A suggestion's own dates are pencilled, not put in line."""
    cast.fill(days_ago=3, planned_days=30)
    row = suggestions(cast).json()["suits"][0]

    _, answer = ask(cast, starts_on=row["starts_on"], ends_on=row["ends_on"])

    assert answer.json()["reservation"]["state"] == "pencilled"


def test_a_changed_reservation_shows_in_the_feed(cast: Cast) -> None:
    key, answer = ask(cast)
    rows = cast["sharer"].get(cast.url("changes")).json()["rows"]

    found = {row["id"]: row["row"] for row in rows if row["collection"] == "reservations"}
    assert found == {key: answer.json()["reservation"]}
