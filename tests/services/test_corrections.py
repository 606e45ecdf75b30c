"""What a correction, a taking back, or a late arrival may and may not change."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from staveward.models import Act, Barrel, Person, Place, Stay, Trouble
from staveward.selectors.changes import changes_page
from staveward.selectors.log import log_row
from staveward.services.club_check import club_check
from staveward.services.errors import Forbidden, Impossible
from tests.ledger import DAY0, ClubScene

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


def again(act: Act, **changes: Any) -> dict[str, Any]:
    """Returns the data of an act with some of it changed, as a correction of it."""
    kept = {
        name: value for name, value in act.body.items() if name not in ("happened_at", "entered_at", "barrel")
    }
    return {**kept, "replaces": act.pk, **changes}


def test_a_corrected_fill_keeps_its_place_before_one_that_came_between(scene: ClubScene) -> None:
    barrel = scene.barrel()
    first = scene.fill(barrel, day=0, received=DAY0)
    clash = scene.fill(barrel, day=1, received=DAY0 + timedelta(days=1))
    assert clash.placement == "set_aside"

    corrected = scene.fill(
        barrel, day=0, received=DAY0 + timedelta(days=2), replaces=first.pk, name="rye, renamed"
    )

    clash.refresh_from_db()
    assert "stays_differ" not in {fault.code for fault in club_check(scene.club, DAY0 + timedelta(days=2))}
    assert corrected.placement == "placed"
    assert (clash.placement, clash.set_aside_reason) == ("set_aside", "openings_clash")


def test_a_move_taken_back_leaves_the_barrel_where_it_was_registered(scene: ClubScene) -> None:
    loft = Place.objects.create(club=scene.club, name="Loft")
    registered = scene.send("barrels", name="Fetch", place=scene.place.pk, nominal_l=5.0)
    barrel = Barrel.objects.get(pk=registered.pk)
    move = scene.send("moves", barrel, day=1, place=loft.pk)
    barrel.refresh_from_db()
    assert barrel.place_id == loft.pk

    scene.send("voids", day=2, act=move.pk, reason="the wrong barrel")

    barrel.refresh_from_db()
    assert barrel.place_id == scene.place.pk


def test_a_move_corrected_to_another_barrel_puts_the_first_one_back(scene: ClubScene) -> None:
    loft = Place.objects.create(club=scene.club, name="Loft")
    registered = scene.send("barrels", name="Fetch", place=scene.place.pk, nominal_l=5.0)
    wrong, right = Barrel.objects.get(pk=registered.pk), scene.barrel("Squall")
    move = scene.send("moves", wrong, day=1, place=loft.pk)

    scene.send("moves", right, day=1, place=loft.pk, replaces=move.pk)

    wrong.refresh_from_db()
    right.refresh_from_db()
    assert (wrong.place_id, right.place_id) == (scene.place.pk, loft.pk)


def test_a_settlement_finds_its_trouble_however_the_key_is_written(scene: ClubScene) -> None:
    barrel = scene.barrel()
    trouble = scene.send("troubles", barrel, kind="leak")
    settled = scene.send(
        "trouble-settlements", barrel, day=1, trouble=str(trouble.pk).upper(), outcome="mended"
    )

    assert Trouble.objects.get(pk=trouble.pk).settled_by_id == settled.pk


def test_a_sharer_corrects_the_yield_they_entered(scene: ClubScene) -> None:
    scene.club.sharers_may_fill = True
    scene.club.save()
    for person in scene.people.values():
        person.refresh_from_db()
    barrel = scene.barrel()
    scene.fill(barrel)
    decant = scene.send("decants", barrel, day=30, by="sharer", measured_volume_l=4.0)

    corrected = scene.send("decants", barrel, day=30, by="sharer", measured_volume_l=3.9, replaces=decant.pk)

    assert corrected.placement == "placed"
    assert Stay.objects.get(barrel=barrel).closing_id == corrected.pk


def test_a_sharer_logs_late_what_was_done_while_the_fill_was_theirs(scene: ClubScene) -> None:
    scene.club.members_may_tend = False
    scene.club.save()
    for person in scene.people.values():
        person.refresh_from_db()
    barrel = scene.barrel()
    scene.fill(barrel)
    scene.send("decants", barrel, day=30, measured_volume_l=4.0)

    late = scene.send(
        "tendings", barrel, day=20, by="sharer", tasks=["roll"], received=DAY0 + timedelta(days=31)
    )

    assert late.placement == "placed"
    with pytest.raises(Forbidden):
        scene.send("tendings", barrel, day=32, by="sharer", tasks=["roll"])


def test_a_share_in_what_is_there_now_opens_no_entry_about_an_earlier_fill(scene: ClubScene) -> None:
    barrel = scene.barrel()
    theirs = [{"person": scene.people["sharer"].pk, "weight": 1}]
    others = [{"person": scene.people["member"].pk, "weight": 1}]
    first = scene.fill(barrel, sharers=theirs)
    by_sharer = scene.taste(barrel, first, day=10)
    by_member = scene.taste(barrel, first, day=10, by="member")
    scene.send("decants", barrel, day=20, measured_volume_l=4.0)
    scene.fill(barrel, day=21, sharers=others)

    with pytest.raises(Forbidden):
        scene.send("voids", day=40, by="member", act=by_member.pk, reason="mistyped")
    assert scene.send("voids", day=40, by="sharer", act=by_sharer.pk, reason="mistyped").placement == "placed"


def test_a_fill_is_corrected_though_a_sharer_has_left_since(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    Person.objects.filter(pk=scene.people["other_sharer"].pk).update(left_at=DAY0 + timedelta(days=5))

    corrected = scene.fill(barrel, received=DAY0 + timedelta(days=6), replaces=fill.pk, name="rye, renamed")

    assert corrected.fill.shares.count() == 2
    with pytest.raises(Impossible):
        scene.fill(scene.barrel("Fetch"), day=6)


def test_a_taste_the_keeper_mends_stays_its_tasters(scene: ClubScene) -> None:
    barrel = scene.barrel()
    taste = scene.taste(barrel, scene.fill(barrel), day=5)

    mended = scene.taste(
        barrel, Act.objects.get(pk=taste.body["fill"]), day=5, by="keeper", replaces=taste.pk, liking=6.0
    )

    assert (mended.tasting.taster, mended.subject) == (scene.people["sharer"],) * 2


def test_a_device_tastes_nothing(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)

    with pytest.raises(Impossible):
        scene.taste(barrel, fill, day=5, by="keeper", taster=scene.people["tablet"].pk)


def test_a_change_of_privacy_makes_every_device_read_anew(scene: ClubScene) -> None:
    fill = scene.fill(scene.barrel())
    scene.people["member"].refresh_from_db()
    before = scene.people["member"].visibility_epoch
    scene.fill(Barrel.objects.get(pk=fill.barrel_id), replaces=fill.pk, is_private=True)

    scene.people["member"].refresh_from_db()
    assert scene.people["member"].visibility_epoch > before


def test_a_private_fill_taken_back_stays_open_to_its_sharers_alone(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel, is_private=True)
    scene.send("voids", day=1, act=fill.pk, reason="poured elsewhere")
    fill.refresh_from_db()

    assert log_row(fill, scene.people["sharer"])["body"] is not None
    assert log_row(fill, scene.people["member"])["body"] is None


def test_the_shared_tablet_does_not_show_what_a_sharer_wrote_on_it_of_a_private_fill(
    scene: ClubScene,
) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel, is_private=True)
    taste = scene.taste(barrel, fill, day=5, by="tablet", taster=scene.people["sharer"].pk)

    assert log_row(taste, scene.people["tablet"])["body"] is None
    assert log_row(taste, scene.people["sharer"])["body"] is not None


def test_a_second_correction_weighs_nothing(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.send("curings", barrel, water_l=4.9)
    verdict = scene.send("curing-verdicts", barrel, day=2, verdict="tight", weighed_capacity_l=5.1)
    scene.send("curing-verdicts", barrel, day=2, verdict="tight", weighed_capacity_l=5.2, replaces=verdict.pk)
    second = scene.send(
        "curing-verdicts", barrel, day=2, verdict="tight", weighed_capacity_l=4.1, replaces=verdict.pk
    )

    barrel.refresh_from_db()
    assert second.set_aside_reason == "already_corrected"
    assert barrel.weighed_capacity_l == 5.2


def test_a_retirement_taken_back_lets_the_barrel_live_on(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    retired = scene.send("retirements", barrel, day=5, reason="split head")
    late = scene.send("decants", barrel, day=10, measured_volume_l=4.0)
    assert late.set_aside_reason == "retired"

    scene.send("voids", day=11, act=retired.pk, reason="it was another barrel")

    late.refresh_from_db()
    assert late.placement == "placed"
    assert Stay.objects.get(pk=fill.pk).closing_id == late.pk


def test_a_taking_back_is_not_taken_back(scene: ClubScene) -> None:
    fill = scene.fill(scene.barrel())
    void = scene.send("voids", day=1, act=fill.pk, reason="mistake")

    with pytest.raises(Impossible):
        scene.send("voids", day=1, act=void.pk, reason="no, it was right")


def test_the_places_in_line_are_told_when_the_first_goes(scene: ClubScene) -> None:
    barrel = scene.barrel()
    wish: dict[str, Any] = {
        "starts_on": (DAY0 + timedelta(days=10)).date(),
        "ends_on": (DAY0 + timedelta(days=40)).date(),
        "fill_name": "rye",
        "spirit": "whisky",
        "family": "spirit",
        "volume_l": 4.7,
    }
    scene.send("reservations", barrel, by="owner", **wish)
    first = scene.send("reservations", barrel, day=0.1, by="member", **wish)
    second = scene.send("reservations", barrel, day=0.2, by="sharer", **wish)
    keeper = scene.people["keeper"]
    page = changes_page(scene.club, keeper, None, DAY0 + timedelta(days=1))
    rows = {row["id"]: row["row"] for row in page["rows"] if row["collection"] == "reservations"}
    assert rows[str(second.pk)]["waiting_place"] == 2

    scene.send("reservation-decisions", day=1, by="member", reservation=first.pk, decision="withdraw")

    page = changes_page(scene.club, keeper, page["cursor"], DAY0 + timedelta(days=1))
    rows = {row["id"]: row["row"] for row in page["rows"] if row["collection"] == "reservations"}
    assert rows[str(second.pk)]["waiting_place"] == 1
