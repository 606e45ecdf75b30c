"""What the wood drinks and keeps: soaking after a fill, held liquid, and how that mixes with the next fill.

Figures follow from inner area and stave thickness; the shares per state of the wood are working assumptions
with a spread of 1.4.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from .errors import Array, require_choice, require_number, require_numbers, require_same_shape, unwrap
from .vocabulary import BOUNDS, WoodState

# Share of full soaking that wood in this state still takes (working assumptions, spread 1.4).
SOAK_SHARE = {WoodState.DRY: 1.0, WoodState.STORED_DRY: 0.7, WoodState.CURED: 0.25, WoodState.WET: 0.10}
# One standard deviation up or down, as a factor.
SOAK_SPREAD = 1.4
DRAIN_LOSS_L = 0.05
_EXCHANGEABLE = 0.6


def _wood(area_m2: ArrayLike, stave_mm: ArrayLike) -> tuple[Array, Array]:
    area, stave = BOUNDS["area_m2"], BOUNDS["stave_mm"]
    return (
        require_numbers("area_m2", area_m2, area.low, area.high, area.unit),
        require_numbers("stave_mm", stave_mm, stave.low, stave.high, stave.unit),
    )


def require_wood(area_m2: float, stave_mm: float) -> tuple[float, float]:
    """Checks the wood of one barrel and gives it as two numbers.

    Parameters
    ----------
    area_m2 : float, scalar
        Inner wood, staves and heads, 0.02 to 6 [m2].
    stave_mm : float, scalar
        Mean stave thickness, 5 to 60 [mm].

    Returns
    -------
    tuple of float, shape (2,)
        Area [m2] and thickness [mm].

    Raises
    ------
    OutOfRange
        If one is outside its bound.
    Inconsistent
        If one holds many values: this is one barrel.

    Source
    ------
    Common practice, no source (bounds of the fit's validity).

    Examples
    --------
    >>> require_wood(0.164, 14.5)
    (0.164, 14.5)
    """
    area, stave = BOUNDS["area_m2"], BOUNDS["stave_mm"]
    return (
        require_number("area_m2", area_m2, area.low, area.high, area.unit),
        require_number("stave_mm", stave_mm, stave.low, stave.high, stave.unit),
    )


def held_l(area_m2: ArrayLike, stave_mm: ArrayLike) -> Array:
    """Gives the liquid that saturated wood holds: A (1.5 + 0.09 L).

    Parameters
    ----------
    area_m2 : float or array_like, shape (n,)
        Inner wood, staves and heads [m2].
    stave_mm : float or array_like, shape (n,)
        Mean stave thickness [mm].

    Returns
    -------
    ndarray, shape (n,)
        Held liquid [L].

    Raises
    ------
    OutOfRange
        If the area is outside 0.02 to 6 m2 or the stave outside 5 to 60 mm.
    Inconsistent
        If the shapes do not fit each other.

    Source
    ------
    Working assumption checked against a sherry butt's 15 L (Sherry regulatory council, The impact of wine on the wood).

    Examples
    --------
    >>> round(float(held_l(0.16374499, 14.529928)), 6)
    0.459746
    """
    area, stave = _wood(area_m2, stave_mm)
    require_same_shape(area_m2=area, stave_mm=stave)
    return unwrap(area * (1.5 + 0.09 * stave))


def soaked_l(days: ArrayLike, area_m2: ArrayLike, stave_mm: ArrayLike, wood_state: str) -> Array:
    """Gives what the wood has drunk since it was filled.

    soak = w A [1.5 (1 - exp(-t)) + 0.09 L min(1, sqrt(t/100))], t in days.

    Parameters
    ----------
    days : float or array_like, shape (n,)
        Days since filling [days].
    area_m2 : float or array_like, shape (n,)
        Inner wood, staves and heads [m2].
    stave_mm : float or array_like, shape (n,)
        Mean stave thickness [mm].
    wood_state : str, scalar
        How thirsty the wood was [a WoodState].

    Returns
    -------
    ndarray, shape (n,)
        Liquid taken up [L].

    Raises
    ------
    OutOfRange
        If days are negative, wood is out of bounds or the state is unknown.
    Inconsistent
        If the shapes do not fit each other.

    Notes
    -----
    Geometric spread 1.4.

    Source
    ------
    Roussey et al., J. Food Eng. 291 (2021) 110233 (plateau near 100 days); about 2 % of a cask within 48 h is
    trade lore (common practice, no source).

    Examples
    --------
    >>> round(float(soaked_l(28, 0.16374499, 14.529928, "cured")), 6)
    0.089731
    """
    time = require_numbers("days", days, 0.0, BOUNDS["days"].high, "days")
    area, stave = _wood(area_m2, stave_mm)
    share = SOAK_SHARE[WoodState(require_choice("wood_state", wood_state, list(WoodState)))]
    require_same_shape(days=time, area_m2=area, stave_mm=stave)
    fast = 1.5 * (1.0 - np.exp(-time))
    slow = 0.09 * stave * np.minimum(1.0, np.sqrt(time / 100.0))
    return unwrap(share * area * (fast + slow))


def mixed_strength_pct(
    volume_l: ArrayLike,
    abv_pct: ArrayLike,
    area_m2: ArrayLike,
    stave_mm: ArrayLike,
    held_abv_pct: ArrayLike,
    days: ArrayLike,
) -> Array:
    """Gives the strength of a fill once it has mixed with what the wood already held.

    q = (V q + Vx q_held)/(V + Vx), Vx = 0.6 H (1 - exp(-t/4)).

    Parameters
    ----------
    volume_l : float or array_like, shape (n,)
        Volume poured in, above zero [L at 20 °C].
    abv_pct : float or array_like, shape (n,)
        Strength poured in [% vol at 20 °C].
    area_m2 : float or array_like, shape (n,)
        Inner wood, staves and heads [m2].
    stave_mm : float or array_like, shape (n,)
        Mean stave thickness [mm].
    held_abv_pct : float or array_like, shape (n,)
        Strength of what the wood holds, 0 after water [% vol at 20 °C].
    days : float or array_like, shape (n,)
        Days since filling [days].

    Returns
    -------
    ndarray, shape (n,)
        Strength [% vol at 20 °C].

    Raises
    ------
    OutOfRange
        If an input is outside its bound.
    Inconsistent
        If the shapes do not fit each other.

    Notes
    -----
    Volumes are added; contraction stays below 0.2 % vol. The exchangeable share is 0.6, between 0.4 and 0.8.

    Source
    ------
    Working assumption; the early dip is seen in Schoeneman, Dyer and Earl, JAOAC 54 (1971) 1247-1261.

    Examples
    --------
    >>> round(float(mixed_strength_pct(5.0, 60.0, 0.16374499, 14.529928, 0.0, 28)), 4)
    56.8656
    """
    volume = require_numbers("volume_l", volume_l, 0.0, None, "L", above_low=True)
    strength = require_numbers("abv_pct", abv_pct, 0.0, 100.0, "% vol")
    before = require_numbers("held_abv_pct", held_abv_pct, 0.0, 100.0, "% vol")
    time = require_numbers("days", days, 0.0, BOUNDS["days"].high, "days")
    held = np.asarray(held_l(area_m2, stave_mm))
    require_same_shape(volume_l=volume, abv_pct=strength, area_m2=held, held_abv_pct=before, days=time)
    swapped = _EXCHANGEABLE * held * (1.0 - np.exp(-time / 4.0))
    return unwrap((volume * strength + swapped * before) / (volume + swapped))
