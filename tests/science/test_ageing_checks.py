"""Runs every row of ageing_checks.json through the rooms that serve it.

Each row names its own source: IAPWS, Schroeder et al. 2014, the DECHEMA collection, OIML R 22, and working
assumptions of this project where nothing is published.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq

from staveward.science.ageing import (
    DipReading,
    StrengthReading,
    Weighing,
    calibrate,
    simulate,
    simulate_segments,
)
from staveward.science.alcoholometry import mass_fraction_from_abv_pct
from staveward.science.errors import OutOfRange, ScienceError
from staveward.science.evaporation import (
    ETHANOL_KG_MOL,
    WATER_KG_MOL,
    activity_coefficients,
    crossover_rh,
    loss_g_per_day,
    partial_pressures,
    usual_stave_mm,
    usual_wood_area_m2,
    vapour_pressure_ethanol_kpa,
    vapour_pressure_water_kpa,
)
from staveward.science.wood import (
    WoodEvent,
    carry_over_fractions,
    fills_left,
    held_l,
    mixed_strength_pct,
    oak_index_months,
    soaked_l,
    strength_factor,
    wood_factor,
    wood_used,
)

from .vectors import is_own_set, read_checks

CHECKS = read_checks("ageing_checks.json")
ATMOSPHERE_KPA = 101.325
REPAIRS = {"recharge_scrape": "scrape_and_rechar", "retoast": "retoast"}

Args = dict[str, Any]


def pressures_kpa(x_ethanol: float, t_c: float) -> tuple[float, float]:
    ethanol, water = activity_coefficients(x_ethanol, t_c)
    return (
        float(x_ethanol * ethanol * vapour_pressure_ethanol_kpa(t_c)),
        float((1.0 - x_ethanol) * water * vapour_pressure_water_kpa(t_c)),
    )


def bubble_point(x_ethanol: float) -> tuple[float, float]:
    """Boiling point at one atmosphere and the vapour's mole fraction: where the pressures add up to it."""
    t_c = brentq(lambda t: sum(pressures_kpa(x_ethanol, t)) - ATMOSPHERE_KPA, 60.0, 100.0, xtol=1e-12)
    return float(t_c), pressures_kpa(x_ethanol, t_c)[0] / ATMOSPHERE_KPA


def azeotrope(_: Args) -> Args:
    """Where vapour and liquid have the same composition."""
    x = brentq(lambda x: bubble_point(x)[1] - x, 0.7, 0.99, xtol=1e-12)
    mass = x * ETHANOL_KG_MOL / (x * ETHANOL_KG_MOL + (1.0 - x) * WATER_KG_MOL)
    return {"w_ethanol": mass, "t_c": bubble_point(x)[0], "x_ethanol": x}


def gammas(args: Args) -> Args:
    ethanol, water = activity_coefficients(args["x_ethanol"], args["t_c"])
    return {"ethanol": float(ethanol), "water": float(water)}


def pressures(args: Args) -> Args:
    over = partial_pressures(args["q_pct"], args["t_c"], args.get("sugar_kg_per_kg", 0.0))
    return {
        "p_mass": float(mass_fraction_from_abv_pct(args["q_pct"])),
        "ethanol_kPa": float(over.ethanol_kpa),
        "water_kPa": float(over.water_kpa),
    }


def bubble(args: Args) -> Args:
    t_c, y = bubble_point(args["x_ethanol"])
    return {"t_c": t_c, "y_ethanol": y}


def evaporated(args: Args) -> Args:
    loss = loss_g_per_day(
        args["q_pct"], args["t_c"], args["rh"], args["area_m2"], args["stave_mm"], args.get("k", 1.0)
    )
    return {"water_g_day": float(loss.water_g_per_day), "ethanol_g_day": float(loss.ethanol_g_per_day)}


def contents(after: Any) -> Args:
    return {
        "water_g": float(after.water_g),
        "ethanol_g": float(after.ethanol_g),
        "V_L": float(after.volume_l),
        "q_pct": float(after.abv_pct),
    }


def simulated(args: Args) -> Args:
    return contents(
        simulate(
            args["V0_L"],
            args["q0_pct"],
            args["t_c"],
            args["rh"],
            args["area_m2"],
            args["stave_mm"],
            args["days"],
            k=args["k"],
            leak_g_per_day=args["leak_g_day"],
        )
    )


