"""Water, ethanol and sugar in a barrel as masses, and one step of time.

dm_w/dt = -(E_w + leak (1 - p)), dm_e/dt = -(E_e + leak p), p = m_e/(m_w + m_e); a leak takes liquid as it is,
so it does not change the strength. Runge-Kutta of fourth order.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .alcoholometry import density_kg_m3, ethanol_density_kg_m3
from .blending import SUGAR_ROOM_L_KG, Part, masses_of
from .errors import Array, require_numbers, unwrap
from .evaporation import ETHANOL_PERMEABILITY, WATER_PERMEABILITY, ClimateFactors, pressures_of
from .vocabulary import BOUNDS

Flags = NDArray[np.bool_]

EMPTY_AT_FRACTION = 0.01
# The prior of what is not known of a barrel: geometric spreads of k and of the leak, median leak at 1 L.
K_SPREAD = 1.6
LEAK_SPREAD = 4.0
LEAK_MEDIAN_G_PER_DAY_AT_1_L = 0.15
# How sure the model is of the drift in strength: a share of the drift, and of what evaporated ethanol does to it. The
# second is ln 1.34, the spread of ethanol's permeability over water's; where the air is near the turning humidity the
# drift is small and its error is not.
DRIFT_SHARE, ETHANOL_SHARE = 0.25, 0.29


class State(NamedTuple):
    """Holds the masses of water, ethanol and sugar in each barrel [g]."""

    water_g: Array
    ethanol_g: Array
    sugar_g: Array


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


def advance(
    state: State,
    empty: Flags,
    floor_g: Array,
    at: ClimateFactors,
    rh: Array,
    path: Array,
    leak: Array,
    days: float,
) -> tuple[State, Flags]:
    """Takes one step and freezes barrels that have run down to their floor."""
    moved = _step(state, at, rh, path, leak, days)
    ran_dry = (total_g(moved) <= floor_g) | (moved.water_g < 0.0) | (moved.ethanol_g < 0.0)
    frozen = empty | ran_dry
    kept = State(*(np.where(frozen, old, new) for old, new in zip(state, moved, strict=True)))
    return kept, frozen


def total_g(state: State) -> Array:
    """Gives water, ethanol and sugar together [g]."""
    return state.water_g + state.ethanol_g + state.sugar_g


def volume_of_l(state: State) -> Array:
    """Gives the volume that the masses make [L at 20 °C]."""
    both = state.water_g + state.ethanol_g
    fraction = np.where(both > 0, state.ethanol_g / np.where(both > 0, both, 1.0), 0.0)
    return both / np.asarray(density_kg_m3(fraction, 20.0)) + SUGAR_ROOM_L_KG * state.sugar_g / 1000.0


def strength_of_pct(state: State, volume_l: Array) -> Array:
    """Gives the strength of the masses in a volume [% vol at 20 °C]."""
    full = np.where(volume_l > 0, volume_l, 1.0)
    return np.where(volume_l > 0, 100.0 * state.ethanol_g / (ethanol_density_kg_m3() * full), 0.0)


def selectivity_u_pct(state: State, still: State, leaked_g: Array) -> Array:
    """Gives how unsure the strength is for not knowing how wood tells ethanol from water [% vol].

    The larger of 0.25 of the drift and 0.29 of what the evaporated ethanol has taken off the strength. ``still`` is the
    same barrel in wood that lets nothing through, ``leaked_g`` what has leaked, strength-neutral, meanwhile.
    """
    volume = volume_of_l(state)
    strength = strength_of_pct(state, volume)
    drift = np.abs(strength - strength_of_pct(still, volume_of_l(still)))
    both, both_still = (one.water_g + one.ethanol_g for one in (state, still))
    mean_share = 0.5 * (state.ethanol_g / both + still.ethanol_g / both_still)
    leaked = leaked_g / (1.0 + state.sugar_g / both)
    gone = np.maximum(still.ethanol_g - state.ethanol_g - mean_share * leaked, 0.0)
    richer = State(state.water_g, state.ethanol_g + gone, state.sugar_g)
    taken_off = strength_of_pct(richer, volume_of_l(richer)) - strength
    return np.maximum(DRIFT_SHARE * drift, ETHANOL_SHARE * taken_off)


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
    return unwrap(LEAK_MEDIAN_G_PER_DAY_AT_1_L * np.cbrt(capacity))


def start_of(volume_l: ArrayLike, abv_pct: ArrayLike, sugar_g_l: ArrayLike) -> State:
    """Gives the masses of a fill.

    Parameters
    ----------
    volume_l : float or array_like, shape (n,)
        Volume, above zero [L at 20 °C].
    abv_pct : float or array_like, shape (n,)
        Strength, up to 96 [% vol at 20 °C].
    sugar_g_l : float or array_like, shape (n,)
        Dissolved sugar [g/L].

    Returns
    -------
    State, each shape (n,)
        Water, ethanol and sugar [g].

    Raises
    ------
    OutOfRange
        If an input is outside its bound.
    Inconsistent
        If strength and sugar leave no room for water.

    Source
    ------
    As ``blending.masses_of``.

    Examples
    --------
    >>> [round(float(mass)) for mass in start_of(1.0, 60.0, 0.0)]
    [436, 474, 0]
    """
    require_numbers("abv_pct", abv_pct, 0.0, 96.0, "% vol")
    require_numbers("volume_l", volume_l, 0.0, BOUNDS["volume_l"].high, "L", above_low=True)
    ethanol, water, sugar, _ = masses_of(Part(volume_l, abv_pct, sugar_g_l))
    return State(1000.0 * water, 1000.0 * ethanol, 1000.0 * sugar)
