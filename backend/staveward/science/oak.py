"""The oak index: how much colour, tannin and vanilla a fill takes up.

It is counted in equivalent months in a new standard 200 L barrel at 15 degrees Celsius and 55 % vol. It is a
measure of extraction and never of age: small barrels turn woody before they turn mellow.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from .errors import Array, require_number, require_numbers, require_same_shape, unwrap
from .vocabulary import BOUNDS, OakStrength

DAYS_A_MONTH = 30.4375
# Inner wood per volume of the 200 L barrel that the oak index is counted in [m2/m3]: by the usual-area rule,
# and by geometry. A barrel's own area must be compared with the one from the same rule.
REFERENCE_AREA_BY_RULE_M2_M3 = 9.575866
REFERENCE_AREA_BY_GEOMETRY_M2_M3 = 8.950


@dataclass(frozen=True)
class OakIndex:
    """Holds the oak index as a range [equivalent months in a new 200 L barrel]; never an age."""

    low_months: Array
    typical_months: Array
    high_months: Array


def wood_factor(wood_used: ArrayLike) -> Array:
    """Gives how strongly used wood still gives: 0.10 + 0.90 exp(-1.6 U).

    Parameters
    ----------
    wood_used : float or array_like, shape (n,)
        Share of the wood's life used before this fill [1].

    Returns
    -------
    ndarray, shape (n,)
        Factor against new wood [0.1 to 1].

    Raises
    ------
    OutOfRange
        If a share is negative.

    Source
    ------
    Fitted to the decline by fill told in Cask life and fillings, Whisky Magazine 94 (2011).

    Examples
    --------
    >>> round(float(wood_factor(1.0)), 3)
    0.282
    """
    share = require_numbers("wood_used", wood_used, 0.0, None, "")
    return unwrap(0.10 + 0.90 * np.exp(-1.6 * share))


def strength_factor(abv_pct: ArrayLike) -> Array:
    """Gives how strongly a liquid extracts: max(0.5, 1 - 0.00025 (q - 55)^2).

    Parameters
    ----------
    abv_pct : float or array_like, shape (n,)
        Strength [% vol at 20 °C].

    Returns
    -------
    ndarray, shape (n,)
        Factor against 55 % vol [0.5 to 1].

    Raises
    ------
    OutOfRange
        If a strength is outside 0 to 100 % vol.

    Source
    ------
    Working assumption; solvents of 40 to 72 % vol in Am. J. Enol. Vitic. 35 (1984) 77.

    Examples
    --------
    >>> float(strength_factor(20.0))
    0.69375
    """
    strength = require_numbers("abv_pct", abv_pct, 0.0, 100.0, "% vol")
    return unwrap(np.maximum(0.5, 1.0 - 0.00025 * (strength - 55.0) ** 2))


def oak_index_months(
    days: ArrayLike,
    volume_l: ArrayLike,
    area_m2: ArrayLike,
    abv_pct: ArrayLike,
    temp_c: ArrayLike,
    wood_used: ArrayLike = 0.0,
    exponent: float = 0.5,
    toast: float = 1.0,
    reference_area_m2_m3: float = REFERENCE_AREA_BY_RULE_M2_M3,
) -> Array:
    """Gives the oak index for one exponent of the time law.

    OI = (days/30.4375) 1.5^((t-15)/10) (r f_S f_W f_toast)^(1/n), r = (A/V)/reference.

    Parameters
    ----------
    days : float or array_like, shape (n,)
        Days in the wood [days].
    volume_l : float or array_like, shape (n,)
        Liquid at fill, above zero [L].
    area_m2 : float or array_like, shape (n,)
        Inner wood, staves and heads [m2].
    abv_pct : float or array_like, shape (n,)
        Strength [% vol at 20 °C].
    temp_c : float or array_like, shape (n,)
        Mean temperature, 0 to 45 [degrees Celsius].
    wood_used : float or array_like, shape (n,)
        Share of the wood's life used before this fill [1].
    exponent : float, scalar
        n of the time law, 0.4 to 0.7 [1].
    toast : float, scalar
        Factor of the toast, 0.8 to 1.2 [1].
    reference_area_m2_m3 : float, scalar
        Area over volume of the 200 L barrel by the same rule as the barrel's own area [m2/m3].

    Returns
    -------
    ndarray, shape (n,)
        Oak index [equivalent months in a new 200 L barrel at 15 °C and 55 % vol].

    Raises
    ------
    OutOfRange
        If an input is outside its bound.
    Inconsistent
        If the shapes do not fit each other.

    Notes
    -----
    A factor 2 either way. Extraction only: oxidation follows the calendar. Never sum it over fills, never put
    it on a label, never call it age.

    Source
    ------
    Form after Kadim and Mannheim, Am. J. Enol. Vitic. 50 (1999) 33-39, and Trillo Ollero et al. (2024); constants
    are working assumptions.

    Examples
    --------
    >>> round(float(oak_index_months(28, 5.0, 0.16374499, 60.0, 20.0)), 4)
    13.0133
    """
    cellar = BOUNDS["cellar_temp_c"]
    time = require_numbers("days", days, 0.0, BOUNDS["days"].high, "days")
    volume = require_numbers("volume_l", volume_l, 0.0, None, "L", above_low=True)
    area = require_numbers("area_m2", area_m2, BOUNDS["area_m2"].low, BOUNDS["area_m2"].high, "m2")
    temperature = require_numbers("temp_c", temp_c, cellar.low, cellar.high, cellar.unit)
    power = require_number("exponent", exponent, 0.4, 0.7, "")
    toasted = require_number("toast", toast, 0.8, 1.2, "")
    reference = require_number("reference_area_m2_m3", reference_area_m2_m3, 5.0, 15.0, "m2/m3")
    by_strength, by_wood = np.asarray(strength_factor(abv_pct)), np.asarray(wood_factor(wood_used))
    require_same_shape(
        days=time, volume_l=volume, area_m2=area, abv_pct=by_strength, temp_c=temperature, wood_used=by_wood
    )
    ratio = area / (volume / 1000.0) / reference
    warm = 1.5 ** ((temperature - 15.0) / 10.0)
    return unwrap(time / DAYS_A_MONTH * warm * (ratio * by_strength * by_wood * toasted) ** (1.0 / power))


def oak_index(
    days: ArrayLike,
    volume_l: ArrayLike,
    area_m2: ArrayLike,
    abv_pct: ArrayLike,
    temp_c: ArrayLike,
    wood_used: ArrayLike = 0.0,
    toast: float = 1.0,
    reference_area_m2_m3: float = REFERENCE_AREA_BY_RULE_M2_M3,
) -> OakIndex:
    """Gives the oak index as a range, from the time law's exponent 0.7 (low), 0.5 and 0.4 (high).

    Parameters
    ----------
    days, volume_l, area_m2, abv_pct, temp_c, wood_used : float or array_like, shape (n,)
        As in ``oak_index_months`` [days, L, m2, % vol, °C, 1].
    toast : float, scalar
        Factor of the toast, 0.8 to 1.2 [1].
    reference_area_m2_m3 : float, scalar
        Area over volume of the 200 L barrel by the same rule as the barrel's own area [m2/m3].

    Returns
    -------
    OakIndex, each shape (n,)
        Low, typical and high [equivalent months in a new 200 L barrel].

    Raises
    ------
    OutOfRange
        If an input is outside its bound.
    Inconsistent
        If the shapes do not fit each other.

    Notes
    -----
    Where the wood gives less than the reference the exponents change order; low and high are sorted.

    Source
    ------
    As ``oak_index_months``.

    Examples
    --------
    >>> index = oak_index(28, 5.0, 0.16374499, 60.0, 20.0)
    >>> [round(float(x), 1) for x in (index.low_months, index.typical_months, index.high_months)]
    [6.5, 13.0, 24.0]
    """
    runs = [
        np.asarray(
            oak_index_months(
                days, volume_l, area_m2, abv_pct, temp_c, wood_used, n, toast, reference_area_m2_m3
            )
        )
        for n in (0.7, 0.5, 0.4)
    ]
    return OakIndex(np.minimum(runs[0], runs[2])[()], runs[1][()], np.maximum(runs[0], runs[2])[()])


def oak_strength(typical_months: float) -> OakStrength:
    """Says the oak index as a screen does: weak under 4, medium to 12, strong above.

    Parameters
    ----------
    typical_months : float, scalar
        Typical oak index [equivalent months].

    Returns
    -------
    OakStrength, scalar
        The word [an OakStrength].

    Raises
    ------
    OutOfRange
        If the index is negative.

    Source
    ------
    Working assumption: trade timings of small barrels come to 12 to 35 months, taken as strong.

    Examples
    --------
    >>> oak_strength(13.0).value
    'strong'
    """
    months = require_number("typical_months", typical_months, 0.0, None, "months")
    if months < 4.0:
        return OakStrength.WEAK
    return OakStrength.MEDIUM if months <= 12.0 else OakStrength.STRONG
