"""Bottling: whole bottles by shares, the heel, swaps, costs, and what becomes of each bottle."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import permutations
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.db import transaction

from staveward.models import Act, Bottle, BottlingShare, Change, Person, Vessel, VesselShare
from staveward.selectors.bottles import bottle_queryset, bottle_rows
from staveward.selectors.ties import sharings
from staveward.selectors.vessels import vessel_queryset, vessel_rows
from staveward.services.errors import Forbidden, Impossible
from tests.ledger import DAY0, ClubScene
from tests.reading import queries_of

pytestmark = pytest.mark.django_db

HALF = [{"size_ml": 500, "fill_ml": 500, "count": 8}]


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


def vessel(scene: ClubScene, name: str = "Neap", volume_l: float = 4.2, **fill: Any) -> Act:
    """A vessel of 4.2 L that cost 90.00, whose sharers hold two and one share."""
    barrel = scene.barrel(name)
    parts = [{"name": "rye", "volume_l": 4.7, "abv_pct": 45.0, "cost_minor": 9000}]
    scene.fill(barrel, parts=parts, **fill)
    return scene.send("decants", barrel, day=30, measured_volume_l=volume_l, abv_pct=44.0)


def bottled(scene: ClubScene, decant: Act, *, day: float = 31, by: str = "keeper", **body: Any) -> Act:
    return scene.send("bottlings", day=day, by=by, **{"vessel": decant.pk, "bottles": HALF, **body})


def got(act: Act) -> dict[str | None, tuple[int, int, int, int | None]]:
    shares = BottlingShare.objects.filter(bottling_id=act.pk).select_related("person")
    return {
        share.person.name if share.person else None: (
            share.bottles,
            share.heel_ml,
            share.received_ml,
            share.cost_minor,
        )
        for share in shares
    }


def rows(scene: ClubScene, by: str = "keeper") -> list[dict[str, Any]]:
    return bottle_rows(bottle_queryset(scene.club, scene.people[by]), scene.club)


def changed(
    scene: ClubScene, bottle: Bottle, change: str, *, day: float, by: str = "keeper", **body: Any
) -> Act:
    return scene.send("bottle-changes", day=day, by=by, bottle=bottle.pk, change=change, **body)


def first(scene: ClubScene, holder: str = "sharer") -> Bottle:
    found = Bottle.objects.filter(holder=scene.people[holder]).order_by("number").first()
    assert found is not None
    return found


def test_bottles_go_by_shares_and_the_heel_makes_up_for_the_rest(scene: ClubScene) -> None:
    """Eight bottles for two and one: 5.33 and 2.67, so 5 and 3 (Balinski and Young, Fair Representation, 2001)."""
    act = bottled(scene, vessel(scene), heel_ml=190)

    # 4190 mL in all: 2793 and 1397 are owed, 2500 and 1500 given, so the heel is the first one's.
    assert got(act) == {"Sharer": (5, 190, 2690, 5765), "Other Sharer": (3, 0, 1500, 3214)}
    # 4.19 of 4.2 L carry their part of the 90.00.
    assert sum(line[3] or 0 for line in got(act).values()) == round(9000 * 4.19 / 4.2)
    assert act.flags == []
    assert Bottle.objects.count() == 8
    assert len({bottle.tag_code for bottle in Bottle.objects.all()}) == 8


class TestTies:
    """Nine bottles for two equal shares: the last of them is a tie (largest remainder, Balinski and Young, 2001)."""

    NINE = ({"size_ml": 200, "fill_ml": 200, "count": 9},)

    def shared(self, scene: ClubScene, name: str, weights: tuple[int, int] = (1, 1)) -> Act:
        people = [scene.people[who].pk for who in ("sharer", "other_sharer")]
        shares = [
            {"person": person, "weight": weight} for person, weight in zip(people, weights, strict=True)
        ]
        return vessel(scene, name, sharers=shares)

    def winner(self, act: Act) -> str | None:
        return max(got(act).items(), key=lambda line: line[1][0])[0]

    def ties(self, scene: ClubScene, decant: Act) -> list[str]:
        rows = vessel_rows(vessel_queryset(scene.club, scene.people["keeper"]))
        names = {str(person.pk): person.name for person in scene.people.values()}
        return [names[key] for key in next(row["ties"] for row in rows if row["id"] == str(decant.pk))]

    def test_the_lot_is_the_vessels_so_that_it_falls_once(self, scene: ClubScene) -> None:
        decant = self.shared(scene, "Neap")
        told = self.ties(scene, decant)

        first_time = bottled(scene, decant, bottles=list(self.NINE))
        assert self.winner(first_time) == told[0]
        scene.send("voids", day=32, act=first_time.pk, reason="slip")
        assert self.ties(scene, decant) == told
        assert self.winner(bottled(scene, decant, day=33, bottles=list(self.NINE))) == told[0]

    def test_who_lost_the_last_tie_of_the_same_people_goes_first(self, scene: ClubScene) -> None:
        decants = [self.shared(scene, name) for name in ("Neap", "Ebb", "Fetch", "Squall")]
        first_time = bottled(scene, decants[0], bottles=list(self.NINE))
        loser = next(name for name in got(first_time) if name != self.winner(first_time))

        for other in decants[1:]:
            assert self.ties(scene, other)[0] == loser
        second = bottled(scene, decants[1], day=32, bottles=list(self.NINE))
        assert self.winner(second) == loser
        # One each: the lot decides again.
        third = bottled(scene, decants[2], day=33, bottles=list(self.NINE))
        again = next(name for name in got(third) if name != self.winner(third))
        assert self.ties(scene, decants[3])[0] == again

    def test_what_was_lost_in_other_company_is_not_repaid(self, scene: ClubScene) -> None:
        alone = self.shared(scene, "Neap")
        third = scene.people["member"].pk
        people = [scene.people[who].pk for who in ("sharer", "other_sharer")]
        others = vessel(
            scene, "Ebb", sharers=[{"person": person, "weight": 1} for person in [*people, third]]
        )
        before = self.ties(scene, others)
        bottled(scene, alone, bottles=list(self.NINE))

        assert self.ties(scene, others) == before

    def test_no_tie_is_owed_where_a_share_is_larger(self, scene: ClubScene) -> None:
        unequal = self.shared(scene, "Neap", (2, 1))
        equal = self.shared(scene, "Ebb")
        before = self.ties(scene, equal)
        bottled(scene, unequal, bottles=list(self.NINE))

        assert self.ties(scene, equal) == before

    def test_a_phone_that_knows_the_order_gives_no_swap(self, scene: ClubScene) -> None:
        decant = self.shared(scene, "Neap")
        keys = {person.name: person.pk for person in scene.people.values()}
        won, lost = (keys[name] for name in self.ties(scene, decant))
        given = [
            {"person": won, "size_ml": 200, "count": 5},
            {"person": lost, "size_ml": 200, "count": 4},
        ]

        assert bottled(scene, decant, bottles=list(self.NINE), given=given).flags == []

    def drawn(self, scene: ClubScene, decant: Act, first: str, *, day: float, says: bool = True) -> Act:
        """What a phone sends that gave the odd bottle to this one."""
        keys = {name: scene.people[name].pk for name in ("sharer", "other_sharer")}
        order = [keys.pop(first), *keys.values()]
        given = [
            {"person": person, "size_ml": 200, "count": count}
            for person, count in zip(order, (5, 4), strict=True)
        ]
        told = {"drawn": order} if says else {}
        return bottled(scene, decant, day=day, bottles=list(self.NINE), given=given, **told)

    def owed(self, scene: ClubScene, decant: Act) -> dict[str, int]:
        rows = vessel_rows(vessel_queryset(scene.club, scene.people["keeper"]))
        row = next(one for one in rows if one["id"] == str(decant.pk))
        names = {str(person.pk): person.name for person in scene.people.values()}
        return {names[key]: lost for key, lost in zip(row["ties"], row["ties_lost"], strict=True)}

    def test_lots_fall_as_the_phone_draws_them(self, scene: ClubScene) -> None:
        """The same keys as in tests/web/pages/bottling.test.tsx."""
        ash, rowan = (UUID(f"0190a1b2-0000-7000-8000-00000000000{number}") for number in (1, 2))
        for key, winners in (
            ("99999999-9999-7999-8999-999999999999", [rowan, ash]),
            ("99999999-9999-7999-8999-999999999914", [ash, rowan]),
        ):
            vessel = Vessel(pk=UUID(key), club=scene.club)
            vessel._prefetched_objects_cache = {  # type: ignore[attr-defined]
                "shares": [VesselShare(person_id=one, weight=1) for one in (ash, rowan)]
            }
            assert sharings([vessel])[vessel.pk].winners_first == winners

    def test_a_draw_without_knowing_an_earlier_tie_is_no_swap_and_is_owed(self, scene: ClubScene) -> None:
        decants = [self.shared(scene, name) for name in ("Neap", "Ebb", "Fetch")]
        first_time = self.drawn(scene, decants[0], "sharer", day=31)
        assert self.owed(scene, decants[2]) == {"Other Sharer": 1, "Sharer": 0}

        again = self.drawn(scene, decants[1], "sharer", day=31.1)

        assert again.flags == ["drawn_apart"]
        assert set(first_time.flags) <= {"drawn_apart", "swapped"}
        assert self.winner(again) == "Sharer", "it stays where it was handed out"
        assert self.owed(scene, decants[2]) == {"Other Sharer": 2, "Sharer": 0}
        rows = vessel_rows(vessel_queryset(scene.club, scene.people["keeper"]))
        (division,) = next(row for row in rows if row["id"] == str(decants[1].pk))["bottlings"]
        assert division["is_drawn_apart"]
        shares = {share["person"]: share for share in division["shares"]}
        lost = shares[str(scene.people["other_sharer"].pk)]
        assert (lost["lost_tie"], lost["received_ml"], lost["fair_ml"]) == (True, 800, 1000)
        assert lost["cost_minor"] < shares[str(scene.people["sharer"].pk)]["cost_minor"]

    def test_two_phones_that_drew_at_once_leave_the_same_standing_in_either_order(
        self, scene: ClubScene
    ) -> None:
        decants = [self.shared(scene, name) for name in ("Neap", "Ebb", "Fetch")]
        seen = []
        for turn in ((0, 1), (1, 0)):
            with transaction.atomic():
                for number in turn:
                    self.drawn(scene, decants[number], "sharer", day=31 + 0.1 * number)
                seen.append(self.owed(scene, decants[2]))
                transaction.set_rollback(True)
        assert seen == [{"Other Sharer": 2, "Sharer": 0}] * 2

    def test_what_people_agreed_on_is_still_a_swap(self, scene: ClubScene) -> None:
        decant = self.shared(scene, "Neap")
        won, lost = ("sharer" if name == "Sharer" else "other_sharer" for name in self.ties(scene, decant))
        assert self.drawn(scene, decant, lost, day=31, says=False).flags == ["swapped"]
        # Who is named first in the draw is not who took the bottle.
        order = [scene.people[name].pk for name in (won, lost)]
        given = [
            {"person": scene.people[lost].pk, "size_ml": 200, "count": 9},
        ]
        other = self.shared(scene, "Ebb")
        act = bottled(scene, other, bottles=list(self.NINE), given=given, drawn=order)
        assert act.flags == ["swapped"]

    def test_a_draw_that_names_others_than_the_sharers_settles_nothing(self, scene: ClubScene) -> None:
        decants = [self.shared(scene, name) for name in ("Neap", "Ebb")]
        lost = self.ties(scene, decants[0])[1]
        who = "sharer" if lost == "Sharer" else "other_sharer"
        for strange in ([], [scene.people[who].pk], [scene.people[who].pk, None], [scene.people[who].pk] * 2):
            with transaction.atomic():
                given = [{"person": scene.people[who].pk, "size_ml": 200, "count": 9}]
                act = bottled(scene, decants[0], bottles=list(self.NINE), given=given, drawn=strange)
                assert act.flags == ["swapped"]
                assert self.owed(scene, decants[1])[lost] == 1, "by the rule"
                transaction.set_rollback(True)

    def test_a_tie_of_a_bottling_taken_back_is_told_to_their_other_vessels(self, scene: ClubScene) -> None:
        decants = [self.shared(scene, name) for name in ("Neap", "Ebb")]
        act = bottled(scene, decants[0], bottles=list(self.NINE))
        for undo in (
            lambda: scene.send("voids", day=32, act=act.pk, reason="slip"),
            lambda: scene.send("voids", day=32, act=decants[0].pk, reason="wrong barrel"),
        ):
            with transaction.atomic():
                seq = scene.club.__class__.objects.get(pk=scene.club.pk).change_seq
                undo()
                assert set(self.owed(scene, decants[1]).values()) == {0}
                told = Change.objects.filter(club=scene.club, collection="vessels", seq__gt=seq)
                assert decants[1].pk in told.values_list("row_id", flat=True)
                transaction.set_rollback(True)

    def test_the_other_vessels_of_the_same_people_are_told(self, scene: ClubScene) -> None:
        first_one, other = self.shared(scene, "Neap"), self.shared(scene, "Ebb")
        seq = scene.club.__class__.objects.get(pk=scene.club.pk).change_seq
        bottled(scene, first_one, bottles=list(self.NINE))

        told = Change.objects.filter(club=scene.club, collection="vessels", row_id=other.pk, seq__gt=seq)
        assert told.exists()

    def test_more_bottlings_ask_no_more_questions(self, scene: ClubScene) -> None:
        decants = [self.shared(scene, f"Barrel {number}") for number in range(6)]
        reader = scene.people["keeper"]
        bottled(scene, decants[0], bottles=list(self.NINE))
        few = queries_of(lambda: vessel_rows(vessel_queryset(scene.club, reader)))
        for day, decant in enumerate(decants[1:], 32):
            bottled(scene, decant, day=day, bottles=list(self.NINE))

        assert queries_of(lambda: vessel_rows(vessel_queryset(scene.club, reader))) == few


def test_several_sizes_are_divided_the_largest_first(scene: ClubScene) -> None:
    sizes = [{"size_ml": 200, "fill_ml": 200, "count": 2}, {"size_ml": 500, "fill_ml": 500, "count": 7}]
    act = bottled(scene, vessel(scene), bottles=sizes)

    assert {name: line[:3] for name, line in got(act).items()} == {
        "Sharer": (5, 0, 2500),
        "Other Sharer": (4, 0, 1400),
    }


def test_a_swap_is_kept_marked_and_paid_for(scene: ClubScene) -> None:
    sharer, other = scene.people["sharer"].pk, scene.people["other_sharer"].pk
    given = [{"person": sharer, "size_ml": 500, "count": 4}, {"person": other, "size_ml": 500, "count": 4}]

    act = bottled(scene, vessel(scene, volume_l=4.0), given=given)

    assert act.flags == ["swapped"]
    assert {name: (line[0], line[3]) for name, line in got(act).items()} == {
        "Sharer": (4, 4500),
        "Other Sharer": (4, 4500),
    }
    assert BottlingShare.objects.get(person_id=sharer).fair_ml == 2500


def test_what_was_given_as_the_shares_say_is_no_swap(scene: ClubScene) -> None:
    sharer, other = scene.people["sharer"].pk, scene.people["other_sharer"].pk
    given = [{"person": sharer, "size_ml": 500, "count": 5}, {"person": other, "size_ml": 500, "count": 3}]

    assert bottled(scene, vessel(scene), given=given).flags == []


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ([("sharer", 500, 5)], "5 bottles of 500 mL are given out, 8 were filled"),
        ([("sharer", 700, 8)], "No bottle of that size"),
        ([("sharer", 500, 9)], "9 bottles of 500 mL are given out, 8 were filled"),
    ],
)
def test_a_division_that_does_not_add_up_is_refused(
    scene: ClubScene, given: list[tuple[str, int, int]], said: str
) -> None:
    lines = [{"person": scene.people[who].pk, "size_ml": size, "count": n} for who, size, n in given]

    with pytest.raises(Impossible) as refused:
        bottled(scene, vessel(scene), given=lines)

    assert said in refused.value.detail


def test_what_no_bottle_and_no_vessel_holds_is_refused(scene: ClubScene) -> None:
    decant = vessel(scene)
    for body in (
        {"bottles": [{"size_ml": 500, "fill_ml": 551, "count": 1}]},
        {"bottles": [{"size_ml": 500, "fill_ml": 500, "count": 10}]},
        {"bottles": [*HALF, *HALF]},
        {"given": [{"person": uuid4(), "size_ml": 500, "count": 8}]},
        {"vessel": uuid4()},
    ):
        with pytest.raises(Impossible):
            bottled(scene, decant, **body)
    assert not Bottle.objects.exists()


def test_a_little_more_than_is_left_is_kept_and_flagged(scene: ClubScene) -> None:
    act = bottled(scene, vessel(scene), bottles=[{"size_ml": 500, "fill_ml": 500, "count": 9}])

    assert act.flags == ["over_vessel"]


def test_a_fill_of_nobody_is_bottled_for_the_club(scene: ClubScene) -> None:
    act = bottled(scene, vessel(scene, sharers=[]))

    assert got(act)[None][:3] == (8, 0, 4000)
    assert {row["holder"] for row in rows(scene)} == {None}


THIRD = [{"size_ml": 500, "fill_ml": 500, "count": 9}]


def test_the_clubs_own_share_gets_its_bottles_and_pays_for_them(scene: ClubScene) -> None:
    """Nine bottles for two, one and the club's one: 4.5, 2.25 and 2.25, so 5, 2 and 2 (Balinski and Young, 2001)."""
    decant = vessel(scene, volume_l=4.5, club_weight=1)
    (row,) = vessel_rows(vessel_queryset(scene.club, scene.people["sharer"]))
    assert (row["club_weight"], [share["weight"] for share in row["shares"]]) == (1, [2, 1])

    act = bottled(scene, decant, bottles=THIRD)

    assert {name: line[0] for name, line in got(act).items()} == {"Sharer": 5, "Other Sharer": 2, None: 2}
    costs = {name: line[3] for name, line in got(act).items()}
    assert costs == {"Sharer": 5000, "Other Sharer": 2000, None: 2000}
    holders = [one["holder"] for one in rows(scene)]
    assert (len(holders), holders.count(None)) == (9, 2)


