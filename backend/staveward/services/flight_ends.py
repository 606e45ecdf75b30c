"""How a blind flight ends: its names are told, by the last score or by its pourer, or it is called off.

Either way what was poured leaves the stock. Called off, no name is told and no score counts; the scores stay as they
were said.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from staveward.models import Act, Club, Flight, FlightGlass, FlightTaster
from staveward.selectors.standing import Standing
from staveward.services.authority import require
from staveward.services.commands import ActCommand, ActKind
from staveward.services.errors import Conflict, FieldProblem, Forbidden, Impossible
from staveward.services.feed import FeedRow
from staveward.services.flight_names import logs_follow, names_tell
from staveward.services.flight_samples import samples_tell

FINISHED, CLOSED = "finished", "closed"


def flight_in(club: Club, flight_id: UUID) -> Flight:
    """Returns a flight of the club."""
    flight = Flight.objects.for_club(club).filter(pk=flight_id).first()
    if flight is None:
        raise Impossible.field(
            "flight", str(flight_id), "a flight of this club", "No flight of that key is in this club."
        )
    return flight


def flight_barrels(command: ActCommand) -> Iterable[UUID]:
    """Names the barrels whose logs an end will write to; an unknown flight is refused a little later."""
    glasses = FlightGlass.objects.filter(flight__club=command.club, flight=command.data["flight"])
    return glasses.values_list("barrel_id", flat=True).order_by().distinct()


def flight_open(flight: Flight, by: str, at: datetime) -> list[FeedRow]:
    """Tells the names."""
    flight.opened_at, flight.opened_by = at, by
    flight.save(update_fields=["opened_at", "opened_by"])
    return [("flights", flight.pk), *names_tell(flight)]


def is_finished(flight: Flight) -> bool:
    """Whether everybody has scored every glass."""
    tasters = {taster.person_id for taster in flight.tasters.all()}
    glasses = flight.glasses.prefetch_related("scores")
    return all(tasters <= {score.taster_id for score in glass.scores.all()} for glass in glasses)


def _authorise(command: ActCommand, standing: Standing) -> None:
    flight = flight_in(command.club, command.data["flight"])
    if flight.pourer_id != command.author.pk:
        require(command.author, "close_flight", detail="Whoever poured the flight ends it, or the keeper.")
    if FlightTaster.objects.filter(flight=flight, person=command.author).exists():
        raise Forbidden("Whoever tastes does not end the flight.")


def _refused(flight: Flight, detail: str, code: str) -> Conflict:
    return Conflict(detail, code=code, fields=[FieldProblem("flight", str(flight.pk), "", detail)])


def _judge_closing(command: ActCommand) -> list[str]:
    flight = flight_in(command.club, command.data["flight"])
    if flight.called_off_at is not None:
        raise _refused(flight, "This flight was called off; there are no names to tell.", "called_off")
    tasters = {taster.person_id for taster in flight.tasters.all()}
    scored = set(flight.glasses.filter(scores__isnull=False).values_list("scores__taster", flat=True))
    for person_id in command.data.get("not_poured_for") or ():
        if person_id not in tasters:
            raise Impossible.field(
                "not_poured_for",
                str(person_id),
                "tasters of this flight",
                "They do not taste in this flight.",
            )
        if person_id in scored:
            raise Impossible.field(
                "not_poured_for",
                str(person_id),
                "tasters who scored nothing",
                "They have scored a glass, so some was poured for them.",
            )
    return []


def _save_closing(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    flight = flight_in(command.club, command.data["flight"])
    if flight.opened_at is not None:
        # The last score may have opened it while the closing was on its way: then it says nothing new.
        return []
    away = command.data.get("not_poured_for") or ()
    FlightTaster.objects.filter(flight=flight, person__in=away).update(is_poured=False)
    return flight_open(flight, CLOSED, act.received_at)


def _judge_cancellation(command: ActCommand) -> list[str]:
    flight = flight_in(command.club, command.data["flight"])
    if flight.opened_at is not None:
        raise _refused(flight, "The names are known by now. Take back the tastings instead.", "flight_open")
    return []


def _save_cancellation(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    flight = flight_in(command.club, command.data["flight"])
    if flight.called_off_at is not None:
        return []
    flight.called_off_at, flight.called_off_by = act.received_at, command.author
    flight.called_off_reason = command.data["reason"]
    flight.save(update_fields=["called_off_at", "called_off_by", "called_off_reason"])
    drawn = samples_tell(flight) if command.data["is_poured"] else []
    return [("flights", flight.pk), *logs_follow(flight, drawn)]


KINDS = (
    ActKind(
        "flight-closings",
        "apart",
        _authorise,
        judge=_judge_closing,
        save_detail=_save_closing,
        barrels=flight_barrels,
    ),
    ActKind(
        "flight-cancellations",
        "apart",
        _authorise,
        judge=_judge_cancellation,
        save_detail=_save_cancellation,
        barrels=flight_barrels,
    ),
)
