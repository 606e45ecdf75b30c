"""Back into wood: part of a vessel as one part of a mix, what it brings along, and what happens when it is too much."""

from __future__ import annotations

from itertools import permutations
from typing import Any
from uuid import UUID, uuid4

import pytest

from staveward.models import Act, Barrel, Fill, FillPart
from staveward.selectors.vessels import vessel_queryset, vessel_rows
from staveward.services.errors import Forbidden
from tests.ledger import ClubScene

pytestmark = pytest.mark.django_db

NUTTY = {"name": "walnut rum", "volume_l": 4.7, "abv_pct": 40.0, "allergens": ["nuts"], "cost_minor": 9000}
MILKY = {**NUTTY, "name": "milk rum", "allergens": ["milk"], "cost_minor": 4000}
NEW = {"name": "new rum", "kind": "spirit", "volume_l": 2.0, "abv_pct": 60.0, "cost_minor": 2500}


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


@pytest.fixture
def pulled(scene: ClubScene) -> Act:
    """Four litres of last year's rum in a vessel, decanted from Neap."""
    neap = scene.barrel()
    scene.fill(neap, parts=[NUTTY])
    return scene.send("decants", neap, day=30, measured_volume_l=4.0, abv_pct=44.0)


def refill(
    scene: ClubScene, barrel: Barrel, vessel_id: UUID, volume_l: float, *, day: float = 31, **changes: Any
) -> Act:
    """Pours part of a vessel and new spirit on top of it."""
    part = {"name": "last year's rum", "volume_l": volume_l, "abv_pct": 44.0, "vessel": vessel_id}
    return scene.fill(barrel, day=day, **{"parts": [part, NEW], **changes})


def seen(scene: ClubScene, vessel_id: UUID) -> dict[str, Any]:
    found: dict[str, Any] = vessel_rows(
        vessel_queryset(scene.club, scene.people["keeper"]).filter(pk=vessel_id)
    )[0]
    return found


def costs(fill: Act) -> list[int | None]:
    return list(FillPart.objects.filter(fill_id=fill.pk).values_list("cost_minor", flat=True))


def test_part_of_a_vessel_topped_with_new_spirit_brings_its_strength_warnings_and_cost(
    scene: ClubScene, pulled: Act
) -> None:
    ebb = scene.barrel("Ebb")

    fill = refill(scene, ebb, pulled.pk, 3.0)

    kept = Fill.objects.get(pk=fill.pk)
    # 3 L of 44 and 2 L of 60 hold 2.52 L of alcohol in the 5 L less what shrinks (27 CFR 30.66: mixing contracts).
    assert kept.volume_l == pytest.approx(5.0, abs=0.02)
    assert kept.volume_l < 5.0
    assert kept.abv_pct * kept.volume_l == pytest.approx(252.0, rel=1e-6)
    assert kept.allergens == ["nuts"]
    # Three of the four litres, of what the vessel cost; the new spirit as it was said.
    assert costs(fill) == [6750, 2500]
    left = seen(scene, pulled.pk)
    assert left["left_l"] == pytest.approx(1.0)
    assert [(draw["collection"], draw["volume_l"], draw["into"]) for draw in left["draws"]] == [
        ("fills", 3.0, str(ebb.pk))
    ]


@pytest.mark.parametrize(
    ("abv_pct", "parts", "basis"),
    [(44.0, 1, "measured"), (None, 1, "calculated"), (44.0, 2, "calculated")],
)
def test_a_vessel_has_no_label(scene: ClubScene, abv_pct: float | None, parts: int, basis: str) -> None:
    neap = scene.barrel()
    scene.fill(neap)
    made = scene.send("decants", neap, day=30, measured_volume_l=4.0, abv_pct=abv_pct)
    mix = [{"name": "first run", "volume_l": 3.0, "abv_pct": 44.0, "vessel": made.pk}, NEW][:parts]

    fill = scene.fill(scene.barrel("Ebb"), day=31, parts=mix)

    assert Fill.objects.get(pk=fill.pk).abv_basis == basis


def test_a_late_correction_follows_the_liquid_through_two_barrels(scene: ClubScene) -> None:
    """Three lives later it turns out that the first fill held milk and cost less: all that came of it says so."""
    neap, ebb, fetch = scene.barrel(), scene.barrel("Ebb"), scene.barrel("Fetch")
    first = scene.fill(neap, parts=[NUTTY])
    one = scene.send("decants", neap, day=30, measured_volume_l=4.0, abv_pct=44.0)
    second = refill(scene, ebb, one.pk, 2.0)
    two = scene.send("decants", ebb, day=60, measured_volume_l=3.6, abv_pct=50.0)
    third = refill(scene, fetch, two.pk, 1.8, day=61)
    assert seen(scene, two.pk)["allergens"] == ["nuts"]

    scene.fill(neap, parts=[MILKY], replaces=first.pk)

    assert Fill.objects.get(pk=second.pk).allergens == ["milk"]
    assert costs(second) == [2000, 2500]
    assert (seen(scene, two.pk)["allergens"], seen(scene, two.pk)["cost_minor"]) == (["milk"], 4500)
    assert Fill.objects.get(pk=third.pk).allergens == ["milk"]
    assert costs(third) == [2250, 2500]


