"""Reservations as people read them, and the barrels that suit a wish."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID

from django.db.models import QuerySet

from staveward.models import HOLDS_DAYS, Club, Person, Reservation, ReservationState
from staveward.science.bookings import LONGEST_BOOKING_DAYS
from staveward.science.errors import OutOfRange
from staveward.science.planning import Stopped, Suited
from staveward.selectors.authority import permits
from staveward.selectors.geometry import barrel_shape
from staveward.selectors.occupancy import barrel_calendar, club_today, first_clash, next_free_on, noon_of
from staveward.selectors.offers import Offer, Wish, barrel_offers
from staveward.selectors.questions import Scope
from staveward.selectors.reservation_words import stopped_words, suited_words
from staveward.selectors.shapes import date_text, instant_text, key_text
from staveward.selectors.stays import fills_shared_by
from staveward.selectors.wood import carry_over

OPEN_STATES = (*HOLDS_DAYS, ReservationState.WAITING)


def reservation_queryset(club: Club) -> QuerySet[Reservation]:
    """Returns the club's reservations, soonest first."""
    return (
        Reservation.objects.for_club(club)
        .select_related("barrel")
        .prefetch_related("shares")
        .order_by("starts_on", "id")
    )


def reservation_rows(reservations: Iterable[Reservation], reader: Person) -> list[dict[str, Any]]:
    """Returns reservations as the reader may see them; the number of queries does not depend on how many.

    That days are spoken for, by whom and for what, is for everybody; a note is its people's and the keepers'.
    """
    page = list(reservations)
    lines = _lines({row.barrel_id for row in page if row.state == ReservationState.WAITING})
    return [_row(row, lines, reader) for row in page]


def reservation_row(reservation: Reservation, reader: Person) -> dict[str, Any]:
    """Returns one reservation as the reader may see it."""
    return reservation_rows([reservation], reader)[0]


def reservation_answer(
    *, club: Club, reservation: Reservation, reader: Person, now: datetime
) -> dict[str, Any]:
    """Returns what somebody who asked is told: the reservation, who stands in the way, and the next free date."""
    clash = None
    next_free: date | None = None
    if reservation.state == ReservationState.WAITING:
        taken = barrel_calendar(club, reservation.barrel, now, leave_out=reservation.pk)
        clash = first_clash(taken, reservation.starts_on, reservation.ends_on)
        length_days = (reservation.ends_on - reservation.starts_on).days
        next_free = next_free_on(taken, max(reservation.starts_on, club_today(club, now)), length_days)
    return {
        "reservation": reservation_row(reservation, reader),
        "clash": None
        if clash is None
        else {
            "starts_on": date_text(clash.starts_on),
            "ends_on": date_text(clash.ends_on),
            "person": key_text(clash.person_id),
            "state": clash.state,
        },
        "next_free_on": date_text(next_free),
    }


def _lines(barrel_ids: set[UUID]) -> dict[UUID, list[tuple[UUID, date, date]]]:
    """Returns who waits for each barrel, first come first."""
    lines: dict[UUID, list[tuple[UUID, date, date]]] = {}
    if barrel_ids:
        waiting = Reservation.objects.filter(barrel_id__in=barrel_ids, state=ReservationState.WAITING)
        for row in waiting.order_by("asked_at", "id").values_list("barrel_id", "id", "starts_on", "ends_on"):
            lines.setdefault(row[0], []).append(row[1:])
    return lines


def _place_in_line(row: Reservation, lines: dict[UUID, list[tuple[UUID, date, date]]]) -> int | None:
    """Returns the place among those who wait for days of the same barrel that touch: 1 is next."""
    if row.state != ReservationState.WAITING:
        return None
    place = 1
    for waiting_id, starts_on, ends_on in lines.get(row.barrel_id, []):
        if waiting_id == row.pk:
            break
        place += starts_on < row.ends_on and row.starts_on < ends_on
    return place


def _row(
    row: Reservation, lines: dict[UUID, list[tuple[UUID, date, date]]], reader: Person
) -> dict[str, Any]:
    shares = list(row.shares.all())
    is_theirs = reader.is_keeper or reader.pk in {row.person_id, *(share.person_id for share in shares)}
    return {
        "id": str(row.pk),
        "version": row.version,
        "barrel": str(row.barrel_id),
        "person": str(row.person_id),
        "starts_on": date_text(row.starts_on),
        "ends_on": date_text(row.ends_on),
        "state": row.state,
        "waiting_place": _place_in_line(row, lines),
        "fill_name": row.fill_name,
        "spirit": row.spirit,
        "family": row.family,
        "volume_l": row.volume_l,
        "abv_pct": row.abv_pct,
        "oak_wish": row.oak_wish,
        "shares": [{"person": str(share.person_id), "weight": share.weight} for share in shares],
        "note": row.note if is_theirs else "",
        "asked_at": instant_text(row.asked_at),
        "expires_at": instant_text(row.expires_at),
        "decided_by": key_text(row.decided_by_id),
        "reason": row.reason,
    }


