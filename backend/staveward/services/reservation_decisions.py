"""What is decided about a reservation: confirmed, refused, moved, withdrawn.

Days that a decision gives back are pencilled at once for the first who waits for them.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from uuid import UUID

from staveward.models import HOLDS_DAYS, Act, Person, Reservation, ReservationState
from staveward.selectors.occupancy import barrel_calendar, first_clash, next_free_on
from staveward.selectors.offers import barrel_closed
from staveward.selectors.reservation_words import day_words
from staveward.selectors.standing import Standing
from staveward.services.authority import require
from staveward.services.commands import ActCommand, ActKind
from staveward.services.errors import Conflict, Forbidden, Impossible
from staveward.services.feed import FeedRow
from staveward.services.reservation_days import (
    days_claim,
    days_release,
    line_rows,
    pencil_until,
    reservation_save,
    waiting_promote,
)
from staveward.services.reservations import dates_judged, no_correction

OPEN_STATES = (*HOLDS_DAYS, ReservationState.WAITING)
STATE_WORDS = {
    ReservationState.CONFIRMED.value: "is confirmed already",
    ReservationState.REFUSED.value: "was refused",
    ReservationState.WITHDRAWN.value: "was withdrawn",
    ReservationState.EXPIRED.value: "has lapsed",
    ReservationState.FILLED.value: "has been filled",
}
CLOSED_WORDS = {
    "RETIRED": "is retired",
    "QUARANTINE": "is in quarantine",
    "NOT_TIGHT": "is not tight",
}


def _authorise_decision(command: ActCommand, standing: Standing) -> None:
    reservation = _reservation(command)
    if command.data["decision"] == "withdraw":
        if reservation.person_id != command.author.pk:
            raise Forbidden("Only whoever asked withdraws a reservation; the keeper may refuse it.")
        require(command.author, "reserve")
        return
    require(
        command.author,
        "decide_reservation",
        owners=standing.owners,
        detail="Only the keeper confirms a reservation.",
    )


def _judge_decision(command: ActCommand) -> list[str]:
    no_correction(command)
    reservation = _reservation(command)
    decision = command.data["decision"]
    if reservation.state not in OPEN_STATES or (
        decision == "confirm" and reservation.state == ReservationState.CONFIRMED
    ):
        raise Conflict(f"This reservation {STATE_WORDS[reservation.state]}.", code="reservation_settled")
    if decision == "refuse" and not (command.data.get("reason") or "").strip():
        raise Impossible.field("reason", None, "a sentence", "Say why, so that whoever asked understands.")
    if decision in ("confirm", "move"):
        _open_judged(command)
    if decision == "move":
        starts_on, ends_on = _dates_moved(command)
        dates_judged(command, starts_on, ends_on)
        _days_judged(command, reservation, starts_on, ends_on)
    if decision == "confirm" and reservation.state == ReservationState.WAITING:
        dates_judged(command, reservation.starts_on, reservation.ends_on)
        _days_judged(command, reservation, reservation.starts_on, reservation.ends_on)
    return []


def _save_decision(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    assert command.barrel is not None
    reservation = _reservation(command)
    decision = command.data["decision"]
    reservation.decided_by = command.author
    reservation.reason = command.data.get("reason") or ""
    if decision == "confirm":
        _owning(command, reservation)
        reservation.state = ReservationState.CONFIRMED
        reservation.expires_at = None
    elif decision == "move":
        days_release(reservation)
        reservation.starts_on, reservation.ends_on = _dates_moved(command)
        if reservation.state == ReservationState.WAITING:
            reservation.state = ReservationState.PENCILLED
            reservation.expires_at = pencil_until(command.club, command.received_at)
        _owning(command, reservation)
    else:
        days_release(reservation)
        reservation.state = ReservationState.REFUSED if decision == "refuse" else ReservationState.WITHDRAWN
        reservation.expires_at = None
    reservation_save(reservation, "decided_by", "reason", "state", "starts_on", "ends_on", "expires_at")
    rows: list[FeedRow] = [("reservations", reservation.pk)]
    if decision != "confirm":
        rows += waiting_promote(club=command.club, barrel=command.barrel, now=command.received_at)
    return [*rows, *line_rows(command.barrel.pk)]


def _owning(command: ActCommand, reservation: Reservation) -> None:
    """Makes sure a reservation owns its days, or refuses."""
    if not reservation.days.exists() and not days_claim(reservation):
        _raise_taken(command, reservation, reservation.starts_on, reservation.ends_on)


def _open_judged(command: ActCommand) -> None:
    assert command.barrel is not None
    closed = barrel_closed(command.club, command.barrel, command.received_at)
    if closed:
        raise Conflict(f"{command.barrel.name} {CLOSED_WORDS[closed]}.", code=closed.lower())


def _days_judged(command: ActCommand, reservation: Reservation, starts_on: date, ends_on: date) -> None:
    assert command.barrel is not None
    taken = barrel_calendar(command.club, command.barrel, command.received_at, leave_out=reservation.pk)
    if first_clash(taken, starts_on, ends_on) is not None:
        _raise_taken(command, reservation, starts_on, ends_on)


def _raise_taken(command: ActCommand, reservation: Reservation, starts_on: date, ends_on: date) -> None:
    assert command.barrel is not None
    taken = barrel_calendar(command.club, command.barrel, command.received_at, leave_out=reservation.pk)
    free_on = next_free_on(taken, starts_on, (ends_on - starts_on).days)
    raise Conflict(
        f"{command.barrel.name} is taken then; it is free for that long from {day_words(free_on)}.",
        code="days_taken",
    )


def _dates_moved(command: ActCommand) -> tuple[date, date]:
    """Returns the dates a move names; both are needed."""
    for field in ("starts_on", "ends_on"):
        if command.data.get(field) is None:
            raise Impossible.field(field, None, "a date", "A move says from when and until when.")
    return command.data["starts_on"], command.data["ends_on"]


def _reservation(command: ActCommand) -> Reservation:
    named: UUID = command.data["reservation"]
    reservation = Reservation.objects.for_club(command.club).filter(pk=named).first()
    if reservation is None:
        raise Impossible.field(
            "reservation",
            str(named),
            "a reservation of this club",
            "No reservation of that key is in this club.",
        )
    return reservation


def subject_of_decision(command: ActCommand) -> Person | None:
    """Returns whom a decision is about: whoever asked."""
    return _reservation(command).person


KINDS = (
    ActKind(
        "reservation-decisions",
        "event",
        _authorise_decision,
        judge=_judge_decision,
        save_detail=_save_decision,
        subject=subject_of_decision,
    ),
)