def simulated_segments(args: Args) -> Args:
    return contents(
        simulate_segments(
            args["V0_L"],
            args["q0_pct"],
            args["segments_days_tc_rh"],
            args["area_m2"],
            args["stave_mm"],
            k=args["k"],
            leak_g_per_day=args["leak_g_day"],
        )
    )


def wood_life(args: Args) -> Args:
    used = wood_used(
        [WoodEvent(REPAIRS.get(event["kind"], event["kind"]), event["days"]) for event in args["events"]]
    )
    left = fills_left(used, args["next"])
    return {
        "used_pessimistic": used.pessimistic,
        "used_typical": used.typical,
        "used_optimistic": used.optimistic,
        "remaining_low": left.low,
        "remaining_typical": left.typical,
        "remaining_high": left.high,
        "spent_typical": used.is_spent,
    }


def posterior(args: Args) -> Args:
    found = calibrate(
        args["V0_L"],
        args["q0_pct"],
        args["t_c"],
        args["rh"],
        args["area_m2"],
        args["stave_mm"],
        args["V_cap_L"],
        args["predict_day"],
        weighings=[Weighing(*row) for row in args["weighings_day_kg"]],
        tare_kg=args["tare_kg"],
        dips=[DipReading(*row) for row in args["dips_day_L_dVdh"]],
        strengths=[StrengthReading(*row) for row in args["hydrometer_day_q_Eu"]],
        wood_state=args["wood_state"],
    )
    return {
        "k_geo_mean": found.k_geo_mean,
        "k_gsd": found.k_spread,
        "leak_geo_mean_g_day": found.leak_geo_mean_g_per_day,
        "leak_gsd": found.leak_spread,
        "V10": found.volume_low_l,
        "V50": found.volume_mid_l,
        "V90": found.volume_high_l,
        "q10": found.abv_low_pct,
        "q50": found.abv_mid_pct,
        "q90": found.abv_high_pct,
    }


SERVED: dict[str, Callable[[Args], Any]] = {
    "psat_water_kPa": lambda a: float(vapour_pressure_water_kpa(a["t_c"])),
    "psat_ethanol_kPa": lambda a: float(vapour_pressure_ethanol_kpa(a["t_c"])),
    "gammas": gammas,
    "partial_pressures_kPa": pressures,
    "bubble_point_101325": bubble,
    "azeotrope_101325": azeotrope,
    "area_fallback_m2": lambda a: float(usual_wood_area_m2(a["V_cap_L"])),
    "stave_fallback_mm": lambda a: float(usual_stave_mm(a["V_cap_L"])),
    "evap_g_day": evaporated,
    "crossover_rh": lambda a: float(crossover_rh(a["q_pct"], a["t_c"])),
    "simulate": simulated,
    "simulate_segments": simulated_segments,
    "soak_L": lambda a: float(soaked_l(a["days"], a["area_m2"], a["stave_mm"], a["wood_state"])),
    "held_L": lambda a: float(held_l(a["area_m2"], a["stave_mm"])),
    "mixed_strength_pct": lambda a: float(
        mixed_strength_pct(a["V_L"], a["q_pct"], a["area_m2"], a["stave_mm"], a["q_prev_pct"], a["days"])
    ),
    "oak_index_months": lambda a: float(
        oak_index_months(
            a["days"], a["V_L"], a["area_m2"], a["q_pct"], a["t_c"], a["wood_used"], a["n"], a["toast"]
        )
    ),
    "f_wood": lambda a: float(wood_factor(a["wood_used"])),
    "f_strength": lambda a: float(strength_factor(a["q_pct"])),
    "wood_life": wood_life,
    "carry_over_fractions": lambda a: list(
        carry_over_fractions(a["area_m2"], a["stave_mm"], a["fills_L_days"], a["rinse_before"])
    ),
    "posterior": posterior,
}
# Functions whose rooms are not built yet; each leaves this list with its room.
NOT_YET_SERVED: frozenset[str] = frozenset()

ROWS = [row for row in CHECKS["checks"] if row["fn"] in SERVED]
PROPERTIES = {row["id"]: row["text"] for row in CHECKS["checks"] if row["fn"] == "property"}


def in_five_litres(rh: float, days: float, **more: float) -> Any:
    """A full 5 L barrel of usual measures at 60 % vol and 20 °C."""
    return simulate(5.0, 60.0, 20.0, rh, usual_wood_area_m2(5.0), usual_stave_mm(5.0), days, **more)


