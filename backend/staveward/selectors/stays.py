"""What the ledger says of many barrels at once: each question is one query, however many barrels there are.

Rows come as plain tuples, not as model instances, because the report reads a whole club of them. The ledger only
grows, so no question walks through it: each starts from the barrels or the stays and takes from there what it needs,
by an index of the acts.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import Any, NamedTuple
from uuid import UUID

from django.db.models import F, Max, Q, QuerySet

from staveward.models import (
    HOLDS_DAYS,
    Act,
    CareMark,
    Curing,
    Fill,
    FillShare,
    Hold,
    Placement,
    Reading,
    Reservation,
    ReservationState,
    Stay,
    StayKind,
    Trouble,
)
from staveward.science.vocabulary import BarrelState
from staveward.selectors.off_notes import gravest
from staveward.selectors.questions import Question, Scope


class StayFacts(NamedTuple):
    """One stay, as laid by the rebuild."""

    id: UUID
    barrel_id: UUID
    kind: str
    started_at: datetime
    ended_at: datetime | None
    outcome: str
    wood_before_low: float
    wood_before_typical: float
    wood_before_high: float
    wood_after_low: float
    wood_after_typical: float
    wood_after_high: float
    bung_clock: int
    sample_used_ml: float


class FillFacts(NamedTuple):
    """The mix of a fill as it went into the wood."""

    stay_id: UUID
    act_id: UUID
    name: str
    spirit: str
    family: str
    volume_l: float
    abv_pct: float
    sugar_g_l: float
    abv_basis: str
    allergens: list[str]
    is_private: bool
    open_to_tasting: bool
    planned_days: int | None
    sample_budget_ml: int
    wood_state: str
    club_weight: int


class ForecastFacts(NamedTuple):
    """The newest forecast of an open stay, without the curve that only a picture wants."""

    made_at: datetime
    climate_guessed: bool
    near: dict[str, Any]


class PullFacts(NamedTuple):
    """The newest forecast of a fill's best week, with its picture."""

    made_at: datetime
    near: dict[str, Any]
    curve: dict[str, list[float]]


class TroubleFacts(NamedTuple):
    """A trouble nobody has settled yet; ``tastes`` names the entries where a fill's tastings raised it, first first."""

    id: UUID
    kind: str
    since: datetime
    quarantine: bool
    note: str
    sign: str
    tastes: tuple[UUID, ...] = ()


class ReservationFacts(NamedTuple):
    """A reservation that still stands."""

    id: UUID
    person_id: UUID
    starts_on: date
    ends_on: date
    state: str


def standing(path: str = "act") -> Q:
    """Returns the condition that an act stands: placed, not taken back, not superseded."""
    return Q(**{f"{path}__is_head": True, f"{path}__is_void": False, f"{path}__placement": Placement.PLACED})


def stays_by_barrel(scope: Scope) -> dict[UUID, list[StayFacts]]:
    """Returns all stays of each barrel in order."""
    found: defaultdict[UUID, list[StayFacts]] = defaultdict(list)
    for row in _stays(scope):
        found[row[1]].append(StayFacts._make(row))
    return dict(found)


@Question
def _stays(scope: Scope) -> QuerySet[Any, Any]:
    mine = Stay.objects.filter(scope.on("barrel_id", "club_id"))
    return mine.order_by("started_at", "id").values_list(*StayFacts._fields)


def fills_by_stay(scope: Scope) -> dict[UUID, FillFacts]:
    """Returns the mix of each fill that stands, by its stay."""
    return {row[0]: FillFacts._make(row) for row in _fills(scope)}


@Question
def _fills(scope: Scope) -> QuerySet[Any, Any]:
    mine = Fill.objects.filter(
        scope.on("act__stay__barrel_id", "act__stay__club_id"), standing(), act__collection="fills"
    )
    return mine.values_list("act__stay_id", "act_id", *FillFacts._fields[2:])


def shares_by_fill(scope: Scope) -> dict[UUID, list[tuple[UUID, int]]]:
    """Returns the sharers of each fill that stands, by the fill's act, largest weight first."""
    found: defaultdict[UUID, list[tuple[UUID, int]]] = defaultdict(list)
    for fill_id, person_id, weight in _shares(scope):
        found[fill_id].append((person_id, weight))
    return dict(found)


@Question
def _shares(scope: Scope) -> QuerySet[Any, Any]:
    mine = FillShare.objects.filter(
        scope.on("fill__act__stay__barrel_id", "fill__act__stay__club_id"),
        standing("fill__act"),
        fill__act__collection="fills",
    )
    return mine.order_by("-weight", "person__name", "person_id").values_list("fill_id", "person_id", "weight")


def forecasts_by_stay(scope: Scope) -> dict[UUID, ForecastFacts]:
    """Returns the newest forecast of each open stay that has one."""
    return {row[0]: ForecastFacts._make(row[1:]) for row in _forecasts(scope)}


