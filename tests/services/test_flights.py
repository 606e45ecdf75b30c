"""Blind flights: codes and orders, who may do what, nothing told before the opening, and everything after it."""

from __future__ import annotations

import json
from datetime import timedelta
from random import Random
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from staveward.models import Act, Barrel, BlindTasting, Flight, Job, Person, Placement, Stay, Tasting
from staveward.selectors.changes import changes_page
from staveward.selectors.flights import flight_queryset, flight_rows
from staveward.services.club_check import club_check
from staveward.services.errors import Conflict, Forbidden, Impossible
from staveward.services.flight_codes import codes_in_order, glasses_lay
from tests.ledger import DAY0, ClubScene
from tests.services.flight_night import EVENING, Flights

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene() -> Flights:
    return Flights()


# --- codes ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("samples", range(2, 11))
@pytest.mark.parametrize("seed", range(20))
def test_glasses_have_three_digits_each_once_and_a_duplicate_never_stands_beside_itself(
    samples: int, seed: int
) -> None:
    fills = [uuid4() for _ in range(samples)]

    glasses = glasses_lay(fills, with_duplicate=True, chance=Random(seed))

    codes = [glass.code for glass in glasses]
    assert len(set(codes)) == len(codes)
    assert all(len(code) == 3 and code.isdigit() for code in codes)
    assert {glass.fill_id for glass in glasses} == set(fills)
    doubled = [index for index, glass in enumerate(glasses) if glass.is_doubled]
    assert len(doubled) == (2 if samples >= 4 else 0)
    if doubled:
        apart = doubled[1] - doubled[0]
        assert 1 < apart < len(glasses) - 1


def test_each_taster_has_an_order_of_their_own_and_every_glass_comes_first_for_somebody() -> None:
    glasses = glasses_lay([uuid4() for _ in range(5)], with_duplicate=True, chance=Random(3))

    orders = [codes_in_order(glasses, taster) for taster in range(len(glasses))]

    for position in range(len(glasses)):
        assert {order[position] for order in orders} == {glass.code for glass in glasses}


def test_no_duplicate_where_none_is_wanted(scene: Flights) -> None:
    assert scene.row(scene.poured(is_without_duplicate=True), "keeper")["glasses"] == 4


def test_the_alcohol_of_a_flight_is_that_of_its_glasses(scene: Flights) -> None:
    """Five glasses of 10 mL at 55 % vol: 5 x 10 x 0.55 = 27.5 mL, by the meaning of "% vol"."""
    assert scene.row(scene.poured(), "sharer")["ethanol_ml"] == pytest.approx(27.5)


def test_a_flight_warns_of_what_any_of_its_barrels_ever_held(scene: Flights) -> None:
    nuts = [{"name": "nut", "volume_l": 4.7, "abv_pct": 55.0, "allergens": ["nuts"]}]
    barrel = scene.barrel("Springs")
    scene.fill(barrel, parts=nuts)
    scene.send("decants", barrel, day=10, measured_volume_l=4.0)
    scene.poured(2)
    scene.fills.append(scene.fill(barrel, day=20))

    assert scene.row(scene.pour(), "sharer")["allergens"] == ["nuts"]


# --- what is not told ----------------------------------------------------------------------------------------


def test_only_whoever_poured_sees_the_key_before_the_opening(scene: Flights) -> None:
    flight = scene.poured()
    scene.score(flight, scene.codes(flight, "sharer")[0], 7.0)

    assert len(scene.row(flight, "keeper")["key"]) == 5
    for reader in ("sharer", "other_sharer", "admin"):
        row = scene.row(flight, reader)
        assert (row["key"], row["scores"], row["own"]) == (None, None, None)
        told = json.dumps(row)
        for barrel, fill in zip(scene.barrels, scene.fills, strict=True):
            assert str(barrel.pk) not in told
            assert str(fill.pk) not in told
    assert [line["scored"] for line in scene.row(flight, "other_sharer")["tasters"]] == [1, 0]
    assert scene.row(flight, "other_sharer")["mine"] == []
    orders = {line["person"]: line["codes"] for line in scene.row(flight, "sharer")["tasters"]}
    assert orders[str(scene.people["other_sharer"].pk)] is None


