"""Interleaved timing: what is compared takes turns, so that a machine whose speed drifts does not favour either."""

from __future__ import annotations

import gc
import hashlib
import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass

ROUNDS = 7


@dataclass(frozen=True)
class Pair:
    """The seconds of both in every round."""

    ours: list[float]
    peer: list[float]

    @property
    def ratios(self) -> list[float]:
        return [mine / theirs for mine, theirs in zip(self.ours, self.peer, strict=True)]

    def line(self, what: str, goal: float) -> str:
        """Returns what was found, and whether it meets its goal."""
        return self.told(
            what, f", {'within' if statistics.median(self.ratios) <= goal else 'MISSES'} the goal of {goal:g}"
        )

    def told(self, what: str, verdict: str = "") -> str:
        """Returns what was found."""
        ratios = sorted(self.ratios)
        return (
            f"{what}: {statistics.median(ratios):.2f} times ({ratios[0]:.2f} to {ratios[-1]:.2f}){verdict}"
            f"   [{1000 * statistics.median(self.ours):.1f} ms against {1000 * statistics.median(self.peer):.1f} ms]"
        )


def interleaved(ours: Callable[[], object], peer: Callable[[], object], repeats: int = 1) -> Pair:
    """Runs both once unmeasured, then in turn; each round's figure is the mean of its repeats."""
    ours(), peer()
    mine, theirs = [], []
    for _ in range(ROUNDS):
        mine.append(_seconds(ours, repeats))
        theirs.append(_seconds(peer, repeats))
    return Pair(mine, theirs)


def yardstick() -> float:
    """Returns the seconds this machine needs for a fixed piece of work, so that absolute times mean something."""
    block = bytes(1_000_000)
    return min(_seconds(lambda: [hashlib.sha256(block).digest() for _ in range(40)], 1) for _ in range(5))


def _seconds(work: Callable[[], object], repeats: int) -> float:
    gc.collect()
    start = time.perf_counter()
    for _ in range(repeats):
        work()
    return (time.perf_counter() - start) / repeats
