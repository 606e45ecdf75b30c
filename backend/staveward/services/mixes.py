"""What is poured together: each part's volume, by measure or by scale, and what they make."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any
from uuid import UUID

from staveward.models import Club, Person, Recipe, RecipeVersion, Vessel
from staveward.science.alcoholometry import abv_pct_from_reading
from staveward.science.blending import FORBIDDEN_IN_WOOD, Blend, Part, blend
from staveward.science.gauging import volume_from_weight_l
from staveward.science.vocabulary import IngredientKind
from staveward.selectors.recipes import recipe_queryset

# A measured volume and a weight of the same part may differ by this before somebody should look.
WEIGHT_AGREES_WITHIN = 0.05
# Above this an alcoholmeter shows too little, and the figure from the parts is nearer (27 CFR 30.31: solids up to
# 400 mg in 100 mL may be ignored).
SWEETEST_FOR_READING_G_L = 4.0


def part_temp_c(part: dict[str, Any]) -> float:
    """Returns the temperature that a part's volume was measured at: 20 degrees Celsius unless somebody says otherwise.

    A scale does not care how warm the liquid is, so what was only weighed has its volume at 20 degrees already.
    """
    temp_c: float | None = part.get("temp_c")
    return 20.0 if temp_c is None or part.get("volume_l") is None else temp_c


def weighed_volume_l(part: dict[str, Any]) -> float | None:
    """Returns the volume at 20 degrees Celsius that the scale says, or None where nobody weighed."""
    mass_kg = part.get("mass_kg")
    if mass_kg is None:
        return None
    liquid = blend([Part(1.0, part["abv_pct"], part.get("sugar_g_l") or 0.0)])
    return float(volume_from_weight_l(mass_kg, float(liquid.density_kg_m3)))


def part_volume_l(part: dict[str, Any]) -> float:
    """Returns a part's volume as somebody measured it, else at 20 degrees Celsius from its weight."""
    volume_l: float | None = part.get("volume_l")
    if volume_l is not None:
        return volume_l
    weighed = weighed_volume_l(part)
    assert weighed is not None, "a part has a volume or a mass"
    return weighed


def mix_blend(parts: Iterable[dict[str, Any]]) -> Blend:
    """Returns the true volume and strength of what is poured together."""
    return blend(
        [
            Part(
                volume_l=part_volume_l(part),
                abv_pct=part["abv_pct"],
                sugar_g_l=part.get("sugar_g_l") or 0.0,
                temp_c=part_temp_c(part),
            )
            for part in parts
        ]
    )


def poured(data: dict[str, Any]) -> tuple[float, float, float]:
    """Returns litres, % vol and sugar of a fill: measured where somebody measured, else computed from the parts."""
    mixed = mix_blend(data["parts"])
    volume_l, abv_pct = data.get("volume_l"), measured_abv_pct(data, float(mixed.sugar_g_l))
    return (
        float(mixed.volume_l if volume_l is None else volume_l),
        float(mixed.abv_pct if abv_pct is None else abv_pct),
        float(mixed.sugar_g_l),
    )


def measured_abv_pct(data: dict[str, Any], sugar_g_l: float) -> float | None:
    """Returns the strength somebody measured; a reading is put right for its temperature, and unfit in sugar."""
    if data.get("abv_pct") is not None:
        return float(data["abv_pct"])
    if data.get("abv_apparent_pct") is None or sugar_g_l > SWEETEST_FOR_READING_G_L:
        return None
    return float(abv_pct_from_reading(data["abv_apparent_pct"], data["abv_temp_c"]))


def mix_flags(club: Club, author: Person, data: dict[str, Any], sugar_g_l: float) -> list[str]:
    """Returns what is odd about a mix: it was poured all the same, so none of it is refused."""
    flags = []
    kinds = {IngredientKind(part["kind"]) for part in data["parts"] if part.get("kind")}
    if kinds & FORBIDDEN_IN_WOOD.keys():
        flags.append("never_in_wood")
    if data.get("abv_apparent_pct") is not None and sugar_g_l > SWEETEST_FOR_READING_G_L:
        flags.append("sweet_reading")
    if any(not _weight_agrees(part) for part in data["parts"]):
        flags.append("weight_disagrees")
    if any(not gate["ok"] for gate in data.get("gates") or ()):
        flags.append("gate_open")
    if data.get("recipe") is not None and recipe_named(club, author, data) is None:
        flags.append("recipe_unknown")
    return flags


def vessel_litres(parts: Iterable[dict[str, Any]]) -> dict[UUID, float]:
    """Returns how much was poured out of each vessel."""
    found: dict[UUID, float] = {}
    for part in parts:
        if part.get("vessel") is not None:
            found[part["vessel"]] = found.get(part["vessel"], 0.0) + part_volume_l(part)
    return found


def vessels_named(club: Club, parts: Iterable[dict[str, Any]]) -> dict[UUID, Vessel]:
    """Returns the vessels that parts come out of, by key; what is not the club's is not among them."""
    asked = {part["vessel"] for part in parts if part.get("vessel") is not None}
    return (
        {vessel.pk: vessel for vessel in Vessel.objects.for_club(club).filter(pk__in=asked)} if asked else {}
    )


def _weight_agrees(part: dict[str, Any]) -> bool:
    weighed = weighed_volume_l(part)
    volume_l: float | None = part.get("volume_l")
    if weighed is None or volume_l is None:
        return True
    return abs(weighed - volume_l) <= WEIGHT_AGREES_WITHIN * volume_l


def recipe_named(club: Club, author: Person, data: dict[str, Any]) -> Recipe | None:
    """Returns the recipe a fill was mixed from, in the version it says, if its author can know it."""
    recipe = recipe_queryset(club, author).filter(pk=data["recipe"]).first()
    number = data.get("recipe_version")
    if recipe is None or number is None:
        return recipe
    known = RecipeVersion.objects.filter(club=club, recipe=recipe, number=number).exists()
    return recipe if known else None
