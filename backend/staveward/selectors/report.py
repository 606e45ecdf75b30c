"""The cellar report: the whole programme on one page, read and never computed.

Everything comes from projections (stays, care marks, forecasts), each in one query for the whole club; no act is
looked at. Volumes and strengths are today's point on the stored forecasts, so a thousand barrels cost no more
arithmetic than a thousand straight lines.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, TypeVar
from uuid import UUID
from zoneinfo import ZoneInfo

import numpy as np
from django.db.models import QuerySet

from staveward.models import Barrel, Club, Place, StayKind
from staveward.science.alcoholometry import pure_alcohol_l
from staveward.science.vocabulary import BarrelState, TendingKind
from staveward.selectors import cellar_facts
from staveward.selectors import report_facts as lean
from staveward.selectors import stays as facts
from staveward.selectors.barrels import reservation_row
from staveward.selectors.care import CareBook, CareSubject, care_overdue
from staveward.selectors.forecasts import SECONDS_A_DAY, Contents, as_range, forecast_at
from staveward.selectors.geometry import barrel_capacity_l
from staveward.selectors.questions import Scope
from staveward.selectors.report_facts import Period, Register
from staveward.selectors.shapes import date_text, instant_text
from staveward.selectors.texts import instant_of, instant_shown, key_shown
from staveward.selectors.wood import WoodAnswer, WoodQuestion, adopted_wood, days_counted, wood_answers

Value = TypeVar("Value")
Triple = tuple[float, float, float]

# What a report can be put in order by.
ORDERS: Mapping[str, Callable[[dict[str, Any]], Any]] = {
    "name": lambda row: row["name"].casefold(),
    "state": lambda row: row["state"],
    "capacity_l": lambda row: row["capacity_l"],
    "days": lambda row: row["days"],
    "volume_l": lambda row: row["volume_l"] and row["volume_l"]["mid"],
    "abv_pct": lambda row: row["abv_pct"] and row["abv_pct"]["mid"],
    "loss_pct": lambda row: row["loss_pct"] and row["loss_pct"]["high"],
    "wood_used": lambda row: row["wood_used"]["typical"],
    "overdue": lambda row: min((task["due_at"] for task in row["overdue"]), default=None),
}
WATER = "water"
ML_PER_L = 1000.0
_NOTHING: Mapping[str, None] = dict.fromkeys(
    (
        "holds_now",
        "spirit",
        "days",
        "start_volume_l",
        "volume_l",
        "start_abv_pct",
        "abv_pct",
        "loss_pct",
        "level",
        "water",
    )
)


@dataclass
class _Totals:
    """Sums over the barrels of a report; those of liquid are over its open fills.

    The ends of the bands are added as they stand: what is uncertain (the air, the model) is much the same for all
    barrels of a cellar, so they run low or high together. It is also what a reader gets who adds the column up.
    """

    states: Counter[str] = field(default_factory=Counter)
    start_volume_l: float = 0.0
    put_in_l: float = 0.0
    samples_l: float = 0.0
    volumes: list[Triple] = field(default_factory=list)
    strengths: list[Triple] = field(default_factory=list)

    def add_fill(self, start_l: float, put_in_l: float, now: Contents, sampled_l: float) -> None:
        """Takes an open fill in."""
        self.start_volume_l += start_l
        self.put_in_l += put_in_l
        self.samples_l += sampled_l
        self.volumes.append(now.volume_l)
        self.strengths.append(now.abv_pct or (0.0, 0.0, 0.0))

    def row(self, barrels: int) -> dict[str, Any]:
        """Returns the sums as the API shows them."""
        volume = np.array(self.volumes).reshape(-1, 3)
        held = volume.sum(axis=0)
        pure = (
            np.asarray(pure_alcohol_l(volume, np.array(self.strengths))).sum(axis=0) if len(volume) else held
        )
        # What is gone, by the air, the wood and the tasters: most where least is left.
        lost = self.put_in_l - held[::-1]
        return {
            "barrels": barrels,
            "filled": self.states[BarrelState.FILLED.value],
            "held": self.states[BarrelState.HELD.value],
            "curing": self.states[BarrelState.CURING.value],
            "volume_l": as_range(_triple(held), 4),
            "pure_alcohol_l": as_range(_triple(pure), 4),
            "start_volume_l": round(self.start_volume_l, 4),
            "lost_l": as_range(_triple(lost), 4),
            "samples_l": round(self.samples_l, 4),
        }


def _triple(values: Any) -> Triple:
    low, mid, high = (float(value) for value in values)
    return low, mid, high


def report(
    club: Club, now: datetime, barrels: QuerySet[Barrel] | None = None, order: str = "name"
) -> dict[str, Any]:
    """Returns the report of a club, or of those of its barrels that were asked for."""
    asked = Barrel.objects.for_club(club) if barrels is None else barrels
    registers = lean.registers(asked)
    scribe = _Scribe(club, registers, now)
    rows = [scribe.row(register, wood) for register, wood in zip(registers, scribe.wood, strict=True)]
    return {
        "made_at": instant_text(now),
        "totals": scribe.totals.row(len(rows)),
        # Barrels that something is late for, not tasks: that is how many to walk to.
        "overdue": sum(1 for row in rows if row["overdue"]),
        "barrels": rows_ordered(rows, order),
    }


def rows_ordered(rows: list[dict[str, Any]], order: str) -> list[dict[str, Any]]:
    """Returns the rows by one column of ``ORDERS``, backwards with a minus; what has no figure comes last."""
    figure = ORDERS[order.removeprefix("-")]
    known = [row for row in rows if figure(row) is not None]
    unknown = [row for row in rows if figure(row) is None]
    return [*sorted(known, key=figure, reverse=order.startswith("-")), *unknown]


class _Scribe:
    """Reads each kind of fact once and writes the rows."""

    def __init__(self, club: Club, registers: Sequence[Register], now: datetime) -> None:
        self.now, self.zone = now, ZoneInfo(club.timezone)
        self.care_book = CareBook(club)
        self.totals = _Totals()
        scope = Scope(club.pk)
        self.periods = lean.periods(club.pk)
        self.opens = lean.opens(club.pk, now)
        self.marks = lean.care_marks(club.pk)
        self.retired_at = _by_text(facts.retired_at_by_barrel(scope))
        self.troubles = _by_text(facts.troubles_by_barrel(scope))
        self.loans = _by_text(cellar_facts.loans_by_barrel(scope))
        self.looked_at = _by_text(cellar_facts.looked_at_by_barrel(scope))
        self.best_weeks = _by_text(facts.best_weeks(scope))
        today = now.astimezone(self.zone).date()
        reservations = facts.reservations_by_barrel(scope, today)
        self.reservations = _by_text(reservations)
        # Sulphite is of matter only where a fill is to come: the others' acts are not looked through.
        booked = tuple(key for key, lines in reservations.items() if facts.next_reservation(lines))
        self.sulphite = _by_text(cellar_facts.sulphite_by_barrel(Scope(club.pk, booked))) if booked else {}
        self.temp_c = _by_text(dict(Place.objects.for_club(club).values_list("id", "temp_c")))
        self.wood = wood_answers([self._wood_question(one) for one in registers])

    def _wood_question(self, register: Register) -> WoodQuestion:
        own = self.periods.get(register.id)
        if own is None:
            low, high = adopted_wood(register)
            return WoodQuestion((low, (low + high) / 2.0, high), None, 0.0)
        last = own[-1]
        if last.ended_at is None and last.spirit is not None:
            days = (self.now - instant_of(last.started_at)).total_seconds() / SECONDS_A_DAY
            return WoodQuestion(
                (last.wood_before_low, last.wood_before_typical, last.wood_before_high),
                last.spirit,
                days_counted(days),
            )
        return WoodQuestion((last.wood_after_low, last.wood_after_typical, last.wood_after_high), None, 0.0)

    def _state(self, register: Register, key: str, own: Sequence[Period]) -> tuple[str, datetime]:
        if key in self.retired_at:
            return BarrelState.RETIRED.value, self.retired_at[key]
        if not own:
            return BarrelState.NEW.value, instant_of(register.registered_at)
        last = own[-1]
        if last.ended_at is None:
            return facts.OPEN_STATES[last.kind], instant_of(last.started_at)
        return facts.closed_state([one.kind for one in own], last.outcome), instant_of(last.ended_at)

    def row(self, register: Register, wood: WoodAnswer) -> dict[str, Any]:
        """Returns one barrel's line, and adds it to the totals."""
        key = key_shown(register.id)
        own = self.periods.get(register.id, ())
        state, since = self._state(register, key, own)
        self.totals.states[state] += 1
        stay = own[-1] if own and own[-1].ended_at is None else None
        capacity_l = barrel_capacity_l(register)
        reservations = self.reservations.get(key, ())
        booked = facts.next_reservation(reservations)
        return {
            "id": key,
            "name": register.name,
            "tag_code": register.tag_code,
            "place": key_shown(register.place_id),
            "capacity_l": round(capacity_l, 3),
            "state": state,
            "state_since": instant_text(since),
            **self._contents(stay),
            "wood_used": wood.used,
            "fills_left": wood.fills_left,
            "overdue": self._overdue(register, state, since, capacity_l, stay),
            "troubles": [trouble.kind for trouble in self.troubles.get(key, ())],
            "next_reservation": None if booked is None else reservation_row(booked),
            "wanted_by": len(reservations),
            "timeline": [
                {
                    "kind": one.kind,
                    "from": instant_shown(one.started_at),
                    "to": instant_shown(one.ended_at),
                    "name": one.name,
                }
                for one in own
            ],
        }

    def _contents(self, stay: Period | None) -> dict[str, Any]:
        """Returns what is in a barrel: what it was, what it is now, what is gone."""
        if stay is None:
            return dict(_NOTHING)
        going_on = self.opens.get(stay.id, lean.NOTHING_KNOWN)
        near = going_on.near
        now = None if near is None else forecast_at(near, self.now)
        start_l = stay.volume_l if stay.kind == StayKind.FILL else going_on.water_l
        loss_pct = None
        if stay.volume_l is not None and near is not None and now is not None:
            put_in_l = stay.volume_l + near["added_l"]
            self.totals.add_fill(stay.volume_l, put_in_l, now, stay.sample_used_ml / ML_PER_L)
            loss_pct = {
                "low": round(100.0 * (1.0 - now.volume_l[2] / put_in_l), 2),
                "high": round(100.0 * (1.0 - now.volume_l[0] / put_in_l), 2),
            }
        return {
            "holds_now": stay.name if stay.kind == StayKind.FILL else WATER,
            "spirit": stay.spirit,
            "days": self._days_since(instant_of(stay.started_at)),
            "start_volume_l": None if start_l is None else round(start_l, 4),
            "volume_l": None if now is None else as_range(now.volume_l, 4),
            "start_abv_pct": None if stay.abv_pct is None else round(stay.abv_pct, 3),
            "abv_pct": None if now is None or now.abv_pct is None else as_range(now.abv_pct, 3),
            "loss_pct": loss_pct,
            "level": None if now is None else as_range(now.level, 4),
            "water": self._water(stay, now, near) if stay.kind == StayKind.HOLD else None,
        }

    def _days_since(self, moment: datetime) -> int:
        """Counts midnights of the club's zone, as people and the phone's screens count days."""
        return (self.now.astimezone(self.zone).date() - moment.astimezone(self.zone).date()).days

    def _water(self, stay: Period, now: Contents | None, near: Mapping[str, Any] | None) -> dict[str, Any]:
        changed_at = self.marks.get(stay.id, {}).get(TendingKind.WATER_CHANGE.value)
        if changed_at is None:
            changed_at = instant_of(stay.started_at)
        top_up_at = None if near is None else near.get("top_up_at")
        top_up_on = None
        if top_up_at is not None:
            top_up_on = date_text(datetime.fromisoformat(top_up_at).astimezone(self.zone).date())
        return {
            "changed_at": instant_text(changed_at),
            "days_since_change": self._days_since(changed_at),
            "level": None if now is None else as_range(now.level, 4),
            "top_up_on": top_up_on,
        }

    def _overdue(
        self, register: Register, state: str, since: datetime, capacity_l: float, stay: Period | None
    ) -> list[dict[str, Any]]:
        """Returns the care that is late; of a barrel that is lent or missing nothing can be asked."""
        key = key_shown(register.id)
        if key in self.loans or any(trouble.kind == "missing" for trouble in self.troubles.get(key, ())):
            return []
        subject = CareSubject(
            state=state,
            since=since,
            capacity_l=capacity_l,
            marks=self.marks.get(stay.id, {}) if stay is not None else {},
            is_solution=stay is not None and bool(self.opens.get(stay.id, lean.NOTHING_KNOWN).is_solution),
            temp_c=self.temp_c.get(key_shown(register.place_id)),
            planned_days=stay.planned_days if stay is not None else None,
            best_week=self.best_weeks.get(key_shown(stay.id)) if stay is not None else None,
            looked_at=self.looked_at.get(key),
            refill_at=cellar_facts.refill_at(
                self.sulphite.get(key), facts.next_reservation(self.reservations.get(key, ())), self.zone
            ),
        )
        return [
            {"task": due.task, "due_at": instant_text(due.due_at)}
            for due in care_overdue(self.care_book.due(subject), self.now)
        ]


def _by_text(found: Mapping[UUID, Value]) -> dict[str, Value]:
    return {str(key): value for key, value in found.items()}
