"""The season's plan: who fills which barrel when, as an integer programme solved exactly.

A plan is a proposal; the keeper accepts rows, and accepted rows stay fixed in the next run. Every row comes from a
candidate that passed the gates of ``planning``; here only what rows do to one another is decided. It takes seconds
to minutes, so it is run as a job. The steps of the solver are in ``season_model``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeVar

from .errors import Inconsistent, OutOfRange, Underdetermined, require_choice, require_numbers
from .season_model import Row, assigned, solved
from .vocabulary import Allergen, Family

TIME_LIMIT_S = 20.0
RELATIVE_GAP = 1e-4
# Above this many barrels only the best rows of each request are offered to the solver.
WHOLE_UP_TO_BARRELS = 100
BEST_ROWS_A_REQUEST = 60

Thing = TypeVar("Thing", "SeasonRequest", "SeasonBarrel")


class Unplaced(StrEnum):
    """Says why a request got nothing."""

    NO_CANDIDATE = "no_candidate"
    MEMBER_CAP = "member_cap"
    BARREL_TAKEN = "barrel_taken"
    OUTWEIGHED = "outweighed"


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonRequest:
    """Holds what of a request matters to the others: its family, sharers, allergens, and whether it wants oak.

    ``avoid_allergens`` are those that no sharer has lifted for this fill.
    """

    code: str
    family: str
    members: frozenset[str]
    wants_oak: bool = True
    allergens: frozenset[str] = frozenset()
    avoid_allergens: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        require_choice("family", self.family, list(Family))
        for allergen in self.allergens | self.avoid_allergens:
            require_choice("allergens", allergen, list(Allergen))
        if not self.members:
            raise Underdetermined("members", self.code, "at least one sharer")


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonBarrel:
    """Holds what of a barrel matters: whole standard fills its wood still gives, families and allergens it held."""

    code: str
    fills_left: int
    families_held: frozenset[str] = frozenset()
    allergens: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        _require_whole("fills_left", self.fills_left, 0)
        for family in self.families_held:
            require_choice("families_held", family, list(Family))
        for allergen in self.allergens:
            require_choice("allergens", allergen, list(Allergen))


@dataclass(frozen=True, slots=True)
class SeasonRow:
    """Holds one possible fill: request, barrel, the slot it starts in, how many slots it takes, and its value."""

    request: str
    barrel: str
    slot: int
    duration: int
    value: float


@dataclass(frozen=True, slots=True)
class SeasonPlan:
    """Holds the chosen rows, their value, how far from the best it can be at most, and who got nothing and why.

    ``gap`` is (bound - value)/value, 0 when proven best, None when the solver proved no bound. ``is_cut`` says that
    only the best rows of each request were offered, so the gap is that of the cut problem. ``is_out_of_time`` with no
    rows means that no plan was found. ``unplaced`` gives the reason and the requests that hold the wanted slots.
    """

    rows: tuple[SeasonRow, ...]
    value: float
    gap: float | None
    is_cut: bool
    is_out_of_time: bool
    unplaced: Mapping[str, tuple[Unplaced, tuple[str, ...]]]


def season_plan(
    requests: Sequence[SeasonRequest],
    barrels: Sequence[SeasonBarrel],
    candidates: Sequence[SeasonRow],
    *,
    slots: int,
    keeper_jobs_per_slot: int | Sequence[int] | None,
    max_fills_per_member: int | None,
    accepted: Sequence[SeasonRow] = (),
    time_limit_s: float = TIME_LIMIT_S,
    best_rows_a_request: int | None = None,
) -> SeasonPlan:
    """Chooses the rows of most value that can stand together.

    Maximise sum value x, x = 0 or 1, such that: a request at most once; no two rows of a barrel overlap; starts plus
    ends in a slot within the keeper's jobs; a member within the cap; fills that want oak within the wood's fills left;
    no row after one in the same barrel whose family, or allergen, it avoids (any later one, not only the next).

    Parameters
    ----------
    requests : sequence of SeasonRequest, shape (q,)
        Who asks [codes].
    barrels : sequence of SeasonBarrel, shape (b,)
        What there is [codes].
    candidates : sequence of SeasonRow, shape (n,)
        Rows that passed the gates, each request, barrel and slot once; none is allowed [slots, points].
    slots : int, scalar
        The keeper's days of the season, from 0 [count].
    keeper_jobs_per_slot : int or sequence of int or None, shape (slots,)
        Starts and ends the keeper can do; None for no limit [count].
    max_fills_per_member : int or None, scalar
        Most fills of one member in the season; None for no limit [count].
    accepted : sequence of SeasonRow, shape (a,)
        Rows that stay, whatever else is better [slots, points].
    time_limit_s : float, scalar
        When the solver stops with what it has, above 0 [s].
    best_rows_a_request : int or None, scalar
        Offer only that many rows of each request; None offers all up to 100 barrels, 60 above [count].

    Returns
    -------
    SeasonPlan, scalar
        Rows in order of slot and barrel, value [points] and gap [1].

    Raises
    ------
    OutOfRange
        If a number is not whole or lies outside its range.
    Inconsistent
        If a row names what is not there, stands twice, lies outside the season, or accepted rows exclude one another.

    Notes
    -----
    With at most one row a barrel possible and no other limit in force, the problem is an assignment and is solved as
    one, exactly. Plans of equal value are many; which of them comes is not defined.

    Source
    ------
    Design of this project; solved by HiGHS (Q. Huangfu and J. A. J. Hall, Parallelizing the dual revised simplex
    method, Mathematical Programming Computation 10, 2018, 119-142) through scipy.

    Examples
    --------
    >>> wishes = [SeasonRequest(code=code, family="spirit", members=frozenset({code})) for code in "pq"]
    >>> rows = [
    ...     SeasonRow("p", "B", 0, 2, 300),
    ...     SeasonRow("q", "B", 1, 2, 280),
    ...     SeasonRow("q", "B", 2, 2, 270),
    ... ]
    >>> plan = season_plan(
    ...     wishes,
    ...     [SeasonBarrel(code="B", fills_left=3)],
    ...     rows,
    ...     slots=4,
    ...     keeper_jobs_per_slot=2,
    ...     max_fills_per_member=1,
    ... )
    >>> [(row.request, row.slot) for row in plan.rows], plan.gap
    ([('p', 0), ('q', 2)], 0.0)
    """
    wishes = _by_code("requests", requests)
    casks = _by_code("barrels", barrels)
    _require_whole("slots", slots, 1)
    jobs = _jobs(keeper_jobs_per_slot, slots)
    if max_fills_per_member is not None:
        _require_whole("max_fills_per_member", max_fills_per_member, 0)
    require_numbers("time_limit_s", time_limit_s, 0, None, "s", above_low=True)
    if best_rows_a_request is not None:
        _require_whole("best_rows_a_request", best_rows_a_request, 1)
    fixed = [_checked("accepted", row, wishes, casks, slots) for row in accepted]
    offered = [_checked("candidates", row, wishes, casks, slots) for row in candidates]
    _require_once("candidates", offered)
    _require_once("accepted", fixed)
    if best_rows_a_request is None and len(casks) > WHOLE_UP_TO_BARRELS:
        best_rows_a_request = BEST_ROWS_A_REQUEST
    rows, is_cut = _cut(offered, fixed, best_rows_a_request)
    if not rows:
        return SeasonPlan((), 0.0, 0.0, False, False, dict.fromkeys(wishes, (Unplaced.NO_CANDIDATE, ())))
    plain = [Row(row.request, row.barrel, row.slot, row.slot + row.duration, row.value) for row in rows]
    if not fixed and _is_assignment(rows, wishes, casks, jobs, max_fills_per_member):
        chosen: list[int] = assigned(plain)
        gap: float | None = 0.0
        is_out_of_time = False
    else:
        found = solved(
            plain,
            {(row.request, row.barrel, row.slot) for row in fixed},
            wishes,
            casks,
            slots,
            jobs,
            max_fills_per_member,
            float(time_limit_s),
            RELATIVE_GAP,
        )
        if found is None:
            raise Inconsistent("accepted", len(fixed), "rows that can stand together")
        chosen, gap, is_out_of_time = found
    taken = sorted((rows[place] for place in chosen), key=lambda row: (row.slot, row.barrel, row.request))
    value = float(sum(row.value for row in taken))
    unplaced = _unplaced(wishes, offered, taken, max_fills_per_member)
    return SeasonPlan(tuple(taken), value, gap, is_cut, is_out_of_time, unplaced)


def _require_whole(argument: str, number: int, least: int) -> None:
    """Refuses what is not a whole number, or too small a one."""
    if isinstance(number, bool) or not isinstance(number, int) or number < least:
        raise OutOfRange(argument, number, f"a whole number, {least} or more")


def _by_code(argument: str, things: Sequence[Thing]) -> dict[str, Thing]:
    """Gives things by their code, each once."""
    found = {thing.code: thing for thing in things}
    if len(found) != len(things):
        raise Inconsistent(argument, len(things), "each code once")
    return found


def _jobs(limit: int | Sequence[int] | None, slots: int) -> list[int] | None:
    """Gives the keeper's jobs slot by slot."""
    if limit is None:
        return None
    limits = [limit] * slots if isinstance(limit, int) else list(limit)
    if len(limits) != slots:
        raise Inconsistent("keeper_jobs_per_slot", len(limits), f"{slots} values, one a slot")
    for jobs in limits:
        _require_whole("keeper_jobs_per_slot", jobs, 0)
    return limits


