"""The road every act takes: replay, authority, placing, correction, feed."""

from __future__ import annotations

import random
from collections.abc import Callable
from datetime import timedelta
from uuid import UUID, uuid4

import pytest

from staveward.models import Act, Barrel, CareMark, Change, Stay
from staveward.services.errors import Conflict, Forbidden, Impossible, Missing
from tests.ledger import DAY0, ClubScene

Step = Callable[[], Act]

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


def test_it_opens_a_stay_and_lays_true_volume_and_strength(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.send("curings", barrel, day=0, water_l=4.9)
    scene.send("curing-verdicts", barrel, day=2, verdict="tight", weighed_capacity_l=5.1)
    fill = scene.fill(
        barrel,
        day=3,
        parts=[
            {"name": "rye", "volume_l": 2.0, "abv_pct": 60.0},
            {"name": "water", "volume_l": 2.0, "abv_pct": 20.0},
        ],
    )

    stays = list(Stay.objects.filter(barrel=barrel))

    assert [(stay.kind, stay.outcome) for stay in stays] == [("curing", "tight"), ("fill", "")]
    assert stays[1].pk == fill.pk
    # Equal volumes of 60 and 20 % vol: 1.987 L of 2, 40.27 % vol (OIML R 22 densities, conserved masses).
    assert fill.fill.volume_l == pytest.approx(2 * 1.987, abs=0.002)
    assert fill.fill.abv_pct == pytest.approx(40.27, abs=0.01)
    assert fill.fill.wood_state == "cured"
    barrel.refresh_from_db()
    assert barrel.weighed_capacity_l == 5.1


def test_the_same_act_twice_is_one_act(scene: ClubScene) -> None:
    barrel, key = scene.barrel(), uuid4()
    first = scene.send("holds", barrel, water_l=2.5, act_id=key)
    again = scene.send("holds", barrel, water_l=2.5, act_id=key)

    assert first.pk == again.pk
    assert Act.objects.filter(barrel=barrel).count() == 1


def test_another_body_under_the_same_key_is_refused(scene: ClubScene) -> None:
    barrel, key = scene.barrel(), uuid4()
    scene.send("holds", barrel, water_l=2.5, act_id=key)

    with pytest.raises(Conflict) as refused:
        scene.send("holds", barrel, water_l=2.6, act_id=key)
    assert refused.value.code == "id_reused"


def test_a_barrel_of_another_club_is_unknown(scene: ClubScene) -> None:
    elsewhere = ClubScene(name="Other club").barrel()

    with pytest.raises(Missing):
        scene.send("holds", elsewhere, water_l=2.5)


def test_more_than_110_percent_of_the_barrel_is_impossible_and_a_little_over_is_flagged(
    scene: ClubScene,
) -> None:
    barrel = scene.barrel(nominal_l=5.0)

    with pytest.raises(Impossible) as refused:
        scene.send("holds", barrel, water_l=5.6)
    assert (refused.value.fields[0].field, refused.value.fields[0].value) == ("water_l", 5.6)
    assert "5.50 L" in refused.value.fields[0].allowed
    assert scene.send("holds", barrel, water_l=5.2).flags == ["over_capacity"]


def test_a_taste_lands_in_the_fill_it_names(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    taste = scene.taste(barrel, fill, day=7)

    assert (taste.placement, taste.stay_id) == ("placed", fill.pk)
    stay = Stay.objects.get(pk=fill.pk)
    assert stay.sample_used_ml == 10.0
    assert CareMark.objects.get(stay=stay, task="taste").last_at == DAY0 + timedelta(days=7)


def test_a_taste_before_the_fill_is_kept_and_set_aside(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel, day=10)
    taste = scene.taste(barrel, fill, day=3)

    assert (taste.placement, taste.set_aside_reason) == ("set_aside", "before_fill")


def test_a_taste_that_came_before_its_fill_is_placed_when_the_fill_arrives(scene: ClubScene) -> None:
    barrel, key = scene.barrel(), uuid4()
    taste = scene.send(
        "tastings",
        barrel,
        day=7,
        by="keeper",
        fill=key,
        tasted_on=(DAY0 + timedelta(days=7)).date(),
        liking=6.0,
    )
    assert taste.placement == "set_aside"

    scene.fill(barrel, day=0, act_id=key, received=DAY0 + timedelta(days=8))

    taste.refresh_from_db()
    assert (taste.placement, taste.stay_id) == ("placed", key)


def test_of_two_fills_at_once_the_first_received_stands_with_its_tastes(scene: ClubScene) -> None:
    barrel = scene.barrel()
    first = scene.fill(barrel, day=1, received=DAY0 + timedelta(days=2))
    second = scene.fill(barrel, day=0, received=DAY0 + timedelta(days=3))
    taste = scene.taste(barrel, second, day=4, by="keeper")

    assert (second.placement, second.set_aside_reason) == ("set_aside", "openings_clash")
    assert taste.placement == "set_aside"

    scene.send("voids", act=first.pk, reason="It was Ebb, not Neap.", day=5)

    for one in (second, taste):
        one.refresh_from_db()
        assert one.placement == "placed"


def test_a_correction_takes_the_place_of_what_it_replaces_and_nothing_is_deleted(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    taste = scene.taste(barrel, fill, day=7)
    mended = scene.taste(barrel, fill, day=7, replaces=taste.pk, liking=5.0, sample_ml=15.0)

    taste.refresh_from_db()
    assert (taste.is_head, mended.is_head) == (False, True)
    assert Stay.objects.get(pk=fill.pk).sample_used_ml == 15.0


def test_a_second_correction_of_the_same_entry_is_set_aside(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    taste = scene.taste(barrel, fill, day=7)
    scene.taste(barrel, fill, day=7, replaces=taste.pk, liking=5.0)
    other = scene.taste(barrel, fill, day=7, replaces=taste.pk, liking=4.0)

    assert (other.placement, other.set_aside_reason) == ("set_aside", "already_corrected")


def test_a_corrected_fill_keeps_its_tastes(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    taste = scene.taste(barrel, fill, day=7)
    mended = scene.fill(barrel, replaces=fill.pk, name="rye, as it should read")

    taste.refresh_from_db()
    assert (taste.placement, taste.stay_id) == ("placed", mended.pk)
    assert list(Stay.objects.filter(barrel=barrel).values_list("pk", flat=True)) == [mended.pk]


def test_a_voided_fill_frees_the_barrel(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    scene.send("voids", act=fill.pk, reason="Wrong barrel.", day=1)

    assert not Stay.objects.filter(barrel=barrel).exists()


def test_a_member_cannot_correct_what_another_entered(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    taste = scene.taste(barrel, fill, day=7)

    with pytest.raises(Forbidden):
        scene.send("voids", act=taste.pk, reason="No.", by="member", day=7)


def test_a_member_may_correct_an_own_entry_for_a_day_and_a_sharer_after_it(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    mine = scene.taste(barrel, fill, day=7, by="member")
    theirs = scene.taste(barrel, fill, day=7, by="sharer")

    with pytest.raises(Forbidden):
        scene.send("voids", act=mine.pk, reason="Too late.", by="member", day=9)
    assert scene.send("voids", act=theirs.pk, reason="A slip.", by="sharer", day=9).is_void


def test_a_plainly_wrong_clock_is_taken_off_unless_the_time_was_typed(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    now = DAY0 + timedelta(days=7)
    ahead = now + timedelta(hours=26)
    taste = scene.taste(barrel, fill, day=8, tasted_on=now.date(), received=now, sent_at=ahead)
    typed = scene.taste(
        barrel,
        fill,
        day=6,
        tasted_on=(DAY0 + timedelta(days=6)).date(),
        received=now,
        sent_at=ahead,
        time_typed=True,
    )

    assert "clock" in taste.flags
    assert taste.ordered_at == DAY0 + timedelta(days=8) - timedelta(hours=26)
    assert taste.happened_at == DAY0 + timedelta(days=8)
    assert typed.ordered_at == typed.happened_at


def test_a_taste_dated_in_the_future_is_kept_with_a_flag(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    taste = scene.taste(barrel, fill, day=40, received=DAY0 + timedelta(days=7))

    assert (taste.placement, taste.flags) == ("placed", ["future"])


def test_a_water_change_on_a_fill_is_set_aside(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.fill(barrel)

    assert (
        scene.send("tendings", barrel, day=1, tasks=["water_change"]).set_aside_reason == "no_water_in_barrel"
    )


def test_wood_used_is_laid_beside_the_stays(scene: ClubScene) -> None:
    barrel = scene.barrel()
    for start in (0, 40, 80, 120):
        scene.fill(barrel, day=start)
        scene.send("decants", barrel, day=start + 28, measured_volume_l=4.0)

    last = Stay.objects.filter(barrel=barrel).last()

    # Four whisky fills of 28 days: 1.000 / 0.889 / 0.800 of the wood (common practice, no source: 4, 4.5, 5 fills).
    assert last is not None
    assert last.wood_after_high == pytest.approx(1.0)
    assert last.wood_after_typical == pytest.approx(0.889, abs=0.001)
    assert last.wood_after_low == pytest.approx(0.8)


def test_the_last_statement_of_a_write_gives_the_feed_its_next_number(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.fill(barrel)
    scene.club.refresh_from_db()
    before = scene.club.change_seq
    tending = scene.send("tendings", barrel, day=1, tasks=["roll"])
    scene.club.refresh_from_db()

    assert scene.club.change_seq >= before + 1
    assert Change.objects.filter(club=scene.club, collection="log", row_id=tending.pk).exists()
    assert Change.objects.get(club=scene.club, collection="barrels", row_id=barrel.pk).seq > before


@pytest.mark.parametrize("seed", range(20))
def test_one_day_lived_by_two_phones_gives_the_same_log_in_whatever_order_it_arrives(seed: int) -> None:
    """No two openings clash here, so the order of arrival must leave no trace."""
    logs = []
    for order in (0, 1):
        scene = ClubScene()
        barrel, fill = scene.barrel(), uuid4()
        for step in _interleaved(*_two_phones(scene, barrel, fill), random.Random(2 * seed + order)):
            step()
        logs.append(
            [
                (act.collection, act.ordered_at, act.placement, act.set_aside_reason, act.stay_id == fill)
                for act in Act.objects.filter(barrel=barrel).order_by("ordered_at", "collection")
            ]
        )

    assert logs[0] == logs[1]
    assert all(line[2] == "placed" for line in logs[0])


def _two_phones(scene: ClubScene, barrel: Barrel, fill: UUID) -> tuple[list[Step], list[Step]]:
    """Two people's evenings at one barrel, each in its own order, all sent a month later."""
    late = DAY0 + timedelta(days=30)
    one = [
        lambda: scene.fill(barrel, day=0, act_id=fill, received=late),
        lambda: scene.taste(barrel, Act(pk=fill), day=7, by="sharer", received=late),
        lambda: scene.send("tendings", barrel, day=8, tasks=["roll"], received=late),
        lambda: scene.taste(barrel, Act(pk=fill), day=14, by="sharer", received=late),
    ]
    two = [
        lambda: scene.send("decants", barrel, day=20, measured_volume_l=4.2, received=late),
        lambda: scene.taste(barrel, Act(pk=fill), day=9, by="keeper", received=late),
        lambda: scene.send("holds", barrel, day=20.1, water_l=2.5, received=late),
        lambda: scene.send("tendings", barrel, day=25, tasks=["water_change"], received=late),
    ]
    return one, two


def _interleaved(one: list[Step], two: list[Step], chance: random.Random) -> list[Step]:
    turns = [True] * len(one) + [False] * len(two)
    chance.shuffle(turns)
    first, second = iter(one), iter(two)
    return [next(first) if turn else next(second) for turn in turns]
