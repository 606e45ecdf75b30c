"""How honest past forecasts were: proper scores, coverage with its own uncertainty, and a table against baselines.

Three ledgers are kept apart: the next score (always seen), the week a fill was really pulled (members act on the
forecast, so it flatters itself) and the best week in hindsight (itself a forecast). The best week itself is never seen.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .errors import Inconsistent, OutOfRange, require_number, require_numbers, require_same_shape, unwrap

Array = NDArray[np.float64]

NORMAL_975 = 1.959964
SD_OF_80 = 1.2816
NOMINAL = 0.80
LEAST_FOR_NUMBER, LEAST_FOR_WORD = 10, 30
LEAD_BUCKETS_WEEKS = ((0, 1), (2, 4), (5, 8), (9, None))
HINDSIGHT_REACH, HINDSIGHT_WIDTH = 1.3, 2.5


class Coverage(NamedTuple):
    """Holds how many outcomes fell inside, of how many, and the share with its Wilson 95 % interval [0 to 1]."""

    hits: int
    n: int
    share: float
    low: float
    high: float

    @property
    def verdict(self) -> str:
        """Says whether 80 % intervals hold 80 %: ``too_few``, ``dots_only``, ``holds``, ``narrow`` or ``wide``."""
        if self.n < LEAST_FOR_NUMBER:
            return "too_few"
        if self.n < LEAST_FOR_WORD:
            return "dots_only"
        if self.high < NOMINAL:
            return "narrow"
        return "wide" if self.low > NOMINAL else "holds"


@dataclass(frozen=True, slots=True)
class NextScoreLedger:
    """Holds how well next scores were foretold: mean CRPS [points], coverage, and the ten bars of the PIT [count]."""

    crps: float
    coverage: Coverage
    pit_counts: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class PullWeekLedger:
    """Holds how well pull weeks were foretold: mean pinball loss at 10, 50 and 90 % and interval score [weeks],
    coverage, and the skill of the median over each baseline: 1 - loss/baseline's, None where that is zero.
    """

    pinball_10: float
    pinball_50: float
    pinball_90: float
    interval_score: float
    coverage: Coverage
    skill: dict[str, float | None]


def crps_normal(mean: ArrayLike, sd: ArrayLike, observed: ArrayLike) -> Array:
    """Gives the continuous ranked probability score of a normal forecast; smaller is better.

    CRPS = sd (z (2 Phi(z) - 1) + 2 phi(z) - 1/sqrt(pi)), z = (y - mean)/sd.

    Parameters
    ----------
    mean, sd : float or array_like, shape (n,)
        The forecast; sd above 0 [points of liking].
    observed : float or array_like, shape (n,)
        What came [points of liking].

    Returns
    -------
    ndarray, shape (n,)
        The score [points of liking].

    Raises
    ------
    OutOfRange
        If a number is not finite, or sd is not above 0.
    Inconsistent
        If the shapes do not fit.

    Source
    ------
    T. Gneiting and A. E. Raftery, Strictly proper scoring rules, prediction, and estimation, JASA 102, 2007, 359-378.

    Examples
    --------
    >>> round(float(crps_normal(0.0, 1.0, 0.0)), 6)
    0.233695
    """
    centre, spread = require_numbers("mean", mean), require_numbers("sd", sd, 0, None, above_low=True)
    seen = require_numbers("observed", observed)
    require_same_shape(mean=centre, sd=spread, observed=seen)
    z = (seen - centre) / spread
    density = np.exp(-(z**2) / 2.0) / np.sqrt(2.0 * np.pi)
    return unwrap(spread * (z * (2.0 * _normal_cdf(z) - 1.0) + 2.0 * density - 1.0 / np.sqrt(np.pi)))


def pinball_loss(quantile: ArrayLike, observed: ArrayLike, tau: float) -> Array:
    """Gives the pinball loss of a quantile: (y - q) tau if y >= q, else (q - y)(1 - tau).

    Parameters
    ----------
    quantile, observed : float or array_like, shape (n,)
        The forecast and what came [weeks].
    tau : float, scalar
        Which quantile it was, above 0 and below 1 [0 to 1].

    Returns
    -------
    ndarray, shape (n,)
        The loss [weeks].

    Raises
    ------
    OutOfRange
        If a number is not finite, or tau is not between 0 and 1.
    Inconsistent
        If the shapes do not fit.

    Source
    ------
    R. Koenker and G. Bassett, Regression Quantiles, Econometrica 46, 1978, 33-50 (from memory).

    Examples
    --------
    >>> float(pinball_loss(7, 9, 0.5))
    1.0
    """
    share = require_number("tau", tau, 0, 1, "", above_low=True)
    if share == 1.0:
        raise OutOfRange("tau", tau, "above 0 and below 1")
    told, seen = require_numbers("quantile", quantile), require_numbers("observed", observed)
    require_same_shape(quantile=told, observed=seen)
    return unwrap(np.where(seen >= told, (seen - told) * share, (told - seen) * (1.0 - share)))


def interval_score(low: ArrayLike, high: ArrayLike, observed: ArrayLike, level: float = NOMINAL) -> Array:
    """Gives the score of an interval: its width, plus 2/(1 - level) for each unit that the outcome lay outside.

    Parameters
    ----------
    low, high : float or array_like, shape (n,)
        The interval [weeks].
    observed : float or array_like, shape (n,)
        What came [weeks].
    level : float, scalar
        How much the interval should hold, above 0 and below 1 [0 to 1].

    Returns
    -------
    ndarray, shape (n,)
        The score; smaller is better [weeks].

    Raises
    ------
    OutOfRange
        If a number is not finite, or level is not between 0 and 1.
    Inconsistent
        If the shapes do not fit, or an interval ends before it begins.

    Source
    ------
    T. Gneiting and A. E. Raftery, JASA 102, 2007, 359-378, section 6.2.

    Examples
    --------
    >>> round(float(interval_score(5, 9, 10)), 6)
    14.0
    """
    share = require_number("level", level, 0, 1, "", above_low=True)
    if share == 1.0:
        raise OutOfRange("level", level, "above 0 and below 1")
    lower, upper = require_numbers("low", low), require_numbers("high", high)
    seen = require_numbers("observed", observed)
    require_same_shape(low=lower, high=upper, observed=seen)
    if np.any(upper < lower):
        raise Inconsistent("high", float(np.min(upper - lower)), "at least low")
    outside = np.maximum(0.0, lower - seen) + np.maximum(0.0, seen - upper)
    return unwrap(upper - lower + 2.0 / (1.0 - share) * outside)


def wilson_interval(hits: int, n: int) -> tuple[float, float]:
    """Gives the 95 % interval of a share: (p + z^2/2n +- z sqrt(p (1-p)/n + z^2/4n^2))/(1 + z^2/n), z = 1.959964.

    Parameters
    ----------
    hits, n : int, scalar
        How many, of how many [count].

    Returns
    -------
    tuple of float, shape (2,)
        Low and high [0 to 1].

    Raises
    ------
    OutOfRange
        If n is not a whole number above 0, or hits not one from 0 to n.

    Source
    ------
    E. B. Wilson, Probable inference, the law of succession, and statistical inference, JASA 22, 1927, 209-212.

    Examples
    --------
    >>> low, high = wilson_interval(8, 10)
    >>> round(low, 3), round(high, 3)
    (0.49, 0.943)
    """
    for name, count, least, most in (("n", n, 1, None), ("hits", hits, 0, n)):
        if isinstance(count, bool) or not isinstance(count, (int, np.integer)) or count < least:
            raise OutOfRange(name, count, f"a whole number, at least {least}")
        if most is not None and count > most:
            raise OutOfRange(name, count, f"at most n, {most}")
    p, z2 = hits / n, NORMAL_975**2
    half = NORMAL_975 * float(np.sqrt(p * (1.0 - p) / n + z2 / (4.0 * n**2)))
    centre, scale = p + z2 / (2.0 * n), 1.0 + z2 / n
    low = 0.0 if hits == 0 else (centre - half) / scale
    return low, 1.0 if hits == n else (centre + half) / scale


def coverage(low: ArrayLike, high: ArrayLike, observed: ArrayLike) -> Coverage:
    """Counts how many outcomes fell inside their interval, ends included.

    Parameters
    ----------
    low, high : float or array_like, shape (n,)
        The intervals [same unit].
    observed : float or array_like, shape (n,)
        What came [same unit].

    Returns
    -------
    Coverage, scalar
        Hits, number and share with its interval [0 to 1].

    Raises
    ------
    OutOfRange
        If a number is not finite.
    Inconsistent
        If the shapes do not fit.

    Source
    ------
    Common practice, no source, for the count; Wilson 1927 for its interval.

    Examples
    --------
    >>> coverage([1, 1], [3, 3], [2, 4]).share
    0.5
    """
    lower, upper = require_numbers("low", low), require_numbers("high", high)
    seen = require_numbers("observed", observed)
    shape = require_same_shape(low=lower, high=upper, observed=seen)
    inside = np.broadcast_to((lower <= seen) & (seen <= upper), shape)
    hits, n = int(inside.sum()), int(inside.size)
    return Coverage(hits, n, hits / n, *wilson_interval(hits, n))


def score_next_scores(mean: ArrayLike, sd: ArrayLike, observed: ArrayLike) -> NextScoreLedger:
    """Scores what was foretold of each next score, taken from the last forecast before each evening.

    Parameters
    ----------
    mean, sd : array_like, shape (n,)
        The forecasts; sd above 0 [points of liking].
    observed : array_like, shape (n,)
        The scores that came [0 to 10].

    Returns
    -------
    NextScoreLedger, scalar
        Mean CRPS [points], coverage of mean +- 1.2816 sd [0 to 1], ten bars of the probability transform [count].

    Raises
    ------
    OutOfRange
        If a number lies outside its range.
    Inconsistent
        If the shapes do not fit.

    Notes
    -----
    Scores in whole points make the bars lumpy.

    Source
    ------
    T. Gneiting and A. E. Raftery, JASA 102, 2007, 359-378.

    Examples
    --------
    >>> round(score_next_scores([7.0], [1.2], [5.5]).crps, 6)
    0.944381
    """
    seen = np.atleast_1d(require_numbers("observed", observed, 0, 10, "points"))
    crps = crps_normal(mean, sd, seen)
    centre, spread = np.asarray(mean, dtype=np.float64), np.asarray(sd, dtype=np.float64)
    inside = coverage(centre - SD_OF_80 * spread, centre + SD_OF_80 * spread, seen)
    bars, _ = np.histogram(_normal_cdf((seen - centre) / spread), bins=10, range=(0.0, 1.0))
    return NextScoreLedger(float(np.mean(crps)), inside, tuple(int(bar) for bar in bars))


def score_forecasts(
    low_week: ArrayLike,
    mid_week: ArrayLike,
    high_week: ArrayLike,
    observed_week: ArrayLike,
    baselines: dict[str, ArrayLike] | None = None,
) -> PullWeekLedger:
    """Scores what was foretold of a week, one forecast a fill and lead time, against baselines.

    Parameters
    ----------
    low_week, mid_week, high_week : array_like, shape (n,)
        The 10 %, 50 % and 90 % quantiles foretold [weeks].
    observed_week : array_like, shape (n,)
        The week that came [weeks].
    baselines : dict of str to array_like, shape (n,), or None
        Other answers by name, such as the prior week alone [weeks].

    Returns
    -------
    PullWeekLedger, scalar
        Losses [weeks], coverage [0 to 1] and skill [1].

    Raises
    ------
    OutOfRange
        If a number is not finite or negative.
    Inconsistent
        If shapes do not fit, or the quantiles are out of order.

    Notes
    -----
    Leave out fills pulled for other reasons, such as a leak, a party or an off-note.

    Source
    ------
    T. Gneiting and A. E. Raftery, JASA 102, 2007, 359-378.

    Examples
    --------
    >>> score_forecasts([5, 4], [7, 6], [9, 9], [7, 9], {"prior": [8, 5]}).skill
    {'prior': 0.4}
    """
    low, mid, high, seen = (
        np.atleast_1d(require_numbers(name, value, 0, None, "weeks"))
        for name, value in (
            ("low_week", low_week),
            ("mid_week", mid_week),
            ("high_week", high_week),
            ("observed_week", observed_week),
        )
    )
    require_same_shape(low_week=low, mid_week=mid, high_week=high, observed_week=seen)
    if np.any(mid < low) or np.any(high < mid):
        raise Inconsistent("mid_week", "out of order", "between low_week and high_week")
    middle = float(np.mean(pinball_loss(mid, seen, 0.5)))
    skill: dict[str, float | None] = {}
    for name, weeks in (baselines or {}).items():
        other = float(np.mean(pinball_loss(require_numbers(name, weeks, 0, None, "weeks"), seen, 0.5)))
        skill[name] = 1.0 - middle / other if other > 0.0 else None
    return PullWeekLedger(
        pinball_10=float(np.mean(pinball_loss(low, seen, 0.1))),
        pinball_50=middle,
        pinball_90=float(np.mean(pinball_loss(high, seen, 0.9))),
        interval_score=float(np.mean(interval_score(low, high, seen))),
        coverage=coverage(low, high, seen),
        skill=skill,
    )


def lead_bucket(lead_weeks: float) -> int:
    """Gives the bucket of a forecast's lead: 0 for 0-1 weeks, 1 for 2-4, 2 for 5-8, 3 for 9 and more.

    Parameters
    ----------
    lead_weeks : float, scalar
        Weeks from the forecast to what came, rounded to the nearest week [weeks].

    Returns
    -------
    int, scalar
        Row of LEAD_BUCKETS_WEEKS [0 to 3].

    Raises
    ------
    OutOfRange
        If the lead is negative.

    Source
    ------
    Design value of this project.

    Examples
    --------
    >>> lead_bucket(3), lead_bucket(20)
    (1, 3)
    """
    lead = round(require_number("lead_weeks", lead_weeks, 0, None, "weeks"))
    return sum(lead >= low for low, _ in LEAD_BUCKETS_WEEKS) - 1


def is_hindsight_fit(low_week: float, mid_week: float, high_week: float, last_tasted_week: float) -> bool:
    """Says whether a fill was tasted long enough for a best week in hindsight, itself uncertain.

    Tasted to 1.3 times the final median or beyond, and (high + 1)/(low + 1) at most 2.5.

    Parameters
    ----------
    low_week, mid_week, high_week : float, scalar
        The final forecast's quantiles [weeks].
    last_tasted_week : float, scalar
        Week of the last tasting [weeks].

    Returns
    -------
    bool, scalar
        True when it may go into that ledger [1].

    Raises
    ------
    OutOfRange
        If a week is negative or not finite.

    Source
    ------
    Design values of this project.

    Examples
    --------
    >>> is_hindsight_fit(4.0, 5.0, 7.0, 8.0), is_hindsight_fit(4.0, 5.0, 7.0, 6.0)
    (True, False)
    """
    weeks = {
        "low_week": low_week,
        "mid_week": mid_week,
        "high_week": high_week,
        "last_tasted_week": last_tasted_week,
    }
    low, mid, high, last = (require_number(name, week, 0, None, "weeks") for name, week in weeks.items())
    return last >= HINDSIGHT_REACH * mid and (high + 1.0) / (low + 1.0) <= HINDSIGHT_WIDTH


def _normal_cdf(z: Array) -> Array:
    """Gives the normal distribution function; scipy is loaded when it is needed."""
    from scipy.special import ndtr

    found: Array = np.asarray(ndtr(z), dtype=np.float64)
    return found
