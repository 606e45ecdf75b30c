"""What the demo's history is told with: acts in their bodies, by day and hour, before anything is written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import numpy as np

# How long after it happened an entry reached the server, on a club's usual evening.
ENTERED_AFTER = timedelta(minutes=1)
RECEIVED_AFTER = timedelta(minutes=3)
LATEST_BEFORE_NOW = timedelta(minutes=20)


@dataclass(frozen=True)
class Entry:
    """One act of the story."""

    id: UUID
    collection: str
    author: str
    happened_at: datetime
    data: dict[str, Any]

    @property
    def received_at(self) -> datetime:
        """When the server got it."""
        return self.happened_at + RECEIVED_AFTER


@dataclass
class Story:
    """Collects entries; days count from the day of loading, and the seed makes every number repeatable."""

    now: datetime
    zone: ZoneInfo
    seed: int
    entries: list[Entry] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.chance = np.random.default_rng(self.seed)
        self.today: date = self.now.astimezone(self.zone).date()

    def at(self, day: float, hour: float = 18.0) -> datetime:
        """Returns an instant on a day of the story at about an hour of the club's clock, never later than now."""
        whole = int(np.floor(day))
        minutes = round((hour + 24.0 * (day - whole)) * 60.0)
        midnight = datetime.combine(self.today + timedelta(days=whole), time(), self.zone)
        return min(midnight + timedelta(minutes=minutes), self.now - LATEST_BEFORE_NOW)

    def is_past(self, day: float, hour: float) -> bool:
        """Whether such an instant lies far enough back to have been entered."""
        return self.at(day, hour) < self.now - LATEST_BEFORE_NOW

    def tell(self, collection: str, author: str, happened_at: datetime, **data: Any) -> UUID:
        """Adds an entry and returns its key."""
        key = self.key(happened_at)
        self.entries.append(
            Entry(
                key,
                collection,
                author,
                happened_at,
                {"happened_at": happened_at, "entered_at": happened_at + ENTERED_AFTER, **data},
            )
        )
        return key

    def key(self, moment: datetime) -> UUID:
        """Returns a UUIDv7 (RFC 9562) of this moment, from the story's own chance."""
        milliseconds = int(moment.timestamp() * 1000)
        noise = int.from_bytes(self.chance.bytes(10), "big")
        value = (milliseconds & (2**48 - 1)) << 80 | noise
        value = value & ~(0xF << 76) | 0x7 << 76
        value = value & ~(0x3 << 62) | 0x2 << 62
        return UUID(int=value)

    def near(self, value: float, spread: float) -> float:
        """Returns a value as somebody measured it."""
        return float(value + spread * self.chance.standard_normal())

    def is_likely(self, probability: float) -> bool:
        """Whether something that happens this often happened."""
        return bool(self.chance.random() < probability)

    def one_of(self, names: Mapping[str, Any] | list[str]) -> str:
        """Returns one of these names."""
        known = list(names)
        return known[int(self.chance.integers(len(known)))]
