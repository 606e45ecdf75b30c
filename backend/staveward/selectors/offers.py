"""What each barrel offers a wish: size, oak, past, troubles, and the first date it is free. Eight queries for any
number of barrels; the services ask about one with the same code, so a suggestion and an answer never differ.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from uuid import UUID

from staveward.models import Barrel, Club, ReservationState, StayKind
from staveward.science.oak_plan import oak_level
from staveward.science.planning import BarrelOffer, FillRequest, Stopped, Suited, rank_barrels
from staveward.science.vocabulary import BarrelState
from staveward.science.wood import wood_limits
from staveward.selectors.geometry import barrel_capacity_l
from staveward.selectors.occupancy import CURING_DAYS, Taken, calendar_of, club_today, next_free_on, noon_of
from staveward.selectors.questions import Scope
from staveward.selectors.stays import (
    FillFacts,
    StayFacts,
    TroubleFacts,
    barrel_state,
    fills_by_stay,
    reservations_by_barrel,
    retired_at_by_barrel,
    stays_by_barrel,
    troubles_by_barrel,
)
from staveward.selectors.wood import (
    WoodAnswer,
    adopted_wood,
    allergens_held,
    families_held,
    wood_answers,
    wood_question,
)

# Nobody is offered a barrel that comes free later than this after the day they asked for.
HORIZON_DAYS = 182
# A weak fill after a sweet one spoils (carry-over of sugar: common practice, no source).
SWEET_ABOVE_G_L = 50.0
SPOILS_BELOW_ABV_PCT = 20.0


@dataclass(frozen=True)
class Wish:
    """What somebody wants to fill: how much of what, from when, for how many days, and how much oak."""

    volume_l: float
    spirit: str
    family: str
    earliest: date
    length_days: int
    oak: int = 3
    abv_pct: float | None = None
    avoid_allergens: frozenset[str] = frozenset()

    @property
    def length(self) -> timedelta:
        """How long the barrel would be held, its days of turning round among them."""
        return timedelta(days=self.length_days)

    @property
    def request(self) -> FillRequest:
        """The wish as the science ranks it."""
        return FillRequest(
            volume_ml=round(self.volume_l * 1000),
            family=self.family,
            oak_wanted=self.oak,
            earliest=self.earliest,
            latest=self.earliest + timedelta(days=HORIZON_DAYS),
            abv_pct=self.abv_pct,
            avoid_allergens=self.avoid_allergens,
        )


@dataclass(frozen=True)
class Offer:
    """One barrel as it stands towards a wish."""

    barrel: Barrel
    capacity_l: float
    state: str
    closed: str
    stays: Sequence[StayFacts]
    last_fill: FillFacts | None
    families: tuple[str, ...]
    allergens: tuple[str, ...]
    troubles: Sequence[TroubleFacts]
    taken: Sequence[Taken]
    free_on: date
    wood: WoodAnswer
    waiting: int

    @property
    def oak_level(self) -> int:
        """The oak's level once the barrel is free, 1 to 5."""
        return int(oak_level(max(0.0, self.wood.typical)))

    @property
    def is_history_unknown(self) -> bool:
        """Whether it was adopted and nobody could say what it had held."""
        return self.barrel.adopted and not self.barrel.adopted_families

    def verdict(self, wish: Wish, *, ignoring_dates: bool = False) -> Suited | Stopped:
        """Judges the barrel: whether it is open at all, the gates of the science, then sugar before a weak fill."""
        if self.closed:
            return Stopped(self.barrel.name, self.closed)
        ranking = rank_barrels(wish.request, [self._as_science(wish, ignoring_dates)])
        if ranking.refused:
            return ranking.refused[0]
        sugar_g_l = self.last_fill.sugar_g_l if self.last_fill else 0.0
        if wish.abv_pct is not None and wish.abv_pct < SPOILS_BELOW_ABV_PCT and sugar_g_l > SWEET_ABOVE_G_L:
            return Stopped(self.barrel.name, "SWEET_BEFORE")
        return ranking.ranked[0]

    def _as_science(self, wish: Wish, ignoring_dates: bool) -> BarrelOffer:
        limit = wood_limits(wish.spirit).typical
        return BarrelOffer(
            # The name orders ties, as people read it.
            code=self.barrel.name,
            capacity_ml=round(self.capacity_l * 1000),
            free_from=wish.earliest if ignoring_dates else self.free_on,
            fills_left=0.0 if self.wood.is_spent else max(0.0, 1.0 - self.wood.typical) * limit,
            max_abv_pct=self.barrel.max_abv_pct,
            oak_level=self.oak_level,
            allergens=frozenset(self.allergens),
            families_held=frozenset(self.families),
        )


