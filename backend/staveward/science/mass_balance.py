"""Water, ethanol and sugar in a barrel as masses, and one step of time.

dm_w/dt = -(E_w + leak (1 - p)), dm_e/dt = -(E_e + leak p), p = m_e/(m_w + m_e); a leak takes liquid as it is,
so it does not change the strength. Runge-Kutta of fourth order.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .alcoholometry import density_kg_m3, ethanol_density_kg_m3
from .blending import SUGAR_ROOM_L_KG
from .errors import Array
from .evaporation import ETHANOL_PERMEABILITY, WATER_PERMEABILITY, ClimateFactors, pressures_of

Flags = NDArray[np.bool_]

EMPTY_AT_FRACTION = 0.01


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
