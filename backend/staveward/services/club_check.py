"""Looks a club over without changing it: what is kept twice must agree, and what is counted must add up.

The database's own constraints hold most of this; they can be lost (SQLite drops triggers when a table is altered, a
restore may be partial), so after a restore or an update the club is checked by its rows alone.
"""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import pairwise
from typing import Any
from uuid import UUID

import rfc8785
from django.db.models import F, Max, Q, Sum

from staveward.models import (
    HOLDS_DAYS,
    Act,
    Barrel,
    Bottle,
    Change,
    Club,
    Flight,
    Person,
    Photo,
    Place,
    Placement,
    Reservation,
    ReservationDay,
    ReservationEnd,
    ReservationState,
    Sample,
    Stay,
    Tasting,
    Vessel,
)
from staveward.selectors.log import LOG_COLLECTIONS
from staveward.selectors.photos import SIZES, photo_path
from staveward.selectors.stays import standing
from staveward.selectors.unlaid import tastes_unheard
from staveward.services.lay import LifeAct, first_received, lay_life
from staveward.services.rebuild import IN_LIFE, LIFE, life_act

# A forecast is made daily; one that missed a whole day more than that was forgotten.
FORECAST_STALE_AFTER = timedelta(days=2)
SAMPLE_TOLERANCE_ML = 1e-6
# Where the typed half of an act is kept.
TYPED_HALVES = {
    "curings": "curing",
    "fills": "fill",
    "decants": "decant",
    "holds": "hold",
    "tendings": "tendings",
    "readings": "reading",
    "tastings": "tasting",
    "samples": "sample",
    "blind-tastings": "blind_tasting",
    "troubles": "trouble",
    "bottlings": "bottling",
    "bottle-changes": "bottle_change",
}


@dataclass(frozen=True)
class Fault:
    """One thing that does not agree: what kind, and which rows."""

    code: str
    detail: str


def club_check(club: Club, now: datetime) -> list[Fault]:
    """Returns everything in a club that does not agree with itself; an empty list means it is in order."""
    return [
        *_stays(club),
        *_ledger(club),
        *_feed(club),
        *_forecasts(club, now),
        *_samples(club),
        *_reservation_days(club),
        *_reservation_ends(club),
        *_photos(club),
        *_unheard(club),
    ]


def _stays(club: Club) -> Iterator[Fault]:
    """Stays never overlap, and are what the acts lay out."""
    acts: defaultdict[UUID, list[LifeAct]] = defaultdict(list)
    rows = Act.objects.for_club(club).filter(IN_LIFE, is_head=True, is_void=False, barrel__isnull=False)
    corrections = Act.objects.for_club(club).filter(
        collection__in=LIFE, barrel__isnull=False, replaces__barrel=F("barrel")
    )
    first = first_received(
        {
            act_id: (earlier_id, received_at)
            for act_id, earlier_id, received_at in corrections.values_list(
                "id", "replaces_id", "replaces__received_at"
            )
        }
    )
    for act in rows.iterator(chunk_size=1000):
        assert act.barrel_id is not None
        acts[act.barrel_id].append(life_act(act, first.get(act.pk, act.received_at)))
    kept: defaultdict[UUID, list[Stay]] = defaultdict(list)
    for stay in Stay.objects.for_club(club).order_by("started_at", "id"):
        kept[stay.barrel_id].append(stay)
    for barrel in Barrel.objects.for_club(club).order_by("name", "id"):
        own = kept[barrel.pk]
        yield from _overlaps(barrel, own)
        laid = {
            (one.id, str(one.kind), one.started_at, one.ended_at, one.outcome)
            for one in lay_life(acts[barrel.pk]).stays
        }
        if laid != {(one.pk, one.kind, one.started_at, one.ended_at, one.outcome) for one in own}:
            yield Fault("stays_differ", f"{barrel.name}: its stays are not what its log lays out.")