def why_closed(
    state: str, troubles: Iterable[TroubleFacts], stays: Sequence[StayFacts], now: datetime
) -> str:
    """Returns why nobody may reserve a barrel at all, or "" when they may."""
    if state == BarrelState.RETIRED:
        return "RETIRED"
    if any(trouble.quarantine for trouble in troubles):
        return "QUARANTINE"
    last = stays[-1] if stays else None
    if last is not None and last.kind == StayKind.CURING:
        took = (last.ended_at or now) - last.started_at
        is_too_long = last.ended_at is None and took > timedelta(days=CURING_DAYS)
        if last.outcome == "given_up" or is_too_long:
            return "NOT_TIGHT"
    return ""


def barrel_closed(club: Club, barrel: Barrel, now: datetime) -> str:
    """Returns why nobody may reserve this barrel, or "" when they may."""
    scope = Scope(club.pk, (barrel.pk,))
    stays = stays_by_barrel(scope).get(barrel.pk, [])
    state, _ = barrel_state(stays, retired_at_by_barrel(scope).get(barrel.pk), barrel.registered_at)
    return why_closed(state, troubles_by_barrel(scope).get(barrel.pk, []), stays, now)


def barrel_offers(
    *, club: Club, now: datetime, wish: Wish, barrel: Barrel | None = None, leave_out: UUID | None = None
) -> list[Offer]:
    """Returns what every barrel of the club (or one of them) offers the wish, by name.

    ``leave_out`` is a reservation that is not in its own way.
    """
    scope = Scope(club.pk, None if barrel is None else (barrel.pk,))
    barrels = [barrel] if barrel is not None else list(Barrel.objects.for_club(club).order_by("name", "id"))
    today = club_today(club, now)
    stays_of, fills = stays_by_barrel(scope), fills_by_stay(scope)
    retired_at, troubles_of = retired_at_by_barrel(scope), troubles_by_barrel(scope)
    reservations_of = reservations_by_barrel(scope, today)
    found = []
    for one in barrels:
        stays = stays_of.get(one.pk, [])
        capacity_l = barrel_capacity_l(one)
        reserved = [row for row in reservations_of.get(one.pk, []) if row.id != leave_out]
        state, _ = barrel_state(stays, retired_at.get(one.pk), one.registered_at)
        taken = calendar_of(club, today, capacity_l, stays, fills, reserved)
        fill_stays = [stay for stay in stays if stay.id in fills]
        found.append(
            Offer(
                barrel=one,
                capacity_l=capacity_l,
                state=state,
                closed=why_closed(state, troubles_of.get(one.pk, []), stays, now),
                stays=stays,
                last_fill=fills[fill_stays[-1].id] if fill_stays else None,
                families=tuple(families_held(stays, fills, one.adopted_families)),
                allergens=tuple(allergens_held(stays, fills, one.adopted_allergens)),
                troubles=troubles_of.get(one.pk, []),
                taken=taken,
                free_on=_free_on(state, today, taken, wish),
                wood=_NO_WOOD,
                waiting=sum(row.state == ReservationState.WAITING for row in reserved),
            )
        )
    return _with_wood(club, found, fills)


def _free_on(state: str, today: date, taken: Sequence[Taken], wish: Wish) -> date:
    """Returns the first date the wish fits; a new barrel must be cured before anything is poured into it."""
    earliest = max(wish.earliest, today)
    if state == BarrelState.NEW:
        earliest = max(earliest, today + timedelta(days=CURING_DAYS))
    return next_free_on(taken, earliest, wish.length_days)


def _with_wood(club: Club, offers: list[Offer], fills: dict[UUID, FillFacts]) -> list[Offer]:
    """Adds the wood as it will be when each barrel is free: what lies in it now works on until then."""
    questions = [
        wood_question(
            offer.stays,
            fills,
            adopted_wood(offer.barrel),
            noon_of(club, _emptied_on(offer)),
        )
        for offer in offers
    ]
    return [replace(offer, wood=wood) for offer, wood in zip(offers, wood_answers(questions), strict=True)]


def _emptied_on(offer: Offer) -> date:
    """Returns when what lies in the barrel now will be out: not the far end of reservations that come after."""
    return next((one.ends_on for one in offer.taken if one.reservation_id is None), offer.free_on)


_NO_WOOD = WoodAnswer(0.0, 0.0, 0.0, {})
