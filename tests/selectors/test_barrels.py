"""A barrel as its reader sees it, against hand-made ledgers."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from staveward.models import Barrel, Club, Stay
from staveward.selectors.barrels import barrel_queryset, barrel_row, barrel_rows, barrels_in_state
from tests.ledger import DAY0, ClubScene
from tests.reading import forecast_by_hand, queries_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


def seen(scene: ClubScene, barrel: Barrel, *, by: str = "member", day: float = 10.0) -> dict[str, Any]:
    """Returns the barrel as somebody sees it some days after the scene's first."""
    fresh = barrel_queryset(scene.club).get(pk=barrel.pk)
    return barrel_row(fresh, scene.club, scene.people[by], DAY0 + timedelta(days=day))


def a_life(scene: ClubScene, name: str) -> Barrel:
    """Gives a barrel a life with some of everything in it."""
    barrel = scene.barrel(name)
    scene.send("curings", barrel, day=0, water_l=5.0)
    scene.send("curing-verdicts", barrel, day=2, verdict="tight")
    first = scene.fill(barrel, day=3, is_private=True)
    scene.taste(barrel, first, day=10)
    scene.send("decants", barrel, day=20, measured_volume_l=4.4, abv_pct=54.0)
    scene.send("holds", barrel, day=20, water_l=2.5)
    second = scene.fill(barrel, day=30)
    scene.taste(barrel, second, day=37)
    scene.send("tendings", barrel, day=38, tasks=["roll", "leak_check"], bung_clock=12)
    scene.send("ownerships", barrel, day=38, shares=[{"person": scene.people["owner"].pk, "weight": 1}])
    scene.send("troubles", barrel, day=39, kind="leak", note="weeps at the head")
    return barrel


# --- state ---------------------------------------------------------------------------------------------------


def test_the_state_follows_the_life(scene: ClubScene) -> None:
    barrel = scene.barrel()
    states = [seen(scene, barrel)["state"]]
    scene.send("curings", barrel, day=0, water_l=5.0)
    states.append(seen(scene, barrel)["state"])
    scene.send("curing-verdicts", barrel, day=2, verdict="tight")
    states.append(seen(scene, barrel)["state"])
    scene.fill(barrel, day=3)
    states.append(seen(scene, barrel)["state"])
    scene.send("decants", barrel, day=20, measured_volume_l=4.4)
    states.append(seen(scene, barrel)["state"])
    scene.send("holds", barrel, day=20.5, water_l=2.5)
    states.append(seen(scene, barrel)["state"])
    scene.send("drainings", barrel, day=30)
    states.append(seen(scene, barrel)["state"])
    scene.send("retirements", barrel, day=31, reason="spent")
    states.append(seen(scene, barrel)["state"])

    assert states == ["new", "curing", "ready", "filled", "empty", "held", "empty", "retired"]
    assert seen(scene, barrel)["state_since"] == "2026-04-01T12:00:00Z"


