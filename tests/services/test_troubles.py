"""Trouble: told to whom it touches, settled by what became of the liquid."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from staveward.models import Act, Barrel, Notice, Stay, Trouble, Vessel, VesselShare
from staveward.selectors.barrels import barrel_row
from staveward.selectors.changes import changes_page
from staveward.selectors.courses import course_list
from staveward.services.club_check import club_check
from staveward.services.errors import Impossible
from tests.ledger import DAY0, ClubScene

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


def row(scene: ClubScene, barrel: Barrel, day: float) -> dict[str, Any]:
    return barrel_row(barrel, scene.club, scene.people["keeper"], DAY0 + timedelta(days=day))


def settle(scene: ClubScene, barrel: Barrel, trouble: Act, day: float, **said: Any) -> Act:
    return scene.send("trouble-settlements", barrel, day=day, trouble=trouble.pk, **said)


def test_a_rescue_empties_the_barrel_and_ends_the_fill(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    trouble = scene.send("troubles", barrel, day=9, kind="leak", by="member")
    rescue = settle(scene, barrel, trouble, 9.1, outcome="rescued", volume_l=3.8, vessel_name="demijohn 2")

    vessel = Vessel.objects.get(pk=rescue.pk)
    # Strength, people and warnings stay with the liquid.
    assert (vessel.name, vessel.volume_l, vessel.spirit) == ("demijohn 2", 3.8, "whisky")
    assert set(VesselShare.objects.filter(vessel=vessel).values_list("person__name", flat=True)) == {
        "Sharer",
        "Other Sharer",
    }
    stay = Stay.objects.get(pk=fill.pk)
    assert (rescue.placement, stay.outcome, stay.closing_id) == ("placed", "rescued", rescue.pk)
    assert row(scene, barrel, 10)["state"] == "empty"
    assert Trouble.objects.get(pk=trouble.pk).settled_by_id == rescue.pk
    faults = club_check(scene.club, DAY0 + timedelta(days=70))
    assert [fault for fault in faults if fault.code == "stays_differ"] == []


def test_a_total_loss_ends_the_fill_and_a_partial_one_does_not(scene: ClubScene) -> None:
    barrel, other = scene.barrel(), scene.barrel(name="Ebb")
    lost, leaked = scene.fill(barrel), scene.fill(other)
    settle(
        scene,
        barrel,
        scene.send("troubles", barrel, day=9, kind="damaged"),
        9.1,
        outcome="all_lost",
        cause="a stave gave way in the night",
    )
    settle(
        scene,
        other,
        scene.send("troubles", other, day=9, kind="leak"),
        9.1,
        outcome="part_lost",
        volume_l=0.6,
        cause="the spigot dripped",
    )

    assert Stay.objects.get(pk=lost.pk).outcome == "all_lost"
    open_stay = Stay.objects.get(pk=leaked.pk)
    assert open_stay.ended_at is None
    course = course_list([leaked.pk], DAY0 + timedelta(days=10))[0]
    # What ran out is gone from the barrel, and nobody drank it.
    assert [(event.volume_l, event.is_sample) for event in course.events] == [(-0.6, False)]
    assert course.sampled_l == 0.0


def test_a_total_loss_of_an_empty_barrel_still_settles_its_trouble(scene: ClubScene) -> None:
    barrel = scene.barrel()
    trouble = scene.send("troubles", barrel, day=1, kind="missing")
    lost = settle(scene, barrel, trouble, 2, outcome="all_lost", cause="it was never found")
    assert lost.placement == "placed"
    assert row(scene, barrel, 3)["troubles"] == []


def test_a_rescue_without_a_fill_waits_for_the_keeper(scene: ClubScene) -> None:
    barrel = scene.barrel()
    trouble = scene.send("troubles", barrel, day=1, kind="leak", quarantine=True)
    rescue = settle(scene, barrel, trouble, 2, outcome="rescued", volume_l=3.0)
    assert (rescue.placement, rescue.set_aside_reason) == ("set_aside", "nothing_to_rescue")
    # Until then it settles nothing, lifts nothing and leaves nothing in glass.
    assert [(one["kind"], one["quarantine"]) for one in row(scene, barrel, 3)["troubles"]] == [("leak", True)]
    assert not Vessel.objects.get(pk=rescue.pk).stands

    scene.fill(barrel, day=0.5, received=DAY0 + timedelta(days=3))

    rescue.refresh_from_db()
    assert rescue.placement == "placed"
    assert row(scene, barrel, 3)["troubles"] == []
    assert Vessel.objects.get(pk=rescue.pk).stands


def test_a_taste_in_quarantine_is_kept_and_flagged_whichever_came_first(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    early = scene.taste(barrel, fill, day=5)
    within = scene.taste(barrel, fill, day=9.5, by="other_sharer")
    trouble = scene.send("troubles", barrel, day=9, kind="off_smell", quarantine=True)
    also = scene.taste(barrel, fill, day=9.7, by="keeper")
    assert (also.placement, also.flags) == ("placed", ["quarantine"])
    settle(scene, barrel, trouble, 10, outcome="sound")
    after = scene.taste(barrel, fill, day=10.5)
    late = scene.taste(barrel, fill, day=9.6, by="admin", received=DAY0 + timedelta(days=10.6))

    flagged = {
        act.pk: "quarantine" in Act.objects.get(pk=act.pk).flags for act in (early, within, also, after, late)
    }
    assert flagged == {early.pk: False, within.pk: True, also.pk: True, after.pk: False, late.pk: True}

    scene.send("voids", day=11, act=trouble.pk, reason="it was the drain")
    assert not any("quarantine" in act.flags for act in Act.objects.filter(barrel=barrel))


def test_a_loss_taken_back_gives_the_fill_back(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    trouble = scene.send("troubles", barrel, day=9, kind="leak")
    lost = settle(scene, barrel, trouble, 9.1, outcome="all_lost")
    scene.send("voids", day=9.2, act=lost.pk, reason="it was the barrel beside it")
    assert Stay.objects.get(pk=fill.pk).ended_at is None
    assert [one["kind"] for one in row(scene, barrel, 10)["troubles"]] == ["leak"]


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ({"outcome": "rescued"}, "volume_l"),
        ({"outcome": "part_lost"}, "volume_l"),
        ({"outcome": "rescued", "volume_l": 9.0}, "volume_l"),
        ({"outcome": "mended", "volume_l": 0.5}, "volume_l"),
        ({"outcome": "part_lost", "volume_l": 0.0}, "volume_l"),
    ],
)
def test_litres_are_asked_for_where_they_matter(scene: ClubScene, said: dict[str, Any], field: str) -> None:
    barrel = scene.barrel()
    scene.fill(barrel)
    trouble = scene.send("troubles", barrel, day=9, kind="leak")
    with pytest.raises(Impossible) as refused:
        settle(scene, barrel, trouble, 9.1, **said)
    assert refused.value.fields[0].field == field


def test_everybody_concerned_is_told_once_and_the_author_is_not(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.send("ownerships", barrel, day=-1, shares=[{"person": scene.people["owner"].pk, "weight": 1}])
    scene.fill(barrel)
    scene.send(
        "reservations",
        barrel,
        day=1,
        by="member",
        starts_on=(DAY0 + timedelta(days=80)).date(),
        ends_on=(DAY0 + timedelta(days=108)).date(),
        fill_name="rum, plain",
        spirit="rum",
        family="spirit",
        volume_l=4.5,
        abv_pct=55.0,
    )
    trouble = scene.send("troubles", barrel, day=9, kind="leak", by="sharer")
    told = dict(Notice.objects.filter(act=trouble).values_list("person__name", "why"))
    assert told == {"Other Sharer": "sharer", "Owner": "owner", "Member": "reserver"}

    # How it ended reaches them, and the one who raised it.
    lost = settle(scene, barrel, trouble, 9.5, outcome="all_lost", cause="a stave gave way")
    told = dict(Notice.objects.filter(act=lost).values_list("person__name", "why"))
    assert told == {"Sharer": "sharer", "Other Sharer": "sharer", "Owner": "owner", "Member": "reserver"}


def notices_seen(scene: ClubScene, who: str, day: float) -> list[dict[str, Any]]:
    page = changes_page(scene.club, scene.people[who], None, DAY0 + timedelta(days=day), 500)
    return [one["row"] for one in page["rows"] if one["collection"] == "notices" and one["row"]]


def test_a_notice_is_its_persons_alone_and_goes_with_the_entry(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.fill(barrel)
    trouble = scene.send("troubles", barrel, day=9, kind="off_smell", sign="vinegar", quarantine=True)
    seen = notices_seen(scene, "sharer", 10)
    assert [(one["kind"], one["why"], one["barrel"]) for one in seen] == [
        ("off_smell", "sharer", str(barrel.pk))
    ]
    assert notices_seen(scene, "member", 10) == []

    scene.send("voids", day=9.5, act=trouble.pk, reason="it was the drain")

    assert notices_seen(scene, "sharer", 10) == []


def test_a_missing_or_lent_barrel_asks_for_nothing_until_it_is_back(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.send("holds", barrel, day=0, water_l=2.5)
    assert row(scene, barrel, 9)["care"]

    trouble = scene.send("troubles", barrel, day=10, kind="missing")
    assert row(scene, barrel, 11)["care"] == []
    settle(scene, barrel, trouble, 12, outcome="found")
    assert row(scene, barrel, 13)["care"]

    scene.send("loans", barrel, day=14, borrower="the club across the water", back_by="2026-05-01")
    lent = row(scene, barrel, 15)
    assert lent["care"] == []
    assert lent["loan"] == {
        "borrower": "the club across the water",
        "since": "2026-03-15T12:00:00Z",
        "back_by": "2026-05-01",
    }
    scene.send("loan-returns", barrel, day=20)
    assert row(scene, barrel, 21)["loan"] is None


def test_sulphite_stands_in_the_way_until_a_strip_is_clear(scene: ClubScene) -> None:
    """Under 10 mg/L, from which Regulation (EU) No 1169/2011, Annex II, has sulphites named."""
    barrel = scene.barrel()
    assert row(scene, barrel, 0)["sulphite"] is None
    scene.send("holds", barrel, day=0, water_l=5.0, is_solution=True, citric_acid_g=4.0, metabisulphite_g=3.5)
    assert row(scene, barrel, 1)["sulphite"]["is_clear"] is False

    scene.send("readings", barrel, day=40, kind="so2_strip", so2_mg_l=25.0)
    assert row(scene, barrel, 41)["sulphite"]["is_clear"] is False
    scene.send("readings", barrel, day=42, kind="so2_strip", so2_mg_l=5.0)
    gate = row(scene, barrel, 43)["sulphite"]
    assert (gate["strip_mg_l"], gate["is_clear"]) == (5.0, True)

    scene.send("tendings", barrel, day=44, tasks=["sulphiting"])
    assert row(scene, barrel, 45)["sulphite"]["is_clear"] is False
    scene.fill(barrel, day=50)
    assert row(scene, barrel, 51)["sulphite"] is None


def _gate(**said: bool) -> list[dict[str, Any]]:
    return [{"gate": "sulphite", "reason": "Sulphite was used, and no strip since.", **said}]


@pytest.mark.parametrize(
    ("gate", "strip", "is_clear"),
    [
        # Ticked without a figure: the fill answers for it, and goes on answering once it is out.
        ({"ok": False, "accepted_by_choice": True}, None, None),
        ({"ok": True, "accepted_by_choice": False}, None, None),
        ({"ok": False, "accepted_by_choice": False}, None, False),
        # A strip that was read later says more than the tick.
        ({"ok": False, "accepted_by_choice": True}, 25.0, False),
        ({"ok": False, "accepted_by_choice": False}, 5.0, True),
    ],
)
def test_sulphite_is_past_with_the_gate_of_a_fill_or_a_strip_whichever_is_later(
    scene: ClubScene, gate: dict[str, bool], strip: float | None, is_clear: bool | None
) -> None:
    barrel = scene.barrel()
    scene.send("holds", barrel, day=0, water_l=5.0, is_solution=True, citric_acid_g=4.0, metabisulphite_g=3.5)
    scene.fill(barrel, day=10, gates=_gate(**gate))
    scene.send("decants", barrel, day=30, measured_volume_l=4.0)
    if strip is not None:
        scene.send("readings", barrel, day=31, kind="so2_strip", so2_mg_l=strip)
    found = row(scene, barrel, 32)["sulphite"]
    assert (found and found["is_clear"]) is is_clear
