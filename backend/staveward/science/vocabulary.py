"""The words and the bounds that every floor shares.

Enumerations are plain text in Python, in the database and in JSON. Models import this module and no other
of the science floor. Numbers here are limits of what is possible or what the formulas are valid for, and
the defaults of the care schedule; each can be changed by a club's settings where the page says so.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import Final


class SpiritKind(StrEnum):
    """Kinds that the wood's life is counted in."""

    AGAVE = "agave"
    RUM = "rum"
    WHISKY = "whisky"
    BRANDY = "brandy"
    FORTIFIED_WINE = "fortified_wine"
    COCKTAIL = "cocktail"
    UNKNOWN = "unknown"


class Family(StrEnum):
    """Families that carry-over is judged by."""

    NEUTRAL = "neutral"
    SPIRIT = "spirit"
    SMOKE = "smoke"
    WINE = "wine"
    COCKTAIL = "cocktail"


class IngredientKind(StrEnum):
    """Kinds of what may be poured into a mix; some of them must never go into wood."""

    SPIRIT = "spirit"
    LIQUEUR = "liqueur"
    FORTIFIED_WINE = "fortified_wine"
    AROMATISED_WINE = "aromatised_wine"
    WINE = "wine"
    BITTERS = "bitters"
    SYRUP = "syrup"
    HONEY = "honey"
    WATER = "water"
    JUICE = "juice"
    FRUIT_PUREE = "fruit_puree"
    FRESH_HERBS = "fresh_herbs"
    CARBONATED = "carbonated"
    DAIRY = "dairy"
    CREAM_LIQUEUR = "cream_liqueur"
    EGG = "egg"


class StayKind(StrEnum):
    """Kinds of an unbroken period in a barrel's life."""

    CURING = "curing"
    FILL = "fill"
    HOLD = "hold"


class BarrelState(StrEnum):
    """States of a barrel, derived from its stays and never stored."""

    NEW = "new"
    CURING = "curing"
    READY = "ready"
    FILLED = "filled"
    EMPTY = "empty"
    HELD = "held"
    RETIRED = "retired"


class TendingKind(StrEnum):
    """Kinds of care given to a barrel."""

    ROLL = "roll"
    TOP_UP = "top_up"
    LEAK_CHECK = "leak_check"
    SPIGOT_CHECK = "spigot_check"
    RINSE = "rinse"
    WATER_CHANGE = "water_change"
    SULPHITING = "sulphiting"


class ReadingKind(StrEnum):
    """Kinds of measurement."""

    WEIGHT = "weight"
    DIP = "dip"
    ALCOHOLMETER = "alcoholmeter"
    CLIMATE = "climate"
    SO2_STRIP = "so2_strip"


class BarrelProfile(StrEnum):
    """Curves of the stave between head and bung."""

    PARABOLIC = "parabolic"
    SPHEROID = "spheroid"
    CIRCULAR_ARC = "circular_arc"
    PARABOLOIDS = "paraboloids"
    CONES = "cones"
    CYLINDER = "cylinder"


class WoodState(StrEnum):
    """How thirsty the wood is when it is filled."""

    DRY = "dry"
    STORED_DRY = "stored_dry"
    CURED = "cured"
    WET = "wet"


class Rinse(StrEnum):
    """What was done between two fills to wash the last one out."""

    NONE = "none"
    QUICK = "quick"
    HOT = "hot"
    SOAK_DAY = "soak_day"
    WET_HOLD_WEEK = "wet_hold_week"
    WET_HOLD_MONTH = "wet_hold_month"


class Repair(StrEnum):
    """Work on the wood that gives some of its life back."""

    SCRAPE_AND_RECHAR = "scrape_and_rechar"
    RETOAST = "retoast"


class Allergen(StrEnum):
    """The fourteen substances of Annex II of Regulation (EU) No 1169/2011."""

    GLUTEN_CEREALS = "gluten_cereals"
    CRUSTACEANS = "crustaceans"
    EGG = "egg"
    FISH = "fish"
    PEANUT = "peanut"
    SOYA = "soya"
    MILK = "milk"
    NUTS = "nuts"
    CELERY = "celery"
    MUSTARD = "mustard"
    SESAME = "sesame"
    SULPHITES = "sulphites"
    LUPIN = "lupin"
    MOLLUSCS = "molluscs"


class OakStrength(StrEnum):
    """The oak index as screens say it."""

    WEAK = "weak"
    MEDIUM = "medium"
    STRONG = "strong"


