"""Asking for a barrel's days.

Unlike an act at a barrel a reservation is a wish that competes: a rule may answer no, with the reason. Where only
the days stand against it the wish is kept as waiting, with the next free date.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from staveward.models import (
    Act,
    Person,
    Reservation,
    ReservationShare,
    ReservationState,
    Role,
)
from staveward.science.bookings import LONGEST_BOOKING_DAYS
from staveward.science.planning import Stopped
from staveward.selectors.occupancy import barrel_calendar, club_today, first_clash
from staveward.selectors.offers import Wish, barrel_offers
from staveward.selectors.reservation_words import stopped_words
from staveward.selectors.standing import Standing
from staveward.services.authority import require
from staveward.services.commands import ActCommand, ActKind
from staveward.services.errors import Conflict, Impossible
from staveward.services.feed import FeedRow
from staveward.services.lookup import shares_in
from staveward.services.reservation_days import (
    days_claim,
    pencil_until,
)
from staveward.services.water import volume_judged


def _authorise_ask(command: ActCommand, standing: Standing) -> None:
    require(command.author, "reserve")


def _judge_ask(command: ActCommand) -> list[str]:
    assert command.barrel is not None
    no_correction(command)
    dates_judged(command, command.data["starts_on"], command.data["ends_on"])
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


def dates_judged(command: ActCommand, starts_on: date, ends_on: date) -> None:
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


def no_correction(command: ActCommand) -> None:
    """Refuses a correction: a wish and what was decided about it are followed by another decision."""
    if command.replaces is not None:
        raise Impossible.field(
            "replaces",
            str(command.replaces.pk),
            "nothing",
            "A reservation is changed by a decision, not corrected.",
        )


KINDS = (ActKind("reservations", "event", _authorise_ask, judge=_judge_ask, save_detail=_save_ask),)
