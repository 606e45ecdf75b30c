"""Planning beyond the check file: every gate, ties, bad input, and the dates' arithmetic as properties."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from staveward.science.bookings import Booking, is_overlap, next_free_start, overlapping_pairs
from staveward.science.errors import Inconsistent, OutOfRange, Underdetermined
from staveward.science.oak_plan import oak_level, usual_weeks
from staveward.science.planning import (
    BarrelOffer,
    FillRequest,
    carry_values,
    first_keeper_day,
    half_up,
    priority,
    rank_barrels,
)

DAY = date(2031, 5, 5)
WISH = FillRequest(
    volume_ml=5000, abv_pct=50.0, family="spirit", oak_wanted=3, earliest=DAY, latest=DAY + timedelta(days=90)
)
OFFER = BarrelOffer(code="B1", capacity_ml=5000, free_from=DAY, fills_left=2.0, max_abv_pct=63.0, oak_level=3)


def only(request: FillRequest, offer: BarrelOffer) -> str:
    """The reason a single barrel is stopped, or "" when it suits."""
    ranking = rank_barrels(request, [offer])
    return ranking.refused[0].reason if ranking.refused else ""


def test_it_gives_all_points_to_a_perfect_barrel():
    """A full, matching, free, unused-by-others barrel gets the sum of the weights."""
    best = rank_barrels(WISH, [OFFER]).ranked[0]

    assert (best.fill, best.oak, best.time, best.carry, best.points) == (40, 25, 20, 15, 100)
    assert not best.is_ask


@pytest.mark.parametrize(
    ("reason", "wish", "offer"),
    [
        ("TOO_BIG", {"volume_ml": 5001}, {}),
        ("TOO_SMALL", {"volume_ml": 4499}, {}),
        ("WOOD_SPENT", {}, {"fills_left": 0.0}),
        ("TOO_WEAK", {"abv_pct": 14.99}, {}),
        ("TOO_STRONG", {"abv_pct": 63.01}, {}),
        ("ALLERGEN", {"avoid_allergens": frozenset({"nuts"})}, {"allergens": frozenset({"nuts", "milk"})}),
        ("CARRY_OVER", {"family": "neutral"}, {"families_held": frozenset({"smoke", "spirit"})}),
        ("NO_DATE", {}, {"free_from": DAY + timedelta(days=91)}),
    ],
)
def test_it_stops_at_each_gate(reason, wish, offer):
    """One step over each bound stops the barrel with its own reason."""
    assert reason == only(replace(WISH, **wish), replace(OFFER, **offer))


@pytest.mark.parametrize(
    ("wish", "offer"),
    [
        ({"volume_ml": 4500}, {}),
        ({"oak_wanted": 1}, {"fills_left": 0.0}),
        ({"abv_pct": 15.0}, {}),
        ({"abv_pct": 63.0}, {}),
        ({"abv_pct": None}, {"max_abv_pct": 1.0}),
        ({}, {"free_from": DAY + timedelta(days=90)}),
    ],
)
def test_it_lets_the_bound_itself_pass(wish, offer):
    """The bound itself is allowed; an unknown strength is not judged."""
    assert only(replace(WISH, **wish), replace(OFFER, **offer)) == ""


def test_it_names_what_it_would_ask_the_keeper_about():
    """A family that gives 1 halves the carry-over points and is named."""
    best = rank_barrels(WISH, [replace(OFFER, families_held=frozenset({"smoke", "wine"}))]).ranked[0]

    assert best.ask_about == ("smoke",)
    assert best.carry == Fraction(15, 2)


def test_it_judges_all_pairs_of_families_as_a_table():
    """Every cell of the table stops, asks or welcomes as it says."""
    assert len(carry_values()) == 25
    for (held, wanted), value in carry_values().items():
        ranking = rank_barrels(
            replace(WISH, family=wanted), [replace(OFFER, families_held=frozenset({held}))]
        )
        got = 0 if ranking.refused else 1 if ranking.ranked[0].is_ask else 2
        assert value == got, (held, wanted)


def test_it_breaks_ties_by_start_then_by_code():
    """Equal points: the earlier start first, then the code."""
    later = replace(OFFER, code="A0", free_from=DAY + timedelta(days=1), capacity_ml=5000)
    # A day later costs 20/56 of a point, which the rounding hides.
    ranking = rank_barrels(WISH, [replace(OFFER, code="C9"), later, replace(OFFER, code="B2")])

    assert [one.points for one in ranking.ranked] == [100, 100, 100]
    assert [one.code for one in ranking.ranked] == ["B2", "C9", "A0"]


@pytest.mark.parametrize(
    ("argument", "change"),
    [
        ("volume_ml", {"volume_ml": 0}),
        ("volume_ml", {"volume_ml": 4.5}),
        ("oak_wanted", {"oak_wanted": 6}),
        ("family", {"family": "cola"}),
        ("abv_pct", {"abv_pct": 101.0}),
        ("abv_pct", {"abv_pct": float("nan")}),
        ("latest", {"latest": DAY - timedelta(days=1)}),
    ],
)
def test_it_refuses_an_impossible_wish(argument, change):
    """The error names the argument."""
    with pytest.raises((OutOfRange, Inconsistent)) as refused:
        replace(WISH, **change)

    assert argument == refused.value.argument


@pytest.mark.parametrize(
    ("argument", "change"),
    [
        ("capacity_ml", {"capacity_ml": -1}),
        ("oak_level", {"oak_level": 0}),
        ("fills_left", {"fills_left": -0.1}),
        ("max_abv_pct", {"max_abv_pct": 120.0}),
        ("families_held", {"families_held": frozenset({"tea"})}),
        ("keeper_weekdays", {"keeper_weekdays": ()}),
        ("keeper_weekdays", {"keeper_weekdays": (8,)}),
    ],
)
def test_it_refuses_an_impossible_barrel(argument, change):
    """The error names the argument."""
    with pytest.raises((OutOfRange, Underdetermined)) as refused:
        replace(OFFER, **change)

    assert argument == refused.value.argument


@pytest.mark.parametrize(
    ("arguments", "error"),
    [
        (([], [], []), Underdetermined),
        (([1], [1, 2], [0]), Inconsistent),
        (([1], [1], []), Inconsistent),
        (([0], [1], [0]), OutOfRange),
        (([1], [-1], [0]), OutOfRange),
        (([1], [1], [-0.5]), OutOfRange),
    ],
)
def test_it_refuses_an_impossible_priority(arguments, error):
    """No sharers, lists of different length, and negative numbers are errors."""
    with pytest.raises(error):
        priority(*arguments)


def test_it_keeps_priority_above_its_floor():
    """Many fills cannot push anybody below 20."""
    assert priority([1], [0], [12]) == 20


def test_it_rounds_halves_up():
    """The rounding the weights were chosen with (common practice, no source)."""
    assert [half_up(Fraction(n, 2)) for n in (1, 5, -5, -1)] == [1, 3, -2, 0]


def test_it_needs_a_weekday_for_the_keeper():
    """No weekday at all cannot give a date."""
    with pytest.raises(Underdetermined):
        first_keeper_day(DAY, [])


days = st.integers(0, 120)
spans = st.lists(st.tuples(days, st.integers(1, 40)), max_size=12)


def as_dates(spans_of_days):
    """Intervals of days as half-open dates."""
    return [(DAY + timedelta(days=a), DAY + timedelta(days=a + n)) for a, n in spans_of_days]


@given(spans)
def test_it_finds_the_same_pairs_as_comparing_all_with_all(spans_of_days):
    """The sweep equals the definition; two intervals overlap when their sets of days meet."""
    bookings = [Booking(f"k{i:02}", "B1", *span) for i, span in enumerate(as_dates(spans_of_days))]

    def owned(one: Booking) -> set[date]:
        return {one.start + timedelta(days=n) for n in range((one.end - one.start).days)}

    slow = [(a.code, b.code) for a, b in combinations(bookings, 2) if owned(a) & owned(b)]
    assert slow == overlapping_pairs(bookings)


@settings(max_examples=60)
@given(spans, days, st.integers(1, 60))
def test_it_gives_the_first_start_that_is_free(spans_of_days, earliest, length_days):
    """The answer is free, and every earlier start is not."""
    taken = as_dates(spans_of_days)
    first = DAY + timedelta(days=earliest)

    start = next_free_start(first, length_days, taken)

    def is_free(day: date) -> bool:
        return not any(is_overlap(day, day + timedelta(days=length_days), *span) for span in taken)

    assert is_free(start)
    assert not any(is_free(first + timedelta(days=n)) for n in range((start - first).days))


@pytest.mark.parametrize("length_days", [0, -3, 1.5, 5000])
def test_it_refuses_an_impossible_length(length_days):
    """A booking is 1 to 1098 whole days."""
    with pytest.raises(OutOfRange):
        next_free_start(DAY, length_days, [])


def test_it_refuses_a_booking_that_ends_before_it_starts():
    """Start and end must be in order."""
    with pytest.raises(Inconsistent):
        Booking("k", "B", DAY, DAY)
    with pytest.raises(Inconsistent):
        next_free_start(DAY, 3, [(DAY, DAY)])


def test_it_gives_the_trades_usual_weeks():
    """Makers' timings and their continuation (common practice, no source)."""
    weeks = usual_weeks([1, 2, 3, 5, 10, 20, 30, 60])

    np.testing.assert_allclose(weeks, [2.04, 3, 3.76, 5, 13, 22, 29.93, 50.65], atol=0.005)
    assert pytest.approx(float(usual_weeks(5.0, is_mix=True))) == 2.5
    assert pytest.approx(float(usual_weeks(5.0, 2.0))) == 15.0


def test_it_lowers_the_oak_level_with_the_wood_used():
    """New wood is 5, spent wood 1, and nothing is below."""
    assert oak_level([0, 0.24, 0.25, 0.5, 0.99, 1, 3]).astype(int).tolist() == [5, 5, 4, 3, 2, 1, 1]
    with pytest.raises(OutOfRange):
        oak_level(-0.1)
