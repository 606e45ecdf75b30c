"""Dates of a barrel: half-open intervals, overlap, and the next free start.

A booking holds a barrel from its first day up to, and without, its last date: [start, end). So one may begin
on the date another ends. Dates are the club's own, without a clock; a booking's end is the day of the decant
plus the days the barrel needs to turn round.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from .errors import Inconsistent, OutOfRange

# Nobody plans a barrel further than this; it also bounds the days one reservation may own.
LONGEST_BOOKING_DAYS = 3 * 366


@dataclass(frozen=True, slots=True)
class Booking:
    """Holds one booking of one barrel on [start, end).

    Source: common practice, no source.
    """

    code: str
    barrel: str
    start: date
    end: date

    def __post_init__(self) -> None:
        if not self.start < self.end:
            raise Inconsistent("end", self.end.isoformat(), f"after the start, {self.start.isoformat()}")


def is_overlap(a_start: date, a_end: date, b_start: date, b_end: date) -> bool:
    """Says whether two half-open intervals of dates share a day: a_start < b_end and b_start < a_end.

    Parameters
    ----------
    a_start, a_end : date, scalar
        The first interval [date].
    b_start, b_end : date, scalar
        The second interval [date].

    Returns
    -------
    bool, scalar
        True when they share at least one day; touching is not sharing [1].

    Source
    ------
    Half-open interval arithmetic; common practice, no source.

    Examples
    --------
    >>> is_overlap(date(2031, 3, 1), date(2031, 4, 12), date(2031, 4, 12), date(2031, 6, 1))
    False
    """
    return a_start < b_end and b_start < a_end


def overlapping_pairs(bookings: Iterable[Booking]) -> list[tuple[str, str]]:
    """Finds every pair of bookings that clash on one barrel.

    Parameters
    ----------
    bookings : iterable of Booking, shape (n,)
        The bookings, in any order; cancelled ones are left out by the caller [date].

    Returns
    -------
    list of tuple, shape (n_pairs,)
        The codes of each clashing pair, the earlier start first, sorted [text].

    Notes
    -----
    A sweep by start date: n log n plus the number of pairs.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> early = Booking("k2", "B1", date(2031, 4, 12), date(2031, 6, 1))
    >>> late = Booking("k3", "B1", date(2031, 5, 31), date(2031, 7, 1))
    >>> overlapping_pairs([late, early])
    [('k2', 'k3')]
    """
    pairs: list[tuple[str, str]] = []
    running: dict[str, list[Booking]] = {}
    for booking in sorted(bookings, key=lambda one: (one.start, one.code)):
        still = [other for other in running.get(booking.barrel, []) if other.end > booking.start]
        pairs.extend(_in_order(other.code, booking.code) for other in still)
        running[booking.barrel] = [*still, booking]
    return sorted(pairs)


def _in_order(one: str, other: str) -> tuple[str, str]:
    """Orders two codes of a pair."""
    return (one, other) if one <= other else (other, one)


def next_free_start(earliest: date, length_days: int, taken: Sequence[tuple[date, date]]) -> date:
    """Gives the first start at which a booking of this length touches nothing that is taken.

    Parameters
    ----------
    earliest : date, scalar
        The first start that would do [date].
    length_days : int, scalar
        How many days are wanted, 1 to 1098 [days].
    taken : sequence of (date, date), shape (n,)
        Half-open intervals that are already booked, in any order [date].

    Returns
    -------
    date, scalar
        The first start on or after ``earliest`` [date].

    Raises
    ------
    OutOfRange
        If the length is not a whole number of days in range.
    Inconsistent
        If a taken interval does not end after its start.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> next_free_start(date(2031, 4, 1), 14, [(date(2031, 4, 10), date(2031, 5, 1))])
    datetime.date(2031, 5, 1)
    """
    if not isinstance(length_days, int) or not 1 <= length_days <= LONGEST_BOOKING_DAYS:
        raise OutOfRange("length_days", length_days, f"1 to {LONGEST_BOOKING_DAYS} days")
    start = earliest
    for begins, ends in sorted(taken):
        if not begins < ends:
            raise Inconsistent("taken", ends.isoformat(), f"after {begins.isoformat()}")
        if is_overlap(start, start + timedelta(days=length_days), begins, ends):
            start = ends
    return start
