"""What is said of a code in a blind flight, before anybody knows its name.

A phone that has read the flight names it. One that has not, because there is no signal where the glasses stand, sends
the code alone: it is the flight of that evening that was poured for this taster and has such a glass. Where there is
none, or the pourer's phone has not told of it yet, the score is set aside; the flight takes it up when it arrives.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import QuerySet

from staveward.models import Act, BlindTasting, Club, Flight, FlightGlass, FlightTaster, Person, Placement
from staveward.selectors.standing import Standing
from staveward.services.acts import ordered_instant
from staveward.services.authority import require
from staveward.services.commands import ActCommand, ActKind
from staveward.services.errors import Conflict, FieldProblem, Forbidden, Impossible
from staveward.services.feed import FeedRow
from staveward.services.flight_ends import FINISHED, flight_barrels, flight_in, flight_open, is_finished
from staveward.services.flight_names import names_tell

# A score without its flight belongs to one that was poured within a day before it; phones' clocks differ a little.
POURED_WITHIN, CLOCKS_WITHIN = timedelta(hours=24), timedelta(hours=1)
# Why one is set aside; all but the last two are tried again when a flight arrives.
NO_GLASS, UNCLEAR, TOLD, SCORED = "no_such_glass", "flight_unclear", "flight_open", "already_scored"


def _taster(command: ActCommand) -> Person:
    # Whoever puts a set-aside score right does not become the one who tasted.
    replaced = command.replaces
    return replaced.subject if replaced is not None and replaced.subject is not None else command.author


def _authorise(command: ActCommand, standing: Standing) -> None:
    require(command.author, "flights", detail="Somebody of the club tastes, under their own name.")
    taster = _taster(command)
    if command.data.get("flight") is not None:
        flight = flight_in(command.club, command.data["flight"])
        if flight.pourer_id == taster.pk:
            raise Forbidden("Whoever poured knows the codes and does not score blind.")
        if not FlightTaster.objects.filter(flight=flight, person=taster).exists():
            raise Forbidden("This flight is poured for others.")
    if command.replaces is not None:
        _authorise_again(command, command.replaces)


def _authorise_again(command: ActCommand, replaced: Act) -> None:
    """A score that stands gives way to the same taster's score of the same glass; a waiting one may be put right."""
    glass = replaced.blind_tasting.glass
    if glass is None:
        return
    named = (command.data.get("flight"), command.data["code"])
    if replaced.author_id != command.author.pk or named != (glass.flight_id, glass.code):
        raise Forbidden("A blind score takes the place of one's own score of the same glass only.")


def _judge(command: ActCommand) -> list[str]:
    if command.data.get("flight") is None:
        return []
    flight = flight_in(command.club, command.data["flight"])
    glass = FlightGlass.objects.filter(flight=flight, code=command.data["code"]).first()
    if glass is None:
        raise Impossible.field(
            "code", command.data["code"], "a code of this flight", "No glass of this flight has that code."
        )
    against = _against(glass, _taster(command).pk, ordered_instant(command)[0])
    if against == TOLD:
        raise _refused("The names are known by now. Log it as a taste of its barrel.", TOLD, command)
    if against == SCORED:
        raise _refused(
            "Your score of this glass stands in its barrel's log. Correct it there.", SCORED, command
        )
    return []


def _against(glass: FlightGlass, taster_id: UUID, at: datetime) -> str:
    """Returns why a score of this glass cannot count, empty where it can."""
    opened_at = glass.flight.opened_at
    if opened_at is None:
        return ""
    if at >= opened_at:
        return TOLD
    return SCORED if glass.scores.filter(taster=taster_id).exists() else ""


def _refused(detail: str, code: str, command: ActCommand) -> Conflict:
    field = FieldProblem("code", command.data["code"], "", detail)
    return Conflict(detail, code=code, fields=[field])


