"""Arguments that the rooms shared with the phone are asked, the same ones each time."""

from __future__ import annotations

import random

from staveward.science import alcoholometry, evaporation, vocabulary

from .phone_rooms import Args


def _barrels(chance: random.Random) -> list[Args]:
    fixed = [
        {"head_diameter_cm": 12.0, "bilge_diameter_cm": 14.2, "length_cm": 15.8, "profile": profile}
        for profile in vocabulary.BarrelProfile
        if profile != vocabulary.BarrelProfile.CYLINDER
    ]
    fixed += [
        {"head_diameter_cm": 48.4, "bilge_diameter_cm": 61.2, "length_cm": 78.2, "weighed_capacity_l": 197.3},
        {"head_diameter_cm": 14.2, "bilge_diameter_cm": 14.2, "length_cm": 15.8, "profile": "cylinder"},
        {"head_diameter_cm": 14.2, "bilge_diameter_cm": 14.2, "length_cm": 15.8, "profile": "circular_arc"},
        {"head_diameter_cm": 0.0, "bilge_diameter_cm": 20.0, "length_cm": 20.0, "profile": "spheroid"},
        {"head_diameter_cm": 0.0, "bilge_diameter_cm": 20.0, "length_cm": 30.0, "profile": "parabolic"},
    ]
    for _ in range(5):
        bilge = round(chance.uniform(12.0, 70.0), 2)
        fixed.append(
            {
                "head_diameter_cm": round(bilge * chance.uniform(0.7, 0.97), 2),
                "bilge_diameter_cm": bilge,
                "length_cm": round(bilge * chance.uniform(0.9, 1.9), 2),
                "profile": chance.choice([p for p in vocabulary.BarrelProfile if p != "cylinder"]),
            }
        )
    return fixed


def _strength_points(chance: random.Random) -> list[tuple[str, Args]]:
    rows: list[tuple[str, Args]] = []
    for p in (0.0, 1e-6, 0.01, 0.07, 0.333, 0.5, 0.82, 0.999, 1.0):
        rows.append(("abv_pct_from_mass_fraction", {"mass_fraction": p}))
        rows += [("density_kg_m3", {"mass_fraction": p, "temp_c": t}) for t in (-20.0, 4.0, 15.6, 20.0, 40.0)]
    for q in (0.0, 0.5, 5.0, 12.5, 40.0, 43.7, 60.0, 96.0, 99.99, 100.0):
        rows += [(name, {"abv_pct": q}) for name in ("mass_fraction_from_abv_pct", "us_proof_from_abv_pct")]
        rows.append(("abv_pct_from_us_proof", {"proof": 2.0 * q}))
        rows.append(
            ("density_from_abv_kg_m3", {"abv_pct": q, "temp_c": round(chance.uniform(-10.0, 35.0), 3)})
        )
        for name in ("pure_alcohol_l", "ethanol_g", "proof_gallons"):
            rows.append((name, {"volume_l": round(chance.uniform(0.0, 220.0), 3), "abv_pct": q}))
        rows.append(
            ("standard_drinks", {"volume_l": 0.7, "abv_pct": q, "grams": chance.choice([8, 10, 14, 20])})
        )
        rows.append(
            (
                "volume_at_20c_l",
                {
                    "volume_l": 5.2,
                    "abv_pct": q,
                    "temp_c": round(chance.uniform(-5, 38), 2),
                    "steel_measure": q > 40,
                },
            )
        )
    rows.append(("abv_pct_from_reading", {"apparent_pct": 41.5, "temp_c": 12.0, "sugar_g_l": 4.0}))
    for _ in range(25):
        temp = round(chance.uniform(-5.0, 38.0), 2)
        rows.append(
            (
                "abv_pct_from_reading",
                {
                    "apparent_pct": round(chance.uniform(12.0, 88.0), 2),
                    "temp_c": temp,
                    "calibrated_c": chance.choice([20.0, alcoholometry.US_REFERENCE_TEMP_C]),
                },
            )
        )
        density = round(chance.uniform(820.0, 980.0), 2)
        rows.append(("mass_fraction_from_density", {"density_kg_m3": density, "temp_c": temp}))
        rows.append(("abv_pct_from_density", {"density_kg_m3": density}))
        rows.append(("mass_fraction_from_instrument", {"density_mark_kg_m3": density, "temp_c": temp}))
        weight = round(chance.uniform(0.0, 240.0), 3)
        rows.append(("volume_from_weight_l", {"weight_kg": weight, "density_20c_kg_m3": density}))
        rows.append(("weight_in_air_kg", {"volume_l": weight, "density_kg_m3": density}))
    return rows


