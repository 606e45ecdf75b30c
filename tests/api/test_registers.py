"""Registers are edited against the version that was seen, and every edit is in the ledger and in the feed."""

from __future__ import annotations

import math
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from staveward.models import Act, Barrel, Club, Job
from tests.api.cast import Cast, problem, uuid7
from tests.factories import BarrelFactory, PlaceFactory

pytestmark = pytest.mark.django_db


def registered(cast: Cast, **changes: Any) -> dict[str, Any]:
    body = cast.entry(name="Fetch", place=str(cast.place.pk), nominal_l="10 L") | changes
    answer = cast["keeper"].put(cast.url("barrels", uuid7()), body)
    assert answer.status_code == 201, answer.content
    row: dict[str, Any] = answer.json()
    return row


class TestBarrels:
    def test_a_new_barrel_is_new_and_has_a_tag_of_its_own(self, cast: Cast) -> None:
        row = registered(
            cast, bilge_diameter_cm="9.5 in", head_diameter_cm=21, length_cm=29, wood="oak", note="gift"
        )

        assert (row["state"], row["version"], row["capacity_basis"]) == ("new", 1, "taped")
        assert row["shape"]["bilge_diameter_cm"] == pytest.approx(24.13)
        found = cast["member"].get(cast.url("tags", row["tag_code"]))
        assert found.json() == {"barrel": row["id"], "reissued_at": None}
        act = Act.objects.get(pk=row["id"])
        assert (act.collection, str(act.barrel_id)) == ("barrels", row["id"])
        assert Barrel.objects.get(pk=row["id"]).note == "gift"

    def test_a_printed_tag_can_be_given(self, cast: Cast) -> None:
        spare = BarrelFactory.build(club=cast.club).tag_code
        assert registered(cast, tag_code=spare.lower())["tag_code"] == spare
        again = cast["keeper"].put(
            cast.url("barrels", uuid7()),
            cast.entry(name="Ebb", place=str(cast.place.pk), nominal_l=10, tag_code=spare),
        )
        assert (again.status_code, problem(again)["code"]) == (409, "taken")

    def test_an_edit_says_which_version_it_saw(self, cast: Cast) -> None:
        path = cast.url("barrels", cast.barrel.pk)
        seen = cast["keeper"].get(path)
        assert seen["ETag"] == '"1"'

        edited = cast["keeper"].patch(path, {"name": "Slack Water", "weighed_capacity_l": 5.12})

        assert (edited.status_code, edited["ETag"]) == (200, '"2"')
        assert (edited.json()["name"], edited.json()["capacity_l"]) == ("Slack Water", 5.12)
        assert edited.json()["capacity_basis"] == "weighed"
        late = cast["admin"].patch(path, {"name": "Squall"})
        said = problem(late)
        assert (late.status_code, said["code"]) == (409, "version_changed")
        assert (said["fields"][0]["value"], said["fields"][0]["allowed"]) == (1, "2")
        assert Barrel.objects.get(pk=cast.barrel.pk).name == "Slack Water"
        assert Act.objects.filter(collection="barrel-edits", barrel=cast.barrel).count() == 1

    def test_an_edit_without_a_version_is_refused(self, cast: Cast) -> None:
        answer = cast["keeper"].patch(cast.url("barrels", cast.barrel.pk), {"name": "Squall"}, version=None)

        assert (answer.status_code, problem(answer)["code"]) == (428, "version_required")
        garbled = cast["keeper"].call(
            "PATCH", cast.url("barrels", cast.barrel.pk), {"name": "Squall"}, headers={"If-Match": "*"}
        )
        assert (garbled.status_code, problem(garbled)["code"]) == (400, "malformed")

    def test_a_name_next_door_is_free_and_one_at_home_is_not(self, cast: Cast) -> None:
        BarrelFactory(name="Lee Shore")
        BarrelFactory(club=cast.club, place=cast.place, name="Ebb")
        path = cast.url("barrels", cast.barrel.pk)

        assert problem(cast["keeper"].patch(path, {"name": "Ebb"}))["code"] == "taken"
        assert cast["keeper"].patch(path, {"name": "Lee Shore"}).status_code == 200

    def test_a_new_size_is_computed_with_from_then_on(self, cast: Cast) -> None:
        fill = cast.fill()
        Job.objects.all().delete()
        cast["keeper"].patch(cast.url("barrels", cast.barrel.pk), {"weighed_capacity_l": 5.5})

        assert Job.objects.filter(name="forecast", key=fill).exists()

    def test_the_feed_tells_of_it(self, cast: Cast) -> None:
        cursor = cast["member"].get(cast.url("changes")).json()["cursor"]
        row = registered(cast)
        cast["keeper"].patch(cast.url("barrels", row["id"]), {"note": "by the door"})
        feed = cast["member"].get(f"{cast.url('changes')}?after={cursor}").json()

        assert ("barrels", row["id"]) in {(line["collection"], line["id"]) for line in feed["rows"]}

    def test_an_adopted_barrel_brings_its_past_as_a_range(self, cast: Cast) -> None:
        row = registered(
            cast,
            adopted=True,
            adopted_wood_used_low=0.2,
            adopted_wood_used_high=0.7,
            adopted_families=["wine"],
            adopted_allergens=["sulphites"],
        )

        assert (row["wood_used"]["low"], row["wood_used"]["high"]) == (0.2, 0.7)
        assert row["allergens"] == ["sulphites"]

    def test_the_register_says_what_was_entered_and_the_shape_what_is_assumed(self, cast: Cast) -> None:
        row = registered(cast, head_mm=14, note="short and stout", adopted_allergens=["nuts"])

        register = row["register"]
        assert (register["head_mm"], register["note"], register["adopted_allergens"]) == (
            14.0,
            "short and stout",
            ["nuts"],
        )
        assert (register["bilge_diameter_cm"], register["stave_mm"]) == (None, None)
        assert row["shape"]["bilge_diameter_cm"] > 0

    def test_measures_are_edited_and_taken_back(self, cast: Cast) -> None:
        path = cast.url("barrels", registered(cast)["id"])
        taped = {"bilge_diameter_cm": 24, "head_diameter_cm": 20, "length_cm": 29, "bung_tight": True}

        row = cast["keeper"].patch(path, taped).json()

        assert (row["capacity_basis"], row["bung_tight"]) == ("taped", True)
        # Parabolic stave, pi L (8D^2 + 4Dd + 3d^2)/60: the "second variety" of the old gauging books.
        assert row["capacity_l"] == pytest.approx(11.734, abs=0.001)
        assert {key: row["register"][key] for key in taped if key != "bung_tight"} == {
            key: value for key, value in taped.items() if key != "bung_tight"
        }
        back = cast["keeper"].patch(path, {"length_cm": None}, version=2).json()
        assert (back["capacity_basis"], back["register"]["length_cm"]) == ("nominal", None)

    def test_measured_outside_it_says_what_is_assumed_of_the_heads(self, cast: Cast) -> None:
        """A straight one is a cylinder, so pi/4 D^2 L: of 24 and 30 cm outside less its wood. Closed form."""
        path = cast.url("barrels", registered(cast, nominal_l=9)["id"])
        outside = {
            "profile": "cylinder",
            "outside_bilge_diameter_cm": 24,
            "outside_head_diameter_cm": 24,
            "outside_length_cm": 30,
            "stave_mm": 15,
        }

        def holds(version: int, **heads: float | None) -> tuple[str, dict[str, float], float]:
            answer = cast["keeper"].patch(path, {**outside, **heads}, version=version)
            assert answer.status_code == 200, answer.content
            row = answer.json()
            # Inside 21 cm wide; what is left of 30 cm is the length.
            length_cm = row["capacity_l"] * 1000 / (math.pi / 4 * 21**2)
            return row["capacity_basis"], row["shape"]["assumed_mm"], (300 - 10 * length_cm) / 2

        # Usual heads of a small barrel: 14 mm thick, 12 mm below the ends of the staves (common practice, no source).
        assert holds(1) == ("taped", {"head_mm": 14.0, "chime_mm": 12.0}, pytest.approx(26, abs=0.02))
        assert holds(2, head_mm=18) == ("taped", {"chime_mm": 12.0}, pytest.approx(30, abs=0.02))
        assert holds(3, chime_mm=20) == ("taped", {}, pytest.approx(38, abs=0.02))
        assert holds(4, chime_mm=0) == ("taped", {}, pytest.approx(18, abs=0.02)), "flush is a measure too"
        assert holds(5, head_mm=None, chime_mm=None)[1] == {"head_mm": 14.0, "chime_mm": 12.0}
        weighed = cast["keeper"].patch(path, {"weighed_capacity_l": 9.1}, version=6).json()
        assert (weighed["capacity_basis"], weighed["shape"]["assumed_mm"]) == (
            "weighed",
            {"head_mm": 14.0, "chime_mm": 12.0},
        ), "its dip marks rest on them still"
        inside = {"bilge_diameter_cm": 21, "head_diameter_cm": 21, "length_cm": 25}
        assert cast["keeper"].patch(path, inside, version=7).json()["shape"]["assumed_mm"] == {}

    def test_heads_deeper_than_the_barrel_is_long_are_refused(self, cast: Cast) -> None:
        row = registered(cast, nominal_l=9)
        outside = {"outside_bilge_diameter_cm": 24, "outside_head_diameter_cm": 20, "outside_length_cm": 30}
        answer = cast["keeper"].patch(
            cast.url("barrels", row["id"]), {**outside, "stave_mm": 15, "head_mm": 14, "chime_mm": 150}
        )
        assert (answer.status_code, problem(answer)["code"]) == (422, "impossible_value")

    @pytest.mark.parametrize(
        ("change", "field"),
        [
            ({"bilge_diameter_cm": 0}, "bilge_diameter_cm"),
            ({"bilge_diameter_cm": 150.1}, "bilge_diameter_cm"),
            ({"head_diameter_cm": 24.5, "bilge_diameter_cm": 24}, "head_diameter_cm"),
            ({"length_cm": 201}, "length_cm"),
            ({"stave_mm": 4.9}, "stave_mm"),
            ({"head_mm": 61}, "head_mm"),
            ({"chime_mm": -1}, "chime_mm"),
            ({"name": ""}, "name"),
            ({"bung_tight": "yes"}, "bung_tight"),
            ({"adopted_allergens": ["dust"]}, "adopted_allergens"),
            ({"bilge_diameter_cm": 60, "head_diameter_cm": 50, "length_cm": 80}, "bilge_diameter_cm"),
            # A head wider than the middle that stands in the register already.
            ({"head_diameter_cm": 60}, "head_diameter_cm"),
        ],
        ids=str,
    )
    def test_a_measure_that_cannot_be_is_refused_at_its_field(
        self, cast: Cast, change: dict[str, Any], field: str
    ) -> None:
        row = registered(cast, bilge_diameter_cm=24, head_diameter_cm=20, length_cm=29)

        said = problem(cast["keeper"].patch(cast.url("barrels", row["id"]), change))

        assert said["status"] in (400, 422)
        assert said["fields"][0]["field"].split(".")[0] == field
        assert Barrel.objects.get(pk=row["id"]).version == 1

    def test_only_keepers_and_owners_of_the_club_edit_a_barrel(self, cast: Cast) -> None:
        path = cast.url("barrels", cast.barrel.pk)

        refused = cast["member"].patch(path, {"bung_tight": True})
        assert (refused.status_code, problem(refused)["code"]) == (403, "forbidden")
        elsewhere = BarrelFactory(name="Lee Shore")
        theirs = cast["keeper"].patch(cast.url("barrels", elsewhere.pk), {"bung_tight": True})
        assert theirs.status_code == 404
        assert not Barrel.objects.filter(bung_tight=True).exists()


