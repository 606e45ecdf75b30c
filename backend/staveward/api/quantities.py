"""Reads "25 fl oz", "80 proof" or "68 degF" as a number in the unit the API speaks.

The text is split by hand into one number and one unit: pint would calculate any expression it is given, and an
address on the network is no place for that.
"""

from __future__ import annotations

import math
import re
from functools import lru_cache

import pint

from staveward.science.alcoholometry import abv_pct_from_us_proof

STRENGTH_UNIT = "% vol"

_TEXT = re.compile(
    r"^\s*(?P<number>[+-]?(?:\d{1,15}(?:\.\d{1,15})?|\.\d{1,15}))\s*(?P<unit>\S.{0,29}?)\s*$", re.ASCII
)
_UNIT = re.compile(r"^[A-Za-zµ°%_]+(?: ?/ ?[A-Za-z_]+)?$")

# Written as people and labels write them. Fluid measures without a country are those of the United States.
ALIASES = {
    "fl oz": "US_fluid_ounce",
    "fl. oz.": "US_fluid_ounce",
    "us fl oz": "US_fluid_ounce",
    "imp fl oz": "imperial_fluid_ounce",
    "uk fl oz": "imperial_fluid_ounce",
    "imp gal": "imperial_gallon",
    "uk gal": "imperial_gallon",
    "us gal": "US_liquid_gallon",
    "litre": "liter",
    "litres": "liter",
    "ML": "milliliter",
    "Ml": "milliliter",
    "lbs": "pound",
    "°F": "degF",
    "°C": "degC",
    "F": "degF",
    "C": "degC",
    "f": "degF",
    "c": "degC",
    "% rh": "percent",
    "%": "percent",
    "Kg": "kilogram",
    "KG": "kilogram",
}
PERCENT_VOL = frozenset(
    {"%", "% vol", "%vol", "% abv", "%abv", "abv", "percent", "vol%", "vol %", "% alc/vol"}
)
PROOF = frozenset({"proof", "us proof", "° proof"})


class QuantityUnreadable(ValueError):
    """The text is not one number and one unit."""


class QuantityUnitWrong(ValueError):
    """The unit is unknown, or measures something else."""


@lru_cache(maxsize=1)
def _registry() -> pint.UnitRegistry:
    registry: pint.UnitRegistry = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
    return registry


def _split(text: str) -> tuple[float, str]:
    match = _TEXT.match(text)
    if match is None:
        raise QuantityUnreadable("not one number and one unit")
    return float(match["number"]), match["unit"]


def number_from_text(text: str, unit: str) -> float:
    """Returns the number that a text such as "25 fl oz" is in ``unit`` (a name that pint knows)."""
    number, written = _split(text)
    name = ALIASES.get(written) or ALIASES.get(written.lower()) or written
    if not _UNIT.fullmatch(name):
        raise QuantityUnitWrong(f"{written!r} is not a unit")
    registry = _registry()
    try:
        value = float(registry.Quantity(number, registry.parse_units(name)).to(unit).magnitude)
    except (pint.errors.PintError, pint.errors.DefinitionSyntaxError, AttributeError, TypeError, ValueError):
        raise QuantityUnitWrong(f"{written!r} cannot be read as {unit}") from None
    if not math.isfinite(value):
        raise QuantityUnreadable("not a finite number")
    # A conversion leaves rounding noise in the sixteenth digit, which no scale has.
    return float(f"{value:.12g}")


def abv_pct_from_text(text: str) -> float:
    """Returns the strength in % vol at 20 °C that "40 %" or "80 proof" (United States) says."""
    number, written = _split(text)
    unit = written.lower()
    if unit in PERCENT_VOL:
        return number
    if unit in PROOF:
        return float(f"{float(abv_pct_from_us_proof(number)):.12g}")
    raise QuantityUnitWrong(f"{written!r} is not a unit of strength")
