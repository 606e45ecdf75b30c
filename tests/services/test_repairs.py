"""Charring or toasting anew gives wood back: to the barrel's whole past, and to every later fill."""

from __future__ import annotations

from datetime import timedelta

import pytest

from staveward.models import Barrel, Stay
from staveward.selectors.barrels import barrel_row
from staveward.services.club_check import club_check
from tests.ledger import DAY0, ClubScene

pytestmark = pytest.mark.django_db

# Rules of the trade, common practice, no source: 4 to 5 fills of whisky (typical 4.5) use new wood up; scraping and
# charring leaves 0.3 of the use, toasting 0.6.


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


def wood(scene: ClubScene, barrel: Barrel, day: float) -> float:
    barrel.refresh_from_db()
    row = barrel_row(barrel, scene.club, scene.people["keeper"], DAY0 + timedelta(days=day))
    return float(row["wood_used"]["typical"])


def test_it_takes_seven_tenths_of_the_use_away_and_the_next_fill_begins_there(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.fill(barrel, day=0)
    scene.send("decants", barrel, day=28, measured_volume_l=4.2)
    assert wood(scene, barrel, 29) == pytest.approx(1 / 4.5, abs=1e-4)

    scene.send("repairs", barrel, day=30, kind="scrape_and_rechar")

    assert wood(scene, barrel, 31) == pytest.approx(0.3 / 4.5, abs=1e-4)
    later = scene.fill(barrel, day=40)
    assert Stay.objects.get(pk=later.pk).wood_before_typical == pytest.approx(0.3 / 4.5)
    scene.send("decants", barrel, day=68, measured_volume_l=4.2)
    assert wood(scene, barrel, 69) == pytest.approx(1.3 / 4.5, abs=1e-4)
    faults = club_check(scene.club, DAY0 + timedelta(days=70))
    assert [fault for fault in faults if fault.code == "stays_differ"] == []


def test_a_repair_that_arrives_late_gives_the_same_wood(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.fill(barrel, day=0)
    scene.send("decants", barrel, day=28, measured_volume_l=4.2)
    scene.fill(barrel, day=40)
    scene.send("decants", barrel, day=68, measured_volume_l=4.2)
    scene.send("repairs", barrel, day=30, kind="retoast", received=DAY0 + timedelta(days=70))
    assert wood(scene, barrel, 69) == pytest.approx(1.6 / 4.5, abs=1e-4)


def test_an_adopted_barrel_that_is_charred_before_its_first_fill(scene: ClubScene) -> None:
    barrel = scene.barrel(adopted=True, adopted_wood_used_low=0.4, adopted_wood_used_high=0.8)
    repair = scene.send("repairs", barrel, day=0, kind="scrape_and_rechar")
    assert wood(scene, barrel, 1) == pytest.approx(0.18)
    scene.send("voids", day=1, act=repair.pk, reason="it was only scraped outside")
    assert wood(scene, barrel, 2) == pytest.approx(0.6)


def test_it_ends_a_wet_hold(scene: ClubScene) -> None:
    barrel = scene.barrel()
    hold = scene.send("holds", barrel, day=0, water_l=2.5)
    repair = scene.send("repairs", barrel, day=3, kind="retoast")
    stay = Stay.objects.get(pk=hold.pk)
    assert (stay.outcome, stay.closing_id, repair.stay_id) == ("repaired", repair.pk, hold.pk)


def test_nobody_chars_a_full_barrel_so_it_waits_for_the_keeper_and_gives_nothing_back(
    scene: ClubScene,
) -> None:
    barrel = scene.barrel()
    scene.fill(barrel, day=0)
    repair = scene.send("repairs", barrel, day=5, kind="scrape_and_rechar")
    assert (repair.placement, repair.set_aside_reason) == ("set_aside", "not_empty")

    scene.send("decants", barrel, day=4, measured_volume_l=4.2, received=DAY0 + timedelta(days=6))

    repair.refresh_from_db()
    assert (repair.placement, repair.set_aside_reason) == ("placed", "")


def test_thin_staves_toasted_twice_are_flagged(scene: ClubScene) -> None:
    barrel = scene.barrel(stave_mm=14.0)
    assert scene.send("repairs", barrel, day=0, kind="retoast").flags == []
    assert scene.send("repairs", barrel, day=9, kind="retoast").flags == ["thin_staves"]
    thick = scene.barrel(name="Ebb", stave_mm=18.0)
    scene.send("repairs", thick, day=0, kind="retoast")
    assert scene.send("repairs", thick, day=9, kind="retoast").flags == []


def test_an_allergen_outlives_the_char(scene: ClubScene) -> None:
    barrel = scene.barrel()
    parts = [{"name": "nut liqueur", "volume_l": 4.7, "abv_pct": 24.0, "allergens": ["nuts"]}]
    scene.fill(barrel, day=0, parts=parts)
    scene.send("decants", barrel, day=28, measured_volume_l=4.2)
    scene.send("repairs", barrel, day=30, kind="scrape_and_rechar")
    row = barrel_row(barrel, scene.club, scene.people["keeper"], DAY0 + timedelta(days=31))
    assert (row["allergens"], row["repaired_at"]) == (["nuts"], "2026-03-31T12:00:00Z")