def test_a_blind_score_leaves_no_trace_at_any_barrel(scene: Flights) -> None:
    flight = scene.poured()
    before = {row.pk: (row.sample_used_ml, row.pull_id) for row in Stay.objects.for_club(scene.club)}
    Job.objects.all().delete()
    seq = _head(scene)

    scene.score(flight, scene.codes(flight, "sharer")[0], 2.0)

    assert Tasting.objects.count() == 0
    assert not Act.objects.filter(barrel__in=scene.barrels, collection="tastings").exists()
    assert {row.pk: (row.sample_used_ml, row.pull_id) for row in Stay.objects.for_club(scene.club)} == before
    assert Job.objects.count() == 0
    for reader in ("other_sharer", "admin", "member"):
        fresh = _rows_after(scene, seq, reader)
        shown = [line for line in fresh if line["row"] is not None]
        assert {line["collection"] for line in shown} <= {"flights"}
        assert "2.0" not in json.dumps([line["row"]["mine"] for line in shown])


def test_who_is_not_in_a_flight_does_not_know_of_it(scene: Flights) -> None:
    flight = scene.poured()
    for reader in ("member", "owner", "tablet", "sensor"):
        assert not flight_queryset(scene.club, scene.people[reader]).filter(pk=flight.pk).exists()


# --- the opening ---------------------------------------------------------------------------------------------


def test_the_last_score_opens_the_names_and_everything_stands_at_its_barrel(scene: Flights) -> None:
    flight = scene.poured()
    scene.score_all(flight, "sharer", [5, 6, 7, 8, 9])
    assert Flight.objects.get().opened_at is None
    scene.score_all(flight, "other_sharer", [4, 4, 4, 4, 4])

    row = scene.row(flight, "sharer")
    assert row["opened_by"] == "finished"
    assert Tasting.objects.count() == 10
    key = {line["code"]: line["barrel"] for line in row["key"]}
    for line in row["mine"]:
        act = BlindTasting.objects.get(act=line["act"]).tasting
        assert act is not None
        assert act.placement == Placement.PLACED
        assert str(act.barrel_id) == key[line["code"]]
        assert (act.author.pk, act.body["liking"], act.body["flight"]) == (
            scene.people["sharer"].pk,
            line["liking"],
            str(flight.pk),
        )
        assert act.body["position"] == scene.codes(flight, "sharer").index(line["code"]) + 1
    # 10 glasses of 10 mL have left the wood, those of the doubled fill twice.
    used = sorted(stay.sample_used_ml for stay in Stay.objects.for_club(scene.club))
    assert used == [20.0, 20.0, 20.0, 40.0]
    # The forecasts learn with the next tick.
    assert {job.name for job in Job.objects.all()} == {"forecast", "pull_forecast"}
    scene.club.refresh_from_db()
    faults = club_check(scene.club, DAY0 + timedelta(days=41))
    assert {fault.code for fault in faults} <= {"forecast_missing", "feed_lacks"}


def test_others_see_one_figure_for_a_fill_that_stood_there_twice(scene: Flights) -> None:
    flight = scene.poured()
    scene.score_all(flight, "sharer", [5, 6, 7, 8, 9])
    scene.close(flight)

    row = scene.row(flight, "other_sharer")

    assert len(row["scores"]) == 4
    assert sum(one["liking"] for one in row["scores"]) == pytest.approx(
        sum([5, 6, 7, 8, 9]) - _doubled_sum(scene, flight) / 2
    )
    assert scene.row(flight, "sharer")["own"]["pairs"] == 1
    assert row["own"]["pairs"] == 0
    # What scores say of a taster is theirs alone; the keeper does not read it.
    for reader in ("keeper", "admin"):
        assert scene.row(flight, reader)["own"] is None


