"""Masses and weighed capacity: each figure in the register is the newest that an act which still stands said."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from staveward.models import Act, Barrel, BarrelMeasure, Placement

MEASURES = ("dry_mass_kg", "wet_mass_kg", "weighed_capacity_l")


def measures_note(act: Act, said: Mapping[str, Any], *, with_unknown: bool = False) -> None:
    """Keeps what an act said of these figures; an edit of the register may also say that one is not known."""
    found = {
        name: said[name] for name in MEASURES if name in said and (with_unknown or said[name] is not None)
    }
    if found:
        BarrelMeasure.objects.create(act=act, measured=found)


def barrel_measures_lay(barrel_id: UUID) -> None:
    """Writes into the register what stands; with every entry about a figure taken back, it is not known again.

    A figure that no entry ever spoke of is left alone.
    """
    rows = (
        BarrelMeasure.objects.filter(act__barrel_id=barrel_id)
        .order_by("act__ordered_at", "act_id")
        .values_list("measured", "act__is_head", "act__is_void", "act__placement", "act__set_aside_reason")
    )
    values: dict[str, float | None] = {}
    for measured, is_head, is_void, placement, reason in rows:
        # A verdict that waits for its place was weighed all the same; a second correction was not let in at all.
        stands = is_head and not is_void and (placement == Placement.PLACED or reason != "already_corrected")
        for name, value in measured.items():
            if stands:
                values[name] = value
            else:
                values.setdefault(name, None)
    if values:
        Barrel.objects.filter(pk=barrel_id).update(**values)
