"""Bad input: each a 4xx with code, field, value and what is allowed.

What is odd but possible is kept, with a flag or set aside.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from staveward.models import Act, Barrel, Stay
from staveward.services.forecasts import forecast_refresh
from tests.api.cast import Cast, ago, problem, uuid7
from tests.factories import BarrelFactory

pytestmark = pytest.mark.django_db


def refused(cast: Cast, collection: str, body: dict[str, Any], by: str = "keeper") -> dict[str, Any]:
    """Puts what must be refused, and returns why; nothing of it is kept."""
    act_id = uuid7()
    said = problem(cast[by].put(cast.url(collection, act_id), body))
    assert not Act.objects.filter(pk=act_id).exists()
    return said


def only_field(said: dict[str, Any]) -> dict[str, Any]:
    """Returns the one field a refusal is about."""
    assert len(said["fields"]) == 1, said
    field: dict[str, Any] = said["fields"][0]
    assert field["allowed"]
    assert field["detail"]
    return field


@pytest.mark.parametrize(
    ("value", "status", "detail"),
    [
        ("4 kg", 422, "'kg' cannot be read as L"),
        ("4 pounds", 422, "'pounds' cannot be read as L"),
        ("4 bananas", 422, "'bananas' cannot be read as L"),
        ("4 oz", 422, "'oz' cannot be read as L"),
        ("four litres", 400, "Not a number"),
        ("4", 400, "Not a number"),
        ("9**9**9 L", 422, "is not a unit"),
        ("__import__('os') L", 400, "Not a number"),
        ("NaN L", 422, "Not a finite number"),
        ("inf L", 422, "Not a finite number"),
        (True, 400, "Not a number"),
        ([4], 400, "Not a number"),
        ({}, 400, "Not a number"),
        (0, 422, "0 is too small"),
        (-1, 422, "-1 is too small"),
        (401, 422, "401 is too large"),
        (1e300, 422, "is too large"),
        ("1000 gal", 422, "is too large"),
    ],
)
def test_a_volume_that_cannot_be_is_refused(cast: Cast, value: Any, status: int, detail: str) -> None:
    said = refused(cast, "holds", cast.at_barrel(water_l=value))
    field = only_field(said)

    assert (said["status"], said["code"]) == (status, "malformed" if status == 400 else "impossible_value")
    assert (field["field"], field["allowed"]) == ("water_l", "more than 0, up to 400 L")
    assert field["value"] == (value if isinstance(value, str | bool | int | float) else repr(value))
    assert detail in field["detail"]


@pytest.mark.parametrize("value", [100.1, -0.1, 140, "201 proof", "-1 %", "120 % vol", "40 kg"])
def test_an_impossible_strength_is_refused(cast: Cast, value: Any) -> None:
    cast.fill()
    said = refused(cast, "decants", cast.at_barrel(measured_volume_l=4, abv_pct=value))
    field = only_field(said)

    assert (said["status"], said["code"]) == (422, "impossible_value")
    assert (field["field"], field["value"], field["allowed"]) == ("abv_pct", value, "0 to 100 % vol")


def test_a_field_deep_in_the_body_is_named_by_its_way(cast: Cast) -> None:
    parts = [
        {"name": "rye", "volume_l": 2, "abv_pct": 55},
        {"name": "vermouth", "volume_l": "1 kg", "abv_pct": 117, "allergens": ["sulphites", "love"]},
    ]
    said = refused(cast, "fills", cast.fill_body(parts=parts))

    assert [(row["field"], row["value"]) for row in said["fields"]] == [
        ("parts.1.volume_l", "1 kg"),
        ("parts.1.abv_pct", 117),
        ("parts.1.allergens.1", "love"),
    ]


def test_more_than_110_percent_of_the_barrel_is_refused(cast: Cast) -> None:
    said = refused(cast, "holds", cast.at_barrel(water_l=5.6))
    field = only_field(said)

    assert (said["status"], said["code"]) == (422, "impossible_value")
    assert (field["field"], field["value"]) == ("water_l", 5.6)
    assert "5.50 L" in field["allowed"]


def test_an_unknown_spirit_is_refused(cast: Cast) -> None:
    said = refused(cast, "fills", cast.fill_body(spirit="moonshine"))
    field = only_field(said)

    assert (said["status"], said["code"]) == (422, "impossible_value")
    assert (field["field"], field["value"]) == ("spirit", "moonshine")
    assert "whisky" in field["allowed"]


def test_an_unknown_field_is_refused_and_the_known_ones_are_said(cast: Cast) -> None:
    said = refused(cast, "holds", cast.at_barrel(water_l=2, colour="red"))
    field = only_field(said)

    assert (said["status"], said["code"]) == (400, "malformed")
    assert (field["field"], field["value"]) == ("colour", "red")
    assert "water_l" in field["allowed"]


def test_a_missing_field_is_said(cast: Cast) -> None:
    said = refused(cast, "holds", cast.at_barrel())

    assert (said["status"], only_field(said)["field"]) == (400, "water_l")


@pytest.mark.parametrize(
    ("value", "status"),
    [
        ("2026-03-01T12:00:00", 400),
        ("2026-03-01", 400),
        ("yesterday", 400),
        ("2026-02-30T12:00:00Z", 422),
        ("0001-01-01T00:00:00Z", 422),
        (1772366400, 400),
        (None, 400),
    ],
)
def test_a_time_without_its_offset_is_refused(cast: Cast, value: Any, status: int) -> None:
    said = refused(cast, "holds", cast.at_barrel(water_l=2) | {"happened_at": value})

    assert said["status"] == status
    assert only_field(said)["field"] == "happened_at"


def test_a_clock_header_that_is_no_time_is_refused(cast: Cast) -> None:
    path = cast.url("holds", uuid7())
    said = problem(cast["keeper"].put(path, cast.at_barrel(water_l=2), headers={"Sent-At": "noon"}))

    assert (said["status"], only_field(said)["field"]) == (400, "Sent-At")


@pytest.mark.parametrize(
    ("field", "collection", "more"),
    [
        ("barrel", "holds", {"water_l": 2}),
        ("place", "moves", {}),
        ("taster", "tastings", {}),
        ("replaces", "holds", {"water_l": 2}),
        ("act", "voids", {"reason": "not ours"}),
        ("act", "tray-decisions", {"decision": "leave"}),
        ("trouble", "trouble-settlements", {"outcome": "mended"}),
    ],
)
def test_what_belongs_to_another_club_is_unknown_here(
    cast: Cast, field: str, collection: str, more: dict[str, Any]
) -> None:
    """Rows of the club next door are named by their real keys, and are not there."""
    next_door = Cast()
    foreign = {
        "barrel": str(next_door.barrel.pk),
        "place": str(next_door.place.pk),
        "taster": next_door.id("member"),
        "replaces": next_door.done("holds", next_door.at_barrel(water_l=2)),
    }
    foreign["act"] = foreign["replaces"]
    foreign["trouble"] = next_door.done("troubles", next_door.at_barrel(kind="leak"))
    body = cast.entry() if field == "act" else cast.at_barrel()
    if collection == "tastings":
        body = cast.tasting_body(cast.fill())
    said = refused(cast, collection, {**body, **more, field: foreign[field]})
    row = only_field(said)

    assert said["status"] in (404, 422)
    assert said["code"] in ("unknown_barrel", "impossible_value")
    assert (row["field"], row["value"]) == (field, foreign[field])


def test_people_of_another_club_share_no_fill_here(cast: Cast) -> None:
    sharers = [{"person": str(cast.other.pk), "weight": 1}]
    said = refused(cast, "fills", cast.fill_body(sharers=sharers))

    assert said["status"] == 422
    assert only_field(said)["field"] == "sharers"


def test_the_same_person_shares_once(cast: Cast) -> None:
    share = {"person": cast.id("sharer"), "weight": 1}
    said = refused(cast, "fills", cast.fill_body(sharers=[share, share]))

    assert only_field(said)["field"] == "sharers"


@pytest.mark.parametrize("weight", [0, -1, 1.5, "2", 10_001])
def test_a_share_is_a_whole_positive_number(cast: Cast, weight: Any) -> None:
    said = refused(cast, "fills", cast.fill_body(sharers=[{"person": cast.id("sharer"), "weight": weight}]))

    assert said["status"] in (400, 422)
    assert only_field(said)["field"] == "sharers.0.weight"


@pytest.mark.parametrize("value", [-0.1, 10.1, "7", None, True])
def test_a_score_out_of_range_is_refused_and_never_moved_into_range(cast: Cast, value: Any) -> None:
    said = refused(cast, "tastings", cast.tasting_body(cast.fill(), liking=value))

    assert only_field(said)["field"] == "liking"


def test_a_tag_with_a_wrong_check_character_is_refused_before_any_look_up(cast: Cast) -> None:
    """ISO/IEC 7064 MOD 37,36 notices every single wrong character (the standard, clause on its error detection)."""
    code = cast.barrel.tag_code
    found = cast["member"].get(cast.url("tags", code.lower())).json()
    assert found == {"barrel": str(cast.barrel.pk), "reissued_at": None}
    wrong = ("3" if code[0] == "2" else "2") + code[1:]
    said = problem(cast["member"].get(cast.url("tags", wrong)))

    assert (said["status"], said["code"]) == (422, "impossible_value")
    field = only_field(said)
    assert (field["field"], field["value"]) == ("tag_code", wrong)


def test_a_tag_that_no_barrel_carries_is_not_found(cast: Cast) -> None:
    foreign: Barrel = BarrelFactory()

    assert cast["member"].get(cast.url("tags", foreign.tag_code)).status_code == 404


def test_a_reservation_that_ends_before_it_starts_is_refused(cast: Cast) -> None:
    today = datetime.now(UTC).date()
    body = cast.at_barrel(
        starts_on=(today + timedelta(days=20)).isoformat(),
        ends_on=(today + timedelta(days=10)).isoformat(),
        fill_name="rum, plain",
        spirit="rum",
        family="spirit",
        volume_l=4.6,
    )
    said = refused(cast, "reservations", body, by="member")

    assert said["status"] == 422
    assert {row["field"] for row in said["fields"]} <= {"starts_on", "ends_on"}
    assert said["fields"]


@pytest.mark.parametrize(
    ("field", "value", "status"),
    [
        ("nominal_l", 0.1, 422),
        ("nominal_l", "30 kg", 422),
        ("head_diameter_cm", 400, 422),
        ("weighed_capacity_l", 60, 422),
        ("adopted_wood_used_high", -1, 422),
        ("tag_code", "ABCDEF", 422),
        ("profile", "square", 422),
        ("name", "", 400),
        ("name", "x" * 61, 400),
        ("bought_on", "2026-13-01", 400),
    ],
)
def test_a_barrel_that_cannot_be_is_not_registered(cast: Cast, field: str, value: Any, status: int) -> None:
    body = cast.entry(name="Fetch", place=str(cast.place.pk), nominal_l=10) | {field: value}
    said = refused(cast, "barrels", body)

    assert said["status"] == status
    assert only_field(said)["field"] == field


def test_measures_that_contradict_the_size_are_refused(cast: Cast) -> None:
    body = cast.entry(
        name="Fetch",
        place=str(cast.place.pk),
        nominal_l=10,
        bilge_diameter_cm=60,
        head_diameter_cm=50,
        length_cm=80,
    )

    assert refused(cast, "barrels", body)["status"] == 422


def test_a_name_that_is_taken_is_refused(cast: Cast) -> None:
    body = cast.entry(name=cast.barrel.name, place=str(cast.place.pk), nominal_l=10)
    said = refused(cast, "barrels", body)

    assert (said["status"], said["code"]) == (409, "taken")
    assert (only_field(said)["field"], only_field(said)["value"]) == ("name", "Neap")


# --- possible, but odd ---------------------------------------------------------------------------------------


def accepted(cast: Cast, collection: str, body: dict[str, Any], by: str = "keeper") -> dict[str, Any]:
    answer = cast[by].put(cast.url(collection, uuid7()), body)
    assert answer.status_code == 201, answer.content
    said: dict[str, Any] = answer.json()
    return said


def test_a_taste_dated_in_the_future_is_kept_with_a_flag(cast: Cast) -> None:
    said = accepted(cast, "tastings", cast.tasting_body(cast.fill(), days_ago=-2), by="sharer")

    assert (said["placement"], said["flags"]) == ("placed", ["future"])


def test_a_little_over_the_capacity_is_kept_with_a_flag(cast: Cast) -> None:
    said = accepted(cast, "holds", cast.at_barrel(water_l=5.3))

    assert (said["placement"], said["flags"]) == ("placed", ["over_capacity"])


def test_a_fill_of_a_barrel_retired_meanwhile_is_set_aside(cast: Cast) -> None:
    cast.done("retirements", cast.at_barrel(days_ago=30, reason="worn staves"))
    said = accepted(cast, "fills", cast.fill_body(days_ago=20))

    assert (said["placement"], said["set_aside_reason"]) == ("set_aside", "retired")


def test_a_taste_from_before_its_fill_is_set_aside(cast: Cast) -> None:
    said = accepted(cast, "tastings", cast.tasting_body(cast.fill(), days_ago=40), by="sharer")

    assert (said["placement"], said["set_aside_reason"]) == ("set_aside", "before_fill")


def test_a_wrong_clock_is_noticed_and_the_time_as_sent_is_kept(cast: Cast) -> None:
    body = cast.tasting_body(cast.fill())
    answer = cast["sharer"].put(cast.url("tastings", uuid7()), body, headers={"Sent-At": ago(hours=-3)})

    assert answer.status_code == 201
    assert "clock" in answer.json()["flags"]
    assert datetime.fromisoformat(answer.json()["row"]["happened_at"]) == pytest.approx(
        datetime.fromisoformat(body["happened_at"]), abs=timedelta(seconds=1)
    )


def test_an_old_tag_leads_to_its_barrel_and_says_since_when_it_is_old(cast: Cast) -> None:
    old = cast.barrel.tag_code
    cast.done("tag-issues", cast.at_barrel())
    found = cast["member"].get(cast.url("tags", old)).json()
    assert found["barrel"] == str(cast.barrel.pk)
    assert found["reissued_at"] is not None


@pytest.mark.parametrize(
    ("collection", "body", "field"),
    [
        ("curings", {"water_l": 4, "inspected": ["paint"]}, "inspected"),
        ("curings", {"water_l": 4, "rinses": -1}, "rinses"),
        ("tendings", {"tasks": ["leak_check"], "joints": [{"part": "roof", "state": "dry"}]}, "joints"),
        (
            "tendings",
            {"tasks": ["leak_check"], "joints": [{"part": "stave", "clock": 13, "state": "dry"}]},
            "joints",
        ),
        ("tendings", {"tasks": ["top_up"], "volume_l": 0.1, "reading_u_ml": 0}, "reading_u_ml"),
        ("tendings", {"tasks": ["water_change"], "smell": "nice"}, "smell"),
        ("holds", {"water_l": 5, "is_solution": True, "citric_acid_g": -1}, "citric_acid_g"),
        ("repairs", {"kind": "paint"}, "kind"),
        ("loans", {"borrower": ""}, "borrower"),
        ("retirements", {"reason": "worn", "why": "boredom"}, "why"),
        ("readings", {"kind": "so2_strip"}, "so2_mg_l"),
        ("readings", {"kind": "so2_strip", "so2_mg_l": -3}, "so2_mg_l"),
        ("tag-issues", {"tag_code": "ABCDE0"}, "tag_code"),
    ],
)
def test_what_water_and_wood_cannot_be_is_refused(
    cast: Cast, collection: str, body: dict[str, Any], field: str
) -> None:
    answer = cast["keeper"].put(cast.url(collection, uuid7()), cast.at_barrel(**body))
    assert answer.status_code in (400, 422)
    assert problem(answer)["fields"][0]["field"].startswith(field)


@pytest.mark.parametrize(
    ("more", "field"),
    [
        ({"profile": {"fruit": 11}}, "profile.fruit"),
        ({"profile": {"fruit": "much"}}, "profile.fruit"),
        ({"profile": {"colour": 5}}, "profile.colour"),
        ({"strength_served_abv_pct": 101}, "strength_served_abv_pct"),
        ({"position": 0}, "position"),
        ({"is_spat": "yes"}, "is_spat"),
    ],
)
def test_a_profile_that_cannot_be_is_refused(cast: Cast, more: dict[str, Any], field: str) -> None:
    said = refused(cast, "tastings", {**cast.tasting_body(cast.fill()), **more})

    assert only_field(said)["field"] == field


def test_a_full_profile_is_kept_as_it_was_sent(cast: Cast) -> None:
    more = {
        "profile": {"vanilla_spice": 6.5, "drying": 0},
        "strength_served_abv_pct": "20 %",
        "is_spat": True,
        "position": 5,
    }

    said = accepted(cast, "tastings", {**cast.tasting_body(cast.fill()), **more}, by="sharer")

    assert {name: said["row"]["body"][name] for name in more} == more


def test_a_reading_far_off_is_kept_and_flagged(cast: Cast) -> None:
    cast.fill(days_ago=20)
    stays = Stay.objects.filter(barrel=cast.barrel, ended_at__isnull=True)
    forecast_refresh(stay_ids=list(stays.values_list("id", flat=True)), now=datetime.now(UTC))

    said = accepted(cast, "readings", cast.at_barrel(kind="dip", volume_l=1.0))

    assert (said["placement"], said["flags"]) == ("placed", ["outlier"])
