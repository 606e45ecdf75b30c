"""When to pull: what the tastings of one fill say of its best week, and how sure that is.

The liking is the club's own taste, never quality (ISO 8587:2006 asks for at least 60 people before a preference is
that of consumers). The model is in ``peak_mixture``; here it is asked, and its answer is put into words.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .errors import Inconsistent, OutOfRange, require_choice, require_number, require_numbers
from .oak_plan import usual_weeks
from .peak_mixture import BENDS, PeakMixture, bump, posterior
from .vocabulary import BOUNDS, Family

Array = NDArray[np.float64]

LOWEST_LIKING, HIGHEST_LIKING = 0.0, 10.0
LONGEST_WEEKS = 520.0
DAYS_A_WEEK = 7.0
# Half of the cases lie inside 0.6745 sd; four in five inside this.
SD_OF_80 = 1.2816

# Decision limits: design values of this project, chosen on simulated fills.
LEAST_SCORES = 3
NEAR_BEST_LOSS = 0.25
FLAT_ENOUGH = 0.30
SURE_ENOUGH = 0.60
STALE_WEEKS, STALE_SHARE = 2.0, 0.2
MOST_SCORES = 500

TABLE_COUNTS_AS = 3
OWN_FILLS_USED_FROM, OWN_FILLS_SURE_FROM = 3, 5
LOG_SD_UNKNOWN, LOG_SD_USUAL, LOG_SD_OWN = 0.80, 0.55, 0.40


class PullVerdict(StrEnum):
    """Says what to do with a fill, in a word."""

    TOO_FEW = "too_few"
    KEEP_GOING = "keep_going"
    NEAR_BEST = "near_best"
    PAST_BEST = "past_best"


@dataclass(frozen=True, slots=True)
class Tasting:
    """Holds one score: the day since the fill [days], who tasted, and the liking [0 to 10].

    Source: the scale is one of ISO 4121:2003, its anchors are design values of this project.
    """

    day: float
    taster: str
    liking: float


class ScoreForecast(NamedTuple):
    """Holds what one taster's next score is expected to be: mean and standard deviation [points of liking]."""

    mean: float
    sd: float


@dataclass(frozen=True, slots=True)
class LikingCurve:
    """Holds a typical taster's liking over the weeks, with the band that holds 80 % of cases [points of liking].

    ``weeks`` and the rest have shape (n,).
    """

    weeks: Array
    mean: Array
    sd: Array

    @property
    def low(self) -> Array:
        """Gives the lower edge of the 80 % band [points of liking]."""
        return self.mean - SD_OF_80 * self.sd

    @property
    def high(self) -> Array:
        """Gives the upper edge of the 80 % band [points of liking]."""
        return self.mean + SD_OF_80 * self.sd


@dataclass(frozen=True, slots=True)
class PullForecast:
    """Holds the best week with its 80 % interval [weeks], the chances [0 to 1] and the verdict with its reason.

    ``log_more`` says how many tastings are wanted before a word is said; ``is_pull_advised`` is for the care list:
    it is likelier that a week less than that a week more would have been better. Off-notes and the guards on strength
    go before all of it.
    """

    scores: int
    best_week_low: float
    best_week_mid: float
    best_week_high: float
    sd_log: float
    p_one_more_week_better: float
    p_past: float
    p_flat: float
    loss_if_pulled_now: float
    verdict: PullVerdict
    reason: str
    log_more: int
    is_pull_advised: bool
    taster_offset: Mapping[str, float]
    next_score: Mapping[str, ScoreForecast]
    curve: LikingCurve


class PriorWeek(NamedTuple):
    """Holds the best week expected beforehand [weeks], how sure that is on the log scale [1] and where it is from."""

    week: float
    log_sd: float
    basis: str


