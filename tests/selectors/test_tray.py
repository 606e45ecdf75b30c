"""The tray: what could not be fitted, and who sees it."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from staveward.models import Act, Barrel
from staveward.selectors.tray import tray
from tests.ledger import DAY0, ClubScene
from tests.reading import queries_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


def entries(scene: ClubScene, by: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = tray(scene.club, scene.people[by], DAY0 + timedelta(days=30))["entries"]
    return found


def early_taste(scene: ClubScene, name: str = "Ebb", by: str = "sharer") -> tuple[Barrel, Act]:
    """Logs a taste dated before the barrel was filled."""
    barrel = scene.barrel(name)
    fill = scene.fill(barrel, day=5)
    return barrel, scene.taste(barrel, fill, day=3, by=by)


def test_it_says_why_in_a_sentence(scene: ClubScene) -> None:
    _, taste = early_taste(scene)

    (entry,) = entries(scene, "keeper")

    assert entry["id"] == str(taste.pk)
    assert entry["barrel_name"] == "Ebb"
    assert entry["set_aside_reason"] == "before_fill"
    assert entry["reason_text"] == "It is dated before Ebb was filled."
    assert entry["ways"] == ["correct", "void", "leave"]


def test_a_second_correction_can_only_be_left(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    scene.fill(barrel, replaces=fill.pk, name="rye, renamed")
    scene.fill(barrel, replaces=fill.pk, name="rye, renamed twice")

    (entry,) = entries(scene, "keeper")

    assert (entry["set_aside_reason"], entry["ways"]) == ("already_corrected", ["leave"])


def test_everybody_sees_their_own_and_owners_their_barrels(scene: ClubScene) -> None:
    barrel, _ = early_taste(scene)
    scene.send("ownerships", barrel, day=1, shares=[{"person": scene.people["owner"].pk, "weight": 1}])

    seen = {
        by: len(entries(scene, by)) for by in ("sharer", "owner", "keeper", "admin", "member", "other_sharer")
    }

    assert seen == {"sharer": 1, "owner": 1, "keeper": 1, "admin": 1, "member": 0, "other_sharer": 0}
    assert entries(scene, "sharer")[0]["ways"] == ["correct", "void"]


def test_what_was_left_corrected_or_voided_waits_no_longer(scene: ClubScene) -> None:
    _, left = early_taste(scene, "one")
    barrel, mended = early_taste(scene, "two")
    scene.send("tray-decisions", day=9, act=left.pk, decision="leave")
    fill = Act.objects.get(barrel=barrel, collection="fills")
    scene.taste(barrel, fill, day=8, replaces=mended.pk)

    assert entries(scene, "keeper") == []


def test_thirty_entries_take_as_many_queries_as_three(scene: ClubScene) -> None:
    for number in range(3):
        early_taste(scene, f"first {number}")
    few = {by: queries_of(lambda by=by: entries(scene, by)) for by in ("keeper", "sharer")}
    for number in range(27):
        early_taste(scene, f"second {number}")

    assert len(entries(scene, "keeper")) == 30
    assert {by: queries_of(lambda by=by: entries(scene, by)) for by in few} == few
