"""What happens to volume and strength in the wood, day by day, for many barrels at once.

Each barrel is a mass of water, of ethanol and of sugar. Water and ethanol leave by ``evaporation``, liquid
leaves by a slow leak that does not change the strength, samples and top-ups are taken off or put on as they
happened. Two things about a barrel are not known: its multiplier k and its leak. The bands come from running
every barrel at a spread of both and reading the quantiles.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from .alcoholometry import density_kg_m3, ethanol_density_kg_m3
from .blending import SUGAR_ROOM_L_KG, Part, masses_of
from .errors import Array, Inconsistent, OutOfRange, require_numbers, require_same_shape, unwrap
from .evaporation import (
    ETHANOL_PERMEABILITY,
    WATER_PERMEABILITY,
    ClimateFactors,
    climate_factors,
    pressures_of,
    require_transport,
)
from .vocabulary import BOUNDS, WoodState
from .wood import mixed_strength_pct, soaked_l

K_SPREAD = 1.6
LEAK_SPREAD = 4.0
LEAK_MEDIAN_G_PER_DAY_AT_1_L = 0.15
EMPTY_AT_FRACTION = 0.01
SOAK_RELATIVE_U = 0.3

# Where nobody read the climate: standard uncertainty of a guess (the sites of the fit, 1.5 to 3 K, 0.04 to 0.12).
GUESSED_TEMP_U_C = 3.0
GUESSED_RH_U = 0.10

# Equal-probability points of k, leak and model error; their midpoints in standard deviations.
_K_POINTS, _LEAK_POINTS, _ERROR_POINTS = 11, 7, 5
_LOW, _MIDDLE, _HIGH = 0.1, 0.5, 0.9


class State(NamedTuple):
    """Holds the masses of water, ethanol and sugar in each barrel [g]."""

    water_g: Array
    ethanol_g: Array
    sugar_g: Array


@dataclass(frozen=True)
class LiquidEvent:
    """Holds one sample (negative volume) or top-up (positive) of one barrel.

    It acts at the start of the day it falls in; a top-up names its strength, a sample has the barrel's own.
    """

    barrel: int
    day: float
    volume_l: float
    abv_pct: float | None = None
    sugar_g_l: float = 0.0


@dataclass(frozen=True)
class Contents:
    """Holds what is in each barrel: masses [g], volume [L at 20 °C], strength [% vol at 20 °C]."""

    water_g: Array
    ethanol_g: Array
    sugar_g: Array
    volume_l: Array
    abv_pct: Array
    is_empty: Array


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
    is_empty: Array


def prior_leak_g_per_day(capacity_l: ArrayLike) -> Array:
    """Gives the median leak expected of a barrel: 0.15 V^(1/3) g/day, geometric spread 4.

    Parameters
    ----------
    capacity_l : float or array_like, shape (n,)
        Capacity [L].

    Returns
    -------
    ndarray, shape (n,)
        Leak [g/day].

    Raises
    ------
    OutOfRange
        If a capacity is outside 0.5 to 350 L.

    Source
    ------
    Working assumption of this project.

    Examples
    --------
    >>> round(float(prior_leak_g_per_day(5.0)), 4)
    0.2565
    """
    size = BOUNDS["capacity_l"]
    capacity = require_numbers("capacity_l", capacity_l, size.low, size.high, size.unit)
    return unwrap((LEAK_MEDIAN_G_PER_DAY_AT_1_L * np.cbrt(capacity)))


def _rates(state: State, at: ClimateFactors, rh: Array, path: Array, leak: Array) -> State:
    """Gives dm/dt [g/day]: what evaporates and what leaks."""
    both = state.water_g + state.ethanol_g
    with np.errstate(invalid="ignore", divide="ignore"):
        fraction = np.where(both > 0, state.ethanol_g / both, 0.0)
        sweet = np.where(both > 0, state.sugar_g / both, 0.0)
    fraction = np.clip(fraction, 0.0, 1.0)  # rounding of an exhausted barrel only; it is frozen as empty
    ethanol_kpa, water_kpa = pressures_of(fraction, sweet, at)
    water = WATER_PERMEABILITY * path * (water_kpa - rh * at.water_kpa)
    ethanol = ETHANOL_PERMEABILITY * path * ethanol_kpa
    drip = leak / (1.0 + sweet)
    return State(-(water + drip * (1.0 - fraction)), -(ethanol + drip * fraction), -drip * sweet)


def _add(state: State, change: State, step: float | Array) -> State:
    return State(*(mass + step * rate for mass, rate in zip(state, change, strict=True)))


def _step(state: State, at: ClimateFactors, rh: Array, path: Array, leak: Array, days: float) -> State:
    """Takes one Runge-Kutta step of fourth order in a steady climate."""
    first = _rates(state, at, rh, path, leak)
    second = _rates(_add(state, first, days / 2.0), at, rh, path, leak)
    third = _rates(_add(state, second, days / 2.0), at, rh, path, leak)
    fourth = _rates(_add(state, third, days), at, rh, path, leak)
    mean = State(
        *((a + 2.0 * b + 2.0 * c + d) / 6.0 for a, b, c, d in zip(first, second, third, fourth, strict=True))
    )
    return _add(state, mean, days)


def _advance(
    state: State,
    empty: Array,
    floor_g: Array,
    at: ClimateFactors,
    rh: Array,
    path: Array,
    leak: Array,
    days: float,
) -> tuple[State, Array]:
    """Takes one step and freezes barrels that have run down to their floor."""
    moved = _step(state, at, rh, path, leak, days)
    ran_dry = (
        (moved.water_g + moved.ethanol_g + moved.sugar_g <= floor_g)
        | (moved.water_g < 0.0)
        | (moved.ethanol_g < 0.0)
    )
    frozen = empty | ran_dry
    kept = State(*(np.where(frozen, old, new) for old, new in zip(state, moved, strict=True)))
    return kept, frozen


def _volume_l(state: State) -> Array:
    both = state.water_g + state.ethanol_g
    fraction = np.where(both > 0, state.ethanol_g / np.where(both > 0, both, 1.0), 0.0)
    return both / np.asarray(density_kg_m3(fraction, 20.0)) + SUGAR_ROOM_L_KG * state.sugar_g / 1000.0


def _abv_pct(state: State, volume_l: Array) -> Array:
    full = np.where(volume_l > 0, volume_l, 1.0)
    return np.where(volume_l > 0, 100.0 * state.ethanol_g / (ethanol_density_kg_m3() * full), 0.0)


def _start(volume_l: ArrayLike, abv_pct: ArrayLike, sugar_g_l: ArrayLike) -> State:
    require_numbers("abv_pct", abv_pct, 0.0, 96.0, "% vol")
    require_numbers("volume_l", volume_l, 0.0, BOUNDS["volume_l"].high, "L", above_low=True)
    ethanol, water, sugar, _ = masses_of(Part(volume_l, abv_pct, sugar_g_l))
    return State(1000.0 * water, 1000.0 * ethanol, 1000.0 * sugar)


def _climate(temp_c: ArrayLike, rh_fraction: ArrayLike) -> tuple[Array, Array]:
    cellar, humid = BOUNDS["cellar_temp_c"], BOUNDS["rh_fraction"]
    return (
        require_numbers("temp_c", temp_c, cellar.low, cellar.high, cellar.unit),
        require_numbers("rh_fraction", rh_fraction, humid.low, humid.high, humid.unit),
    )


def _leak(leak_g_per_day: ArrayLike) -> Array:
    return require_numbers("leak_g_per_day", leak_g_per_day, 0.0, 500.0, "g/day")


def simulate(
    volume_l: ArrayLike,
    abv_pct: ArrayLike,
    temp_c: ArrayLike,
    rh_fraction: ArrayLike,
    area_m2: ArrayLike,
    stave_mm: ArrayLike,
    days: float,
    *,
    k: ArrayLike = 1.0,
    leak_g_per_day: ArrayLike = 0.0,
    sugar_g_l: ArrayLike = 0.0,
) -> Contents:
    """Gives the contents after some days in one steady climate, for a known k and leak.

    dm_w/dt = -(E_w + leak (1 - p)), dm_e/dt = -(E_e + leak p), p = m_e/(m_w + m_e); Runge-Kutta, step up to a day.

    Parameters
    ----------
    volume_l : float or array_like, shape (n,)
        Volume at the start, above zero [L at 20 °C].
    abv_pct : float or array_like, shape (n,)
        Strength at the start, up to 96 [% vol at 20 °C].
    temp_c : float or array_like, shape (n,)
        Temperature, 0 to 45 [degrees Celsius].
    rh_fraction : float or array_like, shape (n,)
        Relative humidity [0 to 1, not percent].
    area_m2, stave_mm : float or array_like, shape (n,)
        Inner wood [m2] and mean stave thickness [mm].
    days : float, scalar
        Time, 0 to 3650 [days].
    k : float or array_like, shape (n,)
        The barrel's multiplier, 0 or 0.05 to 20 [1].
    leak_g_per_day : float or array_like, shape (n,)
        Liquid that leaks, 0 to 500 [g/day].
    sugar_g_l : float or array_like, shape (n,)
        Dissolved sugar at the start [g/L].

    Returns
    -------
    Contents, each shape (n,)
        Masses [g], volume [L at 20 °C], strength [% vol at 20 °C].

    Raises
    ------
    OutOfRange
        If an input is outside its bound.
    Inconsistent
        If the shapes do not fit each other.

    Notes
    -----
    A barrel that runs down to 1 % of its start is frozen there and ``is_empty`` is true.

    Source
    ------
    Fick's law with the sources of ``evaporation``; constants fitted to published losses.

    Examples
    --------
    >>> after = simulate(4.75, 60.0, 20.0, 0.55, 0.16374499, 14.529928, 28, leak_g_per_day=0.25)
    >>> round(float(after.volume_l), 5), round(float(after.abv_pct), 4)
    (4.55872, 60.8113)
    """
    return simulate_segments(
        volume_l,
        abv_pct,
        [(days, temp_c, rh_fraction)],
        area_m2,
        stave_mm,
        k=k,
        leak_g_per_day=leak_g_per_day,
        sugar_g_l=sugar_g_l,
    )


def simulate_segments(
    volume_l: ArrayLike,
    abv_pct: ArrayLike,
    segments: Sequence[tuple[float, ArrayLike, ArrayLike]],
    area_m2: ArrayLike,
    stave_mm: ArrayLike,
    *,
    k: ArrayLike = 1.0,
    leak_g_per_day: ArrayLike = 0.0,
    sugar_g_l: ArrayLike = 0.0,
) -> Contents:
    """Gives the contents after a sequence of climates, for a known k and leak.

    Parameters
    ----------
    volume_l, abv_pct, area_m2, stave_mm, k, leak_g_per_day, sugar_g_l : float or array_like, shape (n,)
        As in ``simulate`` [L, % vol, m2, mm, 1, g/day, g/L].
    segments : sequence of (days, temp_c, rh_fraction), shape (n_segments, 3)
        Climates in order [days, °C, 0 to 1].

    Returns
    -------
    Contents, each shape (n,)
        Masses [g], volume [L at 20 °C], strength [% vol at 20 °C].

    Raises
    ------
    OutOfRange
        If an input is outside its bound.
    Inconsistent
        If the shapes do not fit each other.

    Source
    ------
    As ``simulate``.

    Examples
    --------
    >>> seasons = [(90, 5, 0.85), (90, 12, 0.75), (90, 22, 0.60), (95, 14, 0.75)]
    >>> after = simulate_segments(19.5, 60.0, seasons, 0.41261153, 17.543253)
    >>> round(float(after.volume_l), 4), round(float(after.abv_pct), 4)
    (17.2467, 59.8026)
    """
    state = _start(volume_l, abv_pct, sugar_g_l)
    leak = _leak(leak_g_per_day)
    shape: tuple[int, ...] = state.water_g.shape
    checked = []
    for days, temp_c, rh_fraction in segments:
        time = float(require_numbers("days", days, 0.0, BOUNDS["days"].high, "days"))
        temperature, _ = _climate(temp_c, rh_fraction)
        humidity, area, stave, multiplier = require_transport(rh_fraction, area_m2, stave_mm, k)
        shape = require_same_shape(
            volume_l=np.empty(shape),
            temp_c=temperature,
            rh_fraction=humidity,
            area_m2=area,
            stave_mm=stave,
            k=multiplier,
            leak_g_per_day=leak,
        )
        checked.append((time, temperature, humidity, multiplier * area / stave))
    state = State(*(np.broadcast_to(mass, shape) for mass in state))
    empty = np.zeros(shape, dtype=bool)
    floor = EMPTY_AT_FRACTION * sum(state)
    for time, temperature, humidity, path in checked:
        steps = int(np.ceil(time - 1e-12))
        at = climate_factors(temperature)
        for _ in range(steps):
            state, empty = _advance(state, empty, floor, at, humidity, path, leak, time / steps)
    volume = _volume_l(state)
    return Contents(*(mass[()] for mass in state), volume[()], _abv_pct(state, volume)[()], empty[()])


def _strata(points: int) -> Array:
    """Gives the midpoints, in standard deviations, of equally likely slices of a normal variable."""
    from scipy.special import ndtri

    return np.asarray(ndtri((np.arange(points) + 0.5) / points), dtype=np.float64)


@dataclass(frozen=True)
class _Plan:
    """Holds samples and top-ups by day as arrays over barrels."""

    taken_l: Array
    added: dict[int, list[tuple[int, State]]]


def _plan_events(events: Iterable[LiquidEvent], barrels: int, days: int) -> _Plan:
    taken = np.zeros((days + 1, barrels))
    added: dict[int, list[tuple[int, State]]] = {}
    for event in events:
        if isinstance(event.barrel, bool) or not 0 <= event.barrel < barrels:
            raise OutOfRange("events barrel", event.barrel, f"0 to {barrels - 1}, a row of the barrels given")
        day = int(
            float(require_numbers("events day", event.day, 0.0, float(days), "days, the time asked for"))
        )
        volume = float(require_numbers("events volume_l", event.volume_l, -400.0, 400.0, "L"))
        if volume <= 0.0:
            taken[day, event.barrel] -= volume
            continue
        if event.abv_pct is None:
            raise Inconsistent("events abv_pct", None, "a strength in % vol for a top-up")
        ethanol, water, sugar, _ = masses_of(Part(volume, event.abv_pct, event.sugar_g_l))
        poured = State(1000.0 * water, 1000.0 * ethanol, 1000.0 * sugar)
        added.setdefault(day, []).append((event.barrel, poured))
    return _Plan(taken, added)


def _apply_events(plan: _Plan, day: int, state: State, empty: Array) -> tuple[State, Array]:
    """Pours top-ups in, then takes samples out, at the strength each course has."""
    for barrel, poured in plan.added.get(day, []):
        state = State(*(mass.copy() for mass in state))
        for mass, more in zip(state, poured, strict=True):
            mass[barrel] += more
        empty = empty.copy()
        empty[barrel] = False
    taken = plan.taken_l[day][:, None]
    if not taken.any():
        return state, empty
    volume = _volume_l(state)
    drained = taken > 0.99 * volume
    share = np.where(drained, 0.0, taken / np.where(volume > 0, volume, 1.0))
    return State(*(mass * (1.0 - share) for mass in state)), empty | (drained & (taken > 0))


def _series(name: str, numbers: Array, barrels: int, days: int) -> Array:
    """Lays a climate out as (barrels, days): one number, one a barrel, or one a barrel and day."""
    wanted = (barrels, max(days, 1))
    if numbers.ndim == 1 and numbers.shape[0] == barrels:
        numbers = numbers[:, None]
    try:
        return np.broadcast_to(numbers, wanted)
    except ValueError:
        raise Inconsistent(name, numbers.shape, f"a number, shape ({barrels},) or shape {wanted}") from None


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
    Model error of 0.15 of the volume lost and hypot(0.15, 0.25) of the drift in strength is added, and 0.3 of
    what soaked away. A barrel that runs dry stays at 1 % of its fill.

    Source
    ------
    As ``simulate``; prior spread 1.6 on k and 4 on the leak are working assumptions.

    Examples
    --------
    >>> course = trajectory(4.75, 60.0, 28, 20.0, 0.55, 5.0, 0.16374499, 14.529928)
    >>> [round(float(x[0, 28]), 2) for x in (course.volume_low_l, course.volume_mid_l, course.volume_high_l)]
    [4.38, 4.55, 4.64]
    """
    whole = float(require_numbers("days", days, 0.0, BOUNDS["days"].high, "days"))
    if whole != int(whole):
        raise OutOfRange("days", days, "a whole number of days, 0 to 3650")
    length = int(whole)
    temperature, humidity = _climate(temp_c, rh_fraction)
    _, area, stave, _ = require_transport(0.5, area_m2, stave_mm, 1.0)
    leak_prior = prior_leak_g_per_day(capacity_l) if leak_median_g_per_day is None else leak_median_g_per_day
    leak_middle = _leak(leak_prior)
    k_middle = require_numbers("k_median", k_median, 0.05, 20.0, "")
    k_wide = require_numbers("k_spread", k_spread, 1.0, 4.0, "")
    leak_wide = require_numbers("leak_spread", leak_spread, 1.0, 10.0, "")
    start = _start(volume_l, abv_pct, sugar_g_l)
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
    temperature = _series("temp_c", temperature, barrels, length)
    humidity = _series("rh_fraction", humidity, barrels, length)
    guessed = np.broadcast_to(np.asarray(is_climate_guessed, dtype=bool), (barrels,))
    plan = _plan_events(events, barrels, length)
    _refuse_overdraft(plan, start)

    def column(numbers: Array) -> Array:
        return np.broadcast_to(numbers, (barrels,))[:, None]

    k_z, leak_z = (grid.ravel() for grid in np.meshgrid(_strata(_K_POINTS), _strata(_LEAK_POINTS)))
    per_area = column(area) / column(stave)
    path = np.minimum(column(k_middle) * column(k_wide) ** k_z, 20.0) * per_area
    leak = column(leak_middle) * column(leak_wide) ** leak_z
    masses, _ = _run(start, path, leak, temperature, humidity, plan, length)
    middle_path = column(k_middle) * per_area
    _, centre_empty = _run(start, middle_path, column(leak_middle), temperature, humidity, plan, length)
    # The same samples and top-ups with wood that lets nothing through: what was lost is counted from there.
    still, _ = _run(start, 0.0 * per_area, 0.0 * per_area, temperature, humidity, plan, length)
    volume, strength = _figures(masses)
    still_volume, still_strength = _figures(still)
    volume_u = 0.15 * np.abs(still_volume - volume)
    strength_u = np.hypot(0.15, 0.25) * np.abs(strength - still_strength)
    if guessed.any():
        wide = _climate_error(start, middle_path, column(leak_middle), temperature, humidity, plan, length)
        volume_u = np.where(guessed[:, None, None], np.hypot(volume_u, wide[0][..., None]), volume_u)
        strength_u = np.where(guessed[:, None, None], np.hypot(strength_u, wide[1][..., None]), strength_u)
    day = np.arange(length + 1, dtype=np.float64)
    if wood_state is not None:
        soak, mixed = _soak(day, wood_state, volume_l, abv_pct, area, stave, held_abv_pct, barrels)
        volume = np.maximum(volume - soak[..., None], EMPTY_AT_FRACTION * volume)
        volume_u = np.hypot(volume_u, SOAK_RELATIVE_U * soak[..., None])
        strength = strength * mixed[..., None]
    low, middle, high = _quantiles(volume, volume_u, still_volume[:, :1, 0] * EMPTY_AT_FRACTION)
    weak, usual, strong = _quantiles(strength, strength_u, np.zeros((barrels, 1)))
    return Trajectory(day, low, middle, high, weak, usual, np.minimum(strong, 100.0), centre_empty[..., 0])