def forecast_pull(
    tastings: Sequence[Tasting],
    prior_week: float,
    today_day: float,
    *,
    prior_log_sd: float = LOG_SD_USUAL,
    curve_weeks: ArrayLike | None = None,
    next_day: float | None = None,
) -> PullForecast:
    """Forecasts the best week of a fill from its tastings, in any order.

    y = h - k phi(u - m) + d(u) + b_taster + e_evening + noise, u = ln((week + 1)/(W0 + 1)),
    phi(z) = 2 (sqrt(1 + z^2) - 1); the posterior is an exact mixture over m, k and the noise.

    Parameters
    ----------
    tastings : sequence of Tasting, shape (n,)
        Every score of this fill; none is allowed and gives the prior [days, 0 to 10].
    prior_week : float, scalar
        The best week expected beforehand, above 0 [weeks].
    today_day : float, scalar
        Today, counted from the fill [days].
    prior_log_sd : float, scalar
        How sure that is: standard deviation of ln(week + 1), above 0 to 2 [1].
    curve_weeks : array_like or None, shape (c,)
        Weeks to draw the curve at; None takes 41 from 0 to past both today and the interval [weeks].
    next_day : float or None, scalar
        The evening to expect the next score on; None is today [days].

    Returns
    -------
    PullForecast, scalar
        Best week and its interval, chances, verdict, offsets and curve [weeks, points of liking].

    Raises
    ------
    OutOfRange
        If a score, a day or the prior lies outside its range.
    Inconsistent
        If a score is dated after today.

    Notes
    -----
    Best week is the median, the interval its 10 % and 90 % quantiles, floored at week 0. In a simulation of nine
    kinds of truth the interval held 84 % overall, and about half where the truth is lopsided and long past. Several
    scores of one taster on one evening count each; above 500 scores they are averaged first.

    Source
    ------
    Design and priors of this project, held against a separate implementation; no published series was found.

    Examples
    --------
    >>> said = forecast_pull([Tasting(7, "a", 5), Tasting(21, "a", 6.5), Tasting(28, "b", 7.5)], 8, 28)
    >>> round(said.best_week_mid, 1), said.verdict.value
    (6.6, 'keep_going')
    """
    week = require_number("prior_week", prior_week, 0, LONGEST_WEEKS, "weeks", above_low=True)
    log_sd = require_number("prior_log_sd", prior_log_sd, 0, 2, "", above_low=True)
    today = _day("today_day", today_day)
    scores = _checked(tastings, today)
    names = sorted({one.taster for one in scores})
    days = sorted({one.day for one in scores})
    used = _averaged(scores) if len(scores) > MOST_SCORES else scores
    mixture = posterior(
        _log_time(np.array([one.day for one in used]), week),
        np.array([one.liking for one in used]),
        [names.index(one.taster) for one in used],
        [days.index(one.day) for one in used],
        log_sd,
    )
    peak = mixture.weight.sum(axis=(0, 2))
    low, mid, high = (_week_at(mixture.peaks, peak, share, week) for share in (0.1, 0.5, 0.9))
    sd_log = float(np.sqrt(peak @ (mixture.peaks - peak @ mixture.peaks) ** 2))
    p_flat = float(mixture.weight[:, :, 0].sum())
    p_more, p_past = _chances(mixture, today, week, p_flat)
    now_bump = bump(_log_time(np.array([today]), week) - mixture.peaks)
    loss = float(np.einsum("smb,m,b->", mixture.weight, now_bump, BENDS))
    verdict, reason, log_more = _verdict(scores, today / DAYS_A_WEEK, loss, p_flat, p_more, p_past)
    weeks = _curve_weeks(curve_weeks, max(today / DAYS_A_WEEK, high))
    mean, sd = mixture.predict(_log_time(weeks * DAYS_A_WEEK, week))
    offsets = mixture.offsets(len(names))
    return PullForecast(
        scores=len(scores),
        best_week_low=low,
        best_week_mid=mid,
        best_week_high=high,
        sd_log=sd_log,
        p_one_more_week_better=p_more,
        p_past=p_past,
        p_flat=p_flat,
        loss_if_pulled_now=loss,
        verdict=verdict,
        reason=reason,
        log_more=log_more,
        is_pull_advised=len(scores) >= LEAST_SCORES and p_more < p_past,
        taster_offset={name: float(offsets[row]) for row, name in enumerate(names)},
        next_score=_next_scores(mixture, names, days, today if next_day is None else next_day, week),
        curve=LikingCurve(weeks, mean, sd),
    )