class WoodStatus(StrEnum):
    """How much of a barrel's wood is used, in a word."""

    FRESH = "fresh"
    MIDDLE = "middle"
    NEARLY_SPENT = "nearly_spent"
    SPENT = "spent"


class Match(StrEnum):
    """How a barrel's past suits the next fill."""

    WELCOME = "welcome"
    ASK = "ask"
    AVOID = "avoid"


class GuardLevel(StrEnum):
    """How loudly a mix is warned about, mildest first."""

    NOTE = "note"
    WARNING = "warning"
    STRONG_WARNING = "strong_warning"
    STOP = "stop"


class CuringVerdict(StrEnum):
    """What the top-ups of a curing say."""

    TIGHT = "tight"
    CLOSING = "closing"
    NOT_CLOSING = "not_closing"
    KEEP_SOAKING = "keep_soaking"


@dataclass(frozen=True, slots=True)
class Bound:
    """Holds the lowest and highest value allowed of a quantity, and its unit."""

    low: float
    high: float
    unit: str


BOUNDS: Final = MappingProxyType(
    {
        # What a person may enter; the formulas have narrower limits and say so themselves.
        "abv_pct": Bound(0.0, 100.0, "% vol"),
        "spirit_abv_pct": Bound(0.0, 97.0, "% vol"),
        "us_proof": Bound(0.0, 200.0, "proof"),
        "sugar_g_l": Bound(0.0, 900.0, "g/L"),
        "temp_c": Bound(-20.0, 40.0, "degrees Celsius"),
        "cellar_temp_c": Bound(0.0, 45.0, "degrees Celsius"),
        "rh_fraction": Bound(0.0, 1.0, "(a fraction, not percent)"),
        "rh_pct": Bound(0.0, 100.0, "%"),
        "capacity_l": Bound(0.5, 350.0, "L"),
        "volume_l": Bound(0.0, 400.0, "L"),
        "overfill_fraction": Bound(0.0, 1.1, "of the barrel's capacity"),
        "diameter_cm": Bound(0.0, 150.0, "cm"),
        "length_cm": Bound(0.0, 200.0, "cm"),
        "stave_mm": Bound(5.0, 60.0, "mm"),
        "area_m2": Bound(0.02, 6.0, "m2"),
        "weight_kg": Bound(0.0, 1000.0, "kg"),
        "days": Bound(0.0, 3650.0, "days"),
        "density_kg_m3": Bound(700.0, 1450.0, "kg/m3"),
    }
)

# A barrel's level, as shares of its capacity, at which a wet hold asks for water (common practice, no source).
HOLD_TARGET_FRACTION: Final = 0.50
HOLD_TOP_UP_FRACTION: Final = 0.45
HOLD_LOWEST_FRACTION: Final = 1.0 / 3.0

# Regulation (EU) No 1169/2011, Annex II: sulphites must be named above this, as SO2.
SULPHITE_LABEL_MG_L: Final = 10.0

STANDARD_FILL_DAYS: Final = 28.0


@dataclass(frozen=True, slots=True)
class CareRule:
    """Holds one line of the care schedule: what is due, from when, how often, and when it is late.

    ``every_hours`` is None for what is due once. ``over_capacity_l`` is exclusive and ``up_to_capacity_l``
    inclusive; a line holds for every size where both are open.
    """

    code: str
    what: str
    counts_from: str
    first_hours: float
    every_hours: float | None
    leeway_hours: float
    basis: str
    blocks_fill: bool = False
    over_capacity_l: float = 0.0
    up_to_capacity_l: float = float("inf")


_DAY = 24.0
_CP = "common practice, no source"
_OURS = "design value of this project"
_SHEETS = "makers' care sheets, common practice"