def _checked(
    argument: str,
    row: SeasonRow,
    wishes: Mapping[str, SeasonRequest],
    casks: Mapping[str, SeasonBarrel],
    slots: int,
) -> SeasonRow:
    """Refuses a row that names what is not there or lies outside the season."""
    if row.request not in wishes:
        raise Inconsistent(f"{argument} request", row.request, "a code of requests")
    if row.barrel not in casks:
        raise Inconsistent(f"{argument} barrel", row.barrel, "a code of barrels")
    _require_whole(f"{argument} slot", row.slot, 0)
    _require_whole(f"{argument} duration", row.duration, 1)
    if row.slot >= slots:
        raise OutOfRange(f"{argument} slot", row.slot, f"0 to {slots - 1}")
    require_numbers(f"{argument} value", row.value, 0, None, "points")
    return row


def _require_once(argument: str, rows: Sequence[SeasonRow]) -> None:
    """Refuses a request, barrel and slot that stand twice."""
    for key, times in Counter((row.request, row.barrel, row.slot) for row in rows).items():
        if times > 1:
            raise Inconsistent(argument, key, "each request, barrel and slot once")


def _cut(
    offered: Sequence[SeasonRow], fixed: Sequence[SeasonRow], most: int | None
) -> tuple[list[SeasonRow], bool]:
    """Gives the rows for the solver: the accepted ones, and each request's best of the rest."""
    kept = {(row.request, row.barrel, row.slot): row for row in fixed}
    so_far: Counter[str] = Counter()
    is_cut = False
    for row in sorted(offered, key=lambda row: (-row.value, row.slot, row.barrel)):
        if most is not None and so_far[row.request] >= most:
            is_cut = True
            continue
        so_far[row.request] += 1
        kept.setdefault((row.request, row.barrel, row.slot), row)
    return list(kept.values()), is_cut


