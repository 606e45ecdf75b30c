"""Bottles: how many a yield fills, what is left over, and what the gap above the liquid holds.

Months to keep a bottle are quality, never safety; only the oxygen in the gap is a computed figure.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from numpy.typing import ArrayLike

from .errors import Array, Inconsistent, require_number, require_numbers, require_same_shape, unwrap
from .tables import read_rows

OXYGEN_KG_MOL = 0.031998
OXYGEN_SHARE_OF_AIR = 0.20946
GAS_CONSTANT_J_MOL_K = 8.314462618

# From these strengths a bottle keeps as a spirit, and as a mix: common practice, no source.
SPIRIT_FROM_ABV_PCT, MIX_FROM_ABV_PCT = 30.0, 20.0

# What is left above the liquid of a closed bottle. The target is the middle of the 3 to 5 % that leave room for
# expansion (common practice, no source); beyond the limit a gap misleads (27 CFR 5.46(b), numbering before 2022).
HEADSPACE_TARGET = 0.04
HEADSPACE_LIMIT = 0.08


@dataclass(frozen=True)
class BottleCount:
    """Holds the full bottles that a volume gives [count] and what is left [L]."""

    bottles: int
    remainder_l: float


def bottle_count(volume_l: float, fill_l: float, loss_l: float = 0.0) -> BottleCount:
    """Gives how many bottles a volume fills: floor((V - loss)/fill).

    Parameters
    ----------
    volume_l : float, scalar
        What there is to bottle [L].
    fill_l : float, scalar
        What goes into one bottle [L].
    loss_l : float, scalar
        What filter and hose keep [L].

    Returns
    -------
    BottleCount, scalar
        Full bottles [count] and remainder [L].

    Raises
    ------
    OutOfRange
        If a volume is negative or a fill not above zero.
    Inconsistent
        If the loss exceeds the volume.

    Notes
    -----
    A quotient a hair under a whole number by rounding is that number.

    Source
    ------
    Closed form.

    Examples
    --------
    >>> count = bottle_count(2.05, 0.375, 0.06)
    >>> count.bottles, round(count.remainder_l, 3)
    (5, 0.115)
    """
    volume = require_number("volume_l", volume_l, 0.0, 1000.0, "L")
    each = require_number("fill_l", fill_l, 0.0, 100.0, "L", above_low=True)
    loss = require_number("loss_l", loss_l, 0.0, None, "L")
    if loss > volume:
        raise Inconsistent("loss_l", loss, f"at most the volume, {volume:g} L")
    left = volume - loss
    full = math.floor(left / each + 1e-9)
    return BottleCount(full, max(left - full * each, 0.0))


def headspace_fill_ml(bottle_ml: float, headspace_fraction: float = HEADSPACE_TARGET) -> float:
    """Gives how much goes into one bottle so that a gap is left above it: bottle x (1 - H).

    Parameters
    ----------
    bottle_ml : float, scalar
        What the bottle holds up to the foot of its cork [mL].
    headspace_fraction : float, scalar
        Gap over bottle volume, 0 to 0.5 [0 to 1].

    Returns
    -------
    float, scalar
        Liquid in one bottle [mL].

    Raises
    ------
    OutOfRange
        If the bottle holds nothing, or the gap is outside its bound.

    Notes
    -----
    The usual gap of 4 % is the middle of the 3 to 5 % left for expansion. From 20 to 40 °C a spirit of 40 % vol grows
    by 1.5 %, one of 60 % vol by 1.8 %.

    Source
    ------
    Closed form; the gap is common practice, no source.

    Examples
    --------
    >>> round(headspace_fill_ml(700.0), 1)
    672.0
    """
    bottle = require_number("bottle_ml", bottle_ml, 0.0, 10_000.0, "mL", above_low=True)
    gap = require_number("headspace_fraction", headspace_fraction, 0.0, 0.5, "of the bottle")
    return bottle * (1.0 - gap)


def neck_depth_mm(headspace_ml: float, bore_mm: float) -> float:
    """Gives how far below the foot of the cork the liquid stands in a straight neck: 4000 V/(pi d^2).

    Parameters
    ----------
    headspace_ml : float, scalar
        The gap [mL].
    bore_mm : float, scalar
        Inner width of the neck, 5 to 100 [mm].

    Returns
    -------
    float, scalar
        Depth below the cork's foot [mm].

    Raises
    ------
    OutOfRange
        If the gap is below zero or the neck outside its bound.

    Notes
    -----
    True as long as the neck is straight: where it widens the liquid stands higher than this.

    Source
    ------
    Closed form: the cylinder.

    Examples
    --------
    >>> round(neck_depth_mm(10.0, 18.5), 1)
    37.2
    """
    gap = require_number("headspace_ml", headspace_ml, 0.0, 10_000.0, "mL")
    bore = require_number("bore_mm", bore_mm, 5.0, 100.0, "mm")
    return 4000.0 * gap / (math.pi * bore**2)


def headspace_oxygen_mg_l(
    headspace_fraction: ArrayLike, temp_c: ArrayLike = 20.0, pressure_kpa: ArrayLike = 101.325
) -> Array:
    """Gives the oxygen in the gap of a closed bottle per litre of liquid: 279 H/(1 - H) at 20 °C.

    Parameters
    ----------
    headspace_fraction : float or array_like, shape (n,)
        Gap over bottle volume, 0 up to 0.99 [0 to 1].
    temp_c : float or array_like, shape (n,)
        Temperature, -20 to 60 [degrees Celsius].
    pressure_kpa : float or array_like, shape (n,)
        Pressure of the air, 50 to 120 [kPa].

    Returns
    -------
    ndarray, shape (n,)
        Oxygen per litre of liquid [mg/L].

    Raises
    ------
    OutOfRange
        If an input is outside its bound.
    Inconsistent
        If the shapes do not fit each other.

    Notes
    -----
    Dry air; every opening renews it.

    Source
    ------
    Ideal gas law; 20.946 % oxygen by volume in dry air (ISO 2533:1975, Standard atmosphere).

    Examples
    --------
    >>> round(float(headspace_oxygen_mg_l(0.5)), 1)
    278.6
    """
    gap = require_numbers("headspace_fraction", headspace_fraction, 0.0, 0.99, "of the bottle")
    temperature = require_numbers("temp_c", temp_c, -20.0, 60.0, "degrees Celsius")
    pressure = require_numbers("pressure_kpa", pressure_kpa, 50.0, 120.0, "kPa")
    require_same_shape(headspace_fraction=gap, temp_c=temperature, pressure_kpa=pressure)
    moles_m3 = 1000.0 * pressure / (GAS_CONSTANT_J_MOL_K * (temperature + 273.15))
    per_litre = 1000.0 * OXYGEN_SHARE_OF_AIR * OXYGEN_KG_MOL * moles_m3
    return unwrap(per_litre * gap / (1.0 - gap))


@dataclass(frozen=True, slots=True)
class Keeping:
    """Holds how long a bottle keeps its quality [days], and whether cold; never how long it is safe."""

    days: int
    is_kept_cold: bool


def keeping_days(headspace_fraction: float, abv_pct: float, *, is_wine_based: bool = False) -> Keeping:
    """Gives how long a closed bottle keeps its quality, by how empty it is and what is in it.

    Parameters
    ----------
    headspace_fraction : float, scalar
        Gap over bottle volume, 0 to 1; up to 0.08 is a full bottle [0 to 1].
    abv_pct : float, scalar
        Strength [% vol at 20 °C].
    is_wine_based : bool, scalar
        True for vermouth, sherry and mixes built on them, however strong [1].

    Returns
    -------
    Keeping, scalar
        Days of quality from the bottling or the last opening [days].

    Raises
    ------
    OutOfRange
        If the gap is outside 0 to 1 or the strength outside 0 to 100 % vol.

    Notes
    -----
    A label says "best before (quality)", never "safe until". Dairy, egg and juice are no part of it.

    Source
    ------
    Table ``keeping``: 27 CFR 5.46(b) for the full bottle; the days are common practice, no source.

    Examples
    --------
    >>> keeping_days(0.05, 45.0).days, keeping_days(0.4, 17.0, is_wine_based=True)
    (720, Keeping(days=14, is_kept_cold=True))
    """
    gap = require_number("headspace_fraction", headspace_fraction, 0.0, 1.0, "of the bottle")
    strength = require_number("abv_pct", abv_pct, 0.0, 100.0, "% vol")
    is_cold = is_wine_based or strength < MIX_FROM_ABV_PCT
    group = "wine_days" if is_cold else "spirit_days" if strength >= SPIRIT_FROM_ABV_PCT else "mix_days"
    row = next(row for row in read_rows("keeping") if gap <= float(row["up_to_headspace"]))
    return Keeping(int(row[group]), is_cold)
