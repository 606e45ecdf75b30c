"""A correction by the API: the whole entry anew, and what stands afterwards in the log and at the barrel."""

from __future__ import annotations

from typing import Any

import pytest

from tests.api.cast import Cast, problem, uuid7

pytestmark = pytest.mark.django_db


def heads(cast: Cast, collection: str) -> list[dict[str, Any]]:
    """Returns the entries of a kind that stand in the barrel's log."""
    rows = cast["keeper"].get(cast.url("barrels", cast.barrel.pk, "log")).json()["results"]
    return [row for row in rows if row["collection"] == collection and row["is_head"]]


def test_a_corrected_fill_has_its_other_parts_and_sharers_and_keeps_its_tastes(cast: Cast) -> None:
    fill = cast.fill()
    cast.done("tastings", cast.tasting_body(fill, 5), by="sharer")
    parts = [
        {"name": "rye", "volume_l": 4.0, "abv_pct": 60.0},
        {"name": "water", "kind": "water", "volume_l": 0.4, "abv_pct": 0.0},
    ]
    sharers = [{"person": cast.id("sharer"), "weight": 1}, {"person": cast.id("owner"), "weight": 1}]

    mended = cast.done(
        "fills", cast.fill_body(parts=parts, sharers=sharers, name="rye, let down", replaces=fill)
    )

    contents = cast["keeper"].get(cast.url("barrels", cast.barrel.pk)).json()["contents"]
    assert contents["name"] == "rye, let down"
    # The sum is known without any table: 4.0 L of 60 % hold 2.4 L of spirit, in a little less than 4.4 L.
    assert 2.4 / 4.4 * 100 < contents["start_abv_pct"] < 2.4 / 4.3 * 100
    assert [row["id"] for row in heads(cast, "fills")] == [mended]
    assert [row["placement"] for row in heads(cast, "tastings")] == ["placed"]


def test_a_corrected_strip_is_the_one_that_is_read(cast: Cast) -> None:
    cast.done("curings", cast.at_barrel(30, water_l=4.5))
    cast.done("drainings", cast.at_barrel(28))
    cast.done("holds", cast.at_barrel(20, water_l=2.5))
    strip = cast.done("readings", cast.at_barrel(3, kind="so2_strip", so2_mg_l=10))

    mended = cast.done("readings", cast.at_barrel(3, kind="so2_strip", so2_mg_l=25, replaces=strip))

    assert [(row["id"], row["body"]["so2_mg_l"]) for row in heads(cast, "readings")] == [(mended, 25)]


def test_a_corrected_taste_says_its_oak_and_what_is_off(cast: Cast) -> None:
    fill = cast.fill()
    said = {"fill": fill, "days_ago": 2, "liking": 4.5}
    taste = cast.done("tastings", cast.tasting_body(**said), by="sharer")

    mended = cast.done(
        "tastings", cast.tasting_body(**said, oak=1, off_notes=["sulphur"], replaces=taste), by="sharer"
    )

    standing = heads(cast, "tastings")
    assert [(row["id"], row["body"]["oak"], row["body"]["off_notes"]) for row in standing] == [
        (mended, 1, ["sulphur"])
    ]


def test_a_visit_is_not_corrected_to_nothing_at_all(cast: Cast) -> None:
    cast.fill()
    visit = cast.done("tendings", cast.at_barrel(1, tasks=["roll"]))

    answer = cast["keeper"].put(cast.url("tendings", uuid7()), cast.at_barrel(1, tasks=[], replaces=visit))

    assert answer.status_code == 400
    assert [field["field"] for field in problem(answer)["fields"]] == ["tasks"]
    assert [row["id"] for row in heads(cast, "tendings")] == [visit]