CARE_SCHEDULE: Final[tuple[CareRule, ...]] = (
    CareRule("cure.topup", "top up and log the volume", "cure_filled", 2, 4, 4, _OURS),
    CareRule("cure.water", "change the curing water", "cure_filled", 48, 48, 12, _SHEETS),
    CareRule("cure.decide", "tight, closing or not", "cure_filled", 24, 12, 12, _OURS),
    CareRule("cure.warn", "curing takes long", "cure_filled", 96, None, 0, _SHEETS),
    CareRule("cure.stop", "give this curing up", "cure_filled", 168, None, 0, _SHEETS),
    CareRule(
        "age.turn", "turn by a third, or roll one full turn", "filled", 7 * _DAY, 7 * _DAY, 2 * _DAY, _CP
    ),
    CareRule("age.taste", "taste", "filled", 7 * _DAY, 7 * _DAY, 3 * _DAY, _CP, False, 0.0, 4.0),
    CareRule("age.taste", "taste", "filled", 14 * _DAY, 7 * _DAY, 3 * _DAY, _CP, False, 4.0, 25.0),
    CareRule("age.taste", "taste", "filled", 28 * _DAY, 14 * _DAY, 3 * _DAY, _CP, False, 25.0),
    CareRule("age.level", "dip or weigh", "filled", 14 * _DAY, 14 * _DAY, 5 * _DAY, _OURS, False, 0.0, 9.999),
    CareRule("age.level", "dip or weigh", "filled", 14 * _DAY, 28 * _DAY, 5 * _DAY, _OURS, False, 9.999),
    CareRule("age.leak", "wipe and look: hoops, heads, bung, spigot", "filled", _DAY, _DAY, _DAY, _CP),
    CareRule("age.spigot", "move the spigot, wipe it", "filled", 7 * _DAY, 7 * _DAY, 7 * _DAY, _CP),
    CareRule("env.log", "read temperature and humidity", "place_opened", _DAY, 7 * _DAY, 2 * _DAY, _OURS),
    CareRule("age.decide", "decant or go on", "pull_forecast", 0, 7 * _DAY, 3 * _DAY, _OURS),
    CareRule(
        "hold.turn", "one full roll, then the next third", "hold_begun", 7 * _DAY, 7 * _DAY, 2 * _DAY, _CP
    ),
    CareRule("hold.water", "smell and change the water", "water_changed", 7 * _DAY, 7 * _DAY, _DAY, _CP),
    CareRule("hold.level", "top up when under 45 %", "hold_begun", 7 * _DAY, 7 * _DAY, 2 * _DAY, _OURS),
    CareRule(
        "hold.switch",
        "offer the next fill, or a holding solution",
        "hold_begun",
        28 * _DAY,
        None,
        3 * _DAY,
        _OURS,
    ),
    CareRule("solution.check", "strip and smell", "solution_made", 28 * _DAY, 28 * _DAY, 7 * _DAY, _CP),
    CareRule("solution.renew", "renew the solution", "solution_made", 90 * _DAY, 90 * _DAY, 14 * _DAY, _OURS),
    CareRule(
        "solution.rinse",
        "rinse three times, soak a day, strip under 10 mg/L",
        "next_fill",
        -2 * _DAY,
        None,
        0,
        _CP,
        True,
    ),
    CareRule(
        "empty.max", "an empty barrel dries: fill it or hold it wet", "emptied", _DAY, None, _DAY, _OURS
    ),
    CareRule("bottle.by", "best before (quality) comes near", "best_before", -14 * _DAY, None, 0, _OURS),
    CareRule("barrel.review", "inspect, smell, keep or retire", "emptied", 0, None, _DAY, _CP, True),
)

# Beyond the first period some tasks come at another pace.
CURE_TOPUP_LATER_EVERY_HOURS: Final = 12.0
CURE_TOPUP_LATER_AFTER_HOURS: Final = 24.0
LEAK_CHECK_LATER_EVERY_HOURS: Final = 7 * _DAY
LEAK_CHECK_LATER_AFTER_HOURS: Final = 3 * _DAY
HOLD_WATER_STRICT_EVERY_HOURS: Final = 3 * _DAY
HOLD_WATER_STRICT_ABOVE_TEMP_C: Final = 20.0


def care_rules_for(capacity_l: float) -> dict[str, CareRule]:
    """Gives the care schedule of a barrel of this size, by code.

    Parameters
    ----------
    capacity_l : float, scalar
        The barrel's capacity [L].

    Returns
    -------
    dict of str to CareRule, shape (n_codes,)
        One line for each code [hours].

    Raises
    ------
    ValueError
        If the capacity is not above zero.

    Source
    ------
    Common practice, no source; the basis of each line stands in ``CARE_SCHEDULE``.

    Examples
    --------
    >>> care_rules_for(2.0)["age.taste"].first_hours, care_rules_for(30.0)["age.taste"].first_hours
    (168.0, 672.0)
    """
    if not capacity_l > 0:
        raise ValueError(f"capacity_l is {capacity_l!r}; allowed: more than 0 L")
    return {
        rule.code: rule
        for rule in CARE_SCHEDULE
        if rule.over_capacity_l < capacity_l <= rule.up_to_capacity_l
    }
