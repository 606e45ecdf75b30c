"""Reading reservations, and the barrels that suit a wish: against hand-made ledgers."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from staveward.models import Barrel, Club
from staveward.science.errors import OutOfRange
from staveward.selectors.reservation_words import percent_range_words
from staveward.selectors.reservations import (
    barrel_suggestions,
    reservation_answer,
    reservation_queryset,
    reservation_rows,
    wish_of,
)
from tests.ledger import DAY0
from tests.reserving import ReservingScene, on

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene() -> ReservingScene:
    return ReservingScene()


def suggested(
    scene: ReservingScene, *, by: str = "member", day: float = 0.0, **changes: Any
) -> dict[str, Any]:
    """Returns what suits 5 L of a mixed drink of 31 % vol from day 10 for eight weeks, the oak gentle."""
    asked: dict[str, Any] = {
        "volume_l": 5.0,
        "spirit": "cocktail",
        "family": "cocktail",
        "abv_pct": 31.0,
        "earliest": on(10),
        "length": timedelta(weeks=8),
        "oak": 2,
    }
    now, reader = DAY0 + timedelta(days=day), scene.people[by]
    # As a request does: the club as it is stored now.
    club = Club.objects.get(pk=scene.club.pk)
    wish = wish_of(club=club, reader=reader, now=now, **{**asked, **changes})
    return barrel_suggestions(club=club, reader=reader, wish=wish, now=now)


def of(found: dict[str, Any], barrel: Barrel) -> dict[str, Any]:
    """Returns what is said of one barrel."""
    rows: list[dict[str, Any]] = [*found["suits"], *found["not_this_time"]]
    return next(row for row in rows if row["barrel"] == str(barrel.pk))


def worn(scene: ReservingScene, barrel_name: str, *, fills: int = 1, **changes: Any) -> Barrel:
    """Returns a barrel that held the same fill for four weeks so many times, and was decanted two days ago."""
    barrel = scene.cured(barrel_name, day=-30 * fills - 10)
    for number in range(fills, 0, -1):
        scene.fill(barrel, day=-30 * number, **changes)
        scene.send("decants", barrel, day=-30 * number + 28, measured_volume_l=4.2)
    return barrel


def test_new_wood_is_strong_and_wants_fewer_weeks(scene: ReservingScene) -> None:
    """Makers' timings for 5 L: 4 to 6 weeks for a spirit, half of it for a mix (common practice, no source)."""
    barrel = scene.cured("Scend")

    row = of(suggested(scene), barrel)

    assert row["reasons"] == [
        "Free by then.",
        "Never filled, so the oak is strong: plan 2 to 3 weeks, not 8.",
    ]
    assert row["held_last"] is None
    assert row["carry_over_pct"] is None
    assert not row["ask_keeper"]


def test_a_barrel_that_held_what_suits_says_so(scene: ReservingScene) -> None:
    """Three whisky fills of 28 days use 3/4.5 of the wood's life: level 3, medium (limits: common practice)."""
    barrel = worn(scene, "Fairway", fills=3)

    row = of(suggested(scene), barrel)

    assert row["held_last"] == "rye, plain"
    assert row["reasons"][1].startswith("Held rye, plain last; leaves ")
    assert row["reasons"][1].endswith(" % of it, which suits.")
    assert row["reasons"][2].startswith("Its oak is medium now")
    # The reference barrel of 5 L passes on about 6 % unrinsed; factor 1.6 either way.
    assert row["carry_over_pct"]["low"] == pytest.approx(6.0 / 1.6, rel=0.15)
    assert row["carry_over_pct"]["high"] == pytest.approx(6.0 * 1.6, rel=0.15)
    assert row["parts"]["carry"] == 15.0


def test_what_would_be_tasted_needs_the_keepers_word(scene: ReservingScene) -> None:
    barrel = worn(scene, "Ebb", name="agave with herbs", spirit="cocktail", family="cocktail")

    row = of(suggested(scene), barrel)

    assert row["ask_keeper"]
    assert "Held agave with herbs: you would taste it" in row["reasons"][1]
    assert row["parts"]["carry"] == 7.5


