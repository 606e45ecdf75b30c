"""How much of the wood's life is used, and the door to all that wood does.

Wood used is counted in standard fills of 28 days against a limit per spirit; the limits are rules of the
trade, so every answer is a range. What the wood drinks (``soaking``), gives (``oak``) and passes on
(``carry_over``) live in rooms of their own and can be had from here.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from .carry_over import (
    CARRY_OVER_SPREAD,
    RINSE_SHARE,
    Suitability,
    allergen_conflicts,
    allergen_memory,
    carry_over_fraction,
    carry_over_fractions,
    suits_next,
)
from .errors import (
    Array,
    Underdetermined,
    require_choice,
    require_numbers,
    require_same_shape,
    unwrap,
)
from .oak import (
    REFERENCE_AREA_BY_GEOMETRY_M2_M3,
    REFERENCE_AREA_BY_RULE_M2_M3,
    OakIndex,
    oak_index,
    oak_index_months,
    oak_strength,
    strength_factor,
    wood_factor,
)
from .soaking import (
    DRAIN_LOSS_L,
    SOAK_SHARE,
    held_l,
    mixed_strength_pct,
    soaked_l,
)
from .tables import read_rows
from .vocabulary import (
    BOUNDS,
    STANDARD_FILL_DAYS,
    Repair,
    SpiritKind,
    WoodStatus,
)

__all__ = [
    "CARRY_OVER_SPREAD",
    "DRAIN_LOSS_L",
    "REFERENCE_AREA_BY_GEOMETRY_M2_M3",
    "REFERENCE_AREA_BY_RULE_M2_M3",
    "REPAIR_FACTOR",
    "RINSE_SHARE",
    "SOAK_SHARE",
    "FillsLeft",
    "OakIndex",
    "Suitability",
    "WoodEvent",
    "WoodUsed",
    "allergen_conflicts",
    "allergen_memory",
    "carry_over_fraction",
    "carry_over_fractions",
    "fills_left",
    "fills_left_by_spirit",
    "held_l",
    "mixed_strength_pct",
    "oak_index",
    "oak_index_months",
    "oak_strength",
    "soaked_l",
    "standard_fills",
    "strength_factor",
    "suits_next",
    "wood_factor",
    "wood_limits",
    "wood_used",
]

REPAIR_FACTOR = {Repair.SCRAPE_AND_RECHAR: 0.3, Repair.RETOAST: 0.6}

_SPENT_AT = 1.0 - 1e-9


@dataclass(frozen=True)
class FillsLeft:
    """Holds how many standard fills of one spirit the wood still gives, as a range [standard fills]."""

    low: float
    typical: float
    high: float

    def in_words(self) -> str:
        """Writes the range as a screen says it."""
        low, high = round(self.low), round(self.high)
        if high <= 0:
            return "none left"
        if low == high:
            return f"about {high} left"
        return f"up to {high} left" if low <= 0 else f"about {low} to {high} left"


@dataclass(frozen=True)
class WoodUsed:
    """Holds the share of the wood's life that is used, 1 = spent, under the three limits [1]."""

    pessimistic: float
    typical: float
    optimistic: float

    @property
    def is_spent(self) -> bool:
        """Says whether the typical figure has reached the end; a warning, not a lock."""
        return self.typical >= _SPENT_AT

    @property
    def status(self) -> WoodStatus:
        """Gives the typical figure in a word."""
        if self.is_spent:
            return WoodStatus.SPENT
        if self.typical < 0.25:
            return WoodStatus.FRESH
        return WoodStatus.MIDDLE if self.typical < 0.8 else WoodStatus.NEARLY_SPENT


@dataclass(frozen=True)
class WoodEvent:
    """Holds one thing that used or renewed the wood: a fill of some kinds for some days, or a repair.

    A mixture names all its spirits; the one with the smallest limit counts.
    """

    kind: str | tuple[str, ...]
    days: float = 0.0