def test_the_club_draws_lots_with_its_sharers_and_remembers_a_tie_it_lost(scene: ClubScene) -> None:
    mine = [{"person": scene.people["sharer"].pk, "weight": 1}]
    decants = [
        vessel(scene, name, volume_l=4.5, sharers=mine, club_weight=1) for name in ("Neap", "Ebb", "Fetch")
    ]
    first_time = got(bottled(scene, decants[0], bottles=THIRD))
    won = max(first_time, key=lambda name: first_time[name][0])
    again = got(bottled(scene, decants[1], day=32, bottles=THIRD))
    assert max(again, key=lambda name: again[name][0]) == ({"Sharer", None} - {won}).pop()
    (owed,) = {
        tuple(row["ties_lost"])
        for row in vessel_rows(vessel_queryset(scene.club, scene.people["keeper"]))
        if row["id"] == str(decants[2].pk)
    }
    assert owed == (1, 1)


def test_a_correction_of_the_fill_corrects_the_clubs_part_of_its_vessel(scene: ClubScene) -> None:
    decant = vessel(scene)
    fill = Act.objects.get(collection="fills")
    scene.fill(fill.barrel, club_weight=3, replaces=fill.pk)
    (row,) = vessel_rows(vessel_queryset(scene.club, scene.people["keeper"]))
    assert (row["id"], row["club_weight"]) == (str(decant.pk), 3)
    mended = Act.objects.get(collection="fills", is_head=True)
    scene.fill(fill.barrel, sharers=[], club_weight=3, replaces=mended.pk)
    (row,) = vessel_rows(vessel_queryset(scene.club, scene.people["keeper"]))
    assert (row["shares"], row["club_weight"]) == ([], 0), "without a sharer the whole is the club's"


