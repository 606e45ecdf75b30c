"""What a barrel asks for, and when: the care schedule laid over what was last done.

The periods are those of ``science.vocabulary`` with the club's own numbers over them; what was last done comes from
the care marks of the open stay. A task is due from ``due_at`` on and late from ``late_at`` on.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import lru_cache
from typing import Any, TypedDict

from staveward.models import Club
from staveward.science.hold_care import USUAL_WATER_CHANGE_H, water_change_every_h
from staveward.science.vocabulary import (
    CARE_SCHEDULE,
    CURE_TOPUP_LATER_AFTER_HOURS,
    CURE_TOPUP_LATER_EVERY_HOURS,
    LEAK_CHECK_LATER_AFTER_HOURS,
    LEAK_CHECK_LATER_EVERY_HOURS,
    BarrelState,
    CareRule,
    TendingKind,
    care_rules_for,
)
from staveward.selectors.shapes import instant_text

# Marks that are no tending: a tasting, and a dip or a weighing.
MARK_TASTE = "taste"
MARK_LEVEL = "level"
MARK_STRIP = "strip"

# Tasks that no single tending answers.
TASK_DECIDE = "decide"
TASK_TIGHTNESS = "tightness"
TASK_CURING_END = "curing_end"
TASK_NEXT_FILL = "next_fill"
TASK_SOLUTION_CHECK = "solution_check"
TASK_SOLUTION_RENEW = "solution_renew"
TASK_WET_OR_FILL = "wet_or_fill"
TASK_CLIMATE = "climate"

_SIZES = sorted({rule.up_to_capacity_l for rule in CARE_SCHEDULE})


class CareRow(TypedDict):
    """One task as the API shows it."""

    task: str
    last_at: str | None
    due_at: str
    late_at: str


@dataclass(frozen=True, slots=True)
class CareDue:
    """One task: when it was last done in this stay, when it is due, from when it counts as late."""

    task: str
    last_at: datetime | None
    due_at: datetime
    late_at: datetime

    def as_row(self) -> CareRow:
        """Returns the task as the API shows it."""
        return {
            "task": self.task,
            "last_at": instant_text(self.last_at),
            "due_at": instant_text(self.due_at),
            "late_at": instant_text(self.late_at),
        }


@dataclass(frozen=True, slots=True)
class CareSubject:
    """What the schedule has to know of one barrel."""

    state: str
    since: datetime
    capacity_l: float
    marks: Mapping[str, datetime]
    is_solution: bool = False
    temp_c: float | None = None
    planned_days: int | None = None


class CareBook:
    """The schedule of one club; rules are worked out once for each size of barrel."""

    def __init__(self, club: Club) -> None:
        self._changes: dict[str, dict[str, Any]] = club.care or {}
        self._is_strict = club.strict_water
        self._by_size: dict[float, dict[str, CareRule]] = {}

    def rules(self, capacity_l: float) -> dict[str, CareRule]:
        """Returns the schedule of a barrel of this size, by code."""
        size = next(limit for limit in _SIZES if capacity_l <= limit)
        if size not in self._by_size:
            self._by_size[size] = {
                code: _changed(rule, self._changes.get(code))
                for code, rule in care_rules_for(capacity_l).items()
            }
        return self._by_size[size]

    def due(self, subject: CareSubject) -> list[CareDue]:
        """Returns what the barrel asks for, soonest first."""
        rules = self.rules(subject.capacity_l)
        if subject.state == BarrelState.FILLED:
            rows = _fill_care(rules, subject)
        elif subject.state == BarrelState.HELD:
            rows = _hold_care(rules, subject, self._is_strict)
        elif subject.state == BarrelState.CURING:
            rows = _curing_care(rules, subject)
        elif subject.state == BarrelState.EMPTY:
            rows = [_once(rules["empty.max"], TASK_WET_OR_FILL, subject.since)]
        elif subject.state == BarrelState.READY:
            # It still stands full of the curing water, which wants changing or the barrel filling.
            rows = [_once(rules["cure.water"], TASK_WET_OR_FILL, subject.since)]
        else:
            rows = []
        return sorted(rows, key=lambda row: (row.due_at, row.task))

    def climate(self, last_at: datetime | None, since: datetime) -> CareDue:
        """Returns when the climate of a place wants reading."""
        return _next(self.rules(1.0)["env.log"], TASK_CLIMATE, since, last_at)


def care_settings(club: Club) -> list[dict[str, Any]]:
    """Returns the whole schedule with the club's own periods over the defaults, as the settings page shows it."""
    changes: dict[str, dict[str, Any]] = club.care or {}
    rows = []
    for rule in CARE_SCHEDULE:
        current = _changed(rule, changes.get(rule.code))
        rows.append(
            {
                "code": rule.code,
                "what": rule.what,
                "first_hours": current.first_hours,
                "every_hours": current.every_hours,
                "leeway_hours": current.leeway_hours,
                "up_to_capacity_l": None if rule.up_to_capacity_l == float("inf") else rule.up_to_capacity_l,
                "is_changed": current != rule,
            }
        )
    return rows


def care_overdue(due: Iterable[CareDue], now: datetime) -> list[CareDue]:
    """Returns the tasks that are late, longest first."""
    return [row for row in due if row.late_at <= now]


