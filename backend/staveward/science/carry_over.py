"""What the wood passes from one fill to the next: liquid, flavour and allergens.

Liquid and flavour are shares that fade with each fill. Allergens are marks that nothing removes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from .errors import Array, Inconsistent, Underdetermined, require_choice, require_number
from .soaking import held_l, require_wood
from .tables import read_rows
from .vocabulary import BOUNDS, STANDARD_FILL_DAYS, Allergen, Family, Match, Rinse

# Share of the shallow held liquid that each rinse takes out (working assumptions).
RINSE_SHARE = {
    Rinse.NONE: 0.0,
    Rinse.QUICK: 0.10,
    Rinse.HOT: 0.25,
    Rinse.SOAK_DAY: 0.5,
    Rinse.WET_HOLD_WEEK: 0.7,
    Rinse.WET_HOLD_MONTH: 0.9,
}
CARRY_OVER_SPREAD = 1.6
_SHALLOW = 0.6
_MATCHES = (Match.AVOID, Match.ASK, Match.WELCOME)


@dataclass(frozen=True)
class Suitability:
    """Holds how a barrel's past suits the next fill: 2 welcome, 1 ask the keeper, 0 avoid, and why."""

    value: int
    match: Match
    reasons: tuple[str, ...]


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
    held = float(held_l(*require_wood(area_m2, stave_mm)))
    if len(fills) == 0:
        raise Underdetermined("fills", fills, "at least one fill")
    if len(rinse_before) > len(fills):
        raise Inconsistent("rinse_before", len(rinse_before), f"at most one per fill, {len(fills)}")
    in_shallow, in_deep = 1.0, 1.0
    shallow, deep = _SHALLOW * held, (1.0 - _SHALLOW) * held
    shares = []
    for number, (fill_l, fill_days) in enumerate(fills):
        volume = require_number("fills volume", fill_l, 0.0, None, "L", above_low=True)
        days = require_number("fills days", fill_days, 0.0, BOUNDS["days"].high, "days")
        rinse = rinse_before[number] if number < len(rinse_before) else 0.0
        if isinstance(rinse, str):
            rinse = RINSE_SHARE[Rinse(require_choice("rinse_before", rinse, list(Rinse)))]
        washed = require_number("rinse_before", rinse, 0.0, 1.0, "(a share)")
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
