"""Vessels: made with every decant, theirs whose fill it was, drawn on and never below what was ever in them."""

from __future__ import annotations

from itertools import permutations
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.db import transaction

from staveward.models import Act, Barrel, Vessel
from staveward.selectors.vessels import vessel_queryset, vessel_rows
from staveward.services.errors import Forbidden, Impossible
from staveward.services.vessels import vessel_draw, vessels_follow
from tests.ledger import ClubScene
from tests.reading import queries_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


def decanted(scene: ClubScene, barrel: Barrel, *, day: float = 30, **changes: Any) -> Act:
    return scene.send("decants", barrel, day=day, **{"measured_volume_l": 4.2, "abv_pct": 54.0, **changes})


def row(scene: ClubScene, vessel_id: UUID, by: str = "keeper") -> dict[str, Any]:
    return vessel_rows(vessel_queryset(scene.club, scene.people[by]).filter(pk=vessel_id))[0]


def draw(scene: ClubScene, vessel_id: UUID, volume_l: float, *, day: float = 31, by: str = "keeper") -> Act:
    """Draws by an act that has no other effect on a vessel."""
    act = scene.send("tendings", Barrel.objects.for_club(scene.club).first(), day=day, by=by, tasks=["roll"])
    with transaction.atomic():
        vessel_draw(act, scene.club, vessel_id, volume_l, "volume_l")
        vessels_follow(act)
    act.refresh_from_db()
    return act


def test_a_decant_makes_a_vessel_with_all_that_the_fill_gave_it(scene: ClubScene) -> None:
    barrel = scene.barrel()
    part = {
        "name": "rye",
        "volume_l": 4.7,
        "abv_pct": 55.0,
        "cost_minor": 9000,
        "allergens": ["gluten_cereals"],
    }
    fill = scene.fill(barrel, parts=[part])

    decant = decanted(scene, barrel, vessel_name="the demijohn")

    found = row(scene, decant.pk)
    assert found["name"] == "the demijohn"
    assert (found["volume_l"], found["left_l"], found["abv_pct"]) == (4.2, 4.2, 54.0)
    assert (found["abv_basis"], found["spirit"], found["family"]) == ("measured", "whisky", "spirit")
    assert (found["barrel"], found["fill"]) == (str(barrel.pk), str(fill.pk))
    assert found["allergens"] == ["gluten_cereals"]
    assert found["cost_minor"] == 9000
    assert [share["weight"] for share in found["shares"]] == [2, 1]


