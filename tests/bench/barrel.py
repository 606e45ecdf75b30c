"""Opening a barrel with five years of entries, against the same statements sent raw.

What opens its page is its row and the newest page of its log. Its whole log is timed beside it, for which there is no
goal: nobody waits for all of it but a phone that has never read the club, and that reads the feed.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from typing import Any
from uuid import uuid4

from django.test import Client

from staveward.models import Act, Barrel, Club, Person, Stay, Tending
from tests.bench.rounds import interleaved
from tests.bench.statements import caught, replay

GOAL = 3.0
ENTRIES = 2_000
PAGE = 1_000
REPEATS = 5


def lines(club: Club, admin: Person) -> Iterator[str]:
    """Yields a line for the page, and one for the whole log."""
    stay = Stay.objects.filter(club=club, ended_at__isnull=True).select_related("barrel").first()
    assert stay is not None
    _written_up(club, admin, stay)
    assert admin.user is not None
    client = Client()
    client.force_login(admin.user)
    base = f"/api/v1/clubs/{club.pk}/barrels/{stay.barrel_id}"

    def got(address: str) -> Any:
        answer = client.get(address)
        assert answer.status_code == 200, answer.content[:300]
        return answer.json()

    def opened() -> int:
        got(base)
        return len(got(f"{base}/log")["results"])

    def read_whole() -> int:
        address, count = f"{base}/log?limit={PAGE}", 0
        while address:
            page = got(address)
            count += len(page["results"])
            address = page["next"]
        return count

    with caught() as statements:
        newest = opened()
    pair = interleaved(opened, lambda: replay(statements), repeats=REPEATS)
    what = f"The page of a barrel with {ENTRIES:,} entries (its row, the newest {newest})"
    yield pair.line(f"{what}, against its own {len(statements)} statements", GOAL)
    with caught() as statements:
        count = read_whole()
    assert count >= ENTRIES, count
    pair = interleaved(read_whole, lambda: replay(statements))
    yield pair.told(f"Its whole log of {count:,}, against its own {len(statements)} statements")


def _written_up(club: Club, admin: Person, stay: Stay) -> None:
    """Adds rolls, spread over all that was ever in the barrel, until it has its five years of entries."""
    barrel: Barrel = stay.barrel
    stays = list(Stay.objects.filter(barrel=barrel).order_by("started_at"))
    missing = ENTRIES - Act.objects.filter(barrel=barrel).count()
    acts = []
    for number in range(max(missing, 0)):
        held = stays[number % len(stays)]
        lasted = (held.ended_at or held.started_at + timedelta(days=30)) - held.started_at
        at = held.started_at + lasted * (number / missing)
        acts.append(
            Act(
                id=uuid4(),
                club=club,
                author=admin,
                subject=admin,
                collection="tendings",
                path="bench",
                barrel=barrel,
                stay=held,
                body={"tasks": ["roll"], "barrel": str(barrel.pk)},
                body_sha256="0" * 64,
                happened_at=at,
                entered_at=at,
                received_at=at,
                ordered_at=at,
            )
        )
    Act.objects.bulk_create(acts, batch_size=1000)
    Tending.objects.bulk_create([Tending(act=act, task="roll") for act in acts], batch_size=1000)
