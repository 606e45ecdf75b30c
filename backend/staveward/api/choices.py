"""The words that requests and answers choose from; the OpenAPI file names each list once."""

from __future__ import annotations

from staveward.models import Placement, ReservationState, Role
from staveward.science import vocabulary
from staveward.selectors import changes, clubs

SPIRITS = [str(word) for word in vocabulary.SpiritKind]
FAMILIES = [str(word) for word in vocabulary.Family]
ALLERGENS = [str(word) for word in vocabulary.Allergen]
INGREDIENTS = [str(word) for word in vocabulary.IngredientKind]
PROFILES = [str(word) for word in vocabulary.BarrelProfile]
WOOD_STATES = [str(word) for word in vocabulary.WoodState]
TENDING_TASKS = [str(word) for word in vocabulary.TendingKind]
READING_KINDS = [str(word) for word in vocabulary.ReadingKind]
BARREL_STATES = [str(word) for word in vocabulary.BarrelState]
STAY_KINDS = [str(word) for word in vocabulary.StayKind]
PLACEMENTS = [str(word) for word in Placement.values]
ROLES = [str(word) for word in Role.values]
RESERVATION_STATES = [str(word) for word in ReservationState.values]
# What may hold a barrel's days: a reservation that owns them, or what lies in the barrel.
CLASH_STATES = ["pencilled", "confirmed", "filled", "curing"]
CURING_VERDICTS = ["tight", "given_up"]
ABV_BASES = ["measured", "label", "calculated"]
PULL_BY = ["keeper", "sharers"]
DRINK_COUNTRIES = clubs.DRINK_COUNTRIES
PULL_CHOICES = ["pull", "wait"]
BOTTLE_CHANGES = ["opened", "level", "handed_over", "finished", "broken"]
BOTTLE_ENDS = ["", "finished", "broken", "away"]
VESSEL_ABV_BASES = ["measured", "as_filled", "calculated"]
CAPACITY_BASES = ["weighed", "taped", "nominal"]
TROUBLE_KINDS = ["leak", "off_smell", "damaged", "missing"]
# What is looked at before a barrel is filled.
FILL_GATES = ["tight", "rinsed", "sulphite", "quarantine", "mix", "allergens", "wood", "law"]
OFF_NOTES = ["vinegar", "musty", "sulphur", "plastic", "stale", "sawdust"]
TASTE_ATTRIBUTES = [
    "fresh_wood",
    "vanilla_spice",
    "char_smoke",
    "fruit",
    "base_character",
    "sharp",
    "sweet",
    "bitter",
    "drying",
    "heat",
    "body",
    "balance",
    "length",
]
TRAY_DECISIONS = ["leave"]
CHANGED = list(changes.COLLECTIONS)
# Why the names of a blind flight are known: everybody has scored, or the pourer said so.
FLIGHT_OPENINGS = ["finished", "closed"]
TROUBLE_OUTCOMES = ["mended", "sound", "found", "rescued", "part_lost", "all_lost"]
# What a notice tells of besides: a reservation that ended with its barrel, and what came of it when that was undone.
NOTICE_OUTCOMES = [*TROUBLE_OUTCOMES, "retired", "restored", "stays_ended"]
# What a nose or an eye finds, by the diagnosis table of the trade.
SIGNS = [
    "sound",
    "fur_outside",
    "slime",
    "vinegar",
    "nail_varnish",
    "musty",
    "rotten_egg",
    "previous_drink",
]
INSPECTED = ["hoops", "staves", "heads", "worm", "light", "spigot"]
JOINT_PARTS = ["stave", "head", "spigot", "bung"]
JOINT_STATES = ["wiped", "dry", "beads"]
REPAIRS = [str(word) for word in vocabulary.Repair]
RETIREMENT_WHY = [
    "wood_spent",
    "not_tight",
    "worm",
    "crack",
    "hoops",
    "mould",
    "musty",
    "vinegar",
    "sold",
    "lost",
    "other",
]
NOTICE_WHY = ["sharer", "owner", "reserver"]
RESERVATION_DECISIONS = ["confirm", "refuse", "withdraw", "move"]
PULL_VERDICTS = ["too_few", "keep_going", "near_best", "past_best"]
PULL_REASONS = [
    "few_scores",
    "on_another_week",
    "last_tasting_old",
    "scores_hardly_move",
    "little_to_gain",
    "still_rising",
    "falling",
    "not_clear_yet",
]
PRIOR_BASES = ["keeper", "own_fills", "table"]
# Whether intervals meant to hold four in five did: under 10 outcomes, under 30, as they should, too seldom, too often.
FORECAST_VERDICTS = ["too_few", "dots_only", "holds", "narrow", "wide"]
AGREEMENT_VERDICTS = ["firm", "tentative", "weak", "no_spread", "too_few"]
