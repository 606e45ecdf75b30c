"""A barrel whose multiplier and leak are known: one course, in one climate or in several, without bands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from .errors import Array, require_number, require_numbers, require_same_shape, unwrap
from .evaporation import climate_factors, require_transport
from .mass_balance import (
    EMPTY_AT_FRACTION,
    Flags,
    State,
    advance,
    start_of,
    strength_of_pct,
    total_g,
    volume_of_l,
)
from .vocabulary import BOUNDS


@dataclass(frozen=True)
class Contents:
    """Holds what is in each barrel: masses [g], volume [L at 20 °C], strength [% vol at 20 °C]."""

    water_g: Array
    ethanol_g: Array
    sugar_g: Array
    volume_l: Array
    abv_pct: Array
    is_empty: Flags


def require_climate(temp_c: ArrayLike, rh_fraction: ArrayLike) -> tuple[Array, Array]:
    """Checks a cellar's climate and gives it as arrays.

    Parameters
    ----------
    temp_c : float or array_like, any shape
        Temperature, 0 to 45 [degrees Celsius].
    rh_fraction : float or array_like, any shape
        Relative humidity [0 to 1, not percent].

    Returns
    -------
    tuple of ndarray, same shapes
        Temperature [degrees Celsius] and humidity [0 to 1].

    Raises
    ------
    OutOfRange
        If one is outside its bound; humidity above 1 is refused, never divided by 100.

    Source
    ------
    Common practice, no source (bounds of the fit's validity).

    Examples
    --------
    >>> [float(x) for x in require_climate(15, 0.7)]
    [15.0, 0.7]
    """
    cellar, humid = BOUNDS["cellar_temp_c"], BOUNDS["rh_fraction"]
    return (
        require_numbers("temp_c", temp_c, cellar.low, cellar.high, cellar.unit),
        require_numbers("rh_fraction", rh_fraction, humid.low, humid.high, humid.unit),
    )


def require_leak(leak_g_per_day: ArrayLike, argument: str = "leak_g_per_day") -> Array:
    """Checks a leak and gives it as an array.

    Parameters
    ----------
    leak_g_per_day : float or array_like, any shape
        Liquid that leaks, 0 to 500 [g/day].
    argument : str, scalar
        Name of the argument, for the message [text].

    Returns
    -------
    ndarray, same shape
        The leak [g/day].

    Raises
    ------
    OutOfRange
        If it is outside its bound.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(require_leak(0.25))
    0.25
    """
    return require_numbers(argument, leak_g_per_day, 0.0, 500.0, "g/day")


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
    volume_l, abv_pct : float or array_like, shape (n,)
        As in ``simulate`` [L, % vol].
    segments : sequence of (days, temp_c, rh_fraction), shape (n_segments, 3)
        Climates in order [days, °C, 0 to 1].
    area_m2, stave_mm, k, leak_g_per_day, sugar_g_l : float or array_like, shape (n,)
        As in ``simulate`` [m2, mm, 1, g/day, g/L].

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
    state = start_of(volume_l, abv_pct, sugar_g_l)
    leak = require_leak(leak_g_per_day)
    shape: tuple[int, ...] = state.water_g.shape
    checked = []
    for days, temp_c, rh_fraction in segments:
        time = require_number("days", days, 0.0, BOUNDS["days"].high, "days")
        temperature, _ = require_climate(temp_c, rh_fraction)
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
    floor = EMPTY_AT_FRACTION * total_g(state)
    for time, temperature, humidity, path in checked:
        steps = int(np.ceil(time - 1e-12))
        at = climate_factors(temperature)
        for _ in range(steps):
            state, empty = advance(state, empty, floor, at, humidity, path, leak, time / steps)
    volume = volume_of_l(state)
    return Contents(
        unwrap(state.water_g),
        unwrap(state.ethanol_g),
        unwrap(state.sugar_g),
        unwrap(volume),
        unwrap(strength_of_pct(state, volume)),
        empty,
    )
