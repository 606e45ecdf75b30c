"""How values leave: the few shapes that every read shares."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import TypedDict, overload
from uuid import UUID


class Range(TypedDict):
    """What a model says: the middle, and the two ends of the interval that holds four times in five."""

    low: float
    mid: float
    high: float


@overload
def instant_text(instant: datetime) -> str: ...
@overload
def instant_text(instant: None) -> None: ...
def instant_text(instant: datetime | None) -> str | None:
    """Writes an instant in UTC as the API does, to the millisecond where it has any."""
    if instant is None:
        return None
    if instant.tzinfo is not UTC:
        instant = instant.astimezone(UTC)
    text = instant.isoformat(timespec="milliseconds" if instant.microsecond else "seconds")
    return text[:-6] + "Z"


@overload
def date_text(day: date) -> str: ...
@overload
def date_text(day: None) -> None: ...
def date_text(day: date | None) -> str | None:
    """Writes a local date as the API does."""
    return None if day is None else day.isoformat()


@overload
def key_text(key: UUID) -> str: ...
@overload
def key_text(key: None) -> None: ...
def key_text(key: UUID | None) -> str | None:
    """Writes a key as the API does."""
    return None if key is None else str(key)
