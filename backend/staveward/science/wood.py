"""What the wood takes, keeps, gives and passes on.

Wood used is counted in standard fills of 28 days against a limit per spirit; the limits are rules of the
trade, so every answer is a range. Held liquid, soaking and carry-over follow from the inner area and the
stave. The oak index is equivalent months in a new standard 200 L barrel: a measure of colour, tannin and
vanilla taken up, never of age.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from .errors import (
    Array,
    Inconsistent,
    Underdetermined,
    require_choice,
    require_numbers,
    require_same_shape,
    unwrap,
)
from .tables import read_rows
from .vocabulary import (
    BOUNDS,
    STANDARD_FILL_DAYS,
    Allergen,
    Family,
    Match,
    OakStrength,
    Repair,
    Rinse,
    SpiritKind,
    WoodState,
    WoodStatus,
)

DAYS_A_MONTH = 30.4375

# Inner wood per volume of the 200 L barrel that the oak index is counted in [m2/m3]: by the usual-area rule,
# and by geometry. A barrel's own area must be compared with the one from the same rule.
REFERENCE_AREA_BY_RULE_M2_M3 = 9.575866
REFERENCE_AREA_BY_GEOMETRY_M2_M3 = 8.950

# Share of full soaking that wood in this state still takes (working assumptions, spread 1.4).
SOAK_SHARE = {WoodState.DRY: 1.0, WoodState.STORED_DRY: 0.7, WoodState.CURED: 0.25, WoodState.WET: 0.10}

# Share of the shallow held liquid that each rinse takes out (working assumptions).
RINSE_SHARE = {
    Rinse.NONE: 0.0,
    Rinse.QUICK: 0.10,
    Rinse.HOT: 0.25,
    Rinse.SOAK_DAY: 0.5,
    Rinse.WET_HOLD_WEEK: 0.7,
    Rinse.WET_HOLD_MONTH: 0.9,
}

REPAIR_FACTOR = {Repair.SCRAPE_AND_RECHAR: 0.3, Repair.RETOAST: 0.6}

DRAIN_LOSS_L = 0.05
CARRY_OVER_SPREAD = 1.6
SOAK_SPREAD = 1.4
_EXCHANGEABLE = 0.6
_SHALLOW = 0.6
_SPENT_AT = 1.0 - 1e-9
_MATCHES = (Match.AVOID, Match.ASK, Match.WELCOME)


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


@dataclass(frozen=True)
class OakIndex:
    """Holds the oak index as a range [equivalent months in a new 200 L barrel]; never an age."""

    low_months: Array
    typical_months: Array
    high_months: Array


@dataclass(frozen=True)
class Suitability:
    """Holds how a barrel's past suits the next fill: 2 welcome, 1 ask the keeper, 0 avoid, and why."""

    value: int
    match: Match
    reasons: tuple[str, ...]


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