def test_a_blend_keeps_the_clubs_part_of_a_fill(scene: ClubScene) -> None:
    decant = vessel(scene, volume_l=4.0, club_weight=1)
    other = vessel(scene, "Ebb", volume_l=2.0, sharers=[])
    scene.send(
        "blends",
        day=31,
        name="the two",
        parts=[{"vessel": decant.pk, "volume_l": 4.0}, {"vessel": other.pk, "volume_l": 2.0}],
    )
    blend = Vessel.objects.get(act__collection="blends")
    weights = dict(blend.shares.values_list("person__name", "weight"))
    # A quarter of 4 L and the whole of 2 L, in millilitres.
    assert (weights, blend.club_weight) == ({"Sharer": 2000, "Other Sharer": 1000}, 3000)


def test_equal_shares_draw_lots_that_can_be_drawn_again(scene: ClubScene) -> None:
    sharers = [
        {"person": scene.people[name].pk, "weight": 1} for name in ("sharer", "other_sharer", "member")
    ]
    act_id = uuid4()
    act = bottled(scene, vessel(scene, sharers=sharers), act_id=act_id)

    again = ClubScene("Next Door")
    again.people.update(scene.people)
    assert sorted(line[0] for line in got(act).values()) == [2, 3, 3]
    drawn = got(act)
    assert got(Act.objects.get(pk=act_id)) == drawn