def _save(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    taster = _taster(command)
    if command.data.get("flight") is not None:
        glass: FlightGlass | None = FlightGlass.objects.select_related("flight").get(
            flight=command.data["flight"], code=command.data["code"]
        )
        reason = ""
    else:
        glass, reason = _found(command.club, taster.pk, command.data["code"], act.ordered_at)
    BlindTasting.objects.create(
        act=act,
        glass=glass,
        taster=taster,
        liking=command.data["liking"],
        sample_ml=command.data.get("sample_ml"),
    )
    if glass is not None:
        return _counted(glass.flight, act.received_at)
    if act.placement == Placement.PLACED:
        act.placement, act.set_aside_reason = Placement.SET_ASIDE, reason
        act.save(update_fields=["placement", "set_aside_reason"])
    return []


def _counted(flight: Flight, at: datetime) -> list[FeedRow]:
    """Returns what follows where a score of this flight has come to stand."""
    rows: list[FeedRow] = [("flights", flight.pk)]
    if flight.called_off_at is not None:
        return rows
    if flight.opened_at is not None:
        return [*rows, *names_tell(flight)]
    return [*rows, *flight_open(flight, FINISHED, at)] if is_finished(flight) else rows


def _candidates(club: Club, taster_id: UUID, code: str, at: datetime) -> QuerySet[FlightGlass]:
    return FlightGlass.objects.filter(
        flight__club=club,
        flight__tasters__person=taster_id,
        flight__poured_at__gte=at - POURED_WITHIN,
        flight__poured_at__lte=at + CLOCKS_WITHIN,
        code=code,
    ).select_related("flight")


def _found(club: Club, taster_id: UUID, code: str, at: datetime) -> tuple[FlightGlass | None, str]:
    """Returns the glass that this code is of, or why there is none."""
    glasses = list(_candidates(club, taster_id, code, at))
    if len(glasses) > 1:
        # One that was called off was most likely poured again.
        glasses = [glass for glass in glasses if glass.flight.called_off_at is None] or glasses
    if len(glasses) != 1:
        return None, UNCLEAR if glasses else NO_GLASS
    against = _against(glasses[0], taster_id, at)
    return (None, against) if against else (glasses[0], "")


def waiting_place(flight: Flight, at: datetime) -> list[FeedRow]:
    """Takes up the scores that came before their flight."""
    waiting = BlindTasting.objects.filter(
        glass__isnull=True,
        taster__in=flight.tasters.values("person"),
        act__club=flight.club_id,
        act__is_head=True,
        act__set_aside_reason__in=(NO_GLASS, UNCLEAR),
        act__ordered_at__gte=flight.poured_at - CLOCKS_WITHIN,
        act__ordered_at__lte=flight.poured_at + POURED_WITHIN,
    ).select_related("act")
    rows: list[FeedRow] = []
    for score in waiting:
        glass, _ = _found(flight.club, score.taster_id, score.act.body["code"], score.act.ordered_at)
        if glass is None or glass.flight_id != flight.pk:
            continue
        score.glass = glass
        score.save(update_fields=["glass"])
        score.act.placement, score.act.set_aside_reason = Placement.PLACED, ""
        score.act.save(update_fields=["placement", "set_aside_reason"])
        rows.append(("log", score.act_id))
    return [*rows, *_counted(flight, at)] if rows else []


def _barrels(command: ActCommand) -> Iterable[UUID]:
    if command.data.get("flight") is not None:
        return flight_barrels(command)
    at = ordered_instant(command)[0]
    flights = _candidates(command.club, _taster(command).pk, command.data["code"], at).values("flight")
    glasses = FlightGlass.objects.filter(flight__in=flights)
    return glasses.values_list("barrel_id", flat=True).order_by().distinct()


KINDS = (
    ActKind(
        "blind-tastings",
        "apart",
        _authorise,
        judge=_judge,
        save_detail=_save,
        subject=_taster,
        barrels=_barrels,
    ),
)
