"""Codes made on the pourer's phone, and scores from phones that have not read their flight."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import timedelta
from random import Random
from typing import Any
from uuid import UUID, uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st

from staveward.models import Act, BlindTasting, Flight, Placement, Tasting
from staveward.selectors.log import log_rows
from staveward.selectors.tray import tray
from staveward.services.errors import Forbidden, Impossible
from staveward.services.flight_codes import Glass, glasses_lay, glasses_slip
from tests.ledger import DAY0
from tests.services.flight_night import EVENING, Flights

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene() -> Flights:
    return Flights()


def sent(glasses: Sequence[Glass]) -> list[dict[str, Any]]:
    return [{"code": glass.code, "fill": glass.fill_id} for glass in glasses]


def laid(scene: Flights, seed: int = 1, *, with_duplicate: bool = True) -> list[dict[str, Any]]:
    fills = [fill.pk for fill in scene.fills]
    return sent(glasses_lay(fills, with_duplicate=with_duplicate, chance=Random(seed)))


# --- codes from the phone ------------------------------------------------------------------------------------


@given(samples=st.integers(2, 10), seed=st.integers(0, 2**32), with_duplicate=st.booleans(), data=st.data())
def test_what_the_rule_lays_passes_and_what_breaks_it_does_not(
    samples: int, seed: int, with_duplicate: bool, data: st.DataObject
) -> None:
    fills = [UUID(int=number) for number in range(samples)]
    poured = [
        (glass.code, glass.fill_id)
        for glass in glasses_lay(fills, with_duplicate=with_duplicate, chance=Random(seed))
    ]
    assert glasses_slip(poured, fills, with_duplicate=with_duplicate) is None

    at = data.draw(st.integers(0, len(poured) - 1))
    code, fill = poured[at]
    broken = {
        "a code twice": [*poured[:at], (poured[at - 1][0], fill), *poured[at + 1 :]],
        "no such code": [*poured[:at], ("099", fill), *poured[at + 1 :]],
        "a fill more": [*poured[:at], (code, uuid4()), *poured[at + 1 :]],
        "a glass less": poured[:at] + poured[at + 1 :],
        "a glass more": [*poured, ("100" if code != "100" else "101", fill)],
    }
    for what, line in broken.items():
        assert glasses_slip(line, fills, with_duplicate=with_duplicate) is not None, what


def test_the_phones_codes_stand_as_sent_and_each_taster_begins_at_another(scene: Flights) -> None:
    scene.poured()
    glasses = laid(scene)
    key = uuid4()
    flight = scene.pour(glasses=glasses, act_id=key)

    row = scene.row(flight, "keeper")
    assert [(line["code"], line["fill"]) for line in row["key"]] == [
        (glass["code"], str(glass["fill"])) for glass in glasses
    ]
    codes = [glass["code"] for glass in glasses]
    assert scene.codes(flight, "sharer") == codes
    assert scene.codes(flight, "other_sharer") == [*codes[1:], codes[0]]
    assert scene.pour(glasses=glasses, act_id=key).pk == flight.pk
    assert Flight.objects.filter(pk=key).count() == 1


Glasses = list[dict[str, Any]]


@pytest.mark.parametrize(
    ("breaks", "value", "allowed"),
    [
        (lambda g: [{**g[0], "code": g[1]["code"]}, *g[1:]], "code", "each code once"),
        (lambda g: [{**g[0], "code": "099"}, *g[1:]], "099", "three digits"),
        (lambda g: [{**g[0], "code": "12٣"}, *g[1:]], "12٣", "three digits"),
        (lambda g: [{**g[0], "code": "12"}, *g[1:]], "12", "three digits"),
        (lambda g: g[1:], "", "fill"),
        (lambda g: [*g, {"code": "100", "fill": g[0]["fill"]}], "", "one fill in two glasses"),
        (lambda g: sorted(g, key=lambda glass: str(glass["fill"])), "", "apart"),
    ],
)
def test_codes_that_break_the_rules_are_refused_with_what_is_allowed(
    scene: Flights, breaks: Callable[[Glasses], Glasses], value: str, allowed: str
) -> None:
    scene.poured()
    with pytest.raises(Impossible) as refused:
        scene.pour(glasses=breaks(laid(scene)))
    problem = refused.value.fields[0]
    assert problem.field == "glasses"
    assert allowed in problem.allowed
    if value.isdigit() and value != "code":
        assert problem.value == value


def test_no_twin_where_none_is_wanted_and_none_of_what_is_not_in_the_flight(scene: Flights) -> None:
    scene.poured()
    with pytest.raises(Impossible, match="each fill in one glass"):
        scene.pour(glasses=laid(scene), is_without_duplicate=True)
    with pytest.raises(Impossible, match="not in this flight"):
        scene.pour(glasses=laid(scene), fills=[fill.pk for fill in scene.fills[:3]])
    assert scene.pour(glasses=laid(scene, with_duplicate=False), is_without_duplicate=True)


# --- scores of a flight the phone has not read ---------------------------------------------------------------


def test_a_code_alone_finds_the_flight_that_was_poured_for_its_taster(scene: Flights) -> None:
    flight = scene.poured()
    code = scene.codes(flight, "sharer")[0]

    act = scene.score_unread(code, 6.5)

    assert act.placement == Placement.PLACED
    assert [(line["code"], line["liking"]) for line in scene.row(flight, "sharer")["mine"]] == [(code, 6.5)]
    assert scene.row(flight, "sharer")["mine"][0]["sample_ml"] == 10.0


def test_a_score_that_comes_before_its_flight_waits_and_is_taken_up(scene: Flights) -> None:
    scene.poured()
    glasses = laid(scene, seed=2)
    early = [scene.score_unread(glass["code"], 5.0) for glass in glasses]
    assert {(act.placement, act.set_aside_reason) for act in early} == {
        (Placement.SET_ASIDE, "no_such_glass")
    }

    flight = scene.pour(glasses=glasses, received=DAY0 + timedelta(days=EVENING + 0.5))

    assert {Act.objects.get(pk=act.pk).placement for act in early} == {Placement.PLACED}
    assert len(scene.row(flight, "sharer")["mine"]) == 5
    assert tray(scene.club, scene.people["keeper"], DAY0)["entries"] == []
    assert Tasting.objects.count() == 0


def test_a_flight_that_arrives_last_of_all_is_finished_by_what_waited(scene: Flights) -> None:
    scene.poured()
    glasses = laid(scene, seed=3)
    for who in ("sharer", "other_sharer"):
        for glass in glasses:
            scene.score_unread(glass["code"], 5.0, by=who)

    flight = scene.pour(glasses=glasses, received=DAY0 + timedelta(days=EVENING + 1))

    assert scene.row(flight, "sharer")["opened_by"] == "finished"
    assert Tasting.objects.count() == 10
    assert {act.placement for act in Act.objects.filter(collection="tastings")} == {Placement.PLACED}


@pytest.mark.parametrize("day", [EVENING - 0.1, EVENING + 1.1])
def test_another_evenings_flight_does_not_take_it(scene: Flights, day: float) -> None:
    flight = scene.poured()
    act = scene.score_unread(scene.codes(flight, "sharer")[0], 5.0, day=day)
    assert act.set_aside_reason == "no_such_glass"


def test_a_flight_poured_for_others_does_not_take_it(scene: Flights) -> None:
    flight = scene.poured()
    code = scene.codes(flight, "sharer")[0]
    for who in ("member", "keeper"):
        act = scene.score_unread(code, 5.0, by=who)
        assert (act.placement, act.set_aside_reason) == (Placement.SET_ASIDE, "no_such_glass")
    assert scene.row(flight, "sharer")["tasters"][0]["scored"] == 0


def test_of_two_flights_with_one_code_the_keeper_decides_but_a_called_off_one_steps_back(
    scene: Flights,
) -> None:
    scene.poured(2)
    glasses = laid(scene)
    first = scene.pour(glasses=glasses)
    scene.pour(glasses=glasses)
    code = glasses[0]["code"]
    unclear = scene.score_unread(code, 5.0)
    assert (unclear.placement, unclear.set_aside_reason) == (Placement.SET_ASIDE, "flight_unclear")

    scene.call_off(first, is_poured=False)
    assert scene.score_unread(code, 6.0, by="other_sharer").placement == Placement.PLACED


def test_after_the_names_it_is_set_aside_never_refused(scene: Flights) -> None:
    flight = scene.poured()
    one, two = scene.codes(flight, "sharer")[:2]
    scene.score(flight, one, 5.0)
    scene.close(flight)

    late = scene.score_unread(two, 5.0, day=EVENING + 0.2)
    again = scene.score_unread(one, 9.0, received=DAY0 + timedelta(days=EVENING + 1))
    on_time = scene.score_unread(two, 4.0, received=DAY0 + timedelta(days=EVENING + 1))

    assert (late.placement, late.set_aside_reason) == (Placement.SET_ASIDE, "flight_open")
    assert (again.placement, again.set_aside_reason) == (Placement.SET_ASIDE, "already_scored")
    assert on_time.placement == Placement.PLACED
    assert sorted(tasting.liking for tasting in Tasting.objects.all()) == [4.0, 5.0]


def test_what_waits_is_on_the_tray_and_tells_its_score_to_its_taster_alone(scene: Flights) -> None:
    scene.poured()
    act = scene.score_unread("123", 2.5)

    told = {
        who: tray(scene.club, scene.people[who], DAY0)["entries"] for who in ("keeper", "sharer", "member")
    }
    assert told["member"] == []
    assert told["sharer"][0]["body"]["liking"] == 2.5
    assert told["keeper"][0]["body"] is None
    assert "glass 123" in told["keeper"][0]["reason_text"]
    assert {"void", "leave"} <= set(told["keeper"][0]["ways"])
    for reader in ("keeper", "admin", "other_sharer", "tablet"):
        assert log_rows([act], scene.people[reader])[0]["body"] is None


def test_a_wrong_number_is_put_right_by_its_taster_or_the_keeper(scene: Flights) -> None:
    flight = scene.poured()
    one, two = scene.codes(flight, "sharer")[:2]
    wrong = "999" if "999" not in scene.codes(flight, "sharer") else "998"
    mine = scene.score_unread(wrong, 6.0)
    theirs = scene.score_unread(wrong, 7.0, by="other_sharer")

    righted = scene.score_unread(one, 6.0, replaces=mine.pk)
    with pytest.raises(Forbidden):
        scene.score_unread(two, 6.0, replaces=theirs.pk)
    placed = scene.score_unread(two, 7.0, by="admin", replaces=theirs.pk)

    assert (righted.placement, placed.placement) == (Placement.PLACED, Placement.PLACED)
    assert BlindTasting.objects.get(act=placed).taster == scene.people["other_sharer"]
    assert tray(scene.club, scene.people["keeper"], DAY0)["entries"] == []


def test_a_waiting_score_is_taken_back_and_then_no_flight_takes_it_up(scene: Flights) -> None:
    scene.poured()
    glasses = laid(scene, seed=5)
    act = scene.score_unread(glasses[0]["code"], 6.0)
    scene.send("voids", by="sharer", day=EVENING + 0.1, act=act.pk, reason="spilt")

    flight = scene.pour(glasses=glasses)

    assert scene.row(flight, "sharer")["mine"] == []
    assert tray(scene.club, scene.people["keeper"], DAY0)["entries"] == []


def test_a_score_that_stands_is_not_taken_back_while_it_is_blind(scene: Flights) -> None:
    flight = scene.poured()
    act = scene.score(flight, scene.codes(flight, "sharer")[0], 5.0)
    with pytest.raises(Impossible, match="barrel's log"):
        scene.send("voids", by="sharer", day=EVENING + 0.1, act=act.pk, reason="spilt")


def test_devices_score_nothing(scene: Flights) -> None:
    scene.poured()
    for device in ("tablet", "sensor"):
        with pytest.raises(Forbidden):
            scene.score_unread("123", 5.0, by=device)


def test_the_pourer_scores_nothing_of_their_own(scene: Flights) -> None:
    flight = scene.poured()
    act = scene.score_unread(scene.row(flight, "keeper")["key"][0]["code"], 5.0, by="keeper")
    assert act.placement == Placement.SET_ASIDE
