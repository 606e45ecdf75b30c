"""Learns one barrel's multiplier and leak from its own readings, and predicts with what was learned.

Two unknowns, ln k and ln leak, each with a normal prior, are laid out as a grid (``node_courses``); every node is run
forward through the barrel's climate, samples and top-ups, and weighed by how well it meets the readings
(``barrel_readings``). In one steady climate weighings fix the total loss only; strength or seasons tell evaporation and
leak apart, so both are reported with their spread.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from .barrel_readings import (
    DipReading,
    OddReading,
    Seen,
    StrengthReading,
    Weighing,
    checked_readings,
    is_odd_reading,
    log_likelihood,
    seen_dip,
    seen_strength,
    seen_weighing,
    set_odd_apart,
)
from .courses import LiquidEvent, plan_events, refuse_overdraft
from .errors import Array, Inconsistent, require_choice, require_number, require_numbers, unwrap
from .mass_balance import K_SPREAD, LEAK_SPREAD, State, prior_leak_g_per_day, start_of
from .node_courses import NodeCourse, NodeGrid, climate_of, node_grid, run_nodes
from .soaking import require_wood, soaked_l
from .vocabulary import BOUNDS, WoodState

__all__ = [
    "Calibration",
    "DipReading",
    "OddReading",
    "StrengthReading",
    "Weighing",
    "calibrate",
    "is_odd_reading",
]

# Low, middle and high of what is told: the 80 % band and the median.
_TOLD_SHARES = np.array([0.1, 0.5, 0.9])
_CLIMATE_SHARE = 0.15
_SUSPECT_TIMES = 5.0
# So many of the latest weighings and dips, all far too low, are a change and no slips.
_LOW_IN_A_ROW = 2


@dataclass(frozen=True)
class Calibration:
    """Holds what a barrel's readings say of it: k [1] and leak [g/day] as geometric mean and spread.

    ``volume_*_l`` and ``abv_*_pct`` are the 10 %, 50 % and 90 % quantiles on each day asked for, shape (days,).
    ``is_leak_suspected`` says that a leak above five times the usual is more likely than not, or that the latest two
    weighings and dips both lie far too low. ``odd_readings`` are kept and shown, and left out of what was learned.
    """

    k_geo_mean: float
    k_spread: float
    leak_geo_mean_g_per_day: float
    leak_spread: float
    is_leak_suspected: bool
    volume_low_l: Array
    volume_mid_l: Array
    volume_high_l: Array
    abv_low_pct: Array
    abv_mid_pct: Array
    abv_high_pct: Array
    odd_readings: tuple[OddReading, ...] = ()


def _quantiles_of_mixtures(centres: Array, spreads: Array, weights: Array) -> Array:
    """Finds the three told quantiles of each row's mixture of normal distributions, shape (3, rows)."""
    from scipy.optimize.elementwise import find_root
    from scipy.special import ndtr

    def over(value: Array, share: Array, row: Array) -> Array:
        at = (value[:, None] - centres[row]) / spreads[row]
        return np.asarray(ndtr(at) @ weights - share)

    rows = centres.shape[0]
    low = np.min(centres - 8.0 * spreads, axis=1)
    high = np.max(centres + 8.0 * spreads, axis=1)
    row = np.tile(np.arange(rows), len(_TOLD_SHARES))
    found = find_root(
        over,
        (low[row], high[row]),
        args=(np.repeat(_TOLD_SHARES, rows), row),
        tolerances={"xatol": 1e-10, "xrtol": 0.0, "fatol": 0.0, "frtol": 0.0},
    )
    return np.reshape(found.x, (len(_TOLD_SHARES), rows))


def _seen(
    course: NodeCourse,
    weighings: Sequence[Weighing],
    tare_kg: float,
    dips: Sequence[DipReading],
    strengths: Sequence[StrengthReading],
    wood: tuple[float, float, str],
) -> list[Seen]:
    """Lays every reading beside the nodes."""
    area_m2, stave_mm, state = wood
    seen = [seen_weighing(row, one, tare_kg, course.mass_kg(one.day)) for row, one in enumerate(weighings)]
    for row, dip in enumerate(dips):
        soak = float(soaked_l(dip.day, area_m2, stave_mm, state))
        seen.append(seen_dip(row, dip, soak, course.volume_l(dip.day)))
    for row, strength in enumerate(strengths):
        day = strength.day
        seen.append(seen_strength(row, strength, course.abv_pct(day), course.selectivity_u_pct(day)))
    return seen


