"""An id is one entry for ever: its author's repeat is answered alike, every other use of it is refused."""

from __future__ import annotations

import hashlib
import json

import pytest

from staveward.api.idempotency import body_sha256
from staveward.models import Act, Tasting
from tests.api.cast import Cast, problem, uuid7


def test_the_fingerprint_is_that_of_canonical_json() -> None:
    """The sample of RFC 8785 (2020), section 3.2.2, and its canonical form of section 3.2.3."""
    sample = {
        "numbers": [333333333.33333329, 1e30, 4.50, 2e-3, 0.000000000000000000000000001],
        "string": "\u20ac$\u000f\u000aA'\u0042\u0022\u005c\\\"/",
        "literals": [None, True, False],
    }
    canonical = (
        '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
        '"string":"\u20ac$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
    )

    assert body_sha256(sample) == hashlib.sha256(canonical.encode()).hexdigest()


@pytest.mark.django_db
class TestReplay:
    def test_the_same_body_again_gets_the_same_row(self, cast: Cast) -> None:
        fill, act_id = cast.fill(), uuid7()
        body = cast.tasting_body(fill)
        first = cast["sharer"].put(cast.url("tastings", act_id), body)
        again = cast["sharer"].put(cast.url("tastings", act_id), dict(reversed(body.items())))

        assert (first.status_code, again.status_code) == (201, 200)
        assert first.json() == again.json()
        assert Tasting.objects.filter(pk=act_id).count() == 1

    def test_a_repeat_is_answered_before_any_role_is_asked(self, cast: Cast) -> None:
        fill, act_id = cast.fill(), uuid7()
        body = cast.tasting_body(fill)
        assert cast["member"].put(cast.url("tastings", act_id), body).status_code == 201
        cast.club.members_may_taste_all = False
        cast.club.save(update_fields=["members_may_taste_all"])

        assert cast["member"].put(cast.url("tastings", act_id), body).status_code == 200
        assert cast["member"].put(cast.url("tastings", uuid7()), body).status_code == 403

    def test_another_body_under_the_id_is_refused(self, cast: Cast) -> None:
        fill, act_id = cast.fill(), uuid7()
        body = cast.tasting_body(fill)
        cast["sharer"].put(cast.url("tastings", act_id), body)
        answer = cast["sharer"].put(cast.url("tastings", act_id), {**body, "liking": 2.0})

        assert answer.status_code == 409
        assert problem(answer)["code"] == "id_reused"
        assert Tasting.objects.get(pk=act_id).liking == 7.5

    def test_another_address_for_the_id_is_refused(self, cast: Cast) -> None:
        fill = cast.fill()
        answer = cast["keeper"].put(cast.url("tendings", fill), cast.fill_body())

        assert answer.status_code == 409
        assert problem(answer)["code"] == "id_reused"

    def test_another_author_is_refused_and_learns_nothing(self, cast: Cast) -> None:
        fill, act_id = cast.fill(is_private=True), uuid7()
        body = cast.tasting_body(fill, note="between us two")
        cast["sharer"].put(cast.url("tastings", act_id), body)
        answer = cast["member"].put(cast.url("tastings", act_id), body)

        assert answer.status_code == 409
        assert problem(answer)["code"] == "id_reused"
        assert b"between us two" not in answer.content
        assert cast.id("sharer").encode() not in answer.content

    def test_another_club_cannot_take_the_id(self, cast: Cast) -> None:
        place_id = uuid7()
        body = cast.entry(name="Loft")
        elsewhere = f"/api/v1/clubs/{cast.other.club.slug}/places/{place_id}"
        assert cast["keeper"].put(cast.url("places", place_id), body).status_code == 201

        answer = cast["other_keeper"].put(elsewhere, body)

        assert answer.status_code == 409
        assert problem(answer)["code"] == "id_reused"

    @pytest.mark.parametrize(
        ("collection", "by", "more"),
        [
            ("places", "keeper", {"name": "Loft"}),
            ("people", "admin", {"name": "New Hand", "role": "member"}),
            ("barrels", "keeper", {"name": "Fetch", "nominal_l": 10}),
        ],
    )
    def test_a_registration_is_repeated_like_an_act(
        self, cast: Cast, collection: str, by: str, more: dict[str, object]
    ) -> None:
        row_id = uuid7()
        body = cast.entry(**more)
        if collection == "barrels":
            body["place"] = str(cast.place.pk)
        first = cast[by].put(cast.url(collection, row_id), body)
        again = cast[by].put(cast.url(collection, row_id), body)

        assert (first.status_code, again.status_code) == (201, 200)
        assert first.json()["id"] == again.json()["id"] == row_id
        assert Act.objects.filter(pk=row_id).count() == 1
        changed = cast[by].put(cast.url(collection, row_id), {**body, "name": "Other"})
        assert (changed.status_code, problem(changed)["code"]) == (409, "id_reused")

    def test_the_short_name_and_the_id_of_a_club_are_one_address(self, cast: Cast) -> None:
        fill, act_id = cast.fill(), uuid7()
        body = cast.tasting_body(fill)
        by_name = cast["sharer"].put(cast.url("tastings", act_id), body)
        by_id = cast["sharer"].put(f"/api/v1/clubs/{cast.club.pk}/tastings/{act_id.upper()}", body)

        assert (by_name.status_code, by_id.status_code) == (201, 200)

    def test_the_clock_header_is_no_part_of_the_body(self, cast: Cast) -> None:
        fill, act_id = cast.fill(), uuid7()
        body = cast.tasting_body(fill)
        path = cast.url("tastings", act_id)
        cast["sharer"].put(path, body, headers={"Sent-At": "2026-03-01T12:00:00Z"})
        again = cast["sharer"].put(path, body, headers={"Sent-At": "2026-03-01T12:00:09Z"})

        assert again.status_code == 200
        assert "clock" in json.loads(again.content)["flags"]
