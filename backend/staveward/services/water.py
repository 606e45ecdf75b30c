"""Bounds that every act about litres in a barrel shares."""

from __future__ import annotations

from staveward.models import Barrel
from staveward.science.vocabulary import BOUNDS
from staveward.selectors.geometry import barrel_capacity_l
from staveward.services.errors import Impossible


def volume_judged(barrel: Barrel, volume_l: float, field: str) -> list[str]:
    """Refuses more than 110 % of what the barrel holds; returns the flag for what is only a little over."""
    capacity_l = barrel_capacity_l(barrel)
    most_l = BOUNDS["overfill_fraction"].high * capacity_l
    if volume_l > most_l:
        raise Impossible.field(
            field,
            volume_l,
            f"0 to {most_l:.2f} L (110 % of {capacity_l:.2f} L)",
            f"{barrel.name} holds {capacity_l:.2f} L; {volume_l:g} L cannot be in it.",
        )
    return ["over_capacity"] if volume_l > capacity_l else []
