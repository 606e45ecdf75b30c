"""The season's plan against every combination of rows, and what a keeper asks of it."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator, Sequence

import pytest

from staveward.science.errors import Inconsistent, OutOfRange, Underdetermined
from staveward.science.planning import carry_values
from staveward.science.season import (
    SeasonBarrel,
    SeasonPlan,
    SeasonRequest,
    SeasonRow,
    Unplaced,
    season_plan,
)
from staveward.science.season_model import Row, assigned

SLOTS = 6
Club = tuple[list[SeasonRequest], list[SeasonBarrel], list[SeasonRow], int, int]


def club_of(seed: int) -> Club:
    """Makes a small club by chance."""
    draw = random.Random(seed)
    families = ["neutral", "spirit", "smoke", "wine", "cocktail"]
    requests = [
        SeasonRequest(
            code=f"R{row}",
            family=draw.choice(families),
            members=frozenset(draw.sample("abcdef", draw.choice([1, 1, 2]))),
            wants_oak=draw.random() < 0.7,
            allergens=frozenset(["nuts"] if draw.random() < 0.2 else []),
            avoid_allergens=frozenset(["nuts"] if draw.random() < 0.3 else []),
        )
        for row in range(5)
    ]
    barrels = [
        SeasonBarrel(
            code=f"B{row}",
            fills_left=draw.randint(0, 2),
            families_held=frozenset([draw.choice(families)] if draw.random() < 0.5 else []),
            allergens=frozenset(["nuts"] if draw.random() < 0.2 else []),
        )
        for row in range(2)
    ]
    rows = {
        (row.request, row.barrel, row.slot): row
        for row in (
            SeasonRow(
                f"R{draw.randrange(5)}",
                f"B{draw.randrange(2)}",
                draw.randrange(SLOTS),
                draw.randint(1, 4),
                draw.randint(100, 500),
            )
            for _ in range(13)
        )
    }
    return requests, barrels, list(rows.values()), draw.choice([1, 2]), draw.choice([1, 2])


def stands(rows: Sequence[SeasonRow], club: Club) -> bool:
    """Says whether rows can stand together, told from the rules of the trade and not from the programme."""
    requests, barrels, _, jobs, cap = club
    wish = {one.code: one for one in requests}
    cask = {one.code: one for one in barrels}
    if len({row.request for row in rows}) < len(rows):
        return False
    fills = Counter(member for row in rows for member in wish[row.request].members)
    handled = Counter(day for row in rows for day in (row.slot, row.slot + row.duration) if day < SLOTS)
    if any(count > cap for count in fills.values()) or any(count > jobs for count in handled.values()):
        return False
    for code, barrel in cask.items():
        history = sorted((row for row in rows if row.barrel == code), key=lambda row: row.slot)
        held, marks, oak = set(barrel.families_held), set(barrel.allergens), barrel.fills_left
        free_from = 0
        for row in history:
            asked = wish[row.request]
            oak -= asked.wants_oak
            if row.slot < free_from or marks & asked.avoid_allergens or oak < 0:
                return False
            if any(carry_values()[family, asked.family] == 0 for family in held):
                return False
            free_from = row.slot + row.duration
            held.add(asked.family)
            marks |= asked.allergens
    return True


def combinations(rows: Sequence[SeasonRow], club: Club) -> Iterator[list[SeasonRow]]:
    """Gives every set of rows that can stand together; what cannot stand cannot be mended by adding."""
    pending: list[tuple[int, list[SeasonRow]]] = [(0, [])]
    while pending:
        start, chosen = pending.pop()
        yield chosen
        for place in range(start, len(rows)):
            more = [*chosen, rows[place]]
            if stands(more, club):
                pending.append((place + 1, more))


def plan_of(club: Club, **more: object) -> SeasonPlan:
    requests, barrels, rows, jobs, cap = club
    return season_plan(
        requests,
        barrels,
        rows,
        slots=SLOTS,
        keeper_jobs_per_slot=jobs,
        max_fills_per_member=cap,
        **more,  # type: ignore[arg-type]
    )


@pytest.mark.parametrize("seed", range(40))
def test_it_finds_the_best_of_all_combinations(seed: int):
    """Same value as the complete enumeration, by rows that can stand together."""
    club = club_of(seed)

    plan = plan_of(club)

    best = max(sum(row.value for row in chosen) for chosen in combinations(club[2], club))
    assert best == plan.value == sum(row.value for row in plan.rows)
    assert stands(plan.rows, club)
    assert {one.code for one in club[0]} == {row.request for row in plan.rows} | set(plan.unplaced)


# Clubs in which some row can stand at all.
@pytest.mark.parametrize("seed", [0, 1, 2, 3, 4, 6, 7, 8, 9, 10])
def test_an_accepted_row_stays(seed: int):
    """Whatever else is better, and then the rest is the best that goes with it."""
    club = club_of(seed)
    possible = [row for row in club[2] if stands([row], club)]
    assert possible
    frozen = min(possible, key=lambda row: row.value)

    plan = plan_of(club, accepted=[frozen])

    assert frozen in plan.rows
    best = max(sum(row.value for row in chosen) for chosen in combinations(club[2], club) if frozen in chosen)
    assert best == plan.value


def test_accepted_rows_that_exclude_one_another_are_refused():
    """Two in one barrel at once."""
    requests = [SeasonRequest(code=code, family="spirit", members=frozenset(code)) for code in "pq"]
    rows = [SeasonRow("p", "B", 0, 3, 300), SeasonRow("q", "B", 1, 3, 300)]

    with pytest.raises(Inconsistent, match="accepted"):
        season_plan(
            requests,
            [SeasonBarrel(code="B", fills_left=3)],
            rows,
            slots=6,
            keeper_jobs_per_slot=None,
            max_fills_per_member=None,
            accepted=rows,
        )


@pytest.mark.parametrize("seed", range(10))
def test_the_fast_path_gives_what_the_programme_gives(seed: int):
    """One slot only, so a barrel takes one row: paired, and through the programme with a limit that never binds."""
    draw = random.Random(seed)
    requests = [
        SeasonRequest(code=f"R{row}", family="spirit", members=frozenset([f"m{row}"])) for row in range(9)
    ]
    barrels = [SeasonBarrel(code=f"B{row}", fills_left=3) for row in range(6)]
    rows = [
        SeasonRow(one.code, other.code, 0, 1, draw.randint(100, 500))
        for one in requests
        for other in barrels
        if draw.random() < 0.6
    ]

    paired, programmed = (
        season_plan(requests, barrels, rows, slots=1, keeper_jobs_per_slot=jobs, max_fills_per_member=1)
        for jobs in (None, 99)
    )

    assert programmed.value == paired.value > 0
    assert paired.gap == programmed.gap == 0.0
    assert len({row.barrel for row in paired.rows}) == len(paired.rows)


@pytest.mark.parametrize(
    ("wish", "cask"),
    [
        ({}, {"fills_left": 0}),
        ({"avoid_allergens": frozenset(["nuts"])}, {"allergens": frozenset(["nuts"])}),
        ({"family": "neutral"}, {"families_held": frozenset(["smoke"])}),
    ],
)
def test_one_row_a_barrel_does_not_lift_what_the_wood_forbids(
    wish: dict[str, object], cask: dict[str, object]
):
    """Spent wood, an allergen that a sharer avoids, a past that does not go: no row, on either path."""
    request = SeasonRequest(**{"code": "p", "family": "spirit", "members": frozenset("p"), **wish})  # type: ignore[arg-type]
    barrel = SeasonBarrel(**{"code": "B", "fills_left": 2, **cask})  # type: ignore[arg-type]

    plan = season_plan(
        [request],
        [barrel],
        [SeasonRow("p", "B", 0, 1, 300)],
        slots=1,
        keeper_jobs_per_slot=None,
        max_fills_per_member=None,
    )

    assert plan.rows == ()
    assert plan.unplaced == {"p": (Unplaced.OUTWEIGHED, ())}


def test_it_says_who_got_nothing_and_why():
    """No gate passed, the member's cap, or the fill that took the barrel."""
    requests = [
        SeasonRequest(code="first", family="spirit", members=frozenset("a")),
        SeasonRequest(code="second", family="spirit", members=frozenset("b")),
        SeasonRequest(code="third", family="spirit", members=frozenset("a")),
        SeasonRequest(code="fourth", family="spirit", members=frozenset("c")),
    ]
    rows = [
        SeasonRow("first", "B", 0, 4, 400),
        SeasonRow("second", "B", 1, 2, 300),
        SeasonRow("third", "C", 0, 2, 100),
    ]

    plan = season_plan(
        requests,
        [SeasonBarrel(code="B", fills_left=3), SeasonBarrel(code="C", fills_left=3)],
        rows,
        slots=4,
        keeper_jobs_per_slot=2,
        max_fills_per_member=1,
    )

    assert plan.unplaced == {
        "second": (Unplaced.BARREL_TAKEN, ("first",)),
        "third": (Unplaced.MEMBER_CAP, ("first",)),
        "fourth": (Unplaced.NO_CANDIDATE, ()),
    }