def test_a_vessel_nobody_named_is_called_by_its_fill_and_keeps_its_strength_from_it(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.fill(barrel)

    found = row(scene, decanted(scene, barrel, abv_pct=None).pk)

    assert (found["name"], found["abv_pct"], found["abv_basis"]) == (
        "rye, plain",
        pytest.approx(55.0),
        "as_filled",
    )


def test_what_the_wood_held_before_is_warned_of_with_the_liquid(scene: ClubScene) -> None:
    barrel = scene.barrel(adopted=True, adopted_allergens=["nuts"])
    scene.fill(barrel, parts=[{"name": "cream", "volume_l": 4.0, "abv_pct": 40.0, "allergens": ["milk"]}])
    decanted(scene, barrel, day=10)
    scene.fill(barrel, day=11)
    after = decanted(scene, barrel, day=40)
    scene.fill(
        barrel, day=41, parts=[{"name": "egg", "volume_l": 4.0, "abv_pct": 40.0, "allergens": ["egg"]}]
    )

    assert row(scene, after.pk)["allergens"] == ["milk", "nuts"]


def test_the_fill_the_decant_and_its_correction_come_in_any_order(scene: ClubScene) -> None:
    seen = []
    for turn in permutations(("fill", "decant", "mended fill")):
        barrel = scene.barrel("Barrel " + ", ".join(turn))
        fill_id, decant_id, mended_id = uuid4(), uuid4(), uuid4()
        if turn.index("mended fill") < turn.index("fill"):
            # A phone sends a correction after what it corrects, always.
            continue
        for step in turn:
            if step == "fill":
                scene.fill(barrel, act_id=fill_id)
            elif step == "decant":
                decanted(scene, barrel, act_id=decant_id)
            else:
                share = [{"person": scene.people["member"].pk, "weight": 1}]
                scene.fill(barrel, act_id=mended_id, replaces=fill_id, name="rye, mended", sharers=share)
        found = row(scene, decant_id)
        assert found["fill"] == str(mended_id)
        seen.append({**found, "id": "", "barrel": "", "fill": ""})
    assert len(seen) == 3
    assert all(one == seen[0] for one in seen)


def test_a_decant_without_its_fill_keeps_its_vessel_and_gets_its_people_later(scene: ClubScene) -> None:
    barrel = scene.barrel()
    decant = decanted(scene, barrel)
    assert decant.placement == "set_aside"
    assert row(scene, decant.pk)["shares"] == []

    scene.fill(barrel)

    assert len(row(scene, decant.pk)["shares"]) == 2


def test_a_corrected_decant_keeps_its_vessel(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.fill(barrel)
    decant = decanted(scene, barrel)

    decanted(scene, barrel, measured_volume_l=4.0, replaces=decant.pk)
    decanted(scene, barrel, measured_volume_l=1.0, replaces=decant.pk)

    assert Vessel.objects.for_club(scene.club).count() == 1
    assert row(scene, decant.pk)["volume_l"] == 4.0


def test_a_decant_taken_back_takes_its_vessel_off_the_list(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.fill(barrel)
    decant = decanted(scene, barrel)

    scene.send("voids", day=31, act=decant.pk, reason="wrong barrel")

    assert not vessel_queryset(scene.club, scene.people["keeper"]).exists()


def test_what_is_drawn_leaves_the_rest(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.fill(barrel)
    vessel_id = decanted(scene, barrel).pk

    act = draw(scene, vessel_id, 1.5)

    assert act.flags == []
    assert row(scene, vessel_id)["left_l"] == pytest.approx(2.7)


def test_more_than_is_left_is_kept_and_flagged_in_the_order_of_the_log(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.fill(barrel)
    vessel_id = decanted(scene, barrel).pk
    second = draw(scene, vessel_id, 3.0, day=33)

    first = draw(scene, vessel_id, 3.0, day=32)

    second.refresh_from_db()
    assert (first.flags, second.flags) == ([], ["over_vessel"])
    assert row(scene, vessel_id)["left_l"] == 0.0
    scene.send("voids", day=34, act=first.pk, reason="another vessel")
    second.refresh_from_db()
    assert second.flags == []


def test_more_than_was_ever_in_it_cannot_be(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.fill(barrel)
    vessel_id = decanted(scene, barrel).pk

    with pytest.raises(Impossible) as refused:
        draw(scene, vessel_id, 4.7)

    assert "4.62" in refused.value.fields[0].allowed
    with pytest.raises(Impossible):
        draw(scene, vessel_id, 0.0)
    with pytest.raises(Impossible):
        draw(scene, uuid4(), 1.0)
    assert draw(scene, vessel_id, 4.6).flags == ["over_vessel"]


def test_a_vessel_of_another_club_is_not_found(scene: ClubScene) -> None:
    other = ClubScene("Next Door")
    theirs = other.barrel()
    other.fill(theirs)
    decant = decanted(other, theirs)
    scene.barrel()

    with pytest.raises(Impossible):
        draw(scene, decant.pk, 1.0)


def test_a_sharer_draws_only_where_the_club_allows(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.fill(barrel)
    vessel_id = decanted(scene, barrel).pk

    with pytest.raises(Forbidden):
        draw(scene, vessel_id, 1.0, by="sharer")

    scene.club.sharers_may_fill = True
    scene.club.save()
    for person in scene.people.values():
        person.refresh_from_db()
    assert draw(scene, vessel_id, 1.0, by="sharer").flags == []
    with pytest.raises(Forbidden):
        draw(scene, vessel_id, 1.0, by="member")


def test_a_vessel_is_shown_to_its_people_and_the_keepers(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.send("ownerships", barrel, day=-1, shares=[{"person": scene.people["owner"].pk, "weight": 1}])
    scene.fill(barrel)
    decanted(scene, barrel)

    seen = {name for name, person in scene.people.items() if vessel_queryset(scene.club, person).exists()}

    assert seen == {"keeper", "admin", "sharer", "other_sharer", "owner"}


def test_many_vessels_cost_no_more_queries_than_one(scene: ClubScene) -> None:
    def spend(number: int) -> int:
        for _ in range(number):
            barrel = scene.barrel(f"Barrel {Barrel.objects.for_club(scene.club).count()}")
            scene.fill(barrel)
            draw(scene, decanted(scene, barrel).pk, 1.0)
        reader = scene.people["sharer"]
        return queries_of(lambda: vessel_rows(vessel_queryset(scene.club, reader)))

    assert spend(1) == spend(4)