def _mix_points(chance: random.Random) -> list[tuple[str, Args]]:
    def part() -> Args:
        one: Args = {
            "volume_l": round(chance.uniform(0.01, 6.0), 3),
            "abv_pct": round(chance.uniform(0.0, 70.0), 1),
        }
        if chance.random() < 0.5:
            one["sugar_g_l"] = round(chance.uniform(0.0, 400.0), 1)
        if chance.random() < 0.5:
            one["temp_c"] = round(chance.uniform(-5.0, 35.0), 1)
        return one

    rows: list[tuple[str, Args]] = []
    for _ in range(25):
        parts = [part() for _ in range(chance.randint(1, 5))]
        rows.append(("blend", {"parts": parts}))
        rows.append(("masses_of", {"part": parts[0]}))
        rows.append(("scale_to_barrel", {"parts": parts, "volume_l": round(chance.uniform(1.0, 60.0), 2)}))
        strength = round(chance.uniform(30.0, 70.0), 1)
        reduce = {
            "volume_l": round(chance.uniform(0.5, 100.0), 2),
            "abv_pct": strength,
            "target_abv_pct": round(strength * chance.uniform(0.3, 1.0), 1),
            "sugar_g_l": chance.choice([0.0, 0.0, 80.0, 250.0]),
        }
        rows += [("water_to_reach_kg", reduce), ("water_to_reach_l", reduce)]
        rows.append(
            ("apparent_abv_pct", {"abv_pct": strength, "sugar_g_l": round(chance.uniform(0.0, 90.0), 1)})
        )
    rows.append(
        (
            "masses_of",
            {"part": {"volume_l": 1.0, "abv_pct": 17.0, "sugar_g_l": 150.0, "density_kg_m3": 1038.0}},
        )
    )
    rows.append(("water_to_reach_kg", {"volume_l": 2.0, "abv_pct": 40.0, "target_abv_pct": 40.0}))
    for ethanol, water, sugar in ((0.0, 1.0, 0.0), (1.0, 0.0, 0.0), (0.4, 0.5, 0.3), (1e-6, 2.0, 1.0)):
        rows.append(("volume_of_masses_l", {"ethanol_kg": ethanol, "water_kg": water, "sugar_kg": sugar}))
    for share in (0.0, 0.1, 0.5, 0.667, 0.85):
        rows += [
            (name, {"sugar_mass_fraction": share}) for name in ("syrup_density_kg_m3", "syrup_sugar_g_l")
        ]
    for q in (
        0.0,
        8.0,
        12.25,
        14.99,
        15.0,
        16.75,
        18.0,
        20.0,
        24.0,
        35.0,
        50.0,
        62.5,
        63.0,
        70.0,
        70.1,
        96.5,
    ):
        rows.append(("mix_guards", {"abv_pct": q}))
        rows.append(
            (
                "mix_guards",
                {
                    "abv_pct": q,
                    "sugar_g_l": round(chance.uniform(0.0, 150.0), 1),
                    "ingredients": [str(chance.choice(list(vocabulary.IngredientKind))) for _ in range(3)],
                    "allergens": [str(chance.choice(list(vocabulary.Allergen)))],
                    "is_wine_based": chance.random() < 0.5,
                    "fill_fraction": chance.choice([0.6, 1.0]),
                    "weeks_slack": chance.choice([0.0, 4.0]),
                    "cellar_temp_c": chance.choice([12.0, 22.5, 33.0]),
                },
            )
        )
        if 5.0 <= q <= 96.0:
            rows.append(("flash_point_c", {"abv_pct": q}))
    return rows