def _is_assignment(
    rows: Sequence[SeasonRow],
    wishes: Mapping[str, SeasonRequest],
    casks: Mapping[str, SeasonBarrel],
    jobs: Sequence[int] | None,
    cap: int | None,
) -> bool:
    """Says whether requests and barrels need only be paired: one row a barrel at most, no limit that could bind."""
    if jobs is not None:
        return False
    asks = Counter(member for wish in wishes.values() for member in wish.members)
    if cap is not None and max(asks.values(), default=0) > cap:
        return False
    first_end: dict[str, int] = {}
    last_start: dict[str, int] = {}
    for row in rows:
        first_end[row.barrel] = min(
            first_end.get(row.barrel, row.slot + row.duration), row.slot + row.duration
        )
        last_start[row.barrel] = max(last_start.get(row.barrel, row.slot), row.slot)
        cask, wish = casks[row.barrel], wishes[row.request]
        # A barrel whose past, or whose wood, forbids the row is a matter for the programme.
        if (
            (wish.wants_oak and cask.fills_left < 1)
            or cask.allergens & wish.avoid_allergens
            or cask.families_held
        ):
            return False
    return all(last_start[barrel] < first_end[barrel] for barrel in last_start)


def _unplaced(
    wishes: Mapping[str, SeasonRequest],
    offered: Sequence[SeasonRow],
    taken: Sequence[SeasonRow],
    cap: int | None,
) -> dict[str, tuple[Unplaced, tuple[str, ...]]]:
    """Says why each request without a row has none, and which requests hold what it wanted."""
    placed = {row.request for row in taken}
    fills = Counter(member for row in taken for member in wishes[row.request].members)
    found: dict[str, tuple[Unplaced, tuple[str, ...]]] = {}
    for code, wish in wishes.items():
        if code in placed:
            continue
        wanted = [row for row in offered if row.request == code]
        in_the_way = {
            other.request
            for row in wanted
            for other in taken
            if other.barrel == row.barrel
            and other.slot < row.slot + row.duration
            and row.slot < other.slot + other.duration
        }
        capped = {
            row.request
            for row in taken
            for member in wish.members & wishes[row.request].members
            if cap is not None and fills[member] >= cap
        }
        if not wanted:
            found[code] = (Unplaced.NO_CANDIDATE, ())
        elif capped:
            found[code] = (Unplaced.MEMBER_CAP, tuple(sorted(capped)))
        elif in_the_way:
            found[code] = (Unplaced.BARREL_TAKEN, tuple(sorted(in_the_way)))
        else:
            found[code] = (Unplaced.OUTWEIGHED, ())
    return found
