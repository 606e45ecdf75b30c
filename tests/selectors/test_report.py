"""The cellar report: every figure against a hand-made ledger, every total against a sum of its own."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from staveward.models import Act, Barrel, Club, Reservation, Stay
from staveward.selectors.forecasts import near_first
from staveward.selectors.report import report, rows_ordered
from staveward.selectors.report_table import HEAD, report_table
from tests.ledger import DAY0, ClubScene
from tests.reading import forecast_by_hand, queries_of

pytestmark = pytest.mark.django_db

NOW = DAY0 + timedelta(days=30, hours=6)


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


def filled(
    scene: ClubScene, name: str, *, start_l: float, left_l: float, abv_pct: float, day: float = 2.0
) -> Act:
    """Fills a barrel and says by hand what is left: the middle knots are a day apart and fall by 0.04 L."""
    barrel = scene.barrel(name, nominal_l=1.1 * start_l)
    parts = [{"name": "rum", "volume_l": start_l, "abv_pct": abv_pct}]
    fill = scene.fill(barrel, day=day, name=f"fill of {name}", spirit="rum", parts=parts)
    knots = [[left_l - 0.1 - 0.04 * n, left_l - 0.04 * n, left_l + 0.05 - 0.04 * n] for n in range(4)]
    forecast_by_hand(
        Stay.objects.get(pk=fill.pk),
        NOW - timedelta(hours=6),
        volume_l=knots,
        abv_pct=[[abv_pct - 2.0, abv_pct - 1.0, abv_pct + 0.5]] * 4,
        level=[[0.6, 0.7, 0.8]] * 4,
    )
    return fill


def by_name(scene: ClubScene, **asked: Any) -> dict[str, dict[str, Any]]:
    return {row["name"]: row for row in report(scene.club, NOW, **asked)["barrels"]}


def test_days_are_counted_by_the_clubs_midnights_as_people_count_them(scene: ClubScene) -> None:
    barrel = scene.barrel("Neap", nominal_l=2.0)
    # Eleven in the evening to one in the morning of the next day but one: twenty-six hours, two midnights.
    scene.send("holds", barrel, day=11 / 24, water_l=1.0)
    now = DAY0 + timedelta(days=1, hours=13)

    row = next(row for row in report(scene.club, now)["barrels"] if row["name"] == "Neap")

    assert (row["days"], row["water"]["days_since_change"]) == (2, 2)


def test_a_fill_shows_what_it_was_and_what_is_left(scene: ClubScene) -> None:
    fill = filled(scene, "Ebb", start_l=5.0, left_l=4.6, abv_pct=55.0)
    barrel = Barrel.objects.get(name="Ebb")
    scene.taste(barrel, fill, day=9, sample_ml=15.0)

    row = by_name(scene)["Ebb"]

    assert (row["state"], row["holds_now"], row["spirit"], row["days"]) == (
        "filled",
        "fill of Ebb",
        "rum",
        28,
    )
    assert row["capacity_l"] == 5.5
    assert (row["start_volume_l"], row["start_abv_pct"]) == (pytest.approx(5.0, abs=1e-4), 55.0)
    # A quarter of a day after the second knot: 4.56 less a quarter of 0.04.
    assert row["volume_l"] == {"low": 4.45, "mid": 4.55, "high": 4.6}
    assert row["abv_pct"] == {"low": 53.0, "mid": 54.0, "high": 55.5}
    assert row["loss_pct"] == {"low": 8.0, "high": 11.0}
    assert row["level"]["mid"] == 0.7
    assert row["water"] is None
    assert row["wood_used"]["typical"] == pytest.approx((28.25 / 28) ** 0.5 / 7.0, abs=1e-4)
    assert row["fills_left"]["rum"][0] == pytest.approx(6.0 - (28.25 / 28) ** 0.5, abs=0.01)


def test_a_hold_shows_days_since_its_water_was_changed_level_and_top_up_date(scene: ClubScene) -> None:
    barrel = scene.barrel("Neap", nominal_l=2.0)
    hold = scene.send("holds", barrel, day=0, water_l=1.0)
    scene.send("tendings", barrel, day=14, tasks=["water_change"])
    forecast_by_hand(
        Stay.objects.get(pk=hold.pk),
        NOW,
        volume_l=[[0.83, 0.86, 0.90]] * 3,
        level=[[0.43, 0.44, 0.46]] * 3,
        top_up_at=DAY0 + timedelta(days=40, hours=13),
    )

    row = by_name(scene)["Neap"]

    assert row["water"] == {
        "changed_at": "2026-03-15T12:00:00Z",
        "days_since_change": 16,
        "level": {"low": 0.43, "mid": 0.44, "high": 0.46},
        # 01:00 UTC on the 11th of April is 02:00 on the club's wall.
        "top_up_on": "2026-04-11",
    }
    assert row["volume_l"]["mid"] == 0.86
    assert row["abv_pct"] is None
    assert row["loss_pct"] is None
    assert {task["task"] for task in row["overdue"]} == {"roll", "top_up", "water_change"}


def test_trouble_and_reservations_stand_in_the_row(scene: ClubScene) -> None:
    barrel = scene.barrel("Fairway")
    trouble = scene.send("troubles", barrel, day=3, kind="leak")
    scene.send("troubles", barrel, day=4, kind="damaged")

    before = by_name(scene)["Fairway"]
    scene.send("trouble-settlements", barrel, day=5, trouble=trouble.pk, outcome="mended")
    after = by_name(scene)["Fairway"]

    assert before["troubles"] == ["leak", "damaged"]
    assert after["troubles"] == ["damaged"]
    assert (after["next_reservation"], after["wanted_by"]) == (None, 0)


def test_the_next_reservation_is_the_one_that_owns_its_days(scene: ClubScene) -> None:
    barrel, member = scene.barrel("Fairway"), scene.people["member"]
    wanted = [("waiting", 5), ("pencilled", 5), ("confirmed", 40), ("withdrawn", 2), ("confirmed", -60)]
    made = [
        Reservation.objects.create(
            club=scene.club,
            barrel=barrel,
            person=member,
            starts_on=(NOW + timedelta(days=start)).date(),
            ends_on=(NOW + timedelta(days=start + 28)).date(),
            state=state,
            fill_name="rum",
            spirit="rum",
            family="spirit",
            volume_l=4.5,
            asked_at=NOW,
        )
        for state, start in wanted
    ]

    row = by_name(scene)["Fairway"]

    assert row["next_reservation"]["id"] == str(made[1].pk)
    assert row["next_reservation"]["starts_on"] == "2026-04-05"
    assert row["wanted_by"] == 3


def test_totals_are_the_sums_of_the_fills(scene: ClubScene) -> None:
    """Adds up again from the ledger and the hand-written forecasts, by plain arithmetic."""
    poured = {"Ebb": (5.0, 4.6, 55.0), "Lee Shore": (10.0, 8.9, 40.0), "Squall": (1.2, 0.8, 45.0)}
    for name, (start_l, left_l, abv_pct) in poured.items():
        fill = filled(scene, name, start_l=start_l, left_l=left_l, abv_pct=abv_pct)
        scene.taste(Barrel.objects.get(name=name), fill, day=9, sample_ml=12.0)
    scene.send("holds", scene.barrel("Neap"), day=0, water_l=2.5)
    scene.send("curings", scene.barrel("Fetch"), day=28, water_l=5.0)
    scene.barrel("Scend")

    totals = report(scene.club, NOW)["totals"]

    assert {name: totals[name] for name in ("barrels", "filled", "held", "curing")} == {
        "barrels": 6,
        "filled": 3,
        "held": 1,
        "curing": 1,
    }
    mids = {name: left_l - 0.04 - 0.01 for name, (_, left_l, _) in poured.items()}
    lows = {name: mid - 0.1 for name, mid in mids.items()}
    highs = {name: mid + 0.05 for name, mid in mids.items()}
    started = sum(start_l for start_l, _, _ in poured.values())
    assert totals["volume_l"]["mid"] == pytest.approx(sum(mids.values()), abs=1e-3)
    assert totals["volume_l"]["low"] == pytest.approx(sum(lows.values()), abs=1e-3)
    assert totals["volume_l"]["high"] == pytest.approx(sum(highs.values()), abs=1e-3)
    assert totals["start_volume_l"] == pytest.approx(started, abs=1e-3)
    assert totals["lost_l"]["mid"] == pytest.approx(started - sum(mids.values()), abs=1e-3)
    assert totals["lost_l"]["low"] == pytest.approx(started - sum(highs.values()), abs=1e-3)
    assert totals["samples_l"] == pytest.approx(0.036)
    pure = sum(mids[name] * (abv_pct - 1.0) / 100.0 for name, (_, _, abv_pct) in poured.items())
    assert totals["pure_alcohol_l"]["mid"] == pytest.approx(pure, abs=1e-3)


def test_a_top_up_counts_as_poured_in(scene: ClubScene) -> None:
    filled(scene, "Ebb", start_l=5.0, left_l=4.6, abv_pct=55.0)
    stay = Stay.objects.get(barrel__name="Ebb")
    assert stay.forecast is not None
    stay.forecast.near["added_l"] = 0.5
    stay.forecast.save()

    found = report(scene.club, NOW)

    assert found["totals"]["lost_l"]["mid"] == pytest.approx(5.5 - 4.55, abs=1e-3)
    assert found["barrels"][0]["loss_pct"]["high"] == pytest.approx(100 * (1 - 4.45 / 5.5), abs=0.01)


@pytest.mark.parametrize("days_old", [0.5, 3.0])
def test_a_young_forecast_is_read_by_its_first_knots_and_an_old_one_whole(
    scene: ClubScene, days_old: float
) -> None:
    fill = scene.fill(scene.barrel("Ebb"), day=2)
    knots = [[5.0 - 0.1 * n, 5.1 - 0.1 * n, 5.2 - 0.1 * n] for n in range(40)]
    forecast = forecast_by_hand(
        Stay.objects.get(pk=fill.pk),
        NOW - timedelta(days=days_old),
        volume_l=knots,
        level=[[0.5, 0.6, 0.7]] * 40,
    )
    forecast.today = near_first(
        {**forecast.near, "volume_l": [[knot - 1.0 for knot in row] for row in knots]}
    )
    forecast.save()

    found = by_name(scene)["Ebb"]["volume_l"]["mid"]

    # A day lies between the first knot and the making, and the short copy was written a litre lower to tell them apart.
    expected = 5.1 - 0.1 * (1.0 + days_old) - (1.0 if days_old < 2.0 else 0.0)
    assert found == pytest.approx(expected, abs=1e-3)


def test_an_empty_club_has_a_report_too() -> None:
    found = report(ClubScene().club, NOW)

    assert found["barrels"] == []
    assert found["totals"]["volume_l"] == {"low": 0.0, "mid": 0.0, "high": 0.0}


def test_it_counts_barrels_that_something_is_late_for(scene: ClubScene) -> None:
    scene.fill(scene.barrel("late"), day=0)
    scene.fill(scene.barrel("in time"), day=29.9)

    found = report(scene.club, NOW)

    assert found["overdue"] == 1
    late = next(row for row in found["barrels"] if row["name"] == "late")
    assert late["overdue"][0]["task"] == "leak_check"
    assert late["overdue"][0]["due_at"] == "2026-03-02T12:00:00Z"


def test_another_club_is_not_in_it(scene: ClubScene) -> None:
    other = ClubScene()
    other.fill(other.barrel("Elsewhere"))

    assert report(scene.club, NOW)["barrels"] == []


def test_it_is_ordered_by_a_column_with_the_unknown_last(scene: ClubScene) -> None:
    for name, left_l in (("b", 4.0), ("a", 4.6), ("c", 3.0)):
        filled(scene, name, start_l=5.0, left_l=left_l, abv_pct=50.0)
    scene.barrel("empty")
    rows = report(scene.club, NOW)["barrels"]

    def names(order: str) -> list[str]:
        return [row["name"] for row in rows_ordered(rows, order)]

    assert names("name") == ["a", "b", "c", "empty"]
    assert names("volume_l") == ["c", "b", "a", "empty"]
    assert names("-volume_l") == ["a", "b", "c", "empty"]


def test_the_table_has_a_head_and_a_line_a_barrel(scene: ClubScene) -> None:
    filled(scene, "Ebb", start_l=5.0, left_l=4.6, abv_pct=55.0)
    scene.barrel("Scend")

    head, *lines = report_table(scene.club, report(scene.club, NOW)["barrels"])

    assert head == HEAD
    assert [len(line) for line in lines] == [len(HEAD)] * 2
    ebb = dict(zip(head, lines[0], strict=True))
    assert (ebb["barrel"], ebb["place"], ebb["volume_mid_l"]) == ("Ebb", "Under the boathouse", 4.55)
    assert ebb["rum_fills_left_low"] == pytest.approx(5.0, abs=0.01)
    assert "leak_check due 2026-03-04" in str(ebb["overdue"])


def test_thirty_barrels_take_as_many_queries_as_three(scene: ClubScene) -> None:
    def grow(name: str) -> None:
        fill = filled(scene, name, start_l=5.0, left_l=4.5, abv_pct=50.0)
        scene.taste(Barrel.objects.get(name=name), fill, day=9)
        scene.send("troubles", Barrel.objects.get(name=name), day=9, kind="leak")

    for number in range(3):
        grow(f"first {number}")
    club = Club.objects.get(pk=scene.club.pk)
    few = queries_of(lambda: report(club, NOW))
    for number in range(27):
        grow(f"second {number}")

    assert len(report(club, NOW)["barrels"]) == 30
    assert queries_of(lambda: report(club, NOW)) == few


def test_the_acts_are_not_read(scene: ClubScene) -> None:
    """The ledger grows for ever; the report must not grow with it. Only a few standing acts are looked up."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    fill = filled(scene, "Ebb", start_l=5.0, left_l=4.5, abv_pct=50.0)
    scene.taste(Barrel.objects.get(name="Ebb"), fill, day=9)

    with CaptureQueriesContext(connection) as seen:
        report(scene.club, NOW)

    said = " ".join(query["sql"] for query in seen.captured_queries)
    assert "staveward_tasting" not in said
    assert "staveward_tending" not in said
    assert "staveward_reading" not in said
