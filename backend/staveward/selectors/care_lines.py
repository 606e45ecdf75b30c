"""The care schedule as a club may change it: every line by a key of its own, and what each of its periods may be.

A line is a rule of ``science.vocabulary``. Where a rule stands there once for each size of barrel, each size is a line;
where it goes on at another pace later, or in a warm cellar, that pace is a line too. A club stores only what differs.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from staveward.models import Club
from staveward.science.vocabulary import (
    CARE_SCHEDULE,
    CURE_TOPUP_LATER_AFTER_HOURS,
    CURE_TOPUP_LATER_EVERY_HOURS,
    HOLD_WATER_STRICT_ABOVE_TEMP_C,
    HOLD_WATER_STRICT_EVERY_HOURS,
    LEAK_CHECK_LATER_AFTER_HOURS,
    LEAK_CHECK_LATER_EVERY_HOURS,
    CareRule,
)

TOPUP_LATER, LEAK_LATER, WATER_STRICT = "cure.topup.later", "age.leak.later", "hold.water.strict"
PERIODS = ("first_hours", "every_hours", "leeway_hours")
LONGEST_HOURS = 24.0 * 365
# What counts back from a day to come: the period says how long before.
COUNTED_BACK = frozenset({"next_fill", "best_before"})


@dataclass(frozen=True, slots=True)
class Bounds:
    """What a period may be; None where the line has no such period."""

    low: float
    high: float


def _paces() -> tuple[CareRule, ...]:
    """The paces that a task takes later, or where the cellar is warm."""
    rules = {rule.code: rule for rule in CARE_SCHEDULE}
    topup, leak, water = rules["cure.topup"], rules["age.leak"], rules["hold.water"]
    return (
        replace(
            topup,
            code=TOPUP_LATER,
            what="top up, after the first day",
            first_hours=CURE_TOPUP_LATER_AFTER_HOURS,
            every_hours=CURE_TOPUP_LATER_EVERY_HOURS,
        ),
        replace(
            leak,
            code=LEAK_LATER,
            what="wipe and look, after the first days",
            first_hours=LEAK_CHECK_LATER_AFTER_HOURS,
            every_hours=LEAK_CHECK_LATER_EVERY_HOURS,
        ),
        replace(
            water,
            code=WATER_STRICT,
            what=f"change the water where it is over {HOLD_WATER_STRICT_ABOVE_TEMP_C:g} °C or the club is strict",
            first_hours=HOLD_WATER_STRICT_EVERY_HOURS,
            every_hours=HOLD_WATER_STRICT_EVERY_HOURS,
        ),
    )


def line_key(rule: CareRule) -> str:
    """Returns the key of a line: the rule's code, with the size of barrel where the rule has several."""
    if rule.up_to_capacity_l == float("inf") and rule.over_capacity_l == 0:
        return rule.code
    if rule.up_to_capacity_l == float("inf"):
        return f"{rule.code}.over_{rule.over_capacity_l:.0f}_l"
    return f"{rule.code}.to_{rule.up_to_capacity_l:.0f}_l"


@cache
def care_lines() -> Mapping[str, CareRule]:
    """Returns every line with its usual periods, by its key."""
    return {line_key(rule): rule for rule in (*CARE_SCHEDULE, *_paces())}


def period_bounds(rule: CareRule, period: str) -> Bounds | None:
    """Returns what one period of a line may be, or None where it has none."""
    if period == "first_hours":
        back = rule.counts_from in COUNTED_BACK
        return Bounds(-LONGEST_HOURS, 0.0) if back else Bounds(0.0, LONGEST_HOURS)
    if period == "every_hours":
        return None if rule.every_hours is None else Bounds(1.0, LONGEST_HOURS)
    return Bounds(0.0, LONGEST_HOURS)


def changed(rule: CareRule, changes: Mapping[str, Any] | None) -> CareRule:
    """Returns a line with a club's own periods over the usual ones."""
    own: dict[str, Any] = {
        name: float(value) for name, value in (changes or {}).items() if name in PERIODS and value is not None
    }
    return replace(rule, **own) if own else rule


def club_lines(club: Club) -> dict[str, CareRule]:
    """Returns every line as it holds in a club. A change under a rule's bare code holds for all its sizes."""
    changes: dict[str, dict[str, Any]] = club.care or {}
    return {
        key: changed(changed(rule, changes.get(rule.code)), changes.get(key) if key != rule.code else None)
        for key, rule in care_lines().items()
    }


def care_settings(club: Club) -> list[dict[str, Any]]:
    """Returns the whole schedule with the club's own periods over the usual ones, as the settings page shows it."""
    usual = care_lines()
    rows = []
    for key, rule in club_lines(club).items():
        top = rule.up_to_capacity_l
        rows.append(
            {
                "line": key,
                "code": rule.code,
                "what": rule.what,
                "counts_from": rule.counts_from,
                "over_capacity_l": rule.over_capacity_l,
                "up_to_capacity_l": None if top == float("inf") else top,
                **{period: getattr(rule, period) for period in PERIODS},
                "usual": {period: getattr(usual[key], period) for period in PERIODS},
                "is_changed": rule != usual[key],
            }
        )
    return rows
