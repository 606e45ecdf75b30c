"""Water changes, when plain water is no longer enough, and the gate before spirit goes in again.

Intervals, rinses and soak: common practice, no source; 10 mg/L: Regulation (EU) No 1169/2011, Annex II.
"""

from __future__ import annotations

from itertools import product
from typing import Any

import pytest

from staveward.science.errors import OutOfRange
from staveward.science.hold_care import (
    HoldAdvice,
    RefillNeed,
    hold_advice,
    refill_gate,
    water_change_due_h,
    water_change_every_h,
)

DAY_H = 24.0
DONE: dict[str, Any] = {
    "is_drained": True,
    "smells_sound": True,
    "held_solution": True,
    "rinses": 3,
    "soaked_h": 24.0,
    "so2_mg_l": 9.9,
}


@pytest.mark.parametrize(
    ("temp_c", "is_strict", "usual_h", "every_h"),
    [
        (None, False, 7 * DAY_H, 7 * DAY_H),
        (20.0, False, 7 * DAY_H, 7 * DAY_H),
        (20.1, False, 7 * DAY_H, 3 * DAY_H),
        (8.0, True, 7 * DAY_H, 3 * DAY_H),
        (24.0, True, 2 * DAY_H, 2 * DAY_H),
        (None, False, 10 * DAY_H, 10 * DAY_H),
    ],
)
def test_warm_or_strict_water_stands_three_days(
    temp_c: float | None, is_strict: bool, usual_h: float, every_h: float
):
    """And never longer than the club's own usual interval."""
    assert water_change_every_h(temp_c, is_strict, usual_h) == every_h
    assert water_change_due_h(60.0, temp_c, is_strict, usual_h) == every_h - 60.0


def test_a_week_is_usual():
    """Makers' sheets, common practice."""
    assert water_change_every_h() == 7 * DAY_H
    assert water_change_due_h(0.0) == 7 * DAY_H


@pytest.mark.parametrize(
    ("said", "advice"),
    [
        ({"idle_days": 28.0}, HoldAdvice.PLAIN_WATER),
        ({"idle_days": 28.1}, HoldAdvice.NEXT_FILL),
        ({"idle_days": 60.0, "is_sulphite_allowed": True}, HoldAdvice.NEXT_FILL),
        ({"idle_days": 60.0, "fill_follows": False}, HoldAdvice.NEXT_FILL),
        (
            {"idle_days": 60.0, "is_sulphite_allowed": True, "fill_follows": False},
            HoldAdvice.HOLDING_SOLUTION,
        ),
        ({"idle_days": 3.0, "is_sulphite_allowed": True, "fill_follows": False}, HoldAdvice.PLAIN_WATER),
        ({"idle_days": 3.0, "smells_off": True}, HoldAdvice.PLAIN_WATER),
        ({"idle_days": 60.0, "smells_off": True}, HoldAdvice.PLAIN_WATER),
        ({"idle_days": 3.0, "smells_off": True, "is_sulphite_allowed": True}, HoldAdvice.HOLDING_SOLUTION),
    ],
)
def test_sulphite_is_never_the_first_answer(said: dict[str, Any], advice: HoldAdvice):
    """The next fill comes first; a barrel that smells off is not filled."""
    assert hold_advice(**said) is advice


@pytest.mark.parametrize(
    ("change", "missing"),
    [
        ({}, []),
        ({"rinses": 2}, [RefillNeed.RINSE]),
        ({"soaked_h": 23.9}, [RefillNeed.SOAK]),
        ({"so2_mg_l": 10.0}, [RefillNeed.STRIP_TEST]),
        ({"so2_mg_l": None}, [RefillNeed.STRIP_TEST]),
        ({"is_drained": False}, [RefillNeed.DRAIN]),
        ({"smells_sound": False}, [RefillNeed.SMELL]),
        ({"is_released": False}, [RefillNeed.RELEASE]),
        (
            {"rinses": 0, "soaked_h": 0.0, "so2_mg_l": None},
            [RefillNeed.RINSE, RefillNeed.SOAK, RefillNeed.STRIP_TEST],
        ),
    ],
)
def test_the_gate_names_what_is_missing(change: dict[str, Any], missing: list[RefillNeed]):
    """In the order in which it is done; open only when nothing is."""
    gate = refill_gate(**{**DONE, **change})

    assert list(gate.missing) == missing
    assert gate.is_open == (not missing)


def test_plain_water_needs_no_strip():
    """Drained and smelt is enough, whatever else was not done."""
    for drained, sound in product((True, False), repeat=2):
        assert refill_gate(is_drained=drained, smells_sound=sound).is_open == (drained and sound)


@pytest.mark.parametrize(
    ("call", "argument"),
    [
        (lambda: water_change_every_h(float("nan")), "temp_c"),
        (lambda: water_change_every_h(usual_h=0.0), "usual_h"),
        (lambda: water_change_due_h(-1.0), "stood_h"),
        (lambda: hold_advice(-1.0), "idle_days"),
        (lambda: refill_gate(**{**DONE, "rinses": -1}), "rinses"),
        (lambda: refill_gate(**{**DONE, "soaked_h": float("inf")}), "soaked_h"),
        (lambda: refill_gate(**{**DONE, "so2_mg_l": -0.1}), "so2_mg_l"),
    ],
)
def test_it_refuses_what_cannot_be(call: Any, argument: str):
    """With the argument's name."""
    with pytest.raises(OutOfRange) as caught:
        call()

    assert caught.value.argument == argument