class TestLists:
    def test_barrels_come_by_name_in_pages(self, cast: Cast) -> None:
        for name in ("Squall", "Ebb", "Fetch"):
            BarrelFactory(club=cast.club, place=cast.place, name=name)
        first = cast["member"].get(f"{cast.url('barrels')}?limit=3").json()
        rest = cast["member"].get(first["next"].removeprefix("http://testserver")).json()

        assert [row["name"] for row in first["results"]] == ["Ebb", "Fetch", "Neap"]
        assert [row["name"] for row in rest["results"]] == ["Squall"]
        assert rest["next"] is None

    def test_barrels_are_filtered_by_state_and_place(self, cast: Cast) -> None:
        loft = PlaceFactory(club=cast.club, name="Loft")
        BarrelFactory(club=cast.club, place=loft, name="Ebb")
        cast.fill()

        def names(query: str) -> list[str]:
            page = cast["member"].get(f"{cast.url('barrels')}?{query}").json()
            return [row["name"] for row in page["results"]]

        assert names("state=filled") == ["Neap"]
        assert names("state=new") == ["Ebb"]
        assert names(f"place={loft.pk}") == ["Ebb"]
        assert names(f"place={loft.pk}&state=filled") == []
        assert names(f"place={uuid7()}") == []

    def test_the_log_is_newest_first(self, cast: Cast) -> None:
        cast.fill()
        for days in (3, 2, 1):
            cast.done("tendings", cast.at_barrel(days, tasks=["roll"]))
        path = cast.url("barrels", cast.barrel.pk, "log")
        first = cast["member"].get(f"{path}?limit=3").json()
        rest = cast["member"].get(first["next"].removeprefix("http://testserver")).json()

        assert [row["collection"] for row in first["results"] + rest["results"]] == ["tendings"] * 3 + [
            "fills"
        ]

    @pytest.mark.parametrize(
        "path", ["barrels", "places", "people", "walk", "changes", "report", "reservations"]
    )
    def test_more_rows_ask_no_more_questions(self, cast: Cast, path: str) -> None:
        cast.fill()
        caller = cast["keeper"]
        caller.get(cast.url(path))
        with CaptureQueriesContext(connection) as few:
            assert caller.get(cast.url(path)).status_code == 200
        BarrelFactory.create_batch(12, club=cast.club, place=cast.place)
        PlaceFactory.create_batch(5, club=cast.club)
        with CaptureQueriesContext(connection) as many:
            assert caller.get(cast.url(path)).status_code == 200

        assert len(many) == len(few)


