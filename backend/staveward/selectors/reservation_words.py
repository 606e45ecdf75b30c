"""The sentences of reserving: why a barrel suits, why it does not this time, who stands in the way."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from staveward.science.oak_plan import usual_weeks
from staveward.science.planning import WEAKEST_ABV_PCT, Stopped, Suited
from staveward.science.vocabulary import BarrelState, Family
from staveward.selectors.offers import SPOILS_BELOW_ABV_PCT, Offer, Wish
from staveward.selectors.stays import FillFacts

OAK_WORDS = {1: "hardly there", 2: "gentle", 3: "medium", 4: "fairly strong", 5: "strong"}
FAMILY_WORDS = {
    "neutral": "a neutral spirit",
    "spirit": "an aged spirit",
    "smoke": "a smoky spirit",
    "wine": "a fortified or aromatised wine",
    "cocktail": "a mixed drink",
}
ALLERGEN_WORDS = {
    "gluten_cereals": "cereals with gluten",
    "egg": "egg",
    "peanut": "peanuts",
    "milk": "milk",
    "crustaceans": "crustaceans",
}
TROUBLE_WORDS = {
    "leak": "it leaks",
    "off_smell": "an off smell",
    "damaged": "it is damaged",
    "missing": "it is missing",
}
# A weak batch in wood wants a short stay and a cool room (common practice, no source).
SHORT_BELOW_ABV_PCT = 20.0
NEARLY_FULL = 0.97
# A range of usual weeks is the middle, a fifth either way, as the trade writes it.
WEEKS_SPREAD = 0.2
TOO_LONG_BY = 1.25


def join_words(words: list[str]) -> str:
    """Writes a list as people say it."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def allergen_words(allergens: Iterable[str]) -> str:
    """Writes allergens as people say them."""
    return join_words([ALLERGEN_WORDS.get(one, one.replace("_", " ")) for one in sorted(allergens)])


def day_words(day: date) -> str:
    """Writes a date as people say it."""
    return f"{day.day} {day:%B %Y}"


def litre_words(litres: float) -> str:
    """Writes litres without a tail of noughts."""
    return f"{round(litres, 2):g} L"


def percent_range_words(low: float, high: float) -> str:
    """Writes a small share as whole percent, without promising what is not known."""
    if high < 1.0:
        return "less than 1 %"
    low_whole, high_whole = max(0, round(low)), max(1, round(high))
    if low_whole == high_whole:
        return f"about {high_whole} %"
    return f"up to {high_whole} %" if low_whole == 0 else f"{low_whole} to {high_whole} %"


def stopped_words(stopped: Stopped, offer: Offer, wish: Wish, *, whose: str = "you avoid") -> str:
    """Says why a barrel does not suit."""
    name = offer.barrel.name
    capacity = litre_words(offer.capacity_l)
    match stopped.reason:
        case "RETIRED":
            return f"{name} is retired."
        case "QUARANTINE":
            return f"{name} is in quarantine: {_trouble(offer)}."
        case "NOT_TIGHT":
            return f"{name} is not tight."
        case "TOO_BIG":
            return f"{name} holds {capacity}."
        case "TOO_SMALL":
            return f"{name} is too large at {capacity}; the air would take more."
        case "WOOD_SPENT":
            return f"{name}’s wood is spent."
        case "TOO_WEAK":
            return f"Below {WEAKEST_ABV_PCT:g} % vol it would spoil in the wood."
        case "TOO_STRONG":
            return f"{name} takes at most {offer.barrel.max_abv_pct:g} % vol."
        case "ALLERGEN":
            return f"{name} has held {allergen_words(stopped.about)}, which {whose}."
        case "CARRY_OVER":
            held = join_words([FAMILY_WORDS[one] for one in stopped.about])
            return f"{name} held {held}; {FAMILY_WORDS[wish.family]} would taste of it."
        case "SWEET_BEFORE":
            return (
                f"{name} held a sweet mix; a fill under {SPOILS_BELOW_ABV_PCT:g} % vol could spoil after it."
            )
        case _:
            return f"{name} is not free before {day_words(offer.free_on)}."


