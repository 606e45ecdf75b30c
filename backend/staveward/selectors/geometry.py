"""The inside of a registered barrel, from the best measures the register has."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Protocol

from staveward.science.barrel_measures import USUAL_CHIME_MM, USUAL_HEAD_MM
from staveward.science.geometry import BarrelShape

# What a tape and a rule tell of a barrel.
MEASURE_FIELDS = (
    "bilge_diameter_cm",
    "head_diameter_cm",
    "length_cm",
    "outside_bilge_diameter_cm",
    "outside_head_diameter_cm",
    "outside_length_cm",
    "stave_mm",
    "head_mm",
    "chime_mm",
)

_Measures = tuple[float | None, float | None, float | None]


class Measured(Protocol):
    """What a shape is worked out from: a barrel's row, or just these columns of it."""

    @property
    def nominal_l(self) -> float: ...
    @property
    def weighed_capacity_l(self) -> float | None: ...
    @property
    def profile(self) -> str: ...
    @property
    def bilge_diameter_cm(self) -> float | None: ...
    @property
    def head_diameter_cm(self) -> float | None: ...
    @property
    def length_cm(self) -> float | None: ...
    @property
    def outside_bilge_diameter_cm(self) -> float | None: ...
    @property
    def outside_head_diameter_cm(self) -> float | None: ...
    @property
    def outside_length_cm(self) -> float | None: ...
    @property
    def stave_mm(self) -> float | None: ...
    @property
    def head_mm(self) -> float | None: ...
    @property
    def chime_mm(self) -> float | None: ...


def barrel_shape(barrel: Measured) -> BarrelShape:
    """Returns the inside: taped within, else taped outside less the wood, else usual proportions.

    A weighed capacity overrides the tape; the shape then gives shares only.
    """
    return _shape(
        (barrel.head_diameter_cm, barrel.bilge_diameter_cm, barrel.length_cm),
        (barrel.outside_head_diameter_cm, barrel.outside_bilge_diameter_cm, barrel.outside_length_cm),
        (barrel.stave_mm, barrel.chime_mm, barrel.head_mm),
        barrel.profile,
        barrel.nominal_l,
        barrel.weighed_capacity_l,
    )


@lru_cache(maxsize=4096)
def _shape(
    taped: _Measures,
    outside: _Measures,
    wood_mm: _Measures,
    profile: str,
    nominal_l: float,
    weighed_capacity_l: float | None,
) -> BarrelShape:
    """Works a shape out once for each set of measures: its integrals are the costly part of a long list."""
    stave_mm, chime_mm, head_mm = wood_mm
    if taped[0] and taped[1] and taped[2]:
        shape = BarrelShape(taped[0], taped[1], taped[2], profile)
    elif outside[0] and outside[1] and outside[2] and stave_mm:
        shape = BarrelShape.from_outside(
            outside[0],
            outside[1],
            outside[2],
            stave_cm=stave_mm / 10.0,
            chime_cm=(USUAL_CHIME_MM if chime_mm is None else chime_mm) / 10.0,
            head_thickness_cm=(USUAL_HEAD_MM if head_mm is None else head_mm) / 10.0,
            profile=profile,
        )
    else:
        shape = BarrelShape.from_capacity(nominal_l, profile)
    if weighed_capacity_l is not None:
        shape = replace(shape, weighed_capacity_l=weighed_capacity_l)
    return shape


def capacity_basis(barrel: Measured) -> str:
    """Returns what the capacity rests on: weighed, taped or nominal."""
    if barrel.weighed_capacity_l is not None:
        return "weighed"
    inside = (barrel.head_diameter_cm, barrel.bilge_diameter_cm, barrel.length_cm)
    outside = (
        barrel.outside_head_diameter_cm,
        barrel.outside_bilge_diameter_cm,
        barrel.outside_length_cm,
        barrel.stave_mm,
    )
    return "taped" if all(inside) or all(outside) else "nominal"


def assumed_mm(barrel: Measured) -> dict[str, float]:
    """Returns what nobody measured of the wood and the shape takes as usual, by field [mm].

    Only a barrel measured outside needs it; of a barrel nobody measured the whole shape is a usual one.
    """
    inside = (barrel.head_diameter_cm, barrel.bilge_diameter_cm, barrel.length_cm)
    outside = (barrel.outside_head_diameter_cm, barrel.outside_bilge_diameter_cm, barrel.outside_length_cm)
    if all(inside) or not all(outside) or not barrel.stave_mm:
        return {}
    usual = {"head_mm": USUAL_HEAD_MM, "chime_mm": USUAL_CHIME_MM}
    return {field: value for field, value in usual.items() if getattr(barrel, field) is None}


def barrel_capacity_l(barrel: Measured) -> float:
    """Returns the capacity without integrating the stave where the scale or the maker says it."""
    if barrel.weighed_capacity_l is not None:
        return barrel.weighed_capacity_l
    if capacity_basis(barrel) == "nominal":
        return barrel.nominal_l
    return barrel_shape(barrel).capacity_l
