"""The season's plan as a sparse integer programme, and as an assignment: the inner steps of ``season``, no checks."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple, Protocol

import numpy as np

from .planning import carry_values
from .vocabulary import Family


class Row(NamedTuple):
    """Holds one possible fill: request, barrel, first slot, the slot after its last, and value."""

    request: str
    barrel: str
    begin: int
    end: int
    value: float


class Wish(Protocol):
    """Is what the programme asks of a request."""

    @property
    def family(self) -> str:
        """Gives the family of the fill."""
        ...

    @property
    def members(self) -> frozenset[str]:
        """Gives the sharers."""
        ...

    @property
    def wants_oak(self) -> bool:
        """Says whether oak is wanted."""
        ...

    @property
    def allergens(self) -> frozenset[str]:
        """Gives the allergens it holds."""
        ...

    @property
    def avoid_allergens(self) -> frozenset[str]:
        """Gives the allergens that no sharer has lifted."""
        ...


class Cask(Protocol):
    """Is what the programme asks of a barrel."""

    @property
    def fills_left(self) -> int:
        """Gives the whole standard fills that the wood still gives."""
        ...

    @property
    def families_held(self) -> frozenset[str]:
        """Gives the families held before."""
        ...

    @property
    def allergens(self) -> frozenset[str]:
        """Gives the allergens it holds."""
        ...


class _Limits:
    """Gathers rows of ``low <= A x <= high`` as coordinates."""

    def __init__(self) -> None:
        self.at: list[int] = []
        self.column: list[int] = []
        self.factor: list[float] = []
        self.high: list[float] = []

    def add(self, columns: Sequence[int], factors: Sequence[float], high: float) -> None:
        """Adds sum factor x <= high."""
        self.at += [len(self.high)] * len(columns)
        self.column += columns
        self.factor += factors
        self.high.append(high)

    def add_sum(self, columns: Sequence[int], high: float) -> None:
        """Adds a plain sum, unless it can never be exceeded."""
        if len(columns) > high:
            self.add(columns, [1.0] * len(columns), high)


def assigned(rows: Sequence[Row]) -> list[int]:
    """Pairs requests and barrels for the most value, when a barrel takes one row at most."""
    from scipy.optimize import linear_sum_assignment

    best: dict[tuple[str, str], int] = {}
    for place, row in enumerate(rows):
        pair = (row.request, row.barrel)
        if pair not in best or rows[best[pair]].value < row.value:
            best[pair] = place
    wishes, casks = sorted({pair[0] for pair in best}), sorted({pair[1] for pair in best})
    value = np.zeros((len(wishes), len(casks)))
    place_of = np.full(value.shape, -1)
    for (wish, cask), place in best.items():
        at = wishes.index(wish), casks.index(cask)
        value[at], place_of[at] = rows[place].value, place
    pairs = zip(*linear_sum_assignment(value, maximize=True), strict=True)
    return [int(place_of[pair]) for pair in pairs if place_of[pair] >= 0]


def solved(
    rows: Sequence[Row],
    fixed: set[tuple[str, str, int]],
    wishes: Mapping[str, Wish],
    casks: Mapping[str, Cask],
    slots: int,
    jobs: Sequence[int] | None,
    cap: int | None,
    time_limit_s: float,
    relative_gap: float,
) -> tuple[list[int], float | None, bool] | None:
    """Gives chosen places, gap and whether time ran out; None when the fixed rows exclude one another."""
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import coo_array

    limits = _Limits()
    _limit_rows(limits, rows, wishes, casks, slots, jobs, cap)
    clean_high = _limit_carry_over(limits, rows, wishes, casks)
    columns = len(rows) + len(clean_high)
    lower = np.zeros(columns)
    lower[: len(rows)] = [(row.request, row.barrel, row.begin) in fixed for row in rows]
    upper = np.concatenate([np.ones(len(rows)), clean_high])
    matrix = coo_array((limits.factor, (limits.at, limits.column)), shape=(len(limits.high), columns)).tocsc()
    found = milp(
        -np.concatenate([[row.value for row in rows], np.zeros(len(clean_high))]),
        integrality=np.concatenate([np.ones(len(rows)), np.zeros(len(clean_high))]),
        bounds=Bounds(lower, upper),
        constraints=LinearConstraint(matrix, -np.inf, limits.high) if limits.high else (),
        options={"time_limit": time_limit_s, "mip_rel_gap": relative_gap},
    )
    if found.status == 2:
        return None
    is_out_of_time = found.status == 1
    if found.x is None:
        return [], None, is_out_of_time
    chosen = [place for place in range(len(rows)) if found.x[place] > 0.5]
    gap = None if found.mip_gap is None or not np.isfinite(found.mip_gap) else max(0.0, float(found.mip_gap))
    return chosen, gap, is_out_of_time


def _limit_rows(
    limits: _Limits,
    rows: Sequence[Row],
    wishes: Mapping[str, Wish],
    casks: Mapping[str, Cask],
    slots: int,
    jobs: Sequence[int] | None,
    cap: int | None,
) -> None:
    """Adds: a request once, no overlap, the keeper's jobs, the members' cap, the wood's fills."""
    of_request, of_member, oak = defaultdict(list), defaultdict(list), defaultdict(list)
    busy, handled = defaultdict(list), defaultdict(list)
    for place, row in enumerate(rows):
        wish = wishes[row.request]
        of_request[row.request].append(place)
        for member in wish.members:
            of_member[member].append(place)
        if wish.wants_oak:
            oak[row.barrel].append(place)
        for slot in range(row.begin, min(row.end, slots)):
            busy[row.barrel, slot].append(place)
        handled[row.begin].append(place)
        if row.end < slots:
            handled[row.end].append(place)
    for together in (*of_request.values(), *busy.values()):
        limits.add_sum(together, 1)
    if jobs is not None:
        for slot, together in handled.items():
            limits.add_sum(together, jobs[slot])
    if cap is not None:
        for together in of_member.values():
            limits.add_sum(together, cap)
    for barrel, together in oak.items():
        limits.add_sum(together, casks[barrel].fills_left)


