"""When a wet hold's water is changed, when plain water is no longer enough, and when a barrel may be filled again.

Makers' sheets do not agree on how long water may stand, and no source was found that a dose of spirit protects it: the
water is changed. Sulphite is the keeper's own choice and never the first answer.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from .errors import require_number
from .vocabulary import (
    BOUNDS,
    CARE_SCHEDULE,
    HOLD_WATER_STRICT_ABOVE_TEMP_C,
    HOLD_WATER_STRICT_EVERY_HOURS,
    SULPHITE_LABEL_MG_L,
)

_RULES = {rule.code: rule for rule in CARE_SCHEDULE}
USUAL_WATER_CHANGE_H = float(_RULES["hold.water"].every_hours or 0.0)
LONGEST_PLAIN_HOLD_DAYS = _RULES["hold.switch"].first_hours / 24.0
LEAST_RINSES, LEAST_SOAK_H = 3, 24.0


class HoldAdvice(StrEnum):
    """What a hold wants next, the mildest first."""

    PLAIN_WATER = "plain_water"
    NEXT_FILL = "next_fill"
    HOLDING_SOLUTION = "holding_solution"


class RefillNeed(StrEnum):
    """What is still to be done before spirit goes in."""

    DRAIN = "drain"
    RINSE = "rinse"
    SOAK = "soak"
    STRIP_TEST = "strip_test"
    SMELL = "smell"
    RELEASE = "release"


@dataclass(frozen=True, slots=True)
class RefillGate:
    """Holds whether a held barrel may be filled, and what is missing, in the order it is done."""

    is_open: bool
    missing: tuple[RefillNeed, ...]


def water_change_every_h(
    temp_c: float | None = None, is_strict: bool = False, usual_h: float = USUAL_WATER_CHANGE_H
) -> float:
    """Gives how often plain water is changed: the usual week, every three days when it is warm or the club is strict.

    Parameters
    ----------
    temp_c : float or None, scalar
        Temperature of the room, where known [degrees Celsius].
    is_strict : bool, scalar
        True for a club that follows the stricter of the makers' sheets [1].
    usual_h : float, scalar
        The club's own usual interval [h].

    Returns
    -------
    float, scalar
        Interval, never longer than the usual one [h].

    Raises
    ------
    OutOfRange
        If the temperature is outside -60 to 80 degrees Celsius or the interval not above zero.

    Source
    ------
    Makers' care sheets, common practice (two to four days to a week); above 20 °C: design value of this project.

    Examples
    --------
    >>> water_change_every_h(12.0), water_change_every_h(24.0)
    (168.0, 72.0)
    """
    usual = require_number("usual_h", usual_h, 0.0, 24.0 * BOUNDS["days"].high, "h", above_low=True)
    warm = False
    if temp_c is not None:
        room = require_number("temp_c", temp_c, -60.0, 80.0, "degrees Celsius")
        warm = room > HOLD_WATER_STRICT_ABOVE_TEMP_C
    return min(usual, HOLD_WATER_STRICT_EVERY_HOURS) if warm or is_strict else usual


def water_change_due_h(
    stood_h: float,
    temp_c: float | None = None,
    is_strict: bool = False,
    usual_h: float = USUAL_WATER_CHANGE_H,
) -> float:
    """Gives in how many hours the water is to be changed; below zero it is late by so much.

    Parameters
    ----------
    stood_h : float, scalar
        How long this water has stood [h].
    temp_c : float or None, scalar
        Temperature of the room, where known [degrees Celsius].
    is_strict : bool, scalar
        True for a club that follows the stricter of the makers' sheets [1].
    usual_h : float, scalar
        The club's own usual interval [h].

    Returns
    -------
    float, scalar
        Time left [h].

    Raises
    ------
    OutOfRange
        If a number is outside its bound.

    Source
    ------
    As ``water_change_every_h``.

    Examples
    --------
    >>> water_change_due_h(100.0, 12.0), water_change_due_h(100.0, 24.0)
    (68.0, -28.0)
    """
    stood = require_number("stood_h", stood_h, 0.0, 24.0 * BOUNDS["days"].high, "h")
    return water_change_every_h(temp_c, is_strict, usual_h) - stood


def hold_advice(
    idle_days: float,
    smells_off: bool = False,
    is_sulphite_allowed: bool = False,
    fill_follows: bool = True,
) -> HoldAdvice:
    """Says what a hold wants: plain water, the next fill, or a holding solution.

    Up to 28 days plain water; beyond, the next fill comes first, and a holding solution only where none follows and the
    keeper allows sulphite. A barrel that smells off is not filled: a solution if allowed, else fresh water.

    Parameters
    ----------
    idle_days : float, scalar
        Days the barrel has stood and is planned to stand without a fill [days].
    smells_off : bool, scalar
        True when its water smelt off, once is enough [1].
    is_sulphite_allowed : bool, scalar
        True when the keeper has switched sulphite on for this club [1].
    fill_follows : bool, scalar
        False when nobody is going to fill it [1].

    Returns
    -------
    HoldAdvice, scalar
        One of three words [a HoldAdvice].

    Raises
    ------
    OutOfRange
        If the days are negative or beyond ten years.

    Notes
    -----
    Sulphite: keeper only, never alone, never with asthma, outdoors or with strong ventilation (``holding_solution``).

    Source
    ------
    Design values of this project; doses and checks after WineMaker magazine, Preserving Oak Barrels.

    Examples
    --------
    >>> hold_advice(10).value, hold_advice(40).value, hold_advice(40, is_sulphite_allowed=True).value
    ('plain_water', 'next_fill', 'next_fill')
    >>> hold_advice(5, smells_off=True, is_sulphite_allowed=True).value
    'holding_solution'
    """
    days = require_number("idle_days", idle_days, 0.0, BOUNDS["days"].high, "days")
    if smells_off:
        return HoldAdvice.HOLDING_SOLUTION if is_sulphite_allowed else HoldAdvice.PLAIN_WATER
    if days <= LONGEST_PLAIN_HOLD_DAYS:
        return HoldAdvice.PLAIN_WATER
    return HoldAdvice.HOLDING_SOLUTION if is_sulphite_allowed and not fill_follows else HoldAdvice.NEXT_FILL


def refill_gate(
    *,
    is_drained: bool,
    smells_sound: bool,
    held_solution: bool = False,
    rinses: int = 0,
    soaked_h: float = 0.0,
    so2_mg_l: float | None = None,
    is_released: bool = True,
) -> RefillGate:
    """Says whether a held barrel may be filled again, and what is still missing.

    After plain water: drained and smelt. After a holding solution also rinsed three times, soaked for a day in fresh
    water, and that water strip-tested under 10 mg/L of sulphur dioxide.

    Parameters
    ----------
    is_drained : bool, scalar
        True when nothing stands in it [1].
    smells_sound : bool, scalar
        True when the keeper smelt it and it is sweet, woody, of vanilla or of the drink before [1].
    held_solution : bool, scalar
        True when it stood in a holding solution [1].
    rinses : int, scalar
        How often it was rinsed since [count].
    soaked_h : float, scalar
        How long it was soaked in fresh water since [h].
    so2_mg_l : float or None, scalar
        What the strip said of the soak water, None without a test [mg/L].
    is_released : bool, scalar
        False while the keeper holds it back: mould, vinegar, or what must never be in wood [1].

    Returns
    -------
    RefillGate, scalar
        Open or not, and what is missing [a RefillNeed each].

    Raises
    ------
    OutOfRange
        If a number is negative or not finite.

    Notes
    -----
    The sulphite mark stays with the barrel all the same, and traces are possible below the limit.

    Source
    ------
    Common practice, no source (three rinses, a day's soak); Regulation (EU) No 1169/2011, Annex II (10 mg/L).

    Examples
    --------
    >>> refill_gate(is_drained=True, smells_sound=True).is_open
    True
    >>> gate = refill_gate(is_drained=True, smells_sound=True, held_solution=True, rinses=3, soaked_h=24.0)
    >>> gate.is_open, [need.value for need in gate.missing]
    (False, ['strip_test'])
    """
    rinsed = require_number("rinses", rinses, 0.0, 100.0, "times")
    soaked = require_number("soaked_h", soaked_h, 0.0, 24.0 * BOUNDS["days"].high, "h")
    strip = None if so2_mg_l is None else require_number("so2_mg_l", so2_mg_l, 0.0, 5000.0, "mg/L")
    wanted = {
        RefillNeed.RINSE: held_solution and rinsed < LEAST_RINSES,
        RefillNeed.SOAK: held_solution and soaked < LEAST_SOAK_H,
        RefillNeed.STRIP_TEST: held_solution and (strip is None or strip >= SULPHITE_LABEL_MG_L),
        RefillNeed.DRAIN: not is_drained,
        RefillNeed.SMELL: not smells_sound,
        RefillNeed.RELEASE: not is_released,
    }
    missing = tuple(need for need, is_wanted in wanted.items() if is_wanted)
    return RefillGate(not missing, missing)
