"""The codes of a blind flight: three digits by chance, a hidden duplicate, an order of its own for each taster."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random
from uuid import UUID

# From so many samples on, one of them stands there twice (our own rule).
DOUBLED_FROM = 4
# Without a nought in front, so that it is read as it is written.
CODES = range(100, 1000)


@dataclass(frozen=True)
class Glass:
    """One glass of a flight."""

    code: str
    fill_id: UUID
    is_doubled: bool


def glasses_lay(fill_ids: Sequence[UUID], *, with_duplicate: bool, chance: Random) -> list[Glass]:
    """Returns the glasses in the order of pouring.

    A doubled fill stands half a round from itself, so that no taster, wherever they start, has it twice running.
    """
    line = list(fill_ids)
    chance.shuffle(line)
    doubled = line[0] if with_duplicate and len(line) >= DOUBLED_FROM else None
    if doubled is not None:
        line.insert((len(line) + 1) // 2, doubled)
    start = chance.randrange(len(line))
    line = line[start:] + line[:start]
    codes = chance.sample(CODES, len(line))
    return [
        Glass(code=str(code), fill_id=fill_id, is_doubled=fill_id == doubled)
        for code, fill_id in zip(codes, line, strict=True)
    ]


def codes_in_order(glasses: Sequence[Glass], taster: int) -> list[str]:
    """Returns the codes as the taster of that number meets them: rotated, so that no glass is everybody's first."""
    start = taster % len(glasses)
    return [glass.code for glass in (*glasses[start:], *glasses[:start])]
