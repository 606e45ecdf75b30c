"""What a barrel asks for by its acts, on its own page and in the report alike."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any

import pytest

from staveward.models import Act, Barrel, Stay
from staveward.selectors.barrels import barrel_row
from staveward.selectors.bottles import bottle_queryset, bottle_rows
from staveward.selectors.report import report
from staveward.services.pull_forecasts import pull_refresh
from staveward.services.rebuild import barrel_rebuild
from tests.ledger import DAY0
from tests.reserving import ReservingScene

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene() -> ReservingScene:
    return ReservingScene()


def care(scene: ReservingScene, barrel: Barrel, day: float) -> dict[str, dict[str, Any]]:
    row = barrel_row(barrel, scene.club, scene.people["keeper"], DAY0 + timedelta(days=day))
    return {line["task"]: line for line in row["care"]}


def overdue(scene: ReservingScene, barrel: Barrel, day: float) -> set[str]:
    rows = report(scene.club, DAY0 + timedelta(days=day))["barrels"]
    line = next(one for one in rows if one["id"] == str(barrel.pk))
    return {one["task"] for one in line["overdue"]}


@pytest.mark.parametrize(("collection", "said"), [("pulls", {}), ("pull-votes", {"choice": "wait"})])
def test_a_word_on_the_fill_settles_the_decision_for_a_week(
    scene: ReservingScene, collection: str, said: dict[str, Any]
) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel, planned_days=28)
    assert care(scene, barrel, 30)["decide"]["due_at"] == "2026-03-29T12:00:00Z"
    assert "decide" in overdue(scene, barrel, 32)
    scene.send(collection, barrel, day=32, fill=fill.pk, **said)
    line = care(scene, barrel, 33)["decide"]
    assert (line["last_at"], line["due_at"]) == ("2026-04-02T12:00:00Z", "2026-04-09T12:00:00Z")
    assert "decide" not in overdue(scene, barrel, 33)
    barrel_rebuild(barrel)
    assert care(scene, barrel, 33)["decide"] == line


def test_the_best_week_that_the_tastes_foretell_asks_for_the_decision(scene: ReservingScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel, planned_days=300)
    for week in range(1, 7):
        liking = 8.0 - 0.4 * abs(week - 3)
        scene.taste(barrel, fill, day=7.0 * week, liking=liking)
    pull_refresh(stay_ids=[fill.pk], now=DAY0 + timedelta(days=43))
    stay = Stay.objects.select_related("pull").get(pk=fill.pk)
    assert stay.pull is not None
    best = DAY0 + timedelta(weeks=stay.pull.near["best_week"][1])
    line = care(scene, barrel, 43)["decide"]
    assert abs(datetime.fromisoformat(line["due_at"]) - best) < timedelta(seconds=1)
    late_day = (best - DAY0).days + 5
    assert "decide" in overdue(scene, barrel, late_day)


def test_an_emptied_barrel_is_looked_over_and_the_look_is_the_barrels_own(scene: ReservingScene) -> None:
    barrel = scene.barrel()
    scene.fill(barrel)
    scene.send("tendings", barrel, day=5, tasks=["leak_check"])
    scene.send("decants", barrel, day=30, measured_volume_l=4.2)
    assert care(scene, barrel, 30)["review"]["due_at"] == "2026-03-31T12:00:00Z"
    assert "review" in overdue(scene, barrel, 32)
    scene.send("tendings", barrel, day=32, tasks=["leak_check"])
    assert "review" not in care(scene, barrel, 33)
    assert "review" not in overdue(scene, barrel, 33)


def test_a_solution_is_rinsed_out_in_time_for_whoever_has_reserved_it(scene: ReservingScene) -> None:
    barrel = scene.cured()
    scene.send("holds", barrel, day=0, water_l=5.0, is_solution=True, citric_acid_g=4.0, metabisulphite_g=3.5)
    assert "solution_rinse" not in care(scene, barrel, 1)
    asked = scene.ask(barrel, 40, 70)
    line = care(scene, barrel, 1)["solution_rinse"]
    # Midnight where the club is, in summer time by then, less two days.
    assert (asked.starts_on.isoformat(), line["due_at"]) == ("2026-04-10", "2026-04-07T23:00:00Z")
    scene.send("drainings", barrel, day=38)
    assert "solution_rinse" in care(scene, barrel, 38.5)
    assert "solution_rinse" in overdue(scene, barrel, 38.5)
    scene.send("holds", barrel, day=38.6, water_l=5.0)
    scene.send("readings", barrel, day=39.6, kind="so2_strip", so2_mg_l=25.0)
    assert "solution_rinse" in care(scene, barrel, 39.7)
    scene.send("readings", barrel, day=39.8, kind="so2_strip", so2_mg_l=4.0)
    assert "solution_rinse" not in care(scene, barrel, 39.9)
    assert "solution_rinse" not in overdue(scene, barrel, 39.9)


def _bottled(scene: ReservingScene) -> Act:
    barrel = scene.barrel("Ebb")
    scene.fill(barrel)
    decant = scene.send("decants", barrel, day=30, measured_volume_l=4.2, abv_pct=50.0)
    return scene.send(
        "bottlings", day=31, vessel=decant.pk, bottles=[{"size_ml": 500, "fill_ml": 500, "count": 8}]
    )


def test_a_bottle_is_to_be_drunk_as_long_before_its_best_days_end_as_the_club_says(
    scene: ReservingScene,
) -> None:
    _bottled(scene)

    def days_before() -> set[int]:
        rows = bottle_rows(bottle_queryset(scene.club, scene.people["keeper"]), scene.club)
        return {
            (_day(row["best_before"]) - _day(row["drink_from"])).days for row in rows if row["best_before"]
        }

    assert days_before() == {14}
    scene.club.care = {"bottle.by": {"first_hours": -24.0 * 40}}
    assert days_before() == {40}


def _day(text: str) -> date:
    return date.fromisoformat(text)
