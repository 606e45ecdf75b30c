"""A barrel held in water between fills: where the level is now and when to top it up.

A wet hold is ageing with no spirit: water leaves at a steady rate in a steady climate. The headline of a hold
is the days since its water was changed; level and top-up day stand beside it, as ranges, since a barrel's
multiplier and leak are not known.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from .blending import WATER_KG_L
from .errors import Array, Inconsistent, require_number, require_numbers, require_same_shape
from .evaporation import WATER_PERMEABILITY, require_transport, vapour_pressure_water_kpa
from .geometry import BarrelShape
from .mass_balance import K_SPREAD, LEAK_SPREAD, prior_leak_g_per_day
from .sulphite import (
    DEFAULT_CITRIC_G_L,
    DEFAULT_METABISULPHITE_G_L,
    SO2_PER_METABISULPHITE,
    SULPHUROUS_PKA,
    HoldingSolution,
    active_so2_share,
    holding_solution,
    so2_carried_mg_l,
)
from .vocabulary import BOUNDS, HOLD_LOWEST_FRACTION, HOLD_TARGET_FRACTION, HOLD_TOP_UP_FRACTION

__all__ = [
    "DEFAULT_CITRIC_G_L",
    "DEFAULT_METABISULPHITE_G_L",
    "SO2_PER_METABISULPHITE",
    "SULPHUROUS_PKA",
    "HoldingSolution",
    "TopUpDue",
    "WaterLevel",
    "active_so2_share",
    "half_mark_cm",
    "holding_solution",
    "lowest_mark_cm",
    "so2_carried_mg_l",
    "top_up_due",
    "water_level_now",
]

_POINTS_K, _POINTS_LEAK = 25, 15


@dataclass(frozen=True)
class WaterLevel:
    """Holds the water in each hold now, with the band that holds 80 % of cases.

    Volumes [L], fractions of the capacity [0 to 1], each shape (n,). The low volume is the pessimistic one.
    ``needs_top_up`` is true where even the middle course is under 45 %, ``may_need_top_up`` where the low one is.
    """

    volume_low_l: Array
    volume_mid_l: Array
    volume_high_l: Array
    fraction_low: Array
    fraction_mid: Array
    fraction_high: Array
    needs_top_up: Array
    may_need_top_up: Array


@dataclass(frozen=True)
class TopUpDue:
    """Holds in how many days after its last known level a hold falls to the top-up mark [days].

    Infinite where it does not fall at all; ``earliest_days`` is the pessimistic end of the 80 % band.
    """

    earliest_days: Array
    middle_days: Array
    latest_days: Array


def _water_out_l_per_day(
    temp_c: ArrayLike, rh_fraction: ArrayLike, area_m2: ArrayLike, stave_mm: ArrayLike, days: Array
) -> Array:
    """Gives water leaving through the wood at k = 1, averaged over a series of days where one is given."""
    cellar = BOUNDS["cellar_temp_c"]
    temperature = require_numbers("temp_c", temp_c, cellar.low, cellar.high, cellar.unit)
    humidity, area, stave, _ = require_transport(rh_fraction, area_m2, stave_mm, 1.0)
    require_same_shape(temp_c=temperature, rh_fraction=humidity)
    drive = np.asarray(vapour_pressure_water_kpa(temperature)) * (1.0 - humidity)
    if drive.ndim == 2:
        if np.any(days > drive.shape[1]):
            raise Inconsistent(
                "days", float(np.max(days)), f"at most the {drive.shape[1]} days of climate given"
            )
        counted = (
            np.arange(drive.shape[1])
            < np.maximum(np.ceil(np.broadcast_to(days, drive.shape[:1])), 1)[:, None]
        )
        drive = np.sum(drive * counted, axis=1) / counted.sum(axis=1)
    require_same_shape(temp_c=drive, area_m2=area, stave_mm=stave)
    return WATER_PERMEABILITY * area / stave * drive / 1000.0 / WATER_KG_L


def _rate_quantiles(out_l: Array, capacity_l: Array, k_spread: ArrayLike, leak_spread: ArrayLike) -> Array:
    """Gives 10 %, 50 % and 90 % quantiles of the water lost per day over the prior of k and leak [L/day]."""
    from scipy.special import ndtri

    k_wide = require_number("k_spread", k_spread, 1.0, 4.0, "")
    leak_wide = require_number("leak_spread", leak_spread, 1.0, 10.0, "")
    k = k_wide ** ndtri((np.arange(_POINTS_K) + 0.5) / _POINTS_K)
    leak = leak_wide ** ndtri((np.arange(_POINTS_LEAK) + 0.5) / _POINTS_LEAK)
    dripped = np.asarray(prior_leak_g_per_day(capacity_l)) / 1000.0 / WATER_KG_L
    cloud = out_l[..., None, None] * k[:, None] + dripped[..., None, None] * leak
    return np.quantile(cloud.reshape(*cloud.shape[:-2], -1), (0.1, 0.5, 0.9), axis=-1, method="hazen")


def _checked_level(volume_l: ArrayLike, capacity_l: ArrayLike) -> tuple[Array, Array]:
    size = BOUNDS["capacity_l"]
    capacity = require_numbers("capacity_l", capacity_l, size.low, size.high, size.unit)
    volume = require_numbers("volume_l", volume_l, 0.0, None, "L")
    require_same_shape(volume_l=volume, capacity_l=capacity)
    over = np.broadcast_to(volume > 1.1 * capacity, np.broadcast_shapes(volume.shape, capacity.shape))
    if over.any():
        shown = float(np.broadcast_to(volume, over.shape)[over].flat[0])
        raise Inconsistent("volume_l", shown, "at most 1.1 of the barrel's capacity")
    return volume, capacity


def water_level_now(
    volume_l: ArrayLike,
    days: ArrayLike,
    temp_c: ArrayLike,
    rh_fraction: ArrayLike,
    capacity_l: ArrayLike,
    area_m2: ArrayLike,
    stave_mm: ArrayLike,
    *,
    k_spread: float = K_SPREAD,
    leak_spread: float = LEAK_SPREAD,
) -> WaterLevel:
    """Gives the water left in each hold, some days after its level was last known.

    V = V0 - days (k 600 (A/L) Psat (1 - RH) + leak)/998.2, over the prior of k and leak.

    Parameters
    ----------
    volume_l : float or array_like, shape (n,)
        Water when last known: filled, topped up or dipped [L].
    days : float or array_like, shape (n,)
        Days since then [days].
    temp_c : float or array_like, scalar, shape (n,) or shape (n, days)
        Daily mean temperature, 0 to 45 [degrees Celsius].
    rh_fraction : float or array_like, scalar, shape (n,) or shape (n, days)
        Daily mean relative humidity [0 to 1, not percent].
    capacity_l : float or array_like, shape (n,)
        Capacity [L].
    area_m2, stave_mm : float or array_like, shape (n,)
        Inner wood [m2] and mean stave thickness [mm].
    k_spread, leak_spread : float, scalar
        Geometric spreads of the prior [1].

    Returns
    -------
    WaterLevel, each shape (n,)
        Volume [L], fraction of the capacity [0 to 1] and whether to top up [1].

    Raises
    ------
    OutOfRange
        If an input is outside its bound.
    Inconsistent
        If shapes do not fit, the climate is shorter than the days, or a volume exceeds 1.1 of the capacity.

    Notes
    -----
    The few grams of spirit some put in for scent are not counted. In air at 100 % only the leak remains.

    Source
    ------
    Fick's law with the sources of ``evaporation``.

    Examples
    --------
    >>> level = water_level_now(2.5, 28, 20.0, 0.5, 5.0, 0.16374499, 14.529928)
    >>> [round(float(x), 2) for x in (level.volume_low_l, level.volume_mid_l, level.volume_high_l)]
    [2.08, 2.26, 2.37]
    """
    volume, capacity = _checked_level(volume_l, capacity_l)
    time = require_numbers("days", days, 0.0, BOUNDS["days"].high, "days")
    out = np.asarray(_water_out_l_per_day(temp_c, rh_fraction, area_m2, stave_mm, time))
    shape = require_same_shape(volume_l=volume, capacity_l=capacity, days=time, area_m2=out)
    slow, usual, fast = _rate_quantiles(
        np.broadcast_to(out, shape), np.broadcast_to(capacity, shape), k_spread, leak_spread
    )
    # A barrel cannot hold less than nothing: a rate that would empty it earlier has emptied it.
    low, middle, high = (np.maximum(volume - time * rate, 0.0) for rate in (fast, usual, slow))
    return WaterLevel(
        low[()],
        middle[()],
        high[()],
        (low / capacity)[()],
        (middle / capacity)[()],
        (high / capacity)[()],
        (middle < HOLD_TOP_UP_FRACTION * capacity)[()],
        (low < HOLD_TOP_UP_FRACTION * capacity)[()],
    )


def top_up_due(
    volume_l: ArrayLike,
    temp_c: ArrayLike,
    rh_fraction: ArrayLike,
    capacity_l: ArrayLike,
    area_m2: ArrayLike,
    stave_mm: ArrayLike,
    *,
    at_fraction: float = HOLD_TOP_UP_FRACTION,
    k_spread: float = K_SPREAD,
    leak_spread: float = LEAK_SPREAD,
) -> TopUpDue:
    """Gives in how many days each hold falls to the mark at which it wants water.

    days = (V0 - fraction V_cap)/rate, over the prior of k and leak.

    Parameters
    ----------
    volume_l : float or array_like, shape (n,)
        Water when last known [L].
    temp_c : float or array_like, shape (n,)
        Mean temperature expected, 0 to 45 [degrees Celsius].
    rh_fraction : float or array_like, shape (n,)
        Mean relative humidity expected [0 to 1, not percent].
    capacity_l : float or array_like, shape (n,)
        Capacity [L].
    area_m2, stave_mm : float or array_like, shape (n,)
        Inner wood [m2] and mean stave thickness [mm].
    at_fraction : float, scalar
        The mark; 0.45 by default, and 1/3 is the lowest ever [of the capacity].
    k_spread, leak_spread : float, scalar
        Geometric spreads of the prior [1].

    Returns
    -------
    TopUpDue, each shape (n,)
        Earliest, middle and latest, 0 when it is already due [days].

    Raises
    ------
    OutOfRange
        If an input is outside its bound.
    Inconsistent
        If shapes do not fit or a volume exceeds 1.1 of the capacity.

    Source
    ------
    Fick's law with the sources of ``evaporation``; the marks are design values of this project.

    Examples
    --------
    >>> due = top_up_due(2.5, 20.0, 0.5, 5.0, 0.16374499, 14.529928)
    >>> [round(float(x)) for x in (due.earliest_days, due.middle_days, due.latest_days)]
    [17, 29, 52]
    """
    volume, capacity = _checked_level(volume_l, capacity_l)
    mark = require_number("at_fraction", at_fraction, 0.0, 1.0, "of the capacity")
    out = np.asarray(_water_out_l_per_day(temp_c, rh_fraction, area_m2, stave_mm, np.asarray(0.0)))
    shape = require_same_shape(volume_l=volume, capacity_l=capacity, area_m2=out)
    slow, usual, fast = _rate_quantiles(
        np.broadcast_to(out, shape), np.broadcast_to(capacity, shape), k_spread, leak_spread
    )
    spare = np.maximum(volume - mark * capacity, 0.0)
    return TopUpDue(*((spare / rate)[()] for rate in (fast, usual, slow)))


def half_mark_cm(shape: BarrelShape) -> float:
    """Gives the dip at the bung that marks half of the capacity, the usual water of a hold.

    Parameters
    ----------
    shape : BarrelShape, scalar
        The barrel's inside [cm].

    Returns
    -------
    float, scalar
        Wet depth at the bung of the lying barrel [cm].

    Source
    ------
    Closed form: by symmetry, half of the bung diameter.

    Examples
    --------
    >>> round(half_mark_cm(BarrelShape(12.0, 14.2, 15.8)), 6)
    7.1
    """
    return float(shape.dip_at_volume_cm(HOLD_TARGET_FRACTION * shape.capacity_l))


def lowest_mark_cm(shape: BarrelShape) -> float:
    """Gives the dip at a third of the capacity, below which a roll no longer wets all the wood in three rests.

    Parameters
    ----------
    shape : BarrelShape, scalar
        The barrel's inside [cm].

    Returns
    -------
    float, scalar
        Wet depth at the bung of the lying barrel [cm].

    Source
    ------
    Design value of this project; closed form for the wet arc.

    Examples
    --------
    >>> round(lowest_mark_cm(BarrelShape(12.0, 14.2, 15.8)), 2)
    5.31
    """
    return float(shape.dip_at_volume_cm(HOLD_LOWEST_FRACTION * shape.capacity_l))