def _refuse_overdraft(plan: _Plan, start: State) -> None:
    """Refuses samples that exceed all that was ever poured in."""
    poured = _volume_l(start)[:, 0].copy()
    for arrivals in plan.added.values():
        for barrel, masses in arrivals:
            poured[barrel] += float(_volume_l(masses))
    taken = plan.taken_l.sum(axis=0)
    if np.any(taken > poured):
        at = int(np.flatnonzero(taken > poured)[0])
        raise Inconsistent(
            "events volume_l",
            float(-taken[at]),
            f"at most the {float(poured[at]):.3f} L poured into barrel {at}",
        )


def _run(
    start: State, path: Array, leak: Array, temperature: Array, humidity: Array, plan: _Plan, days: int
) -> tuple[State, Array]:
    """Runs every course of every barrel; gives masses and emptiness, shape (barrels, days + 1, courses)."""
    state = State(*(np.broadcast_to(mass, path.shape) for mass in start))
    empty = np.zeros(path.shape, dtype=bool)
    floor = EMPTY_AT_FRACTION * sum(state)
    kept: list[State] = []
    dry: list[Array] = []
    steady = bool(np.all(temperature == temperature[:, :1]))
    at = climate_factors(temperature[:, :1])
    for day in range(days + 1):
        state, empty = _apply_events(plan, day, state, empty)
        kept.append(state)
        dry.append(empty)
        if day < days:
            if not steady:
                at = climate_factors(temperature[:, day : day + 1])
            state, empty = _advance(state, empty, floor, at, humidity[:, day : day + 1], path, leak, 1.0)
    return State(*(np.stack([one[part] for one in kept], axis=1) for part in range(3))), np.stack(dry, axis=1)