def _overlaps(barrel: Barrel, stays: Sequence[Stay]) -> Iterator[Fault]:
    for before, after in pairwise(stays):
        if before.ended_at is None or before.ended_at > after.started_at:
            yield Fault(
                "stays_overlap",
                f"{barrel.name}: the {before.kind} of {before.started_at:%Y-%m-%d} runs into the {after.kind} of "
                f"{after.started_at:%Y-%m-%d}.",
            )


def _ledger(club: Club) -> Iterator[Fault]:
    """Acts are as they were sent, complete, and each has one version that stands."""
    for act in (
        Act.objects.for_club(club).only("id", "collection", "body", "body_sha256").iterator(chunk_size=1000)
    ):
        if _sha256(act.body) != act.body_sha256:
            yield Fault("body_changed", f"The {act.collection} entry {act.pk} is not what was sent.")
    for collection, half in TYPED_HALVES.items():
        lacking = Act.objects.for_club(club).filter(Q(**{f"{half}__isnull": True}), collection=collection)
        for act_id in lacking.values_list("id", flat=True):
            yield Fault("half_missing", f"The {collection} entry {act_id} has lost its values.")
    superseded = Act.objects.for_club(club).filter(
        is_head=True, replaced_by__placement=Placement.PLACED, replaced_by__isnull=False
    )
    for act_id in superseded.values_list("id", flat=True).distinct().order_by():
        yield Fault("two_heads", f"The entry {act_id} was corrected and still counts.")


def _sha256(body: Any) -> str | None:
    """Returns the fingerprint of a body in its canonical form (RFC 8785), or None where it has none."""
    try:
        return hashlib.sha256(rfc8785.dumps(body)).hexdigest()
    except rfc8785.CanonicalizationError:
        return None


def _feed(club: Club) -> Iterator[Fault]:
    """Every row that people see is in the feed, and the counter is not behind it."""
    newest = Change.objects.filter(club=club).aggregate(most=Max("seq"))["most"] or 0
    if newest > club.change_seq:
        yield Fault("feed_behind", f"The feed holds number {newest}, its counter says {club.change_seq}.")
    known: defaultdict[str, set[UUID]] = defaultdict(set)
    for collection, row_id in Change.objects.filter(club=club).values_list("collection", "row_id"):
        known[collection].add(row_id)
    wanted: Mapping[str, Any] = {
        "places": Place.objects.for_club(club),
        "people": Person.objects.for_club(club),
        "barrels": Barrel.objects.for_club(club),
        "reservations": Reservation.objects.for_club(club),
        "bottles": Bottle.objects.for_club(club),
        "flights": Flight.objects.for_club(club),
        "vessels": Vessel.objects.for_club(club).filter(stands=True),
        "log": Act.objects.for_club(club).filter(collection__in=LOG_COLLECTIONS),
        "photos": Photo.objects.for_club(club),
    }
    for collection, rows in wanted.items():
        lacking = set(rows.values_list("id", flat=True)) - known[collection]
        if lacking:
            yield Fault(
                "feed_lacks",
                f"{len(lacking)} of the {collection} are not in the feed, one is {min(lacking)}.",
            )


def _forecasts(club: Club, now: datetime) -> Iterator[Fault]:
    """Every open stay has a forecast of its own that is not old, with its bands in order."""
    stays = Stay.objects.for_club(club).filter(ended_at__isnull=True).select_related("barrel", "forecast")
    for stay in stays.order_by("barrel__name"):
        forecast, name = stay.forecast, stay.barrel.name
        if forecast is None:
            yield Fault("forecast_missing", f"{name}: nothing was computed for what is in it.")
            continue
        if forecast.stay_id != stay.pk:
            yield Fault("forecast_foreign", f"{name}: it points to the forecast of another stay.")
        if now - forecast.made_at > FORECAST_STALE_AFTER:
            yield Fault(
                "forecast_stale",
                f"{name}: its forecast is of {forecast.made_at:%Y-%m-%d}; is the clock running?",
            )
        if not all(_in_order(forecast.near.get(figure)) for figure in ("volume_l", "abv_pct", "level")):
            yield Fault("forecast_disordered", f"{name}: a band of its forecast is upside down.")