def test_an_earlier_fill_counts_as_well_as_the_last(scene: ReservingScene) -> None:
    barrel = worn(scene, "Ebb", name="smoky agave", spirit="agave", family="smoke", fills=2)
    scene.fill(barrel, day=-1.9, name="old rum", spirit="rum", family="spirit")
    scene.send("decants", barrel, day=-1, measured_volume_l=4.3)

    row = of(suggested(scene, family="spirit", spirit="rum", abv_pct=50.0), barrel)

    assert row["ask_keeper"]
    assert row["reasons"][1] == "Held old rum last, and a smoky spirit before it: the keeper must agree."


def test_a_private_fill_is_not_named_to_outsiders(scene: ReservingScene) -> None:
    barrel = worn(scene, "Ebb", name="secret rye", is_private=True)

    for by, name in (("member", None), ("sharer", "secret rye"), ("keeper", "secret rye")):
        row = of(suggested(scene, by=by), barrel)
        assert row["held_last"] == name
        assert ("secret rye" in " ".join(row["reasons"])) == (name is not None)


def test_the_next_free_date_follows_the_plan_of_what_lies_in_it(scene: ReservingScene) -> None:
    barrel = scene.cured("Ebb")
    scene.fill(barrel, day=0, planned_days=23)

    row = of(suggested(scene), barrel)

    # 23 days planned and one of turning round: day 24, two weeks after day 10.
    assert row["starts_on"] == on(24).isoformat()
    assert row["reasons"][0] == "Free two weeks later."
    assert row["parts"]["time"] == 15.0


def test_without_a_plan_the_usual_weeks_count(scene: ReservingScene) -> None:
    """5 L of a spirit in new wood: five weeks (common practice, no source) and the day of turning round."""
    barrel = scene.cured("Ebb")
    scene.fill(barrel, day=0)

    row = of(suggested(scene), barrel)

    assert row["starts_on"] == on(36).isoformat()
    assert row["reasons"][0] == "Probably free four weeks later."


def test_a_fill_that_overruns_holds_the_barrel_until_tomorrow(scene: ReservingScene) -> None:
    barrel = scene.cured("Ebb")
    scene.fill(barrel, day=0, planned_days=10)

    row = of(suggested(scene, day=30, earliest=on(30)), barrel)

    assert row["starts_on"] == on(31).isoformat()


def test_it_finds_a_gap_that_is_long_enough(scene: ReservingScene) -> None:
    barrel = scene.cured("Ebb")
    scene.ask(barrel, 40, 60, by="sharer")
    scene.ask(barrel, 70, 100, by="owner")
    scene.ask(barrel, 75, 90, by="other_sharer")

    short = of(suggested(scene, length=timedelta(weeks=4)), barrel)
    long = of(suggested(scene, length=timedelta(weeks=5)), barrel)

    assert (short["starts_on"], short["ends_on"]) == (on(10).isoformat(), on(39).isoformat())
    assert long["starts_on"] == on(100).isoformat()
    assert long["waiting"] == 1
    assert "One other waits for it." in long["reasons"]


def test_a_new_barrel_must_be_cured_first(scene: ReservingScene) -> None:
    barrel = scene.barrel("Unused")

    row = of(suggested(scene, earliest=on(0)), barrel)

    assert row["starts_on"] == on(7).isoformat()
    assert "It must be cured first." in row["reasons"]


@pytest.mark.parametrize(
    ("code", "wish", "detail"),
    [
        ("too_big", {"volume_l": 6.0}, "Neap holds 5 L."),
        ("too_small", {"volume_l": 4.0}, "Neap is too large at 5 L; the air would take more."),
        ("too_weak", {"abv_pct": 12.0}, "Below 15 % vol it would spoil in the wood."),
        ("too_strong", {"abv_pct": 71.0}, "Neap takes at most 70 % vol."),
    ],
)
def test_it_says_why_not_this_time(
    scene: ReservingScene, code: str, wish: dict[str, Any], detail: str
) -> None:
    barrel = scene.cured("Neap")

    row = of(suggested(scene, **wish), barrel)

    assert (row["code"], row["detail"]) == (code, detail)