def test_rows_are_cut_to_each_requests_best_and_it_says_so():
    """The best row of each request stays on offer."""
    requests = [SeasonRequest(code="p", family="spirit", members=frozenset("p"))]
    rows = [SeasonRow("p", "B", slot, 1, 300 - slot) for slot in range(5)]
    barrels = [SeasonBarrel(code="B", fills_left=1)]

    plan = season_plan(
        requests,
        barrels,
        rows,
        slots=5,
        keeper_jobs_per_slot=2,
        max_fills_per_member=1,
        best_rows_a_request=2,
    )

    assert plan.is_cut
    assert plan.value == 300


def test_no_row_on_offer_is_an_empty_plan():
    """Nothing to solve, and everybody is told."""
    requests = [SeasonRequest(code="p", family="spirit", members=frozenset("p"))]

    plan = season_plan(requests, [], [], slots=5, keeper_jobs_per_slot=2, max_fills_per_member=1)

    assert (plan.rows, plan.value, plan.gap) == ((), 0.0, 0.0)
    assert plan.unplaced == {"p": (Unplaced.NO_CANDIDATE, ())}


BAD_ROWS = {
    "no such request": (SeasonRow("x", "B0", 0, 1, 1), Inconsistent),
    "no such barrel": (SeasonRow("R0", "x", 0, 1, 1), Inconsistent),
    "after the season": (SeasonRow("R0", "B0", SLOTS, 1, 1), OutOfRange),
    "before it": (SeasonRow("R0", "B0", -1, 1, 1), OutOfRange),
    "no time at all": (SeasonRow("R0", "B0", 0, 0, 1), OutOfRange),
    "no number": (SeasonRow("R0", "B0", 0, 1, float("nan")), OutOfRange),
    "less than nothing": (SeasonRow("R0", "B0", 0, 1, -1.0), OutOfRange),
    "half a slot": (SeasonRow("R0", "B0", 0.5, 1, 1), OutOfRange),  # type: ignore[arg-type]
}