def _in_order(knots: list[list[float]] | None) -> bool:
    return all(low <= mid <= high for low, mid, high in knots or ())


def _samples(club: Club) -> Iterator[Fault]:
    """What a stay says was drawn is what its tastings and samples say."""
    drawn: defaultdict[UUID, float] = defaultdict(float)
    for rows in (Tasting.objects.all(), Sample.objects.all()):
        totals = (
            rows.filter(
                act__club=club,
                act__is_head=True,
                act__is_void=False,
                act__placement=Placement.PLACED,
                act__stay__isnull=False,
            )
            .values_list("act__stay_id")
            .annotate(total=Sum("sample_ml"))
            .order_by()
        )
        for stay_id, total in totals:
            drawn[stay_id] += total
    for stay_id, name, kept in Stay.objects.for_club(club).values_list(
        "id", "barrel__name", "sample_used_ml"
    ):
        total = drawn.get(stay_id, 0.0)
        if abs(total - kept) > SAMPLE_TOLERANCE_ML:
            yield Fault(
                "samples_differ",
                f"{name}: {kept:g} mL are noted as drawn, its tastings and samples add up to {total:g} mL.",
            )


def _reservation_days(club: Club) -> Iterator[Fault]:
    """Whoever pencilled or confirmed owns their days, and nobody else does."""
    owned: defaultdict[UUID, set[date]] = defaultdict(set)
    days = ReservationDay.objects.filter(reservation__club=club).values_list("reservation_id", "day")
    for reservation_id, day in days:
        owned[reservation_id].add(day)
    for one in Reservation.objects.for_club(club).select_related("barrel"):
        length = (one.ends_on - one.starts_on).days
        due = (
            {one.starts_on + timedelta(days=number) for number in range(length)}
            if one.state in HOLDS_DAYS
            else set()
        )
        if owned[one.pk] != due:
            yield Fault(
                "days_differ",
                f"{one.barrel.name}: the reservation from {one.starts_on} owns {len(owned[one.pk])} days, "
                f"not {len(due)}.",
            )


def _reservation_ends(club: Club) -> Iterator[Fault]:
    """What a retirement ended has lapsed, and that retirement stands."""
    ends = ReservationEnd.objects.filter(reservation__club=club).exclude(
        standing(),
        act__collection="retirements",
        act__barrel=F("reservation__barrel"),
        reservation__state=ReservationState.EXPIRED,
    )
    for one in ends.select_related("reservation__barrel").order_by("pk"):
        reservation = one.reservation
        yield Fault(
            "end_differs",
            f"{reservation.barrel.name}: the reservation from {reservation.starts_on} waits for a retirement "
            "that does not stand, or has not lapsed.",
        )


def _unheard(club: Club) -> Iterator[Fault]:
    """What a taste alarms by is trouble, that of an entry older than the rule too."""
    tastes = tastes_unheard().filter(act__club=club).values_list("act__barrel__name", flat=True)
    for name in sorted(set(tastes)):
        yield Fault("taste_unheard", f"{name}: a taste alarms and opened no trouble; run lay_anew.")


def _photos(club: Club) -> Iterator[Fault]:
    """Every photo has its files, and they are what was kept: a backup of the database alone holds none."""
    lacking, changed = [], []
    for photo in (
        Photo.objects.for_club(club).filter(removed_at=None).order_by("pk").iterator(chunk_size=1000)
    ):
        if not all(photo_path(club.pk, photo.sha256, size).is_file() for size in SIZES):
            lacking.append(photo.pk)
        elif hashlib.sha256(photo_path(club.pk, photo.sha256).read_bytes()).hexdigest() != photo.sha256:
            changed.append(photo.pk)
    if lacking:
        yield Fault("photo_missing", f"{len(lacking)} photos have lost their file, one is {lacking[0]}.")
    if changed:
        yield Fault("photo_changed", f"{len(changed)} photos are not what was kept, one is {changed[0]}.")
