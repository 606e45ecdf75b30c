"""Vessels blended, watered down, returned to nothing; fills pulled."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

import pytest

from staveward.models import Act, Vessel
from staveward.selectors.vessels import vessel_queryset, vessel_rows
from staveward.services.errors import Forbidden, Impossible
from tests.ledger import ClubScene

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


def vessel(scene: ClubScene, name: str, **fill: Any) -> Act:
    barrel = scene.barrel(name)
    scene.fill(barrel, **fill)
    return scene.send("decants", barrel, day=30, measured_volume_l=4.0, abv_pct=60.0)


def blend(scene: ClubScene, *parts: tuple[Act, float], day: float = 31, **body: Any) -> Act:
    lines = [{"vessel": act.pk, "volume_l": volume_l} for act, volume_l in parts]
    return scene.send("blends", day=day, **{"name": "both", "parts": lines, **body})


def row(scene: ClubScene, act: Act) -> dict[str, Any]:
    return vessel_rows(vessel_queryset(scene.club, scene.people["keeper"]).filter(pk=act.pk))[0]


def test_a_blend_holds_its_parts_people_by_what_they_gave_and_all_their_warnings(scene: ClubScene) -> None:
    nuts = [{"name": "nut", "volume_l": 4.7, "abv_pct": 60.0, "allergens": ["nuts"], "cost_minor": 4000}]
    one = vessel(scene, "Neap")
    other = vessel(
        scene,
        "Ebb",
        parts=nuts,
        sharers=[{"person": scene.people["member"].pk, "weight": 1}],
        is_private=True,
    )

    made = row(scene, blend(scene, (one, 3.0), (other, 1.0)))

    names = {str(person.pk): name for name, person in scene.people.items()}
    assert {names[share["person"]]: share["weight"] for share in made["shares"]} == {
        "sharer": 2000,
        "other_sharer": 1000,
        "member": 1000,
    }
    assert made["allergens"] == ["nuts"]
    assert made["is_private"] is True
    assert made["cost_minor"] == 1000
    assert made["volume_l"] == pytest.approx(4.0)
    assert row(scene, one)["left_l"] == pytest.approx(1.0)


def test_a_clubs_own_liquid_keeps_its_part_in_a_blend(scene: ClubScene) -> None:
    one, clubs = vessel(scene, "Neap"), vessel(scene, "Ebb", sharers=[])

    made = row(scene, blend(scene, (one, 3.0), (clubs, 1.0)))

    assert made["club_weight"] == 1000
    assert sum(share["weight"] for share in made["shares"]) == 3000


def test_water_brings_the_strength_down_and_shrinks(scene: ClubScene) -> None:
    """60 % vol with an equal volume of water: about 30.5 % vol after contraction (OIML R 22 tables)."""
    made = row(scene, blend(scene, (vessel(scene, "Neap"), 2.0), water_l=2.0))

    assert made["volume_l"] < 4.0
    assert made["abv_pct"] == pytest.approx(30.5, abs=0.4)
    assert made["abv_basis"] == "calculated"


def test_a_corrected_source_mends_the_blend(scene: ClubScene) -> None:
    one = vessel(scene, "Neap")
    made = blend(scene, (one, 2.0), water_l=1.0)
    fill = Act.objects.get(barrel=one.barrel, collection="fills")

    mended = [{"name": "rye", "volume_l": 4.7, "abv_pct": 60.0, "allergens": ["gluten_cereals"]}]
    assert one.barrel is not None
    scene.fill(one.barrel, replaces=fill.pk, parts=mended)

    assert row(scene, made)["allergens"] == ["gluten_cereals"]


def test_a_blend_that_is_none_is_refused(scene: ClubScene) -> None:
    one = vessel(scene, "Neap")
    made = blend(scene, (one, 1.0), water_l=1.0)
    for parts, body in (
        ([(one, 1.0)], {}),
        ([(one, 1.0), (one, 1.0)], {}),
        ([(made, 1.0)], {"water_l": 1.0, "replaces": made.pk}),
        ([(one, 4.5)], {"water_l": 1.0}),
    ):
        with pytest.raises(Impossible):
            blend(scene, *parts, **body)
    assert Vessel.objects.count() == 2


def test_what_is_poured_away_is_gone_with_its_reason(scene: ClubScene) -> None:
    one = vessel(scene, "Neap")

    scene.send("discards", day=32, vessel=one.pk, volume_l=0.5, reason="cloudy")

    assert row(scene, one)["left_l"] == pytest.approx(3.5)
    assert row(scene, one)["draws"][0]["collection"] == "discards"
    with pytest.raises(Forbidden):
        scene.send("discards", day=32, by="sharer", vessel=one.pk, volume_l=0.5, reason="cloudy")
    with pytest.raises(Impossible):
        scene.send("discards", day=32, vessel=uuid4(), volume_l=0.5, reason="cloudy")


def test_votes_and_the_decision_stand_in_the_fills_log(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)

    vote = scene.send("pull-votes", barrel, day=20, by="sharer", fill=fill.pk, choice="pull")
    pull = scene.send("pulls", barrel, day=21, fill=fill.pk)

    assert (vote.placement, vote.stay_id) == ("placed", fill.pk)
    assert (pull.placement, pull.stay_id) == ("placed", fill.pk)


def test_a_vote_before_its_fill_arrives_waits_for_it(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill_id = uuid4()
    vote = scene.send("pull-votes", barrel, day=20, fill=fill_id, choice="wait")
    assert (vote.placement, vote.set_aside_reason) == ("set_aside", "fill_not_placed")

    scene.fill(barrel, act_id=fill_id)

    vote.refresh_from_db()
    assert (vote.placement, vote.stay_id) == ("placed", fill_id)


def test_who_votes_and_who_decides(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    for who in ("member", "tablet", "owner"):
        with pytest.raises(Forbidden):
            scene.send("pull-votes", barrel, day=20, by=who, fill=fill.pk, choice="pull")
    with pytest.raises(Forbidden):
        scene.send("pulls", barrel, day=20, by="sharer", fill=fill.pk)
    scene.club.pull_by = "sharers"
    scene.club.save()
    for person in scene.people.values():
        person.refresh_from_db()

    assert scene.send("pulls", barrel, day=20, by="sharer", fill=fill.pk).placement == "placed"
    with pytest.raises(Forbidden):
        scene.send("pulls", barrel, day=20, by="member", fill=fill.pk)


@pytest.mark.parametrize("is_corrected_first", [True, False])
def test_a_blend_is_as_strong_as_its_parts_whichever_came_first(
    scene: ClubScene, is_corrected_first: bool
) -> None:
    one, other = vessel(scene, "Neap"), vessel(scene, "Ebb")

    def correct() -> None:
        scene.send("decants", one.barrel, day=30, measured_volume_l=4.0, abv_pct=20.0, replaces=one.pk)

    if is_corrected_first:
        correct()
    made = blend(scene, (one, 2.0), (other, 2.0))
    on = blend(scene, (made, 2.0), water_l=2.0, day=32)
    if not is_corrected_first:
        correct()

    # Equal volumes of 60 and 20 % vol: 1.987 L of 2, 40.27 % vol (OIML R 22 densities, conserved masses).
    assert row(scene, made)["abv_pct"] == pytest.approx(40.27, abs=0.01)
    assert row(scene, made)["volume_l"] == pytest.approx(2 * 1.987, abs=0.002)
    # Half of it with as much water: alcohol is conserved, and the volume shrinks a little more.
    thinner = row(scene, on)
    assert thinner["abv_pct"] * thinner["volume_l"] == pytest.approx(2 * 40.27, abs=0.03)
    assert 3.9 < thinner["volume_l"] < 4.0


def test_what_somebody_measured_in_a_blend_stays_measured(scene: ClubScene) -> None:
    one, other = vessel(scene, "Neap"), vessel(scene, "Ebb")
    made = blend(scene, (one, 2.0), (other, 2.0), volume_l=3.9, abv_pct=58.5)
    scene.send("decants", one.barrel, day=30, measured_volume_l=4.0, abv_pct=20.0, replaces=one.pk)
    assert (row(scene, made)["volume_l"], row(scene, made)["abv_pct"]) == (3.9, 58.5)
    assert row(scene, made)["abv_basis"] == "measured"


def test_a_blend_of_what_nobody_knows_the_strength_of_has_none_until_it_is_known(scene: ClubScene) -> None:
    barrel, other = scene.barrel("Neap"), vessel(scene, "Ebb")
    unknown = scene.send("decants", barrel, day=30, measured_volume_l=4.0)
    made = blend(scene, (unknown, 2.0), (other, 2.0))
    assert row(scene, made)["abv_pct"] is None
    assert row(scene, made)["volume_l"] == pytest.approx(4.0)

    scene.fill(barrel, day=0, parts=[{"name": "rye", "volume_l": 4.7, "abv_pct": 20.0}])

    assert row(scene, made)["abv_pct"] == pytest.approx(40.27, abs=0.01)
    assert row(scene, made)["volume_l"] == pytest.approx(2 * 1.987, abs=0.002)
