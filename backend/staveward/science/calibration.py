"""Learns one barrel's multiplier and leak from its own readings, and predicts with what was learned.

Two unknowns, ln k and ln leak, each with a normal prior, are laid out as a grid; every node is run forward and
weighed by how well it meets the readings. In one steady climate weighings fix the total loss only; strength or
seasons tell evaporation and leak apart, so both are reported with their spread.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .errors import Array, Inconsistent, OutOfRange, require_choice, require_numbers
from .evaporation import climate_factors, require_transport
from .mass_balance import (
    EMPTY_AT_FRACTION,
    K_SPREAD,
    LEAK_SPREAD,
    State,
    advance,
    prior_leak_g_per_day,
    start_of,
    strength_of_pct,
    total_g,
    volume_of_l,
)
from .soaking import soaked_l
from .vocabulary import BOUNDS, WoodState

_K_NODES, _LEAK_NODES, _REACH = 61, 41, 3.0
_MOST_READINGS = 200
_SCALE_U_KG, _SCALE_RELATIVE_U, _OFFSET_U_KG = 0.005, 2e-4, 0.05
_DIP_U_MM, _SOAK_RELATIVE_U = 2.0, 0.3
_READING_U_PCT, _EXTRACT_PCT_PER_G_L, _SELECTIVITY_SHARE = 0.3, 0.22, 0.25
_CLIMATE_SHARE = 0.15
_SUSPECT_TIMES = 5.0


@dataclass(frozen=True)
class Weighing:
    """Holds one weighing of barrel and contents [kg] on a day since the fill [days]."""

    day: float
    gross_kg: float
    readability_kg: float = _SCALE_U_KG


@dataclass(frozen=True)
class DipReading:
    """Holds one dip as litres [L], with how many litres a millimetre is there [L/mm], on a day [days]."""

    day: float
    volume_l: float
    l_per_mm: float


@dataclass(frozen=True)
class StrengthReading:
    """Holds one alcoholmeter reading corrected to 20 °C [% vol], its uncertain extract [g/L] and day [days]."""

    day: float
    abv_pct: float
    extract_u_g_l: float = 0.3


@dataclass(frozen=True)
class Calibration:
    """Holds what a barrel's readings say of it: k [1] and leak [g/day] as geometric mean and spread.

    ``volume_*_l`` and ``abv_*_pct`` are the 10 %, 50 % and 90 % quantiles on the day asked for.
    ``is_leak_suspected`` says that a leak above five times the usual is more likely than not.
    """

    k_geo_mean: float
    k_spread: float
    leak_geo_mean_g_per_day: float
    leak_spread: float
    is_leak_suspected: bool
    volume_low_l: float
    volume_mid_l: float
    volume_high_l: float
    abv_low_pct: float
    abv_mid_pct: float
    abv_high_pct: float


@dataclass(frozen=True)
class _Course:
    """Holds every node of the grid run forward: masses by day asked for."""

    state: dict[float, State]

    def mass_kg(self, day: float) -> Array:
        return total_g(self.state[day]) / 1000.0

    def volume_l(self, day: float) -> Array:
        return volume_of_l(self.state[day])

    def abv_pct(self, day: float) -> Array:
        return strength_of_pct(self.state[day], self.volume_l(day))


def _grid(k_spread: float, leak_median: float, leak_spread: float) -> tuple[Array, Array, Array]:
    """Gives k, leak and log prior of every node."""
    z_k = np.repeat(np.linspace(-_REACH, _REACH, _K_NODES), _LEAK_NODES)
    z_leak = np.tile(np.linspace(-_REACH, _REACH, _LEAK_NODES), _K_NODES)
    return k_spread**z_k, leak_median * leak_spread**z_leak, -(z_k**2 + z_leak**2) / 2.0


def _run_nodes(
    start: State, path: Array, leak: Array, temp_c: float, rh_fraction: float, days: Sequence[float]
) -> _Course:
    """Runs all nodes through the days asked for, in steps of at most a day."""
    at, rh = climate_factors(temp_c), np.asarray(rh_fraction)
    state = State(*(np.full(path.shape, float(mass)) for mass in start))
    empty = np.zeros(path.shape, dtype=bool)
    floor = EMPTY_AT_FRACTION * total_g(state)
    found, now = {}, 0.0
    for day in sorted({0.0, *days}):
        steps = int(np.ceil(day - now - 1e-12))
        for _ in range(steps):
            state, empty = advance(state, empty, floor, at, rh, path, leak, (day - now) / steps)
        now = day
        found[day] = state
    return _Course(found)


def _weighing_fit(course: _Course, readings: Sequence[Weighing], tare_kg: float) -> Array:
    """Gives the log likelihood of all weighings, their shared unknown offset integrated out."""
    s_0 = s_1 = s_2 = np.zeros(1)
    for reading in readings:
        miss = reading.gross_kg - tare_kg - course.mass_kg(reading.day)
        variance = np.hypot(reading.readability_kg, _SCALE_RELATIVE_U * reading.gross_kg) ** 2
        s_0, s_1, s_2 = s_0 + 1.0 / variance, s_1 + miss / variance, s_2 + miss**2 / variance
    fit: Array = -0.5 * (s_2 - s_1**2 / (s_0 + 1.0 / _OFFSET_U_KG**2))
    return fit


def _dip_fit(
    course: _Course, readings: Sequence[DipReading], area_m2: float, stave_mm: float, state: str
) -> Array:
    """Gives the log likelihood of dips, soaked liquid taken off."""
    fit = np.zeros(1)
    for reading in readings:
        soak = float(soaked_l(reading.day, area_m2, stave_mm, state))
        miss = reading.volume_l - (course.volume_l(reading.day) - soak)
        variance = (_DIP_U_MM * reading.l_per_mm) ** 2 + (_SOAK_RELATIVE_U * soak) ** 2
        fit = fit - 0.5 * miss**2 / variance
    return fit


def _strength_fit(course: _Course, readings: Sequence[StrengthReading], abv_pct: float) -> Array:
    """Gives the log likelihood of alcoholmeter readings."""
    fit = np.zeros(1)
    for reading in readings:
        strength = course.abv_pct(reading.day)
        variance = (
            _READING_U_PCT**2
            + (_EXTRACT_PCT_PER_G_L * reading.extract_u_g_l) ** 2
            + (_SELECTIVITY_SHARE * (strength - abv_pct)) ** 2
        )
        fit = fit - 0.5 * (reading.abv_pct - strength) ** 2 / variance - 0.5 * np.log(variance)
    return fit


def _quantile_of_mixture(centres: Array, spreads: Array, weights: Array, share: float) -> float:
    """Finds a quantile of a mixture of normal distributions by bisection on the summed distribution."""
    from scipy.special import ndtr

    low = float(np.min(centres - 8.0 * spreads))
    high = float(np.max(centres + 8.0 * spreads))
    for _ in range(100):
        middle = 0.5 * (low + high)
        if float(np.sum(weights * ndtr((middle - centres) / spreads))) < share:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def _check_days(name: str, readings: Sequence[Weighing | DipReading | StrengthReading]) -> None:
    if len(readings) > _MOST_READINGS:
        raise OutOfRange(name, len(readings), f"at most {_MOST_READINGS} readings")
    for reading in readings:
        require_numbers(f"{name} day", reading.day, 0.0, BOUNDS["days"].high, "days")


def calibrate(
    volume_l: float,
    abv_pct: float,
    temp_c: float,
    rh_fraction: float,
    area_m2: float,
    stave_mm: float,
    capacity_l: float,
    predict_day: float,
    *,
    weighings: Sequence[Weighing] = (),
    tare_kg: float | None = None,
    dips: Sequence[DipReading] = (),
    strengths: Sequence[StrengthReading] = (),
    wood_state: str = WoodState.WET,
    sugar_g_l: float = 0.0,
    k_spread: float = K_SPREAD,
    leak_spread: float = LEAK_SPREAD,
) -> Calibration:
    """Learns k and leak of one barrel from its readings and predicts volume and strength on a day.

    Posterior on a 61 by 41 grid over three prior standard deviations of ln k and ln leak. The prediction is a
    mixture of normals over the nodes with sd 0.15 |V_T - V_D| and hypot(0.15 |q_T - q_D|, 0.25 |q_T - q_0|).

    Parameters
    ----------
    volume_l, abv_pct : float, scalar
        Fill, after mixing with what the wood held [L at 20 °C, % vol at 20 °C].
    temp_c, rh_fraction : float, scalar
        Mean climate since the fill [degrees Celsius, 0 to 1].
    area_m2, stave_mm, capacity_l : float, scalar
        Inner wood, mean stave thickness, capacity [m2, mm, L].
    predict_day : float, scalar
        Day to predict, not before the last reading [days since the fill].
    weighings : sequence of Weighing, shape (up to 200,)
        Weight of barrel and contents [kg].
    tare_kg : float or None, scalar
        Mass of the wet empty barrel, needed with weighings [kg].
    dips : sequence of DipReading, shape (up to 200,)
        Dips as litres [L].
    strengths : sequence of StrengthReading, shape (up to 200,)
        Alcoholmeter readings corrected to 20 °C [% vol].
    wood_state : str, scalar
        How thirsty the wood was at the fill [a WoodState].
    sugar_g_l : float, scalar
        Dissolved sugar; above zero no strength reading is taken [g/L].
    k_spread, leak_spread : float, scalar
        Geometric spreads of the prior [1].

    Returns
    -------
    Calibration, scalar
        k [1], leak [g/day], volume [L] and strength [% vol] with 80 % bands.

    Raises
    ------
    OutOfRange
        If an input is outside its bound or there are more than 200 readings of a kind.
    Inconsistent
        If weighings come without a tare, a sweetened fill with strength readings, or the day to predict lies
        before the last reading.

    Notes
    -----
    No readings give the prior. A reading far off should be left out and asked for again: see ``is_odd_reading``.

    Source
    ------
    Bayes' theorem on a grid; prior and errors are working assumptions (barrel to barrel 1.35 from memory).

    Examples
    --------
    >>> prior = calibrate(4.75, 60.0, 20.0, 0.55, 0.16374499, 14.529928, 5.0, 56)
    >>> round(prior.volume_low_l, 3), round(prior.volume_mid_l, 3), round(prior.volume_high_l, 3)
    (4.013, 4.351, 4.534)
    """
    require_choice("wood_state", wood_state, list(WoodState))
    day = float(require_numbers("predict_day", predict_day, 0.0, BOUNDS["days"].high, "days"))
    cellar = BOUNDS["cellar_temp_c"]
    require_numbers("temp_c", temp_c, cellar.low, cellar.high, cellar.unit)
    require_transport(rh_fraction, area_m2, stave_mm, 1.0)
    for name, readings in (("weighings", weighings), ("dips", dips), ("strengths", strengths)):
        _check_days(name, readings)
    tare = _checked_readings(weighings, tare_kg, dips, strengths, sugar_g_l)
    readings_of_all: list[Weighing | DipReading | StrengthReading] = [*weighings, *dips, *strengths]
    days = [reading.day for reading in readings_of_all]
    last = max(days, default=0.0)
    if day < last:
        raise Inconsistent("predict_day", day, f"at least the day of the last reading, {last:g}")
    usual_leak = float(prior_leak_g_per_day(capacity_l))
    k, leak, fit = _grid(
        float(require_numbers("k_spread", k_spread, 1.01, 4.0, "")),
        usual_leak,
        float(require_numbers("leak_spread", leak_spread, 1.01, 10.0, "")),
    )
    start = start_of(volume_l, abv_pct, sugar_g_l)
    course = _run_nodes(start, k * area_m2 / stave_mm, leak, temp_c, rh_fraction, [*days, last, day])
    if weighings:
        fit = fit + _weighing_fit(course, weighings, tare)
    fit = (
        fit
        + _dip_fit(course, dips, area_m2, stave_mm, wood_state)
        + _strength_fit(course, strengths, abv_pct)
    )
    weights = np.exp(fit - fit.max())
    weights = weights / weights.sum()
    return _summary(course, weights, k, leak, last, day, abv_pct, usual_leak)


def _checked_readings(
    weighings: Sequence[Weighing],
    tare_kg: float | None,
    dips: Sequence[DipReading],
    strengths: Sequence[StrengthReading],
    sugar_g_l: float,
) -> float:
    """Checks the figures of all readings and gives the tare."""
    for weighing in weighings:
        require_numbers("weighings gross_kg", weighing.gross_kg, 0.0, 1000.0, "kg", above_low=True)
        require_numbers("weighings readability_kg", weighing.readability_kg, 0.0, 1.0, "kg", above_low=True)
    for dip in dips:
        require_numbers("dips volume_l", dip.volume_l, 0.0, BOUNDS["volume_l"].high, "L")
        require_numbers("dips l_per_mm", dip.l_per_mm, 0.0, 10.0, "L/mm", above_low=True)
    for strength in strengths:
        require_numbers("strengths abv_pct", strength.abv_pct, 0.0, 96.0, "% vol")
        require_numbers("strengths extract_u_g_l", strength.extract_u_g_l, 0.0, 10.0, "g/L")
    if strengths and sugar_g_l > 0:
        raise Inconsistent("strengths", len(strengths), "none in a sweetened fill: sugar hides strength")
    if weighings and tare_kg is None:
        raise Inconsistent(
            "tare_kg", None, "the mass of the wet empty barrel in kg, when there are weighings"
        )
    return (
        0.0
        if tare_kg is None
        else float(require_numbers("tare_kg", tare_kg, 0.0, 500.0, "kg", above_low=True))
    )


def _summary(
    course: _Course,
    weights: Array,
    k: Array,
    leak: Array,
    last: float,
    day: float,
    abv_pct: float,
    usual_leak: float,
) -> Calibration:
    """Reads means, spreads and quantiles off the posterior."""
    moments = []
    for numbers in (np.log(k), np.log(leak)):
        mean = float(np.sum(weights * numbers))
        moments.append((mean, float(np.sqrt(max(np.sum(weights * (numbers - mean) ** 2), 0.0)))))
    (k_mean, k_sd), (leak_mean, leak_sd) = moments
    kept = weights > 1e-14
    share = weights[kept] / weights[kept].sum()
    volume, strength = course.volume_l(day)[kept], course.abv_pct(day)[kept]
    volume_sd = _CLIMATE_SHARE * np.abs(course.volume_l(last)[kept] - volume) + 1e-9
    drift = np.abs(strength - course.abv_pct(last)[kept])
    strength_sd = np.hypot(_CLIMATE_SHARE * drift, _SELECTIVITY_SHARE * np.abs(strength - abv_pct)) + 1e-9
    volumes = [_quantile_of_mixture(volume, volume_sd, share, part) for part in (0.1, 0.5, 0.9)]
    strengths = [_quantile_of_mixture(strength, strength_sd, share, part) for part in (0.1, 0.5, 0.9)]
    return Calibration(
        k_geo_mean=float(np.exp(k_mean)),
        k_spread=float(np.exp(k_sd)),
        leak_geo_mean_g_per_day=float(np.exp(leak_mean)),
        leak_spread=float(np.exp(leak_sd)),
        is_leak_suspected=bool(weights[leak > _SUSPECT_TIMES * usual_leak].sum() > 0.5),
        volume_low_l=volumes[0],
        volume_mid_l=volumes[1],
        volume_high_l=volumes[2],
        abv_low_pct=strengths[0],
        abv_mid_pct=strengths[1],
        abv_high_pct=strengths[2],
    )


def is_odd_reading(value: float, expected: float, spread: float) -> bool:
    """Says whether a reading lies more than four standard deviations from what is expected.

    Parameters
    ----------
    value, expected : float, scalar
        Reading and what was expected [same unit].
    spread : float, scalar
        Standard deviation of the difference, above zero [same unit].

    Returns
    -------
    bool, scalar
        True to store it, flag it and ask for a repeat [1].

    Raises
    ------
    OutOfRange
        If a number is not finite or the spread is not above zero.

    Source
    ------
    Design value of this project.

    Examples
    --------
    >>> is_odd_reading(4.2, 4.6, 0.05)
    True
    """
    seen = float(require_numbers("value", value))
    usual = float(require_numbers("expected", expected))
    wide = float(require_numbers("spread", spread, 0.0, None, "", above_low=True))
    return abs(seen - usual) / wide > 4.0
