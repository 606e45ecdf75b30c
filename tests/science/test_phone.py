"""What the phone takes from this science is current, and every one of its rooms is asked and refuses."""

from __future__ import annotations

import json
import math
import re
from typing import Any

from . import phone
from .phone_rooms import ROOMS

# Another machine's mathematics library may differ in the last digits, which is no drift.
LAST_DIGITS = 1e-12
NUMBER = re.compile(r"-?\d+\.\d+(?:e[+-]?\d+)?|-?\d+e[+-]?\d+")


def is_current(found: Any, anew: Any) -> bool:
    """Compares two JSON values, numbers to their last digits."""
    if isinstance(anew, dict):
        return (
            isinstance(found, dict)
            and found.keys() == anew.keys()
            and all(is_current(found[k], anew[k]) for k in anew)
        )
    if isinstance(anew, list):
        return (
            isinstance(found, list)
            and len(found) == len(anew)
            and all(is_current(one, two) for one, two in zip(found, anew, strict=True))
        )
    if isinstance(anew, float) and isinstance(found, (int, float)):
        return math.isclose(found, anew, rel_tol=LAST_DIGITS, abs_tol=LAST_DIGITS)
    return bool(found == anew)


def test_the_points_are_current():
    found = json.loads(phone.POINTS.read_text(encoding="utf-8"))
    anew = json.loads(phone.points_text(phone.points()))

    stale = [
        one["id"] for one, two in zip(found["rows"], anew["rows"], strict=False) if not is_current(one, two)
    ]
    assert stale == [], f"written anew by: {phone.COMMAND}"
    assert is_current(found, anew), f"written anew by: {phone.COMMAND}"


def test_the_tables_are_current():
    found, anew = phone.TABLES.read_text(encoding="utf-8"), phone.tables_text()

    assert NUMBER.sub("#", found) == NUMBER.sub("#", anew), f"written anew by: {phone.COMMAND}"
    for one, two in zip(NUMBER.findall(found), NUMBER.findall(anew), strict=True):
        assert math.isclose(float(one), float(two), rel_tol=1e-14, abs_tol=1e-17), (one, two)


def test_a_changed_digit_or_word_is_seen():
    anew = phone.points()["rows"][10]

    assert is_current(anew, anew)
    assert not is_current({**anew, "expect": anew["expect"] * (1 + 1e-10)}, anew)
    assert not is_current({**anew, "fn": "another"}, anew)


def test_every_room_is_asked():
    rows = phone.points()["rows"]

    assert {row["fn"] for row in rows if "expect" in row} == set(ROOMS)
    assert {row["fn"] for row in rows if "error" in row} >= set(ROOMS) - {
        "proof_gallons", "us_proof_from_abv_pct", "abv_pct_from_mass_fraction", "density_from_abv_kg_m3",
        "weight_in_air_kg", "ethanol_g", "syrup_sugar_g_l", "apparent_abv_pct", "usual_wood_area_m2",
    }  # fmt: skip
    assert {row["error"]["kind"] for row in rows if "error" in row} == {
        "OutOfRange",
        "Inconsistent",
        "Underdetermined",
        "NoSolution",
    }
