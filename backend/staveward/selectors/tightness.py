"""Whether a barrel was last shown to be tight: one rule for the gate before a fill and for the flag after it.

A curing is judged by its verdict. Fire dries the wood, so a repair undoes every verdict before it. Only another
curing, or a fill that stood in the wood until it was decanted, shows more; water that was held for a while does not.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any, NamedTuple, Protocol

from staveward.science.vocabulary import StayKind
from staveward.selectors.shapes import instant_text

# What was last shown.
TIGHT, HELD_A_FILL, GIVEN_UP, UNFINISHED, REPAIRED, UNKNOWN = (
    "tight",
    "held_a_fill",
    "given_up",
    "unfinished",
    "repaired",
    "unknown",
)
SHOWN = (TIGHT, HELD_A_FILL, GIVEN_UP, UNFINISHED, REPAIRED, UNKNOWN)
NOT_SHOWN_TIGHT = frozenset({GIVEN_UP, UNFINISHED, REPAIRED})


class EndedStay(Protocol):
    """What the rule needs of a stay."""

    @property
    def kind(self) -> str: ...
    @property
    def ended_at(self) -> datetime | None: ...
    @property
    def outcome(self) -> str: ...


class Tightness(NamedTuple):
    """What was last shown of a barrel, and when; ``at`` is None where nothing was."""

    shown: str
    at: datetime | None

    def as_row(self) -> dict[str, Any]:
        """Returns it as the API shows it."""
        return {"shown": self.shown, "at": instant_text(self.at)}


def last_shown(stays: Iterable[EndedStay], repaired_at: Iterable[datetime]) -> Tightness:
    """Returns what was last shown by a barrel's ended stays and its repairs.

    A repair ends the water it finds at its own instant, so it counts as the later of the two.
    """
    seen = [(at, 1, REPAIRED) for at in repaired_at]
    for stay in stays:
        if stay.ended_at is None:
            continue
        if stay.kind == StayKind.CURING:
            shown = stay.outcome if stay.outcome in (TIGHT, GIVEN_UP) else UNFINISHED
            seen.append((stay.ended_at, 0, shown))
        elif stay.kind == StayKind.FILL and stay.outcome == "decanted":
            seen.append((stay.ended_at, 0, HELD_A_FILL))
    if not seen:
        return Tightness(UNKNOWN, None)
    at, _, shown = max(seen, key=lambda one: one[:2])
    return Tightness(shown, at)