@Question
def _forecasts(scope: Scope) -> QuerySet[Any, Any]:
    mine = Stay.objects.filter(scope.on("barrel_id", "club_id"), ended_at__isnull=True)
    return mine.filter(forecast__isnull=False).values_list(
        "id", "forecast__made_at", "forecast__climate_guessed", "forecast__near"
    )


def pulls_by_stay(scope: Scope) -> dict[UUID, PullFacts]:
    """Returns the newest forecast of the best week of each open fill that has one."""
    return {row[0]: PullFacts._make(row[1:]) for row in _pulls(scope)}


@Question
def _pulls(scope: Scope) -> QuerySet[Any, Any]:
    mine = Stay.objects.filter(scope.on("barrel_id", "club_id"), ended_at__isnull=True)
    return mine.filter(pull__isnull=False).values_list("id", "pull__made_at", "pull__near", "pull__curve")


def marks_by_stay(scope: Scope) -> dict[UUID, dict[str, datetime]]:
    """Returns when each task of care was last done in each open stay."""
    found: defaultdict[UUID, dict[str, datetime]] = defaultdict(dict)
    for stay_id, task, last_at in _marks(scope):
        found[stay_id][task] = last_at
    return dict(found)


@Question
def _marks(scope: Scope) -> QuerySet[Any, Any]:
    mine = CareMark.objects.filter(scope.on("stay__barrel_id", "stay__club_id"), stay__ended_at__isnull=True)
    return mine.values_list("stay_id", "task", "last_at")


def solutions(scope: Scope) -> frozenset[UUID]:
    """Returns the open holds that stand in a holding solution instead of plain water."""
    return frozenset(stay_id for stay_id, _, is_solution in _holds(scope) if is_solution)


def water_by_stay(scope: Scope) -> dict[UUID, float]:
    """Returns how much water each open curing and hold began with."""
    held = {stay_id: water_l for stay_id, water_l, _ in _holds(scope)}
    return {**held, **dict(_curings(scope))}


@Question
def _holds(scope: Scope) -> QuerySet[Any, Any]:
    return _open_waters(Hold, scope, "holds").values_list("act__stay_id", "water_l", "is_solution")


@Question
def _curings(scope: Scope) -> QuerySet[Any, Any]:
    return _open_waters(Curing, scope, "curings").values_list("act__stay_id", "water_l")


def _open_waters(model: type[Curing | Hold], scope: Scope, collection: str) -> QuerySet[Any]:
    return model.objects.filter(
        scope.on("act__stay__barrel_id", "act__stay__club_id"),
        standing(),
        act__collection=collection,
        act__stay__ended_at__isnull=True,
    )


def retired_at_by_barrel(scope: Scope) -> dict[UUID, datetime]:
    """Returns when each retired barrel was retired."""
    return dict(_retirements(scope))


@Question
def _retirements(scope: Scope) -> QuerySet[Any, Any]:
    return standing_acts(scope, "retirements").values_list("barrel_id", "ordered_at")


def standing_acts(scope: Scope, *collections: str) -> QuerySet[Act]:
    """Returns the acts at these barrels that stand, of one kind or a few."""
    return Act.objects.filter(
        scope.on("barrel_id", "barrel__club_id"),
        collection__in=collections,
        is_head=True,
        is_void=False,
        placement=Placement.PLACED,
    )


def best_weeks(scope: Scope) -> dict[UUID, float]:
    """Returns the best week of each open fill whose tastes foretell one, without its picture."""
    rows = Stay.objects.filter(
        scope.on("barrel_id", "club_id"), ended_at__isnull=True, pull__isnull=False
    ).values_list("id", "pull__near")
    return {stay_id: float(near["best_week"][1]) for stay_id, near in rows}


def troubles_by_barrel(scope: Scope) -> dict[UUID, list[TroubleFacts]]:
    """Returns the open troubles of each barrel, oldest first; what several tastes of a fill say is one trouble."""
    found: defaultdict[UUID, list[TroubleFacts]] = defaultdict(list)
    at_taste: dict[UUID, int] = {}
    for barrel_id, collection, stay_id, *row in _troubles(scope):
        trouble = TroubleFacts._make([*row, ()])
        of_barrel = found[barrel_id]
        if collection != "tastings":
            of_barrel.append(trouble)
        elif stay_id not in at_taste:
            at_taste[stay_id] = len(of_barrel)
            of_barrel.append(trouble._replace(tastes=(trouble.id,)))
        else:
            first = of_barrel[at_taste[stay_id]]
            of_barrel[at_taste[stay_id]] = first._replace(
                sign=gravest((first.sign, trouble.sign)), tastes=(*first.tastes, trouble.id)
            )
    return dict(found)