def calibrate(
    volume_l: float,
    abv_pct: float,
    temp_c: ArrayLike,
    rh_fraction: ArrayLike,
    area_m2: float,
    stave_mm: float,
    capacity_l: float,
    predict_day: ArrayLike,
    *,
    weighings: Sequence[Weighing] = (),
    tare_kg: float | None = None,
    dips: Sequence[DipReading] = (),
    strengths: Sequence[StrengthReading] = (),
    events: Iterable[LiquidEvent] = (),
    wood_state: str = WoodState.WET,
    sugar_g_l: float = 0.0,
    k_spread: float = K_SPREAD,
    leak_spread: float = LEAK_SPREAD,
) -> Calibration:
    """Learns k and leak of one barrel from its readings and predicts volume and strength on one day or many.

    Posterior on a 61 by 41 grid over three prior standard deviations of ln k and ln leak. The prediction is a
    mixture of normals over the nodes with sd 0.15 |lost_T - lost_D| and hypot(0.15 |drift_T - drift_D|, w): lost and
    drift are against the same barrel in wood that lets nothing through, w is the larger of 0.25 |drift_T| and 0.29 of
    what evaporated ethanol has taken off the strength.

    Parameters
    ----------
    volume_l, abv_pct : float, scalar
        Fill, after mixing with what the wood held [L at 20 °C, % vol at 20 °C].
    temp_c, rh_fraction : float or array_like, scalar or shape (days,)
        Climate since the fill: one mean, or a mean a day as far as the last day to predict [degrees Celsius, 0 to 1].
    area_m2, stave_mm, capacity_l : float, scalar
        Inner wood, mean stave thickness, capacity [m2, mm, L].
    predict_day : float or array_like, shape (n,)
        Days to predict, not before the last reading [days since the fill].
    weighings : sequence of Weighing, shape (up to 200,)
        Weight of barrel and contents [kg].
    tare_kg : float or None, scalar
        Mass of the wet empty barrel, needed with weighings [kg].
    dips : sequence of DipReading, shape (up to 200,)
        Dips as litres [L].
    strengths : sequence of StrengthReading, shape (up to 200,)
        Alcoholmeter readings corrected to 20 °C [% vol].
    events : iterable of LiquidEvent, shape (n_events,)
        Samples and top-ups since the fill, barrel 0; a reading of the same moment comes before [days, L, % vol].
    wood_state : str, scalar
        How thirsty the wood was at the fill [a WoodState].
    sugar_g_l : float, scalar
        Dissolved sugar; above zero no strength reading is taken [g/L].
    k_spread, leak_spread : float, scalar
        Geometric spreads of the prior [1].

    Returns
    -------
    Calibration, each shape (n,)
        k [1], leak [g/day], volume [L] and strength [% vol] with 80 % bands, and the readings that lie far off.

    Raises
    ------
    OutOfRange
        If an input is outside its bound or there are more than 200 readings of a kind.
    Inconsistent
        If weighings come without a tare, a sweetened fill with strength readings, a climate is too short, more is
        taken than was ever in, or a day to predict lies before the last reading.

    Notes
    -----
    No readings give the prior. A reading more than four standard deviations from what the others lead to expect is
    told in ``odd_readings`` and left out; it is never dropped from the log.

    Source
    ------
    Bayes' theorem on a grid; prior and errors are working assumptions (barrel to barrel 1.35 from memory).

    Examples
    --------
    >>> prior = calibrate(4.75, 60.0, 20.0, 0.55, 0.16374499, 14.529928, 5.0, 56)
    >>> [round(float(volume), 3) for volume in (prior.volume_low_l, prior.volume_mid_l, prior.volume_high_l)]
    [4.013, 4.351, 4.534]
    """
    require_choice("wood_state", wood_state, list(WoodState))
    ahead = require_numbers("predict_day", predict_day, 0.0, BOUNDS["days"].high, "days")
    area, stave = require_wood(area_m2, stave_mm)
    poured, size = BOUNDS["volume_l"], BOUNDS["capacity_l"]
    fill_l = require_number("volume_l", volume_l, 0.0, poured.high, "L", above_low=True)
    fill_pct = require_number("abv_pct", abv_pct, 0.0, 96.0, "% vol")
    capacity = require_number("capacity_l", capacity_l, size.low, size.high, size.unit)
    sugar = require_number("sugar_g_l", sugar_g_l, 0.0, BOUNDS["sugar_g_l"].high, "g/L")
    climate = climate_of(temp_c, rh_fraction, float(ahead.max()))
    tare = checked_readings(weighings, tare_kg, dips, strengths, sugar)
    readings: list[Weighing | DipReading | StrengthReading] = [*weighings, *dips, *strengths]
    days = [float(reading.day) for reading in readings]
    last = max(days, default=0.0)
    if ahead.min() < last:
        raise Inconsistent(
            "predict_day", float(ahead.min()), f"at least the day of the last reading, {last:g}"
        )
    usual_leak = float(prior_leak_g_per_day(capacity))
    grid = node_grid(
        require_number("k_spread", k_spread, 1.01, 4.0, ""),
        usual_leak,
        require_number("leak_spread", leak_spread, 1.01, 10.0, ""),
    )
    start = start_of(fill_l, fill_pct, sugar)
    happened = list(events)
    refuse_overdraft(
        plan_events(happened, 1, int(np.ceil(float(ahead.max())))),
        State(*(np.reshape(mass, (1, 1)) for mass in start)),
    )
    wanted = [*days, last, *(float(day) for day in ahead.flat)]
    course = run_nodes(start, grid, area / stave, climate, wanted, happened)
    seen = _seen(course, weighings, tare, dips, strengths, (area, stave, wood_state))
    fitting, odd = set_odd_apart(seen, grid.log_prior)
    fit = grid.log_prior + log_likelihood(fitting, grid.k.size)
    weights = np.exp(fit - fit.max())
    weights = weights / weights.sum()
    is_leak_likely = bool(weights[grid.leak_g_per_day > _SUSPECT_TIMES * usual_leak].sum() > 0.5)
    return _summary(
        course, weights, grid, last, ahead, tuple(odd), is_leak_likely or _is_lately_low(readings, odd)
    )


