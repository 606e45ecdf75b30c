"""Every collection of acts, by name."""

from __future__ import annotations

from functools import cache
from importlib import import_module

from staveward.services.commands import ActKind
from staveward.services.errors import Missing

# A subject module offers its kinds as KINDS; a new subject is added here and nowhere else.
SUBJECTS = (
    "curings",
    "fills",
    "holds",
    "tendings",
    "readings",
    "tastings",
    "samples",
    "flights",
    "flight_scores",
    "flight_ends",
    "moves",
    "ownerships",
    "retirements",
    "repairs",
    "loans",
    "tags",
    "troubles",
    "reservations",
    "reservation_decisions",
    "pulls",
    "vessel_acts",
    "bottlings",
    "bottle_changes",
    "voids",
    "photo_removals",
    "tray",
    "barrels",
    "places",
    "people",
    "recipes",
)


@cache
def act_kinds() -> dict[str, ActKind]:
    """Returns all kinds by their collection.

    Whole or not at all: two threads may ask first at the same moment.
    """
    modules = [import_module(f"staveward.services.{subject}") for subject in SUBJECTS]
    return {kind.collection: kind for module in modules for kind in module.KINDS}


def act_kind(collection: str) -> ActKind:
    """Returns the kind of one collection."""
    kind = act_kinds().get(collection)
    if kind is None:
        raise Missing(f"There is no collection called {collection}.")
    return kind
