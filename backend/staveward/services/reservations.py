"""Reservations: asking for a barrel's days, and what is decided about that.

Unlike an act at a barrel a reservation is a wish that competes: a rule may answer no, with the reason. Where only
the days stand against it the wish is kept as waiting, with the next free date.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from uuid import UUID

from staveward.models import (
    HOLDS_DAYS,
    Act,
    Person,
    Reservation,
    ReservationShare,
    ReservationState,
    Role,
)
from staveward.science.bookings import LONGEST_BOOKING_DAYS
from staveward.science.planning import Stopped
from staveward.selectors.occupancy import barrel_calendar, club_today, first_clash, next_free_on
from staveward.selectors.offers import Wish, barrel_closed, barrel_offers
from staveward.selectors.reservation_words import day_words, stopped_words
from staveward.selectors.standing import Standing
from staveward.services.authority import require
from staveward.services.commands import ActCommand, ActKind
from staveward.services.errors import Conflict, Forbidden, Impossible
from staveward.services.feed import FeedRow
from staveward.services.lookup import shares_in
from staveward.services.reservation_days import (
    days_claim,
    days_release,
    pencil_until,
    reservation_save,
    waiting_promote,
)
from staveward.services.water import volume_judged

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
    "NOT_TIGHT": "did not come tight",
}


# --- asking ----------------------------------------------------------------------------------------------


def _authorise_ask(command: ActCommand, standing: Standing) -> None:
    require(command.author, "reserve")


def _judge_ask(command: ActCommand) -> list[str]:
    assert command.barrel is not None
    _no_correction(command)
    _dates_judged(command, command.data["starts_on"], command.data["ends_on"])
    volume_judged(command.barrel, command.data["volume_l"], "volume_l")
    shares = _sharers(command)
    avoided = {one for person, _ in shares for one in person.avoid_allergens}
    if command.data.get("allergens_seen"):
        # Who confirms, confirms for themselves only.
        others = {
            one for person, _ in shares if person.pk != command.author.pk for one in person.avoid_allergens
        }
        avoided &= others
    wish = Wish(
        volume_l=command.data["volume_l"],
        spirit=command.data["spirit"],
        family=command.data["family"],
        earliest=command.data["starts_on"],
        length_days=(command.data["ends_on"] - command.data["starts_on"]).days,
        oak=command.data.get("oak_wish") or 3,
        abv_pct=command.data.get("abv_pct"),
        avoid_allergens=frozenset(avoided),
    )
    offer = barrel_offers(club=command.club, now=command.received_at, wish=wish, barrel=command.barrel)[0]
    verdict = offer.verdict(wish, ignoring_dates=True)
    if isinstance(verdict, Stopped):
        whose = "you avoid" if avoided <= set(command.author.avoid_allergens) else "a sharer avoids"
        raise Conflict(stopped_words(verdict, offer, wish, whose=whose), code=verdict.reason.lower())
    return []


def _save_ask(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    assert command.barrel is not None
    data = command.data
    reservation = Reservation(
        id=act.pk,
        club=command.club,
        barrel=command.barrel,
        person=command.author,
        starts_on=data["starts_on"],
        ends_on=data["ends_on"],
        state=ReservationState.WAITING,
        fill_name=data["fill_name"],
        spirit=data["spirit"],
        family=data["family"],
        volume_l=data["volume_l"],
        abv_pct=data.get("abv_pct"),
        oak_wish=data.get("oak_wish") or 3,
        note=data.get("note") or "",
        asked_at=command.received_at,
    )
    reservation.full_clean(exclude=["club", "barrel", "person"], validate_unique=False)
    taken = barrel_calendar(command.club, command.barrel, command.received_at)
    is_free = first_clash(taken, reservation.starts_on, reservation.ends_on) is None
    reservation.save(force_insert=True)
    ReservationShare.objects.bulk_create(
        ReservationShare(reservation=reservation, person=person, weight=weight)
        for person, weight in _sharers(command)
    )
    if is_free and days_claim(reservation):
        reservation.state = ReservationState.PENCILLED
        reservation.expires_at = pencil_until(command.club, command.received_at)
        reservation.save(update_fields=["state", "expires_at"])
    return [("reservations", reservation.pk)]


def _sharers(command: ActCommand) -> list[tuple[Person, int]]:
    """Returns who the fill is for; whoever asks, alone, when nobody is named."""
    named = command.data.get("sharers") or [{"person": command.author.pk, "weight": 1}]
    shares = shares_in(command.club, named, "sharers")
    for person, _ in shares:
        if person.role in (Role.TABLET, Role.SENSOR):
            raise Impossible.field(
                "sharers",
                str(person.pk),
                "people of this club",
                f"{person.name} is a device and shares nothing.",
            )
    return shares


def _dates_judged(command: ActCommand, starts_on: date, ends_on: date) -> None:
    """Refuses dates that cannot be: out of order, over already, or further than anybody plans."""
    today = club_today(command.club, command.received_at)
    last = today + timedelta(days=LONGEST_BOOKING_DAYS)
    if ends_on <= starts_on:
        raise Impossible.field(
            "ends_on",
            ends_on.isoformat(),
            f"after {starts_on.isoformat()}",
            "A reservation ends after the day it starts.",
        )
    if starts_on < today:
        raise Impossible.field(
            "starts_on", starts_on.isoformat(), f"{today.isoformat()} or later", "That day is over."
        )
    if starts_on > last:
        raise Impossible.field(
            "starts_on",
            starts_on.isoformat(),
            f"up to {last.isoformat()}",
            "Nobody plans further than three years.",
        )
    if (ends_on - starts_on).days > LONGEST_BOOKING_DAYS:
        longest = starts_on + timedelta(days=LONGEST_BOOKING_DAYS)
        raise Impossible.field(
            "ends_on",
            ends_on.isoformat(),
            f"up to {longest.isoformat()}",
            "A reservation lasts at most three years.",
        )


# --- deciding --------------------------------------------------------------------------------------------


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
    _no_correction(command)
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
        _dates_judged(command, starts_on, ends_on)
        _days_judged(command, reservation, starts_on, ends_on)
    if decision == "confirm" and reservation.state == ReservationState.WAITING:
        _dates_judged(command, reservation.starts_on, reservation.ends_on)
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
    return rows


def _owning(command: ActCommand, reservation: Reservation) -> None:
    """Makes sure a reservation owns its days, or refuses."""
    if not reservation.days.exists() and not days_claim(reservation):
        _raise_taken(command, reservation, reservation.starts_on, reservation.ends_on)


def _open_judged(command: ActCommand) -> None:
    assert command.barrel is not None
    closed = barrel_closed(command.club, command.barrel)
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


def _no_correction(command: ActCommand) -> None:
    if command.replaces is not None:
        raise Impossible.field(
            "replaces",
            str(command.replaces.pk),
            "nothing",
            "A reservation is changed by a decision, not corrected.",
        )


def subject_of_decision(command: ActCommand) -> Person | None:
    """Returns whom a decision is about: whoever asked."""
    return _reservation(command).person


KINDS = (
    ActKind("reservations", "event", _authorise_ask, judge=_judge_ask, save_detail=_save_ask),
    ActKind(
        "reservation-decisions",
        "event",
        _authorise_decision,
        judge=_judge_decision,
        save_detail=_save_decision,
        subject=subject_of_decision,
    ),
)
