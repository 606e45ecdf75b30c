"""Blind flights: poured by one, tasted by others under codes, opened when all have scored or the pourer says so.

Until then a score is an entry about a code: it stands in no barrel's log, teaches no forecast and takes nothing off
the stock, because a volume that moved at once would tell which barrels stand in the glasses, and which one twice. At
the opening the service writes each score into its barrel's log as the taster's own tasting of that evening.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from random import SystemRandom
from typing import NamedTuple
from uuid import UUID

from staveward.models import (
    Act,
    Barrel,
    BlindTasting,
    Club,
    Fill,
    FillShare,
    Flight,
    FlightGlass,
    FlightTaster,
    Person,
    Role,
)
from staveward.selectors.authority import permits
from staveward.selectors.standing import Standing
from staveward.services.acts import ordered_instant
from staveward.services.authority import require
from staveward.services.commands import ActCommand, ActKind
from staveward.services.errors import Conflict, FieldProblem, Forbidden, Impossible
from staveward.services.feed import FeedRow
from staveward.services.flight_codes import codes_in_order, glasses_lay
from staveward.services.flight_names import names_tell

FINISHED, CLOSED = "finished", "closed"


class PouredFill(NamedTuple):
    """A fill that is poured blind: the act that its tastings will name, and who may taste it."""

    club: Club
    act_id: UUID
    barrel_id: UUID
    barrel_name: str
    abv_pct: float
    sharers: frozenset[UUID]
    is_open: bool

    def may_be_tasted_by(self, person: Person) -> bool:
        """Whether this person may taste it, blind or not."""
        return permits(person, "taste", sharers=self.sharers, open_fill=self.is_open, club=self.club)


def _fills(command: ActCommand) -> list[PouredFill]:
    """Returns the fills a flight is poured from, in the order named; three queries, however many there are."""
    asked: list[UUID] = command.data["fills"]
    if len(set(asked)) != len(asked):
        raise Impossible.field(
            "fills", [str(one) for one in asked], "each fill once", "A fill stands here twice."
        )
    rows = Fill.objects.filter(
        act__club=command.club,
        act__collection="fills",
        act__stay__isnull=False,
        act__is_head=True,
        act__in=asked,
    ).select_related("act__barrel")
    found = {row.act_id: row for row in rows}
    for fill_id in asked:
        if fill_id not in found:
            raise Impossible.field(
                "fills", str(fill_id), "fills of this club", "No fill of that key lies in this club's wood."
            )
    sharers: dict[UUID, set[UUID]] = {fill_id: set() for fill_id in asked}
    for fill_id, person_id in FillShare.objects.filter(fill__in=found).values_list("fill_id", "person_id"):
        sharers[fill_id].add(person_id)
    fills: list[PouredFill] = []
    for fill_id in asked:
        row = found[fill_id]
        barrel = row.act.barrel
        assert barrel is not None
        is_open = row.open_to_tasting and not row.is_private
        fills.append(
            PouredFill(
                club=command.club,
                act_id=fill_id,
                barrel_id=barrel.pk,
                barrel_name=barrel.name,
                abv_pct=row.abv_pct,
                sharers=frozenset(sharers[fill_id]),
                is_open=is_open,
            )
        )
    return fills


def _tasters(command: ActCommand) -> list[Person]:
    asked: list[UUID] = command.data["tasters"]
    if len(set(asked)) != len(asked):
        raise Impossible.field(
            "tasters", [str(one) for one in asked], "each person once", "Somebody is named twice."
        )
    known = Person.objects.for_club(command.club).filter(left_at__isnull=True, pk__in=asked)
    found = {person.pk: person for person in known}
    for person_id in asked:
        if person_id not in found:
            raise Impossible.field(
                "tasters", str(person_id), "people of this club", "Nobody of that key is in this club."
            )
        if found[person_id].role in (Role.TABLET, Role.SENSOR):
            raise Impossible.field(
                "tasters",
                str(person_id),
                "somebody of this club",
                f"{found[person_id].name} is a device and tastes nothing.",
            )
    return [found[person_id] for person_id in asked]


def _authorise_flight(command: ActCommand, standing: Standing) -> None:
    require(command.author, "flights", detail="Somebody of the club pours a flight, under their own name.")
    for fill in _fills(command):
        if not fill.may_be_tasted_by(command.author):
            raise Forbidden(f"What is in {fill.barrel_name} is its sharers' to taste.")


def _judge_flight(command: ActCommand) -> list[str]:
    tasters = _tasters(command)
    if command.author.pk in {taster.pk for taster in tasters}:
        raise Impossible.field(
            "tasters",
            str(command.author.pk),
            "anybody but whoever pours",
            "Whoever pours knows the codes and does not taste blind.",
        )
    for fill in _fills(command):
        for taster in tasters:
            if not fill.may_be_tasted_by(taster):
                raise Impossible.field(
                    "tasters",
                    str(taster.pk),
                    "who may taste every fill of the flight",
                    f"What is in {fill.barrel_name} is not {taster.name}'s to taste.",
                )
    return []


def _save_flight(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    fills = {fill.act_id: fill for fill in _fills(command)}
    with_duplicate = not command.data.get("is_without_duplicate")
    glasses = glasses_lay(command.data["fills"], with_duplicate=with_duplicate, chance=SystemRandom())
    sample_ml = command.data["sample_ml"]
    flight = Flight.objects.create(
        id=act.pk,
        club=command.club,
        pourer=command.author,
        poured_at=act.ordered_at,
        sample_ml=sample_ml,
        ethanol_ml=round(sum(sample_ml * fills[glass.fill_id].abv_pct / 100 for glass in glasses), 2),
        allergens=_allergens(command.club, {fill.barrel_id for fill in fills.values()}),
        note=command.data.get("note") or "",
    )
    FlightGlass.objects.bulk_create(
        FlightGlass(
            flight=flight,
            position=position,
            code=glass.code,
            fill_id=glass.fill_id,
            barrel_id=fills[glass.fill_id].barrel_id,
            is_doubled=glass.is_doubled,
        )
        for position, glass in enumerate(glasses, start=1)
    )
    FlightTaster.objects.bulk_create(
        FlightTaster(flight=flight, person=taster, codes=codes_in_order(glasses, number))
        for number, taster in enumerate(_tasters(command))
    )
    return [("flights", flight.pk)]


def _allergens(club: Club, barrel_ids: set[UUID]) -> list[str]:
    """Returns what these barrels ever held that somebody may not stand: wood gives it on."""
    held = Fill.objects.filter(act__club=club, act__barrel__in=barrel_ids, act__is_head=True)
    found = {word for words in held.values_list("allergens", flat=True) for word in words}
    adopted = Barrel.objects.for_club(club).filter(pk__in=barrel_ids)
    found |= {word for words in adopted.values_list("adopted_allergens", flat=True) for word in words}
    return sorted(found)


def _flight(club: Club, flight_id: UUID) -> Flight:
    flight = Flight.objects.for_club(club).filter(pk=flight_id).first()
    if flight is None:
        raise Impossible.field(
            "flight", str(flight_id), "a flight of this club", "No flight of that key is in this club."
        )
    return flight


def _barrels(command: ActCommand) -> Iterable[UUID]:
    """Names the barrels whose logs the opening will write to; an unknown flight is refused a little later."""
    glasses = FlightGlass.objects.filter(flight__club=command.club, flight=command.data["flight"])
    return glasses.values_list("barrel_id", flat=True).order_by().distinct()


def _authorise_score(command: ActCommand, standing: Standing) -> None:
    flight = _flight(command.club, command.data["flight"])
    if flight.pourer_id == command.author.pk:
        raise Forbidden("Whoever poured knows the codes and does not score blind.")
    if not FlightTaster.objects.filter(flight=flight, person=command.author).exists():
        raise Forbidden("This flight is poured for others.")
    replaced = command.replaces
    if replaced is not None and (
        replaced.author_id != command.author.pk
        or (replaced.body["flight"], replaced.body["code"]) != (command.body["flight"], command.body["code"])
    ):
        raise Forbidden("A blind score takes the place of one's own score of the same glass only.")


def _judge_score(command: ActCommand) -> list[str]:
    flight = _flight(command.club, command.data["flight"])
    glass = _glass(command, flight)
    if flight.opened_at is None:
        return []
    if ordered_instant(command)[0] >= flight.opened_at:
        raise _refused("The names are known by now. Log it as a taste of its barrel.", "flight_open", command)
    if glass.scores.filter(taster=command.author).exists():
        raise _refused(
            "Your score of this glass stands in its barrel's log. Correct it there.",
            "already_scored",
            command,
        )
    return []


def _glass(command: ActCommand, flight: Flight) -> FlightGlass:
    glass = FlightGlass.objects.filter(flight=flight, code=command.data["code"]).first()
    if glass is None:
        raise Impossible.field(
            "code", command.data["code"], "a code of this flight", "No glass of this flight has that code."
        )
    return glass


def _refused(detail: str, code: str, command: ActCommand) -> Conflict:
    field = FieldProblem("code", command.data["code"], "", detail)
    return Conflict(detail, code=code, fields=[field])


def _save_score(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    flight = _flight(command.club, command.data["flight"])
    BlindTasting.objects.create(
        act=act,
        glass=_glass(command, flight),
        taster=command.author,
        liking=command.data["liking"],
        sample_ml=command.data.get("sample_ml"),
    )
    rows: list[FeedRow] = [("flights", flight.pk)]
    if flight.opened_at is not None:
        return [*rows, *names_tell(flight)]
    if _is_finished(flight):
        return [*rows, *_open(flight, FINISHED, act.received_at)]
    return rows


def _is_finished(flight: Flight) -> bool:
    """Whether everybody has scored every glass."""
    tasters = {taster.person_id for taster in flight.tasters.all()}
    glasses = flight.glasses.prefetch_related("scores")
    return all(tasters <= {score.taster_id for score in glass.scores.all()} for glass in glasses)


def _authorise_closing(command: ActCommand, standing: Standing) -> None:
    flight = _flight(command.club, command.data["flight"])
    if flight.pourer_id != command.author.pk:
        require(command.author, "close_flight", detail="Whoever poured the flight closes it, or the keeper.")
    if FlightTaster.objects.filter(flight=flight, person=command.author).exists():
        raise Forbidden("Whoever tastes does not open the names.")


def _save_closing(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    flight = _flight(command.club, command.data["flight"])
    # The last score may have opened it while the closing was on its way: then it says nothing new.
    return [] if flight.opened_at is not None else _open(flight, CLOSED, act.received_at)


def _open(flight: Flight, by: str, at: datetime) -> list[FeedRow]:
    flight.opened_at, flight.opened_by = at, by
    flight.save(update_fields=["opened_at", "opened_by"])
    return [("flights", flight.pk), *names_tell(flight)]


KINDS = (
    ActKind("flights", "apart", _authorise_flight, judge=_judge_flight, save_detail=_save_flight),
    ActKind(
        "blind-tastings",
        "apart",
        _authorise_score,
        judge=_judge_score,
        save_detail=_save_score,
        barrels=_barrels,
    ),
    ActKind("flight-closings", "apart", _authorise_closing, save_detail=_save_closing, barrels=_barrels),
)
