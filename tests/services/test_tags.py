"""A lost tag is replaced; the old code still leads to its barrel, and is never another one's."""

from __future__ import annotations

from datetime import timedelta

import pytest

from staveward.models import Bottle, FormerTag
from staveward.selectors.barrels import barrel_row
from staveward.services.errors import Conflict, Forbidden, Impossible
from staveward.services.tags import tag_code_new
from tests.ledger import DAY0, ClubScene

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


def test_a_new_tag_remembers_the_old_one(scene: ClubScene) -> None:
    barrel = scene.barrel()
    old, new = barrel.tag_code, tag_code_new(scene.club)
    scene.send("tag-issues", barrel, day=3, tag_code=new)
    barrel.refresh_from_db()
    row = barrel_row(barrel, scene.club, scene.people["member"], DAY0 + timedelta(days=4))
    assert (row["tag_code"], row["former_tags"]) == (
        new,
        [{"code": old, "replaced_at": "2026-03-04T12:00:00Z"}],
    )


def test_without_a_code_the_server_makes_one(scene: ClubScene) -> None:
    barrel = scene.barrel()
    old = barrel.tag_code
    scene.send("tag-issues", barrel, day=3)
    barrel.refresh_from_db()
    assert barrel.tag_code != old


def test_an_old_code_is_nobody_elses(scene: ClubScene) -> None:
    barrel, other = scene.barrel(), scene.barrel(name="Ebb")
    old = barrel.tag_code
    scene.send("tag-issues", barrel, day=3)
    for taken in (old, other.tag_code):
        with pytest.raises(Conflict) as refused:
            scene.send("tag-issues", other if taken == old else barrel, day=4, tag_code=taken)
        assert refused.value.code == "taken"
    with pytest.raises(Conflict):
        scene.send("barrels", day=5, name="Fetch", place=scene.place.pk, nominal_l=5.0, tag_code=old)


def test_a_barrel_may_have_its_old_tag_back(scene: ClubScene) -> None:
    barrel = scene.barrel()
    old = barrel.tag_code
    scene.send("tag-issues", barrel, day=3)
    barrel.refresh_from_db()
    between = barrel.tag_code
    scene.send("tag-issues", barrel, day=5, tag_code=old)
    assert list(FormerTag.objects.filter(barrel=barrel).values_list("code", flat=True)) == [between]


def test_a_code_that_cannot_be_is_refused(scene: ClubScene) -> None:
    with pytest.raises(Impossible):
        scene.send("tag-issues", scene.barrel(), day=3, tag_code="ABCDE0")


def test_only_the_keeper_or_an_owner_gives_tags(scene: ClubScene) -> None:
    with pytest.raises(Forbidden):
        scene.send("tag-issues", scene.barrel(), day=3, by="member")


def test_a_bottles_tag_is_no_barrels(scene: ClubScene) -> None:
    barrel, other = scene.barrel(), scene.barrel(name="Ebb")
    scene.fill(barrel)
    decant = scene.send("decants", barrel, day=30, measured_volume_l=4.2)
    scene.send("bottlings", day=31, vessel=decant.pk, bottles=[{"size_ml": 500, "fill_ml": 500, "count": 8}])
    bottle = Bottle.objects.first()
    assert bottle is not None
    taken = bottle.tag_code
    for collection, target, body in (
        ("tag-issues", other, {}),
        ("barrels", None, {"name": "Fetch", "place": scene.place.pk, "nominal_l": 5.0}),
    ):
        with pytest.raises(Conflict) as refused:
            scene.send(collection, target, day=32, tag_code=taken, **body)
        assert (refused.value.code, refused.value.fields[0].field) == ("taken", "tag_code")
    # And no new bottle takes the tag of a barrel, now or once.
    codes = set(Bottle.objects.values_list("tag_code", flat=True))
    assert codes.isdisjoint({barrel.tag_code, other.tag_code})
