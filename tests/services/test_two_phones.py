"""One day at a barrel, lived by two phones without signal and sent in any order: nothing lost, one story told."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any
from uuid import UUID

import pytest
from django.db import connection, transaction

from staveward.models import Act, Barrel, CareMark, Stay
from staveward.selectors.report import report
from staveward.services.forecasts import forecast_refresh
from tests.ledger import DAY0, ClubScene

pytestmark = pytest.mark.django_db

SIGNAL_AT = DAY0 + timedelta(days=40)
READ_AT = DAY0 + timedelta(days=41)
# What the two keepers' phones are called, by whose entries they hold.
PHONES = ("keeper", "admin")
# Two runs of so many different orders of arrival, from so many ways to share the day's entries between the phones. The
# second database has the same rules to keep and keeps them by the same code: it gets a sample of them.
ORDERS = 100 if connection.vendor == "sqlite" else 24
SPLITS = 3


@dataclass(frozen=True)
class Entry:
    """One thing that was done, before it is known on which phone it was written down."""

    number: int
    collection: str
    day: float
    data: dict[str, Any] = field(default_factory=dict, hash=False)
    corrects: int | None = None

    @property
    def id(self) -> UUID:
        return UUID(int=0x0190_0000_0000_7000_8000_0000_0000_0000 + self.number)


CURING, TIGHT, FILL, TASTE, WEIGHT, ALL_WELL, DECANT, HOLD, WATER, MENDED = range(1, 11)
FILL_DATA = {
    "name": "rye, plain",
    "spirit": "whisky",
    "family": "spirit",
    "parts": [{"name": "rye", "volume_l": 4.7, "abv_pct": 55.0}],
    "sharers": [],
}
STORY = (
    Entry(CURING, "curings", 0.0, {"water_l": 2.5}),
    Entry(TIGHT, "curing-verdicts", 2.0, {"verdict": "tight"}),
    Entry(FILL, "fills", 2.1, FILL_DATA),
    Entry(ALL_WELL, "tendings", 9.0, {"tasks": ["roll", "leak_check", "spigot_check"]}),
    Entry(TASTE, "tastings", 9.1, {"liking": 7.5, "sample_ml": 10.0}),
    Entry(MENDED, "tastings", 9.1, {"liking": 6.5, "sample_ml": 10.0}, corrects=TASTE),
    Entry(WEIGHT, "readings", 12.0, {"kind": "weight", "mass_kg": 6.4}),
    Entry(DECANT, "decants", 30.0, {"measured_volume_l": 4.4}),
    Entry(HOLD, "holds", 30.2, {"water_l": 2.5}),
    Entry(WATER, "tendings", 37.0, {"tasks": ["water_change"], "volume_l": 2.5}),
)
# The other phone's keeper thought the barrel was free, and filled it as well.
CLASH = Entry(11, "fills", 5.0, {**FILL_DATA, "name": "rum, plain", "spirit": "rum"})


Order = tuple[tuple[str, Entry], ...]


def arrivals(story: tuple[Entry, ...], seed: int) -> list[Order]:
    """Returns orders of arrival by chance: each phone sends its own entries in order, the two in any turns."""
    chance = random.Random(seed)
    orders: dict[Order, None] = {}
    for split in range(1, SPLITS + 1):
        phone_of: dict[int, str] = {}
        for entry in story:
            # What a phone corrects it has seen, so it is its own here.
            own = phone_of.get(entry.corrects) if entry.corrects is not None else None
            phone_of[entry.number] = own or chance.choice(PHONES)
        # A phone that has little to send leaves few turns to take: what is missing comes from the next split.
        for _ in range(20 * ORDERS):
            if len(orders) >= ORDERS * split // SPLITS:
                break
            queues = {phone: [one for one in story if phone_of[one.number] == phone] for phone in PHONES}
            merged: list[tuple[str, Entry]] = []
            while any(queues.values()):
                phone = chance.choice([name for name, queue in queues.items() if queue])
                merged.append((phone, queues[phone].pop(0)))
            orders[tuple(merged)] = None
    return list(orders)


def each_lived(
    scene: ClubScene,
    barrel: Barrel,
    orders: list[Order],
    *,
    twice: bool = False,
    read: Callable[[ClubScene, Barrel], Any] | None = None,
    sent: int = 0,
) -> Iterator[tuple[Order, Any]]:
    """Sends the entries in each of the orders and reads what stands then, all of it unless said; it is undone.

    Orders that begin alike share their beginning: it is sent once, and undone as far as where they part.
    """
    if len(orders[0]) == sent:
        yield orders[0], (read or _told)(scene, barrel)
        return
    for phone, entry in dict.fromkeys(order[sent] for order in orders):
        with transaction.atomic():
            for _ in range(2 if twice else 1):
                _send(scene, barrel, phone, entry, sent)
            alike = [order for order in orders if order[sent] == (phone, entry)]
            yield from each_lived(scene, barrel, alike, twice=twice, read=read, sent=sent + 1)
            transaction.set_rollback(True)


def said(order: Order) -> list[tuple[str, int]]:
    """Returns an order short enough to be read in a failure."""
    return [(phone, entry.number) for phone, entry in order]


def _send(scene: ClubScene, barrel: Barrel, phone: str, entry: Entry, number: int) -> None:
    data = dict(entry.data)
    if entry.collection == "tastings":
        data |= {
            "fill": STORY[2].id,
            "tasted_on": (DAY0 + timedelta(days=entry.day)).date(),
            "taster": scene.people["sharer"].pk,
        }
    if entry.corrects is not None:
        data["replaces"] = next(one.id for one in STORY if one.number == entry.corrects)
    scene.send(
        entry.collection,
        barrel,
        day=entry.day,
        by=phone,
        received=SIGNAL_AT + timedelta(minutes=number),
        act_id=entry.id,
        **data,
    )


def _log(_: ClubScene, barrel: Barrel) -> list[tuple[Any, ...]]:
    # What was corrected stays in the log struck through, wherever it stood when it was.
    return [
        (
            act.id,
            act.is_head,
            *((act.placement, act.set_aside_reason, act.stay_id, act.flags) * act.is_head),
        )
        for act in Act.objects.filter(barrel=barrel).order_by("ordered_at", "id")
    ]


def _told(scene: ClubScene, barrel: Barrel) -> dict[str, Any]:
    stays = Stay.objects.filter(barrel=barrel).order_by("started_at")
    open_stays = [stay.pk for stay in stays if stay.ended_at is None]
    forecast_refresh(stay_ids=open_stays, now=READ_AT)
    return {
        "log": _log(scene, barrel),
        "stays": list(
            stays.values_list(
                "id",
                "kind",
                "started_at",
                "ended_at",
                "outcome",
                "wood_before_typical",
                "wood_after_typical",
                "sample_used_ml",
            )
        ),
        "care": sorted(
            CareMark.objects.filter(stay__barrel=barrel).values_list("stay_id", "task", "last_at")
        ),
        "report": [row for row in report(scene.club, READ_AT)["barrels"] if row["name"] == barrel.name],
    }


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


@pytest.fixture
def barrel(scene: ClubScene) -> Barrel:
    return scene.barrel("Neap")


@pytest.fixture
def as_it_happened(scene: ClubScene, barrel: Barrel) -> dict[str, Any]:
    ((_, told),) = each_lived(scene, barrel, [tuple(("keeper", entry) for entry in STORY)])
    return told


def test_the_story_is_told_whole(as_it_happened: dict[str, Any]) -> None:
    assert {row[3] for row in as_it_happened["log"] if row[1]} == {""}
    assert [(kind, outcome) for _, kind, _, _, outcome, *_ in as_it_happened["stays"]] == [
        ("curing", "tight"),
        ("fill", "decanted"),
        ("hold", ""),
    ]


def test_any_order_of_arrival_gives_the_same_log_and_the_same_numbers(
    scene: ClubScene, barrel: Barrel, as_it_happened: dict[str, Any]
) -> None:
    orders = arrivals(STORY, seed=1)
    assert len(orders) == ORDERS

    for order, told in each_lived(scene, barrel, orders):
        assert told == as_it_happened, said(order)


def test_where_two_openings_clash_the_same_entries_are_kept_all_the_same(
    scene: ClubScene, barrel: Barrel
) -> None:
    orders = arrivals((*STORY, CLASH), seed=2)
    assert len(orders) == ORDERS

    for order, log in each_lived(scene, barrel, orders, twice=True, read=_log):
        assert sorted(row[0] for row in log) == [
            entry.id for entry in sorted((*STORY, CLASH), key=lambda one: one.id)
        ], said(order)
        aside = {row[0]: row[3] for row in log if row[1] and row[2] == "set_aside"}
        arrived = [entry.number for _, entry in order]
        loser = CLASH.id if arrived.index(FILL) < arrived.index(CLASH.number) else STORY[2].id
        assert aside[loser] == "openings_clash", said(order)
        assert ({CLASH.id, STORY[2].id} - {loser}).isdisjoint(aside), said(order)