def prior_best_week(
    capacity_l: float,
    *,
    family: str | None = None,
    wood_used: float = 0.0,
    own_best_weeks: Sequence[float] = (),
    keeper_week: float | None = None,
) -> PriorWeek:
    """Gives the best week to expect before anything was tasted: the keeper's, the club's own, or the usual.

    The club's own needs three finished fills: ln(W0 + 1) = (sum ln(best_i + 1) + 3 ln(table + 1))/(n + 3).
    Parameters
    ----------
    capacity_l : float, scalar
        The barrel's capacity [L].
    family : str or None, scalar
        Family of what goes in; None where it is not known [text].
    wood_used : float, scalar
        Share of the wood's life used, 0 when new [1].
    own_best_weeks : sequence of float, shape (n,)
        Best weeks of the club's finished fills of this size and family [weeks].
    keeper_week : float or None, scalar
        The keeper's own figure, which goes first [weeks].

    Returns
    -------
    PriorWeek, scalar
        Week, log sd and basis: ``keeper``, ``own_fills`` or ``table`` [weeks].

    Raises
    ------
    OutOfRange
        If a number or the family lies outside its range.

    Notes
    -----
    The table is ``oak_plan.usual_weeks``: used wood takes up to three times as long, a cocktail batch half.

    Source
    ------
    Common practice, no source, for the table; the rest are design values of this project.

    Examples
    --------
    >>> [round(prior_best_week(size_l, family="spirit").week, 2) for size_l in (1.0, 3.0, 5.0)]
    [2.04, 3.76, 5.0]
    """
    bound = BOUNDS["capacity_l"]
    capacity = require_number("capacity_l", capacity_l, bound.low, bound.high, bound.unit)
    is_mix = family == Family.COCKTAIL
    if family is not None:
        require_choice("family", family, list(Family))
    own = [require_number("own_best_weeks", one, 0, LONGEST_WEEKS, "weeks") for one in own_best_weeks]
    if keeper_week is not None:
        told = require_number("keeper_week", keeper_week, 0, LONGEST_WEEKS, "weeks", above_low=True)
        return PriorWeek(told, LOG_SD_USUAL, "keeper")
    used = require_number("wood_used", wood_used, 0.0, None, "")
    table = float(usual_weeks(capacity, used, is_mix=is_mix))
    if len(own) >= OWN_FILLS_USED_FROM:
        logs = float(np.log1p(own).sum()) + TABLE_COUNTS_AS * float(np.log1p(table))
        log_sd = LOG_SD_OWN if len(own) >= OWN_FILLS_SURE_FROM else LOG_SD_USUAL
        return PriorWeek(float(np.expm1(logs / (len(own) + TABLE_COUNTS_AS))), log_sd, "own_fills")
    return PriorWeek(table, LOG_SD_UNKNOWN if family is None else LOG_SD_USUAL, "table")


def _day(argument: str, value: float) -> float:
    """Checks one day since the fill."""
    bound = BOUNDS["days"]
    return require_number(argument, value, bound.low, bound.high, bound.unit)


def _checked(tastings: Sequence[Tasting], today: float) -> list[Tasting]:
    """Checks every score, and puts them into one order so that the order of arrival never matters."""
    checked = []
    for one in tastings:
        liking = require_number("liking", one.liking, LOWEST_LIKING, HIGHEST_LIKING, "points")
        day = _day("day", one.day)
        if not isinstance(one.taster, str) or not one.taster:
            raise OutOfRange("taster", one.taster, "a name or key, not empty")
        if day > today:
            raise Inconsistent("day", day, f"up to today, day {today:g}")
        checked.append(Tasting(day, one.taster, liking))
    return sorted(checked, key=lambda one: (one.day, one.taster, one.liking))


def _averaged(scores: list[Tasting]) -> list[Tasting]:
    """Averages the scores of each taster and evening."""
    heaps: dict[tuple[float, str], list[float]] = {}
    for one in scores:
        heaps.setdefault((one.day, one.taster), []).append(one.liking)
    return [Tasting(day, taster, float(np.mean(heap))) for (day, taster), heap in heaps.items()]


