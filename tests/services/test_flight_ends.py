"""How a flight ends: what was poured leaves the stock, and a flight that is called off tells nothing."""

from __future__ import annotations

import json
from datetime import timedelta

import pytest

from staveward.models import Act, Flight, Placement, Sample, Stay, Tasting
from staveward.selectors.flights import flight_queryset
from staveward.services.club_check import club_check
from staveward.services.errors import Conflict, Forbidden, Impossible
from tests.ledger import DAY0, ClubScene
from tests.services.flight_night import EVENING, Flights

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene() -> Flights:
    return Flights()


def in_order(scene: Flights) -> bool:
    scene.club.refresh_from_db()
    faults = club_check(scene.club, DAY0 + timedelta(days=EVENING + 2))
    return {fault.code for fault in faults} <= {"forecast_missing", "feed_lacks"}


# --- what was poured leaves the stock ------------------------------------------------------------------------


def test_what_nobody_scored_leaves_the_stock_under_the_pourers_name(scene: Flights) -> None:
    """Two tasters, four glasses of 10 mL, one scored: 80 mL in all, 10 of them in the score."""
    flight = scene.poured(is_without_duplicate=True)
    scene.score(flight, scene.codes(flight, "sharer")[0], 7.0)
    assert scene.used() == [0.0] * 4

    scene.close(flight)

    assert scene.used() == [20.0] * 4
    samples = Act.objects.filter(collection="samples")
    assert sorted(act.sample.sample_ml for act in samples) == [10.0, 20.0, 20.0, 20.0]
    for act in samples:
        assert act.author == scene.people["keeper"]
        assert act.ordered_at == DAY0 + timedelta(days=EVENING)
        assert act.placement == Placement.PLACED
        assert act.stay is not None
        assert act.body["flight"] == str(flight.pk)
    assert in_order(scene)


def test_all_scored_as_poured_leaves_no_sample_over(scene: Flights) -> None:
    flight = scene.poured(2)
    scene.score_all(flight, "sharer", [5, 6])
    scene.score_all(flight, "other_sharer", [5, 6])
    assert Sample.objects.count() == 0
    assert scene.used() == [20.0, 20.0]


def test_who_sips_less_than_was_poured_leaves_the_rest_out_of_the_wood_too(scene: Flights) -> None:
    flight = scene.poured(2)
    for code in scene.codes(flight, "sharer"):
        scene.score(flight, code, 5.0, sample_ml=4.0)
    for code in scene.codes(flight, "other_sharer"):
        scene.score(flight, code, 5.0, by="other_sharer", sample_ml=15.0)

    # 4 + 6 of the first; the second had a little more than their glass.
    assert scene.used() == [25.0, 25.0]
    assert in_order(scene)


def test_a_late_score_takes_its_part_off_the_sample_again(scene: Flights) -> None:
    flight = scene.poured(2)
    scene.close(flight)
    assert scene.used() == [20.0, 20.0]

    for who in ("sharer", "other_sharer"):
        for code in scene.codes(flight, who):
            scene.score(flight, code, 6.0, by=who, received=DAY0 + timedelta(days=EVENING + 1))
            assert scene.used() == [20.0, 20.0]

    assert Tasting.objects.count() == 4
    standing = Act.objects.filter(collection="samples", is_head=True)
    assert not standing.exists()
    assert in_order(scene)


def test_who_was_poured_nothing_costs_nothing(scene: Flights) -> None:
    flight = scene.poured(2)
    away = scene.people["other_sharer"].pk
    scene.score_all(flight, "sharer", [5, 6])

    scene.send("flight-closings", day=EVENING + 0.1, flight=flight.pk, not_poured_for=[away])

    assert scene.used() == [10.0, 10.0]
    assert Sample.objects.count() == 0


def test_only_tasters_without_a_score_were_poured_nothing(scene: Flights) -> None:
    flight = scene.poured(2)
    scene.score(flight, scene.codes(flight, "sharer")[0], 5.0)
    for who in ("sharer", "member"):
        with pytest.raises(Impossible) as refused:
            scene.send(
                "flight-closings",
                day=EVENING + 0.1,
                flight=flight.pk,
                not_poured_for=[scene.people[who].pk],
            )
        assert refused.value.fields[0].field == "not_poured_for"


def test_a_sample_is_corrected_and_taken_back_like_any_entry_and_then_stands_as_said(
    scene: Flights,
) -> None:
    flight = scene.poured(2)
    scene.close(flight)
    first, second = (
        Act.objects.get(collection="samples", barrel=barrel, is_head=True) for barrel in scene.barrels
    )
    scene.send(
        "samples",
        scene.barrels[0],
        day=EVENING,
        fill=scene.fills[0].pk,
        flight=flight.pk,
        sample_ml=12.0,
        replaces=first.pk,
    )
    scene.send("voids", day=EVENING + 0.2, act=second.pk, reason="nobody poured it")
    assert scene.used() == [12.0, 0.0]

    # A late score is added to what somebody said; their word is not touched.
    for code in scene.codes(flight, "sharer"):
        scene.score(flight, code, 6.0, received=DAY0 + timedelta(days=EVENING + 1))
    assert scene.used() == [22.0, 10.0]
    assert in_order(scene)


