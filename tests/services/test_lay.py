"""A barrel's life laid from its acts, apart from any database."""

from __future__ import annotations

import random
from datetime import UTC, datetime, timedelta
from uuid import UUID

from hypothesis import given
from hypothesis import strategies as st

from staveward.services.lay import LifeAct, lay_life

DAY0 = datetime(2026, 1, 1, tzinfo=UTC)


def act(
    number: int, collection: str, day: float, received: float | None = None, verdict: str = ""
) -> LifeAct:
    at = DAY0 + timedelta(days=day)
    return LifeAct(
        UUID(int=number),
        collection,
        at,
        DAY0 + timedelta(days=day if received is None else received),
        verdict,
    )


def test_it_lays_a_life_from_first_water_to_retirement() -> None:
    life = lay_life(
        [
            act(1, "curings", 0),
            act(2, "curing-verdicts", 2, verdict="tight"),
            act(3, "fills", 3),
            act(4, "decants", 40),
            act(5, "holds", 40.1),
            act(6, "fills", 60),
            act(7, "decants", 90),
            act(8, "retirements", 91),
        ]
    )

    assert [(stay.kind, stay.outcome) for stay in life.stays] == [
        ("curing", "tight"),
        ("fill", "decanted"),
        ("hold", "filled"),
        ("fill", "decanted"),
    ]
    assert life.set_aside == {}
    assert life.retired_at == DAY0 + timedelta(days=91)


def test_it_sets_the_later_received_of_two_fills_aside() -> None:
    early, late = act(1, "fills", 5, received=9), act(2, "fills", 7, received=8)

    life = lay_life([early, late])

    assert life.set_aside == {early.id: "openings_clash"}
    assert [stay.id for stay in life.stays] == [late.id]


def test_it_sets_a_hold_on_a_full_barrel_aside() -> None:
    life = lay_life([act(1, "fills", 0), act(2, "holds", 3)])

    assert life.set_aside == {UUID(int=2): "openings_clash"}


def test_it_sets_a_decant_of_an_empty_barrel_aside_until_the_fill_arrives() -> None:
    decant = act(2, "decants", 30)

    assert lay_life([decant]).set_aside == {decant.id: "nothing_to_decant"}
    assert lay_life([decant, act(1, "fills", 1, received=31)]).set_aside == {}


def test_it_sets_what_follows_a_retirement_aside() -> None:
    life = lay_life([act(1, "retirements", 1), act(2, "fills", 2)])

    assert life.set_aside == {UUID(int=2): "retired"}
    assert life.stays == []


collections = st.sampled_from(["curings", "curing-verdicts", "fills", "decants", "holds", "drainings"])


@st.composite
def lives(draw: st.DrawFn) -> list[LifeAct]:
    size = draw(st.integers(1, 12))
    days = draw(st.lists(st.integers(0, 400), min_size=size, max_size=size))
    received = draw(st.permutations(range(size)))
    return [
        act(number + 1, draw(collections), day, received=500 + order)
        for number, (day, order) in enumerate(zip(days, received, strict=True))
    ]


@given(lives(), st.integers(0, 10_000))
def test_the_life_does_not_depend_on_the_order_in_which_acts_are_laid(acts: list[LifeAct], seed: int) -> None:
    shuffled = acts[:]
    random.Random(seed).shuffle(shuffled)

    assert lay_life(shuffled) == lay_life(acts)


@given(lives())
def test_stays_never_overlap_and_no_act_is_lost(acts: list[LifeAct]) -> None:
    life = lay_life(acts)

    for earlier, later in zip(life.stays, life.stays[1:], strict=False):
        assert earlier.ended_at is not None
        assert earlier.started_at <= earlier.ended_at <= later.started_at
    opened = {stay.id for stay in life.stays}
    closed = {stay.closing_id for stay in life.stays if stay.closing_id}
    for one in acts:
        assert one.id in opened | closed | set(life.set_aside)
        assert not (one.id in life.set_aside and one.id in opened)


@given(lives())
def test_without_a_clash_the_order_of_arrival_changes_nothing(acts: list[LifeAct]) -> None:
    life = lay_life(acts)
    if "openings_clash" in life.set_aside.values():
        return
    other_way = [
        LifeAct(one.id, one.collection, one.ordered_at, DAY0 - (one.received_at - DAY0), one.verdict)
        for one in acts
    ]

    assert lay_life(other_way) == life