def wood_limits(spirit: str) -> FillsLeft:
    """Gives how many standard fills of a spirit new wood gives.

    Parameters
    ----------
    spirit : str, scalar
        Kind of spirit [a SpiritKind].

    Returns
    -------
    FillsLeft, scalar
        Low, typical and high [standard fills of 28 days].

    Raises
    ------
    OutOfRange
        If the kind is not in the table; use ``unknown`` and say so.

    Source
    ------
    Common practice, no source (typical values); working assumptions (spreads). Shape only: Rous and Alderson,
    Am. J. Enol. Vitic. 34 (1983) 211-215.

    Examples
    --------
    >>> wood_limits("whisky")
    FillsLeft(low=4.0, typical=4.5, high=5.0)
    """
    kind = require_choice("spirit", spirit, list(SpiritKind))
    row = next(row for row in read_rows("wood_limits") if row["spirit"] == kind)
    return FillsLeft(float(row["low"]), float(row["typical"]), float(row["high"]))


def standard_fills(days: ArrayLike) -> Array:
    """Gives how many standard fills a stay counts for: sqrt(days/28), 0.2 to 4, and 0 for no days.

    Parameters
    ----------
    days : float or array_like, shape (n,)
        Days in the wood [days].

    Returns
    -------
    ndarray, shape (n,)
        Standard fills [count of 28-day fills].

    Raises
    ------
    OutOfRange
        If days are negative or above 3650.

    Notes
    -----
    The bounds 0.2 and 4 are part of the rule: a fill cut short within a day still counts 0.2.

    Source
    ------
    Working assumption; the square root after Trillo Ollero et al., Curr. Res. Food Sci. 2024, 100900.

    Examples
    --------
    >>> standard_fills([0.0, 1.0, 28.0, 112.0]).tolist()
    [0.0, 0.2, 1.0, 2.0]
    """
    time = require_numbers("days", days, 0.0, BOUNDS["days"].high, "days")
    counted = np.minimum(np.maximum(np.sqrt(time / STANDARD_FILL_DAYS), 0.2), 4.0)
    return unwrap(np.where(time == 0.0, 0.0, counted))


def wood_used(events: Iterable[WoodEvent]) -> WoodUsed:
    """Gives the share of the wood's life that fills have used and repairs have given back.

    U_j = sum of standard fills over N_j(spirit) for the low, typical and high limit; scraping and re-charring
    leaves 0.3 U, re-toasting 0.6 U.

    Parameters
    ----------
    events : iterable of WoodEvent, shape (n_events,)
        Fills and repairs in order [days].

    Returns
    -------
    WoodUsed, scalar
        Pessimistic, typical and optimistic share; may exceed 1 [1].

    Raises
    ------
    OutOfRange
        If a kind is unknown or days are negative.
    Underdetermined
        If a fill names no kind.

    Notes
    -----
    Water cure and wet hold use nothing. Re-toast at most once on staves under 16 mm.

    Source
    ------
    Common practice, no source (limits); working assumptions (spreads, repairs).

    Examples
    --------
    >>> used = wood_used([WoodEvent("rum", 28), WoodEvent("rum", 28), WoodEvent("whisky", 42)])
    >>> round(used.typical, 6)
    0.55788
    """
    used = np.zeros(3)
    for event in events:
        kinds = (event.kind,) if isinstance(event.kind, str) else tuple(event.kind)
        if not kinds:
            raise Underdetermined("kind", event.kind, "at least one kind of spirit")
        if len(kinds) == 1 and kinds[0] in REPAIR_FACTOR:
            used = used * REPAIR_FACTOR[Repair(kinds[0])]
            continue
        limits = [wood_limits(kind) for kind in kinds]
        smallest = np.array(
            [min(getattr(limit, part) for limit in limits) for part in ("low", "typical", "high")]
        )
        used = used + float(standard_fills(event.days)) / smallest
    return WoodUsed(float(used[0]), float(used[1]), float(used[2]))


