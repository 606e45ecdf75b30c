"""Every collection of acts, by name."""

from __future__ import annotations

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
    "moves",
    "ownerships",
    "retirements",
    "troubles",
    "reservations",
    "reservation_decisions",
    "voids",
    "tray",
    "barrels",
    "places",
    "people",
)

_kinds: dict[str, ActKind] = {}


def act_kinds() -> dict[str, ActKind]:
    """Returns all kinds by their collection."""
    if not _kinds:
        for subject in SUBJECTS:
            module = import_module(f"staveward.services.{subject}")
            _kinds.update({kind.collection: kind for kind in module.KINDS})
    return _kinds


def act_kind(collection: str) -> ActKind:
    """Returns the kind of one collection."""
    kind = act_kinds().get(collection)
    if kind is None:
        raise Missing(f"There is no collection called {collection}.")
    return kind
