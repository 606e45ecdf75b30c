"""A new phone reading a whole club: how long, and how much memory the server takes beside what it had."""

from __future__ import annotations

import resource
import time
import tracemalloc
from pathlib import Path
from typing import Any

from django.test import Client

from staveward.models import Act, Barrel, Change, Club, Person, Place

GOAL_MB = 100.0
PAGE = 500
TRACED_EVERY = 25


def read_whole(club: Club, reader: Person) -> str:
    """Returns the line. The process is weighed while nothing is traced: a page's traces take as much as the page."""
    feed_write(club)
    assert reader.user is not None
    client = Client()
    client.force_login(reader.user)
    path = f"/api/v1/clubs/{club.pk}/changes"

    def page_after(cursor: str) -> Any:
        answer = client.get(path, {"limit": PAGE, **({"after": cursor} if cursor else {})})
        assert answer.status_code == 200, answer.content[:300]
        return answer.json()

    client.get(path, {"limit": 1})
    before, started = _resident(), time.perf_counter()
    cursors, rows, more = [""], 0, True
    while more:
        page = page_after(cursors[-1])
        rows, more = rows + len(page["rows"]), page["more"]
        cursors.append(page["cursor"])
    seconds, grown = time.perf_counter() - started, _resident() - before
    pages, peak = len(cursors) - 1, 0
    for cursor in cursors[:-1:TRACED_EVERY]:
        tracemalloc.start()
        page_after(cursor)
        peak = max(peak, tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    verdict = "within" if max(peak, grown) / 1e6 <= GOAL_MB else "MISSES"
    return (
        f"A new phone reads a club of {rows:,} rows in {pages} pages: {peak / 1e6:.0f} MB at most for a page, the "
        f"process {grown / 1e6:+.0f} MB at the end, {verdict} the goal of {GOAL_MB:g}   "
        f"[{seconds:.0f} s]"
    )


def _resident() -> int:
    """Returns the bytes of memory this process holds."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * resource.getpagesize()


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
