"""The whole sign-in over HTTP, as the web app does it: token, password, session, sign-out, limits, invitation."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.core import mail
from django.core.cache import cache
from django.http import HttpResponse
from django.test import Client

from staveward.models import Person, User
from tests.api.cast import Caller, Cast, problem, uuid7
from tests.factories import PASSWORD

pytestmark = pytest.mark.django_db

LOGIN = "/_allauth/browser/v1/auth/login"
SESSION = "/_allauth/browser/v1/auth/session"
RESET = "/_allauth/browser/v1/auth/password/reset"


@pytest.fixture(autouse=True)
def no_attempts_yet() -> None:
    cache.clear()


def sign_in(caller: Caller, email: str, password: str) -> HttpResponse:
    return caller.call("POST", LOGIN, {"email": email, "password": password})


def test_from_the_first_page_to_the_last(cast: Cast) -> None:
    person = cast.people["keeper"]
    caller = Caller(None)
    signed_out = caller.get("/api/v1/me")
    assert signed_out.status_code == 401
    assert "csrftoken" in caller.client.cookies

    answer = sign_in(caller, person.user.email.upper(), PASSWORD)
    assert answer.status_code == 200
    assert answer.json()["meta"]["is_authenticated"] is True

    assert caller.get("/api/v1/me").json() == {
        "user": {"id": str(person.user.pk), "email": person.user.email},
        "persons": [
            {
                "id": str(person.pk),
                "name": "Keeper",
                "role": "keeper",
                "club": {"id": str(cast.club.pk), "slug": cast.club.slug, "name": cast.club.name},
            }
        ],
    }
    assert caller.get(SESSION).status_code == 200
    # The token was renewed at sign-in; a write with the new one goes through.
    done = caller.put(cast.url("tendings", uuid7()), cast.at_barrel(tasks=["roll"]))
    assert done.status_code == 201

    # The library answers 401 when signing out has worked: nobody is signed in any more.
    assert caller.call("DELETE", SESSION).status_code == 401
    assert caller.get("/api/v1/me").status_code == 401
    assert caller.get(cast.url("barrels")).status_code == 401


def test_cookies_are_kept_from_scripts_and_other_sites_except_the_token(cast: Cast) -> None:
    caller = Caller(None)
    answer = sign_in(caller, cast.people["member"].user.email, PASSWORD)

    session, token = answer.cookies["sessionid"], caller.client.cookies["csrftoken"]
    assert session["httponly"]
    assert session["samesite"] == "Lax"
    assert not token["httponly"]


@pytest.mark.parametrize(("email", "password"), [("", PASSWORD), ("nobody@example.test", PASSWORD)])
def test_a_wrong_password_and_an_unknown_address_look_alike(cast: Cast, email: str, password: str) -> None:
    known = sign_in(Caller(None), cast.people["member"].user.email, "not the password")
    other = sign_in(Caller(None), email or cast.people["keeper"].user.email, password + "!")

    assert known.status_code == other.status_code == 400
    assert known.json() == other.json()


def test_attempts_are_limited(cast: Cast) -> None:
    """Five wrong passwords for one address in five minutes, then nobody gets in with it, not even the right one."""
    email = cast.people["member"].user.email
    caller = Caller(None)
    wrong = [sign_in(caller, email, f"guess {number}").status_code for number in range(5)]
    assert wrong == [400] * 5

    refused = sign_in(caller, email, PASSWORD)

    assert refused.status_code in (400, 429)
    assert caller.get("/api/v1/me").status_code == 401
    # Somebody else signs in as ever.
    assert sign_in(Caller(None), cast.people["keeper"].user.email, PASSWORD).status_code == 200


def test_nobody_signs_up_from_outside(db: None) -> None:
    caller = Caller(None)
    answer = caller.call(
        "POST", "/_allauth/browser/v1/auth/signup", {"email": "new@example.test", "password": PASSWORD}
    )

    assert answer.status_code == 403
    assert not User.objects.filter(email="new@example.test").exists()


def invited(cast: Cast, **changes: Any) -> dict[str, Any]:
    body = cast.entry(name="New Hand", role="member", email="New.Hand@example.test") | changes
    answer = cast["admin"].put(cast.url("people", uuid7()), body)
    assert answer.status_code == 201, answer.content
    person: dict[str, Any] = answer.json()
    return person


def test_a_new_person_sets_a_password_by_mail_and_signs_in(cast: Cast) -> None:
    person = invited(cast)
    assert person["email"] == "new.hand@example.test"
    assert [message.to for message in mail.outbox] == [["new.hand@example.test"]]
    found = re.search(r"/account/password/reset/(\S+)", str(mail.outbox[0].body))
    assert found is not None

    caller = Caller(None)
    key, password = found[1], "bilge water and brass"
    assert caller.client.get(RESET, headers={"X-Password-Reset-Key": key}).status_code == 200
    reset = caller.call("POST", RESET, {"key": key, "password": password})
    assert reset.status_code in (200, 401)
    assert sign_in(Caller(None), "new.hand@example.test", password).status_code == 200
    # The link works once.
    assert caller.call("POST", RESET, {"key": key, "password": "another password 9"}).status_code == 400


def test_a_person_without_an_address_gets_no_mail(cast: Cast) -> None:
    person = invited(cast, email=None)

    assert person["email"] is None
    assert mail.outbox == []


def test_an_account_of_another_club_joins_without_a_new_password(cast: Cast) -> None:
    invited(cast, email=cast.other.user.email)

    assert mail.outbox == []
    clubs = [person["club"]["slug"] for person in cast["other_keeper"].get("/api/v1/me").json()["persons"]]
    assert cast.club.slug in clubs
    assert len(clubs) == 2


def test_an_address_stands_for_one_person_of_a_club(cast: Cast) -> None:
    body = cast.entry(name="Twin", role="member", email=cast.people["member"].user.email)
    answer = cast["admin"].put(cast.url("people", uuid7()), body)

    assert (answer.status_code, problem(answer)["code"]) == (409, "taken")
    assert problem(answer)["fields"][0]["field"] == "email"


def test_a_mail_server_that_fails_does_not_undo_the_person(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    def unreachable(*args: object, **options: object) -> None:
        raise OSError("no route to the mail server")

    monkeypatch.setattr("django.core.mail.backends.locmem.EmailBackend.send_messages", unreachable)
    person = invited(cast)

    assert Person.objects.filter(pk=person["id"]).exists()


def test_whoever_leaves_is_a_stranger_at_once(cast: Cast) -> None:
    member, admin = cast["member"], cast["admin"]
    path = cast.url("people", cast.id("member"))
    assert member.get(cast.url("barrels")).status_code == 200

    left = admin.patch(path, {"has_left": True, "keep_name": False})

    assert left.status_code == 200
    assert left.json()["left_at"] is not None
    assert left.json()["name"] == "former member"
    assert member.get(cast.url("barrels")).status_code in (401, 404)
    # No club is left, so the session itself is over and the account cannot sign in.
    assert member.get("/api/v1/me").status_code == 401
    again = Caller(None)
    assert sign_in(again, cast.people["member"].user.email, PASSWORD).status_code == 401
    assert again.get("/api/v1/me").status_code == 401

    back = admin.patch(path, {"has_left": False}, version=2)

    assert back.json()["left_at"] is None
    assert sign_in(Caller(None), cast.people["member"].user.email, PASSWORD).status_code == 200


def test_whoever_leaves_one_of_two_clubs_stays_signed_in(cast: Cast) -> None:
    person = invited(cast, email=cast.other.user.email)
    cast["admin"].patch(cast.url("people", person["id"]), {"has_left": True})

    assert len(cast["other_keeper"].get("/api/v1/me").json()["persons"]) == 1
    assert cast["other_keeper"].get(cast.url("barrels")).status_code == 404


@pytest.mark.parametrize("change", [{"has_left": True}, {"role": "keeper"}])
def test_the_last_admin_stays(cast: Cast, change: dict[str, Any]) -> None:
    path = cast.url("people", cast.id("admin"))
    answer = cast["admin"].patch(path, change)

    assert (answer.status_code, problem(answer)["code"]) == (409, "last_admin")
    person = Person.objects.get(pk=cast.id("admin"))
    assert (person.role, person.left_at, person.version) == ("admin", None, 1)


def test_the_health_page_asks_nobody_who_they_are(db: None) -> None:
    answer = Client().get("/api/v1/health")

    assert (answer.status_code, answer.json()) == (200, {"status": "ok"})
