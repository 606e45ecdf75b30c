"""Vinegar, mould or sulphur in a taste is trouble at the barrel at once, whoever tasted it and however it pleased."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from itertools import permutations
from typing import Any
from uuid import uuid4

import pytest
from django.core.management import call_command

from staveward.models import Act, Barrel, Change, Club, Notice, Trouble
from staveward.selectors.barrels import barrel_row
from staveward.services.club_check import club_check
from staveward.services.errors import Impossible
from staveward.services.lay_anew import logs_lay_anew
from staveward.services.rebuild import barrel_rebuild
from tests.ledger import DAY0, ClubScene
from tests.services.flight_night import EVENING, Flights

pytestmark = pytest.mark.django_db

# Common practice, no source: vinegar, must and sulphur mean that the wood wants looking at before anything else.


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


def troubles(scene: ClubScene, barrel: Barrel, day: float = 20.0) -> list[dict[str, Any]]:
    row = barrel_row(barrel, scene.club, scene.people["keeper"], DAY0 + timedelta(days=day))
    shown: list[dict[str, Any]] = row["troubles"]
    return shown


def told(scene: ClubScene) -> list[str]:
    return sorted(Notice.objects.filter(act__collection="tastings").values_list("person__name", flat=True))


@pytest.mark.parametrize(
    ("note", "sign"), [("vinegar", "vinegar"), ("musty", "musty"), ("sulphur", "rotten_egg")]
)
def test_an_alarming_note_is_trouble_under_the_tastes_own_key(scene: ClubScene, note: str, sign: str) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    taste = scene.taste(barrel, fill, day=7, liking=9.0, off_notes=["stale", note])
    (shown,) = troubles(scene, barrel)
    assert shown == {
        "id": str(taste.pk),
        "kind": "off_smell",
        "since": "2026-03-08T12:00:00Z",
        "sign": sign,
        "quarantine": True,
        "note": "",
        "tastes": [str(taste.pk)],
    }
    assert told(scene) == ["Other Sharer"], "who tasted it knows"


def test_a_note_that_is_only_a_taste_raises_nothing(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    scene.taste(barrel, fill, day=7, off_notes=["plastic", "stale", "sawdust"])
    assert troubles(scene, barrel) == []


def test_an_evening_of_alarming_tastes_is_one_trouble_and_each_is_told_once(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.send("ownerships", barrel, day=-1, shares=[{"person": scene.people["owner"].pk, "weight": 1}])
    fill = scene.fill(barrel)
    first = scene.taste(barrel, fill, day=7, off_notes=["vinegar"])
    others = [
        scene.taste(barrel, fill, day=7.01 + 0.01 * n, by=who, off_notes=[note])
        for n, (who, note) in enumerate(
            (("other_sharer", "musty"), ("owner", "vinegar"), ("keeper", "vinegar"))
        )
    ]
    (shown,) = troubles(scene, barrel)
    assert shown["id"] == str(first.pk)
    assert shown["tastes"] == [str(one.pk) for one in (first, *others)]
    assert shown["sign"] == "musty", "the gravest"
    assert told(scene) == ["Other Sharer", "Owner"]

    # Laid anew it says the same, to nobody a second time.
    barrel_rebuild(barrel)
    assert troubles(scene, barrel) == [shown]
    assert told(scene) == ["Other Sharer", "Owner"]

    # How it ended reaches all of them.
    done = scene.send("trouble-settlements", barrel, day=8, trouble=first.pk, outcome="mended")
    assert troubles(scene, barrel) == []
    ended = set(Notice.objects.filter(act=done).values_list("person__name", flat=True))
    assert ended == {"Sharer", "Other Sharer", "Owner"}


Sending = dict[str, Callable[[ClubScene, Barrel, Act], Act]]


def _sending(settled: float, tasted: tuple[float, float]) -> Sending:
    raised = uuid4()

    def settle(scene: ClubScene, barrel: Barrel, fill: Act) -> Act:
        return scene.send("trouble-settlements", barrel, day=settled, trouble=raised, outcome="mended")

    def taste(number: int, who: str) -> Callable[[ClubScene, Barrel, Act], Act]:
        return lambda scene, barrel, fill: scene.taste(
            barrel, fill, day=tasted[number], by=who, off_notes=["vinegar"]
        )

    def smell(scene: ClubScene, barrel: Barrel, fill: Act) -> Act:
        return scene.send("troubles", barrel, day=6, act_id=raised, kind="off_smell", sign="vinegar")

    return {
        "smell": smell,
        "first": taste(0, "sharer"),
        "second": taste(1, "other_sharer"),
        "settled": settle,
    }


@pytest.mark.parametrize(
    ("days", "settled", "open_tastes"),
    [((7.0, 9.0), 10.0, []), ((7.0, 11.0), 10.0, ["second"]), ((11.0, 12.0), 10.0, ["first", "second"])],
)
def test_two_tastes_and_a_settlement_give_the_same_troubles_in_all_six_orders(
    days: tuple[float, float], settled: float, open_tastes: list[str]
) -> None:
    found = []
    for order in permutations(("first", "second", "settled")):
        scene = ClubScene()
        barrel = scene.barrel()
        fill = scene.fill(barrel)
        sending = _sending(settled, days)
        sending["smell"](scene, barrel, fill)
        names = {str(sending[name](scene, barrel, fill).pk): name for name in order}
        found.append([[names[key] for key in one["tastes"]] for one in troubles(scene, barrel)])
        settled_by = dict(
            Trouble.objects.filter(act__barrel=barrel, act__collection="tastings").values_list(
                "act_id", "settled_by_id"
            )
        )
        assert {names[str(key)] for key, by in settled_by.items() if by is None} == set(open_tastes)
        before = troubles(scene, barrel)
        barrel_rebuild(barrel)
        assert troubles(scene, barrel) == before
    assert found == [[open_tastes] if open_tastes else []] * 6


@pytest.mark.parametrize("order", list(permutations(("other", "settled", "corrected"))))
def test_a_settlement_that_names_a_taste_holds_for_its_correction_in_any_order(
    order: tuple[str, ...],
) -> None:
    scene = ClubScene()
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    named = scene.taste(barrel, fill, day=7, off_notes=["vinegar"])
    send: dict[str, Callable[[], Act]] = {
        "other": lambda: scene.taste(barrel, fill, day=8, by="other_sharer", off_notes=["musty"]),
        "settled": lambda: scene.send(
            "trouble-settlements", barrel, day=9, trouble=named.pk, outcome="sound"
        ),
        "corrected": lambda: scene.taste(barrel, fill, day=7, off_notes=["sulphur"], replaces=named.pk),
    }
    for step in order:
        send[step]()
    assert troubles(scene, barrel) == []
    assert Trouble.objects.filter(settled_by__isnull=True).count() == 0


def test_a_correction_or_a_void_takes_it_away_and_a_correction_may_add_it(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    taste = scene.taste(barrel, fill, day=7)
    mended = scene.taste(barrel, fill, day=7, off_notes=["musty"], replaces=taste.pk)
    assert [one["tastes"] for one in troubles(scene, barrel)] == [[str(mended.pk)]]
    assert told(scene) == ["Other Sharer"]
    again = scene.taste(barrel, fill, day=7, replaces=mended.pk)
    assert troubles(scene, barrel) == []
    assert not Trouble.objects.exists()
    other = scene.taste(barrel, fill, day=7, off_notes=["sulphur"], replaces=again.pk)
    scene.send("voids", day=8, act=other.pk, reason="it was the barrel beside it")
    assert troubles(scene, barrel) == []


def test_a_taste_that_waits_for_the_keeper_raises_nothing_until_it_is_placed(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel, day=10)
    early = scene.taste(barrel, fill, day=7, off_notes=["vinegar"])
    assert (early.placement, troubles(scene, barrel)) == ("set_aside", [])
    placed = scene.taste(barrel, fill, day=11, off_notes=["vinegar"], replaces=early.pk)
    assert [one["id"] for one in troubles(scene, barrel)] == [str(placed.pk)]


def test_a_smell_of_the_next_fill_is_its_own(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    first = scene.taste(barrel, fill, day=7, off_notes=["vinegar"])
    scene.send("decants", barrel, day=8, measured_volume_l=4.0)
    later = scene.fill(barrel, day=9)
    second = scene.taste(barrel, later, day=10, off_notes=["vinegar"])
    assert [one["tastes"] for one in troubles(scene, barrel)] == [[str(first.pk)], [str(second.pk)]]
    scene.send("trouble-settlements", barrel, day=12, trouble=second.pk, outcome="mended")
    assert [one["tastes"] for one in troubles(scene, barrel)] == [[str(first.pk)]]


def test_a_taste_that_alarms_nobody_is_no_trouble_to_settle(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    taste = scene.taste(barrel, fill, day=7, off_notes=["stale"])
    with pytest.raises(Impossible) as refused:
        scene.send("trouble-settlements", barrel, day=9, trouble=taste.pk, outcome="mended")
    assert refused.value.fields[0].field == "trouble"


def test_in_a_blind_flight_it_is_told_with_the_name_and_not_before() -> None:
    night = Flights()
    flight = night.poured(2)
    codes = night.codes(flight, "sharer")
    night.score(flight, codes[0], 3.0, off_notes=["vinegar"])
    assert not Trouble.objects.exists()
    night.close(flight, day=EVENING + 0.1)
    trouble = Trouble.objects.select_related("act").get()
    assert (trouble.sign, trouble.act.author.name) == ("vinegar", "Sharer")
    assert trouble.act.stay_id in {fill.pk for fill in night.fills}
    assert told(night) == ["Other Sharer"]


# --- written before the rule ------------------------------------------------------------------------------------


def from_before_the_rule(scene: ClubScene, *barrels: Barrel) -> None:
    """Leaves these barrels as a version left them that did not know the rule."""
    Trouble.objects.filter(act__barrel__in=barrels, act__collection="tastings").delete()
    Notice.objects.filter(act__barrel__in=barrels, act__collection="tastings").delete()
    Change.objects.filter(club=scene.club, collection="notices").delete()
    for act in Act.objects.filter(barrel__in=barrels):
        act.flags = [flag for flag in act.flags if flag != "quarantine"]
        act.save(update_fields=["flags"])


def seq(scene: ClubScene) -> int:
    return Club.objects.values_list("change_seq", flat=True).get(pk=scene.club.pk)


def test_an_alarm_from_before_the_rule_is_heard_after_the_update(
    scene: ClubScene, capsys: pytest.CaptureFixture[str]
) -> None:
    sour, sound = scene.barrel("Ebb"), scene.barrel("Neap")
    fill = scene.fill(sour)
    scene.taste(sour, fill, day=7, off_notes=["vinegar"])
    scene.taste(sour, fill, day=8, by="other_sharer", off_notes=["stale"])
    scene.taste(sound, scene.fill(sound), day=7, off_notes=["plastic"])
    before = (troubles(scene, sour), told(scene), flags(sour))
    from_before_the_rule(scene, sour, sound)
    assert (troubles(scene, sour), told(scene)) == ([], [])
    assert [one.code for one in club_check(scene.club, DAY0) if one.code == "taste_unheard"] == [
        "taste_unheard"
    ]
    known = seq(scene)

    call_command("lay_anew")

    assert capsys.readouterr().out == "1 barrel: the log was laid anew.\n"
    assert (troubles(scene, sour), told(scene), flags(sour)) == before
    assert troubles(scene, sound) == []
    news = Change.objects.filter(club=scene.club, seq__gt=known).values_list("collection", flat=True)
    assert set(news) >= {"barrels", "notices", "log"}
    assert not [one for one in club_check(scene.club, DAY0) if one.code == "taste_unheard"]

    # Once more it does and says nothing.
    known = seq(scene)
    call_command("lay_anew")
    assert (capsys.readouterr().out, seq(scene)) == ("", known)


def flags(barrel: Barrel) -> list[list[str]]:
    return list(Act.objects.filter(barrel=barrel).values_list("flags", flat=True))


def test_where_nothing_waits_the_update_asks_one_question(
    scene: ClubScene, django_assert_num_queries: Callable[..., Any]
) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel)
    scene.taste(barrel, fill, day=7, off_notes=["vinegar"])
    scene.taste(barrel, fill, day=8, by="other_sharer", off_notes=["stale", "sawdust"])
    gone = scene.taste(barrel, fill, day=9, by="owner", off_notes=["musty"])
    scene.send("voids", day=9.1, by="owner", act=gone.pk, reason="it was my glass")
    with django_assert_num_queries(1):
        assert logs_lay_anew() == 0


def test_every_club_and_barrel_is_brought_up_by_itself(scene: ClubScene) -> None:
    other = ClubScene("The other club")
    barrels = [scene.barrel("Ebb"), scene.barrel("Neap"), other.barrel("Ebb")]
    for one, barrel in zip((scene, scene, other), barrels, strict=True):
        one.taste(barrel, one.fill(barrel), day=7, off_notes=["musty"])
    from_before_the_rule(scene, *barrels)
    assert logs_lay_anew() == 3
    assert [
        len(troubles(one, barrel)) for one, barrel in zip((scene, scene, other), barrels, strict=True)
    ] == [1] * 3