def _wood(area_m2: ArrayLike, stave_mm: ArrayLike) -> tuple[Array, Array]:
    area, stave = BOUNDS["area_m2"], BOUNDS["stave_mm"]
    return (
        require_numbers("area_m2", area_m2, area.low, area.high, area.unit),
        require_numbers("stave_mm", stave_mm, stave.low, stave.high, stave.unit),
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
    return unwrap((area * (1.5 + 0.09 * stave)))


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
    return unwrap((share * area * (fast + slow)))


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
    return unwrap(((volume * strength + swapped * before) / (volume + swapped)))


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
    return unwrap((0.10 + 0.90 * np.exp(-1.6 * share)))


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
    power = float(require_numbers("exponent", exponent, 0.4, 0.7, ""))
    toasted = float(require_numbers("toast", toast, 0.8, 1.2, ""))
    reference = float(require_numbers("reference_area_m2_m3", reference_area_m2_m3, 5.0, 15.0, "m2/m3"))
    by_strength, by_wood = np.asarray(strength_factor(abv_pct)), np.asarray(wood_factor(wood_used))
    require_same_shape(
        days=time, volume_l=volume, area_m2=area, abv_pct=by_strength, temp_c=temperature, wood_used=by_wood
    )
    ratio = area / (volume / 1000.0) / reference
    warm = 1.5 ** ((temperature - 15.0) / 10.0)
    return unwrap((time / DAYS_A_MONTH * warm * (ratio * by_strength * by_wood * toasted) ** (1.0 / power)))


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
    months = float(require_numbers("typical_months", typical_months, 0.0, None, "months"))
    if months < 4.0:
        return OakStrength.WEAK
    return OakStrength.MEDIUM if months <= 12.0 else OakStrength.STRONG


def carry_over_fractions(
    area_m2: float,
    stave_mm: float,
    fills: Sequence[tuple[float, float]],
    rinse_before: Sequence[float | str] = (),
) -> Array:
    """Gives what share of each later fill is the tracked earlier one.

    Two pools, shallow 0.6 H and deep 0.4 H; e = 1 - exp(-d/4), b = min(0.6, 0.25 sqrt(d/28));
    f = (e Vs a_s + b Vd a_d)/(e Vs + b Vd + V).

    Parameters
    ----------
    area_m2 : float, scalar
        Inner wood, staves and heads [m2].
    stave_mm : float, scalar
        Mean stave thickness [mm].
    fills : sequence of (volume, days), shape (n_fills, 2)
        Later fills in order [L, days].
    rinse_before : sequence of float or str, shape (up to n_fills,)
        Share washed out before each, or the name of the rinse [0 to 1 or a Rinse].

    Returns
    -------
    ndarray, shape (n_fills,)
        Share of the earlier fill in each [0 to 1].

    Raises
    ------
    OutOfRange
        If a volume is not above zero, days are negative or a share is outside 0 to 1.
    Underdetermined
        If there is no fill.
    Inconsistent
        If there are more rinses than fills.

    Notes
    -----
    Uncertainty factor 1.6. Allergens are not a matter of shares: see ``allergen_memory``.

    Source
    ------
    Working assumptions on the held liquid of ``held_l``; common practice, no source (rinses).

    Examples
    --------
    >>> carry_over_fractions(0.16374499, 14.529928, [(5, 28), (5, 28)]).round(5).tolist()
    [0.06043, 0.00978]
    """
    held = float(held_l(area_m2, stave_mm))
    if len(fills) == 0:
        raise Underdetermined("fills", fills, "at least one fill")
    if len(rinse_before) > len(fills):
        raise Inconsistent("rinse_before", len(rinse_before), f"at most one per fill, {len(fills)}")
    in_shallow, in_deep = 1.0, 1.0
    shallow, deep = _SHALLOW * held, (1.0 - _SHALLOW) * held
    shares = []
    for number, (fill_l, fill_days) in enumerate(fills):
        volume = float(require_numbers("fills volume", fill_l, 0.0, None, "L", above_low=True))
        days = float(require_numbers("fills days", fill_days, 0.0, BOUNDS["days"].high, "days"))
        rinse = rinse_before[number] if number < len(rinse_before) else 0.0
        if isinstance(rinse, str):
            rinse = RINSE_SHARE[Rinse(require_choice("rinse_before", rinse, list(Rinse)))]
        washed = float(require_numbers("rinse_before", rinse, 0.0, 1.0, "(a share)"))
        in_shallow *= 1.0 - washed
        in_deep *= 1.0 - 0.3 * washed
        swap = 1.0 - np.exp(-days / 4.0)
        seep = min(0.6, 0.25 * np.sqrt(days / STANDARD_FILL_DAYS))
        share = (swap * shallow * in_shallow + seep * deep * in_deep) / (
            swap * shallow + seep * deep + volume
        )
        in_shallow = (1.0 - swap) * in_shallow + swap * share
        in_deep = (1.0 - seep) * in_deep + seep * share
        shares.append(share)
    return np.array(shares)


def carry_over_fraction(
    area_m2: float,
    stave_mm: float,
    volume_l: float,
    days: float = STANDARD_FILL_DAYS,
    rinse: float | str = Rinse.NONE,
) -> float:
    """Gives what share of the next fill will be the last one.

    Parameters
    ----------
    area_m2 : float, scalar
        Inner wood, staves and heads [m2].
    stave_mm : float, scalar
        Mean stave thickness [mm].
    volume_l : float, scalar
        Volume of the next fill [L].
    days : float, scalar
        Days of the next fill [days].
    rinse : float or str, scalar
        What is done before it, or the share washed out [a Rinse, or 0 to 1].

    Returns
    -------
    float, scalar
        Share of the last fill in the next [0 to 1].

    Raises
    ------
    OutOfRange
        If an input is outside its bound.

    Source
    ------
    As ``carry_over_fractions``.

    Examples
    --------
    >>> round(carry_over_fraction(0.16374499, 14.529928, 5.0, rinse="soak_day"), 5)
    0.03324
    """
    return float(carry_over_fractions(area_m2, stave_mm, [(volume_l, days)], [rinse])[0])


def suits_next(families_held: Iterable[str], next_family: str) -> Suitability:
    """Says how what a barrel has held suits the family of the next fill, with reasons.

    Parameters
    ----------
    families_held : iterable of str, shape (n_families,)
        Every family since new or re-charred, less what the keeper struck out [a Family each].
    next_family : str, scalar
        Family of the next fill [a Family].

    Returns
    -------
    Suitability, scalar
        The lowest value over the families held [2 welcome, 1 ask, 0 avoid].

    Raises
    ------
    OutOfRange
        If a family is unknown.

    Notes
    -----
    A barrel that held nothing is welcome for all.

    Source
    ------
    Common practice, no source; Valcarcel-Munoz et al., Foods 10 (2021) 288 for wine-seasoned wood.

    Examples
    --------
    >>> suits_next(["smoke"], "neutral").match.value
    'avoid'
    """
    following = require_choice("next_family", next_family, list(Family))
    held = [require_choice("families_held", family, list(Family)) for family in families_held]
    if not held:
        return Suitability(2, Match.WELCOME, ("nothing before it: the wood is new",))
    pairs = {
        (row["held"], row["next"]): (int(row["value"]), row["reason"])
        for row in read_rows("carry_over_pairs")
    }
    found = sorted({pairs[(family, following)] for family in held})
    value = found[0][0]
    return Suitability(value, _MATCHES[value], tuple(reason for score, reason in found if score == value))


def allergen_memory(fills: Iterable[Iterable[str]]) -> frozenset[Allergen]:
    """Gives every allergen that was ever in the barrel; rinsing, re-charring and time remove none.

    Parameters
    ----------
    fills : iterable of iterable of str, shape (n_fills, any)
        Allergens of each fill so far [an Allergen each].

    Returns
    -------
    frozenset of Allergen, shape (n_allergens,)
        The barrel's marks for life [an Allergen each].

    Raises
    ------
    OutOfRange
        If a name is not one of the fourteen.

    Notes
    -----
    Never computed away, and never a ground to say "free from".

    Source
    ------
    Regulation (EU) No 1169/2011, Annex II (the fourteen); the lifelong mark is a rule of this project.

    Examples
    --------
    >>> sorted(allergen_memory([["nuts"], [], ["milk", "nuts"]]))
    [<Allergen.MILK: 'milk'>, <Allergen.NUTS: 'nuts'>]
    """
    return frozenset(
        Allergen(require_choice("fills", name, list(Allergen))) for contents in fills for name in contents
    )


def allergen_conflicts(barrel_marks: Iterable[str], avoided: Iterable[str]) -> frozenset[Allergen]:
    """Gives the barrel's allergen marks that a member avoids; each needs that member's own confirmation.

    Parameters
    ----------
    barrel_marks : iterable of str, shape (n,)
        The barrel's marks [an Allergen each].
    avoided : iterable of str, shape (n,)
        What the member avoids [an Allergen each].

    Returns
    -------
    frozenset of Allergen, shape (n_conflicts,)
        What meets [an Allergen each].

    Raises
    ------
    OutOfRange
        If a name is not one of the fourteen.

    Source
    ------
    Regulation (EU) No 1169/2011, Annex II.

    Examples
    --------
    >>> allergen_conflicts(["milk", "nuts"], ["fish"])
    frozenset()
    """
    return allergen_memory([barrel_marks]) & allergen_memory([avoided])
