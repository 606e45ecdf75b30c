"""A new phone reading a whole club: how long, and how much memory the server takes beside what it had."""

from __future__ import annotations

import time
import tracemalloc

from django.test import Client

from staveward.models import Act, Barrel, Change, Club, Person, Place

GOAL_MB = 100.0
PAGE = 500


def read_whole(club: Club, reader: Person) -> str:
    """Returns the line."""
    feed_write(club)
    assert reader.user is not None
    client = Client()
    client.force_login(reader.user)
    path = f"/api/v1/clubs/{club.pk}/changes"
    client.get(path, {"limit": 1})
    started = time.perf_counter()
    tracemalloc.start()
    cursor, pages, rows = "", 0, 0
    while True:
        answer = client.get(path, {"limit": PAGE, **({"after": cursor} if cursor else {})})
        assert answer.status_code == 200, answer.content[:300]
        page = answer.json()
        pages, rows, cursor = pages + 1, rows + len(page["rows"]), page["cursor"]
        if not page["more"]:
            break
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    seconds = time.perf_counter() - started
    peak_mb = peak / 1e6
    verdict = "within" if peak_mb <= GOAL_MB else "MISSES"
    return (
        f"A new phone reads a club of {rows:,} rows in {pages} pages: {peak_mb:.0f} MB at most beside what was there, "
        f"{verdict} the goal of {GOAL_MB:g}   [{seconds:.0f} s while memory is traced]"
    )


def feed_write(club: Club) -> None:
    """Writes the feed that the acts would have written: one line a row."""
    Change.objects.filter(club=club).delete()
    keys = [
        *(("places", key) for key in Place.objects.filter(club=club).values_list("id", flat=True)),
        *(("people", key) for key in Person.objects.filter(club=club).values_list("id", flat=True)),
        *(("barrels", key) for key in Barrel.objects.filter(club=club).values_list("id", flat=True)),
        *(("log", key) for key in Act.objects.filter(club=club).values_list("id", flat=True)),
    ]
    Change.objects.bulk_create(
        (
            Change(club=club, seq=number + 1, collection=name, row_id=key)
            for number, (name, key) in enumerate(keys)
        ),
        batch_size=2000,
    )
    Club.objects.filter(pk=club.pk).update(change_seq=len(keys))