def _barrel_points(chance: random.Random) -> list[tuple[str, Args]]:
    rows: list[tuple[str, Args]] = []
    for barrel in _barrels(chance):
        depth, length = barrel["bilge_diameter_cm"], barrel["length_cm"]
        rows.append(("barrel", {"barrel": barrel}))
        for share in (0.0, 1e-4, 0.07, 0.31, 0.5, 0.77, 0.985, 1.0):
            dip = round(depth * share, 6)
            rows.append(("lying", {"barrel": barrel, "dip_cm": dip}))
            rows.append(("standing", {"barrel": barrel, "depth_cm": round(length * share, 6)}))
            rows.append(("levels", {"barrel": barrel, "share": share}))
        rows.append(
            ("rotation_plan", {"barrel": barrel, "dip_cm": round(depth * chance.uniform(0.2, 0.9), 3)})
        )
        rows.append(
            (
                "rotation_plan",
                {
                    "barrel": barrel,
                    "dip_cm": round(depth * 0.45, 3),
                    "overlap_deg": chance.choice([0, 5, 20]),
                },
            )
        )
    for capacity in (0.5, 2.0, 5.0, 30.0, 225.0):
        profile = str(chance.choice(list(vocabulary.BarrelProfile)))
        rows.append(("from_capacity", {"capacity_l": capacity, "profile": profile}))
        rows += [(name, {"capacity_l": capacity}) for name in ("usual_wood_area_m2", "usual_stave_mm")]
    for tapered in (True, False):
        rows.append(
            (
                "from_outside",
                {
                    "head_diameter_cm": 17.2,
                    "bilge_diameter_cm": 20.4,
                    "length_cm": 25.0,
                    "stave_cm": 1.4,
                    "chime_cm": 1.3,
                    "head_thickness_cm": 1.2,
                    "tapered": tapered,
                },
            )
        )
    for profile in vocabulary.BarrelProfile:
        rows.append(
            ("level_fraction", {"volume_fraction": 0.27, "head_to_bilge": 0.81, "profile": str(profile)})
        )
        rows.append(
            (
                "level_fraction",
                {
                    "volume_fraction": 0.9,
                    "head_to_bilge": 0.7,
                    "length_to_bilge": 1.6,
                    "profile": str(profile),
                },
            )
        )
    return rows


def _cellar_points(chance: random.Random) -> list[tuple[str, Args]]:
    rows: list[tuple[str, Args]] = []
    rows += [("vapour_pressure_water_kpa", {"temp_c": t}) for t in (0.0, 5.0, 20.0, 45.0, 100.0)]
    for _ in range(15):
        capacity = round(chance.uniform(1.0, 60.0), 2)
        hold = {
            "volume_l": round(capacity * chance.uniform(0.3, 1.0), 3),
            "capacity_l": capacity,
            "temp_c": round(chance.uniform(0.0, 35.0), 1),
            "rh_fraction": round(chance.uniform(0.2, 1.0), 2),
            "area_m2": round(float(evaporation.usual_wood_area_m2(capacity)), 5),
            "stave_mm": round(float(evaporation.usual_stave_mm(capacity)), 3),
        }
        rows.append(("top_up_due", hold))
        days = round(chance.uniform(0.0, 120.0), 1)
        rows.append(("water_level_now", {**hold, "days": days}))
        climate = {
            "temp_c": [round(chance.uniform(5.0, 25.0), 1) for _ in range(9)],
            "rh_fraction": [round(chance.uniform(0.4, 0.9), 2) for _ in range(9)],
        }
        rows.append(("water_level_now", {**hold, **climate, "days": chance.choice([0.0, 2.0, 6.3, 9.0])}))
    rows.append(
        ("top_up_due", {**rows[-3][1], "at_fraction": 1.0 / 3.0, "k_spread": 2.0, "leak_spread": 2.5})
    )
    for volume in (0.5, 2.26, 55.0):
        rows.append(("holding_solution", {"volume_l": volume}))
        rows.append(("holding_solution", {"volume_l": volume, "citric_g_l": 1.0, "metabisulphite_g_l": 2.0}))
        rows.append(("active_so2_share", {"ph": volume / 5.0}))
        rows.append(("so2_carried_mg_l", {"total_so2_mg_l": 403.4, "carried_fraction": volume / 100.0}))
        rows.append(("bottle_count", {"volume_l": volume, "fill_l": 0.5, "loss_l": 0.02}))
        rows.append(("headspace_oxygen_mg_l", {"headspace_fraction": volume / 60.0, "temp_c": 12.0}))
    rows.append(("bottle_count", {"volume_l": 2.1, "fill_l": 0.7}))
    rows.append(("headspace_fill_ml", {"bottle_ml": 700.0}))
    for gap in (0.0, 0.05, 0.08, 0.0801, 1.0 / 3.0, 0.5, 0.75, 1.0):
        for strength in (17.0, 20.0, 29.9, 30.0, 60.0):
            asked = {"headspace_fraction": gap, "abv_pct": strength}
            rows += [("keeping_days", asked), ("keeping_days", {**asked, "is_wine_based": True})]
        rows.append(("neck_depth_mm", {"headspace_ml": 40.0 * gap, "bore_mm": 18.5}))
        rows.append(("headspace_fill_ml", {"bottle_ml": 512.0, "headspace_fraction": gap / 2.0}))
    for _ in range(30):
        count = chance.randint(1, 8)
        shares = [chance.choice([0, 1, 1, 2, 3, 5, 2500, 3333, 10**15 + 1]) for _ in range(count)]
        if sum(shares) == 0:
            continue
        order = list(range(count))
        chance.shuffle(order)
        rows.append(
            ("divide_bottles", {"shares": shares, "bottles": chance.randint(0, 40), "tie_order": order})
        )
    rows.append(("divide_bottles", {"shares": [1, 1, 1], "bottles": 10}))
    rows.append(
        ("divide_bottles", {"shares": [9007199254740991, 9007199254740990], "bottles": 9007199254740991})
    )
    return rows