def _changed(rule: CareRule, change: Mapping[str, Any] | None) -> CareRule:
    if not change:
        return rule
    return replace(
        rule,
        first_hours=_or_default(change.get("first_hours"), rule.first_hours),
        every_hours=_or_default(change.get("every_hours"), rule.every_hours),
        leeway_hours=_or_default(change.get("leeway_hours"), rule.leeway_hours),
    )


def _or_default(changed: Any, default: Any) -> Any:
    return default if changed is None else float(changed)


@lru_cache(maxsize=256)
def _hours(number: float) -> timedelta:
    return timedelta(hours=number)


def _once(rule: CareRule, task: str, since: datetime) -> CareDue:
    due = since + _hours(rule.first_hours)
    return CareDue(task, None, due, due + _hours(rule.leeway_hours))


def _next(
    rule: CareRule, task: str, since: datetime, last_at: datetime | None, every_hours: float | None = None
) -> CareDue:
    every = every_hours if every_hours is not None else rule.every_hours
    due = since + _hours(rule.first_hours)
    if last_at is not None and every is not None:
        due = last_at + _hours(every)
    return CareDue(task, last_at, due, due + _hours(rule.leeway_hours))


def _latest(marks: Mapping[str, datetime], *names: str) -> datetime | None:
    return max((marks[name] for name in names if name in marks), default=None)


def _fill_care(rules: Mapping[str, CareRule], subject: CareSubject) -> list[CareDue]:
    marks, since = subject.marks, subject.since
    looked = _latest(marks, TendingKind.LEAK_CHECK)
    leak = rules["age.leak"]
    leak_every = leak.every_hours
    if looked is not None and looked - since >= _hours(LEAK_CHECK_LATER_AFTER_HOURS) - _hours(1):
        # Daily for the first three days; an hour's grace so that the third look is the last daily one.
        leak_every = max(LEAK_CHECK_LATER_EVERY_HOURS, leak.every_hours or 0.0)
    rows = [
        _next(rules["age.turn"], TendingKind.ROLL.value, since, _latest(marks, TendingKind.ROLL)),
        _next(rules["age.taste"], MARK_TASTE, since, _latest(marks, MARK_TASTE)),
        _next(rules["age.level"], MARK_LEVEL, since, _latest(marks, MARK_LEVEL, TendingKind.TOP_UP)),
        _next(leak, TendingKind.LEAK_CHECK.value, since, looked, leak_every),
        _next(
            rules["age.spigot"],
            TendingKind.SPIGOT_CHECK.value,
            since,
            _latest(marks, TendingKind.SPIGOT_CHECK),
        ),
    ]
    if subject.planned_days is not None:
        rows.append(_once(rules["age.decide"], TASK_DECIDE, since + timedelta(days=subject.planned_days)))
    return rows


def _hold_care(rules: Mapping[str, CareRule], subject: CareSubject, is_strict: bool) -> list[CareDue]:
    marks, since = subject.marks, subject.since
    filled_up = _latest(marks, TendingKind.TOP_UP, TendingKind.WATER_CHANGE, MARK_LEVEL)
    rows = [
        _next(rules["hold.turn"], TendingKind.ROLL.value, since, _latest(marks, TendingKind.ROLL)),
        _next(rules["hold.level"], TendingKind.TOP_UP.value, since, filled_up),
    ]
    if subject.is_solution:
        # Strip and smell: any look counts, and so does a new dose.
        checked = _latest(marks, TendingKind.LEAK_CHECK, TendingKind.SULPHITING, MARK_STRIP)
        rows.append(_next(rules["solution.check"], TASK_SOLUTION_CHECK, since, checked))
        dosed = _latest(marks, TendingKind.SULPHITING, TendingKind.WATER_CHANGE)
        rows.append(_next(rules["solution.renew"], TASK_SOLUTION_RENEW, since, dosed))
        return rows
    water = rules["hold.water"]
    usual = water.every_hours or USUAL_WATER_CHANGE_H
    every = water_change_every_h(subject.temp_c, is_strict, usual)
    if every < usual:
        water = replace(water, first_hours=min(every, water.first_hours), every_hours=every)
    rows.append(_next(water, TendingKind.WATER_CHANGE.value, since, _latest(marks, TendingKind.WATER_CHANGE)))
    rows.append(_once(rules["hold.switch"], TASK_NEXT_FILL, since))
    return rows


def _curing_care(rules: Mapping[str, CareRule], subject: CareSubject) -> list[CareDue]:
    marks, since = subject.marks, subject.since
    topped = _latest(marks, TendingKind.TOP_UP)
    every = rules["cure.topup"].every_hours
    if topped is not None and topped - since >= _hours(CURE_TOPUP_LATER_AFTER_HOURS):
        every = max(CURE_TOPUP_LATER_EVERY_HOURS, every or 0.0)
    looked = _latest(marks, TASK_TIGHTNESS, TendingKind.LEAK_CHECK)
    changed = _latest(marks, TendingKind.WATER_CHANGE)
    return [
        _next(rules["cure.topup"], TendingKind.TOP_UP.value, since, topped, every),
        _next(rules["cure.water"], TendingKind.WATER_CHANGE.value, since, changed),
        _next(rules["cure.decide"], TASK_TIGHTNESS, since, looked),
        CareDue(
            TASK_CURING_END,
            None,
            since + _hours(rules["cure.warn"].first_hours),
            since + _hours(rules["cure.stop"].first_hours),
        ),
    ]