def check_small_loses_more() -> None:
    lost = []
    for size in (5.0, 200.0):
        area, stave = usual_wood_area_m2(size), usual_stave_mm(size)
        lost.append(1.0 - float(simulate(size, 60.0, 20.0, 0.55, area, stave, 30).volume_l) / size)
    assert 4.0 <= lost[0] / lost[1] <= 8.0


def check_more_data_narrower() -> None:
    readings = ("weighings_day_kg", "dips_day_L_dVdh", "hydrometer_day_q_Eu")
    for row in (row["args"] for row in ROWS if row["fn"] == "posterior"):
        if any(row[name] for name in readings):
            with_data, without = posterior(row), posterior({**row, **{key: [] for key in readings}})
            assert with_data["V90"] - with_data["V10"] < without["V90"] - without["V10"]


def check_leak_keeps_strength() -> None:
    after = in_five_litres(0.55, 90, k=0.0, leak_g_per_day=5.0)
    assert float(after.abv_pct) == pytest.approx(60.0, rel=1e-9)
    assert float(after.volume_l) < 5.0


def check_low_humidity() -> None:
    assert float(in_five_litres(0.40, 30).abv_pct) > 60.0


def check_high_humidity() -> None:
    assert float(in_five_litres(0.85, 30).abv_pct) < 60.0


def check_bad_input() -> None:
    good = {
        "volume_l": 5.0,
        "abv_pct": 60.0,
        "temp_c": 20.0,
        "rh_fraction": 0.5,
        "area_m2": 0.16,
        "stave_mm": 14.5,
    }
    bad = {"rh_fraction": 1.2, "temp_c": 80.0, "abv_pct": 101.0, "days": -1.0, "area_m2": 0.0}
    for name, value in bad.items():
        with pytest.raises(OutOfRange) as caught:
            simulate(**{"days": 30.0, **good, name: value})
        assert isinstance(caught.value, ScienceError)
        assert caught.value.argument == name
    for value in (np.nan, np.inf, -np.inf):
        for name in good:
            with pytest.raises(OutOfRange):
                simulate(**{"days": 30.0, **good, name: value})


SERVED_PROPERTIES: dict[str, Callable[[], None]] = {
    "prop_low_rh_strength_rises": check_low_humidity,
    "prop_high_rh_strength_falls": check_high_humidity,
    "prop_small_loses_more": check_small_loses_more,
    "prop_leak_keeps_strength": check_leak_keeps_strength,
    "prop_more_data_narrower": check_more_data_narrower,
    "prop_bad_input": check_bad_input,
}


def test_it_knows_every_function_of_the_file():
    """A function must be served or stand on the list, and the list holds nothing else."""
    functions = {row["fn"] for row in CHECKS["checks"]} - {"property"}

    assert functions - set(SERVED) <= NOT_YET_SERVED
    assert not NOT_YET_SERVED & set(SERVED)
    assert not is_own_set() or functions >= NOT_YET_SERVED
    assert set(PROPERTIES) <= set(SERVED_PROPERTIES)


def test_every_row_of_the_own_set_carries_its_source():
    """No row without a paper, standard, law of physics or the words that say it is an assumption."""
    for row in read_checks("ageing_checks.json")["checks"] if is_own_set() else []:
        assert row["source"], row["id"]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: str(row["id"]))
def test_it_meets_the_row(row: dict[str, Any]):
    """Within the row's own relative tolerance of the row's own source."""
    got, expected = SERVED[row["fn"]](row["args"]), row["expect"]
    if isinstance(expected, list):
        pairs = list(zip(got, expected, strict=True))
    elif isinstance(expected, dict):
        pairs = [(got[name], wanted) for name, wanted in expected.items()]
    else:
        pairs = [(got, expected)]

    for value, wanted in pairs:
        if isinstance(wanted, bool):
            assert value is wanted, row["id"]
        else:
            assert abs(value - wanted) <= row["rtol"] * abs(wanted) + 1e-9, (row["id"], value, wanted)


@pytest.mark.parametrize("name", sorted(PROPERTIES))
def test_it_has_the_property(name: str):
    """What the row's sentence says: a direction of the physics or a closed form."""
    SERVED_PROPERTIES[name]()
