"""Which barrel suits a fill, and why; and whose turn it is.

A barrel passes eight gates in a fixed order and the first that stops it is the reason; one that passes gets
points in four parts: how full it would be, its oak, how soon, and what the wood would pass on. Points are
exact fractions, so that a tie is a tie on every machine. The weights and gates are design values of this
project, unless a source is named.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from fractions import Fraction
from functools import cache

from .errors import Inconsistent, OutOfRange, Underdetermined, require_choice, require_numbers
from .tables import read_rows
from .vocabulary import Family

# Below 15 % vol film yeasts, acetic and lactic bacteria grow (Ibeas et al., Am. J. Enol. Vitic. 48(1), 1997,
# 67-71, on flor; the limit for wood at room temperature is a design value of this project).
WEAKEST_ABV_PCT = 15.0
LEAST_FULL = Fraction(9, 10)

FILL_POINTS, OAK_POINTS, TIME_POINTS, CARRY_POINTS = 40, 25, 20, 15
TIME_WINDOW_DAYS = 56
ALL_WEEK = (1, 2, 3, 4, 5, 6, 7)

GATES = (
    "TOO_BIG",
    "TOO_SMALL",
    "WOOD_SPENT",
    "TOO_WEAK",
    "TOO_STRONG",
    "ALLERGEN",
    "CARRY_OVER",
    "NO_DATE",
)


@cache
def carry_values() -> dict[tuple[str, str], int]:
    """Gives how each family held suits each next one: 2 welcome, 1 ask the keeper, 0 avoid.

    Returns
    -------
    dict of (held, next) to int, shape (25,)
        The value of each pair [0 to 2].

    Source
    ------
    Table ``carry_over_pairs``: common practice, no source, save for one published pair named there.

    Examples
    --------
    >>> carry_values()["smoke", "neutral"]
    0
    """
    return {(row["held"], row["next"]): int(row["value"]) for row in read_rows("carry_over_pairs")}


@dataclass(frozen=True, slots=True, kw_only=True)
class FillRequest:
    """Holds what a member wants to fill, and when; a strength not known yet (None) passes the gates on it.

    Source: common practice, no source.
    """

    volume_ml: int
    family: str
    oak_wanted: int
    earliest: date
    latest: date
    abv_pct: float | None = None
    avoid_allergens: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        _require_count("volume_ml", self.volume_ml, 1, "mL")
        _require_count("oak_wanted", self.oak_wanted, 1, "(the oak's level)", 5)
        require_choice("family", self.family, list(Family))
        if self.abv_pct is not None:
            require_numbers("abv_pct", self.abv_pct, 0, 100, "% vol")
        if self.latest < self.earliest:
            raise Inconsistent("latest", self.latest.isoformat(), f"{self.earliest.isoformat()} or later")


@dataclass(frozen=True, slots=True, kw_only=True)
class BarrelOffer:
    """Holds what one barrel offers: its size, its wood, what it held, and from when it is free.

    Source: common practice, no source.
    """

    code: str
    capacity_ml: int
    free_from: date
    fills_left: float
    max_abv_pct: float
    oak_level: int
    allergens: frozenset[str] = frozenset()
    families_held: frozenset[str] = frozenset()
    keeper_weekdays: tuple[int, ...] = ALL_WEEK

    def __post_init__(self) -> None:
        _require_count("capacity_ml", self.capacity_ml, 1, "mL")
        _require_count("oak_level", self.oak_level, 1, "(the oak's level)", 5)
        require_numbers("fills_left", self.fills_left, 0, None, "fills")
        require_numbers("max_abv_pct", self.max_abv_pct, 0, 100, "% vol")
        for family in self.families_held:
            require_choice("families_held", family, list(Family))
        if not self.keeper_weekdays:
            raise Underdetermined("keeper_weekdays", self.keeper_weekdays, "at least one ISO weekday, 1 to 7")
        for weekday in self.keeper_weekdays:
            _require_count("keeper_weekdays", weekday, 1, "(ISO weekday)", 7)


@dataclass(frozen=True, slots=True)
class Suited:
    """Holds a barrel that passes every gate, with its four parts of the points.

    Source: common practice, no source.
    """

    code: str
    starts_on: date
    points: int
    fill: Fraction
    oak: Fraction
    time: Fraction
    carry: Fraction
    ask_about: tuple[str, ...] = ()

    @property
    def is_ask(self) -> bool:
        """Says whether the keeper must agree to what the wood would pass on."""
        return bool(self.ask_about)


@dataclass(frozen=True, slots=True)
class Stopped:
    """Holds a barrel that does not suit, the first gate that stopped it, and what it was about.

    Source: common practice, no source.
    """

    code: str
    reason: str
    about: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Ranking:
    """Holds the barrels that suit, best first, and those that do not, by code.

    Source: common practice, no source.
    """

    ranked: list[Suited] = field(default_factory=list)
    refused: list[Stopped] = field(default_factory=list)


def rank_barrels(request: FillRequest, barrels: Iterable[BarrelOffer]) -> Ranking:
    """Ranks barrels for a fill: points down, start up, code up; those that a gate stops are listed with it.

    points = fill 40 clamp(10 (v/V - 0.9)) + oak 25 (1 - |wanted - level|/4)
    + time 20 clamp(1 - days after earliest/56) + carry 15 min(value of each family held, 2 if none)/2,
    each an exact fraction, their sum rounded half up.

    Parameters
    ----------
    request : FillRequest, scalar
        What is wanted [mL, % vol, date].
    barrels : iterable of BarrelOffer, shape (n,)
        What there is [mL, % vol, date].

    Returns
    -------
    Ranking, scalar
        Suited barrels in order and stopped ones by code [points].

    Notes
    -----
    Gates, in order: batch over capacity; under nine tenths of it; wood spent while oak is wanted; under
    15 % vol; over the barrel's own limit; a lifelong allergen mark that a sharer avoids; a family held that
    does not go with this one; no date in the window. Clashes and the keeper's own limits come after these,
    from whoever knows the calendar.

    Source
    ------
    Design values of this project; the 15 % vol limit after Ibeas et al., Am. J. Enol. Vitic. 48(1), 1997.

    Examples
    --------
    >>> wish = FillRequest(
    ...     volume_ml=4800,
    ...     abv_pct=58,
    ...     family="neutral",
    ...     oak_wanted=3,
    ...     earliest=date(2031, 5, 3),
    ...     latest=date(2031, 7, 31),
    ... )
    >>> barrel = BarrelOffer(
    ...     code="B01",
    ...     capacity_ml=5000,
    ...     free_from=date(2031, 5, 10),
    ...     fills_left=2,
    ...     max_abv_pct=63,
    ...     oak_level=3,
    ...     keeper_weekdays=(6,),
    ... )
    >>> rank_barrels(wish, [barrel]).ranked[0].points
    82
    """
    ranking = Ranking()
    for barrel in barrels:
        start = first_keeper_day(max(request.earliest, barrel.free_from), barrel.keeper_weekdays)
        stopped = _first_gate(request, barrel, start)
        if stopped is not None:
            ranking.refused.append(stopped)
        else:
            ranking.ranked.append(_suited(request, barrel, start))
    ranking.ranked.sort(key=lambda one: (-one.points, one.starts_on, one.code))
    ranking.refused.sort(key=lambda one: one.code)
    return ranking


def _first_gate(request: FillRequest, barrel: BarrelOffer, start: date) -> Stopped | None:
    """Gives the first gate that stops a barrel, or None."""
    met = barrel.allergens & request.avoid_allergens
    avoided = [held for held in barrel.families_held if carry_values()[held, request.family] == 0]
    abv_pct = request.abv_pct
    gates: list[tuple[str, bool, Iterable[str]]] = [
        ("TOO_BIG", request.volume_ml > barrel.capacity_ml, ()),
        ("TOO_SMALL", request.volume_ml < LEAST_FULL * barrel.capacity_ml, ()),
        ("WOOD_SPENT", barrel.fills_left <= 0 and request.oak_wanted > 1, ()),
        ("TOO_WEAK", abv_pct is not None and abv_pct < WEAKEST_ABV_PCT, ()),
        ("TOO_STRONG", abv_pct is not None and abv_pct > barrel.max_abv_pct, ()),
        ("ALLERGEN", bool(met), met),
        ("CARRY_OVER", bool(avoided), avoided),
        ("NO_DATE", start > request.latest, ()),
    ]
    for reason, is_hit, about in gates:
        if is_hit:
            return Stopped(barrel.code, reason, tuple(sorted(about)))
    return None


def _suited(request: FillRequest, barrel: BarrelOffer, start: date) -> Suited:
    """Gives the points of a barrel that passed the gates."""
    held = {family: carry_values()[family, request.family] for family in barrel.families_held}
    level_gap = abs(request.oak_wanted - barrel.oak_level)
    fill = FILL_POINTS * _clamp(10 * (Fraction(request.volume_ml, barrel.capacity_ml) - LEAST_FULL))
    oak = OAK_POINTS * (1 - Fraction(level_gap, 4))
    time = TIME_POINTS * _clamp(1 - Fraction((start - request.earliest).days, TIME_WINDOW_DAYS))
    carry = CARRY_POINTS * Fraction(min(held.values(), default=2), 2)
    ask_about = tuple(sorted(family for family, value in held.items() if value == 1))
    points = half_up(fill + oak + time + carry)
    return Suited(barrel.code, start, points, fill, oak, time, carry, ask_about)


def first_keeper_day(earliest: date, weekdays: Sequence[int]) -> date:
    """Gives the first date on or after ``earliest`` whose weekday the keeper works.

    Parameters
    ----------
    earliest : date, scalar
        The first date that would do [date].
    weekdays : sequence of int, shape (n,)
        ISO weekdays, Monday 1 to Sunday 7 [1].

    Returns
    -------
    date, scalar
        The first such date [date].

    Raises
    ------
    Underdetermined
        If no weekday from 1 to 7 is given.

    Source
    ------
    Weekday numbers of ISO 8601.

    Examples
    --------
    >>> first_keeper_day(date(2031, 5, 26), (2, 6))
    datetime.date(2031, 5, 27)
    """
    for days in range(7):
        day = earliest + timedelta(days=days)
        if day.isoweekday() in weekdays:
            return day
    raise Underdetermined("weekdays", tuple(weekdays), "at least one ISO weekday, 1 to 7")


def priority(shares: Sequence[int], wait_days: Sequence[int], fills_last_365: Sequence[float]) -> int:
    """Gives the priority of a request among those who wait: higher goes first.

    wait and fills are means weighted by share; P = max(20, 200 + min(180, round(wait))
    + (60 if no sharer had a fill) - round(40 fills)), rounded half up.

    Parameters
    ----------
    shares : sequence of int, shape (n,)
        Weights of the sharers, each more than 0 [1].
    wait_days : sequence of int, shape (n,)
        Days each has waited [days].
    fills_last_365 : sequence of float, shape (n,)
        Each one's own fills begun in the last 365 days, a half share counting 0.5 [fills].

    Returns
    -------
    int, scalar
        Priority, at least 20 [points].

    Raises
    ------
    Underdetermined
        If nobody shares.
    Inconsistent
        If the three differ in length.
    OutOfRange
        If a weight is not above 0, or a wait or a number of fills is negative.

    Source
    ------
    Design values of this project.

    Examples
    --------
    >>> priority([500, 500], [200, 0], [1, 0])
    280
    """
    if not shares:
        raise Underdetermined("shares", shares, "at least one sharer")
    for name, values in (("wait_days", wait_days), ("fills_last_365", fills_last_365)):
        if len(values) != len(shares):
            raise Inconsistent(name, len(values), f"{len(shares)} values, one a sharer")
    require_numbers("shares", shares, 0, None, above_low=True)
    require_numbers("wait_days", wait_days, 0, None, "days")
    require_numbers("fills_last_365", fills_last_365, 0, None, "fills")
    # A number such as 0.1 means a tenth, not the nearest double: read it as it is written.
    own = [Fraction(str(fills)) for fills in fills_last_365]
    weights = [Fraction(str(share)) for share in shares]
    wait = _mean(weights, [Fraction(str(waited)) for waited in wait_days])
    fills = _mean(weights, own)
    newcomers = 60 if not any(own) else 0
    return max(20, 200 + min(180, half_up(wait)) + newcomers - half_up(40 * fills))


def half_up(number: Fraction) -> int:
    """Rounds an exact number to a whole one, halves up.

    Parameters
    ----------
    number : Fraction, scalar
        The number [any].

    Returns
    -------
    int, scalar
        The nearest whole number, the higher of two [same].

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> half_up(Fraction(5, 2)), half_up(Fraction(-5, 2))
    (3, -2)
    """
    return math.floor(number + Fraction(1, 2))


def _mean(weights: list[Fraction], values: list[Fraction]) -> Fraction:
    """Gives the mean of values by their weights."""
    total = sum((weight * value for weight, value in zip(weights, values, strict=True)), Fraction(0))
    return total / sum(weights, Fraction(0))


def _clamp(number: Fraction) -> Fraction:
    """Keeps a share of points between none and all."""
    return max(Fraction(0), min(Fraction(1), number))


def _require_count(argument: str, value: int, low: int, unit: str, high: int | None = None) -> None:
    """Refuses what is not a whole number in range."""
    if (
        isinstance(value, bool)
        or not isinstance(value, int)
        or value < low
        or (high is not None and value > high)
    ):
        span = (
            f"a whole number, {low} to {high} {unit}"
            if high is not None
            else f"a whole number, at least {low} {unit}"
        )
        raise OutOfRange(argument, value, span)