def suited_words(
    suited: Suited,
    offer: Offer,
    wish: Wish,
    carry_over: dict[str, float] | None,
    today: date,
    *,
    is_veiled: bool,
) -> list[str]:
    """Says why a barrel suits: when, what it held, its oak, and what to mind."""
    sentences = [
        _when(suited.starts_on, offer, wish, today),
        _past(suited, offer, carry_over, is_veiled=is_veiled),
        _oak(offer, wish),
        _how_full(offer, wish),
        f"Has held {allergen_words(offer.allergens)}: every label will say so." if offer.allergens else "",
        "Under 20 % vol: two to three weeks at most, kept cool and full."
        if wish.abv_pct is not None and wish.abv_pct < SHORT_BELOW_ABV_PCT
        else "",
        _CURING.get(offer.state, ""),
        _line(offer.waiting),
    ]
    return [sentence for sentence in sentences if sentence]


_CURING = {
    BarrelState.NEW.value: "It must be cured first.",
    BarrelState.CURING.value: "It is being cured; the date holds if it comes tight.",
}


def _trouble(offer: Offer) -> str:
    kinds = [trouble.kind for trouble in offer.troubles if trouble.quarantine]
    return join_words([TROUBLE_WORDS.get(kind, kind) for kind in kinds])


def _when(starts_on: date, offer: Offer, wish: Wish, today: date) -> str:
    days = (starts_on - wish.earliest).days
    if days <= 0:
        return "Free now." if wish.earliest <= today else "Free by then."
    # Without a plan for what lies in the barrel its end is only the usual one.
    guessed = any(one.is_estimate and one.touches(wish.earliest, starts_on) for one in offer.taken)
    free = "Probably free" if guessed else "Free"
    if days == 1:
        return f"{free} a day later."
    if days < 14:
        return f"{free} a week later." if days == 7 else f"{free} {days} days later."
    weeks = round(days / 7)
    return f"{free} {_NUMBERS.get(weeks, str(weeks))} weeks later."


_NUMBERS = {
    2: "two",
    3: "three",
    4: "four",
    5: "five",
    6: "six",
    7: "seven",
    8: "eight",
    9: "nine",
    10: "ten",
}


def _past(suited: Suited, offer: Offer, carry_over: dict[str, float] | None, *, is_veiled: bool) -> str:
    """Says what was in the wood and how much of it the next fill would get."""
    if offer.is_history_unknown:
        return "Nobody knows what it held before it came to the club: the keeper must agree."
    if not offer.families:
        return ""
    last = "a private fill" if is_veiled else _last_held(offer.last_fill, offer.families)
    share = percent_range_words(carry_over["low"], carry_over["high"]) if carry_over else "a little"
    if not suited.is_ask:
        return f"Held {last} last; leaves {share} of it, which suits."
    last_family = offer.last_fill.family if offer.last_fill else offer.families[-1]
    if last_family in suited.ask_about:
        return f"Held {last}: you would taste it, {share}. The keeper must agree."
    earlier = join_words([FAMILY_WORDS[one] for one in suited.ask_about])
    return f"Held {last} last, and {earlier} before it: the keeper must agree."


def _last_held(last: FillFacts | None, families: tuple[str, ...]) -> str:
    return last.name if last is not None else FAMILY_WORDS[families[-1]]


def _oak(offer: Offer, wish: Wish) -> str:
    word = OAK_WORDS[offer.oak_level]
    middle = float(
        usual_weeks(offer.capacity_l, max(0.0, offer.wood.typical), is_mix=wish.family == Family.COCKTAIL)
    )
    low = max(1, round(middle * (1 - WEEKS_SPREAD)))
    high = max(low + 1, round(middle * (1 + WEEKS_SPREAD)))
    weeks = round(wish.length_days / 7)
    plan = f": plan {low} to {high} weeks, not {weeks}" if weeks > TOO_LONG_BY * high else ""
    if not offer.families and not offer.barrel.adopted:
        return f"Never filled, so the oak is strong{plan}."
    return f"Its oak is {word} now{plan}."


def _how_full(offer: Offer, wish: Wish) -> str:
    share = wish.volume_l / offer.capacity_l
    return (
        "" if share >= NEARLY_FULL else f"{litre_words(wish.volume_l)} would fill it to {100 * share:.0f} %."
    )


def _line(waiting: int) -> str:
    if waiting == 0:
        return ""
    return "One other waits for it." if waiting == 1 else f"{waiting} others wait for it."