class TestClub:
    def test_an_admin_changes_the_settings(self, cast: Cast) -> None:
        change = {
            "care": {"age.turn": {"every_hours": 72}},
            "timezone": "Europe/Dublin",
            "strict_water": True,
        }
        answer = cast["admin"].patch(cast.url(), change)

        assert answer.status_code == 200, answer.content
        row = answer.json()
        assert (row["timezone"], row["strict_water"], row["version"]) == ("Europe/Dublin", True, 2)
        turn = next(line for line in row["care"] if line["code"] == "age.turn")
        assert (turn["every_hours"], turn["is_changed"]) == (72, True)

        back = (
            cast["admin"].patch(cast.url(), {"care": {"age.turn": {"every_hours": None}}}, version=2).json()
        )
        assert next(line for line in back["care"] if line["code"] == "age.turn")["is_changed"] is False
        assert Club.objects.get(pk=cast.club.pk).care == {}

    @pytest.mark.parametrize(
        "change",
        [
            {"timezone": "Atlantis/Port"},
            {"timezone": "localtime"},
            {"timezone": "../../etc/passwd"},
            {"currency": "pounds"},
            {"currency": "gbp"},
            {"sample_budget_pct": 51},
            {"drink_country": "ATL"},
            {"drink_country": ""},
            {"pull_by": "nobody"},
            {"name": ""},
            {"turnaround_days": 31},
            {"care": {"no.such": {}}},
            {"care": {"age.turn": {"every_hours": 0}}},
            {"care": {"age.turn": {"every_hours": 366 * 24}}},
            {"care": {"age.turn": {"every_hours": "weekly"}}},
            {"care": {"age.turn": {"first_hours": -1}}},
            {"care": {"age.turn": {"leeway_hours": -1}}},
            {"care": {"empty.max": {"every_hours": 24}}},
            {"care": {"bottle.by": {"first_hours": 1}}},
            {"care": {"cure.stop": {"first_hours": 24}}},
            {"care": {"age.turn": {"often": 3}}},
            {"law": {"age": {"answer": ""}}},
            {"slug": "other"},
            {"pencil_days": 0},
        ],
        ids=str,
    )
    def test_a_setting_that_cannot_be_is_refused(self, cast: Cast, change: dict[str, Any]) -> None:
        said = problem(cast["admin"].patch(cast.url(), change))

        assert said["status"] in (400, 422)
        assert said["fields"][0]["field"].split(".")[0] in change
        assert Club.objects.get(pk=cast.club.pk).version == 1

    def test_a_standard_drink_is_of_the_country_that_the_club_names(self, cast: Cast) -> None:
        assert (cast["member"].get(cast.url()).json()["drink_g"]) == 10.0  # WHO, AUDIT: ten grams

        row = cast["admin"].patch(cast.url(), {"drink_country": "GB"}, version=1).json()

        assert (row["drink_country"], row["drink_g"]) == ("GB", 8.0)  # one unit: 10 mL of ethanol, 8 g
        assert {"country": "US", "grams": 14.0} in row["drink_sizes"]  # NIAAA: 0.6 US fluid ounces, 14 g
        fed = [
            one
            for one in cast["member"].get(cast.url("changes")).json()["rows"]
            if one["collection"] == "club"
        ]
        assert fed[-1]["row"]["drink_g"] == 8.0

    def test_what_the_law_says_is_kept_with_who_said_so_and_when(self, cast: Cast) -> None:
        law = {
            "authority_asked": {"answer": "yes", "source": "the district's officer", "asked_on": "2026-08-14"}
        }
        assert cast["admin"].patch(cast.url(), {"law": law}, version=1).json()["law"] == law
        assert cast["member"].get(cast.url()).json()["law"] == law

    def test_who_may_see_what_makes_every_device_read_anew(self, cast: Cast) -> None:
        cursor = cast["member"].get(cast.url("changes")).json()["cursor"]
        cast["admin"].patch(cast.url(), {"members_may_taste_all": False})
        answer = cast["member"].get(f"{cast.url('changes')}?after={cursor}")

        assert (answer.status_code, problem(answer)["code"]) == (410, "resync")


