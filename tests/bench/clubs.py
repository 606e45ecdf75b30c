"""Clubs of any size, written in bulk: years of tastes and tendings, with the projections an act would have laid."""

from __future__ import annotations

import random
from datetime import UTC, datetime, timedelta
from uuid import UUID, uuid4

from django.utils import timezone

from staveward.models import (
    Act,
    Barrel,
    CareMark,
    Club,
    Fill,
    FillShare,
    Person,
    Place,
    Role,
    Stay,
    Tasting,
    Tending,
    User,
)
from staveward.services.forecasts import forecast_refresh

ENTRIES_A_BARREL = 200
FILLS_BEFORE = 4
BATCH = 2000


def club_write(barrel_count: int, entries: int = ENTRIES_A_BARREL) -> tuple[Club, Person]:
    """Writes a club and returns it with its admin."""
    chance = random.Random(1906)
    slug = f"bench-{barrel_count}"
    club = Club.objects.create(slug=slug, name=f"Club of {barrel_count}", timezone="Europe/London")
    now = datetime.now(UTC)
    admin = _person(club, "Admin", Role.ADMIN, slug)
    people = [admin, *(_person(club, f"Member {number}", Role.MEMBER, slug) for number in range(5))]
    places = [
        Place.objects.create(club=club, name=f"Room {number}", walking_order=number) for number in range(4)
    ]
    barrels = Barrel.objects.bulk_create(
        [
            Barrel(
                club=club,
                place=places[number % 4],
                name=f"Barrel {number:04d}",
                tag_code=f"B{number:05d}",
                nominal_l=(1, 2, 3, 5, 10, 20, 30)[number % 7],
                registered_at=now,
            )
            for number in range(barrel_count)
        ],
        batch_size=500,
    )
    open_fills = _fills(club, admin, people, barrels, now, chance)
    _entries(club, people, open_fills, now, chance, entries)
    forecast_refresh(stay_ids=list(open_fills), now=timezone.now())
    return club, admin


def _person(club: Club, name: str, role: str, slug: str) -> Person:
    user = User.objects.create_user(f"{name.replace(' ', '').lower()}@{slug}.test", "oar and rowlock 7")
    return Person.objects.create(club=club, user=user, name=name, role=role, joined_at=datetime.now(UTC))


def _act(
    club: Club, author: Person, collection: str, barrel: Barrel, at: datetime, body: dict[str, object]
) -> Act:
    return Act(
        id=uuid4(),
        club=club,
        author=author,
        subject=author,
        collection=collection,
        path="bench",
        barrel=barrel,
        body=body,
        body_sha256="0" * 64,
        happened_at=at,
        entered_at=at,
        received_at=at,
        ordered_at=at,
    )


def _fills(
    club: Club,
    admin: Person,
    people: list[Person],
    barrels: list[Barrel],
    now: datetime,
    chance: random.Random,
) -> dict[UUID, Act]:
    acts, stays, fills, shares, open_fills = [], [], [], [], {}
    for barrel in barrels:
        for number in range(FILLS_BEFORE + 1):
            start = now - timedelta(days=60.0 * (FILLS_BEFORE - number) + chance.uniform(30, 55))
            is_open = number == FILLS_BEFORE
            act = _act(club, admin, "fills", barrel, start, {"name": "rum"})
            acts.append(act)
            stays.append(
                Stay(
                    id=act.id,
                    club=club,
                    barrel=barrel,
                    kind="fill",
                    started_at=start,
                    ended_at=None if is_open else start + timedelta(days=28),
                    outcome="" if is_open else "decanted",
                    wood_before_typical=0.14 * number,
                    wood_before_low=0.12 * number,
                    wood_before_high=0.16 * number,
                    sample_used_ml=10.0,
                )
            )
            fills.append(
                Fill(
                    act=act,
                    name="rum, plain",
                    spirit="rum",
                    family="spirit",
                    volume_l=0.94 * barrel.nominal_l,
                    abv_pct=58.0,
                    planned_days=60,
                    sample_budget_ml=200,
                )
            )
            shares.append(FillShare(fill_id=act.id, person=chance.choice(people), weight=1))
            if is_open:
                open_fills[act.id] = act
    Act.objects.bulk_create(acts, batch_size=BATCH)
    Stay.objects.bulk_create(stays, batch_size=BATCH)
    for act in acts:
        act.stay_id = act.pk
    Act.objects.bulk_update(acts, ["stay"], batch_size=200)
    Fill.objects.bulk_create(fills, batch_size=BATCH)
    FillShare.objects.bulk_create(shares, batch_size=BATCH)
    return open_fills


def _entries(
    club: Club,
    people: list[Person],
    open_fills: dict[UUID, Act],
    now: datetime,
    chance: random.Random,
    entries: int,
) -> None:
    for stay_id, fill in open_fills.items():
        acts, tastings, tendings = [], [], []
        days = (now - fill.ordered_at).total_seconds() / 86_400.0
        for number in range(2 * entries):
            at = fill.ordered_at + timedelta(days=days * (number + 1) / (2 * entries + 1))
            author = chance.choice(people)
            assert fill.barrel is not None
            if number % 2:
                act = _act(club, author, "tastings", fill.barrel, at, {"fill": str(stay_id), "liking": 7.0})
                tastings.append(
                    Tasting(
                        act=act,
                        taster=author,
                        tasted_on=at.date(),
                        liking=7.0,
                        replicate=number,
                        sample_ml=0.05,
                    )
                )
            else:
                act = _act(club, author, "tendings", fill.barrel, at, {"tasks": ["roll"]})
                tendings.append(Tending(act=act, task="roll"))
            act.stay_id = stay_id
            acts.append(act)
        Act.objects.bulk_create(acts, batch_size=BATCH)
        Tasting.objects.bulk_create(tastings, batch_size=BATCH)
        Tending.objects.bulk_create(tendings, batch_size=BATCH)
        CareMark.objects.bulk_create(
            CareMark(stay_id=stay_id, task=task, last_at=acts[-1].ordered_at) for task in ("roll", "taste")
        )
