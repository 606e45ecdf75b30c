"""One day at a barrel, lived by two phones without signal and sent in any order: nothing lost, one story told."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any
from uuid import UUID

import pytest
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from staveward.models import Act, Barrel, CareMark, Stay
from staveward.selectors.report import report
from staveward.services.forecasts import forecast_refresh
from tests.ledger import DAY0, ClubScene

pytestmark = pytest.mark.django_db

SIGNAL_AT = DAY0 + timedelta(days=40)
READ_AT = DAY0 + timedelta(days=41)
# What the two keepers' phones are called, by whose entries they hold.
PHONES = ("keeper", "admin")
MANY = settings(
    max_examples=30,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
    derandomize=True,
)


@dataclass(frozen=True)
class Entry:
    """One thing that was done, before it is known on which phone it was written down."""

    number: int
    collection: str
    day: float
    data: dict[str, Any] = field(default_factory=dict)
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


@st.composite
def arrivals(draw: st.DrawFn, story: tuple[Entry, ...]) -> list[tuple[str, Entry]]:
    """Returns the entries in an order of arrival: each phone sends its own in order, the two in any turns."""
    phone_of: dict[int, str] = {}
    for entry in story:
        # What a phone corrects it has seen, so it is its own here.
        phone_of[entry.number] = (
            phone_of[entry.corrects] if entry.corrects is not None else draw(st.sampled_from(PHONES))
        )
    queues = [[entry for entry in story if phone_of[entry.number] == phone] for phone in PHONES]
    merged: list[tuple[str, Entry]] = []
    while any(queues):
        turn = draw(st.sampled_from([number for number, queue in enumerate(queues) if queue]))
        merged.append((PHONES[turn], queues[turn].pop(0)))
    return merged


def lived(
    scene: ClubScene,
    barrel: Barrel,
    order: list[tuple[str, Entry]],
    *,
    twice: bool = False,
    reckoned: bool = True,
) -> dict[str, Any]:
    """Sends the entries in an order, reads what stands then, and undoes it all."""
    with transaction.atomic():
        for number, (phone, entry) in enumerate(order):
            for _ in range(2 if twice else 1):
                _send(scene, barrel, phone, entry, number)
        if reckoned:
            forecast_refresh(
                stay_ids=list(Stay.objects.filter(barrel=barrel, ended_at=None).values_list("id", flat=True)),
                now=READ_AT,
            )
        told = _told(scene, barrel)
        transaction.set_rollback(True)
    return told


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


def _told(scene: ClubScene, barrel: Barrel) -> dict[str, Any]:
    acts = Act.objects.filter(barrel=barrel).order_by("ordered_at", "id")
    stays = Stay.objects.filter(barrel=barrel).order_by("started_at")
    return {
        # What was corrected stays in the log struck through, wherever it stood when it was.
        "log": [
            (
                act.id,
                act.is_head,
                *((act.placement, act.set_aside_reason, act.stay_id, act.flags) * act.is_head),
            )
            for act in acts
        ],
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
    return lived(scene, barrel, [("keeper", entry) for entry in STORY])


def test_the_story_is_told_whole(as_it_happened: dict[str, Any]) -> None:
    assert {row[3] for row in as_it_happened["log"] if row[1]} == {""}
    assert [(kind, outcome) for _, kind, _, _, outcome, *_ in as_it_happened["stays"]] == [
        ("curing", "tight"),
        ("fill", "decanted"),
        ("hold", ""),
    ]


@MANY
@given(order=arrivals(STORY))
def test_any_order_of_arrival_gives_the_same_log_and_the_same_numbers(
    order: list[tuple[str, Entry]], scene: ClubScene, barrel: Barrel, as_it_happened: dict[str, Any]
) -> None:
    assert lived(scene, barrel, order) == as_it_happened


@MANY
@given(order=arrivals((*STORY, CLASH)))
def test_where_two_openings_clash_the_same_entries_are_kept_all_the_same(
    order: list[tuple[str, Entry]], scene: ClubScene, barrel: Barrel
) -> None:
    told = lived(scene, barrel, order, twice=True, reckoned=False)

    assert {row[0] for row in told["log"]} == {entry.id for entry in (*STORY, CLASH)}
    aside = {row[0]: row[3] for row in told["log"] if row[1] and row[2] == "set_aside"}
    arrived = [entry.number for _, entry in order]
    loser = CLASH.id if arrived.index(FILL) < arrived.index(CLASH.number) else STORY[2].id
    assert aside[loser] == "openings_clash"
    assert ({CLASH.id, STORY[2].id} - {loser}).isdisjoint(aside)
