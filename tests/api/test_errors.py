"""Whatever goes wrong, the answer is one body with a stable code."""

from __future__ import annotations

import base64
import json
from typing import Any
from urllib.parse import quote, urlencode

import pytest
from django.test import Client
from rest_framework.test import APIRequestFactory

from staveward.api.errors import problem_handler
from staveward.science.errors import OutOfRange
from tests.api.cast import Cast, problem, uuid7

pytestmark = pytest.mark.django_db


def test_it_answers_401_to_whoever_is_not_signed_in(cast: Cast) -> None:
    answer = cast["nobody"].get(cast.url("barrels"))

    assert (answer.status_code, problem(answer)["code"]) == (401, "signed_out")
    assert answer["WWW-Authenticate"].startswith("Session")


def test_it_answers_404_to_a_stranger_as_if_there_were_no_club(cast: Cast) -> None:
    real = problem(cast["stranger"].get(cast.url()))
    made_up = problem(cast["stranger"].get("/api/v1/clubs/no-such-club"))

    assert real == made_up
    assert real["status"] == 404


def test_it_answers_404_to_an_unknown_address(cast: Cast) -> None:
    for path in (
        "/api/v1/nothing",
        "/api/nothing",
        cast.url("nothing"),
        cast.url("barrels", uuid7(), "nothing"),
    ):
        answer = cast["keeper"].get(path)
        assert (answer.status_code, problem(answer)["code"]) == (404, "not_found")


def test_it_answers_405_to_a_method_the_address_does_not_know(cast: Cast) -> None:
    for method in ("POST", "DELETE", "OPTIONS"):
        answer = cast["keeper"].call(method, cast.url("barrels"))
        assert (answer.status_code, problem(answer)["code"]) == (405, "method_not_allowed")


def test_it_refuses_a_write_without_the_page_token(cast: Cast) -> None:
    path = cast.url("tendings", uuid7())
    answer = cast["keeper"].call("PUT", path, {}, headers={"X-CSRFToken": "stale"})

    assert (answer.status_code, problem(answer)["code"]) == (403, "csrf_failed")


def test_the_sign_in_page_says_the_same_of_a_stale_token(db: None) -> None:
    client = Client(enforce_csrf_checks=True)
    answer = client.post(
        "/_allauth/browser/v1/auth/login", {"email": "a@b.test"}, content_type="application/json"
    )

    assert (answer.status_code, problem(answer)["code"]) == (403, "csrf_failed")


def test_it_answers_415_to_a_body_that_is_no_json(cast: Cast) -> None:
    caller = cast["keeper"]
    token = caller.client.cookies["csrftoken"].value
    answer = caller.client.generic(
        "PUT",
        cast.url("tendings", uuid7()),
        "a=1",
        "application/x-www-form-urlencoded",
        headers={"X-CSRFToken": token},
    )

    assert (answer.status_code, problem(answer)["code"]) == (415, "unsupported_media_type")


@pytest.mark.parametrize(
    "raw",
    [
        b"{",
        b"",
        b"[]",
        b'"text"',
        b"null",
        b'{"liking": NaN}',
        b'{"liking": 1e999}',
        b'{"liking": 123456789012345678901234567890}',
        b'{"a": 1, "a": 2}',
        b'{"note": "\\ud800"}',
        b"\xff\xfe",
        b"[" * 100_000,
        b'{"a":' * 50_000 + b"1" + b"}" * 50_000,
    ],
    ids=lambda raw: repr(raw[:24]),
)
def test_it_answers_400_to_what_is_no_json_object(cast: Cast, raw: bytes) -> None:
    answer = cast["keeper"].call("PUT", cast.url("tendings", uuid7()), raw=raw)

    assert (answer.status_code, problem(answer)["code"]) == (400, "malformed")


def test_it_answers_413_to_ten_megabytes(cast: Cast) -> None:
    body = {"note": "x" * 10_000_000}
    answer = cast["keeper"].put(cast.url("tendings", uuid7()), body)

    assert (answer.status_code, problem(answer)["code"]) == (413, "body_too_large")


