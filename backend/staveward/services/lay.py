"""Lays openings and closings out into stays: the rule of a barrel's life, apart from any database.

Given the acts that open or end a stay, in any order, the same stays come out, and the same acts are left over;
only where two openings clash does it matter which was received first.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from uuid import UUID

OPENS = {"curings": "curing", "fills": "fill", "holds": "hold"}
CLOSES = {
    "decants": ({"fill"}, "decanted"),
    "curing-verdicts": ({"curing"}, ""),
    "drainings": ({"hold", "curing"}, "drained"),
    "retirements": ({"fill", "hold", "curing"}, "retired"),
    # Charring wants dry wood: it ends the water, and cannot be while there is a fill.
    "repairs": ({"hold", "curing"}, "repaired"),
    "trouble-settlements": ({"fill", "hold", "curing"}, ""),
}
# The outcomes of a trouble that leave nothing in the barrel; with every other the stay goes on.
SETTLED_EMPTY = ("rescued", "all_lost")
NOTHING_TO_CLOSE = {
    "decants": "nothing_to_decant",
    "curing-verdicts": "nothing_curing",
    "drainings": "nothing_to_drain",
}
# What may happen to an empty barrel too.
NEEDS_NOTHING = ("retirements", "repairs", "trouble-settlements")
ENDED_BY_OPENING = {"fill": "filled", "hold": "held", "curing": "cured_again"}


@dataclass(frozen=True)
class LifeAct:
    """An act that opens or ends a stay. ``verdict`` is the outcome that a curing verdict or a settlement names.

    ``received_at`` is when the entry first came, before any correction of it.
    """

    id: UUID
    collection: str
    ordered_at: datetime
    received_at: datetime
    verdict: str = ""


@dataclass(frozen=True)
class LaidStay:
    """A period of a barrel's life; its key is that of the act that opened it."""

    id: UUID
    kind: str
    started_at: datetime
    ended_at: datetime | None = None
    closing_id: UUID | None = None
    outcome: str = ""


@dataclass(frozen=True)
class Life:
    """What came out: stays in order, and the acts that did not fit, each with its reason."""

    stays: list[LaidStay]
    set_aside: dict[UUID, str]
    retired_at: datetime | None


def first_received(replaced: Mapping[UUID, tuple[UUID, datetime]]) -> dict[UUID, datetime]:
    """Returns when the entry that each correction goes back to was received.

    ``replaced`` names for each correction the entry it replaces, and when that one was received.
    """
    first: dict[UUID, datetime] = {}
    for act_id, earlier in replaced.items():
        while earlier[0] in replaced:
            earlier = replaced[earlier[0]]
        first[act_id] = earlier[1]
    return first


def lay_life(acts: Iterable[LifeAct]) -> Life:
    """Lays acts into stays.

    An opening while a fill is still in the barrel clashes with that fill: the later received of the two is set
    aside, and the sweep begins anew without it. A hold or a curing yields to whatever is opened next.
    """
    in_order = sorted(acts, key=lambda act: (act.ordered_at, act.id))
    left_out: dict[UUID, str] = {}
    while True:
        life, loser = _sweep(in_order, left_out)
        if loser is None:
            return life
        left_out[loser] = "openings_clash"


def _sweep(in_order: list[LifeAct], left_out: dict[UUID, str]) -> tuple[Life, UUID | None]:
    stays: list[LaidStay] = []
    set_aside = dict(left_out)
    current: LaidStay | None = None
    opener: LifeAct | None = None
    retired_at: datetime | None = None
    for act in in_order:
        if act.id in left_out:
            continue
        if retired_at is not None:
            set_aside[act.id] = "retired"
            continue
        kind = OPENS.get(act.collection)
        if kind is not None:
            if current is not None and current.kind == "fill" and opener is not None:
                loser = max(opener, act, key=lambda one: (one.received_at, one.id))
                return Life(stays, set_aside, retired_at), loser.id
            if current is not None:
                stays.append(
                    replace(
                        current, ended_at=act.ordered_at, closing_id=act.id, outcome=ENDED_BY_OPENING[kind]
                    )
                )
            current, opener = LaidStay(act.id, kind, act.ordered_at), act
            continue
        kinds, outcome = CLOSES[act.collection]
        rescues = act.collection == "trouble-settlements" and act.verdict == "rescued"
        if rescues and (current is None or current.kind != "fill"):
            set_aside[act.id] = "nothing_to_rescue"
        elif current is not None and current.kind in kinds:
            stays.append(
                replace(current, ended_at=act.ordered_at, closing_id=act.id, outcome=act.verdict or outcome)
            )
            current, opener = None, None
        elif act.collection not in NEEDS_NOTHING:
            set_aside[act.id] = NOTHING_TO_CLOSE[act.collection]
        elif act.collection == "repairs" and current is not None:
            set_aside[act.id] = "not_empty"
        if act.collection == "retirements":
            retired_at = act.ordered_at
    if current is not None:
        stays.append(current)
    return Life(stays, set_aside, retired_at), None
