"""The fixed cast of the API tests: one club at work, another one next door, and a stranger.

Everybody speaks to the API as the web app does: with a session, the page's token, and JSON.
"""

from __future__ import annotations

import base64
import hashlib
import io
import json
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

from django.http import HttpResponse
from django.test import Client
from django.utils.crypto import get_random_string
from PIL import Image

from staveward.models import Barrel, Club, Person, Place, Role, User
from tests.factories import BarrelFactory, ClubFactory, PersonFactory, PlaceFactory, UserFactory
from tests.ids import uuid7

ROLES = {
    "keeper": Role.KEEPER,
    "admin": Role.ADMIN,
    "member": Role.MEMBER,
    "sharer": Role.MEMBER,
    "other_sharer": Role.MEMBER,
    "owner": Role.MEMBER,
    "tablet": Role.TABLET,
    "sensor": Role.SENSOR,
}


def ago(**since: float) -> str:
    """Returns an instant before now, as a device writes it."""
    return (datetime.now(UTC) - timedelta(**since)).isoformat()


def content_digest(content: bytes) -> str:
    """Returns the fingerprint of a file as a request carries it (RFC 9530, section 2)."""
    return f"sha-256=:{base64.b64encode(hashlib.sha256(content).digest()).decode()}:"


def photo_file(
    width: int = 40, height: int = 30, form: str = "JPEG", colour: str = "saddlebrown", **options: Any
) -> bytes:
    """Returns a picture of one colour as a camera might send it."""
    written = io.BytesIO()
    Image.new("RGB", (width, height), colour).save(written, form, **options)
    return written.getvalue()


class Caller:
    """One signed-in browser (or one that is not)."""

    def __init__(self, user: User | None) -> None:
        self.client = Client(enforce_csrf_checks=True)
        if user is not None:
            self.client.force_login(user)
        # The token that the page would have been given with its first answer (``test_sign_in`` asks for it).
        self.client.cookies["csrftoken"] = get_random_string(32)

    def call(
        self,
        method: str,
        path: str,
        body: Any = None,
        *,
        headers: dict[str, str] | None = None,
        raw: bytes | None = None,
        content_type: str = "application/json",
    ) -> HttpResponse:
        """Sends a request with the page's token."""
        sent = {"X-CSRFToken": self.client.cookies["csrftoken"].value, **(headers or {})}
        data = raw if raw is not None else b"" if body is None else json.dumps(body).encode()
        return self.client.generic(method, path, data, content_type=content_type, headers=sent)

    def get(self, path: str) -> HttpResponse:
        return self.call("GET", path)

    def put(self, path: str, body: Any, **options: Any) -> HttpResponse:
        return self.call("PUT", path, body, **options)

    def put_photo(
        self, path: str, photo: bytes, *, content_type: str = "image/jpeg", digest: str | None = None
    ) -> HttpResponse:
        """Sends a file with its fingerprint (RFC 9530)."""
        told = digest if digest is not None else content_digest(photo)
        return self.call("PUT", path, raw=photo, content_type=content_type, headers={"Content-Digest": told})

    def patch(self, path: str, body: Any, version: int | None = 1) -> HttpResponse:
        headers = {} if version is None else {"If-Match": f'"{version}"'}
        return self.call("PATCH", path, body, headers=headers)


@dataclass
class Cast:
    """A club with a filled barrel that two members share and a third one owns."""

    club: Club = field(default_factory=ClubFactory)
    people: dict[str, Person] = field(init=False)
    callers: dict[str, Caller] = field(init=False)
    place: Place = field(init=False)
    barrel: Barrel = field(init=False)

    def __post_init__(self) -> None:
        self.people = {
            name: PersonFactory.build(
                club=self.club, user=UserFactory.build(), name=name.replace("_", " ").title(), role=role
            )
            for name, role in ROLES.items()
        }
        # All at once: this cast is called together before every other test.
        User.objects.bulk_create([person.user for person in self.people.values()])
        Person.objects.bulk_create(self.people.values())
        self.place = PlaceFactory(club=self.club, name="Under the boathouse")
        self.barrel = BarrelFactory(club=self.club, place=self.place, name="Neap")
        self.other = PersonFactory(role=Role.KEEPER, name="Next Door")
        self.callers = {}

    def __getitem__(self, name: str) -> Caller:
        """Returns somebody's browser, opened when it is first needed."""
        if name not in self.callers:
            if name == "nobody":
                user = None
            elif name == "stranger":
                user = UserFactory()
            else:
                user = (self.other if name == "other_keeper" else self.people[name]).user
            self.callers[name] = Caller(user)
        return self.callers[name]

    def url(self, *parts: Any) -> str:
        """Returns an address within the club."""
        return "/".join(("/api/v1/clubs", self.club.slug, *(str(part) for part in parts)))

    def id(self, name: str) -> str:
        """Returns somebody's key."""
        return str(self.people[name].pk)

    # --- bodies ------------------------------------------------------------------------------------------

    def entry(self, days_ago: float = 0.0, **body: Any) -> dict[str, Any]:
        """Returns what every body says of itself, with more."""
        happened_at = ago(days=days_ago, seconds=5)
        return {"happened_at": happened_at, "entered_at": happened_at, **body}

    def at_barrel(self, days_ago: float = 0.0, **body: Any) -> dict[str, Any]:
        """Returns the body of an act at the club's barrel."""
        return self.entry(days_ago, **{"barrel": str(self.barrel.pk), **body})

    def fill_body(self, days_ago: float = 20.0, **changes: Any) -> dict[str, Any]:
        body = {
            "name": "rye, plain",
            "spirit": "whisky",
            "family": "spirit",
            "parts": [{"name": "rye", "volume_l": 4.5, "abv_pct": 55.0}],
            "sharers": [
                {"person": self.id("sharer"), "weight": 2},
                {"person": self.id("other_sharer"), "weight": 1},
            ],
        }
        return self.at_barrel(days_ago, **{**body, **changes})

    def tasting_body(self, fill: str, days_ago: float = 0.0, **changes: Any) -> dict[str, Any]:
        day = (datetime.now(UTC) - timedelta(days=days_ago)).date().isoformat()
        return self.at_barrel(days_ago, **{"fill": fill, "tasted_on": day, "liking": 7.5, **changes})

    # --- what has happened -------------------------------------------------------------------------------

    def done(self, collection: str, body: dict[str, Any], by: str = "keeper") -> str:
        """Puts an act that must be accepted as new, and returns its id."""
        act_id = uuid7()
        answer = self[by].put(self.url(collection, act_id), body)
        assert answer.status_code == 201, answer.content
        return act_id

    def fill(self, **changes: Any) -> str:
        """Fills the barrel and returns the fill's id."""
        return self.done("fills", self.fill_body(**changes))

    def owned(self) -> str:
        """Gives the barrel to its owner."""
        shares = [{"person": self.id("owner"), "weight": 1}]
        return self.done("ownerships", self.at_barrel(30, shares=shares))


def problem(answer: HttpResponse) -> dict[str, Any]:
    """Returns the problem details of a refusal, after a look at their form (RFC 9457)."""
    assert answer["Content-Type"] == "application/problem+json", answer.content
    body: dict[str, Any] = json.loads(answer.content)
    assert set(body) == {"type", "title", "status", "code", "detail", "fields"}
    assert body["status"] == answer.status_code
    assert body["code"]
    assert body["detail"]
    for row in body["fields"]:
        assert set(row) == {"field", "value", "allowed", "detail"}
    return body
