"""Dividing whole bottles by shares, exactly.

Largest remainder: everyone gets the whole part of their quota, spare bottles go to the largest fractions. Equal
fractions are a tie: the larger share first, then the order the caller gives, which a club settles by its own
rule (who lost the last tie, then a recorded lot).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from .errors import Inconsistent, OutOfRange, Underdetermined


@dataclass(frozen=True)
class BottleDivision:
    """Holds how many bottles each share gets, and who stood level for the last of them.

    ``tied`` are the rows that had equal fractions where not all of them could get a bottle; empty without a tie.
    """

    bottles: tuple[int, ...]
    tied: tuple[int, ...]

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
    if 0 < spare < len(shares) and fractions[ranked[spare - 1]] == fractions[ranked[spare]]:
        level = fractions[ranked[spare]]
        tied = tuple(row for row in range(len(shares)) if fractions[row] == level)
    return BottleDivision(tuple(given), tied)