def wish_of(
    *,
    club: Club,
    reader: Person,
    now: datetime,
    volume_l: float,
    spirit: str,
    family: str,
    earliest: date,
    length: timedelta,
    oak: int,
    abv_pct: float | None = None,
    allergens_seen: bool = False,
) -> Wish:
    """Returns what the reader wants to fill; the days of turning the barrel round are added to theirs.

    Refuses a first day that is over, or further off than anybody plans.
    """
    today = club_today(club, now)
    last = today + timedelta(days=LONGEST_BOOKING_DAYS)
    if not today <= earliest <= last:
        raise OutOfRange("earliest", earliest.isoformat(), f"{today.isoformat()} to {last.isoformat()}")
    return Wish(
        volume_l=volume_l,
        spirit=spirit,
        family=family,
        earliest=earliest,
        length_days=min(length.days + club.turnaround_days, LONGEST_BOOKING_DAYS),
        oak=oak,
        abv_pct=abv_pct,
        avoid_allergens=frozenset() if allergens_seen else frozenset(reader.avoid_allergens),
    )


@dataclass(frozen=True)
class _Reader:
    """What the reader may know of the last fills."""

    sees_all: bool
    shared: frozenset[UUID]

    def is_veiled(self, offer: Offer) -> bool:
        """Whether the last fill's name is not for the reader."""
        last = offer.last_fill
        return last is not None and last.is_private and not self.sees_all and last.act_id not in self.shared


def barrel_suggestions(*, club: Club, reader: Person, wish: Wish, now: datetime) -> dict[str, Any]:
    """Returns the barrels that suit a wish, best first, with reasons, and those that do not this time, with theirs."""
    scope = Scope(club.pk)
    eyes = _Reader(permits(reader, "see_private"), fills_shared_by(reader.pk, scope))
    suits: list[tuple[Suited, Offer]] = []
    not_this_time: list[dict[str, Any]] = []
    for offer in barrel_offers(club=club, now=now, wish=wish):
        verdict = offer.verdict(wish)
        if isinstance(verdict, Suited):
            suits.append((verdict, offer))
        elif verdict.reason != "RETIRED":
            not_this_time.append(_not_this_time(verdict, offer, wish))
    suits.sort(key=lambda pair: (-pair[0].points, pair[0].starts_on, pair[1].barrel.name))
    return {
        "suits": [_suits(club, suited, offer, wish, eyes, now) for suited, offer in suits],
        "not_this_time": not_this_time,
    }


def _suits(
    club: Club, suited: Suited, offer: Offer, wish: Wish, eyes: _Reader, now: datetime
) -> dict[str, Any]:
    barrel = offer.barrel
    # A wet hold goes on washing until the day of the fill.
    poured_at = max(now, noon_of(club, suited.starts_on))
    leaves = (
        carry_over(barrel_shape(barrel), barrel.stave_mm, offer.stays, barrel.adopted, poured_at)
        if offer.families
        else None
    )
    is_veiled = eyes.is_veiled(offer)
    last = offer.last_fill
    return {
        "barrel": str(barrel.pk),
        "points": suited.points,
        "starts_on": date_text(suited.starts_on),
        "ends_on": date_text(suited.starts_on + wish.length),
        "parts": {part: round(float(getattr(suited, part)), 1) for part in ("fill", "oak", "time", "carry")},
        "reasons": suited_words(suited, offer, wish, leaves, club_today(club, now), is_veiled=is_veiled),
        "carry_over_pct": leaves,
        "ask_keeper": suited.is_ask or offer.is_history_unknown,
        "held_last": None if last is None or is_veiled else last.name,
        "allergens": list(offer.allergens),
        "waiting": offer.waiting,
    }


def _not_this_time(stopped: Stopped, offer: Offer, wish: Wish) -> dict[str, Any]:
    return {
        "barrel": str(offer.barrel.pk),
        "code": stopped.reason.lower(),
        "detail": stopped_words(stopped, offer, wish),
    }
