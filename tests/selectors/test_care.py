"""The care schedule over what was last done. Periods: common practice and design values, see the vocabulary."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from staveward.management.commands.care_table import PATH, table_text
from staveward.models import Club
from staveward.selectors.care import CareBook, CareDue, CareSubject, care_overdue
from staveward.selectors.care_lines import care_lines, care_settings, period_bounds

START = datetime(2026, 3, 1, 12, 0, tzinfo=UTC)


def after(days: float) -> datetime:
    return START + timedelta(days=days)


def due(state: str = "filled", *, club: Club | None = None, **changes: Any) -> dict[str, CareDue]:
    """Returns what a 5 L barrel asks for, by task."""
    subject = CareSubject(**{"state": state, "since": START, "capacity_l": 5.0, "marks": {}, **changes})
    return {row.task: row for row in CareBook(club or Club(name="Boat Club")).due(subject)}


def test_a_fresh_fill_asks_for_its_first_turn_after_a_week() -> None:
    rows = due("filled")

    assert rows["roll"].due_at == after(7)
    assert rows["roll"].late_at == after(9)
    assert rows["roll"].last_at is None


def test_a_done_task_is_due_again_after_its_period() -> None:
    assert due("filled", marks={"roll": after(8)})["roll"].due_at == after(15)


@pytest.mark.parametrize(
    ("capacity_l", "first_days", "period_days"), [(2.0, 7, 7), (5.0, 14, 7), (20.0, 14, 7), (30.0, 28, 14)]
)
def test_the_first_taste_is_later_in_a_larger_barrel(
    capacity_l: float, first_days: int, period_days: int
) -> None:
    assert due("filled", capacity_l=capacity_l)["taste"].due_at == after(first_days)
    marks = {"taste": after(30)}
    assert due("filled", capacity_l=capacity_l, marks=marks)["taste"].due_at == after(30 + period_days)


def test_leaks_are_looked_for_daily_for_three_days_and_then_weekly() -> None:
    assert due("filled")["leak_check"].due_at == after(1)
    assert due("filled", marks={"leak_check": after(1)})["leak_check"].due_at == after(2)
    assert due("filled", marks={"leak_check": after(3)})["leak_check"].due_at == after(10)


def test_a_plan_asks_for_a_decision_when_it_ends() -> None:
    assert "decide" not in due("filled")
    assert due("filled", planned_days=28)["decide"].due_at == after(28)


def test_the_water_of_a_hold_is_changed_weekly_and_late_a_day_after() -> None:
    row = due("held", marks={"water_change": after(3)})["water_change"]

    assert (row.due_at, row.late_at) == (after(10), after(11))


@pytest.mark.parametrize(("strict", "temp_c", "days"), [(True, 12.0, 3), (False, 21.0, 3), (False, 20.0, 7)])
def test_a_strict_club_or_a_warm_place_changes_water_every_three_days(
    strict: bool, temp_c: float, days: int
) -> None:
    row = due("held", club=Club(strict_water=strict), temp_c=temp_c)["water_change"]

    assert row.due_at == after(days)


def test_four_weeks_of_wet_hold_ask_for_the_next_fill() -> None:
    assert due("held")["next_fill"].due_at == after(28)


def test_a_holding_solution_is_checked_and_renewed_instead_of_changed() -> None:
    rows = due("held", is_solution=True)

    assert rows["solution_check"].due_at == after(28)
    assert rows["solution_renew"].due_at == after(90)
    assert "water_change" not in rows
    assert "next_fill" not in rows


def test_a_curing_is_topped_up_within_hours_then_half_daily() -> None:
    assert due("curing")["top_up"].due_at == START + timedelta(hours=2)
    early = {"top_up": START + timedelta(hours=5)}
    assert due("curing", marks=early)["top_up"].due_at == START + timedelta(hours=9)
    assert due("curing", marks={"top_up": after(2)})["top_up"].due_at == after(2.5)


def test_a_curing_warns_after_four_days_and_stops_after_seven() -> None:
    row = due("curing")["curing_end"]

    assert (row.due_at, row.late_at) == (after(4), after(7))


def test_an_empty_barrel_may_dry_for_one_day() -> None:
    row = due("empty")["wet_or_fill"]

    assert (row.due_at, row.late_at) == (after(1), after(2))


@pytest.mark.parametrize("state", ["new", "retired"])
def test_a_barrel_that_is_not_in_use_asks_for_nothing(state: str) -> None:
    assert due(state) == {}


def test_a_club_changes_a_period_and_keeps_the_others() -> None:
    club = Club(care={"age.turn": {"every_hours": 72, "leeway_hours": 12}})
    row = due("filled", club=club, marks={"roll": after(7)})["roll"]

    assert (row.due_at, row.late_at) == (after(10), after(10.5))
    assert due("filled", club=club)["roll"].due_at == after(7)
    changed = [line["code"] for line in care_settings(club) if line["is_changed"]]
    assert changed == ["age.turn"]


# Line, what it is tried on, its task, and when that is due with the line at 5 days first and 6 days after.
LINES = [
    ("cure.topup", {"state": "curing"}, "top_up", 5),
    ("cure.topup", {"state": "curing", "marks": {"top_up": START}}, "top_up", 6),
    ("cure.topup.later", {"state": "curing", "marks": {"top_up": after(5)}}, "top_up", 11),
    ("cure.water", {"state": "curing"}, "water_change", 5),
    ("empty.max", {"state": "ready"}, "wet_or_fill", 5),
    ("cure.decide", {"state": "curing", "marks": {"tightness": after(1)}}, "tightness", 7),
    ("cure.warn", {"state": "curing"}, "curing_end", 5),
    ("age.turn", {"state": "filled", "marks": {"roll": after(1)}}, "roll", 7),
    ("age.taste.to_25_l", {"state": "filled"}, "taste", 5),
    ("age.taste.to_4_l", {"state": "filled", "capacity_l": 2.0}, "taste", 5),
    ("age.taste.over_25_l", {"state": "filled", "capacity_l": 30.0}, "taste", 5),
    ("age.taste", {"state": "filled", "capacity_l": 30.0}, "taste", 5),
    ("age.level.to_10_l", {"state": "filled"}, "level", 5),
    ("age.level.over_10_l", {"state": "filled", "capacity_l": 10.0}, "level", 5),
    ("age.leak", {"state": "filled"}, "leak_check", 5),
    ("age.leak.later", {"state": "filled", "marks": {"leak_check": after(5)}}, "leak_check", 11),
    ("age.spigot", {"state": "filled"}, "spigot_check", 5),
    ("hold.turn", {"state": "held"}, "roll", 5),
    ("hold.water", {"state": "held", "marks": {"water_change": after(1)}}, "water_change", 7),
    ("hold.water.strict", {"state": "held", "temp_c": 24.0}, "water_change", 5),
    ("hold.level", {"state": "held"}, "top_up", 5),
    ("hold.switch", {"state": "held"}, "next_fill", 5),
    ("solution.check", {"state": "held", "is_solution": True}, "solution_check", 5),
    ("solution.renew", {"state": "held", "is_solution": True}, "solution_renew", 5),
    ("empty.max", {"state": "empty"}, "wet_or_fill", 5),
]


@pytest.mark.parametrize(("line", "subject", "task", "days"), LINES)
def test_every_line_that_the_walk_asks_for_moves_its_task(
    line: str, subject: dict[str, Any], task: str, days: float
) -> None:
    club = Club(care={line: {"first_hours": 5 * 24, "every_hours": 6 * 24, "leeway_hours": 7}})
    row = due(club=club, **subject)[task]

    assert row.due_at == after(days)
    if task != "curing_end":
        assert row.late_at == row.due_at + timedelta(hours=7)


def test_one_size_of_barrel_is_changed_without_the_others() -> None:
    club = Club(care={"age.taste.to_4_l": {"first_hours": 48}})

    assert due("filled", club=club, capacity_l=2.0)["taste"].due_at == after(2)
    assert due("filled", club=club, capacity_l=5.0)["taste"].due_at == after(14)


def test_a_later_pace_is_never_the_faster_one() -> None:
    club = Club(care={"age.leak": {"every_hours": 30 * 24}})

    assert due("filled", club=club, marks={"leak_check": after(4)})["leak_check"].due_at == after(34)


def test_the_settings_list_every_line_once_with_its_usual_periods() -> None:
    rows = care_settings(Club())

    assert len({row["line"] for row in rows}) == len(rows) == len(care_lines())
    assert not any(row["is_changed"] for row in rows)
    for row in rows:
        rule = care_lines()[row["line"]]
        for period, usual in row["usual"].items():
            bounds = period_bounds(rule, period)
            assert (usual is None) == (bounds is None)
            assert bounds is None or bounds.low <= usual <= bounds.high


def test_only_what_is_past_its_leeway_is_overdue() -> None:
    rows = list(due("filled").values())

    assert care_overdue(rows, after(1.5)) == []
    assert [row.task for row in care_overdue(rows, after(2))] == ["leak_check"]


def test_plain_water_does_not_renew_a_solution_and_a_dose_does() -> None:
    changed = due("held", is_solution=True, marks={"water_change": after(80)})
    dosed = due("held", is_solution=True, marks={"sulphiting": after(80)})

    assert changed["solution_renew"].due_at == after(90)
    assert dosed["solution_renew"].due_at == after(170)


def test_the_phones_table_is_current() -> None:
    """``manage.py care_table`` writes it."""
    assert PATH.read_text() == table_text()


def test_a_decision_follows_the_best_week_and_else_the_plan() -> None:
    assert "decide" not in due("filled")
    assert due("filled", planned_days=42)["decide"].due_at == after(42)
    foretold = due("filled", planned_days=42, best_week=7.5)["decide"]
    assert (foretold.due_at, foretold.late_at) == (after(52.5), after(55.5))
    # A word to go on holds for a week, and asks nothing sooner than the best week.
    assert due("filled", best_week=7.5, marks={"decide": after(60)})["decide"].due_at == after(67)
    assert due("filled", best_week=7.5, marks={"decide": after(20)})["decide"].due_at == after(52.5)


def test_an_emptied_barrel_is_looked_over_once() -> None:
    assert due("empty")["review"].due_at == after(0)
    assert due("empty", looked_at=after(-3))["review"].due_at == after(0)
    assert "review" not in due("empty", looked_at=after(0.5))


@pytest.mark.parametrize(("state", "is_solution"), [("held", True), ("held", False), ("empty", False)])
def test_wood_that_held_sulphite_is_rinsed_two_days_before_its_fill(state: str, is_solution: bool) -> None:
    """Rinse three times, soak a day, strip under 10 mg/L: common practice, no source."""
    assert "solution_rinse" not in due(state, is_solution=is_solution)
    rinse = due(state, is_solution=is_solution, refill_at=after(20))["solution_rinse"]
    assert rinse.due_at == after(18)


def test_a_solution_is_measured_and_never_topped_up_with_water() -> None:
    held = due("held", is_solution=True, marks={"top_up": after(3)})
    assert "top_up" not in held
    assert held["level"].due_at == after(7)
    assert due("held", is_solution=True, marks={"sulphiting": after(3)})["level"].due_at == after(10)
