"""Opening a barrel with five years of entries: its row and its whole log, against the same statements sent raw."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

from django.test import Client

from staveward.models import Act, Barrel, Club, Person, Stay, Tending
from tests.bench.rounds import interleaved
from tests.bench.statements import caught, replay

GOAL = 3.0
ENTRIES = 2_000
PAGE = 1_000


def compared(club: Club, admin: Person) -> str:
    """Returns the line."""
    stay = Stay.objects.filter(club=club, ended_at__isnull=True).select_related("barrel").first()
    assert stay is not None
    _written_up(club, admin, stay)
    assert admin.user is not None
    client = Client()
    client.force_login(admin.user)

    def opened() -> int:
        base = f"/api/v1/clubs/{club.pk}/barrels/{stay.barrel_id}"
        assert client.get(base).status_code == 200
        address, count = f"{base}/log?limit={PAGE}", 0
        while address:
            answer = client.get(address)
            assert answer.status_code == 200, answer.content[:300]
            page = answer.json()
            count += len(page["results"])
            address = page["next"]
        return count

    with caught() as statements:
        count = opened()
    assert count >= ENTRIES, count
    pair = interleaved(opened, lambda: replay(statements))
    what = f"A barrel with {count:,} entries, opened whole, against its own {len(statements)} statements"
    return pair.line(what, GOAL)


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