@Question
def _troubles(scope: Scope) -> QuerySet[Any, Any]:
    mine = Trouble.objects.filter(
        scope.on("act__barrel_id", "act__barrel__club_id"), standing(), settled_by__isnull=True
    )
    return mine.order_by("act__ordered_at", "act_id").values_list(
        "act__barrel_id",
        "act__collection",
        "act__stay_id",
        *("act_id", "kind", "act__ordered_at", "quarantine", "note", "sign"),
    )


def reservations_by_barrel(scope: Scope, today: date) -> dict[UUID, list[ReservationFacts]]:
    """Returns the reservations that still stand for each barrel, soonest first, waiting ones among them."""
    found: defaultdict[UUID, list[ReservationFacts]] = defaultdict(list)
    for barrel_id, *row in _reservations(scope, today):
        found[barrel_id].append(ReservationFacts._make(row))
    return dict(found)


@Question
def _reservations(scope: Scope, today: date) -> QuerySet[Any, Any]:
    mine = Reservation.objects.filter(
        scope.on("barrel_id", "club_id"),
        state__in=[*HOLDS_DAYS, ReservationState.WAITING],
        ends_on__gt=today,
    )
    return mine.order_by("starts_on", "id").values_list("barrel_id", *ReservationFacts._fields)


def next_reservation(waiting: Sequence[ReservationFacts]) -> ReservationFacts | None:
    """Returns the soonest reservation that owns its days."""
    return next((one for one in waiting if one.state in HOLDS_DAYS), None)


def owners_by_barrel(scope: Scope) -> dict[UUID, list[tuple[UUID, int]]]:
    """Returns who owns each barrel by its newest act of ownership; a barrel left out is the club's."""
    found: defaultdict[UUID, list[tuple[UUID, int]]] = defaultdict(list)
    newest: dict[UUID, UUID] = {}
    for barrel_id, act_id, person_id, weight in _ownerships(scope):
        if newest.get(barrel_id) != act_id:
            newest[barrel_id] = act_id
            found[barrel_id] = []
        if person_id is not None:
            found[barrel_id].append((person_id, weight))
    return {barrel_id: shares for barrel_id, shares in found.items() if shares}


@Question
def _ownerships(scope: Scope) -> QuerySet[Any, Any]:
    acts = standing_acts(scope, "ownerships").order_by("ordered_at", "id")
    return acts.values_list("barrel_id", "id", "owner_shares__person_id", "owner_shares__weight")


def barrels_owned_by(person_id: UUID, scope: Scope) -> frozenset[UUID]:
    """Returns the barrels somebody owns or shares in."""
    return frozenset(
        barrel_id
        for barrel_id, shares in owners_by_barrel(scope).items()
        if any(owner == person_id for owner, _ in shares)
    )


def fills_shared_by(person_id: UUID, scope: Scope) -> frozenset[UUID]:
    """Returns the fill acts somebody holds a share in."""
    return frozenset(
        FillShare.objects.filter(
            scope.on("fill__act__barrel_id", "fill__act__barrel__club_id"), person_id=person_id
        ).values_list("fill_id", flat=True)
    )


def climate_read_at_by_place(club_id: UUID) -> dict[UUID, datetime]:
    """Returns when the climate of each place was last read."""
    rows = (
        Reading.objects.filter(standing(), place__club_id=club_id, kind="climate")
        .values_list("place_id")
        .annotate(last=Max(F("act__ordered_at")))
    )
    return dict(rows)


def barrel_state(
    stays: Sequence[StayFacts], retired_at: datetime | None, registered_at: datetime
) -> tuple[str, datetime]:
    """Returns a barrel's state and since when, from its stays and its retirement alone."""
    if retired_at is not None:
        return BarrelState.RETIRED.value, retired_at
    if not stays:
        return BarrelState.NEW.value, registered_at
    last = stays[-1]
    if last.ended_at is None:
        return OPEN_STATES[last.kind], last.started_at
    return closed_state([stay.kind for stay in stays], last.outcome), last.ended_at


def closed_state(kinds: Sequence[str], last_outcome: str) -> str:
    """Returns the state of a barrel that nothing is in, from the kinds of its stays and how the last one ended."""
    if kinds[-1] == StayKind.CURING and last_outcome == "tight":
        return BarrelState.READY.value
    if all(kind == StayKind.CURING for kind in kinds):
        # Given up or drained before it was tight: the barrel waits for another try.
        return BarrelState.NEW.value
    return BarrelState.EMPTY.value


OPEN_STATES: Mapping[str, str] = {
    StayKind.CURING: BarrelState.CURING.value,
    StayKind.FILL: BarrelState.FILLED.value,
    StayKind.HOLD: BarrelState.HELD.value,
}


def open_stay(stays: Sequence[StayFacts]) -> StayFacts | None:
    """Returns the stay that is going on, if any."""
    return stays[-1] if stays and stays[-1].ended_at is None else None