class TestPeople:
    def test_what_somebody_avoids_is_theirs_and_the_keepers_to_know(self, cast: Cast) -> None:
        path = cast.url("people", cast.id("member"))
        mine = cast["member"].patch(path, {"avoid_allergens": ["nuts", "milk"]})
        assert mine.json()["avoid_allergens"] == ["nuts", "milk"]

        assert cast["keeper"].get(path).json()["avoid_allergens"] == ["nuts", "milk"]
        assert cast["sharer"].get(path).json()["avoid_allergens"] is None
        assert cast["sharer"].get(path).json()["email"] is None

    def test_nobody_makes_themselves_admin(self, cast: Cast) -> None:
        answer = cast["member"].patch(
            cast.url("people", cast.id("member")), {"role": "admin", "keep_name": True}
        )

        assert (answer.status_code, problem(answer)["code"]) == (403, "forbidden")

    def test_a_change_of_role_makes_the_device_read_anew(self, cast: Cast) -> None:
        cursor = cast["member"].get(cast.url("changes")).json()["cursor"]
        changed = cast["admin"].patch(cast.url("people", cast.id("member")), {"role": "keeper"})
        assert (changed.status_code, changed.json()["role"]) == (200, "keeper")

        assert cast["member"].get(f"{cast.url('changes')}?after={cursor}").status_code == 410
        assert cast["member"].get(cast.url("report")).status_code == 200


class TestVoids:
    def test_a_registration_is_not_taken_back_like_an_entry(self, cast: Cast) -> None:
        row = registered(cast)
        answer = cast["keeper"].put(cast.url("voids", uuid7()), cast.entry(act=row["id"], reason="slip"))

        assert answer.status_code == 422
        assert problem(answer)["fields"][0]["field"] == "act"

    def test_an_entry_taken_back_stays_in_the_log(self, cast: Cast) -> None:
        roll = cast.done("tendings", cast.at_barrel(tasks=["roll"]), by="member")
        cast.done("voids", cast.entry(act=roll, reason="the other barrel"), by="member")
        entry = cast["sharer"].get(cast.url("tendings", roll)).json()

        assert (entry["is_head"], entry["body"]["tasks"]) == (False, ["roll"])