def _log_time(day: Array, prior_week: float) -> Array:
    """Gives u = ln((week + 1)/(W0 + 1))."""
    u: Array = np.log1p(np.asarray(day, dtype=np.float64) / DAYS_A_WEEK) - np.log1p(prior_week)
    return u


def _edges(peaks: Array) -> Array:
    """Gives the edges of the cells whose middles are the nodes."""
    half = (peaks[1] - peaks[0]) / 2.0
    return np.append(peaks - half, peaks[-1] + half)


def _week_at(peaks: Array, weight: Array, share: float, prior_week: float) -> float:
    """Gives the week below which a share of the peak's weight lies, not before week 0."""
    cumulative = np.append(0.0, np.cumsum(weight))
    at = float(np.interp(share * cumulative[-1], cumulative, _edges(peaks)))
    return max(0.0, float((prior_week + 1.0) * np.exp(at) - 1.0))


def _chances(mixture: PeakMixture, today: float, prior_week: float, p_flat: float) -> tuple[float, float]:
    """Gives the chance that one more week is better, and that one week less would have been.

    The bump is even, so a week is better than the next when the peak lies on its side of the mid-point.
    """
    edges = _edges(mixture.peaks)
    cumulative = np.append(0.0, np.cumsum(mixture.weight[:, :, 1:].sum(axis=(0, 2))))
    before, now, after = (
        float(_log_time(np.array([max(0.0, today + shift)]), prior_week)[0]) for shift in (-7, 0, 7)
    )
    p_more = 1.0 - p_flat - float(np.interp((now + after) / 2.0, edges, cumulative))
    p_past = float(np.interp((now + before) / 2.0, edges, cumulative)) if today >= DAYS_A_WEEK else 0.0
    return min(1.0, max(0.0, p_more)), min(1.0, max(0.0, p_past))


def _verdict(
    scores: list[Tasting], now: float, loss: float, p_flat: float, p_more: float, p_past: float
) -> tuple[PullVerdict, str, int]:
    """Gives the first rule that fits: verdict, reason and how many tastings are wanted."""
    days = {one.day for one in scores}
    missing = max(LEAST_SCORES - len(scores), 1 if len(days) == 1 else 0, 0)
    if missing:
        return PullVerdict.TOO_FEW, "on_another_week" if len(days) == 1 else "few_scores", missing
    if now - max(days) / DAYS_A_WEEK > max(STALE_WEEKS, STALE_SHARE * now):
        return PullVerdict.TOO_FEW, "last_tasting_old", 1
    if p_flat >= FLAT_ENOUGH:
        return PullVerdict.NEAR_BEST, "scores_hardly_move", 0
    if loss <= NEAR_BEST_LOSS:
        return PullVerdict.NEAR_BEST, "little_to_gain", 0
    if p_more >= SURE_ENOUGH:
        return PullVerdict.KEEP_GOING, "still_rising", 0
    if p_past >= SURE_ENOUGH:
        return PullVerdict.PAST_BEST, "falling", 0
    return PullVerdict.TOO_FEW, "not_clear_yet", 2


def _curve_weeks(asked: ArrayLike | None, last: float) -> Array:
    """Gives the weeks of the chart."""
    if asked is not None:
        return np.atleast_1d(require_numbers("curve_weeks", asked, 0, LONGEST_WEEKS, "weeks"))
    return np.linspace(0.0, min(LONGEST_WEEKS, np.ceil(1.2 * last + 1.0)), 41)


def _next_scores(
    mixture: PeakMixture, names: list[str], days: list[float], next_day: float, prior_week: float
) -> dict[str, ScoreForecast]:
    """Gives what each known taster would score on an evening; "" stands for one who is new."""
    day = _day("next_day", next_day)
    evening = days.index(day) if day in days else -1
    tasters = np.append(np.arange(len(names)), -1)
    u = np.broadcast_to(_log_time(np.array([day]), prior_week), tasters.shape)
    mean, sd = mixture.predict(u, tasters, evening)
    return {
        name: ScoreForecast(float(one), float(own))
        for name, one, own in zip([*names, ""], mean, sd, strict=True)
    }