def test_own_noise_comes_from_five_hidden_duplicates(scene: Flights) -> None:
    """sqrt(mean(difference^2) / 2) with differences of 1: sqrt(1/2) (G. Dahlberg, 1940, from memory)."""
    for night in range(5):
        tasters = [scene.people["sharer"].pk]
        flight = scene.pour(tasters=tasters) if night else scene.poured(tasters=tasters)
        fills = {line["code"]: line["fill"] for line in scene.row(flight, "keeper")["key"]}
        seen: set[str] = set()
        for code in scene.codes(flight, "sharer"):
            liking = 6.0 if fills[code] in seen else 5.0
            seen.add(fills[code])
            scene.score(flight, code, liking, day=EVENING + night + 0.01)
        pairs, sd = (scene.row(flight, "sharer")["own"][name] for name in ("pairs", "sd"))
        assert (pairs, sd) == (night + 1, None if night < 4 else 0.71)


def test_the_pourer_closes_what_nobody_finishes_and_a_second_closing_says_nothing_new(scene: Flights) -> None:
    flight = scene.poured()
    scene.score(flight, scene.codes(flight, "sharer")[0], 7.0)

    scene.close(flight)
    opened_at = Flight.objects.get().opened_at
    scene.close(flight, day=EVENING + 0.2)

    assert Flight.objects.get().opened_at == opened_at
    assert scene.row(flight, "sharer")["opened_by"] == "closed"
    assert Tasting.objects.count() == 1


def test_the_keeper_closes_for_a_pourer_who_is_away(scene: Flights) -> None:
    flight = scene.poured(by="sharer", tasters=[scene.people["other_sharer"].pk])
    scene.close(flight)
    assert Flight.objects.get().opened_by == "closed"


def test_a_score_given_before_the_opening_counts_when_it_comes_after_it(scene: Flights) -> None:
    flight = scene.poured()
    code = scene.codes(flight, "sharer")[0]
    scene.close(flight)

    late = scene.score(flight, code, 6.5, received=DAY0 + timedelta(days=EVENING + 1))

    tasting = BlindTasting.objects.get(act=late).tasting
    assert tasting is not None
    assert tasting.placement == Placement.PLACED
    assert tasting.ordered_at == DAY0 + timedelta(days=EVENING + 0.01)


def test_a_score_given_again_takes_the_place_of_the_first(scene: Flights) -> None:
    flight = scene.poured()
    code = scene.codes(flight, "sharer")[0]
    first = scene.score(flight, code, 3.0)
    scene.score(flight, code, 8.0, day=EVENING + 0.02, replaces=first.pk)
    scene.score(flight, code, 8.5, day=EVENING + 0.03)

    assert [line["liking"] for line in scene.row(flight, "sharer")["mine"]] == [8.5]
    scene.close(flight)
    assert [tasting.liking for tasting in Tasting.objects.all()] == [8.5]


def test_a_blind_tasting_is_corrected_and_taken_back_like_any_other(scene: Flights) -> None:
    flight = scene.poured()
    scene.score(flight, scene.codes(flight, "sharer")[0], 3.0, profile={"vanilla_spice": 6}, note="oak")
    scene.close(flight)
    act = Act.objects.get(collection="tastings")
    barrel = Barrel.objects.get(pk=act.barrel_id)

    again = scene.send(
        "tastings", barrel, by="sharer", day=EVENING + 0.2, **_retold(act, liking=5.0), replaces=act.pk
    )
    assert again.placement == Placement.PLACED
    assert again.body["profile"] == {"vanilla_spice": 6}
    scene.send("voids", by="sharer", day=EVENING + 0.3, act=again.pk)

    # What the others' glasses and the twin held has left the wood all the same.
    glasses = sum(line["barrel"] == str(barrel.pk) for line in scene.row(flight, "keeper")["key"])
    assert Stay.objects.get(barrel=barrel).sample_used_ml == 10.0 * (2 * glasses - 1)
    # What was said blind stands as it was said.
    assert [line["liking"] for line in scene.row(flight, "sharer")["mine"]] == [3.0]


def test_an_open_taste_of_the_same_day_does_not_push_a_blind_one_aside(scene: Flights) -> None:
    flight = scene.poured(2)
    scene.taste(scene.barrels[0], scene.fills[0], day=EVENING)
    scene.score_all(flight, "sharer", [6, 7])
    scene.close(flight)

    acts = Act.objects.filter(collection="tastings", barrel=scene.barrels[0])
    assert {act.placement for act in acts} == {Placement.PLACED}
    assert sorted(act.tasting.replicate for act in acts) == [1, 2]


