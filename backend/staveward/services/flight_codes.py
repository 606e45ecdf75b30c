"""The codes of a blind flight: three digits by chance, a hidden duplicate, an order of its own for each taster.

The pourer's phone makes them, since a cellar has no signal, and the service holds them to the same rules; a flight
that comes without codes gets them here.
"""

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


@dataclass(frozen=True)
class Slip:
    """What is wrong with the codes somebody made: the value, what is allowed, and the sentence."""

    value: object
    allowed: str
    detail: str


def glasses_lay(fill_ids: Sequence[UUID], *, with_duplicate: bool, chance: Random) -> list[Glass]:
    """Returns the glasses in the order of pouring.

    A doubled fill stands half a round from itself, so that no taster, wherever they start, has it twice running.
    """
    line = list(fill_ids)
    chance.shuffle(line)
    if with_duplicate and len(line) >= DOUBLED_FROM:
        line.insert((len(line) + 1) // 2, line[0])
    start = chance.randrange(len(line))
    line = line[start:] + line[:start]
    codes = chance.sample(CODES, len(line))
    return glasses_taken([(str(code), fill_id) for code, fill_id in zip(codes, line, strict=True)])


def glasses_taken(poured: Sequence[tuple[str, UUID]]) -> list[Glass]:
    """Returns the glasses of codes and fills in the order of pouring."""
    line = [fill_id for _, fill_id in poured]
    return [Glass(code=code, fill_id=fill_id, is_doubled=line.count(fill_id) > 1) for code, fill_id in poured]


def glasses_slip(
    poured: Sequence[tuple[str, UUID]], fill_ids: Sequence[UUID], *, with_duplicate: bool
) -> Slip | None:
    """Returns the first thing that is wrong with codes made elsewhere; None where they keep the rules."""
    codes = [code for code, _ in poured]
    line = [fill_id for _, fill_id in poured]
    for code in codes:
        if not (len(code) == 3 and code.isascii() and code.isdigit() and int(code) in CODES):
            return Slip(code, "100 to 999, three digits", f"{code} is no code of three digits.")
        if codes.count(code) > 1:
            return Slip(code, "each code once", f"Two glasses have the code {code}.")
    for fill_id in line:
        if fill_id not in fill_ids:
            return Slip(str(fill_id), "the fills of this flight", "A glass holds what is not in this flight.")
    for fill_id in fill_ids:
        if fill_id not in line:
            return Slip(str(fill_id), "a glass for each fill", "A fill of this flight has no glass.")
    doubled = {fill_id for fill_id in line if line.count(fill_id) > 1}
    most = 1 if with_duplicate and len(fill_ids) >= DOUBLED_FROM else 0
    if len(doubled) != most or len(line) != len(fill_ids) + most:
        allowed = "one fill in two glasses, the others in one" if most else "each fill in one glass"
        return Slip(sorted(str(one) for one in doubled), allowed, f"Here it must be {allowed}.")
    for one in doubled:
        first = line.index(one)
        apart = line.index(one, first + 1) - first
        if apart in (1, len(line) - 1):
            return Slip(
                str(one),
                "two glasses of one fill apart from one another, all round",
                "Somebody would have the same fill twice running.",
            )
    return None


def codes_in_order(glasses: Sequence[Glass], taster: int) -> list[str]:
    """Returns the codes as the taster of that number meets them: rotated, so that no glass is everybody's first."""
    start = taster % len(glasses)
    return [glass.code for glass in (*glasses[start:], *glasses[:start])]
