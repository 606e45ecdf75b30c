"""The recipe book: the club's and one's own, written by PUT, edited against its version, every version kept."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from staveward.models import Act, Recipe
from tests.api.cast import Cast, problem, uuid7

pytestmark = pytest.mark.django_db

PARTS = [
    {
        "name": "rye",
        "kind": "spirit",
        "volume_l": "25 fl oz",
        "abv_pct": "100 proof",
        "bottle_ml": 700,
        "bottle_cost_minor": 2800,
    },
    {
        "name": "aperitif",
        "kind": "liqueur",
        "volume_l": 0.4,
        "abv_pct": 22,
        "sugar_g_l": 180,
        "allergens": ["sulphites"],
    },
]


def recipe_body(cast: Cast, **changes: Any) -> dict[str, Any]:
    body = {"name": "rye with aperitif", "spirit": "cocktail", "family": "cocktail", "parts": PARTS}
    return cast.entry(**{**body, **changes})


def written(cast: Cast, by: str = "keeper", **changes: Any) -> dict[str, Any]:
    answer = cast[by].put(cast.url("recipes", uuid7()), recipe_body(cast, **changes))
    assert answer.status_code == 201, answer.content
    row: dict[str, Any] = answer.json()
    return row


def test_amounts_come_in_as_the_cook_thinks_and_leave_in_litres(cast: Cast) -> None:
    row = written(cast, is_club=True)

    rye, aperitif = row["parts"]
    # 1 US fl oz = 29.5735 mL (NIST Handbook 44, Appendix C); 100 proof is 50.06 % vol at 20 degrees (27 CFR 30.11).
    assert rye["volume_l"] == pytest.approx(25 * 0.0295735, abs=1e-5)
    assert rye["abv_pct"] == pytest.approx(50.06, abs=0.01)
    assert (rye["allergens"], aperitif["allergens"]) == (None, ["sulphites"])
    assert (row["version"], row["is_club"], row["may_edit"]) == (1, True, True)


def test_an_older_version_is_answered_with_409_and_nothing_changes(cast: Cast) -> None:
    row = written(cast)
    path = cast.url("recipes", row["id"])
    edited = cast["keeper"].patch(path, {"name": "rye, drier"})
    assert (edited.status_code, edited["ETag"], edited.json()["version"]) == (200, '"2"', 2)

    late = cast["admin"].patch(path, {"name": "rye, sweeter"})

    assert (late.status_code, problem(late)["code"]) == (409, "version_changed")
    assert Recipe.objects.get(pk=row["id"]).name == "rye, drier"
    assert cast["keeper"].patch(path, {"name": "x"}, version=None).status_code == 428
    assert Act.objects.filter(collection="recipe-edits").count() == 1


def test_every_version_stays_readable(cast: Cast) -> None:
    row = written(cast, is_club=True)
    path = cast.url("recipes", row["id"])
    cast["keeper"].patch(path, {"parts": PARTS[:1], "note": "no aperitif at hand"})

    versions = cast["member"].get(f"{path}/versions").json()["results"]

    assert [(one["number"], len(one["parts"]), one["note"]) for one in versions] == [
        (1, 2, ""),
        (2, 1, "no aperitif at hand"),
    ]
    assert {one["author"] for one in versions} == {cast.id("keeper")}


def test_ones_own_is_nobody_elses_but_the_keepers(cast: Cast) -> None:
    mine = written(cast, by="member", name="my own")
    path = cast.url("recipes", mine["id"])

    def told(who: str) -> int:
        return cast[who].get(path).status_code

    assert {who: told(who) for who in ("member", "sharer", "owner", "keeper", "admin", "tablet")} == {
        "member": 200,
        "sharer": 404,
        "owner": 404,
        "keeper": 200,
        "admin": 200,
        "tablet": 403,
    }
    assert cast["sharer"].get(f"{path}/versions").status_code == 404
    assert cast["sharer"].patch(path, {"name": "taken"}).status_code == 404
    assert [row["name"] for row in cast["sharer"].get(cast.url("recipes")).json()["results"]] == []
    feed = cast["sharer"].get(cast.url("changes")).json()["rows"]
    assert [row["row"] for row in feed if row["collection"] == "recipes"] == [None]


def test_the_clubs_book_is_the_keepers_to_write(cast: Cast) -> None:
    book = written(cast, is_club=True)
    path = cast.url("recipes", book["id"])

    assert cast["member"].get(path).json()["may_edit"] is False
    refused = cast["member"].patch(path, {"name": "better"})
    assert (refused.status_code, problem(refused)["code"]) == (403, "forbidden")
    forward = cast["member"].put(cast.url("recipes", uuid7()), recipe_body(cast, is_club=True))
    assert (forward.status_code, problem(forward)["code"]) == (403, "forbidden")
    own = written(cast, by="member")
    assert cast["member"].patch(cast.url("recipes", own["id"]), {"is_club": True}).status_code == 403


def test_a_recipe_the_keeper_takes_into_the_book_keeps_what_its_writer_tried_before(cast: Cast) -> None:
    own = written(cast, by="member", name="a first try")
    path = cast.url("recipes", own["id"])
    cast["member"].patch(path, {"name": "a good one"})
    cast["keeper"].patch(path, {"is_club": True}, version=2)

    seen = cast["sharer"].get(f"{path}/versions").json()["results"]

    assert [one["name"] for one in seen] == ["a good one"]
    assert [one["number"] for one in seen] == [3]
    assert len(cast["member"].get(f"{path}/versions").json()["results"]) == 3


def test_what_a_bottle_cost_is_its_writers_and_the_keepers(cast: Cast) -> None:
    book = written(cast, is_club=True)
    path = cast.url("recipes", book["id"])

    def cost(who: str) -> int | None:
        value: int | None = cast[who].get(path).json()["parts"][0]["bottle_cost_minor"]
        return value

    assert (cost("keeper"), cost("admin"), cost("member")) == (2800, 2800, None)
    cast["keeper"].patch(path, {"note": "good"})
    versions = cast["member"].get(f"{path}/versions").json()["results"]
    assert {one["parts"][0]["bottle_cost_minor"] for one in versions} == {None}


def test_the_same_recipe_twice_is_written_once(cast: Cast) -> None:
    path, body = cast.url("recipes", uuid7()), recipe_body(cast)
    first, second = cast["member"].put(path, body), cast["member"].put(path, body)

    assert (first.status_code, second.status_code) == (201, 200)
    assert first.json() == second.json()
    assert Recipe.objects.count() == 1


@pytest.mark.parametrize(
    ("change", "status", "field"),
    [
        ({"parts": []}, 400, "parts"),
        ({"parts": [{**PARTS[0], "volume_l": 0}]}, 422, "parts.0.volume_l"),
        ({"parts": [{**PARTS[0], "abv_pct": 140}]}, 422, "parts.0.abv_pct"),
        ({"parts": [{**PARTS[0], "kind": "gravel"}]}, 422, "parts.0.kind"),
        ({"parts": [{**PARTS[0], "allergens": ["dust"]}]}, 422, "parts.0.allergens.0"),
        ({"parts": [{**PARTS[1], "abv_pct": 70, "sugar_g_l": 600}]}, 422, "abv_pct"),
        ({"parts": [{**PARTS[0], "bottle_ml": -700}]}, 422, "parts.0.bottle_ml"),
        ({"name": ""}, 400, "name"),
        ({"colour": "red"}, 400, "colour"),
    ],
)
def test_what_cannot_be_is_refused_with_its_field(
    cast: Cast, change: dict[str, Any], status: int, field: str
) -> None:
    by_put = cast["keeper"].put(cast.url("recipes", uuid7()), recipe_body(cast, **change))
    assert (by_put.status_code, problem(by_put)["fields"][0]["field"]) == (status, field)
    row = written(cast)
    by_patch = cast["keeper"].patch(cast.url("recipes", row["id"]), change)
    assert (by_patch.status_code, problem(by_patch)["fields"][0]["field"]) == (status, field)
    assert Recipe.objects.get(pk=row["id"]).version == 1


def test_more_recipes_ask_no_more_questions(cast: Cast) -> None:
    written(cast)
    caller = cast["keeper"]
    counts = []
    for _ in range(2):
        for path in (cast.url("recipes"), cast.url("changes")):
            with CaptureQueriesContext(connection) as asked:
                assert caller.get(path).status_code == 200
            counts.append(len(asked))
        for number in range(8):
            written(cast, name=f"recipe {number}")
    assert counts[:2] == counts[2:]


class TestFillBodies:
    """What a fill's body may say of its mix."""

    @pytest.mark.parametrize(
        ("change", "status", "field"),
        [
            ({"parts": [{"name": "rye", "abv_pct": 55}]}, 400, "parts.0.volume_l"),
            ({"parts": [{"name": "rye", "abv_pct": 55, "mass_kg": 0}]}, 422, "parts.0.mass_kg"),
            ({"abv_apparent_pct": 40}, 400, "abv_temp_c"),
            ({"abv_apparent_pct": 40, "abv_temp_c": 70}, 422, "abv_temp_c"),
            ({"gates": [{"gate": "luck", "ok": True, "reason": ""}]}, 422, "gates.0.gate"),
            ({"gates": [{"gate": "tight", "ok": "yes", "reason": ""}]}, 400, "gates.0.ok"),
            ({"shares_total": 4}, 422, "sharers"),
            ({"club_weight": -1}, 422, "club_weight"),
            ({"club_weight": 10_001}, 422, "club_weight"),
            ({"club_weight": 1.5}, 400, "club_weight"),
            ({"plan": {"name": "rye", "parts": []}}, 400, "plan.parts"),
            ({"recipe": "rye"}, 400, "recipe"),
        ],
    )
    def test_what_cannot_be_is_refused_with_its_field(
        self, cast: Cast, change: dict[str, Any], status: int, field: str
    ) -> None:
        answer = cast["keeper"].put(cast.url("fills", uuid7()), cast.fill_body(**change))

        assert (answer.status_code, problem(answer)["fields"][0]["field"]) == (status, field)
        assert not Act.objects.filter(collection="fills").exists()

    def test_a_part_by_weight_alone_is_enough(self, cast: Cast) -> None:
        fill = cast.fill(parts=[{"name": "rye", "abv_pct": 55, "mass_kg": "9 lb", "allergens": None}])

        contents = cast["member"].get(cast.url("barrels", cast.barrel.pk)).json()["contents"]
        # 9 lb = 4.0823 kg; 55 % vol weighs 0.9186 kg/L less the air's lift (OIML R 22).
        assert contents["parts"][0]["volume_l"] == pytest.approx(4.0823 / 0.91749, rel=2e-3)
        assert fill