@pytest.mark.parametrize(
    "bad_id",
    ["0", "not-an-id", "6ba7b810-9dad-11d1-80b4-00c04fd430c8", "9b2f3f0e-7d5c-4e0a-9a66-3a0f5b3c7d11"],
)
def test_a_new_entry_needs_an_id_of_version_7(cast: Cast, bad_id: str) -> None:
    answer = cast["keeper"].put(cast.url("tendings", bad_id), cast.at_barrel(tasks=["roll"]))
    said = problem(answer)

    assert (answer.status_code, said["code"]) == (400, "malformed")
    assert said["fields"] == [
        {
            "field": "id",
            "value": bad_id,
            "allowed": "a UUID version 7",
            "detail": "The id in the address must be a UUID version 7.",
        }
    ]
    assert cast["keeper"].get(cast.url("tendings", bad_id)).status_code == 404


def test_an_error_of_the_science_names_argument_value_and_bound() -> None:
    view: dict[str, Any] = {"request": APIRequestFactory().get("/")}
    answer = problem_handler(OutOfRange("temp_c", 90.0, "-20 to 40 degrees Celsius"), view)

    assert answer is not None
    assert (answer.status_code, answer.data["code"]) == (422, "impossible_value")
    field = answer.data["fields"][0]
    assert (field["field"], field["value"], field["allowed"]) == ("temp_c", 90.0, "-20 to 40 degrees Celsius")


def test_an_unforeseen_error_is_a_plain_500_without_its_inside(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*args: object, **options: object) -> None:
        raise RuntimeError("the inside")

    monkeypatch.setattr("staveward.api.views.clubs.club_row", broken)
    caller = cast["keeper"]
    caller.client.raise_request_exception = False
    answer = caller.get(cast.url())

    assert (answer.status_code, problem(answer)["code"]) == (500, "server_error")
    assert b"the inside" not in answer.content


def cursor_at(position: str) -> str:
    """Returns a list's cursor as somebody could make one by hand."""
    return quote(base64.b64encode(urlencode({"p": position}).encode()).decode())


@pytest.mark.parametrize(
    "query",
    [
        "cursor=nonsense",
        f"cursor={cursor_at('a' + chr(0))}",
        "limit=0",
        "limit=201",
        "limit=0000000201",
        f"limit=000001{'9' * 5000}",
        "limit=x",
        "state=full",
        "place=1",
    ],
)
def test_a_list_refuses_a_query_it_cannot_read(cast: Cast, query: str) -> None:
    said = problem(cast["keeper"].get(f"{cast.url('barrels')}?{query}"))

    assert (said["status"], said["code"]) == (400, "malformed")
    assert said["fields"][0]["field"] == query.split("=")[0]
    assert said["fields"][0]["allowed"]


@pytest.mark.parametrize("position", ["yesterday", "2026-13-45", "\x00"])
def test_a_cursor_that_names_no_day_is_refused(cast: Cast, position: str) -> None:
    for rows in (cast.url("reservations"), cast.url("barrels", cast.barrel.pk, "log")):
        said = problem(cast["keeper"].get(f"{rows}?cursor={cursor_at(position)}"))

        assert (said["status"], said["code"]) == (400, "malformed")
        assert said["fields"][0]["field"] == "cursor"


@pytest.mark.parametrize("query", ["after=nonsense", "limit=0", "limit=100000", f"limit=000001{'9' * 5000}"])
def test_the_changes_feed_refuses_a_query_it_cannot_read(cast: Cast, query: str) -> None:
    said = problem(cast["keeper"].get(f"{cast.url('changes')}?{query}"))

    assert (said["status"], said["code"]) == (400, "malformed")


def test_a_cursor_from_before_a_restore_asks_for_everything_anew(cast: Cast) -> None:
    cursor = cast["keeper"].get(cast.url("changes")).json()["cursor"]
    old = ".".join(["0" * 32, *cursor.split(".")[1:]])
    said = problem(cast["keeper"].get(f"{cast.url('changes')}?after={old}"))

    assert (said["status"], said["code"]) == (410, "resync")


def test_no_answer_may_be_kept_by_a_shared_cache(cast: Cast) -> None:
    answer = cast["keeper"].get(cast.url("barrels"))

    assert "private" in answer["Cache-Control"]
    assert json.loads(answer.content)["results"]
