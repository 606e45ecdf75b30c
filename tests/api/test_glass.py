"""Vessels and bottles over HTTP: bad input is told field by field, lists come in pages, a tag leads to its bottle."""

from __future__ import annotations

from typing import Any

import pytest

from staveward.models import Bottle
from tests.api.cast import Cast, problem, uuid7
from tests.factories import BarrelFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast() -> Cast:
    cast = Cast()
    cast.fill()
    return cast


def decanted(cast: Cast) -> str:
    return cast.done("decants", cast.at_barrel(5, measured_volume_l=4.2, abv_pct=54))


def bottling(cast: Cast, made: str, **changes: Any) -> dict[str, Any]:
    lines = [{"size_ml": 500, "fill_ml": 500, "count": 8}]
    return cast.entry(4, **{"vessel": made, "bottles": lines, **changes})


def test_the_way_from_barrel_to_bottle(cast: Cast) -> None:
    vessel = decanted(cast)
    cast.done("bottlings", bottling(cast, vessel, heel_ml=180))

    row = cast["sharer"].get(cast.url("vessels", vessel)).json()
    assert row["left_l"] == pytest.approx(0.02)
    assert [share["bottles"] for share in row["bottlings"][0]["shares"]] == [5, 3]
    code = Bottle.objects.order_by("number")[0].tag_code
    bottle = cast["member"].get(cast.url("bottle-tags", code)).json()
    assert (bottle["tag_code"], bottle["made"], bottle["level_ml"]) == (code, 8, 500)


def test_part_of_a_vessel_goes_back_into_wood(cast: Cast) -> None:
    """One part among others: whoever sees the vessel reads where it went, and too much is kept with a flag."""
    vessel = decanted(cast)
    ebb = BarrelFactory(club=cast.club, place=cast.place, name="Ebb")
    parts = [
        {"name": "first run", "volume_l": 3.0, "abv_pct": 54.0, "vessel": vessel},
        {"name": "new rum", "kind": "spirit", "volume_l": "1.5 L", "abv_pct": 60.0},
    ]

    fill = cast.done("fills", cast.fill_body(4, barrel=str(ebb.pk), parts=parts))

    row = cast["sharer"].get(cast.url("vessels", vessel)).json()
    assert row["left_l"] == pytest.approx(1.2)
    (draw,) = row["draws"]
    assert (draw["act"], draw["collection"], draw["volume_l"], draw["into"]) == (
        fill,
        "fills",
        3.0,
        str(ebb.pk),
    )
    assert cast["member"].get(cast.url("vessels", vessel)).status_code == 403

    fetch = BarrelFactory(club=cast.club, place=cast.place, name="Fetch")
    second = cast.fill_body(3, barrel=str(fetch.pk), parts=parts)
    answer = cast["keeper"].put(cast.url("fills", uuid7()), second)
    assert (answer.status_code, answer.json()["placement"]) == (201, "placed")
    assert "over_vessel" in answer.json()["flags"]


def test_the_ledger_comes_in_pages_that_give_each_bottle_once(cast: Cast) -> None:
    cast.done("bottlings", bottling(cast, decanted(cast)))

    seen, path = [], cast.url("bottles") + "?limit=3"
    while path:
        page = cast["keeper"].get(path).json()
        seen += [row["number"] for row in page["results"]]
        path = page["next"]

    assert seen == [1, 2, 3, 4, 5, 6, 7, 8]


@pytest.mark.parametrize(
    ("changes", "status"),
    [
        ({"bottles": []}, 400),
        ({"bottles": [{"size_ml": 500, "fill_ml": 500, "count": 0}]}, 422),
        ({"bottles": [{"size_ml": 500, "fill_ml": 600, "count": 1}]}, 422),
        ({"bottles": [{"size_ml": 500, "fill_ml": 500.5, "count": 1}]}, 400),
        ({"bottles": [{"size_ml": 500, "fill_ml": 500, "count": 11}]}, 422),
        ({"heel_ml": -1}, 422),
        ({"given": [{"person": None, "size_ml": 500, "count": 7}]}, 422),
        ({"replaces": "018f6f1e-0000-7000-8000-000000000000"}, 400),
        ({"vessel": "018f6f1e-0000-7000-8000-000000000000"}, 422),
    ],
)
def test_a_bottling_that_cannot_be_is_told_why(cast: Cast, changes: dict[str, Any], status: int) -> None:
    body = bottling(cast, decanted(cast), **changes)

    answer = cast["keeper"].put(cast.url("bottlings", uuid7()), body)

    assert answer.status_code == status, answer.content
    assert problem(answer)["fields"]
    assert not Bottle.objects.exists()


def test_the_same_bottling_twice_makes_its_bottles_once(cast: Cast) -> None:
    body, act = bottling(cast, decanted(cast)), uuid7()

    first = cast["keeper"].put(cast.url("bottlings", act), body)
    again = cast["keeper"].put(cast.url("bottlings", act), body)

    assert (first.status_code, again.status_code) == (201, 200)
    assert Bottle.objects.count() == 8


def test_too_much_is_kept_and_the_answer_says_so(cast: Cast) -> None:
    lines = [{"size_ml": 500, "fill_ml": 500, "count": 9}]
    answer = cast["keeper"].put(cast.url("bottlings", uuid7()), bottling(cast, decanted(cast), bottles=lines))

    assert answer.status_code == 201
    assert answer.json()["flags"] == ["late", "over_vessel"]


def test_a_private_bottle_is_nobody_elses(cast: Cast) -> None:
    cast.club.refresh_from_db()
    other = Cast()
    fill = other.fill(is_private=True)
    assert fill
    other.done("bottlings", bottling(other, decanted(other)))
    bottle = Bottle.objects.filter(club=other.club).order_by("number")[0]

    assert other["sharer"].get(other.url("bottles", bottle.pk)).status_code == 200
    assert other["member"].get(other.url("bottles", bottle.pk)).status_code == 403
    assert cast["keeper"].get(cast.url("bottles", bottle.pk)).status_code == 404
    logged = other["member"].get(other.url("barrels", other.barrel.pk, "log")).json()["results"]
    assert {row["collection"]: row["body"] for row in logged}["bottlings"] is None