def test_a_bottling_taken_back_takes_its_bottles_off_the_ledger_and_the_liquid_back(scene: ClubScene) -> None:
    decant = vessel(scene)
    act = bottled(scene, decant)
    assert vessel_rows(vessel_queryset(scene.club, scene.people["keeper"]))[0]["left_l"] == pytest.approx(0.2)

    scene.send("voids", day=32, act=act.pk, reason="wrong bottles")

    assert rows(scene) == []
    assert vessel_rows(vessel_queryset(scene.club, scene.people["keeper"]))[0]["left_l"] == 4.2


def test_a_vessel_tells_how_it_was_divided(scene: ClubScene) -> None:
    bottled(scene, vessel(scene))

    (division,) = vessel_rows(vessel_queryset(scene.club, scene.people["sharer"]))[0]["bottlings"]
    assert [(share["bottles"], share["received_ml"]) for share in division["shares"]] == [
        (5, 2500),
        (3, 1500),
    ]


def test_what_becomes_of_a_bottle_is_laid_from_its_acts_in_any_order(scene: ClubScene) -> None:
    steps = [
        ("opened", 40, {}),
        ("level", 41, {"level_ml": 250}),
        ("handed_over", 42, {"person": scene.people["member"].pk}),
    ]
    seen = []
    for number, turn in enumerate(permutations(steps)):
        decant = vessel(scene, f"Barrel {number}")
        act = bottled(scene, decant)
        bottle = Bottle.objects.get(bottling_id=act.pk, number=1)
        for change, day, body in turn:
            changed(scene, bottle, change, day=day, **body)
        bottle.refresh_from_db()
        seen.append((bottle.holder_id, bottle.level_ml, bottle.opened_at, bottle.air_at, bottle.end))

    assert set(seen) == {
        (scene.people["member"].pk, 250, DAY0 + timedelta(days=40), DAY0 + timedelta(days=41), "")
    }