def test_a_curing_given_up_leaves_the_barrel_new(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.send("curings", barrel, day=0, water_l=5.0)
    scene.send("curing-verdicts", barrel, day=6, verdict="given_up", reason="will not seal")

    assert seen(scene, barrel)["state"] == "new"


@pytest.mark.parametrize("state", ["new", "curing", "ready", "filled", "empty", "held", "retired"])
def test_the_filter_finds_what_the_row_says(scene: ClubScene, state: str) -> None:
    scene.barrel("new")
    curing, ready, filled = scene.barrel("curing"), scene.barrel("ready"), scene.barrel("filled")
    empty, held, retired = scene.barrel("empty"), scene.barrel("held"), scene.barrel("retired")
    given_up = scene.barrel("given up")
    for barrel in (curing, ready, given_up):
        scene.send("curings", barrel, day=0, water_l=5.0)
    scene.send("curing-verdicts", ready, day=2, verdict="tight")
    scene.send("curing-verdicts", given_up, day=2, verdict="given_up", reason="it will not close")
    for barrel in (filled, empty):
        scene.fill(barrel, day=3)
    scene.send("decants", empty, day=9, measured_volume_l=4.0)
    scene.send("holds", held, day=4, water_l=2.5)
    scene.send("holds", retired, day=4, water_l=2.5)
    scene.send("retirements", retired, day=5, reason="worm")

    found = {barrel.pk for barrel in barrels_in_state(barrel_queryset(scene.club), state)}
    rows = barrel_rows(barrel_queryset(scene.club), scene.club, scene.people["keeper"], DAY0)

    assert found
    assert {str(key) for key in found} == {row["id"] for row in rows if row["state"] == state}


# --- contents ------------------------------------------------------------------------------------------------


def test_it_shows_the_fill_and_what_is_in_it_now(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel, day=0, planned_days=42)
    scene.taste(barrel, fill, day=5)
    now = DAY0 + timedelta(days=10)
    forecast_by_hand(
        Stay.objects.get(pk=fill.pk),
        now - timedelta(hours=6),
        volume_l=[[4.4, 4.5, 4.6], [4.2, 4.4, 4.5], [4.0, 4.2, 4.4]],
        abv_pct=[[54.0, 55.0, 56.0], [53.0, 54.0, 55.0], [52.0, 53.0, 54.0]],
        level=[[0.80, 0.82, 0.84], [0.78, 0.80, 0.82], [0.76, 0.78, 0.80]],
    )

    row = seen(scene, barrel)

    contents = row["contents"]
    assert (contents["name"], contents["spirit"], contents["family"]) == ("rye, plain", "whisky", "spirit")
    assert contents["start_volume_l"] == pytest.approx(4.7)
    assert contents["start_abv_pct"] == 55.0
    assert contents["sample_budget_ml"] == 188  # 4 % of 4.7 L
    assert contents["sample_used_ml"] == 10.0
    assert [share["weight"] for share in contents["sharers"]] == [2, 1]
    assert contents["parts"] == [{"name": "rye", "volume_l": pytest.approx(4.7), "abv_pct": 55.0}]
    assert contents["forecast_at"] == "2026-03-11T06:00:00Z"
    assert contents["climate_guessed"] is False
    assert len(contents["near"]["volume_l"]) == 3
    # A quarter of a day past the middle knot.
    assert row["now"]["volume_l"] == {"low": 4.15, "mid": 4.35, "high": 4.475}
    assert row["now"]["abv_pct"] == {"low": 52.75, "mid": 53.75, "high": 54.75}
    assert row["now"]["level"] == {"low": 0.775, "mid": 0.795, "high": 0.815}


def test_without_a_forecast_it_says_nothing_of_now(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.fill(barrel)

    row = seen(scene, barrel)

    assert row["now"] is None
    assert row["contents"]["near"] is None
    assert row["contents"]["climate_guessed"] is True


def test_a_hold_shows_when_its_water_was_changed_and_its_half_mark(scene: ClubScene) -> None:
    barrel = scene.barrel(weighed_capacity_l=5.2)
    hold = scene.send("holds", barrel, day=0, water_l=2.6, bung_clock=4)
    now = DAY0 + timedelta(days=10)
    forecast_by_hand(
        Stay.objects.get(pk=hold.pk),
        now,
        volume_l=[[2.3, 2.4, 2.5]] * 3,
        level=[[0.45, 0.47, 0.49]] * 3,
        top_up_at=now + timedelta(days=9),
    )

    before = seen(scene, barrel)
    scene.send("tendings", barrel, day=8, tasks=["water_change"], bung_clock=8)
    after = seen(scene, barrel)

    assert before["bung_clock"] == 4
    assert before["water"] == {
        "changed_at": "2026-03-01T12:00:00Z",
        "half_volume_l": 2.6,
        "half_level": 0.5,
        "top_up_at": "2026-03-20T12:00:00Z",
    }
    assert before["now"]["abv_pct"] is None
    assert after["water"]["changed_at"] == "2026-03-09T12:00:00Z"
    assert after["bung_clock"] == 8


# --- wood ----------------------------------------------------------------------------------------------------


def test_wood_used_counts_the_fill_that_is_in_it(scene: ClubScene) -> None:
    """Rule of the trade, no source: 4, 4.5 or 5 whisky fills of 28 days; a fill counts sqrt(days / 28)."""
    barrel = scene.barrel()
    scene.fill(barrel, day=0)
    scene.send("decants", barrel, day=28, measured_volume_l=4.3)
    scene.fill(barrel, day=29)

    row = seen(scene, barrel, day=29 + 7)

    used = 1.0 + 0.5
    assert row["wood_used"]["low"] == pytest.approx(used / 5.0, abs=1e-4)
    assert row["wood_used"]["typical"] == pytest.approx(used / 4.5, abs=1e-4)
    assert row["wood_used"]["high"] == pytest.approx(used / 4.0, abs=1e-4)
    assert row["fills_left"]["whisky"] == [
        pytest.approx(4.0 - used, abs=0.01),
        pytest.approx(5.0 - used, abs=0.01),
    ]
    assert row["wood_spent"] is False


def test_an_adopted_barrel_starts_from_the_range_the_keeper_gave(scene: ClubScene) -> None:
    barrel = scene.barrel(
        adopted=True, adopted_wood_used_low=0.2, adopted_wood_used_high=0.6, adopted_allergens=["nuts"]
    )

    row = seen(scene, barrel)

    assert row["wood_used"] == {"low": 0.2, "typical": 0.4, "high": 0.6}
    assert row["allergens"] == ["nuts"]
    assert row["carry_over_pct"] is not None


def test_carry_over_falls_with_a_long_wet_hold(scene: ClubScene) -> None:
    """Working assumption of the ageing model: 5 L, 28 days, unrinsed 6.0 %, with a spread of 1.6 either way."""
    barrel = scene.barrel()
    assert seen(scene, barrel)["carry_over_pct"] is None
    scene.fill(barrel, day=0)
    scene.send("decants", barrel, day=20, measured_volume_l=4.4)
    fresh = seen(scene, barrel, day=20.1)["carry_over_pct"]
    scene.send("holds", barrel, day=20.2, water_l=2.5)
    washed = seen(scene, barrel, day=49)["carry_over_pct"]

    assert fresh["low"] == pytest.approx(6.0 / 1.6, rel=0.1)
    assert fresh["high"] == pytest.approx(6.0 * 1.6, rel=0.1)
    assert washed["high"] < 0.5 * fresh["high"]


def test_an_allergen_stays_with_the_wood_for_life(scene: ClubScene) -> None:
    barrel = scene.barrel()
    parts = [{"name": "walnut liqueur", "volume_l": 4.0, "abv_pct": 40.0, "allergens": ["nuts"]}]
    scene.fill(barrel, day=0, parts=parts, is_private=True)
    scene.send("decants", barrel, day=20, measured_volume_l=3.8)
    scene.fill(barrel, day=21)

    row = seen(scene, barrel, day=25)

    assert row["allergens"] == ["nuts"]
    assert row["contents"]["allergens"] == []


# --- who sees what -------------------------------------------------------------------------------------------

HIDDEN = ("name", "spirit", "family", "abv_basis", "start_abv_pct", "sugar_g_l", "parts")


@pytest.mark.parametrize("by", ["member", "owner", "tablet"])
def test_a_private_fill_is_an_outline_to_those_outside(scene: ClubScene, by: str) -> None:
    barrel = scene.barrel()
    scene.send("ownerships", barrel, day=-1, shares=[{"person": scene.people["owner"].pk, "weight": 1}])
    fill = scene.fill(barrel, day=0, is_private=True)
    forecast_by_hand(
        Stay.objects.get(pk=fill.pk),
        DAY0 + timedelta(days=10),
        volume_l=[[4.0, 4.1, 4.2]] * 3,
        abv_pct=[[50.0, 51.0, 52.0]] * 3,
        level=[[0.7, 0.8, 0.9]] * 3,
    )

    row = seen(scene, barrel, by=by)

    contents = row["contents"]
    assert [contents[name] for name in HIDDEN] == [None] * len(HIDDEN)
    assert contents["sharers"] == []
    assert contents["near"]["abv_pct"] is None
    assert row["now"]["abv_pct"] is None
    # The outline: that it is there, since when, how much.
    assert contents["is_private"] is True
    assert contents["start_volume_l"] == pytest.approx(4.7)
    assert row["now"]["volume_l"]["mid"] == 4.1
    assert row["timeline"][0]["name"] is None


@pytest.mark.parametrize("by", ["sharer", "keeper", "admin"])
def test_a_private_fill_is_open_to_its_sharers_and_keepers(scene: ClubScene, by: str) -> None:
    barrel = scene.barrel()
    scene.fill(barrel, day=0, is_private=True)

    row = seen(scene, barrel, by=by)

    assert None not in [row["contents"][name] for name in HIDDEN]
    assert len(row["contents"]["sharers"]) == 2
    assert row["timeline"][0]["name"] == "rye, plain"


def test_a_private_fill_that_has_ended_keeps_its_name_and_tells_its_spirit(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.fill(barrel, day=0, is_private=True)
    scene.send("decants", barrel, day=20, measured_volume_l=4.4)

    outside, inside = seen(scene, barrel, day=21), seen(scene, barrel, by="sharer", day=21)

    assert outside["held_before"] == [
        {"name": None, "spirit": "whisky", "family": "spirit", "ended_on": "2026-03-21"}
    ]
    assert inside["held_before"][0]["name"] == "rye, plain"


@pytest.mark.parametrize(
    ("by", "fill", "allowed"),
    [
        ("member", {}, True),
        ("member", {"open_to_tasting": False}, False),
        ("member", {"is_private": True}, False),
        ("sharer", {"is_private": True}, True),
        ("keeper", {"is_private": True}, True),
    ],
)
def test_who_may_taste(scene: ClubScene, by: str, fill: dict[str, Any], allowed: bool) -> None:
    barrel = scene.barrel()
    scene.fill(barrel, day=0, **fill)

    assert seen(scene, barrel, by=by)["contents"]["may_taste"] is allowed


def test_nobody_tastes_in_quarantine(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.fill(barrel, day=0)
    scene.send("troubles", barrel, day=3, kind="off_smell", quarantine=True, note="vinegar")

    row = seen(scene, barrel, by="sharer")

    assert row["contents"]["may_taste"] is False
    assert [(one["kind"], one["quarantine"], one["note"]) for one in row["troubles"]] == [
        ("off_smell", True, "vinegar")
    ]


def test_the_newest_ownership_holds(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.send("ownerships", barrel, day=1, shares=[{"person": scene.people["owner"].pk, "weight": 1}])
    owned = seen(scene, barrel)["owners"]
    scene.send("ownerships", barrel, day=2, shares=[])

    assert owned == [{"person": str(scene.people["owner"].pk), "weight": 1}]
    assert seen(scene, barrel)["owners"] == []


def test_a_corrected_fill_is_shown_as_corrected(scene: ClubScene) -> None:
    barrel = scene.barrel()
    first = scene.fill(barrel, day=0)
    scene.fill(barrel, day=0, name="rye, corrected", replaces=first.pk, is_private=True)

    row = seen(scene, barrel, by="sharer")

    assert row["contents"]["name"] == "rye, corrected"
    assert len(row["timeline"]) == 1
    assert seen(scene, barrel)["contents"]["name"] is None


# --- queries -------------------------------------------------------------------------------------------------


def test_ten_barrels_take_as_many_queries_as_three(scene: ClubScene) -> None:
    for number in range(3):
        a_life(scene, f"first {number}")
    now, reader = DAY0 + timedelta(days=40), scene.people["member"]
    club = Club.objects.get(pk=scene.club.pk)

    def read() -> list[dict[str, Any]]:
        return barrel_rows(barrel_queryset(club), club, reader, now)

    few = queries_of(read)
    for number in range(7):
        a_life(scene, f"second {number}")

    assert len(read()) == 10
    assert queries_of(read) == few