def test_a_fill_that_was_corrected_meanwhile_keeps_its_blind_scores(scene: Flights) -> None:
    flight = scene.poured(2)
    scene.score_all(flight, "sharer", [6, 7])
    scene.fill(scene.barrels[0], name="rye, finer", replaces=scene.fills[0].pk)
    scene.close(flight)

    act = Act.objects.get(collection="tastings", barrel=scene.barrels[0])
    assert act.placement == Placement.PLACED
    assert act.stay is not None


def test_the_same_entry_again_changes_nothing(scene: Flights) -> None:
    key = uuid4()
    flight = scene.poured(act_id=key)
    codes = scene.row(flight, "keeper")["key"]
    assert scene.pour(act_id=key).pk == flight.pk
    assert scene.row(flight, "keeper")["key"] == codes

    score = uuid4()
    code = scene.codes(flight, "sharer")[0]
    scene.score(flight, code, 7.0, act_id=score)
    scene.close(flight)
    scene.score(flight, code, 7.0, act_id=score)
    assert Tasting.objects.count() == 1


def test_rows_cost_as_many_queries_for_many_flights_as_for_one(scene: Flights) -> None:
    def cost() -> int:
        reader = scene.people["keeper"]
        with CaptureQueriesContext(
            connection,
        ) as queries:
            flight_rows(flight_queryset(scene.club, reader), scene.club, reader)
        return len(queries)

    flight = scene.poured()
    scene.score_all(flight, "sharer", [5, 6, 7, 8, 9])
    scene.close(flight)
    one = cost()
    for _ in range(3):
        more = scene.pour()
        scene.score_all(more, "other_sharer", [5, 6, 7, 8, 9])
        scene.close(more)
    assert cost() == one


# --- refusals ------------------------------------------------------------------------------------------------


def test_whoever_pours_does_not_taste(scene: Flights) -> None:
    with pytest.raises(Impossible, match="does not taste blind"):
        scene.poured(tasters=[scene.people["keeper"].pk])
    flight = scene.pour()
    with pytest.raises(Forbidden, match="knows the codes"):
        scene.score(flight, scene.row(flight, "keeper")["key"][0]["code"], 7.0, by="keeper")


def test_codes_and_tasters_are_those_of_the_flight(scene: Flights) -> None:
    flight = scene.poured()
    other = scene.pour(tasters=[scene.people["member"].pk])
    own = set(scene.codes(flight, "sharer"))
    foreign = next(code for code in (str(n) for n in range(100, 1000)) if code not in own)

    with pytest.raises(Impossible, match="No glass of this flight") as refused:
        scene.score(flight, foreign, 7.0)
    assert refused.value.fields[0].field == "code"
    with pytest.raises(Forbidden, match="poured for others"):
        scene.score(other, scene.codes(other, "member")[0], 7.0)
    with pytest.raises(Forbidden, match="poured for others"):
        scene.score(flight, next(iter(own)), 7.0, by="owner")


def test_no_score_once_the_names_are_known(scene: Flights) -> None:
    flight = scene.poured()
    codes = scene.codes(flight, "sharer")
    scene.score(flight, codes[0], 7.0)
    scene.close(flight)

    with pytest.raises(Conflict) as told:
        scene.score(flight, codes[1], 7.0, day=EVENING + 0.2)
    assert told.value.code == "flight_open"
    with pytest.raises(Conflict) as twice:
        scene.score(flight, codes[0], 8.0, received=DAY0 + timedelta(days=EVENING + 1))
    assert twice.value.code == "already_scored"


def test_a_score_replaces_ones_own_of_the_same_glass_only(scene: Flights) -> None:
    flight = scene.poured()
    one, two, *_ = scene.codes(flight, "sharer")
    first = scene.score(flight, one, 7.0)
    theirs = scene.score(flight, one, 4.0, by="other_sharer")

    with pytest.raises(Forbidden):
        scene.score(flight, two, 7.0, replaces=first.pk)
    with pytest.raises(Forbidden):
        scene.score(flight, one, 7.0, replaces=theirs.pk)


