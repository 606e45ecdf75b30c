"""The shape of an act on its way in, and of the code that knows one collection.

A subject's module (``services.fills``, ``services.tastings`` ...) describes its acts with one ``ActKind``;
``services.registry`` collects them; ``services.acts`` carries them out. So every act takes the same road.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Literal
from uuid import UUID

from staveward.models import Act, Barrel, Club, Person
from staveward.selectors.standing import Standing
from staveward.services.feed import FeedRow

Part = Literal["opening", "closing", "event", "apart"]


@dataclass(frozen=True)
class ActCommand:
    """One write as it arrived: the body as sent, and the same with its values typed (``data``)."""

    id: UUID
    club: Club
    author: Person
    collection: str
    path: str
    body: dict[str, Any]
    body_sha256: str
    data: dict[str, Any]
    happened_at: datetime
    entered_at: datetime
    received_at: datetime
    schema: int = 1
    time_typed: bool = False
    sent_at: datetime | None = None
    barrel: Barrel | None = None
    replaces: Act | None = None


def _no_flags(command: ActCommand) -> list[str]:
    return []


def _no_effect(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    return ()


def _no_barrels(command: ActCommand) -> Iterable[UUID]:
    return ()


def _author(command: ActCommand) -> Person | None:
    return None


@dataclass(frozen=True)
class ActKind:
    """What one collection means.

    ``part`` says how its acts lie in a barrel's life: an ``opening`` starts a stay, a ``closing`` ends one, an
    ``event`` happens within, and what is ``apart`` has its own row and no place in the life. ``judge`` refuses the
    impossible and returns flags for the odd; ``save_detail`` writes the typed half and returns further feed rows.
    ``barrels`` names those beside the act's own whose logs it may add to; they are locked with it.
    """

    collection: str
    part: Part
    authorise: Callable[[ActCommand, Standing], None]
    judge: Callable[[ActCommand], list[str]] = field(default=_no_flags)
    save_detail: Callable[[ActCommand, Act], Iterable[FeedRow]] = field(default=_no_effect)
    subject: Callable[[ActCommand], Person | None] = field(default=_author)
    barrels: Callable[[ActCommand], Iterable[UUID]] = field(default=_no_barrels)
