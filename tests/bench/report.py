"""The cellar report against its own statements sent raw."""

from __future__ import annotations

from django.test import Client

from staveward.models import Club, Person
from tests.bench.rounds import interleaved
from tests.bench.statements import caught, replay

GOAL = 3.0


def compared(club: Club, admin: Person, size: int) -> str:
    """Returns the line for one club."""
    client, path = _client(admin), f"/api/v1/clubs/{club.pk}/report"
    statements = _statements(client, path)
    pair = interleaved(lambda: client.get(path), lambda: replay(statements), repeats=3 if size < 100 else 1)
    return pair.line(f"Cellar report of {size} barrels against its own {len(statements)} statements", GOAL)


def queries_compared(small: tuple[Club, Person], big: tuple[Club, Person]) -> str:
    """Returns the line that says whether the number of statements grows with the club."""
    counts = [
        len(_statements(_client(admin), f"/api/v1/clubs/{club.pk}/report")) for club, admin in (small, big)
    ]
    return f"Statements of the report: {counts[0]} at 30 barrels, {counts[1]} at 1,000"


def _client(admin: Person) -> Client:
    client = Client()
    assert admin.user is not None
    client.force_login(admin.user)
    return client


def _statements(client: Client, path: str) -> list[tuple[str, object]]:
    with caught() as statements:
        answer = client.get(path)
    assert answer.status_code == 200, answer.content[:500]
    return statements