def test_only_pourer_and_keepers_close_and_no_taster_does(scene: Flights) -> None:
    flight = scene.poured(tasters=[scene.people["sharer"].pk, scene.people["admin"].pk])
    for who in ("sharer", "admin"):
        with pytest.raises(Forbidden):
            scene.close(flight, by=who)
    with pytest.raises(Forbidden, match="Whoever poured"):
        scene.close(flight, by="member")


def test_a_private_fill_is_poured_by_and_for_its_sharers(scene: Flights) -> None:
    scene.poured(2)
    scene.barrels.append(scene.barrel("Springs"))
    scene.fills.append(scene.fill(scene.barrels[-1], is_private=True))

    with pytest.raises(Forbidden, match="Springs"):
        scene.pour(by="member")
    with pytest.raises(Impossible, match="Springs"):
        scene.pour(tasters=[scene.people["member"].pk])
    assert scene.pour(by="sharer", tasters=[scene.people["other_sharer"].pk])


def test_devices_and_strangers_neither_pour_nor_taste(scene: Flights) -> None:
    scene.poured(2)
    for device in ("tablet", "sensor"):
        with pytest.raises(Forbidden):
            scene.pour(by=device)
        with pytest.raises(Impossible, match="device"):
            scene.pour(tasters=[scene.people[device].pk])
    gone = Person.objects.get(pk=scene.people["member"].pk)
    gone.left_at = DAY0
    gone.save()
    for stranger in (uuid4(), ClubScene().people["member"].pk, gone.pk):
        with pytest.raises(Impossible, match="Nobody of that key"):
            scene.pour(tasters=[stranger])


def test_fills_and_flights_are_the_clubs_own_and_stand_once(scene: Flights) -> None:
    flight = scene.poured(2)
    other = ClubScene()
    foreign = other.fill(other.barrel())
    for fill in (uuid4(), foreign.pk, flight.pk):
        with pytest.raises(Impossible, match="No fill of that key"):
            scene.pour(fills=[scene.fills[0].pk, fill])
    with pytest.raises(Impossible, match="twice"):
        scene.pour(fills=[scene.fills[0].pk, scene.fills[0].pk])
    with pytest.raises(Impossible, match="named twice"):
        scene.pour(tasters=[scene.people["sharer"].pk] * 2)
    for name in ("blind-tastings", "flight-closings"):
        with pytest.raises(Impossible, match="No flight of that key"):
            other.send(name, flight=flight.pk, code="123", liking=5.0, tasted_on=DAY0.date())


def test_an_open_tasting_names_no_flight_of_its_own_accord(scene: Flights) -> None:
    flight = scene.poured()
    code = scene.codes(flight, "sharer")[0]
    with pytest.raises(Impossible, match="without its barrel"):
        scene.taste(scene.barrels[0], scene.fills[0], day=EVENING, flight=flight.pk, code=code)


def test_nothing_of_a_flight_is_voided_before_the_opening(scene: Flights) -> None:
    flight = scene.poured()
    score = scene.score(flight, scene.codes(flight, "sharer")[0], 7.0)
    for act in (flight, score):
        with pytest.raises(Impossible):
            scene.send("voids", day=EVENING + 0.2, act=act.pk)


def _doubled_sum(scene: Flights, flight: Act) -> float:
    scores = BlindTasting.objects.filter(glass__flight=flight.pk, glass__is_doubled=True)
    return sum(score.liking for score in scores)


def _retold(act: Act, **changes: Any) -> dict[str, Any]:
    """The body of a tasting as a phone sends it again to correct it."""
    told = {
        name: value for name, value in act.body.items() if name not in ("happened_at", "entered_at", "barrel")
    }
    return {**told, "tasted_on": act.tasting.tasted_on, **changes}


def _head(scene: ClubScene) -> str:
    cursor: str = changes_page(scene.club, scene.people["keeper"], None, DAY0, 500)["cursor"]
    return cursor


def _rows_after(scene: ClubScene, cursor: str, reader: str) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = changes_page(scene.club, scene.people[reader], cursor, DAY0, 500)["rows"]
    return rows
