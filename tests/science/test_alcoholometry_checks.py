"""Runs every row of alcoholometry_checks.json through the rooms that serve it.

Each row names its own source: OIML R 22, 27 CFR part 30, USP 29, Perry's handbook, the 1913 measurements of the
US Bureau of Standards and others.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

from staveward.science.alcoholometry import (
    US_GALLON_L,
    US_REFERENCE_TEMP_C,
    abv_pct_from_density,
    abv_pct_from_mass_fraction,
    abv_pct_from_reading,
    abv_pct_from_us_proof,
    density_from_abv_kg_m3,
    density_kg_m3,
    mass_fraction_from_abv_pct,
    mass_fraction_from_density,
    mass_fraction_from_instrument,
    proof_gallons,
    us_proof_from_abv_pct,
)
from staveward.science.blending import Part, apparent_abv_pct, blend, syrup_density_kg_m3, water_to_reach_kg
from staveward.science.gauging import volume_from_weight_l, weight_in_air_kg

from .vectors import is_own_set, read_checks

CHECKS = read_checks("alcoholometry_checks.json")
POUND_KG = 0.45359237
OUNCES_A_POUND = 16

Inputs = dict[str, Any]


def celsius(inputs: Inputs) -> float:
    return float(inputs["t_C"]) if "t_C" in inputs else (float(inputs["t_F"]) - 32.0) / 1.8


def density_at_60f(proof: float) -> float:
    return float(density_from_abv_kg_m3(abv_pct_from_us_proof(proof), US_REFERENCE_TEMP_C))


def parts_of_water(proof: float) -> float:
    """Volumes of water in 100 volumes of spirit at 60 °F, with the spirit's alcohol: mass less ethanol."""
    alcohol = proof / 2.0 * float(density_kg_m3(1.0, US_REFERENCE_TEMP_C))
    return (100.0 * density_at_60f(proof) - alcohol) / float(density_kg_m3(0.0, US_REFERENCE_TEMP_C))


def reduction_water(inputs: Inputs) -> float:
    """Volumes of water to bring a spirit down: alcohol ratio times the weaker's water less the stronger's."""
    ratio = inputs["from_proof"] / inputs["to_proof"]
    return (
        (ratio * parts_of_water(inputs["to_proof"]) - parts_of_water(inputs["from_proof"]))
        * inputs["per_gal"]
        / 100
    )


def gallons_per_pound(density: float) -> float:
    return float(volume_from_weight_l(POUND_KG, density)) / US_GALLON_L


def pounds(gallons: float, density: float) -> float:
    return float(weight_in_air_kg(gallons * US_GALLON_L, density)) / POUND_KG


def proof_gallons_per_pound(proof: float) -> float:
    """Proof gallons in a pound in air, by way of its volume at 20 °C."""
    strength = abv_pct_from_us_proof(proof)
    return float(proof_gallons(volume_from_weight_l(POUND_KG, density_from_abv_kg_m3(strength)), strength))


def reduction_by_weight(inputs: Inputs) -> float:
    gallons = inputs["spirit_lb_in_air"] * proof_gallons_per_pound(inputs["from_proof"])
    return gallons / proof_gallons_per_pound(inputs["to_proof"]) - inputs["spirit_lb_in_air"]


def fill_weight(inputs: Inputs) -> float:
    exact = pounds(inputs["gal_60F"], density_at_60f(inputs["proof"]))
    return math.ceil(exact * OUNCES_A_POUND - 1e-9) / OUNCES_A_POUND


def specific_gravity(inputs: Inputs, temp_c: float) -> float:
    """Weight in air over the weight of the same volume of water in air, both at one temperature."""
    strength = abv_pct_from_us_proof(2.0 * inputs["abv_15.56C_percent"])
    spirit = weight_in_air_kg(1.0, density_from_abv_kg_m3(strength, temp_c))
    return float(spirit / weight_in_air_kg(1.0, density_kg_m3(0.0, temp_c)))


def reading_by_mass(inputs: Inputs) -> float:
    mark = density_kg_m3(inputs["reading_mass_percent"] / 100.0, 20.0)
    return 100.0 * float(mass_fraction_from_instrument(mark, celsius(inputs)))


def true_proof(inputs: Inputs) -> float:
    apparent = inputs["hydrometer_proof"] / 2.0
    return float(us_proof_from_abv_pct(abv_pct_from_reading(apparent, celsius(inputs), US_REFERENCE_TEMP_C)))


def volume_factor(inputs: Inputs) -> float:
    strength = abv_pct_from_us_proof(inputs["proof"])
    return float(density_from_abv_kg_m3(strength, celsius(inputs))) / density_at_60f(inputs["proof"])


def obscuration(inputs: Inputs) -> float:
    true = inputs["true_abv20_percent"]
    apparent = apparent_abv_pct(true, 10.0 * inputs["solids_g_per_100ml"])
    return float(us_proof_from_abv_pct(true) - us_proof_from_abv_pct(apparent))


def mixture(inputs: Inputs) -> Any:
    return blend(
        [Part(row["volume20_L"], row["abv_percent"], row["sugar_g_L"]) for row in inputs["ingredients"]]
    )


def dilution_water(inputs: Inputs) -> float:
    mixed = mixture(inputs)
    return float(water_to_reach_kg(mixed.volume_l, mixed.abv_pct, inputs["to_abv_percent"], mixed.sugar_g_l))


