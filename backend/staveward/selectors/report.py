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
from typing import Any, NamedTuple
from uuid import UUID
from zoneinfo import ZoneInfo

import numpy as np
from django.db.models import QuerySet

from staveward.models import Barrel, Club, Place, StayKind
from staveward.science.alcoholometry import pure_alcohol_l
from staveward.science.vocabulary import BarrelState
from staveward.selectors import stays as facts
from staveward.selectors.barrels import reservation_row, water_changed_at
from staveward.selectors.care import CareBook, CareSubject, care_overdue
from staveward.selectors.forecasts import SECONDS_A_DAY, Contents, as_range, forecast_at
from staveward.selectors.geometry import barrel_capacity_l
from staveward.selectors.shapes import date_text, instant_text
from staveward.selectors.stays import FillFacts, ForecastFacts, Scope, StayFacts
from staveward.selectors.wood import WoodAnswer, wood_answers, wood_question

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


class Register(NamedTuple):
    """The columns of a barrel that the report needs."""

    id: UUID
    name: str
    tag_code: str
    place_id: UUID
    registered_at: datetime
    adopted_wood_used_low: float
    adopted_wood_used_high: float
    nominal_l: float
    weighed_capacity_l: float | None
    profile: str
    bilge_diameter_cm: float | None
    head_diameter_cm: float | None
    length_cm: float | None
    outside_bilge_diameter_cm: float | None
    outside_head_diameter_cm: float | None
    outside_length_cm: float | None
    stave_mm: float | None
    head_mm: float | None
    chime_mm: float | None


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

    def add_fill(self, fill: FillFacts, now: Contents, added_l: float, sampled_l: float) -> None:
        """Takes an open fill in."""
        self.start_volume_l += fill.volume_l
        self.put_in_l += fill.volume_l + added_l
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
    registers = [Register._make(row) for row in asked.order_by("name", "id").values_list(*Register._fields)]
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
        self.stays = facts.stays_by_barrel(scope)
        self.fills = facts.fills_by_stay(scope)
        self.forecasts = facts.forecasts_by_stay(scope)
        self.marks = facts.marks_by_stay(scope)
        self.solutions = facts.solutions(scope)
        self.water_l = facts.water_by_stay(scope)
        self.retired_at = facts.retired_at_by_barrel(scope)
        self.troubles = facts.troubles_by_barrel(scope)
        self.reservations = facts.reservations_by_barrel(scope, now.astimezone(self.zone).date())
        self.temp_c: dict[UUID, float] = dict(Place.objects.for_club(club).values_list("id", "temp_c"))
        self.wood = wood_answers(
            [
                wood_question(
                    self.stays.get(one.id, ()),
                    self.fills,
                    (one.adopted_wood_used_low, one.adopted_wood_used_high),
                    now,
                )
                for one in registers
            ]
        )

    def row(self, register: Register, wood: WoodAnswer) -> dict[str, Any]:
        """Returns one barrel's line, and adds it to the totals."""
        stays = self.stays.get(register.id, ())
        state, since = facts.barrel_state(stays, self.retired_at.get(register.id), register.registered_at)
        self.totals.states[state] += 1
        stay = facts.open_stay(stays)
        capacity_l = barrel_capacity_l(register)
        reservations = self.reservations.get(register.id, ())
        booked = facts.next_reservation(reservations)
        return {
            "id": str(register.id),
            "name": register.name,
            "tag_code": register.tag_code,
            "place": str(register.place_id),
            "capacity_l": round(capacity_l, 3),
            "state": state,
            "state_since": instant_text(since),
            **self._contents(stay),
            "wood_used": wood.used,
            "fills_left": wood.fills_left,
            "overdue": self._overdue(register, state, since, capacity_l, stay),
            "troubles": [trouble.kind for trouble in self.troubles.get(register.id, ())],
            "next_reservation": None if booked is None else reservation_row(booked),
            "wanted_by": len(reservations),
            "timeline": [
                {
                    "kind": one.kind,
                    "from": instant_text(one.started_at),
                    "to": instant_text(one.ended_at),
                    "name": self.fills[one.id].name if one.id in self.fills else None,
                }
                for one in stays
            ],
        }

    def _contents(self, stay: StayFacts | None) -> dict[str, Any]:
        """Returns what is in a barrel: what it was, what it is now, what is gone."""
        if stay is None:
            return dict(_NOTHING)
        fill, forecast = self.fills.get(stay.id), self.forecasts.get(stay.id)
        now = None if forecast is None else forecast_at(forecast.near, self.now)
        start_l = fill.volume_l if fill is not None else self.water_l.get(stay.id)
        loss_pct = None
        if fill is not None and forecast is not None and now is not None:
            added_l = forecast.near["added_l"]
            self.totals.add_fill(fill, now, added_l, stay.sample_used_ml / ML_PER_L)
            put_in_l = fill.volume_l + added_l
            loss_pct = {
                "low": round(100.0 * (1.0 - now.volume_l[2] / put_in_l), 2),
                "high": round(100.0 * (1.0 - now.volume_l[0] / put_in_l), 2),
            }
        return {
            "holds_now": fill.name if fill is not None else WATER,
            "spirit": fill.spirit if fill is not None else None,
            "days": int((self.now - stay.started_at).total_seconds() // SECONDS_A_DAY),
            "start_volume_l": None if start_l is None else round(start_l, 4),
            "volume_l": None if now is None else as_range(now.volume_l, 4),
            "start_abv_pct": None if fill is None else round(fill.abv_pct, 3),
            "abv_pct": None if now is None or now.abv_pct is None else as_range(now.abv_pct, 3),
            "loss_pct": loss_pct,
            "level": None if now is None else as_range(now.level, 4),
            "water": self._water(stay, now, forecast),
        }

    def _water(
        self, stay: StayFacts, now: Contents | None, forecast: ForecastFacts | None
    ) -> dict[str, Any] | None:
        if stay.kind != StayKind.HOLD:
            return None
        changed_at = water_changed_at(stay, self.marks.get(stay.id, {}))
        top_up_at = None if forecast is None else forecast.near.get("top_up_at")
        top_up_on = None
        if top_up_at is not None:
            top_up_on = date_text(datetime.fromisoformat(top_up_at).astimezone(self.zone).date())
        return {
            "changed_at": instant_text(changed_at),
            "days_since_change": int((self.now - changed_at).total_seconds() // SECONDS_A_DAY),
            "level": None if now is None else as_range(now.level, 4),
            "top_up_on": top_up_on,
        }

    def _overdue(
        self, register: Register, state: str, since: datetime, capacity_l: float, stay: StayFacts | None
    ) -> list[dict[str, Any]]:
        """Returns the care that is late."""
        fill = self.fills.get(stay.id) if stay is not None else None
        subject = CareSubject(
            state=state,
            since=since,
            capacity_l=capacity_l,
            marks=self.marks.get(stay.id, {}) if stay is not None else {},
            is_solution=stay is not None and stay.id in self.solutions,
            temp_c=self.temp_c.get(register.place_id),
            planned_days=fill.planned_days if fill is not None else None,
        )
        return [
            {"task": due.task, "due_at": instant_text(due.due_at)}
            for due in care_overdue(self.care_book.due(subject), self.now)
        ]