def test_spent_wood_and_a_past_that_does_not_suit_are_named(scene: ReservingScene) -> None:
    spent = worn(scene, "Doldrum", fills=5)
    smoky = worn(scene, "Squall", name="smoky agave", spirit="agave", family="smoke")

    assert of(suggested(scene), spent)["detail"] == "Doldrum’s wood is spent."
    row = of(suggested(scene, family="neutral", spirit="agave"), smoky)
    assert (row["code"], row["detail"]) == (
        "carry_over",
        "Squall held a smoky spirit; a neutral spirit would taste of it.",
    )


def test_a_weak_fill_after_a_sweet_one_is_not_offered(scene: ReservingScene) -> None:
    """Sugar over 50 g/L, then under 20 % vol: it could spoil (common practice, no source)."""
    sweet = [{"name": "liqueur", "volume_l": 4.7, "abv_pct": 30.0, "sugar_g_l": 200.0}]
    barrel = worn(scene, "Ebb", parts=sweet, spirit="fortified_wine", family="wine")

    assert of(suggested(scene, abv_pct=18.0), barrel)["code"] == "sweet_before"
    row = of(suggested(scene, abv_pct=21.0), barrel)
    assert "points" in row


def test_an_allergen_is_shown_to_all_and_stops_whoever_avoids_it(scene: ReservingScene) -> None:
    barrel = scene.cured("Ebb", adopted=True, adopted_allergens=["nuts", "milk"], adopted_families=["spirit"])

    row = of(suggested(scene), barrel)
    assert row["allergens"] == ["milk", "nuts"]
    assert "Has held milk and nuts: every label will say so." in row["reasons"]

    scene.people["member"].avoid_allergens = ["nuts"]
    stopped = of(suggested(scene), barrel)
    assert (stopped["code"], stopped["detail"]) == ("allergen", "Ebb has held nuts, which you avoid.")
    assert "points" in of(suggested(scene, allergens_seen=True), barrel)


def test_quarantine_and_a_barrel_that_did_not_come_tight_are_not_offered(scene: ReservingScene) -> None:
    ill, leaky, gone = scene.cured("Ill"), scene.barrel("Leaky"), scene.cured("Gone")
    scene.send("troubles", ill, day=-1, kind="off_smell", quarantine=True)
    scene.send("curings", leaky, day=-9, water_l=5.0)
    scene.send("curing-verdicts", leaky, day=-2, verdict="given_up", reason="it will not close")
    scene.send("retirements", gone, day=-1, reason="a hoop gave way")

    found = suggested(scene)

    assert of(found, ill)["detail"] == "Ill is in quarantine: an off smell."
    assert of(found, leaky)["code"] == "not_tight"
    assert str(gone.pk) not in {row["barrel"] for row in [*found["suits"], *found["not_this_time"]]}


def test_a_curing_holds_the_barrel_for_a_week_and_no_longer_than_it_may(scene: ReservingScene) -> None:
    """168 hours, after which a curing is given up (makers' sheets, common practice)."""
    barrel = scene.barrel("Slack Water")
    scene.send("curings", barrel, day=0, water_l=5.0)

    row = of(suggested(scene, day=2, earliest=on(2)), barrel)
    assert row["starts_on"] == on(7).isoformat()
    assert "It is being cured; the date holds if it comes tight." in row["reasons"]

    late = of(suggested(scene, day=8, earliest=on(8)), barrel)
    assert (late["code"], late["detail"]) == ("not_tight", "Slack Water is not tight.")


