"""The days that reservations own: claimed, given back, and offered on to whoever waits.

Everything here runs under the barrel's lock. One row a barrel and day, unique on every database, decides a race
even where the lock could not.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta
from uuid import UUID

from django.db import IntegrityError, transaction

from staveward.models import (
    HOLDS_DAYS,
    Barrel,
    Club,
    Fill,
    Placement,
    Reservation,
    ReservationDay,
    ReservationEnd,
    ReservationState,
)
from staveward.selectors.occupancy import barrel_calendar, club_today, first_clash
from staveward.selectors.offers import barrel_closed
from staveward.services.feed import FeedRow, feed_publish
from staveward.services.locking import lock_barrels

# What a fill fulfils. One that lapsed and was filled all the same is filled; a refused or withdrawn one is not.
FILLABLE = (*HOLDS_DAYS, ReservationState.WAITING, ReservationState.EXPIRED)
CAME_FREE = "The days came free, so they are pencilled for you now."
NOT_CONFIRMED = "Nobody confirmed it in time."
DAYS_PASSED = "Its days passed before it was filled."


def days_claim(reservation: Reservation) -> bool:
    """Gives a reservation its days; False, and none of them, when another one owns any."""
    length = (reservation.ends_on - reservation.starts_on).days
    days = [
        ReservationDay(
            barrel_id=reservation.barrel_id,
            day=reservation.starts_on + timedelta(days=number),
            reservation=reservation,
        )
        for number in range(length)
    ]
    try:
        with transaction.atomic():
            ReservationDay.objects.bulk_create(days, batch_size=400)
    except IntegrityError:
        return False
    return True


def days_release(reservation: Reservation) -> None:
    """Gives back the days a reservation owned."""
    ReservationDay.objects.filter(reservation=reservation).delete()


def reservation_save(reservation: Reservation, *changed: str) -> None:
    """Saves the named fields, and counts the version on so that an older copy is known as such."""
    reservation.version += 1
    reservation.save(update_fields=[*changed, "version"])


def pencil_until(club: Club, now: datetime) -> datetime:
    """Returns when a pencilled reservation lapses unless somebody confirms it."""
    return now + timedelta(days=club.pencil_days)


def waiting_promote(*, club: Club, barrel: Barrel, now: datetime) -> list[FeedRow]:
    """Pencils those who wait, first come first, wherever their days are free now; returns the feed rows."""
    waiting = Reservation.objects.for_club(club).filter(
        barrel=barrel, state=ReservationState.WAITING, starts_on__gte=club_today(club, now)
    )
    in_line = list(waiting.order_by("asked_at", "id"))
    if not in_line or barrel_closed(club, barrel, now):
        return []
    rows: list[FeedRow] = []
    for reservation in in_line:
        taken = barrel_calendar(club, barrel, now)
        if first_clash(taken, reservation.starts_on, reservation.ends_on) or not days_claim(reservation):
            continue
        reservation.state = ReservationState.PENCILLED
        reservation.expires_at = pencil_until(club, now)
        reservation.reason = CAME_FREE
        reservation_save(reservation, "state", "expires_at", "reason")
        rows.append(("reservations", reservation.pk))
    return rows


def line_rows(barrel_id: UUID) -> list[FeedRow]:
    """Returns the feed rows of those who wait for a barrel: their places in line hang on one another."""
    waiting = Reservation.objects.filter(barrel_id=barrel_id, state=ReservationState.WAITING)
    return [("reservations", reservation_id) for reservation_id in waiting.values_list("pk", flat=True)]


def reservation_fulfil(reservation: Reservation) -> list[FeedRow]:
    """Marks a reservation as filled: from now on the fill itself holds the barrel."""
    days_release(reservation)
    end = ReservationEnd.objects.filter(reservation=reservation).first()
    if end is not None:
        # What was poured for it is no longer a retirement's to give back.
        reservation.reason = end.reason
        end.delete()
    reservation.state = ReservationState.FILLED
    reservation.expires_at = None
    reservation_save(reservation, "state", "expires_at", "reason")
    return [("reservations", reservation.pk), *line_rows(reservation.barrel_id)]


def fulfilment_lay(barrel: Barrel, now: datetime) -> list[FeedRow]:
    """Holds the reservations of a barrel to its fills: one that was filled, and stands no more, is asked for again."""
    stands: dict[UUID, bool] = {}
    fills = Fill.objects.filter(act__barrel=barrel, reservation__isnull=False)
    for reservation_id, is_head, placement in fills.values_list(
        "reservation_id", "act__is_head", "act__placement"
    ):
        counts = is_head and placement == Placement.PLACED
        stands[reservation_id] = stands.get(reservation_id, False) or counts
    rows: list[FeedRow] = []
    if not stands:
        return rows
    reservations = Reservation.objects.for_club(barrel.club).filter(pk__in=stands)
    for reservation in reservations.order_by("asked_at", "id"):
        if stands[reservation.pk] and reservation.state in FILLABLE:
            rows += reservation_fulfil(reservation)
        elif not stands[reservation.pk] and reservation.state == ReservationState.FILLED:
            rows += _unfulfil(reservation, barrel.club, now)
    return rows


def reservation_lapse(reservation: Reservation, reason: str) -> None:
    """Ends a reservation with the reason, and gives back its days."""
    days_release(reservation)
    reservation.state = ReservationState.EXPIRED
    reservation.expires_at = None
    reservation.reason = reason
    reservation_save(reservation, "state", "expires_at", "reason")


def _unfulfil(reservation: Reservation, club: Club, now: datetime) -> list[FeedRow]:
    if _ended_in_its_way(reservation) or not days_claim(reservation):
        reservation.state = ReservationState.WAITING
    elif reservation.decided_by_id is not None:
        reservation.state = ReservationState.CONFIRMED
    else:
        reservation.state = ReservationState.PENCILLED
        reservation.expires_at = pencil_until(club, now)
    reservation_save(reservation, "state", "expires_at")
    return [("reservations", reservation.pk), *line_rows(reservation.barrel_id)]


def _ended_in_its_way(reservation: Reservation) -> bool:
    """Whether its days are those of another that its barrel's retirement ended: taken back, that one has them again."""
    return ReservationEnd.objects.filter(
        state__in=HOLDS_DAYS,
        reservation__barrel=reservation.barrel_id,
        reservation__starts_on__lt=reservation.ends_on,
        reservation__ends_on__gt=reservation.starts_on,
    ).exists()


