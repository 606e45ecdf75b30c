"""Notes in a taste that are no matter of liking: they are trouble with the wood."""

from __future__ import annotations

from collections.abc import Collection, Iterable

OFF_SMELL = "off_smell"
# What each says by the diagnosis table, the gravest first: from musty wood nothing reliable is known to help.
SIGN_OF_NOTE = {"musty": "musty", "vinegar": "vinegar", "sulphur": "rotten_egg"}
ALARMING = frozenset(SIGN_OF_NOTE)


def sign_of(off_notes: Collection[str]) -> str:
    """Returns the sign of the gravest of these notes, or nothing where none alarms."""
    return next((sign for note, sign in SIGN_OF_NOTE.items() if note in off_notes), "")


def gravest(signs: Iterable[str]) -> str:
    """Returns the gravest of signs that tastes gave."""
    order = list(SIGN_OF_NOTE.values())
    return min(signs, key=order.index)
