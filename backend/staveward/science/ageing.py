"""What happens to volume and strength in the wood, day by day, for many barrels at once.

Each barrel is a mass of water, of ethanol and of sugar. Water and ethanol leave by ``evaporation``, liquid
leaves by a slow leak that does not change the strength, samples and top-ups are taken off or put on as they
happened. Two things about a barrel are not known: its multiplier k and its leak. The bands come from running
every barrel at a spread of both and reading the quantiles.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from .barrel_readings import DipReading, OddReading, StrengthReading, Weighing, is_odd_reading
from .calibration import Calibration, calibrate
from .courses import (
    EventPlan,
    LiquidEvent,
    band_of,
    climate_error,
    climate_series,
    equal_slices,
    figures_of,
    plan_events,
    refuse_overdraft,
    run_courses,
)
from .errors import (
    Array,
    Inconsistent,
    OutOfRange,
    require_number,
    require_numbers,
    require_same_shape,
    unwrap,
)
from .evaporation import (
    require_transport,
)
from .known_course import Contents, require_climate, require_leak, simulate, simulate_segments
from .mass_balance import (
    EMPTY_AT_FRACTION,
    K_SPREAD,
    LEAK_SPREAD,
    Flags,
    State,
    prior_leak_g_per_day,
    selectivity_u_pct,
    start_of,
)
from .soaking import DRAIN_LOSS_L, mixed_strength_pct, soaked_l
from .vocabulary import BOUNDS, WoodState

__all__ = [
    "K_SPREAD",
    "LEAK_SPREAD",
    "Calibration",
    "Contents",
    "DipReading",
    "LiquidEvent",
    "OddReading",
    "StrengthReading",
    "Trajectory",
    "Weighing",
    "calibrate",
    "expected_yield_l",
    "is_odd_reading",
    "prior_leak_g_per_day",
    "simulate",
    "simulate_segments",
    "trajectory",
]

SOAK_RELATIVE_U = 0.3


# How many equally likely slices of k and of the leak are run.
_K_POINTS, _LEAK_POINTS = 11, 7
# Barrels times days that are run together; 77 courses of each take about 100 MB.
_MOST_AT_ONCE = 16_000


@dataclass(frozen=True)
class Trajectory:
    """Holds volume and strength per barrel and day, with the band that holds 80 % of cases.

    Arrays have shape (n_barrels, n_days + 1); ``day`` has shape (n_days + 1,). ``is_empty`` says where the
    middle course has run down to 1 % of the fill.
    """

    day: Array
    volume_low_l: Array
    volume_mid_l: Array
    volume_high_l: Array
    abv_low_pct: Array
    abv_mid_pct: Array
    abv_high_pct: Array
    is_empty: Flags


def trajectory(
    volume_l: ArrayLike,
    abv_pct: ArrayLike,
    days: int,
    temp_c: ArrayLike,
    rh_fraction: ArrayLike,
    capacity_l: ArrayLike,
    area_m2: ArrayLike,
    stave_mm: ArrayLike,
    *,
    sugar_g_l: ArrayLike = 0.0,
    events: Iterable[LiquidEvent] = (),
    wood_state: str | Sequence[str] | None = None,
    held_abv_pct: ArrayLike = 0.0,
    is_climate_guessed: bool | Sequence[bool] = False,
    k_median: ArrayLike = 1.0,
    k_spread: ArrayLike = K_SPREAD,
    leak_median_g_per_day: ArrayLike | None = None,
    leak_spread: ArrayLike = LEAK_SPREAD,
) -> Trajectory:
    """Gives volume and strength of many barrels day by day, with 80 % bands, before anything is learned.

    Parameters
    ----------
    volume_l : float or array_like, shape (n,)
        Volume at the fill, above zero [L at 20 °C].
    abv_pct : float or array_like, shape (n,)
        Strength at the fill, up to 96 [% vol at 20 °C].
    days : int, scalar
        Whole days to run, 0 to 3650 [days].
    temp_c : float or array_like, scalar, shape (n,) or shape (n, days)
        Daily mean temperature, 0 to 45 [degrees Celsius].
    rh_fraction : float or array_like, scalar, shape (n,) or shape (n, days)
        Daily mean relative humidity [0 to 1, not percent].
    capacity_l : float or array_like, shape (n,)
        Capacity, for the prior on the leak [L].
    area_m2, stave_mm : float or array_like, shape (n,)
        Inner wood [m2] and mean stave thickness [mm].
    sugar_g_l : float or array_like, shape (n,)
        Dissolved sugar at the fill [g/L].
    events : iterable of LiquidEvent, shape (n_events,)
        Samples and top-ups since the fill [days, L, % vol].
    wood_state : str, sequence of str or None, shape (n,)
        How thirsty the wood was; None leaves soaking and mixing with held liquid out [a WoodState].
    held_abv_pct : float or array_like, shape (n,)
        Strength of what the wood held before, 0 after water [% vol at 20 °C].
    is_climate_guessed : bool or sequence of bool, shape (n,)
        True where nobody read the climate: the bands widen [1].
    k_median, k_spread, leak_median_g_per_day, leak_spread : float or array_like, shape (n,)
        What is believed of k [1] and leak [g/day]; geometric medians and spreads.

    Returns
    -------
    Trajectory, each shape (n, days + 1)
        Volume [L at 20 °C] and strength [% vol at 20 °C]: 10 %, 50 % and 90 % quantiles per day.

    Raises
    ------
    OutOfRange
        If an input is outside its bound or an event names no barrel or day of this run.
    Inconsistent
        If shapes do not fit, a top-up has no strength, or more is taken than was ever in.

    Notes
    -----
    Model error of 0.15 of the volume lost, 0.15 of the drift in strength and what is not known of how wood tells
    ethanol from water is added, and 0.3 of what soaked away. A barrel that runs dry stays at 1 % of its fill.

    Source
    ------
    As ``simulate``; prior spread 1.6 on k and 4 on the leak are working assumptions.

    Examples
    --------
    >>> course = trajectory(4.75, 60.0, 28, 20.0, 0.55, 5.0, 0.16374499, 14.529928)
    >>> [round(float(x[0, 28]), 2) for x in (course.volume_low_l, course.volume_mid_l, course.volume_high_l)]
    [4.38, 4.55, 4.64]
    """
    whole = require_number("days", days, 0.0, BOUNDS["days"].high, "days")
    if whole != int(whole):
        raise OutOfRange("days", days, "a whole number of days, 0 to 3650")
    length = int(whole)
    temperature, humidity = require_climate(temp_c, rh_fraction)
    _, area, stave, _ = require_transport(0.5, area_m2, stave_mm, 1.0)
    leak_middle = np.asarray(prior_leak_g_per_day(capacity_l))
    if leak_median_g_per_day is not None:
        leak_middle = require_leak(leak_median_g_per_day, "leak_median_g_per_day")
    k_middle = require_numbers("k_median", k_median, 0.05, 20.0, "")
    k_wide = require_numbers("k_spread", k_spread, 1.0, 4.0, "")
    leak_wide = require_numbers("leak_spread", leak_spread, 1.0, 10.0, "")
    start = start_of(volume_l, abv_pct, sugar_g_l)
    barrels = require_same_shape(
        volume_l=np.atleast_1d(start.water_g),
        area_m2=area,
        stave_mm=stave,
        capacity_l=leak_middle,
        k_median=k_middle,
        k_spread=k_wide,
        leak_spread=leak_wide,
    )[-1]
    start = State(*(np.broadcast_to(mass, (barrels,))[:, None] for mass in start))
    temperature = climate_series("temp_c", temperature, barrels, length)
    humidity = climate_series("rh_fraction", humidity, barrels, length)
    guessed = np.broadcast_to(np.asarray(is_climate_guessed, dtype=bool), (barrels,))
    plan = plan_events(events, barrels, length)
    refuse_overdraft(plan, start)

    def column(numbers: Array) -> Array:
        return np.broadcast_to(numbers, (barrels,))[:, None]

    day = np.arange(length + 1, dtype=np.float64)
    soak, mixed = np.zeros((2, barrels, length + 1)) + np.array([0.0, 1.0])[:, None, None]
    if wood_state is not None:
        soak, mixed = _soak(day, wood_state, volume_l, abv_pct, area, stave, held_abv_pct, barrels)
    cellar = _Cellar(
        start=start,
        per_area=column(area) / column(stave),
        k=(column(k_middle), column(k_wide)),
        leak=(column(leak_middle), column(leak_wide)),
        temperature=temperature[..., None],
        humidity=humidity[..., None],
        guessed=guessed,
        plan=plan,
        soak=soak,
        mixed=mixed,
    )
    at_once = max(1, _MOST_AT_ONCE // (length + 1))
    bands = [_bands(cellar.rows(slice(first, first + at_once))) for first in range(0, barrels, at_once)]
    low, middle, high = np.concatenate([band[0] for band in bands], axis=1)
    weak, usual, strong = np.concatenate([band[1] for band in bands], axis=1)
    return Trajectory(
        day, low, middle, high, weak, usual, strong, np.concatenate([band[2] for band in bands])
    )


@dataclass(frozen=True)
class _Cellar:
    """Holds all that the courses of some barrels need, one row a barrel."""

    start: State
    per_area: Array
    k: tuple[Array, Array]
    leak: tuple[Array, Array]
    temperature: Array
    humidity: Array
    guessed: Flags
    plan: EventPlan
    soak: Array
    mixed: Array

    def rows(self, some: slice) -> _Cellar:
        """Gives some of the barrels."""
        return _Cellar(
            start=State(*(mass[some] for mass in self.start)),
            per_area=self.per_area[some],
            k=(self.k[0][some], self.k[1][some]),
            leak=(self.leak[0][some], self.leak[1][some]),
            temperature=self.temperature[some],
            humidity=self.humidity[some],
            guessed=self.guessed[some],
            plan=self.plan.rows(some),
            soak=self.soak[some],
            mixed=self.mixed[some],
        )

    def run(self, path: Array, leak: Array) -> tuple[State, Flags]:
        """Runs the courses of these barrels."""
        return run_courses(self.start, path, leak, self.temperature, self.humidity, self.plan)


def _bands(cellar: _Cellar) -> tuple[Array, Array, Flags]:
    """Gives volume and strength of some barrels as low, middle and high, shape (3, barrels, days + 1)."""
    k_z, leak_z = (grid.ravel() for grid in np.meshgrid(equal_slices(_K_POINTS), equal_slices(_LEAK_POINTS)))
    (k_middle, k_wide), (leak_middle, leak_wide) = cellar.k, cellar.leak
    middle_path = k_middle * cellar.per_area
    # Two courses go along: the middle one, and the same samples and top-ups in wood that lets nothing through,
    # from which what was lost is counted.
    paths = (middle_path * k_wide**k_z, middle_path, 0.0 * middle_path)
    leaks = (leak_middle * leak_wide**leak_z, leak_middle, 0.0 * leak_middle)
    masses, empty = cellar.run(np.concatenate(paths, axis=1), np.concatenate(leaks, axis=1))
    is_empty = empty[..., -2]
    volume, strength = figures_of(masses)
    still_volume, still_strength = volume[..., -1:], strength[..., -1:]
    lived, still = (State(*(mass[..., some] for mass in masses)) for some in (slice(-2), slice(-1, None)))
    leaked = (leak_middle * leak_wide**leak_z)[:, None, :] * np.arange(volume.shape[1])[:, None]
    volume, strength = volume[..., :-2], strength[..., :-2]
    volume_u = 0.15 * np.abs(still_volume - volume)
    strength_u = np.hypot(0.15 * (strength - still_strength), selectivity_u_pct(lived, still, leaked))
    if cellar.guessed.any():
        wide = climate_error(
            cellar.start, middle_path, leak_middle, cellar.temperature, cellar.humidity, cellar.plan
        )
        guessed = cellar.guessed[:, None, None]
        volume_u = np.where(guessed, np.hypot(volume_u, wide[0][..., None]), volume_u)
        strength_u = np.where(guessed, np.hypot(strength_u, wide[1][..., None]), strength_u)
    floor = EMPTY_AT_FRACTION * still_volume[:, :1, 0]
    soak = cellar.soak[..., None]
    # A course that the model empties sooner than the wood drinks has nothing left, which is not below nothing.
    volume = np.maximum(volume - soak, floor[..., None])
    volumes = band_of(volume, np.hypot(volume_u, SOAK_RELATIVE_U * soak), floor, np.inf)
    strengths = band_of(strength * cellar.mixed[..., None], strength_u, np.zeros_like(floor), 100.0)
    return volumes, strengths, is_empty


def _soak(
    day: Array,
    wood_state: str | Sequence[str],
    volume_l: ArrayLike,
    abv_pct: ArrayLike,
    area: Array,
    stave: Array,
    held_abv_pct: ArrayLike,
    barrels: int,
) -> tuple[Array, Array]:
    """Gives what the wood drank [L] and the factor by which held liquid changes the strength."""
    states = [wood_state] * barrels if isinstance(wood_state, (str, WoodState)) else list(wood_state)
    if len(states) != barrels:
        raise Inconsistent("wood_state", len(states), f"one per barrel, {barrels}")
    before = require_numbers("held_abv_pct", held_abv_pct, 0.0, 100.0, "% vol")
    rows, mixes = [], []
    for barrel, one in enumerate(states):
        own = [
            float(np.broadcast_to(a, (barrels,))[barrel])
            for a in (
                area,
                stave,
                np.asarray(volume_l, dtype=float),
                np.asarray(abv_pct, dtype=float),
                before,
            )
        ]
        rows.append(np.asarray(soaked_l(day, own[0], own[1], one)))
        mixed = np.asarray(mixed_strength_pct(own[2], own[3], own[0], own[1], own[4], day))
        mixes.append(mixed / own[3] if own[3] > 0 else np.ones_like(mixed))
    return np.stack(rows), np.stack(mixes)


def expected_yield_l(volume_l: ArrayLike, drain_loss_l: ArrayLike = DRAIN_LOSS_L) -> Array:
    """Gives what comes out at the decant: free liquid less what clings when it is drained.

    Parameters
    ----------
    volume_l : float or array_like, shape (n,)
        Free liquid, soaking already taken off [L].
    drain_loss_l : float or array_like, shape (n,)
        What clings [L].

    Returns
    -------
    ndarray, shape (n,)
        Yield, not below zero [L].

    Raises
    ------
    OutOfRange
        If a volume or loss is negative.

    Source
    ------
    Working assumption (0.05 L).

    Examples
    --------
    >>> round(float(expected_yield_l(4.5)), 2)
    4.45
    """
    volume = require_numbers("volume_l", volume_l, 0.0, None, "L")
    loss = require_numbers("drain_loss_l", drain_loss_l, 0.0, None, "L")
    require_same_shape(volume_l=volume, drain_loss_l=loss)
    return unwrap(np.maximum(volume - loss, 0.0))
