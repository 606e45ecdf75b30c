"""How strong a barrel's oak still is, from 1 to 5, and how many weeks a fill usually takes in it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from .errors import Array, require_numbers
from .wood import wood_factor

# Middle of the trade's timings for a first fill by barrel size (common practice, no source).
_KNOWN_L = np.array([2.0, 5.0, 10.0, 20.0])
_KNOWN_WEEKS = np.array([3.0, 5.0, 13.0, 22.0])

# Used wood takes longer, but nobody waits more than three times as long (design value of this project).
MOST_WAITING = 3.0


def oak_level(wood_used: ArrayLike) -> Array:
    """Gives the oak a barrel still has: 5 for new wood, one less a quarter of its life, 1 once it is spent.

    Parameters
    ----------
    wood_used : float or array_like, any shape
        Share of the wood's life used, 1 = spent, at least 0 [1].

    Returns
    -------
    ndarray, same shape
        Level 1 to 5 [1].

    Raises
    ------
    OutOfRange
        If it is negative or not finite.

    Source
    ------
    Design value of this project.

    Examples
    --------
    >>> oak_level([0.0, 0.3, 1.4]).tolist()
    [5.0, 4.0, 1.0]
    """
    used = require_numbers("wood_used", wood_used, 0, None, "(1 = spent)")
    return np.maximum(1.0, 5.0 - np.floor(4.0 * used + 1e-9))


def usual_weeks(capacity_l: ArrayLike, wood_used: ArrayLike = 0.0, *, is_mix: bool = False) -> Array:
    """Gives the middle of the weeks that a fill usually takes before its taste is best.

    Straight in ln V against ln weeks through the trade's timings, the end slopes continued; used wood takes
    longer by min(3, 1/oak left), a mixed drink half as long.

    Parameters
    ----------
    capacity_l : float or array_like, any shape
        The barrel's capacity, 0.5 to 350 [L].
    wood_used : float or array_like, any shape
        Share of the wood's life used, at least 0 [1].
    is_mix : bool, scalar
        True for a mixed drink that was blended beforehand [1].

    Returns
    -------
    ndarray, common shape
        Weeks [weeks].

    Raises
    ------
    OutOfRange
        If the capacity or the wood used is out of range.

    Notes
    -----
    A starting guess before anybody has tasted; a factor of 1.7 either way is usual.

    Source
    ------
    Timings of makers' sheets: common practice, no source. Fall of the oak: fitted by this project.

    Examples
    --------
    >>> round(float(usual_weeks(30.0)), 2)
    29.93
    """
    ln_l = np.log(require_numbers("capacity_l", capacity_l, 0.5, 350, "L"))
    used = require_numbers("wood_used", wood_used, 0, None, "(1 = spent)")
    ln_known_l, ln_weeks = np.log(_KNOWN_L), np.log(_KNOWN_WEEKS)
    slopes = np.diff(ln_weeks) / np.diff(ln_known_l)
    piece = np.clip(np.searchsorted(ln_known_l, ln_l) - 1, 0, len(slopes) - 1)
    weeks = np.exp(ln_weeks[piece] + slopes[piece] * (ln_l - ln_known_l[piece]))
    slower = np.minimum(MOST_WAITING, 1.0 / wood_factor(used))
    return np.asarray(weeks * slower * (0.5 if is_mix else 1.0))
