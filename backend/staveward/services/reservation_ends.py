"""A barrel's retirement and its reservations: what it ends, and what comes back when it is taken back.

What was ended is kept as it was, beside the retirement that stands. So it comes back whichever way the retirement goes:
voided, or corrected to be another barrel's. A reservation whose days are over by then, or somebody else's, stays ended;
whoever had it is told either way. An open fill stands in nobody's way here: it moves no reservation elsewhere either.

Everything runs under the barrel's lock, after its log has been laid.
"""

from __future__ import annotations

from datetime import datetime
from uuid import UUID

from staveward.models import HOLDS_DAYS, Act, Barrel, Placement, Reservation, ReservationEnd, ReservationState
from staveward.selectors.notices import RESTORED, STAYS_ENDED
from staveward.services.feed import FeedRow
from staveward.services.notices import RESERVER, notices_of_reservations
from staveward.services.reservation_days import (
    days_claim,
    line_rows,
    pencil_until,
    reservation_lapse,
    reservation_save,
    reservations_open,
    why_lapsed,
)

GIVEN_AWAY = "Its days were given to somebody else meanwhile."


def retirement_lay(barrel: Barrel, now: datetime) -> list[FeedRow]:
    """Holds the reservations of a barrel to its retirement: ended by one that stands, given back where none does."""
    ends = list(
        ReservationEnd.objects.filter(reservation__barrel=barrel)
        .select_related("reservation")
        .order_by("reservation__asked_at", "pk")
    )
    act = Act.objects.filter(
        barrel=barrel,
        collection="retirements",
        is_head=True,
        is_void=False,
        placement=Placement.PLACED,
    ).first()
    if act is None:
        return _give_back(barrel, ends, now) if ends else []
    return _end(act, barrel, ends)


def _end(act: Act, barrel: Barrel, ends: list[ReservationEnd]) -> list[FeedRow]:
    """Ends what is open, with the retirement's reason; a corrected one puts its own in the place of the earlier."""
    reason = f"{barrel.name} was retired: {act.body.get('reason', '')}"[:300]
    ended: list[Reservation] = []
    for reservation in reservations_open(barrel.club, [barrel.pk]):
        ReservationEnd.objects.create(
            reservation=reservation,
            act=act,
            state=reservation.state,
            expires_at=reservation.expires_at,
            reason=reservation.reason,
        )
        reservation_lapse(reservation, reason)
        ended.append(reservation)
    for end in ends:
        if end.act_id == act.pk:
            continue
        end.act = act
        end.save(update_fields=["act"])
        end.reservation.reason = reason
        reservation_save(end.reservation, "reason")
        ended.append(end.reservation)
    if not ended:
        return []
    told = dict.fromkeys(_people(ended) - {act.author_id}, RESERVER)
    return [
        *(("reservations", reservation.pk) for reservation in ended),
        *notices_of_reservations(act, barrel, told),
    ]


def _give_back(barrel: Barrel, ends: list[ReservationEnd], now: datetime) -> list[FeedRow]:
    """Gives back what a retirement ended that stands no more; whose days are gone is told that it stays ended."""
    undone = _undoing(ends[0].act)
    back: list[Reservation] = []
    gone: list[Reservation] = []
    for end in ends:
        (back if _returned(end, barrel, now) else gone).append(end.reservation)
        end.delete()
    # Who took it back sees what comes back; that one of their own does not is news to them too.
    told = dict.fromkeys(_people(back) - {undone.author_id}, RESTORED) | dict.fromkeys(
        _people(gone), STAYS_ENDED
    )
    return [
        *(("reservations", reservation.pk) for reservation in (*back, *gone)),
        *line_rows(barrel.pk),
        *notices_of_reservations(undone, barrel, told),
    ]


def _returned(end: ReservationEnd, barrel: Barrel, now: datetime) -> bool:
    """Puts a reservation back as it was where its days are still ahead and nobody else's; else says why not."""
    reservation = end.reservation
    reservation.state = end.state
    reservation.expires_at = end.expires_at
    reservation.reason = end.reason
    if end.state == ReservationState.PENCILLED and (end.expires_at is None or end.expires_at <= now):
        # Nobody could confirm it while its barrel was retired.
        reservation.expires_at = pencil_until(barrel.club, now)
    why = why_lapsed(barrel.club, reservation, now)
    if not why and end.state in HOLDS_DAYS and not days_claim(reservation):
        why = GIVEN_AWAY
    if why:
        reservation.state, reservation.expires_at, reservation.reason = ReservationState.EXPIRED, None, why
    reservation_save(reservation, "state", "expires_at", "reason")
    return not why


def _undoing(retirement: Act) -> Act:
    """Returns the newest word about a retirement: the void, or the correction that made it another barrel's."""
    newest = retirement
    while (
        after := Act.objects.filter(replaces=newest).exclude(set_aside_reason="already_corrected").first()
    ) is not None:
        newest = after
    return newest


def _people(reservations: list[Reservation]) -> set[UUID]:
    """Returns whoever asked for these, or shares what was to be filled."""
    return {
        person_id
        for reservation in reservations
        for person_id in (
            reservation.person_id,
            *reservation.shares.values_list("person_id", flat=True),
        )
    }