def _curing_points(chance: random.Random) -> list[tuple[str, Args]]:
    """Cures that close, stall and pour out, read with a jug and with a syringe."""
    rows: list[tuple[str, Args]] = []
    for number in range(24):
        hours, intervals = 0.0, []
        leak = chance.choice([3.0, 40.0, 400.0])
        fade = chance.choice([8.0, 30.0, 1e6])
        for _ in range(chance.randint(1, 9)):
            until = round(hours + chance.uniform(2.0, 30.0), 2)
            drunk = round(chance.uniform(0.0, 12.0), 3)
            lost = leak * (until - hours) * 2.718 ** (-hours / fade)
            one: Args = {
                "from_h": hours,
                "to_h": until,
                "topped_up_ml": round(lost + chance.uniform(0.0, 15.0), 1),
            }
            if number % 3:
                one |= {"expected_ml": drunk, "expected_u_ml": round(0.4 * drunk, 3)}
            intervals.append(one)
            hours = until
        area = round(chance.uniform(8.0, 90.0), 2)
        asked: Args = {
            "intervals": intervals,
            "inner_area_dm2": area,
            "dry_joint_h": chance.choice([0.0, 12.0, 20.5]),
        }
        if number % 2:
            asked["reading_u_ml"] = chance.choice([1.0, 5.0, 20.0])
        if number % 4 == 0:
            asked["capacity_l"] = chance.choice([1.0, 5.0])
        if number % 7 == 0:
            asked["is_cracked"] = True
        rows.append(("tightness", asked))
        begin = round(chance.uniform(0.0, 60.0), 2)
        wood: Args = {
            "area_m2": round(area / 100.0, 4),
            "stave_mm": round(chance.uniform(10.0, 25.0), 2),
            "wood_state": str(chance.choice(list(vocabulary.WoodState))),
        }
        air = {
            "temp_c": round(chance.uniform(0.0, 30.0), 1),
            "rh_fraction": round(chance.uniform(0.3, 1.0), 2),
        }
        rows.append(
            (
                "expected_drink",
                {"from_h": begin, "to_h": round(begin + chance.uniform(0.0, 30.0), 2), **air, **wood},
            )
        )
        rows.append(("soaked_l", {"days": round(chance.uniform(0.0, 130.0), 2), **wood}))
    return rows


def _plan_points(chance: random.Random) -> list[tuple[str, Args]]:
    rows: list[tuple[str, Args]] = []
    parts = [{"volume_l": 2.0, "abv_pct": 46.0}, {"volume_l": 1.1, "abv_pct": 22.0, "sugar_g_l": 180.0}]
    for state in vocabulary.WoodState:
        for days in (0.0, 1.0, 28.0, 100.0, 400.0):
            wood = {
                "area_m2": round(chance.uniform(0.05, 1.2), 4),
                "stave_mm": round(chance.uniform(9.0, 27.0), 1),
                "wood_state": str(state),
            }
            rows.append(("soaked_l", {"days": days, **wood}))
            wish: Args = {"capacity_l": round(chance.uniform(1.0, 60.0), 2), "top_up_days": days, **wood}
            if days > 1.0:
                wish |= {"samples_l": 0.1, "headroom_fraction": round(chance.uniform(0.0, 0.2), 3)}
            rows.append(("plan_fill", {"parts": parts, **wish}))
    return rows


def asked_points() -> list[tuple[str, Args]]:
    """Gives each room's name and arguments."""
    chance = random.Random(20)
    return [
        *_strength_points(chance),
        *_mix_points(chance),
        *_barrel_points(chance),
        *_cellar_points(chance),
        *_curing_points(chance),
        *_plan_points(chance),
    ]
