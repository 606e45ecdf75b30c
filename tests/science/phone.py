"""Writes what the phone's part of the science takes from this one: its tables, and the points both must agree on.

    PYTHONPATH=backend .venv/bin/python -m tests.science.phone

``frontend/src/science/tables.ts`` gets every coefficient, bound, word and constant that the phone's rooms use, so no
digit is typed twice. ``fixtures/vectors/phone.json`` gets arguments and what the Python rooms make of them, refusals
included; vitest holds the TypeScript rooms to it.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np

from staveward.science import (
    alcoholometry,
    barrel_curve,
    barrel_measures,
    blending,
    bottles,
    curing,
    density_formula,
    errors,
    evaporation,
    fill_plan,
    gauging,
    guards,
    holding,
    mass_balance,
    soaking,
    vapour,
    vocabulary,
)
from staveward.science.tables import read_column

from .phone_points import asked_points
from .phone_refusals import REFUSED
from .phone_rooms import ROOMS, answer

ROOT = Path(__file__).parents[2]
TABLES = ROOT / "frontend" / "src" / "science" / "tables.ts"
POINTS = ROOT / "fixtures" / "vectors" / "phone.json"
COMMAND = "PYTHONPATH=backend .venv/bin/python -m tests.science.phone"

SCALARS: dict[str, float] = {
    "LARGEST_NUMBER": errors.LARGEST_NUMBER,
    "REFERENCE_TEMP_C": alcoholometry.REFERENCE_TEMP_C,
    "US_REFERENCE_TEMP_C": alcoholometry.US_REFERENCE_TEMP_C,
    "SODA_LIME_GLASS_PER_C": alcoholometry.SODA_LIME_GLASS_PER_C,
    "US_GALLON_L": alcoholometry.US_GALLON_L,
    "READABLE_SUGAR_G_L": alcoholometry.READABLE_SUGAR_G_L,
    "STEEL_MEASURE_PER_C": gauging.STEEL_MEASURE_PER_C,
    "AIR_KG_M3": gauging.AIR_KG_M3,
    "SCALE_WEIGHTS_KG_M3": gauging.SCALE_WEIGHTS_KG_M3,
    "SUGAR_ROOM_L_KG": blending.SUGAR_ROOM_L_KG,
    "WATER_KG_L": blending.WATER_KG_L,
    "LARGEST_MEASURE_CM": barrel_measures.LARGEST_MEASURE_CM,
    "REFERENCE_BILGE_CM": barrel_measures.REFERENCE_BILGE_CM,
    "REFERENCE_HEAD_CM": barrel_measures.REFERENCE_HEAD_CM,
    "REFERENCE_LENGTH_CM": barrel_measures.REFERENCE_LENGTH_CM,
    "USUAL_HEAD_MM": barrel_measures.USUAL_HEAD_MM,
    "USUAL_CHIME_MM": barrel_measures.USUAL_CHIME_MM,
    "ZERO_CELSIUS_K": evaporation.ZERO_CELSIUS_K,
    "WATER_PERMEABILITY": evaporation.WATER_PERMEABILITY,
    "K_SPREAD": mass_balance.K_SPREAD,
    "LEAK_SPREAD": mass_balance.LEAK_SPREAD,
    "LEAK_MEDIAN_G_PER_DAY_AT_1_L": mass_balance.LEAK_MEDIAN_G_PER_DAY_AT_1_L,
    "HOLD_TARGET_FRACTION": vocabulary.HOLD_TARGET_FRACTION,
    "HOLD_TOP_UP_FRACTION": vocabulary.HOLD_TOP_UP_FRACTION,
    "HOLD_LOWEST_FRACTION": vocabulary.HOLD_LOWEST_FRACTION,
    "SO2_PER_METABISULPHITE": holding.SO2_PER_METABISULPHITE,
    "SULPHUROUS_PKA": holding.SULPHUROUS_PKA,
    "DEFAULT_CITRIC_G_L": holding.DEFAULT_CITRIC_G_L,
    "DEFAULT_METABISULPHITE_G_L": holding.DEFAULT_METABISULPHITE_G_L,
    "TIGHT_ML_PER_DM2_DAY": curing.TIGHT_ML_PER_DM2_DAY,
    "CURING_LEAST_HOURS": curing.LEAST_HOURS,
    "CURING_DRY_JOINT_HOURS": curing.DRY_JOINT_HOURS,
    "CURING_WARN_HOURS": curing.WARN_HOURS,
    "CURING_GIVE_UP_HOURS": curing.GIVE_UP_HOURS,
    "CURING_NOT_CLOSING_HOURS": curing.NOT_CLOSING_HOURS,
    "CURING_TREND_INTERVALS": curing.TREND_INTERVALS,
    "CURING_ONE_SIDED_95": curing.ONE_SIDED_95,
    "CURING_ONE_SIDED_90": curing.ONE_SIDED_90,
    "CURING_READING_U_ML": curing._READING_U_ML,
    "CURING_RELATIVE_U": curing._RELATIVE_U,
    "CURING_SOAK_RELATIVE_U": curing._SOAK_RELATIVE_U,
    "CURING_AIR_RELATIVE_U": curing._AIR_RELATIVE_U,
    "CURING_REJECT_CAPACITY_SHARE_PER_H": curing.REJECT_CAPACITY_SHARE_PER_H,
    "SOAK_SPREAD": soaking.SOAK_SPREAD,
    "USUAL_HEADROOM": fill_plan.USUAL_HEADROOM,
    "OXYGEN_KG_MOL": bottles.OXYGEN_KG_MOL,
    "OXYGEN_SHARE_OF_AIR": bottles.OXYGEN_SHARE_OF_AIR,
    "GAS_CONSTANT_J_MOL_K": bottles.GAS_CONSTANT_J_MOL_K,
    "HEADSPACE_TARGET": bottles.HEADSPACE_TARGET,
    "HEADSPACE_LIMIT": bottles.HEADSPACE_LIMIT,
    "KEEPS_AS_SPIRIT_FROM_ABV_PCT": bottles.SPIRIT_FROM_ABV_PCT,
    "KEEPS_AS_MIX_FROM_ABV_PCT": bottles.MIX_FROM_ABV_PCT,
}


def _columns(name: str, *columns: str) -> list[list[float]]:
    return [list(row) for row in zip(*(read_column(name, c).tolist() for c in columns), strict=True)]


def _normal_quantiles(points: int) -> list[float]:
    """Gives the middles of equally likely slices of the normal curve, as ``holding`` takes them."""
    from scipy.special import ndtri

    return [float(x) for x in ndtri((np.arange(points) + 0.5) / points)]


def _constants() -> list[tuple[str, str, Any, bool]]:
    """Gives name, what it is, value, and whether TypeScript keeps the words as a type."""
    coefficients = density_formula._coefficients().tolist()
    flash = _columns("flash_point", "abv_pct", "published_c", "model_c")
    water_k, water_kpa = vapour._CRITICAL["water"]
    saturation = [
        [coefficient, exponent]
        for substance, coefficient, exponent in (
            (row["substance"], float(row["coefficient"]), float(row["exponent"]))
            for row in vapour.read_rows("saturation_pressure")
        )
        if substance == "water"
    ]
    return [
        (
            "OIML_R22",
            "Density [kg/m3] over p^k u^i: a row per k, a column per i. OIML R 22, 1975.",
            coefficients,
            False,
        ),
        ("GAUSS_POINTS", "Gauss-Legendre points on 0 to 1.", barrel_curve.UNIT_POINTS.tolist(), False),
        ("GAUSS_WEIGHTS", "Their weights.", barrel_curve.UNIT_WEIGHTS.tolist(), False),
        (
            "WATER_CRITICAL",
            "Critical temperature [K] and pressure [kPa] of water.",
            [water_k, water_kpa],
            False,
        ),
        ("WATER_SATURATION", "Coefficient and exponent of each term. IAPWS SR1-86, 1992.", saturation, False),
        (
            "K_QUANTILES",
            "Normal quantiles of the multiplier's points.",
            _normal_quantiles(holding._POINTS_K),
            False,
        ),
        (
            "LEAK_QUANTILES",
            "Normal quantiles of the leak's points.",
            _normal_quantiles(holding._POINTS_LEAK),
            False,
        ),
        (
            "SYRUP_COEFFICIENTS",
            "Density of syrup [kg/m3] over its sugar by mass.",
            blending._SYRUP_COEFFICIENTS,
            False,
        ),
        (
            "FLASH_POINT",
            "Strength [% vol] and the lower of two flash points [°C].",
            [[strength, min(one, other)] for strength, one, other in flash],
            False,
        ),
        (
            "KEEPING_DAYS",
            "Days of quality: gap up to this share; spirit, mix, wine. Common practice, no source.",
            _columns("keeping", "up_to_headspace", "spirit_days", "mix_days", "wine_days"),
            False,
        ),
        (
            "BOUNDS",
            "What a person may enter: lowest, highest, unit.",
            {name: [bound.low, bound.high, bound.unit] for name, bound in vocabulary.BOUNDS.items()},
            True,
        ),
        ("BARREL_PROFILES", "Curves of the stave.", list(vocabulary.BarrelProfile), True),
        ("WOOD_STATES", "How thirsty the wood is when it is filled.", list(vocabulary.WoodState), True),
        (
            "SOAK_SHARE",
            "Share of full soaking that wood in this state still takes.",
            {str(state): share for state, share in soaking.SOAK_SHARE.items()},
            False,
        ),
        (
            "INGREDIENT_KINDS",
            "Kinds of what may be poured into a mix.",
            list(vocabulary.IngredientKind),
            True,
        ),
        ("ALLERGENS", "Annex II of Regulation (EU) No 1169/2011.", list(vocabulary.Allergen), True),
        ("GUARD_LEVELS", "How loudly a mix is warned about, mildest first.", list(guards.GUARD_ORDER), True),
        ("FORBIDDEN_IN_WOOD", "What must not go into wood, and why.", dict(guards.FORBIDDEN_IN_WOOD), False),
        ("CLOGS_WOOD", "What clogs wood, and why.", dict(guards.CLOGS_WOOD), False),
        (
            "ASSUMED_SUGAR_G_L",
            "Sugar to assume when a label is silent.",
            dict(blending.ASSUMED_SUGAR_G_L),
            False,
        ),
    ]


def tables_text() -> str:
    """Writes the TypeScript file of tables and constants."""
    lines = [
        f"// Written from backend/staveward/science by: {COMMAND}",
        "// Change a figure there, where its source stands, never here.",
        "",
    ]
    for name, what, value, is_words in _constants():
        kind = ""
        if isinstance(value, dict) and not is_words:
            inner = "number" if all(isinstance(v, float) for v in value.values()) else "string"
            kind = f": Readonly<Partial<Record<string, {inner}>>>"
        elif not is_words:
            kind = ": readonly (readonly number[])[]" if isinstance(value[0], list) else ": readonly number[]"
        ending = " as const" if is_words else ""
        lines += [
            f"/** {what} */",
            f"export const {name}{kind} = {json.dumps(value, ensure_ascii=False)}{ending};",
        ]
    lines += ["", *(f"export const {name} = {value!r};" for name, value in SCALARS.items()), ""]
    return "\n".join(lines)


def points() -> dict[str, Any]:
    """Works out every point anew."""
    asked = [*asked_points(), *REFUSED]
    rows = [{"fn": name, "args": args, **answer(name, args)} for name, args in asked]
    return {
        "meta": {
            "about": "What the rooms of backend/staveward/science answer, for the phone's rooms to answer alike.",
            "written_by": COMMAND,
            "tolerance": {"rel": 1e-9, "abs": 1e-12},
            "source": "computed; the sources stand in each room",
        },
        "rows": [{"id": f"{row['fn']}-{n}", **row} for n, row in enumerate(rows, 1)],
    }


def points_text(found: dict[str, Any]) -> str:
    """Writes the points, a row a line."""
    rows = ",\n".join("  " + json.dumps(row, ensure_ascii=False, allow_nan=False) for row in found["rows"])
    return f'{{\n "meta": {json.dumps(found["meta"], ensure_ascii=False)},\n "rows": [\n{rows}\n ]\n}}\n'


def main() -> None:
    """Writes both files."""
    assert {name for name, _ in REFUSED} <= set(ROOMS)
    TABLES.write_text(tables_text(), encoding="utf-8")
    POINTS.write_text(points_text(points()), encoding="utf-8")


if __name__ == "__main__":
    main()
