"""Keys and instants as the database's own text.

Where thousands of rows go straight back out, making objects of their keys and instants and text of those again costs
several times what the database takes to find them. They are asked for as text, and written as the API writes them.
"""

from __future__ import annotations

from datetime import UTC, datetime
from typing import overload

from django.db.models import CharField, F
from django.db.models.functions import Cast


def as_text(path: str) -> Cast:
    """Returns a column as the database's own text."""
    return Cast(F(path), CharField())


@overload
def key_shown(text: str) -> str: ...
@overload
def key_shown(text: None) -> None: ...
def key_shown(text: str | None) -> str | None:
    """Writes a key of the database as the API does; SQLite keeps its 32 digits without dashes."""
    if text is None or len(text) == 36:
        return text
    return f"{text[:8]}-{text[8:12]}-{text[12:16]}-{text[16:20]}-{text[20:]}"


def instant_of(text: str) -> datetime:
    """Returns the instant that the database's text names; both databases keep UTC."""
    found = datetime.fromisoformat(text)
    return found.replace(tzinfo=UTC) if found.tzinfo is None else found


@overload
def instant_shown(text: str) -> str: ...
@overload
def instant_shown(text: None) -> None: ...
def instant_shown(text: str | None) -> str | None:
    """Writes an instant of the database as the API does: to the millisecond where it has any fraction."""
    if text is None:
        return None
    # PostgreSQL leaves out the last zeros, and says its zone, which is UTC.
    if text[19:20] != ".":
        return f"{text[:10]}T{text[11:19]}Z"
    fraction = text[20:].partition("+")[0]
    return f"{text[:10]}T{text[11:19]}.{fraction[:3]:0<3}Z"