def test_best_before_follows_the_gap_and_the_last_air(scene: ClubScene) -> None:
    """A full bottle of spirit two years, half full half a year: common practice, no source (table ``keeping``)."""
    bottled(scene, vessel(scene))
    bottle = first(scene)
    closed = next(row for row in rows(scene) if row["id"] == str(bottle.pk))
    assert closed["best_before"] == (date(2026, 4, 1) + timedelta(days=720)).isoformat()

    changed(scene, bottle, "level", day=40, level_ml=250)

    opened = next(row for row in rows(scene) if row["id"] == str(bottle.pk))
    assert opened["best_before"] < closed["best_before"]
    assert opened["best_before"] > "2026-04-10"
    assert opened["opened_at"] == "2026-04-10T12:00:00Z"


def test_a_mix_built_on_wine_is_kept_cold_and_not_long(scene: ClubScene) -> None:
    """A full bottle with a wine base two months, cold: common practice, no source (table ``keeping``)."""
    barrel = scene.barrel()
    parts = [
        {"name": "rye", "volume_l": 3.0, "abv_pct": 50.0, "kind": "spirit"},
        {"name": "vermouth", "volume_l": 1.5, "abv_pct": 16.0, "kind": "aromatised_wine"},
    ]
    scene.fill(barrel, parts=parts, family="cocktail")
    bottled(scene, scene.send("decants", barrel, day=30, measured_volume_l=4.2, abv_pct=38.0))

    row = rows(scene)[0]
    assert (row["is_kept_cold"], row["best_before"]) == (True, "2026-05-31")


