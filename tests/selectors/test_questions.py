"""A question whose SQL was kept, against the same question put into SQL anew."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db.models import QuerySet

from staveward.models import Barrel, Stay
from staveward.selectors import barrels, cellar_facts, stays
from staveward.selectors.questions import Question, Scope
from tests.ledger import DAY0, ClubScene
from tests.reading import forecast_by_hand, queries_of
from tests.reserving import ReservingScene

pytestmark = pytest.mark.django_db

QUESTIONS = {
    f"{module.__name__.rpartition('.')[2]}.{name.lstrip('_')}": one
    for module in (stays, cellar_facts, barrels)
    for name, one in vars(module).items()
    if isinstance(one, Question)
}
# Asked with the day on which they are asked.
OF_A_DAY = {"stays.reservations"}
# A best week wants more tastes than these lives have.
NO_ROWS = {"stays.pulls"}


def a_life(scene: ClubScene, name: str) -> Barrel:
    """Gives a barrel a life with something in it for nearly every question, and leaves it in wet hold."""
    barrel = scene.barrel(name)
    scene.send("curings", barrel, day=0, water_l=5.0)
    scene.send("curing-verdicts", barrel, day=2, verdict="tight")
    fill = scene.fill(barrel, day=3)
    scene.taste(barrel, fill, day=10)
    scene.send("decants", barrel, day=20, measured_volume_l=4.4, abv_pct=54.0)
    scene.send("tendings", barrel, day=21, tasks=["leak_check"])
    scene.send("repairs", barrel, day=22, kind="scrape_and_rechar")
    scene.send("holds", barrel, day=23, water_l=2.5, is_solution=True)
    scene.send("tendings", barrel, day=24, tasks=["sulphiting"])
    scene.send("readings", barrel, day=25, kind="so2_strip", so2_mg_l=40.0)
    scene.send("ownerships", barrel, day=26, shares=[{"person": scene.people["owner"].pk, "weight": 1}])
    scene.send("troubles", barrel, day=27, kind="leak", note="weeps at the head")
    scene.send("loans", barrel, day=28, borrower="Squall Rowing Club", back_by="2026-06-01")
    scene.send("tag-issues", barrel, day=29, reason="rubbed off")
    return barrel


def lives(scene: ReservingScene) -> list[Barrel]:
    """Gives three barrels such a life; fills, cures, retires and reserves one more each."""
    for name in ("Neap", "Ebb", "Slack"):
        a_life(scene, name)
    filled, curing, retired = (scene.barrel(name) for name in ("Spring", "Fresh", "Wrack"))
    scene.ask(scene.cured("Flood"), 40, 70)
    scene.fill(filled, day=3)
    scene.send("tendings", filled, day=4, tasks=["roll"])
    scene.send("curings", curing, day=3, water_l=5.0)
    scene.send("retirements", retired, day=3, reason="spent")
    for stay in Stay.objects.filter(club=scene.club, ended_at__isnull=True):
        forecast_by_hand(stay, DAY0 + timedelta(days=30), volume_l=[[2, 3, 4]], level=[[0.5, 0.6, 0.7]])
    return list(Barrel.objects.filter(club=scene.club))


def in_any_order(rows: Any) -> list[str]:
    return sorted(repr(tuple(row)) for row in rows)


def test_the_questions_are_found() -> None:
    assert len(QUESTIONS) >= 20
    assert QUESTIONS.keys() >= OF_A_DAY | NO_ROWS


@pytest.fixture
def scene() -> ReservingScene:
    return ReservingScene()


def test_every_question_answers_what_its_queryset_does(scene: ReservingScene) -> None:
    mine, others = lives(scene), lives(ReservingScene())
    keys = [barrel.pk for barrel in mine]
    scopes = [
        Scope(scene.club.pk),
        *(Scope(scene.club.pk, tuple(keys[:count])) for count in (1, 2, 3, 5, len(keys))),
        # Somebody else's barrels are nobody's answer.
        Scope(scene.club.pk, (keys[3], others[3].pk, others[0].pk)),
        Scope(scene.club.pk, (uuid4(),)),
    ]
    for name, question in QUESTIONS.items():
        days = (date(2026, 4, 1),) if name in OF_A_DAY else ()
        counts = []
        for scope in scopes:
            queryset = question.ask(scope, *days)
            kept, anew = question(scope, *days), [tuple(row) for row in queryset]
            if queryset.ordered:
                assert kept == anew, (name, scope)
            assert in_any_order(kept) == in_any_order(anew), (name, scope)
            counts.append(len(anew))
        assert (max(counts) == 0) == (name in NO_ROWS), (name, counts)


def test_a_day_is_asked_anew_each_time(scene: ReservingScene) -> None:
    def from_day(scope: Scope, day: date) -> QuerySet[Any, Any]:
        return Barrel.objects.filter(scope.on("pk", "club_id"), registered_at__date__gte=day).values_list(
            "pk"
        )

    scene.barrel()
    asked, scope = Question(from_day), Scope(scene.club.pk)

    assert [len(asked(scope, DAY0.date() + timedelta(days=days))) for days in (-1, 1, 0)] == [1, 0, 1]


def test_of_no_barrel_nothing_is_asked(scene: ReservingScene) -> None:
    question = QUESTIONS["stays.stays"]

    assert queries_of(lambda: question(Scope(scene.club.pk, ()))) == 0


def test_a_question_that_asks_past_its_scope_is_refused(scene: ReservingScene) -> None:
    def of_all_clubs(scope: Scope) -> QuerySet[Any, Any]:
        return Barrel.objects.filter(pk__in=scope.barrel_ids or ()).values_list("pk")

    with pytest.raises(LookupError, match="of_all_clubs"):
        Question(of_all_clubs)(Scope(scene.club.pk, (uuid4(),)))


def test_a_page_of_any_length_keeps_few_statements(scene: ReservingScene) -> None:
    def named(scope: Scope) -> QuerySet[Any, Any]:
        return Barrel.objects.filter(scope.on("pk", "club_id")).values_list("pk")

    barrel, asked = scene.barrel(), Question(named)
    for length in range(1, 70):
        keys = (barrel.pk, *(uuid4() for _ in range(length - 1)))
        assert asked(Scope(scene.club.pk, keys)) == [(barrel.pk,)], length

    assert asked.statement.cache_info().currsize == len({1, 2, 4, 8, 16, 32, 64, 128})