def test_a_sample_of_ones_own_is_drawn_without_a_flight(scene: Flights) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    scene.barrels = [barrel]
    scene.send("samples", barrel, by="sharer", day=3, fill=fill.pk, sample_ml=25.0)
    assert scene.used() == [25.0]
    with pytest.raises(Impossible, match="written at its end"):
        scene.send("samples", barrel, day=3, fill=fill.pk, sample_ml=25.0, flight=fill.pk)
    for device in ("tablet", "sensor"):
        with pytest.raises(Forbidden):
            scene.send("samples", barrel, by=device, day=3, fill=fill.pk, sample_ml=25.0)


# --- called off ----------------------------------------------------------------------------------------------


def test_called_off_nothing_is_told_no_score_counts_and_the_spirit_is_gone(scene: Flights) -> None:
    flight = scene.poured()
    code = scene.codes(flight, "sharer")[0]
    scene.score(flight, code, 2.5)

    scene.call_off(flight)

    assert Tasting.objects.count() == 0
    assert sum(scene.used()) == 100.0
    for reader in ("sharer", "other_sharer", "admin", "keeper"):
        row = scene.row(flight, reader)
        assert row["called_off_reason"] == "wrong barrel in the second glass"
        assert row["called_off_by"] == str(scene.people["keeper"].pk)
        assert (row["scores"], row["opened_at"]) == (None, None)
        assert (row["key"] is None) == (reader != "keeper")
        assert ("2.5" in json.dumps(row["mine"])) == (reader == "sharer")
    assert in_order(scene)


def test_called_off_before_it_was_poured_the_stock_stays(scene: Flights) -> None:
    flight = scene.poured()
    scene.call_off(flight, is_poured=False)
    assert sum(scene.used()) == 0.0
    assert Sample.objects.count() == 0


def test_a_score_that_comes_after_it_was_called_off_is_kept_and_counts_for_nothing(scene: Flights) -> None:
    flight = scene.poured(2)
    scene.call_off(flight)
    for who in ("sharer", "other_sharer"):
        scene.score_all(flight, who, [5, 6])
    assert Flight.objects.get().opened_at is None
    assert len(scene.row(flight, "sharer")["mine"]) == 2
    assert Tasting.objects.count() == 0
    assert scene.used() == [20.0, 20.0]


def test_called_off_twice_is_called_off_once(scene: Flights) -> None:
    flight = scene.poured()
    scene.call_off(flight)
    at = Flight.objects.get().called_off_at
    scene.call_off(flight, day=EVENING + 0.3)
    assert Flight.objects.get().called_off_at == at
    assert sum(scene.used()) == 100.0


def test_told_names_stay_told_and_a_called_off_flight_has_none(scene: Flights) -> None:
    flight = scene.poured()
    scene.close(flight)
    with pytest.raises(Conflict) as told:
        scene.call_off(flight)
    assert (told.value.code, told.value.fields[0].field) == ("flight_open", "flight")
    other = scene.pour()
    scene.call_off(other)
    with pytest.raises(Conflict) as gone:
        scene.close(other)
    assert gone.value.code == "called_off"


def test_pourer_or_keeper_call_off_and_no_taster_does(scene: Flights) -> None:
    flight = scene.poured(by="member", tasters=[scene.people["sharer"].pk, scene.people["admin"].pk])
    for who in ("sharer", "admin", "owner", "tablet", "sensor"):
        with pytest.raises(Forbidden):
            scene.call_off(flight, by=who)
    scene.call_off(flight, by="keeper")
    other = scene.pour(by="member", tasters=[scene.people["sharer"].pk])
    scene.call_off(other, by="member")
    assert Flight.objects.filter(called_off_at__isnull=True).count() == 0
    with pytest.raises(Impossible, match="No flight of that key"):
        ClubScene().send("flight-cancellations", flight=flight.pk, reason="not ours", is_poured=False)


def test_a_fill_that_was_decanted_meanwhile_still_gave_what_was_poured(scene: Flights) -> None:
    flight = scene.poured(2)
    scene.send("decants", scene.barrels[0], day=EVENING + 0.05, measured_volume_l=4.0)
    scene.close(flight)
    assert Stay.objects.get(barrel=scene.barrels[0]).sample_used_ml == 20.0
    assert {act.placement for act in Act.objects.filter(collection="samples")} == {Placement.PLACED}


def test_who_leans_reads_it_alone(scene: Flights) -> None:
    """Five glasses an evening for two evenings; 3 points higher each time is no chance (BLUP, science.agreement)."""
    for night in range(2):
        flight = scene.pour() if night else scene.poured()
        for who, liking in (("sharer", 8.0), ("other_sharer", 5.0)):
            for code in scene.codes(flight, who):
                scene.score(flight, code, liking, by=who, day=EVENING + night + 0.01)
    own = scene.row(flight, "sharer")["own"]
    theirs = scene.row(flight, "other_sharer")["own"]
    assert own["shared_glasses"] == 10
    assert own["offset"] == -theirs["offset"] > 1.0
    for reader in ("keeper", "admin"):
        row = scene.row(flight, reader)
        assert row["own"] is None
        assert str(own["offset"]) not in json.dumps(row)
    assert not flight_queryset(scene.club, scene.people["member"]).exists()
