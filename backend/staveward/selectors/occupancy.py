"""Which days of a barrel are spoken for: by reservations that own them, and by what lies in it now.

A reservation owns its days; an open fill holds its barrel until its planned end and the days of turning round, an
open curing until the day it would be given up. Storage water yields to whoever comes.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from math import ceil
from uuid import UUID
from zoneinfo import ZoneInfo

from staveward.models import HOLDS_DAYS, Barrel, Club, StayKind
from staveward.science.bookings import is_overlap, next_free_start
from staveward.science.oak_plan import usual_weeks
from staveward.science.vocabulary import CARE_SCHEDULE, Family
from staveward.selectors.geometry import barrel_capacity_l
from staveward.selectors.questions import Scope
from staveward.selectors.stays import (
    FillFacts,
    ReservationFacts,
    StayFacts,
    fills_by_stay,
    open_stay,
    reservations_by_barrel,
    stays_by_barrel,
)

CURING_DAYS = ceil(next(rule.first_hours for rule in CARE_SCHEDULE if rule.code == "cure.stop") / 24)


@dataclass(frozen=True)
class Taken:
    """Days [starts_on, ends_on) of one barrel that somebody or something holds."""

    starts_on: date
    ends_on: date
    state: str
    reservation_id: UUID | None = None
    person_id: UUID | None = None
    is_estimate: bool = False

    def touches(self, starts_on: date, ends_on: date) -> bool:
        """Whether it shares a day with the half-open dates given."""
        return is_overlap(self.starts_on, self.ends_on, starts_on, ends_on)


def club_today(club: Club, now: datetime) -> date:
    """Returns the date of ``now`` in the club's own zone."""
    return now.astimezone(ZoneInfo(club.timezone)).date()


def noon_of(club: Club, day: date) -> datetime:
    """Returns the middle of a day of the club, where only the day is known."""
    return datetime.combine(day, time(12), tzinfo=ZoneInfo(club.timezone))


def barrel_calendar(
    club: Club, barrel: Barrel, now: datetime, *, leave_out: UUID | None = None
) -> list[Taken]:
    """Returns what holds one barrel from today on; ``leave_out`` is a reservation that is not in its own way."""
    scope = Scope(club.pk, (barrel.pk,))
    today = club_today(club, now)
    return calendar_of(
        club,
        today,
        barrel_capacity_l(barrel),
        stays_by_barrel(scope).get(barrel.pk, []),
        fills_by_stay(scope),
        [one for one in reservations_by_barrel(scope, today).get(barrel.pk, []) if one.id != leave_out],
    )


def calendar_of(
    club: Club,
    today: date,
    capacity_l: float,
    stays: Sequence[StayFacts],
    fills: Mapping[UUID, FillFacts],
    reservations: Iterable[ReservationFacts],
) -> list[Taken]:
    """Returns what holds a barrel from today on, in order, from what was read of it."""
    taken = [
        Taken(one.starts_on, one.ends_on, one.state, one.id, one.person_id)
        for one in reservations
        if one.state in HOLDS_DAYS
    ]
    stay = open_stay(stays)
    if stay is not None and stay.kind != StayKind.HOLD:
        taken.append(_open_stay_taken(club, today, capacity_l, stay, fills.get(stay.id)))
    return sorted(taken, key=lambda one: (one.starts_on, one.ends_on))


def _open_stay_taken(
    club: Club, today: date, capacity_l: float, stay: StayFacts, fill: FillFacts | None
) -> Taken:
    """Returns the days an open curing or fill holds; never fewer than until tomorrow."""
    starts_on = stay.started_at.astimezone(ZoneInfo(club.timezone)).date()
    planned_days = fill.planned_days if fill else None
    if stay.kind == StayKind.CURING:
        days, state = CURING_DAYS, "curing"
    elif planned_days is not None:
        days, state = planned_days + club.turnaround_days, "filled"
    else:
        is_mix = fill is not None and fill.family == Family.COCKTAIL
        weeks = usual_weeks(capacity_l, max(0.0, stay.wood_before_typical), is_mix=is_mix)
        days, state = ceil(7 * float(weeks)) + club.turnaround_days, "filled"
    ends_on = max(starts_on + timedelta(days=days), today + timedelta(days=1))
    # A device's clock that ran ahead may have opened the stay tomorrow: it holds the barrel from today all the same.
    return Taken(min(starts_on, today), ends_on, state, is_estimate=planned_days is None)


def first_clash(taken: Iterable[Taken], starts_on: date, ends_on: date) -> Taken | None:
    """Returns the first that shares a day with the dates wanted, or None when they are free."""
    return next((one for one in taken if one.touches(starts_on, ends_on)), None)


def next_free_on(taken: Iterable[Taken], earliest: date, length_days: int) -> date:
    """Returns the first date on which a fill of this length would touch nothing."""
    return next_free_start(earliest, length_days, [(one.starts_on, one.ends_on) for one in taken])