@pytest.mark.parametrize(("change", "end"), [("finished", "finished"), ("broken", "broken")])
def test_a_bottle_ends_once_and_comes_back_when_that_is_taken_back(
    scene: ClubScene, change: str, end: str
) -> None:
    bottled(scene, vessel(scene))
    bottle = first(scene)
    act = changed(scene, bottle, change, day=50)
    bottle.refresh_from_db()
    assert (bottle.end, bottle.level_ml) == (end, 0)

    scene.send("voids", day=51, act=act.pk, reason="another bottle")

    bottle.refresh_from_db()
    assert (bottle.end, bottle.level_ml) == ("", 500)


def test_a_bottle_handed_out_of_the_club_is_away(scene: ClubScene) -> None:
    bottled(scene, vessel(scene))
    bottle = first(scene)

    changed(scene, bottle, "handed_over", day=50, person=None)

    bottle.refresh_from_db()
    assert (bottle.holder_id, bottle.end) == (None, "away")


def test_only_whoever_holds_or_held_a_bottle_and_the_keeper_change_it(scene: ClubScene) -> None:
    bottled(scene, vessel(scene))
    bottle = first(scene)
    changed(scene, bottle, "opened", day=40, by="sharer")
    for stranger in ("member", "other_sharer", "tablet"):
        with pytest.raises(Forbidden):
            changed(scene, bottle, "opened", day=40, by=stranger)

    changed(scene, bottle, "handed_over", day=41, by="sharer", person=scene.people["member"].pk)

    changed(scene, bottle, "level", day=42, by="member", level_ml=100)