def test_a_wet_hold_washes_on_until_the_day_of_the_fill(scene: ReservingScene) -> None:
    """A week of storage water takes 0.7 of what is shallow, four weeks 0.9 (working assumptions)."""
    dry, week, month = worn(scene, "Dry"), worn(scene, "Week"), worn(scene, "Month")
    for barrel in (week, month):
        scene.send("holds", barrel, day=-1, water_l=2.5)
    scene.ask(month, 1, 40, by="sharer")

    found = suggested(scene)
    shares = [of(found, barrel)["carry_over_pct"]["high"] for barrel in (dry, week, month)]

    assert shares == sorted(shares, reverse=True)
    assert len(set(shares)) == 3


def test_a_barrel_of_unknown_past_needs_the_keepers_word(scene: ReservingScene) -> None:
    barrel = scene.cured("Found", adopted=True)

    row = of(suggested(scene), barrel)

    assert row["ask_keeper"]
    assert row["reasons"][1].startswith("Nobody knows what it held")


def test_the_best_barrel_comes_first(scene: ReservingScene) -> None:
    """Full, gentle and free at once beats new wood; a later date comes behind."""
    gentle, new, later = worn(scene, "Fairway", fills=4), scene.cured("Scend"), worn(scene, "Ebb", fills=4)
    scene.decide(scene.ask(later, 5, 30), "confirm")

    ranked = [row["barrel"] for row in suggested(scene)["suits"]]

    assert ranked == [str(barrel.pk) for barrel in (gentle, later, new)]


def test_another_clubs_barrels_are_not_offered(scene: ReservingScene) -> None:
    ReservingScene("Another Club").cured("Theirs")

    assert suggested(scene) == {"suits": [], "not_this_time": []}


@pytest.mark.parametrize("earliest", [on(-1), on(1200)])
def test_a_first_day_that_cannot_be_is_refused(scene: ReservingScene, earliest: Any) -> None:
    with pytest.raises(OutOfRange) as refused:
        suggested(scene, earliest=earliest)
    assert refused.value.argument == "earliest"


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        (0.2, 0.6, "less than 1 %"),
        (0.4, 1.2, "up to 1 %"),
        (0.8, 1.4, "about 1 %"),
        (0.8, 2.1, "1 to 2 %"),
        (2.1, 4.2, "2 to 4 %"),
    ],
)
def test_a_share_is_said_in_whole_percent(low: float, high: float, words: str) -> None:
    assert percent_range_words(low, high) == words


def queries(scene: ReservingScene) -> tuple[int, int]:
    """Returns how many queries suggestions and the list of reservations take."""
    with CaptureQueriesContext(connection) as first:
        suggested(scene)
    with CaptureQueriesContext(connection) as second:
        reservation_rows(reservation_queryset(scene.club), scene.people["member"])
    return len(first), len(second)


def test_the_number_of_queries_does_not_grow_with_the_rows(scene: ReservingScene) -> None:
    def more(number: int) -> None:
        barrel = worn(scene, f"Barrel {number}")
        scene.ask(barrel, 10, 40)
        scene.ask(barrel, 10, 40, by="sharer")

    for number in range(2):
        more(number)
    few = queries(scene)
    for number in range(2, 8):
        more(number)

    assert queries(scene) == few
    assert few[0] <= 10
    assert few[1] <= 3


def test_the_answer_to_who_waits_names_the_clash_and_the_next_free_day(scene: ReservingScene) -> None:
    barrel = scene.cured()
    holder = scene.ask(barrel, 10, 40)
    scene.ask(barrel, 45, 60, by="owner")
    waiting = scene.ask(barrel, 20, 30, by="sharer")

    answer = reservation_answer(
        club=scene.club, reservation=waiting, reader=scene.people["sharer"], now=DAY0 + timedelta(hours=1)
    )

    assert answer["clash"] == {
        "starts_on": on(10).isoformat(),
        "ends_on": on(40).isoformat(),
        "person": str(holder.person_id),
        "state": "pencilled",
    }
    # Ten days fit only after the one that ends on day 60: between 40 and 45 there are five.
    assert answer["next_free_on"] == on(60).isoformat()
