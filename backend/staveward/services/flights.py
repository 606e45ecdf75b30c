"""Blind flights begun: poured by one, tasted by others under codes.

Until its names are told a score is an entry about a code (``flight_scores``): it stands in no barrel's log, teaches no
forecast and takes nothing off the stock, because a volume that moved at once would tell which barrels stand in the
glasses, and which one twice. How it ends is ``flight_ends``'s.
"""

from __future__ import annotations

from collections.abc import Iterable
from random import SystemRandom
from typing import NamedTuple
from uuid import UUID

from staveward.models import (
    Act,
    Barrel,
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
from staveward.services.authority import require
from staveward.services.commands import ActCommand, ActKind
from staveward.services.errors import Forbidden, Impossible
from staveward.services.feed import FeedRow
from staveward.services.flight_codes import (
    Glass,
    codes_in_order,
    glasses_lay,
    glasses_slip,
    glasses_taken,
)
from staveward.services.flight_scores import waiting_place


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
    if poured := _poured(command):
        slip = glasses_slip(poured, command.data["fills"], with_duplicate=_with_duplicate(command))
        if slip is not None:
            raise Impossible.field("glasses", slip.value, slip.allowed, slip.detail)
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


def _poured(command: ActCommand) -> list[tuple[str, UUID]]:
    """Returns the codes that the pourer's phone made, with their fills, in the order of pouring."""
    return [(glass["code"], glass["fill"]) for glass in command.data.get("glasses") or ()]


def _with_duplicate(command: ActCommand) -> bool:
    return not command.data.get("is_without_duplicate")


def _glasses(command: ActCommand) -> list[Glass]:
    if poured := _poured(command):
        return glasses_taken(poured)
    return glasses_lay(command.data["fills"], with_duplicate=_with_duplicate(command), chance=SystemRandom())


def _save_flight(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    fills = {fill.act_id: fill for fill in _fills(command)}
    glasses = _glasses(command)
    sample_ml = command.data["sample_ml"]
    flight = Flight.objects.create(
        id=act.pk,
        club=command.club,
        pourer=command.author,
        poured_at=act.ordered_at,
        sample_ml=sample_ml,
        ethanol_ml=_ethanol_ml(sample_ml, [fill.abv_pct for fill in fills.values()], len(glasses)),
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
    return [("flights", flight.pk), *waiting_place(flight, act.received_at)]


def _ethanol_ml(sample_ml: float, abvs_pct: list[float], glasses: int) -> float:
    """Returns the pure alcohol in one taster's glasses.

    The twin counts as the strongest of them: its own strength would tell which one stands there twice.
    """
    twins = glasses - len(abvs_pct)
    return round(sample_ml * (sum(abvs_pct) + twins * max(abvs_pct)) / 100, 2)


def _allergens(club: Club, barrel_ids: set[UUID]) -> list[str]:
    """Returns what these barrels ever held that somebody may not stand: wood gives it on."""
    held = Fill.objects.filter(act__club=club, act__barrel__in=barrel_ids, act__is_head=True)
    found = {word for words in held.values_list("allergens", flat=True) for word in words}
    adopted = Barrel.objects.for_club(club).filter(pk__in=barrel_ids)
    found |= {word for words in adopted.values_list("adopted_allergens", flat=True) for word in words}
    return sorted(found)


def _barrels(command: ActCommand) -> Iterable[UUID]:
    """Names the barrels poured from: scores that wait for this flight may finish it at once."""
    fills = Act.objects.for_club(command.club).filter(pk__in=command.data["fills"], barrel__isnull=False)
    return [barrel_id for barrel_id in fills.values_list("barrel_id", flat=True) if barrel_id is not None]


KINDS = (
    ActKind(
        "flights",
        "apart",
        _authorise_flight,
        judge=_judge_flight,
        save_detail=_save_flight,
        barrels=_barrels,
    ),
)