def test_a_corrected_yield_changes_what_a_litre_of_it_cost(scene: ClubScene, pulled: Act) -> None:
    fill = refill(scene, scene.barrel("Ebb"), pulled.pk, 3.0)
    assert pulled.barrel is not None

    scene.send("decants", pulled.barrel, day=30, measured_volume_l=3.6, abv_pct=44.0, replaces=pulled.pk)

    assert costs(fill) == [7500, 2500]
    assert seen(scene, pulled.pk)["left_l"] == pytest.approx(0.6)


def test_the_fill_the_decant_and_the_refill_come_in_any_order_the_phone_can_send_them(
    scene: ClubScene,
) -> None:
    told = []
    for turn in permutations(("fill", "decant", "refill")):
        if turn.index("refill") < turn.index("decant"):
            # A phone sends what names a vessel after what made it, always.
            continue
        name = ", ".join(turn)
        neap, ebb = scene.barrel(f"Neap, {name}"), scene.barrel(f"Ebb, {name}")
        decant_id, refill_id = uuid4(), uuid4()
        for step in turn:
            if step == "fill":
                scene.fill(neap, parts=[NUTTY])
            elif step == "decant":
                scene.send("decants", neap, day=30, act_id=decant_id, measured_volume_l=4.0, abv_pct=44.0)
            else:
                refill(scene, ebb, decant_id, 3.0, act_id=refill_id)
        fill = Fill.objects.get(pk=refill_id)
        told.append((fill.allergens, costs(fill.act), fill.abv_pct, seen(scene, decant_id)["left_l"]))

    assert len(told) == 3
    assert told[0][:2] == (["nuts"], [6750, 2500])
    assert all(one == told[0] for one in told)


@pytest.mark.parametrize("turn", [(0, 1), (1, 0)])
def test_two_phones_that_pour_more_than_is_left_are_both_kept_and_the_later_is_flagged(
    scene: ClubScene, pulled: Act, turn: tuple[int, int]
) -> None:
    ids = [uuid4(), uuid4()]
    barrels = [scene.barrel("Ebb"), scene.barrel("Fetch")]
    for one in turn:
        refill(scene, barrels[one], pulled.pk, 3.0, day=31 + one, act_id=ids[one])

    acts = [Act.objects.get(pk=act_id) for act_id in ids]
    assert [act.placement for act in acts] == ["placed", "placed"]
    assert ["over_vessel" in act.flags for act in acts] == [False, True]
    assert seen(scene, pulled.pk)["left_l"] == 0.0
    assert sum(draw["volume_l"] for draw in seen(scene, pulled.pk)["draws"]) == pytest.approx(6.0)


def test_a_correction_pours_back_what_it_does_not_take_and_a_void_gives_back_all(
    scene: ClubScene, pulled: Act
) -> None:
    ebb = scene.barrel("Ebb")
    fill = refill(scene, ebb, pulled.pk, 3.0)

    less = refill(scene, ebb, pulled.pk, 2.5, replaces=fill.pk)
    assert seen(scene, pulled.pk)["left_l"] == pytest.approx(1.5)

    late = refill(scene, ebb, pulled.pk, 1.0, replaces=fill.pk)
    assert late.placement == "set_aside"
    assert seen(scene, pulled.pk)["left_l"] == pytest.approx(1.5)

    without = scene.fill(ebb, day=31, replaces=less.pk)
    assert Fill.objects.get(pk=without.pk).allergens == []
    assert seen(scene, pulled.pk)["left_l"] == pytest.approx(4.0)

    again = refill(scene, ebb, pulled.pk, 3.0, replaces=without.pk)
    scene.send("voids", day=32, act=again.pk, reason="it was poured back")
    assert seen(scene, pulled.pk)["left_l"] == pytest.approx(4.0)
    assert seen(scene, pulled.pk)["draws"] == []


def test_two_phones_that_fill_one_barrel_out_of_one_vessel_lose_neither_entry_nor_liquid(
    scene: ClubScene, pulled: Act
) -> None:
    """The second opening waits for the keeper; what it took was taken until the keeper says that it was not."""
    ebb = scene.barrel("Ebb")
    first = refill(scene, ebb, pulled.pk, 2.0, day=31)
    second = refill(scene, ebb, pulled.pk, 1.5, day=31.01)

    first.refresh_from_db()
    assert (first.placement, second.placement) == ("placed", "set_aside")
    assert seen(scene, pulled.pk)["left_l"] == pytest.approx(0.5)

    scene.send("voids", day=32, act=second.pk, reason="the same pour, entered twice")
    assert seen(scene, pulled.pk)["left_l"] == pytest.approx(2.0)


def test_who_may_fill_a_barrel_does_not_yet_pour_out_of_a_strangers_vessel(
    scene: ClubScene, pulled: Act
) -> None:
    ebb = scene.barrel("Ebb")
    scene.send("ownerships", ebb, day=-1, shares=[{"person": scene.people["owner"].pk, "weight": 1}])

    with pytest.raises(Forbidden):
        refill(scene, ebb, pulled.pk, 1.0, by="owner")
    assert not Fill.objects.filter(act__barrel=ebb).exists()
    assert refill(scene, ebb, pulled.pk, 1.0).placement == "placed"
