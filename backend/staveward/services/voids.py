"""Taking an entry back: it stays readable, struck through, and counts no more."""

from __future__ import annotations

from staveward.selectors.standing import Standing
from staveward.services.commands import ActCommand, ActKind
from staveward.services.errors import Impossible

# Wishes and what was decided about them: another decision undoes them.
INTENTS = ("reservations", "reservation-decisions")


def _authorise(command: ActCommand, standing: Standing) -> None:
    """Whoever may correct an entry may void it; that was judged with the entry it replaces."""


def _judge(command: ActCommand) -> list[str]:
    if command.replaces is None:
        raise Impossible.field("act", None, "an entry of this club", "Say which entry is taken back.")
    if command.replaces.collection in INTENTS:
        raise Impossible.field(
            "act",
            str(command.replaces.pk),
            "an entry about what happened",
            "A reservation is withdrawn or refused, not taken back.",
        )
    return []


KINDS = (ActKind("voids", "event", _authorise, judge=_judge),)