def test_an_impossible_level_is_refused(scene: ClubScene) -> None:
    bottled(scene, vessel(scene))
    bottle = first(scene)

    for body in ({"level_ml": 551}, {}):
        with pytest.raises(Impossible):
            changed(scene, bottle, "level", day=40, **body)
    with pytest.raises(Impossible):
        scene.send("bottle-changes", day=40, bottle=uuid4(), change="opened")
    with pytest.raises(Impossible):
        changed(scene, bottle, "handed_over", day=40, person=uuid4())


def test_a_private_bottle_is_its_sharers_and_its_holders(scene: ClubScene) -> None:
    bottled(scene, vessel(scene, is_private=True))
    changed(scene, first(scene), "handed_over", day=40, person=scene.people["member"].pk)

    seen = {name: len(rows(scene, name)) for name in ("keeper", "sharer", "other_sharer", "member", "owner")}

    assert seen == {"keeper": 8, "sharer": 8, "other_sharer": 8, "member": 1, "owner": 0}


def test_who_may_bottle(scene: ClubScene) -> None:
    decant = vessel(scene)
    for who in ("member", "sharer", "tablet"):
        with pytest.raises(Forbidden):
            bottled(scene, decant, by=who)
    scene.club.sharers_may_fill = True
    scene.club.save()
    for person in scene.people.values():
        person.refresh_from_db()

    assert bottled(scene, decant, by="sharer").placement == "placed"


def test_many_bottles_cost_no_more_queries_than_few(scene: ClubScene) -> None:
    def spend(name: str, count: int) -> int:
        bottled(scene, vessel(scene, name), bottles=[{"size_ml": 50, "fill_ml": 50, "count": count}])
        reader: Person = scene.people["member"]
        return queries_of(lambda: bottle_rows(bottle_queryset(scene.club, reader), scene.club))

    assert spend("Few", 2) == spend("Many", 40)


def test_a_bottle_says_whether_its_strength_was_measured_after_the_wood(scene: ClubScene) -> None:
    barrel = scene.barrel("Ebb")
    scene.fill(barrel, parts=[{"name": "rye", "volume_l": 4.7, "abv_pct": 45.0}])
    unmeasured = scene.send("decants", barrel, day=30, measured_volume_l=4.2)

    bottled(scene, vessel(scene))
    bottled(scene, unmeasured, bottles=[{"size_ml": 500, "fill_ml": 500, "count": 4}], day=31)
    bottled(scene, unmeasured, bottles=[{"size_ml": 700, "fill_ml": 700, "count": 1}], day=32, abv_pct=43.0)

    known = {(row["vessel"], row["size_ml"]): (row["abv_basis"], row["abv_pct"]) for row in rows(scene)}
    assert known.pop((str(unmeasured.pk), 500)) == ("as_filled", 45.0)
    assert known.pop((str(unmeasured.pk), 700)) == ("measured", 43.0)
    assert {basis for basis, _ in known.values()} == {"measured"}