def fills_left(used: WoodUsed, next_spirit: str) -> FillsLeft:
    """Gives how many standard fills of a spirit are left: max(0, (1 - U_j) N_j).

    Parameters
    ----------
    used : WoodUsed, scalar
        Wood used so far [1].
    next_spirit : str, scalar
        Kind of the next fill [a SpiritKind].

    Returns
    -------
    FillsLeft, scalar
        Low, typical and high [standard fills of 28 days].

    Raises
    ------
    OutOfRange
        If the kind is not in the table or a share is negative.

    Source
    ------
    Common practice, no source (limits); working assumptions (spreads).

    Examples
    --------
    >>> fills_left(wood_used([WoodEvent("whisky", 28)] * 4), "whisky")
    FillsLeft(low=0.0, typical=0.5, high=1.0)
    """
    limits = wood_limits(next_spirit)
    shares = require_numbers("used", [used.pessimistic, used.typical, used.optimistic], 0.0, None, "")
    left = np.maximum(0.0, (1.0 - shares) * np.array([limits.low, limits.typical, limits.high]))
    left = np.where(shares >= _SPENT_AT, 0.0, np.round(left, 12))
    return FillsLeft(float(left[0]), float(left[1]), float(left[2]))


def fills_left_by_spirit(used: WoodUsed) -> dict[SpiritKind, FillsLeft]:
    """Gives the standard fills left for every kind of spirit.

    Parameters
    ----------
    used : WoodUsed, scalar
        Wood used so far [1].

    Returns
    -------
    dict of SpiritKind to FillsLeft, shape (n_kinds,)
        Low, typical and high [standard fills of 28 days].

    Raises
    ------
    OutOfRange
        If a share is negative.

    Source
    ------
    Common practice, no source (limits); working assumptions (spreads).

    Examples
    --------
    >>> fills_left_by_spirit(WoodUsed(0.5, 0.5, 0.5))[SpiritKind.AGAVE].typical
    5.0
    """
    return {kind: fills_left(used, kind) for kind in SpiritKind}


@dataclass(frozen=True)
class FillsLeftMany:
    """Holds how many standard fills of one spirit the wood of many barrels still gives [standard fills]."""

    low: Array
    typical: Array
    high: Array


def fills_left_many(
    pessimistic: ArrayLike, typical: ArrayLike, optimistic: ArrayLike
) -> dict[SpiritKind, FillsLeftMany]:
    """Gives the standard fills left for every kind of spirit, for many barrels in one call.

    max(0, (1 - U_j) N_j), as ``fills_left`` does for one barrel.

    Parameters
    ----------
    pessimistic, typical, optimistic : float or array_like, shape (n,)
        Wood used so far under the low, typical and high limit [1].

    Returns
    -------
    dict of SpiritKind to FillsLeftMany, each shape (n,)
        Low, typical and high [standard fills of 28 days].

    Raises
    ------
    OutOfRange
        If a share is negative.
    Inconsistent
        If the shapes do not fit each other.

    Source
    ------
    Common practice, no source (limits); working assumptions (spreads).

    Examples
    --------
    >>> fills_left_many([1.0, 0.5], [0.9, 0.4], [0.8, 0.3])[SpiritKind.RUM].low.tolist()
    [0.0, 3.0]
    """
    shares = [
        require_numbers("pessimistic", pessimistic, 0.0, None, ""),
        require_numbers("typical", typical, 0.0, None, ""),
        require_numbers("optimistic", optimistic, 0.0, None, ""),
    ]
    require_same_shape(pessimistic=shares[0], typical=shares[1], optimistic=shares[2])
    answer = {}
    for kind in SpiritKind:
        limits = wood_limits(kind)
        left = [
            np.where(share >= _SPENT_AT, 0.0, np.maximum(0.0, np.round((1.0 - share) * limit, 12)))
            for share, limit in zip(shares, (limits.low, limits.typical, limits.high), strict=True)
        ]
        answer[kind] = FillsLeftMany(*left)
    return answer
