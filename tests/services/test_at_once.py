"""Two at the same moment, each in a transaction of its own, on whichever database is at hand."""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from contextlib import suppress
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection

from staveward.models import Act, Place, Stay
from staveward.services import edits, places
from staveward.services.errors import Conflict
from staveward.services.registry import act_kinds
from tests.ledger import ClubScene

pytestmark = pytest.mark.django_db(transaction=True)


def at_once(steps: Sequence[Callable[[], Any]]) -> tuple[list[Any], list[Exception]]:
    """Starts all steps at the same moment; returns what they gave and what they raised."""
    gate = threading.Barrier(len(steps))
    given: list[Any] = []
    raised: list[Exception] = []

    def run(step: Callable[[], Any]) -> None:
        try:
            gate.wait(10)
            given.append(step())
        except Exception as error:
            raised.append(error)
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=(step,)) for step in steps]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    return given, raised


def test_one_act_sent_many_times_is_one_act() -> None:
    scene = ClubScene()
    barrel, key = scene.barrel(), uuid4()

    given, raised = at_once([lambda: scene.fill(barrel, act_id=key)] * 5)

    assert raised == []
    assert {act.pk for act in given} == {key}
    assert Act.objects.filter(barrel=barrel).count() == Stay.objects.filter(barrel=barrel).count() == 1


def test_one_place_sent_many_times_is_one_place() -> None:
    scene, key = ClubScene(), uuid4()

    given, raised = at_once([lambda: scene.send("places", act_id=key, name="Loft")] * 5)

    assert raised == []
    assert {act.pk for act in given} == {key}
    assert Place.objects.filter(club=scene.club, name="Loft").count() == 1


def test_of_two_fills_one_stands_and_the_other_is_kept() -> None:
    scene = ClubScene()
    barrel = scene.barrel()

    _, raised = at_once([lambda: scene.fill(barrel)] * 4)

    assert raised == []
    assert Stay.objects.filter(barrel=barrel).count() == 1
    assert sorted(Act.objects.filter(barrel=barrel).values_list("placement", flat=True)) == [
        "placed",
        *["set_aside"] * 3,
    ]


def test_of_two_corrections_one_holds_and_the_other_is_kept() -> None:
    scene = ClubScene()
    barrel = scene.barrel()
    fill = scene.fill(barrel)

    _, raised = at_once([lambda: scene.fill(barrel, replaces=fill.pk, name="rye, renamed")] * 3)

    assert raised == []
    corrections = Act.objects.filter(replaces=fill)
    assert sorted(corrections.values_list("is_head", flat=True)) == [False, False, True]
    assert sorted(corrections.values_list("set_aside_reason", flat=True)) == ["", *["already_corrected"] * 2]


def test_two_barrels_swapped_by_corrections_do_not_lock_each_other_out() -> None:
    scene = ClubScene()
    one, two = scene.barrel("Neap"), scene.barrel("Fetch")
    first, second = scene.fill(one), scene.fill(two)

    _, raised = at_once(
        [lambda: scene.fill(two, replaces=first.pk), lambda: scene.fill(one, replaces=second.pk)]
    )

    assert raised == []
    assert Stay.objects.filter(barrel__in=(one, two)).count() == 2


def test_of_two_places_with_one_name_the_second_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    scene = ClubScene()
    _check_together(monkeypatch)

    _, raised = at_once([lambda: scene.send("places", name="Loft")] * 2)

    assert [getattr(error, "code", error) for error in raised] == ["taken"]
    assert isinstance(raised[0], Conflict)


def test_the_collections_are_known_whole_to_whoever_asks_first() -> None:
    act_kinds.cache_clear()

    given, raised = at_once([act_kinds] * 8)

    assert raised == []
    assert {len(kinds) for kinds in given} == {len(act_kinds())}


def _check_together(monkeypatch: pytest.MonkeyPatch) -> None:
    """Lets two who look whether a name is free look before either of them takes it, if nothing keeps them apart."""
    both = threading.Barrier(2)

    def checked(*args: Any) -> None:
        edits.unique_checked(*args)
        with suppress(threading.BrokenBarrierError):
            both.wait(1)

    monkeypatch.setattr(places, "unique_checked", checked)