def reservation_expire(*, now: datetime) -> int:
    """Lets reservations lapse whose time is over and offers their days on; returns how many lapsed.

    A pencilled one lapses when nobody confirmed it in time, a waiting one when its first day is past, a confirmed
    one when its last day is past and nothing was filled. Who waits is looked at too: a fill that came out early
    gives days back that nobody's decision did. Safe to run again at any time.
    """
    lapsed = 0
    for club in Club.objects.all():
        due = {
            row.barrel_id
            for row in reservations_open(club)
            if row.state == ReservationState.WAITING or why_lapsed(club, row, now)
        }
        for barrel_id in sorted(due):
            lapsed += _barrel_expire(club, barrel_id, now)
    return lapsed


def reservations_open(club: Club, barrel_ids: Iterable[UUID] | None = None) -> list[Reservation]:
    """Returns the reservations that stand or wait, of some barrels or of all."""
    rows = Reservation.objects.for_club(club).filter(state__in=[*HOLDS_DAYS, ReservationState.WAITING])
    if barrel_ids is not None:
        rows = rows.filter(barrel_id__in=list(barrel_ids))
    return list(rows.order_by("id"))


def why_lapsed(club: Club, reservation: Reservation, now: datetime) -> str:
    """Returns why a reservation is over, or "" while it stands."""
    today = club_today(club, now)
    if reservation.state == ReservationState.PENCILLED:
        if reservation.expires_at is not None and reservation.expires_at <= now:
            return NOT_CONFIRMED
        return DAYS_PASSED if reservation.ends_on <= today else ""
    if reservation.state == ReservationState.WAITING:
        return DAYS_PASSED if reservation.starts_on < today else ""
    return DAYS_PASSED if reservation.ends_on <= today else ""


def _barrel_expire(club: Club, barrel_id: UUID, now: datetime) -> int:
    with transaction.atomic():
        barrel = lock_barrels(club, [barrel_id])[barrel_id]
        rows: list[FeedRow] = []
        for reservation in reservations_open(club, [barrel_id]):
            reason = why_lapsed(club, reservation, now)
            if not reason:
                continue
            reservation_lapse(reservation, reason)
            rows.append(("reservations", reservation.pk))
        lapsed = len(rows)
        rows += waiting_promote(club=club, barrel=barrel, now=now)
        if rows:
            feed_publish(club, [*rows, *line_rows(barrel_id), ("barrels", barrel_id)])
    return lapsed
