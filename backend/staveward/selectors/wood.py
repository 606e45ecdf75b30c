"""How much of the wood is used, what is left for which spirit, and what the last fill passes on: for many barrels."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from functools import cache, lru_cache
from typing import NamedTuple, Protocol
from uuid import UUID

import numpy as np

from staveward.models import StayKind
from staveward.science.carry_over import CARRY_OVER_SPREAD, carry_over_fraction
from staveward.science.evaporation import usual_stave_mm
from staveward.science.geometry import BarrelShape
from staveward.science.vocabulary import BOUNDS, STANDARD_FILL_DAYS, Rinse, SpiritKind
from staveward.science.wood import fills_left_many, standard_fills, wood_limits
from staveward.selectors.stays import FillFacts, StayFacts

SECONDS_A_DAY = 86_400.0
# A hold this long counts as the rinse it stands for.
WEEK_DAYS, MONTH_DAYS = 7.0, 28.0


class WoodQuestion(NamedTuple):
    """One barrel's wood: what earlier fills used (low, typical, high), and the fill that works on it now, if any."""

    before: tuple[float, float, float]
    spirit: str | None
    days: float


class WoodAnswer(NamedTuple):
    """Wood used now (1 = spent) and standard fills left for each spirit."""

    low: float
    typical: float
    high: float
    fills_left: dict[str, list[float]]

    @property
    def used(self) -> dict[str, float]:
        """Returns wood used as the API shows it."""
        return {"low": self.low, "typical": self.typical, "high": self.high}

    @property
    def is_spent(self) -> bool:
        """Whether the typical figure has reached the end; a warning, not a lock."""
        return self.typical >= 1.0


class Adopted(Protocol):
    """The columns of a barrel that say what its wood gave before the club had it."""

    @property
    def adopted_wood_used_low(self) -> float: ...
    @property
    def adopted_wood_used_high(self) -> float: ...
    @property
    def adopted_wood_kept(self) -> float: ...


def adopted_wood(barrel: Adopted) -> tuple[float, float]:
    """Returns the wood used that a barrel came with, less what repairs before its first stay gave back."""
    kept = barrel.adopted_wood_kept
    return kept * barrel.adopted_wood_used_low, kept * barrel.adopted_wood_used_high


def wood_question(
    stays: Sequence[StayFacts],
    fills: dict[UUID, FillFacts],
    adopted: tuple[float, float],
    now: datetime,
) -> WoodQuestion:
    """Returns what to ask of one barrel's wood."""
    if not stays:
        low, high = adopted
        return WoodQuestion((low, (low + high) / 2.0, high), None, 0.0)
    last = stays[-1]
    if last.ended_at is None and last.kind == StayKind.FILL and last.id in fills:
        days = (now - last.started_at).total_seconds() / SECONDS_A_DAY
        return WoodQuestion(
            (last.wood_before_low, last.wood_before_typical, last.wood_before_high),
            fills[last.id].spirit,
            days_counted(days),
        )
    return WoodQuestion((last.wood_after_low, last.wood_after_typical, last.wood_after_high), None, 0.0)


def days_counted(days: float) -> float:
    """Returns the days a fill has worked on its wood: none before it began, and no more than the model is valid for."""
    return min(max(days, 0.0), BOUNDS["days"].high)


def wood_answers(questions: Sequence[WoodQuestion]) -> list[WoodAnswer]:
    """Answers for many barrels at once."""
    if not questions:
        return []
    used = np.array([question.before for question in questions], dtype=np.float64)
    working = [row for row, question in enumerate(questions) if question.spirit is not None]
    if working:
        counted = np.asarray(standard_fills([questions[row].days for row in working]))
        limits = np.array([_limits(str(questions[row].spirit)) for row in working])
        # The highest limit gives the lowest share used.
        used[working] += counted[:, None] / limits[:, ::-1]
    left = fills_left_many(used[:, 2], used[:, 1], used[:, 0])
    low = {kind.value: np.round(found.low, 2).tolist() for kind, found in left.items()}
    high = {kind.value: np.round(found.high, 2).tolist() for kind, found in left.items()}
    shares = np.round(used, 4).tolist()
    kinds = [kind.value for kind in SpiritKind]
    return [
        WoodAnswer(share[0], share[1], share[2], {kind: [low[kind][row], high[kind][row]] for kind in kinds})
        for row, share in enumerate(shares)
    ]


def rinse_since(stays: Sequence[StayFacts], now: datetime) -> Rinse:
    """Returns what has washed the last fill out since: a wet hold counts by its length."""
    held_days = 0.0
    for stay in reversed(stays):
        if stay.kind == StayKind.FILL:
            break
        if stay.kind == StayKind.HOLD:
            held_days += ((stay.ended_at or now) - stay.started_at).total_seconds() / SECONDS_A_DAY
    if held_days >= MONTH_DAYS:
        return Rinse.WET_HOLD_MONTH
    return Rinse.WET_HOLD_WEEK if held_days >= WEEK_DAYS else Rinse.NONE


def carry_over(
    shape: BarrelShape, stave_mm: float | None, stays: Sequence[StayFacts], adopted: bool, now: datetime
) -> dict[str, float] | None:
    """Returns the share of the last fill in a usual next one (28 days, full), or None when there was none."""
    if not adopted and not any(stay.kind == StayKind.FILL for stay in stays):
        return None
    low, high = _carry_over_pct(shape, stave_mm, rinse_since(stays, now))
    return {"low": low, "high": high}


@cache
def _limits(spirit: str) -> tuple[float, float, float]:
    limit = wood_limits(spirit)
    return limit.low, limit.typical, limit.high


@lru_cache(maxsize=4096)
def _carry_over_pct(shape: BarrelShape, stave_mm: float | None, rinse: Rinse) -> tuple[float, float]:
    fraction = carry_over_fraction(
        shape.wood_area_cm2 / 1e4,
        stave_mm or float(usual_stave_mm(shape.capacity_l)),
        shape.capacity_l,
        STANDARD_FILL_DAYS,
        rinse,
    )
    return round(100.0 * fraction / CARRY_OVER_SPREAD, 2), round(100.0 * fraction * CARRY_OVER_SPREAD, 2)


def families_held(
    stays: Sequence[StayFacts], fills: dict[UUID, FillFacts], adopted_families: Sequence[str]
) -> list[str]:
    """Returns every family the wood has held, in order, without repeats."""
    found = [*adopted_families, *(fills[stay.id].family for stay in stays if stay.id in fills)]
    return list(dict.fromkeys(found))


def allergens_held(
    stays: Sequence[StayFacts], fills: dict[UUID, FillFacts], adopted_allergens: Sequence[str]
) -> list[str]:
    """Returns every allergen that was ever in the barrel; nothing takes one away."""
    found = set(adopted_allergens)
    for stay in stays:
        if stay.id in fills:
            found.update(fills[stay.id].allergens)
    return sorted(found)
