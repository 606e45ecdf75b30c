"""A taste arriving, against a bare view with the same middleware, sign-in and statements."""

from __future__ import annotations

import json
import secrets
import time
import types
from datetime import UTC, datetime, timedelta
from uuid import UUID

from django.db import transaction
from django.http import HttpRequest, JsonResponse
from django.test import Client
from django.test.utils import override_settings
from django.urls import path

from staveward.models import Act, Club, Person, Stay
from tests.bench.rounds import interleaved
from tests.bench.statements import Statement, caught, replay, with_new_key

GOAL = 1.5
COUNT = iter(range(1, 1_000_000))


def compared(club: Club, admin: Person) -> str:
    """Returns the line."""
    stay = Stay.objects.filter(club=club, ended_at__isnull=True).select_related("barrel").first()
    assert stay is not None
    assert admin.user is not None
    client = Client()
    client.force_login(admin.user)

    def put() -> UUID:
        key = _key()
        answer = client.put(
            f"/api/v1/clubs/{club.pk}/tastings/{key}",
            _body(stay, next(COUNT)),
            content_type="application/json",
        )
        assert answer.status_code == 201, answer.content[:600]
        return key

    put()
    with caught() as statements:
        first = put()
    own = [one for one in statements if not _of_middleware(one)]
    bare = types.ModuleType("bare_urls")
    bare.urlpatterns = [path("bare", _bare_view(own, first))]  # type: ignore[attr-defined]

    def put_bare() -> None:
        with override_settings(ROOT_URLCONF=bare):
            answer = client.put("/bare", _body(stay, next(COUNT)), content_type="application/json")
        assert answer.status_code == 201

    pair = interleaved(put, put_bare, repeats=10)
    Act.objects.filter(club=club, path="bare").delete()
    return pair.line(f"A taste's PUT against a bare view with its {len(own)} statements", GOAL)


def _bare_view(statements: list[Statement], first: UUID):  # type: ignore[no-untyped-def]
    def view(request: HttpRequest) -> JsonResponse:
        if not request.user.is_authenticated:
            return JsonResponse({}, status=401)
        body = json.loads(request.body)
        with transaction.atomic():
            replay(with_new_key(statements, first, _key()))
        return JsonResponse(body, status=201)

    return view


def _of_middleware(statement: Statement) -> bool:
    sql = statement[0]
    words = ("django_session", 'FROM "staveward_user"', "SAVEPOINT", "BEGIN", "staveward_cache")
    return any(word in sql for word in words)


def _body(stay: Stay, number: int) -> str:
    now = datetime.now(UTC)
    return json.dumps(
        {
            "barrel": str(stay.barrel_id),
            "fill": str(stay.pk),
            "happened_at": (now - timedelta(minutes=2)).isoformat(),
            "entered_at": (now - timedelta(minutes=1)).isoformat(),
            # A score of its own every time: ten a day, backwards through the weeks of the fill.
            "tasted_on": (now.date() - timedelta(days=number // 10)).isoformat(),
            "liking": 7.5,
            "sample_ml": 0.01,
            "replicate": 1 + number % 10,
        }
    )


def _key() -> UUID:

    milliseconds = int(time.time() * 1000)
    value = (milliseconds & (2**48 - 1)) << 80 | secrets.randbits(80)
    value = value & ~(0xF << 76) | 0x7 << 76
    return UUID(int=value & ~(0x3 << 62) | 0x2 << 62)
