"""What a barrel asks for, and when: the care schedule laid over what was last done.

The periods are those of ``science.vocabulary`` with the club's own numbers over them; what was last done comes from
the care marks of the open stay. A task is due from ``due_at`` on and late from ``late_at`` on.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import lru_cache
from typing import TypedDict

from staveward.models import Club
from staveward.science.vocabulary import (
    CARE_SCHEDULE,
    HOLD_WATER_STRICT_ABOVE_TEMP_C,
    BarrelState,
    CareRule,
    TendingKind,
    care_rules_for,
)
from staveward.selectors.care_lines import LEAK_LATER, TOPUP_LATER, WATER_STRICT, club_lines, line_key
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
        self._lines = club_lines(club)
        self._is_strict = club.strict_water
        self._by_size: dict[float, dict[str, CareRule]] = {}

    def rules(self, capacity_l: float) -> dict[str, CareRule]:
        """Returns the schedule of a barrel of this size, by code, with the paces that come later."""
        size = next(limit for limit in _SIZES if capacity_l <= limit)
        if size not in self._by_size:
            later = {key: self._lines[key] for key in (TOPUP_LATER, LEAK_LATER, WATER_STRICT)}
            self._by_size[size] = later | {
                code: self._lines[line_key(rule)] for code, rule in care_rules_for(capacity_l).items()
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


def care_overdue(due: Iterable[CareDue], now: datetime) -> list[CareDue]:
    """Returns the tasks that are late, longest first."""
    return [row for row in due if row.late_at <= now]


@lru_cache(maxsize=256)
def _hours(number: float) -> timedelta:
    return timedelta(hours=number)


def _once(rule: CareRule, task: str, since: datetime) -> CareDue:
    due = since + _hours(rule.first_hours)
    return CareDue(task, None, due, due + _hours(rule.leeway_hours))


def _later(rule: CareRule, pace: CareRule) -> CareRule:
    """A task at its later pace, which is never a faster one."""
    every = max(pace.every_hours or 0.0, rule.every_hours or 0.0)
    return replace(rule, every_hours=every, leeway_hours=pace.leeway_hours)


def _next(rule: CareRule, task: str, since: datetime, last_at: datetime | None) -> CareDue:
    due = since + _hours(rule.first_hours)
    if last_at is not None and rule.every_hours is not None:
        due = last_at + _hours(rule.every_hours)
    return CareDue(task, last_at, due, due + _hours(rule.leeway_hours))


def _latest(marks: Mapping[str, datetime], *names: str) -> datetime | None:
    return max((marks[name] for name in names if name in marks), default=None)


def _fill_care(rules: Mapping[str, CareRule], subject: CareSubject) -> list[CareDue]:
    marks, since = subject.marks, subject.since
    looked = _latest(marks, TendingKind.LEAK_CHECK)
    leak = rules["age.leak"]
    if looked is not None and looked - since >= _hours(rules[LEAK_LATER].first_hours) - _hours(1):
        # Daily for the first three days; an hour's grace so that the third look is the last daily one.
        leak = _later(leak, rules[LEAK_LATER])
    rows = [
        _next(rules["age.turn"], TendingKind.ROLL.value, since, _latest(marks, TendingKind.ROLL)),
        _next(rules["age.taste"], MARK_TASTE, since, _latest(marks, MARK_TASTE)),
        _next(rules["age.level"], MARK_LEVEL, since, _latest(marks, MARK_LEVEL, TendingKind.TOP_UP)),
        _next(leak, TendingKind.LEAK_CHECK.value, since, looked),
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
    strict = rules[WATER_STRICT]
    is_warm = subject.temp_c is not None and subject.temp_c > HOLD_WATER_STRICT_ABOVE_TEMP_C
    if (is_strict or is_warm) and (strict.every_hours or 0.0) < (water.every_hours or 0.0):
        water = replace(
            water,
            first_hours=min(strict.first_hours, water.first_hours),
            every_hours=strict.every_hours,
            leeway_hours=min(strict.leeway_hours, water.leeway_hours),
        )
    rows.append(_next(water, TendingKind.WATER_CHANGE.value, since, _latest(marks, TendingKind.WATER_CHANGE)))
    rows.append(_once(rules["hold.switch"], TASK_NEXT_FILL, since))
    return rows


def _curing_care(rules: Mapping[str, CareRule], subject: CareSubject) -> list[CareDue]:
    marks, since = subject.marks, subject.since
    topped = _latest(marks, TendingKind.TOP_UP)
    topup = rules["cure.topup"]
    if topped is not None and topped - since >= _hours(rules[TOPUP_LATER].first_hours):
        topup = _later(topup, rules[TOPUP_LATER])
    looked = _latest(marks, TASK_TIGHTNESS, TendingKind.LEAK_CHECK)
    changed = _latest(marks, TendingKind.WATER_CHANGE)
    return [
        _next(topup, TendingKind.TOP_UP.value, since, topped),
        _next(rules["cure.water"], TendingKind.WATER_CHANGE.value, since, changed),
        _next(rules["cure.decide"], TASK_TIGHTNESS, since, looked),
        CareDue(
            TASK_CURING_END,
            None,
            since + _hours(rules["cure.warn"].first_hours),
            since + _hours(rules["cure.stop"].first_hours),
        ),
    ]