def _figures(masses: State) -> tuple[Array, Array]:
    volume = _volume_l(masses)
    return volume, _abv_pct(masses, volume)


def _climate_error(
    start: State, path: Array, leak: Array, temperature: Array, humidity: Array, plan: _Plan, days: int
) -> tuple[Array, Array]:
    """Gives what a guessed climate adds: half the change over plus and minus one standard uncertainty."""
    cellar = BOUNDS["cellar_temp_c"]
    total_volume, total_strength = np.zeros((2, path.shape[0], days + 1))
    for warmer, damper in ((GUESSED_TEMP_U_C, 0.0), (0.0, GUESSED_RH_U)):
        ends = []
        for sign in (-1.0, 1.0):
            # A shift beyond the valid climate is cut to it: this is a spread, not an input.
            shifted_t = np.clip(temperature + sign * warmer, cellar.low, cellar.high)
            shifted_rh = np.clip(humidity + sign * damper, 0.0, 1.0)
            masses, _ = _run(start, path, leak, shifted_t, shifted_rh, plan, days)
            ends.append(tuple(figure[..., 0] for figure in _figures(masses)))
        total_volume = np.hypot(total_volume, 0.5 * np.abs(ends[1][0] - ends[0][0]))
        total_strength = np.hypot(total_strength, 0.5 * np.abs(ends[1][1] - ends[0][1]))
    return total_volume, total_strength


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


def _quantiles(courses: Array, spread: Array, lowest: Array) -> tuple[Array, Array, Array]:
    """Reads the 10 %, 50 % and 90 % quantiles of equally likely courses with a normal error on each."""
    error = _strata(_ERROR_POINTS)
    found = []
    for rows, wide in zip(courses, spread, strict=True):
        cloud = rows[:, :, None] + wide[:, :, None] * error
        levels = np.quantile(
            cloud.reshape(rows.shape[0], -1), (_LOW, _MIDDLE, _HIGH), axis=-1, method="hazen"
        )
        found.append(levels)
    low, middle, high = np.moveaxis(np.stack(found), 1, 0)
    # A normal error may reach below nothing; what is in a barrel cannot.
    return np.maximum(low, lowest), np.maximum(middle, lowest), np.maximum(high, lowest)


def expected_yield_l(volume_l: ArrayLike, drain_loss_l: ArrayLike = 0.05) -> Array:
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