def reduced(inputs: Inputs) -> tuple[float, float]:
    """Water, and the volume that comes of pouring it in."""
    spirit = Part(inputs["volume20_L"], inputs["from_abv_percent"])
    water = float(water_to_reach_kg(spirit.volume_l, spirit.abv_pct, inputs["to_abv_percent"]))
    return water, float(blend([spirit, Part(water / 0.99820123, 0.0)]).volume_l)


def sucrose_density(inputs: Inputs) -> float:
    """Density of a plain syrup from its sugar by mass, the one figure such a row gives in percent."""
    (percent,) = (value for name, value in inputs.items() if "percent" in name)
    return float(syrup_density_kg_m3(percent / 100.0))


SERVED: dict[str, Callable[[Inputs], float]] = {
    "density_from_mass_strength": lambda i: float(density_kg_m3(i["mass_percent"] / 100.0, celsius(i))),
    "density_from_abv": lambda i: float(density_from_abv_kg_m3(i["abv20_percent"], celsius(i))),
    "abv_from_mass_strength": lambda i: float(abv_pct_from_mass_fraction(i["mass_percent"] / 100.0)),
    "mass_strength_from_abv": lambda i: 100.0 * float(mass_fraction_from_abv_pct(i["abv20_percent"])),
    "mass_strength_from_density20": lambda i: (
        100.0 * float(mass_fraction_from_density(i["density20_kg_m3"], 20.0))
    ),
    "abv_from_density20": lambda i: float(abv_pct_from_density(i["density20_kg_m3"])),
    "mass_strength_from_alcoholmeter": reading_by_mass,
    "abv_from_alcoholmeter": lambda i: float(abv_pct_from_reading(i["reading_abv_percent"], celsius(i))),
    "mass_strength_from_hydrometer": lambda i: (
        100.0 * float(mass_fraction_from_instrument(i["reading_density20_kg_m3"], celsius(i)))
    ),
    "abv_from_hydrometer": lambda i: float(
        abv_pct_from_mass_fraction(mass_fraction_from_instrument(i["reading_density20_kg_m3"], celsius(i)))
    ),
    "mass_strength_from_abv60F": lambda i: (
        100.0 * float(mass_fraction_from_abv_pct(abv_pct_from_us_proof(2.0 * i["abv_15.56C_percent"])))
    ),
    "abv60F_from_mass_strength": lambda i: (
        float(us_proof_from_abv_pct(abv_pct_from_mass_fraction(i["mass_percent"] / 100.0))) / 2.0
    ),
    "specific_gravity_air_15.56_15.56": lambda i: specific_gravity(i, US_REFERENCE_TEMP_C),
    "specific_gravity_air_25_25": lambda i: specific_gravity(i, 25.0),
    "us_table6_parts_water": lambda i: parts_of_water(i["proof"]),
    "us_reduction_water": reduction_water,
    "us_reduction_water_by_weight": reduction_by_weight,
    "us_gal_per_lb": lambda i: gallons_per_pound(density_at_60f(i["proof"])),
    "us_proof_gal_per_lb": lambda i: proof_gallons_per_pound(i["proof"]),
    "us_proof_gal_from_weight": lambda i: i["lb_in_air"] * proof_gallons_per_pound(i["proof"]),
    "us_fill_weight_rounded_up_to_ounce": fill_weight,
    "us_true_proof": true_proof,
    "us_volume_factor_to_60F": volume_factor,
    "us_water_weight": lambda i: pounds(1.0, float(density_kg_m3(0.0, celsius(i)))),
    "us_gal_per_lb_water": lambda i: gallons_per_pound(float(density_kg_m3(0.0, celsius(i)))),
    "obscuration_proof": obscuration,
    "reduction_water_kg": lambda i: reduced(i)[0],
    "reduction_final_volume20_L": lambda i: reduced(i)[1],
    "blend_volume20_L": lambda i: float(mixture(i).volume_l),
    "blend_abv20_percent": lambda i: float(mixture(i).abv_pct),
    "blend_sugar_g_L": lambda i: float(mixture(i).sugar_g_l),
    "blend_density_kg_m3": lambda i: float(mixture(i).density_kg_m3),
    "blend_density20_kg_m3": lambda i: float(mixture(i).density_kg_m3),
    "blend_mass_kg": lambda i: float(mixture(i).mass_kg),
    "blend_dilution_water_kg": dilution_water,
    "sucrose_density": sucrose_density,
    "sucrose_density20": sucrose_density,
}
# Quantities whose rooms are not built yet; each leaves this list with its room.
NOT_YET_SERVED: frozenset[str] = frozenset()


def test_it_knows_every_quantity_of_the_file():
    """A quantity must be served or stand on the list, and the list holds nothing else."""
    quantities = {row["quantity"] for row in CHECKS["rows"]}

    assert quantities - set(SERVED) <= NOT_YET_SERVED
    assert not NOT_YET_SERVED & set(SERVED)
    assert not is_own_set() or quantities >= NOT_YET_SERVED


def test_every_row_carries_its_source():
    """No row without a standard, regulation, handbook, table or method behind it."""
    for row in CHECKS["rows"]:
        assert row["source"]["title"], row["id"]


@pytest.mark.parametrize(
    "row", [row for row in CHECKS["rows"] if row["quantity"] in SERVED], ids=lambda row: str(row["id"])
)
def test_it_meets_the_row(row: dict[str, Any]):
    """Within the row's own tolerance of the row's own source."""
    got = SERVED[row["quantity"]](row["inputs"])

    assert abs(got - row["expected"]) <= row["tolerance_test"], (
        row["id"],
        got,
        row["expected"],
        row["source"],
    )
