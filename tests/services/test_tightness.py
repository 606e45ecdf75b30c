"""Whether a barrel was tight when it was filled: by its last curing, the fire since, and what has stood in it."""

from __future__ import annotations

from datetime import timedelta
from itertools import permutations
from typing import Any
from uuid import uuid4

import pytest

from staveward.models import Act, Barrel
from staveward.selectors.barrels import barrel_row
from tests.ledger import DAY0, ClubScene

pytestmark = pytest.mark.django_db

# Common practice, no source: a barrel that leaked when it was cured leaks until it is cured again, fire dries the
# wood, and a barrel that stands empty for more than a week dries as well.
Life = list[tuple[str, float, dict[str, Any]]]
WATER = {"water_l": 2.5}
GIVEN_UP: Life = [
    ("holds", 0, WATER),
    ("curings", 1, WATER),
    ("curing-verdicts", 8, {"verdict": "given_up", "reason": "leaks at the head"}),
]
HELD_AGAIN: Life = [*GIVEN_UP, ("holds", 8.5, WATER)]
CURED: Life = [("curings", 1, WATER), ("curing-verdicts", 3, {"verdict": "tight"})]
CHARRED: Life = [*CURED, ("holds", 4, WATER), ("repairs", 8, {"kind": "scrape_and_rechar"})]


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


def live(scene: ClubScene, life: Life) -> Barrel:
    barrel = scene.barrel(f"Neap {uuid4().hex[:6]}")
    for collection, day, data in life:
        scene.send(collection, barrel, day=day, **data)
    return barrel


def shown(scene: ClubScene, barrel: Barrel, day: float) -> str:
    row = barrel_row(barrel, scene.club, scene.people["keeper"], DAY0 + timedelta(days=day))
    return str(row["tightness"]["shown"])


@pytest.mark.parametrize(
    ("life", "what", "is_flagged"),
    [
        ([], "unknown", False),
        (CURED, "tight", False),
        (GIVEN_UP, "given_up", True),
        (HELD_AGAIN, "given_up", True),
        (CHARRED, "repaired", True),
        ([*CHARRED, ("holds", 8.5, WATER)], "repaired", True),
        ([("curings", 1, WATER), ("drainings", 2, {})], "unfinished", True),
        (
            [*HELD_AGAIN, ("curings", 8.6, WATER), ("curing-verdicts", 8.9, {"verdict": "tight"})],
            "tight",
            False,
        ),
    ],
)
def test_the_flag_of_a_fill_and_the_barrel_before_it_say_the_same(
    scene: ClubScene, life: Life, what: str, is_flagged: bool
) -> None:
    barrel = live(scene, life)
    assert shown(scene, barrel, 8.9) == what
    assert ("not_tight" in scene.fill(barrel, day=9).flags) is is_flagged


def test_a_fill_that_stood_until_it_was_decanted_shows_more_than_the_curing(scene: ClubScene) -> None:
    barrel = live(scene, GIVEN_UP)
    assert "not_tight" in scene.fill(barrel, day=9).flags
    scene.send("decants", barrel, day=60, measured_volume_l=4.0)
    assert shown(scene, barrel, 61) == "held_a_fill"
    assert "not_tight" not in scene.fill(barrel, day=62).flags


def test_a_fill_that_had_to_be_rescued_shows_nothing(scene: ClubScene) -> None:
    barrel = live(scene, GIVEN_UP)
    scene.fill(barrel, day=9)
    leak = scene.send("troubles", barrel, day=10, kind="leak")
    scene.send("trouble-settlements", barrel, day=10.1, trouble=leak.pk, outcome="rescued", volume_l=3.0)
    assert shown(scene, barrel, 11) == "given_up"


def test_wood_that_was_cured_and_left_standing_is_dry_again(scene: ClubScene) -> None:
    barrel = live(scene, CURED)
    assert scene.fill(barrel, day=10).fill.wood_state == "cured"
    other = live(scene, CURED)
    assert scene.fill(other, day=120).fill.wood_state == "stored_dry"


def test_in_whatever_order_the_entries_come_the_flag_is_the_same(scene: ClubScene) -> None:
    acts = [*CHARRED[2:], ("curing-verdicts", 3, {"verdict": "tight"})]
    for order in permutations(acts):
        barrel = scene.barrel(f"Neap {uuid4().hex[:6]}")
        scene.send("curings", barrel, day=1, **WATER)
        fill = scene.fill(barrel, day=9)
        for collection, day, data in order:
            scene.send(collection, barrel, day=day, received=DAY0 + timedelta(days=10), **data)
        assert "not_tight" in Act.objects.get(pk=fill.pk).flags
