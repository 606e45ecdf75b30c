"""What a barrel asks for, and when: the care schedule laid over what was last done.

The periods are those of ``science.vocabulary`` with the club's own numbers over them; what was last done comes from
the care marks of the open stay. A task is due from ``due_at`` on and late from ``late_at`` on.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import lru_cache
from typing import NamedTuple, TypedDict

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
# A strip that shows the sulphite gone; the server reads it off the strips themselves.
MARK_STRIP_CLEAR = "strip_clear"
# Somebody's word that a fill goes on or comes out.
MARK_DECIDE = "decide"

# Tasks that no single tending answers.
TASK_DECIDE = MARK_DECIDE
TASK_REVIEW = "review"
TASK_RINSE = "solution_rinse"
TASK_TIGHTNESS = "tightness"
TASK_CURING_END = "curing_end"
TASK_NEXT_FILL = "next_fill"
TASK_SOLUTION_CHECK = "solution_check"
TASK_SOLUTION_RENEW = "solution_renew"
TASK_WET_OR_FILL = "wet_or_fill"
TASK_CLIMATE = "climate"

# A hold that stands in solution has a schedule of its own.
HELD_IN_SOLUTION = "held_in_solution"


class CareTask(NamedTuple):
    """A task of a barrel: the rule of its periods, and the marks that settle it until the next time."""

    task: str
    rule: str
    settled_by: tuple[str, ...] = ()


def _own(task: TendingKind, rule: str) -> CareTask:
    return CareTask(task.value, rule, (task.value,))


_TOP_UP, _CHANGE = TendingKind.TOP_UP.value, TendingKind.WATER_CHANGE.value
_LOOK, _DOSE = TendingKind.LEAK_CHECK.value, TendingKind.SULPHITING.value
# A dip, a weighing and fresh water all say where the level of a hold stands.
_HOLD_TURN = _own(TendingKind.ROLL, "hold.turn")
_HOLD_LEVEL = CareTask(_TOP_UP, "hold.level", (_TOP_UP, _CHANGE, MARK_LEVEL))
# Wood that held sulphite is rinsed, soaked and stripped before the fill that somebody has reserved it for.
_RINSE = CareTask(TASK_RINSE, "solution.rinse", (MARK_STRIP_CLEAR,))

# What a barrel asks for, by its state. The phone lays its own entries over the same table.
CARE_TASKS: Mapping[str, tuple[CareTask, ...]] = {
    BarrelState.FILLED.value: (
        _own(TendingKind.ROLL, "age.turn"),
        CareTask(MARK_TASTE, "age.taste", (MARK_TASTE,)),
        CareTask(MARK_LEVEL, "age.level", (MARK_LEVEL, _TOP_UP)),
        _own(TendingKind.LEAK_CHECK, "age.leak"),
        _own(TendingKind.SPIGOT_CHECK, "age.spigot"),
        CareTask(TASK_DECIDE, "age.decide", (MARK_DECIDE,)),
    ),
    BarrelState.HELD.value: (
        _HOLD_TURN,
        _HOLD_LEVEL,
        _own(TendingKind.WATER_CHANGE, "hold.water"),
        CareTask(TASK_NEXT_FILL, "hold.switch"),
        _RINSE,
    ),
    HELD_IN_SOLUTION: (
        _HOLD_TURN,
        # Plain water thins a solution: its level is only measured, and a new dose is what brings it up.
        CareTask(MARK_LEVEL, "hold.level", (MARK_LEVEL, _DOSE)),
        # Strip and smell: any look counts, and so does a new dose. Only a dose renews it, plain water thins it.
        CareTask(TASK_SOLUTION_CHECK, "solution.check", (_LOOK, _DOSE, MARK_STRIP)),
        CareTask(TASK_SOLUTION_RENEW, "solution.renew", (_DOSE,)),
        _RINSE,
    ),
    BarrelState.CURING.value: (
        _own(TendingKind.TOP_UP, "cure.topup"),
        _own(TendingKind.WATER_CHANGE, "cure.water"),
        CareTask(TASK_TIGHTNESS, "cure.decide", (TASK_TIGHTNESS, _LOOK)),
        CareTask(TASK_CURING_END, "cure.warn"),
    ),
    BarrelState.EMPTY.value: (
        CareTask(TASK_REVIEW, "barrel.review", (_LOOK,)),
        CareTask(TASK_WET_OR_FILL, "empty.max"),
        _RINSE,
    ),
    # Found tight it is drained, weighed wet and filled the same day: from then on it dries as any empty one.
    BarrelState.READY.value: (CareTask(TASK_WET_OR_FILL, "empty.max"),),
}

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
    """What the schedule has to know of one barrel.

    ``best_week`` is that of the pull forecast; ``looked_at`` the last look at it while nothing was in it; ``refill_at``
    the day of its next fill while no strip has shown its wood clear of sulphite.
    """

    state: str
    since: datetime
    capacity_l: float
    marks: Mapping[str, datetime]
    is_solution: bool = False
    temp_c: float | None = None
    planned_days: int | None = None
    best_week: float | None = None
    looked_at: datetime | None = None
    refill_at: datetime | None = None


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
        elif subject.state in (BarrelState.EMPTY, BarrelState.READY):
            rows = _empty_care(rules, subject)
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


def _settled(marks: Mapping[str, datetime], task: CareTask) -> datetime | None:
    return _latest(marks, *task.settled_by)


def _fill_care(rules: Mapping[str, CareRule], subject: CareSubject) -> list[CareDue]:
    marks, since = subject.marks, subject.since
    rows = []
    for task in CARE_TASKS[BarrelState.FILLED]:
        rule, last = rules[task.rule], _settled(marks, task)
        if task.task == TASK_DECIDE:
            rows += _decide_care(rule, subject, last)
            continue
        if task.task == TendingKind.LEAK_CHECK and last is not None:
            # Daily for the first three days; an hour's grace so that the third look is the last daily one.
            later = rules[LEAK_LATER]
            rule = _later(rule, later) if last - since >= _hours(later.first_hours) - _hours(1) else rule
        rows.append(_next(rule, task.task, since, last))
    return rows


def _decide_care(rule: CareRule, subject: CareSubject, last: datetime | None) -> list[CareDue]:
    """Asks at the best week that the tastes foretell, else when the plan ends; a word to go on holds for a while."""
    if subject.best_week is not None:
        ready_at = subject.since + timedelta(weeks=subject.best_week)
    elif subject.planned_days is not None:
        ready_at = subject.since + timedelta(days=subject.planned_days)
    else:
        return []
    due = ready_at + _hours(rule.first_hours)
    if last is not None:
        due = max(due, last + _hours(rule.every_hours or 0.0))
    return [CareDue(TASK_DECIDE, last, due, due + _hours(rule.leeway_hours))]


def _empty_care(rules: Mapping[str, CareRule], subject: CareSubject) -> list[CareDue]:
    rows = []
    for task in CARE_TASKS[subject.state]:
        if task.task == TASK_RINSE:
            rows += _rinse_care(rules, subject)
        elif task.task != TASK_REVIEW or subject.looked_at is None or subject.looked_at < subject.since:
            rows.append(_once(rules[task.rule], task.task, subject.since))
    return rows


def _rinse_care(rules: Mapping[str, CareRule], subject: CareSubject) -> list[CareDue]:
    """Counted back from the day of the fill."""
    return [] if subject.refill_at is None else [_once(rules[_RINSE.rule], TASK_RINSE, subject.refill_at)]


def _hold_care(rules: Mapping[str, CareRule], subject: CareSubject, is_strict: bool) -> list[CareDue]:
    marks, since = subject.marks, subject.since
    is_warm = subject.temp_c is not None and subject.temp_c > HOLD_WATER_STRICT_ABOVE_TEMP_C
    rows = []
    for task in CARE_TASKS[HELD_IN_SOLUTION if subject.is_solution else BarrelState.HELD]:
        rule = rules[task.rule]
        if task.task == TASK_RINSE:
            rows += _rinse_care(rules, subject)
            continue
        if task.task == TASK_NEXT_FILL:
            rows.append(_once(rule, task.task, since))
            continue
        if task.task == TendingKind.WATER_CHANGE and (is_strict or is_warm):
            rule = _stricter(rule, rules[WATER_STRICT])
        rows.append(_next(rule, task.task, since, _settled(marks, task)))
    return rows


def _stricter(water: CareRule, strict: CareRule) -> CareRule:
    if (strict.every_hours or 0.0) >= (water.every_hours or 0.0):
        return water
    return replace(
        water,
        first_hours=min(strict.first_hours, water.first_hours),
        every_hours=strict.every_hours,
        leeway_hours=min(strict.leeway_hours, water.leeway_hours),
    )


def _curing_care(rules: Mapping[str, CareRule], subject: CareSubject) -> list[CareDue]:
    marks, since = subject.marks, subject.since
    rows = []
    for task in CARE_TASKS[BarrelState.CURING]:
        rule, last = rules[task.rule], _settled(marks, task)
        if task.task == TASK_CURING_END:
            due, late = since + _hours(rule.first_hours), since + _hours(rules["cure.stop"].first_hours)
            rows.append(CareDue(task.task, None, due, late))
            continue
        if task.task == TendingKind.TOP_UP and last is not None:
            later = rules[TOPUP_LATER]
            rule = _later(rule, later) if last - since >= _hours(later.first_hours) else rule
        rows.append(_next(rule, task.task, since, last))
    return rows
