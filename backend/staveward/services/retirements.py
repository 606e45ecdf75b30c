"""Retirement: the end of a barrel's life, with its reason."""

from __future__ import annotations

from staveward.services.commands import ActKind
from staveward.services.curings import cellar_work

KINDS = (ActKind("retirements", "closing", cellar_work),)
