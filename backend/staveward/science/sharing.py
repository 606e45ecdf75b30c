"""Dividing whole bottles, the odd remainder and money by shares, exactly.

Largest remainder: everyone gets the whole part of their quota, spare bottles go to the largest fractions. Equal
fractions are a tie: the larger share first, then the order the caller gives, which a club settles by its own
rule (who lost the last tie, then a recorded lot).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from .errors import Inconsistent, OutOfRange, Underdetermined

# A smaller heel is not worth dividing: design value of this project.
LEAST_HEEL_ML = 20


@dataclass(frozen=True)
class BottleDivision:
    """Holds how many bottles each share gets, and who stood level for the last of them.

    ``tied`` are the rows that had equal fractions where not all of them could get a bottle, ``lost`` those among them
    that got none; both are empty without a tie.
    """

    bottles: tuple[int, ...]
    tied: tuple[int, ...]
    lost: tuple[int, ...] = ()

    @property
    def is_tie(self) -> bool:
        """Says whether equal fractions met at the last bottle."""
        return bool(self.tied)


def divide_bottles(
    shares: Sequence[int], bottles: int, tie_order: Sequence[int] | None = None
) -> BottleDivision:
    """Divides whole bottles by integer shares with the largest remainder.

    quota_i = n share_i / sum; floor first, then one more to the largest fractions.

    Parameters
    ----------
    shares : sequence of int, shape (n,)
        Integer weights, not all zero [1].
    bottles : int, scalar
        Bottles to divide [count].
    tie_order : sequence of int or None, shape (n,)
        Every row once, the one who wins a tie first; None takes the rows as they stand [row numbers].

    Returns
    -------
    BottleDivision, scalar
        Bottles for each share [count].

    Raises
    ------
    Underdetermined
        If there is no share, or all are zero.
    OutOfRange
        If a share or the bottles are negative or not whole.
    Inconsistent
        If the tie order does not name every row once.

    Notes
    -----
    Allocate once, after the final count: one bottle more can cost a member one (the Alabama paradox). At a tie a
    larger share wins; only equal shares are left to the order.

    Source
    ------
    M. L. Balinski and H. P. Young, Fair Representation, 2nd ed., Brookings Institution Press, 2001.

    Examples
    --------
    >>> divide_bottles([50, 30, 20], 7).bottles
    (4, 2, 1)
    """
    if len(shares) == 0:
        raise Underdetermined("shares", shares, "at least one share")
    for name, number in (*(("shares", share) for share in shares), ("bottles", bottles)):
        if isinstance(number, bool) or not isinstance(number, int) or number < 0:
            raise OutOfRange(name, number, "a whole number, 0 or more")
    total = sum(shares)
    if total == 0:
        raise Underdetermined("shares", tuple(shares), "at least one share above 0")
    order = list(range(len(shares))) if tie_order is None else list(tie_order)
    if sorted(order) != list(range(len(shares))):
        raise Inconsistent("tie_order", tuple(order), f"each of 0 to {len(shares) - 1} once")
    quotas = [Fraction(bottles * share, total) for share in shares]
    given = [int(quota) for quota in quotas]
    fractions = [quota - whole for quota, whole in zip(quotas, given, strict=True)]
    spare = bottles - sum(given)
    ranked = sorted(range(len(shares)), key=lambda row: (-fractions[row], -shares[row], order.index(row)))
    for row in ranked[:spare]:
        given[row] += 1
    tied: tuple[int, ...] = ()
    lost: tuple[int, ...] = ()
    if 0 < spare < len(shares) and fractions[ranked[spare - 1]] == fractions[ranked[spare]]:
        level = fractions[ranked[spare]]
        tied = tuple(row for row in range(len(shares)) if fractions[row] == level)
        lost = tuple(row for row in tied if row not in ranked[:spare])
    return BottleDivision(tuple(given), tied, lost)


@dataclass(frozen=True, slots=True)
class BottlingDivision:
    """Holds what each sharer gets from a bottling: bottles [count], part of the heel and all received [mL].

    ``keeper_sample_ml`` is a heel too small to divide; it belongs to nobody's share.
    """

    bottles: tuple[int, ...]
    whole_bottles: int
    heel_ml: int
    heel_split_ml: tuple[int, ...]
    received_ml: tuple[int, ...]
    keeper_sample_ml: int
    tied: tuple[int, ...]


def tie_order_of(owed: Sequence[int]) -> tuple[int, ...]:
    """Gives the order in which ties are settled: whoever is owed most first, then as they stand.

    Parameters
    ----------
    owed : sequence of int, shape (n,)
        How often each lost the last bottle in a tie before [count].

    Returns
    -------
    tuple of int, shape (n,)
        Rows, the one who wins a tie first [row numbers].

    Raises
    ------
    OutOfRange
        If a count is negative or not whole.

    Notes
    -----
    Give the rows in the order of a drawn lot whose seed is kept, so that it can be drawn again.

    Source
    ------
    Design value of this project.

    Examples
    --------
    >>> tie_order_of([0, 1, 0])
    (1, 0, 2)
    """
    for times in owed:
        _require_whole("owed", times)
    return tuple(sorted(range(len(owed)), key=lambda row: (-owed[row], row)))


def split_cost(
    amount_minor: int, shares: Sequence[int], tie_order: Sequence[int] | None = None
) -> tuple[int, ...]:
    """Splits an amount of money by integer shares, exact to the smallest coin.

    The largest remainder on the amount in the currency's smallest unit; a negative one (money back) is split by its
    size and its sign put back.

    Parameters
    ----------
    amount_minor : int, scalar
        The amount in the smallest unit, such as cents [smallest coin].
    shares : sequence of int, shape (n,)
        Integer weights, not all zero: what each received [mL], or what the members agreed [1].
    tie_order : sequence of int or None, shape (n,)
        Every row once, the one who gets an odd coin first; None takes the rows as they stand [row numbers].

    Returns
    -------
    tuple of int, shape (n,)
        What each pays; the sum is the amount, always [smallest coin].

    Raises
    ------
    Underdetermined
        If there is no share, or all are zero.
    OutOfRange
        If a share is negative, or a number is not whole.
    Inconsistent
        If the tie order does not name every row once.

    Source
    ------
    M. L. Balinski and H. P. Young, Fair Representation, 2nd ed., Brookings Institution Press, 2001.

    Examples
    --------
    >>> split_cost(10000, [1, 1, 1]), split_cost(-1001, [1, 1])
    ((3334, 3333, 3333), (-501, -500))
    """
    if isinstance(amount_minor, bool) or not isinstance(amount_minor, int):
        raise OutOfRange("amount_minor", amount_minor, "a whole number of the smallest coin")
    sign = -1 if amount_minor < 0 else 1
    return tuple(sign * part for part in divide_bottles(shares, abs(amount_minor), tie_order).bottles)


def divide_bottling(
    total_ml: int, bottle_ml: int, shares: Sequence[int], tie_order: Sequence[int] | None = None
) -> BottlingDivision:
    """Divides a bottling: whole bottles by share, then the heel by what each still lacks.

    n = total // bottle; deficit_i = max(0, total s_i/S - bottle given_i); the heel goes in whole millilitres by the
    largest remainder with the deficits as shares. A heel under 20 mL is the keeper's sample.

    Parameters
    ----------
    total_ml : int, scalar
        What there is to bottle [mL].
    bottle_ml : int, scalar
        What one bottle takes, above 0 [mL].
    shares : sequence of int, shape (n,)
        Integer weights, not all zero [1].
    tie_order : sequence of int or None, shape (n,)
        Every row once, the one who wins a tie first; None takes the rows as they stand [row numbers].

    Returns
    -------
    BottlingDivision, scalar
        Bottles [count], heel and received [mL].

    Raises
    ------
    Underdetermined
        If there is no share, or all are zero.
    OutOfRange
        If a number is negative or not whole, or the bottle takes nothing.
    Inconsistent
        If the tie order does not name every row once.

    Notes
    -----
    Fair money follows what was received (``split_cost(cost, received_ml)``): whoever got the odd bottle pays for it.

    Source
    ------
    Largest remainder: M. L. Balinski and H. P. Young, Fair Representation, 2001; the heel's rule is a design value of
    this project.

    Examples
    --------
    >>> divide_bottling(4630, 700, [500, 300, 200]).received_ml
    (2310, 1400, 920)
    """
    _require_whole("total_ml", total_ml)
    _require_whole("bottle_ml", bottle_ml, 1)
    count, heel = divmod(total_ml, bottle_ml)
    division = divide_bottles(shares, count, tie_order)
    whole = sum(shares)
    # Deficits times S are whole numbers, so the same exact rule divides the heel.
    lacking = [
        max(0, total_ml * share - bottle_ml * given * whole)
        for share, given in zip(shares, division.bottles, strict=True)
    ]
    is_sample = heel < LEAST_HEEL_ML
    split = (0,) * len(shares) if is_sample else divide_bottles(lacking, heel, tie_order).bottles
    received = tuple(bottle_ml * given + part for given, part in zip(division.bottles, split, strict=True))
    return BottlingDivision(
        division.bottles, count, heel, split, received, heel if is_sample else 0, division.tied
    )


@dataclass(frozen=True, slots=True)
class SizesDivision:
    """Holds what each share gets: bottles of each size [count], part of the heel and all received [mL].

    ``tied`` are the rows that stood level for a last bottle of some size, ``lost`` those that then got none.
    """

    bottles: tuple[tuple[int, ...], ...]
    heel_split_ml: tuple[int, ...]
    received_ml: tuple[int, ...]
    tied: tuple[int, ...]
    lost: tuple[int, ...] = ()


def divide_sizes(
    sizes: Sequence[tuple[int, int]],
    shares: Sequence[int],
    heel_ml: int = 0,
    tie_order: Sequence[int] | None = None,
) -> SizesDivision:
    """Divides bottles of several sizes: the largest first, each size by what every share still lacks, then the heel.

    deficit_i = max(0, total s_i/S - received_i); each size goes by the largest remainder with the deficits as shares.
    With one size and no heel it is ``divide_bottles``.

    Parameters
    ----------
    sizes : sequence of (int, int), shape (k,)
        What is in one bottle, above 0 [mL], and how many there are [count].
    shares : sequence of int, shape (n,)
        Integer weights, not all zero [1].
    heel_ml : int, scalar
        What is shared out in a glass [mL].
    tie_order : sequence of int or None, shape (n,)
        Every row once, the one who wins a tie first; None takes the rows as they stand [row numbers].

    Returns
    -------
    SizesDivision, scalar
        Bottles by size in the order given [count], heel and received [mL].

    Raises
    ------
    Underdetermined
        If there is no share, or all are zero.
    OutOfRange
        If a number is negative or not whole, or a bottle holds nothing.
    Inconsistent
        If the tie order does not name every row once.

    Source
    ------
    Largest remainder: M. L. Balinski and H. P. Young, Fair Representation, 2001; the order of sizes is a design value
    of this project.

    Examples
    --------
    >>> said = divide_sizes([(500, 7), (200, 2)], [2, 1])
    >>> said.bottles, said.received_ml
    (((5, 2), (0, 2)), (2500, 1400))
    """
    _require_whole("heel_ml", heel_ml)
    for fill_ml, count in sizes:
        _require_whole("fill_ml", fill_ml, 1)
        _require_whole("count", count)
    total_ml = heel_ml + sum(fill_ml * count for fill_ml, count in sizes)
    whole = sum(shares)
    received = [0] * len(shares)

    def lacking() -> Sequence[int]:
        # Deficits times S are whole numbers, so the exact rule divides by them.
        short = [max(0, total_ml * share - whole * got) for share, got in zip(shares, received, strict=True)]
        return short if any(short) else shares

    given: dict[int, tuple[int, ...]] = {}
    tied: set[int] = set()
    lost: set[int] = set()
    for row in sorted(range(len(sizes)), key=lambda one: (-sizes[one][0], one)):
        fill_ml, count = sizes[row]
        division = divide_bottles(lacking(), count, tie_order)
        given[row] = division.bottles
        tied.update(division.tied)
        lost.update(division.lost)
        received = [got + fill_ml * bottles for got, bottles in zip(received, division.bottles, strict=True)]
    heel = divide_bottles(lacking(), heel_ml, tie_order).bottles
    return SizesDivision(
        tuple(given[row] for row in range(len(sizes))),
        heel,
        tuple(got + part for got, part in zip(received, heel, strict=True)),
        tuple(sorted(tied)),
        tuple(sorted(lost)),
    )


def _require_whole(argument: str, number: int, least: int = 0) -> None:
    """Refuses what is not a whole number, or too small a one."""
    if isinstance(number, bool) or not isinstance(number, int) or number < least:
        raise OutOfRange(argument, number, f"a whole number, {least} or more")
