"""The rooms that the phone has too, each as a function from named arguments to plain numbers."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import asdict, is_dataclass
from typing import Any

import numpy as np

from staveward.science import (
    alcoholometry,
    blending,
    bottles,
    curing,
    evaporation,
    fill_plan,
    gauging,
    guards,
    holding,
    sharing,
    soaking,
)
from staveward.science.errors import ScienceError
from staveward.science.geometry import BarrelShape, WettedArea, level_fraction

Args = dict[str, Any]
NOT_FINITE = {"nan": math.nan, "inf": math.inf, "-inf": -math.inf}


def read(value: Any) -> Any:
    """Turns the words for what is not finite into numbers."""
    return NOT_FINITE.get(value, value) if isinstance(value, str) else value


def plain(value: Any) -> Any:
    """Turns arrays, dataclasses and enumerations into what JSON has."""
    if is_dataclass(value) and not isinstance(value, type):
        return {name: plain(one) for name, one in asdict(value).items()}
    if isinstance(value, Mapping):
        return {str(name): plain(one) for name, one in value.items()}
    if isinstance(value, (tuple, list)):
        return [plain(one) for one in value]
    if isinstance(value, (bool, np.bool_)):
        return bool(value)
    if isinstance(value, np.ndarray):
        return plain(value.item() if value.size == 1 else value.tolist())
    if isinstance(value, np.generic):
        return plain(value.item())
    if isinstance(value, str):
        return str(value)
    return value


def _parts(args: Args) -> list[blending.Part]:
    return [blending.Part(**part) for part in args["parts"]]


def _blend(**args: Any) -> Any:
    mixed = blending.blend(_parts(args))
    return {**asdict(mixed), "density_kg_m3": mixed.density_kg_m3, "mass_fraction": mixed.mass_fraction}


def _scaled(**args: Any) -> Any:
    return [part.volume_l for part in blending.scale_to_barrel(_parts(args), args["volume_l"])]


def _plan(**args: Any) -> Any:
    parts = _parts(args)
    wish = {name: value for name, value in args.items() if name != "parts"}
    plan = fill_plan.plan_fill(parts, **wish)
    return {**asdict(plan), "parts": [part.volume_l for part in plan.parts]}


def _barrel(barrel: Args) -> Any:
    shape = BarrelShape(**barrel)
    return _measures(shape) | {
        "half_mark_cm": holding.half_mark_cm(shape),
        "lowest_mark_cm": holding.lowest_mark_cm(shape),
        "capacity_uncertainty": shape.capacity_uncertainty(),
        "own_capacity_uncertainty": shape.capacity_uncertainty(0.2, 0.3, 0.4, 0.01),
    }


def _measures(shape: BarrelShape) -> Args:
    names = (
        "head_diameter_cm", "bilge_diameter_cm", "length_cm", "shape_capacity_l", "capacity_l", "side_area_cm2",
        "head_area_cm2", "wood_area_cm2", "area_to_volume_cm2_per_l",
    )  # fmt: skip
    return {name: getattr(shape, name) for name in names}


def _wetted(area: WettedArea) -> Args:
    return {**asdict(area), "total_cm2": area.total_cm2}


def _lying(barrel: Args, dip_cm: float) -> Any:
    shape = BarrelShape(**barrel)
    return {
        "volume_l": shape.volume_at_dip_l(dip_cm),
        "surface_cm2": shape.surface_at_dip_cm2(dip_cm),
        "wetted": _wetted(shape.wetted_at_dip(dip_cm)),
    }


def _standing(barrel: Args, depth_cm: float) -> Any:
    shape = BarrelShape(**barrel)
    return {"volume_l": shape.standing_volume_l(depth_cm), "wetted": _wetted(shape.wetted_standing(depth_cm))}


def _levels(barrel: Args, share: float) -> Any:
    shape = BarrelShape(**barrel)
    volume = share * shape.capacity_l
    return {
        "dip_cm": shape.dip_at_volume_cm(volume),
        "depth_cm": shape.standing_depth_cm(volume),
        "wetted_cm2": shape.wetted_area_cm2(volume),
    }


def _rotation(barrel: Args, **args: Any) -> Any:
    plan = BarrelShape(**barrel).rotation_plan(**args)
    return {**asdict(plan), "clock_positions": plan.clock_positions}


def _water_level(**args: Any) -> Any:
    # A series of days is one row of a table with one barrel.
    rows = {name: [value] if isinstance(value, list) else value for name, value in args.items()}
    return holding.water_level_now(**rows)


def _tightness(intervals: list[Args], **args: Any) -> Any:
    return curing.tightness([curing.TopUpInterval(**one) for one in intervals], **args)


def _same(room: Any, *names: str) -> dict[str, Callable[..., Any]]:
    return {name: getattr(room, name) for name in names}


ROOMS: dict[str, Callable[..., Any]] = {
    **_same(
        alcoholometry,
        "density_kg_m3",
        "abv_pct_from_mass_fraction",
        "mass_fraction_from_abv_pct",
        "density_from_abv_kg_m3",
        "mass_fraction_from_density",
        "abv_pct_from_density",
        "mass_fraction_from_instrument",
        "abv_pct_from_reading",
        "us_proof_from_abv_pct",
        "abv_pct_from_us_proof",
        "pure_alcohol_l",
        "ethanol_g",
        "proof_gallons",
        "standard_drinks",
    ),
    **_same(gauging, "volume_at_20c_l", "volume_from_weight_l", "weight_in_air_kg"),
    **_same(
        blending,
        "volume_of_masses_l",
        "syrup_density_kg_m3",
        "syrup_sugar_g_l",
        "water_to_reach_kg",
        "water_to_reach_l",
        "apparent_abv_pct",
    ),
    "masses_of": lambda part: blending.masses_of(blending.Part(**part)),
    "blend": _blend,
    "scale_to_barrel": _scaled,
    "plan_fill": _plan,
    **_same(guards, "mix_guards", "flash_point_c"),
    "barrel": _barrel,
    "from_capacity": lambda **args: _measures(BarrelShape.from_capacity(**args)),
    "from_outside": lambda **args: _measures(BarrelShape.from_outside(**args)),
    "lying": _lying,
    "standing": _standing,
    "levels": _levels,
    "rotation_plan": _rotation,
    "level_fraction": level_fraction,
    **_same(evaporation, "vapour_pressure_water_kpa", "usual_wood_area_m2", "usual_stave_mm"),
    "water_level_now": _water_level,
    **_same(holding, "top_up_due", "holding_solution", "active_so2_share", "so2_carried_mg_l"),
    **_same(
        bottles,
        "bottle_count",
        "headspace_fill_ml",
        "headspace_oxygen_mg_l",
        "keeping_days",
        "neck_depth_mm",
    ),
    **_same(soaking, "soaked_l"),
    **_same(curing, "expected_drink"),
    "tightness": _tightness,
    "divide_bottles": sharing.divide_bottles,
}


def answer(name: str, args: Args) -> dict[str, Any]:
    """Gives what the room says, or how it refuses."""
    try:
        return {"expect": plain(ROOMS[name](**{key: read(value) for key, value in args.items()}))}
    except ScienceError as refusal:
        return {
            "error": {"kind": type(refusal).__name__, "argument": refusal.argument, "bound": refusal.bound}
            | ({"message": str(refusal)} if isinstance(refusal.value, float) else {})
        }