def _limit_carry_over(
    limits: _Limits, rows: Sequence[Row], wishes: Mapping[str, Wish], casks: Mapping[str, Cask]
) -> list[float]:
    """Adds columns ``clean`` per barrel, mark and slot, and what binds them; gives their upper bounds.

    A mark is a family that some other one avoids, or an allergen. Clean only falls: it is 0 after a row that leaves the
    mark, and a row that avoids the mark needs it to be 1.
    """
    avoids = {
        family: {held for held in Family if carry_values()[str(held), str(family)] == 0} for family in Family
    }
    leaves, needs = defaultdict(list), defaultdict(list)
    for place, row in enumerate(rows):
        wish = wishes[row.request]
        for mark in (f"family {wish.family}", *(f"allergen {one}" for one in wish.allergens)):
            leaves[row.barrel, mark].append(place)
        for mark in (
            *(f"family {held}" for held in avoids[Family(wish.family)]),
            *(f"allergen {one}" for one in wish.avoid_allergens),
        ):
            needs[row.barrel, mark].append(place)
    high: list[float] = []
    for (barrel, mark), needing in needs.items():
        cask = casks[barrel]
        has_mark = mark in {
            *(f"family {family}" for family in cask.families_held),
            *(f"allergen {one}" for one in cask.allergens),
        }
        leaving = leaves[barrel, mark]
        if not has_mark and not leaving:
            continue
        starts = sorted({rows[place].begin for place in (*needing, *leaving)})
        clean = {slot: len(rows) + len(high) + step for step, slot in enumerate(starts)}
        high += [0.0 if has_mark else 1.0] * len(starts)
        for slot, following in pairwise(starts):
            limits.add([clean[following], clean[slot]], [1.0, -1.0], 0.0)
            left = [place for place in leaving if rows[place].begin == slot]
            if left:
                limits.add([clean[following], *left], [1.0] * (1 + len(left)), 1.0)
        for slot in starts:
            wanting = [place for place in needing if rows[place].begin == slot]
            if wanting:
                limits.add([*wanting, clean[slot]], [1.0] * len(wanting) + [-1.0], 0.0)
    return high