def _is_lately_low(
    readings: Sequence[Weighing | DipReading | StrengthReading], odd: Sequence[OddReading]
) -> bool:
    """Says whether the latest two levels, by scale or rod, both lie far too low."""
    levels = sorted(one.day for one in readings if not isinstance(one, StrengthReading))
    low = sorted(one.day for one in odd if one.kind != "strengths" and one.is_low)
    return len(low) >= _LOW_IN_A_ROW and low[-_LOW_IN_A_ROW:] == levels[-_LOW_IN_A_ROW:]


def _summary(
    course: NodeCourse,
    weights: Array,
    grid: NodeGrid,
    last: float,
    ahead: Array,
    odd: tuple[OddReading, ...],
    is_leak_suspected: bool,
) -> Calibration:
    """Reads means, spreads and quantiles off the posterior."""
    moments = []
    for numbers in (np.log(grid.k), np.log(grid.leak_g_per_day)):
        mean = float(np.sum(weights * numbers))
        moments.append((mean, float(np.sqrt(max(np.sum(weights * (numbers - mean) ** 2), 0.0)))))
    (k_mean, k_sd), (leak_mean, leak_sd) = moments
    kept = weights > 1e-14
    share = weights[kept] / weights[kept].sum()
    days = [float(day) for day in ahead.flat]

    def of_days(part: Callable[[float], Array]) -> Array:
        return np.stack([part(day)[kept] for day in days])

    lost = of_days(course.lost_l) - course.lost_l(last)[kept]
    moved = _CLIMATE_SHARE * np.abs(of_days(course.drift_pct) - course.drift_pct(last)[kept])
    volume_sd = _CLIMATE_SHARE * np.abs(lost) + 1e-9
    strength_sd = np.hypot(moved, of_days(course.selectivity_u_pct)) + 1e-9
    bands = np.concatenate(
        [
            _quantiles_of_mixtures(of_days(course.volume_l), volume_sd, share),
            _quantiles_of_mixtures(of_days(course.abv_pct), strength_sd, share),
        ]
    )
    told = [unwrap(band.reshape(ahead.shape)) for band in bands]
    return Calibration(
        k_geo_mean=float(np.exp(k_mean)),
        k_spread=float(np.exp(k_sd)),
        leak_geo_mean_g_per_day=float(np.exp(leak_mean)),
        leak_spread=float(np.exp(leak_sd)),
        is_leak_suspected=is_leak_suspected,
        volume_low_l=told[0],
        volume_mid_l=told[1],
        volume_high_l=told[2],
        abv_low_pct=told[3],
        abv_mid_pct=told[4],
        abv_high_pct=told[5],
        odd_readings=odd,
    )
