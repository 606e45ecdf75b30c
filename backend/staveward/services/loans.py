"""Loans: a barrel that works in somebody else's house for a while, and comes back."""

from __future__ import annotations

from staveward.services.commands import ActKind
from staveward.services.curings import cellar_work

KINDS = (
    ActKind("loans", "event", cellar_work),
    ActKind("loan-returns", "event", cellar_work),
)