@pytest.mark.parametrize("name", BAD_ROWS)
def test_it_refuses_a_row_that_cannot_be(name: str):
    """With the argument's name."""
    row, error = BAD_ROWS[name]
    requests, barrels, _, jobs, cap = club_of(1)

    with pytest.raises(error, match="candidates"):
        plan_of((requests, barrels, [row], jobs, cap))


def test_it_refuses_a_limit_that_cannot_be():
    """Negative caps, wrong lengths, no time, codes that stand twice, nobody who asks."""
    requests, barrels, rows, _, _ = club_of(1)
    good = {"slots": SLOTS, "keeper_jobs_per_slot": 2, "max_fills_per_member": 1}

    for spoilt in (
        {"slots": 0},
        {"keeper_jobs_per_slot": -1},
        {"keeper_jobs_per_slot": [1, 2]},
        {"max_fills_per_member": -1},
        {"time_limit_s": 0.0},
        {"best_rows_a_request": 0},
    ):
        with pytest.raises((OutOfRange, Inconsistent), match=next(iter(spoilt))):
            season_plan(requests, barrels, rows, **{**good, **spoilt})  # type: ignore[arg-type]
    with pytest.raises(Inconsistent, match="requests"):
        season_plan([*requests, requests[0]], barrels, rows, **good)  # type: ignore[arg-type]
    with pytest.raises(Inconsistent, match="candidates"):
        season_plan(requests, barrels, [rows[0], rows[0]], **good)  # type: ignore[arg-type]
    with pytest.raises(Underdetermined, match="members"):
        SeasonRequest(code="p", family="spirit", members=frozenset())
    with pytest.raises(OutOfRange, match="fills_left"):
        SeasonBarrel(code="B", fills_left=-1)


def test_a_solver_without_time_says_so_and_what_it_gives_still_stands():
    """A thousandth of a second for forty wishes; with time enough it says nothing of the kind."""
    draw = random.Random(5)
    requests = [
        SeasonRequest(code=f"R{row}", family="spirit", members=frozenset([f"m{row % 25}"]))
        for row in range(40)
    ]
    barrels = [SeasonBarrel(code=f"B{row}", fills_left=2) for row in range(12)]
    rows = [
        SeasonRow(one.code, other.code, slot, draw.randint(2, 7), draw.randint(100, 500))
        for one in requests
        for other in barrels
        for slot in draw.sample(range(18), 4)
    ]
    limits = {"slots": 20, "keeper_jobs_per_slot": 2, "max_fills_per_member": 1}

    hurried = season_plan(requests, barrels, rows, **limits, time_limit_s=1e-3)  # type: ignore[arg-type]

    assert hurried.is_out_of_time
    assert stands(hurried.rows, (requests, barrels, rows, 2, 1))
    assert not plan_of(club_of(1)).is_out_of_time


def test_a_request_that_fits_no_free_barrel_is_paired_with_none():
    """The one barrel that suits B goes to A, who gains more by it; the other does not suit B."""
    rows = [Row("A", "x", 0, 2, 5.0), Row("A", "y", 0, 2, 1.0), Row("B", "x", 0, 2, 3.0)]

    assert assigned(rows) == [0]
