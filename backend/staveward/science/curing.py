"""Curing a new barrel: how fast it still leaks, whether it closes, and when it is tight.

The figure is what was topped up per day and per square decimetre of inner wood, over the latest day. What the
wood drinks and what evaporates is no leak: the expected amount can be taken off, and it is shown apart. A wiped
joint that stays dry for half a day decides; the figure supports it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .errors import Inconsistent, Underdetermined, require_number, require_numbers
from .evaporation import loss_g_per_day
from .soaking import require_wood, soaked_l
from .vocabulary import BOUNDS, CuringVerdict, WoodState

TIGHT_ML_PER_DM2_DAY = 1.0
LEAST_HOURS = 24.0
DRY_JOINT_HOURS = 12.0
WARN_HOURS = 96.0
GIVE_UP_HOURS = 168.0
NOT_CLOSING_HOURS = 48.0
REJECT_CAPACITY_SHARE_PER_H = 0.10
TREND_INTERVALS = 4
ONE_SIDED_95, ONE_SIDED_90 = 1.645, 1.282
_READING_U_ML, _RELATIVE_U = 5.0, 0.02
# Spread of the soaking model and of the multiplier on evaporation, as relative standard uncertainties.
_SOAK_RELATIVE_U, _AIR_RELATIVE_U = math.log(1.4), math.log(1.6)
_WATER_G_PER_ML = 0.99820123


@dataclass(frozen=True)
class TopUpInterval:
    """Holds one stretch between two top-ups back to the same mark: start and end [h], volume [mL].

    ``expected_ml`` is what the wood drank and what evaporated meanwhile, by the model (``expected_drink``); it is
    taken off. ``expected_u_ml`` is how sure that is; it is shown apart and kept out of the leak's upper bound.
    """

    from_h: float
    to_h: float
    topped_up_ml: float
    expected_ml: float = 0.0
    expected_u_ml: float = 0.0


@dataclass(frozen=True)
class ExpectedDrink:
    """Holds what sound wood takes between two times: soaked, evaporated, both, and their uncertainty [mL]."""

    soaked_ml: float
    evaporated_ml: float
    total_ml: float
    u_ml: float


@dataclass(frozen=True)
class Tightness:
    """Holds what the top-ups say: the window [h], the rate [mL/h], the leak figure [mL/(dm2 day)], the verdict.

    ``predicted_tight_h`` is when the trend reaches the limit [h since the water went in], None without a trend.
    ``is_too_coarse`` asks for a finer vessel or a longer window rather than calling it a leak. ``is_rejected`` sends
    the barrel back at once: a crack or a hole, or over a tenth of the capacity an hour after the first day.
    """

    window_h: float
    rate_ml_per_h: float
    rate_u_ml_per_h: float
    leak_ml_per_dm2_day: float
    leak_upper_ml_per_dm2_day: float
    wood_and_air_ml_per_h: float
    wood_and_air_u_ml_per_h: float
    verdict: CuringVerdict
    predicted_tight_h: float | None
    is_slow: bool
    is_given_up: bool
    is_too_coarse: bool
    is_rejected: bool = False


def _volume_u_ml(volume_ml: float, reading_u_ml: float) -> float:
    return math.hypot(reading_u_ml, _RELATIVE_U * volume_ml)


def _checked(intervals: Sequence[TopUpInterval]) -> list[TopUpInterval]:
    if len(intervals) == 0:
        raise Underdetermined("intervals", intervals, "at least one stretch between two top-ups")
    before = -math.inf
    for one in intervals:
        begin = require_number("intervals from_h", one.from_h, 0.0, None, "h")
        end = require_number("intervals to_h", one.to_h, 0.0, None, "h")
        require_numbers("intervals topped_up_ml", one.topped_up_ml, 0.0, None, "mL")
        require_numbers("intervals expected_ml", one.expected_ml, 0.0, None, "mL")
        require_numbers("intervals expected_u_ml", one.expected_u_ml, 0.0, None, "mL")
        if end <= begin:
            raise Inconsistent("intervals to_h", end, f"after its start, {begin:g} h")
        if begin < before - 1e-9:
            raise Inconsistent(
                "intervals from_h", begin, f"not before the end of the one before, {before:g} h"
            )
        before = end
    return list(intervals)


def _leaked_ml(one: TopUpInterval) -> float:
    return max(one.topped_up_ml - one.expected_ml, 0.0)


def _trend(intervals: list[TopUpInterval], reading_u_ml: float) -> tuple[float, float] | None:
    """Gives slope of ln rate against time [1/h] and its uncertainty, from the latest up to four intervals."""
    latest = intervals[-TREND_INTERVALS:]
    if len(latest) < 2:
        return None
    volumes = np.array([max(_leaked_ml(one), reading_u_ml) for one in latest])
    hours = np.array([one.to_h - one.from_h for one in latest])
    middles = np.array([0.5 * (one.from_h + one.to_h) for one in latest])
    weights = (volumes / np.array([_volume_u_ml(volume, reading_u_ml) for volume in volumes])) ** 2
    logs = np.log(volumes / hours)
    centre = np.sum(weights * middles) / weights.sum()
    spread = float(np.sum(weights * (middles - centre) ** 2))
    slope = float(np.sum(weights * (middles - centre) * logs)) / spread
    return slope, 1.0 / math.sqrt(spread)


def expected_drink(
    from_h: float,
    to_h: float,
    temp_c: float,
    rh_fraction: float,
    area_m2: float,
    stave_mm: float,
    wood_state: str = WoodState.DRY,
) -> ExpectedDrink:
    """Gives what a sound barrel of water takes between two top-ups: what the wood drinks and what evaporates.

    soaked(to) - soaked(from) by the soaking model, plus the water lost through the wood in that time.

    Parameters
    ----------
    from_h, to_h : float, scalar
        Start and end [h since the water went in].
    temp_c : float, scalar
        Temperature [degrees Celsius].
    rh_fraction : float, scalar
        Relative humidity [0 to 1].
    area_m2 : float, scalar
        Inner wood, staves and heads [m2].
    stave_mm : float, scalar
        Mean stave thickness [mm].
    wood_state : str, scalar
        How thirsty the wood was when the water went in [a WoodState].

    Returns
    -------
    ExpectedDrink, scalar
        Soaked, evaporated and both, with the standard uncertainty of the sum [mL].

    Raises
    ------
    OutOfRange
        If a number or the state lies outside its bound.
    Inconsistent
        If the time ends before it begins.

    Notes
    -----
    Relative standard uncertainty ln 1.4 on soaking and ln 1.6 on evaporation, after the spreads of both models. Air
    warmer or drier than the readings say makes it too small.

    Source
    ------
    As ``soaking.soaked_l`` and ``evaporation.loss_g_per_day``; the spreads are working assumptions of this project.

    Examples
    --------
    >>> said = expected_drink(4, 10, 20.0, 0.60, 0.16374499, 14.529928)
    >>> round(said.soaked_ml, 1), round(said.evaporated_ml, 1)
    (51.1, 1.6)
    """
    longest = 24.0 * BOUNDS["days"].high
    begin = require_number("from_h", from_h, 0.0, longest, "h")
    end = require_number("to_h", to_h, 0.0, longest, "h")
    if end < begin:
        raise Inconsistent("to_h", end, f"not before from_h, {begin:g} h")
    area, stave = require_wood(area_m2, stave_mm)
    air = BOUNDS["cellar_temp_c"], BOUNDS["rh_fraction"]
    warmth = require_number("temp_c", temp_c, air[0].low, air[0].high, air[0].unit)
    damp = require_number("rh_fraction", rh_fraction, air[1].low, air[1].high, air[1].unit)
    drunk = [float(soaked_l(hours / 24.0, area, stave, wood_state)) for hours in (begin, end)]
    soaked = 1000.0 * (drunk[1] - drunk[0])
    lost = float(loss_g_per_day(0.0, warmth, damp, area, stave).water_g_per_day)
    # Air so damp that water would come in takes nothing: a curing barrel is never credited for it.
    evaporated = max(0.0, lost) * (end - begin) / 24.0 / _WATER_G_PER_ML
    spread = math.hypot(_SOAK_RELATIVE_U * soaked, _AIR_RELATIVE_U * evaporated)
    return ExpectedDrink(soaked, evaporated, soaked + evaporated, spread)


def tightness(
    intervals: Sequence[TopUpInterval],
    inner_area_dm2: float,
    dry_joint_h: float,
    reading_u_ml: float = _READING_U_ML,
    *,
    capacity_l: float | None = None,
    is_cracked: bool = False,
) -> Tightness:
    """Judges a curing from its top-ups.

    Window: latest intervals until they cover 24 h. q = sum v/sum dt, j = 24 q/A, j_hi with 1.645 u. Tight: 24 h
    elapsed and covered, j_hi at most 1 and joints dry for 12 h. Closing: the rate falls (90 %) and reaches the
    limit by 168 h. Not closing: 48 h elapsed. Else keep soaking.

    Parameters
    ----------
    intervals : sequence of TopUpInterval, shape (n,)
        Stretches between top-ups, oldest first [h since the water went in, mL].
    inner_area_dm2 : float, scalar
        Inner wood [dm2].
    dry_joint_h : float, scalar
        Hours for which no bead has re-formed on wiped wood [h].
    reading_u_ml : float, scalar
        How well a top-up is read; 5 by default, 1 to 2 with a syringe [mL].
    capacity_l : float or None, scalar
        Capacity; with it a barrel that loses over a tenth of it an hour after the first day is rejected [L].
    is_cracked : bool, scalar
        True when somebody saw a crack, a hole or a worm's work: rejected whatever the figure [1].

    Returns
    -------
    Tightness, scalar
        Rate [mL/h], leak figure [mL/(dm2 day)] and verdict.

    Raises
    ------
    Underdetermined
        If there is no interval.
    OutOfRange
        If a number is negative or not finite, an area outside 2 to 600 dm2 or a capacity outside 0.5 to 350 L.
    Inconsistent
        If an interval ends before it begins or overlaps the one before.

    Notes
    -----
    A visible drip overrules any number. The limit of 1 is to be refitted from a club's own cures.

    Source
    ------
    Design values of this project; propagation of uncertainty after JCGM 100:2008.

    Examples
    --------
    >>> steps = [
    ...     TopUpInterval(0, 4, 150),
    ...     TopUpInterval(4, 10, 25),
    ...     TopUpInterval(10, 22, 10),
    ...     TopUpInterval(22, 34, 8),
    ... ]
    >>> judged = tightness(steps, 41.2, 18.0)
    >>> judged.verdict.value, round(judged.leak_upper_ml_per_dm2_day, 3)
    ('tight', 0.719)
    """
    given = _checked(intervals)
    area = require_number("inner_area_dm2", inner_area_dm2, 2.0, 600.0, "dm2")
    dry = require_number("dry_joint_h", dry_joint_h, 0.0, None, "h")
    reading_u = require_number("reading_u_ml", reading_u_ml, 0.0, 100.0, "mL", above_low=True)
    size = BOUNDS["capacity_l"]
    holds_l = None
    if capacity_l is not None:
        holds_l = require_number("capacity_l", capacity_l, size.low, size.high, size.unit)
    elapsed = given[-1].to_h
    window, leaked, expected, expected_u, variance = 0.0, 0.0, 0.0, 0.0, 0.0
    for one in reversed(given):
        if window >= LEAST_HOURS:
            break
        window += one.to_h - one.from_h
        leaked += _leaked_ml(one)
        expected += min(one.expected_ml, one.topped_up_ml)
        # One barrel's wood is thirsty or not all along, so the parts add up and do not average out.
        expected_u += one.expected_u_ml
        variance += _volume_u_ml(one.topped_up_ml, reading_u) ** 2
    rate, rate_u = leaked / window, math.sqrt(variance) / window
    figure, upper = 24.0 * rate / area, 24.0 * (rate + ONE_SIDED_95 * rate_u) / area
    trend = _trend(given, reading_u)
    reached = _predicted_tight_h(given, trend, area, elapsed)
    is_tight = (
        elapsed >= LEAST_HOURS
        and window >= LEAST_HOURS
        and upper <= TIGHT_ML_PER_DM2_DAY
        and dry >= DRY_JOINT_HOURS
    )
    is_closing = (
        trend is not None
        and trend[0] + ONE_SIDED_90 * trend[1] < 0
        and reached is not None
        and reached <= GIVE_UP_HOURS
    )
    if is_tight:
        verdict = CuringVerdict.TIGHT
    elif is_closing:
        verdict = CuringVerdict.CLOSING
    else:
        verdict = CuringVerdict.NOT_CLOSING if elapsed >= NOT_CLOSING_HOURS else CuringVerdict.KEEP_SOAKING
    return Tightness(
        window_h=window,
        rate_ml_per_h=rate,
        rate_u_ml_per_h=rate_u,
        leak_ml_per_dm2_day=figure,
        leak_upper_ml_per_dm2_day=upper,
        wood_and_air_ml_per_h=expected / window,
        wood_and_air_u_ml_per_h=expected_u / window,
        verdict=verdict,
        predicted_tight_h=reached,
        is_slow=not is_tight and elapsed >= WARN_HOURS,
        is_given_up=not is_tight and elapsed >= GIVE_UP_HOURS,
        is_too_coarse=figure <= TIGHT_ML_PER_DM2_DAY < upper,
        is_rejected=is_cracked or (holds_l is not None and _pours_out(given, holds_l)),
    )


def _pours_out(intervals: list[TopUpInterval], capacity_l: float) -> bool:
    """Says whether, after the first day, a stretch lost more than a tenth of the capacity an hour."""
    limit_ml_per_h = 1000.0 * REJECT_CAPACITY_SHARE_PER_H * capacity_l
    return any(
        one.from_h >= LEAST_HOURS and _leaked_ml(one) / (one.to_h - one.from_h) > limit_ml_per_h
        for one in intervals
    )


def _predicted_tight_h(
    intervals: list[TopUpInterval], trend: tuple[float, float] | None, area_dm2: float, elapsed_h: float
) -> float | None:
    """Gives when the latest rate, falling as it does, reaches the limit [h]; None where it does not fall."""
    last = intervals[-1]
    figure = 24.0 * _leaked_ml(last) / (last.to_h - last.from_h) / area_dm2
    if figure <= TIGHT_ML_PER_DM2_DAY:
        return elapsed_h
    if trend is None or trend[0] >= 0:
        return None
    return elapsed_h + math.log(figure / TIGHT_ML_PER_DM2_DAY) / -trend[0]
