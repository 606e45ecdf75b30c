"""Warnings about a mix before it goes into wood: spoilage, strength, fire, allergens, what never belongs there.

Local law and licensed practice decide; these are the usual cautions, said where the act happens.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from .errors import Array, require_choice, require_number, require_numbers, require_same_shape, unwrap
from .tables import read_column
from .vocabulary import BOUNDS, Allergen, GuardLevel, IngredientKind

# Outside wood for good: what spoils, clogs or carries germs (food-safety advice and common practice).
FORBIDDEN_IN_WOOD = {
    IngredientKind.DAIRY: "milk and cream spoil in the pores",
    IngredientKind.CREAM_LIQUEUR: "a cream liqueur is dairy and spoils in the pores",
    IngredientKind.EGG: "raw egg can carry Salmonella, which alcohol alone does not reliably kill",
    IngredientKind.JUICE: "pulp, sugar and acid stay in the pores and ferment; add juice when serving",
    IngredientKind.FRUIT_PUREE: "pulp stays in the pores and ferments; add fruit when serving",
    IngredientKind.FRESH_HERBS: "fresh plants bring germs and turn within days; add them when serving",
    IngredientKind.CARBONATED: "gas and sugar do not belong in closed wood; add it when serving",
}
CLOGS_WOOD = {
    IngredientKind.HONEY: "honey clogs the pores and ferments when thinned",
    IngredientKind.SYRUP: "a thick syrup clogs the pores and ferments when thinned",
}
GUARD_ORDER = (GuardLevel.NOTE, GuardLevel.WARNING, GuardLevel.STRONG_WARNING, GuardLevel.STOP)


@dataclass(frozen=True)
class Guard:
    """Holds one warning about a mix: how loud, a stable code and the sentence to show."""

    level: GuardLevel
    code: str
    reason: str


def delle_units(abv_pct: ArrayLike, sugar_g_l: ArrayLike) -> Array:
    """Gives Delle units, 4.5 x % vol + sugar(g/L)/10: from about 78 a sweet wine does not ferment.

    Parameters
    ----------
    abv_pct : float or array_like, shape (n,)
        Strength [% vol at 20 °C].
    sugar_g_l : float or array_like, shape (n,)
        Dissolved sugar [g/L].

    Returns
    -------
    ndarray, shape (n,)
        Delle units [1].

    Raises
    ------
    OutOfRange
        If a value is outside its bound.

    Notes
    -----
    About yeast only, not bacteria or oxidation; the measured need is 75 to 85.

    Source
    ------
    Amerine and Kunkee, Vitis 5 (1965) 187-194; Kunkee and Amerine, Appl. Microbiol. 16 (1968) 1067-1075.

    Examples
    --------
    >>> float(delle_units(16.0, 60.0))
    78.0
    """
    strength = require_numbers("abv_pct", abv_pct, 0.0, 100.0, "% vol")
    sugar = require_numbers("sugar_g_l", sugar_g_l, 0.0, BOUNDS["sugar_g_l"].high, "g/L")
    require_same_shape(abv_pct=strength, sugar_g_l=sugar)
    return unwrap(4.5 * strength + sugar / 10.0)


def flash_point_c(abv_pct: ArrayLike) -> Array:
    """Gives about the temperature from which the vapour over a liquid can be lit.

    Parameters
    ----------
    abv_pct : float or array_like, shape (n,)
        Strength, 5 to 96 [% vol at 20 °C].

    Returns
    -------
    ndarray, shape (n,)
        The lower of a published and a computed figure; say "about" [degrees Celsius].

    Raises
    ------
    OutOfRange
        If a strength is outside 5 to 96 % vol.

    Source
    ------
    engineeringtoolbox.com, ethanol-water flash points, read as % vol; model constants from memory.

    Examples
    --------
    >>> float(flash_point_c(40.0))
    26.0
    """
    strength = require_numbers("abv_pct", abv_pct, 5.0, 96.0, "% vol")
    lower = np.minimum(read_column("flash_point", "published_c"), read_column("flash_point", "model_c"))
    return unwrap(np.asarray(np.interp(strength, read_column("flash_point", "abv_pct"), lower)))


def _worse(level: GuardLevel) -> GuardLevel:
    return GUARD_ORDER[min(GUARD_ORDER.index(level) + 1, len(GUARD_ORDER) - 1)]


def _keeping_guard(abv_pct: float, units: float, is_wine_based: bool, is_slack: bool) -> Guard | None:
    """Judges whether a batch keeps in wood at room temperature."""
    if abv_pct < 15.0:
        found = Guard(
            GuardLevel.STOP,
            "too_weak",
            f"At {abv_pct:.1f} % vol film yeast and vinegar bacteria grow; at least 15 is needed.",
        )
    elif abv_pct < 18.0 or units < 78.0:
        found = Guard(
            GuardLevel.STRONG_WARNING,
            "may_spoil",
            f"At {abv_pct:.1f} % vol yeast or bacteria may grow: weeks only, cool, barrel full.",
        )
    elif abv_pct < 22.0 and is_wine_based:
        found = Guard(
            GuardLevel.WARNING,
            "wine_based",
            f"A wine-based mix at {abv_pct:.1f} % vol: taste for vinegar every week and keep it full.",
        )
    elif is_wine_based or is_slack:
        found = Guard(
            GuardLevel.NOTE,
            "oxidises",
            "Nothing is expected to grow, but air will change a wine-based mix or a slack barrel.",
        )
    else:
        return None
    if not is_slack:
        return found
    level = _worse(found.level)
    return replace(found, level=level, reason=found.reason + " The barrel is not full, which makes it worse.")


def mix_guards(
    abv_pct: float,
    sugar_g_l: float = 0.0,
    *,
    ingredients: Iterable[str] = (),
    allergens: Iterable[str] = (),
    is_wine_based: bool = False,
    fill_fraction: float = 1.0,
    weeks_slack: float = 0.0,
    cellar_temp_c: float | None = None,
    strongest_allowed_pct: float = 62.5,
) -> tuple[Guard, ...]:
    """Gives the warnings about a mix before it goes into wood, the loudest first.

    Parameters
    ----------
    abv_pct : float, scalar
        Strength of the batch [% vol at 20 °C].
    sugar_g_l : float, scalar
        Dissolved sugar of the batch [g/L].
    ingredients : iterable of str, shape (n,)
        Kinds of what is poured in [an IngredientKind each].
    allergens : iterable of str, shape (n,)
        Allergens of what is poured in [an Allergen each].
    is_wine_based : bool, scalar
        True when wine is a main part [1].
    fill_fraction : float, scalar
        Volume over the barrel's capacity [0 to 1.1].
    weeks_slack : float, scalar
        Weeks the barrel has been or will be under 80 % full [weeks].
    cellar_temp_c : float or None, scalar
        Temperature of the room, where known [degrees Celsius].
    strongest_allowed_pct : float, scalar
        The barrel's own limit [% vol at 20 °C].

    Returns
    -------
    tuple of Guard, shape (n_guards,)
        Level, code and reason [text].

    Raises
    ------
    OutOfRange
        If a value is outside its bound or a kind is unknown.

    Notes
    -----
    A stop needs an override with a reason. Look again at each reading: evaporation and wood move the strength.

    Source
    ------
    Dittrich 1977 and Ibeas et al., Am. J. Enol. Vitic. 48 (1997) 71-74 (film yeast); Gini and Vaughn, Am. J. Enol.
    Vitic. 13 (1962) 20-31 (bacteria in fortified wine); Amerine and Kunkee 1965 (Delle units); 27 CFR 5.143 (62.5 %
    vol into new wood); 49 CFR 173.150(d) (24 to 70 % vol). Levels are this project's own.

    Examples
    --------
    >>> [(guard.level.value, guard.code) for guard in mix_guards(12.0)]
    [('stop', 'too_weak')]
    """
    strength = require_number("abv_pct", abv_pct, 0.0, 100.0, "% vol")
    units = float(delle_units(strength, sugar_g_l))
    filled = require_number("fill_fraction", fill_fraction, 0.0, 1.1, "of the capacity")
    slack_weeks = require_number("weeks_slack", weeks_slack, 0.0, None, "weeks")
    limit = require_number("strongest_allowed_pct", strongest_allowed_pct, 0.0, 100.0, "% vol")
    found: list[Guard] = []
    keeping = _keeping_guard(strength, units, is_wine_based, filled < 0.8 and slack_weeks > 2.0)
    if keeping is not None:
        found.append(keeping)
    if strength > 70.0:
        found.append(
            Guard(
                GuardLevel.STOP,
                "too_strong",
                f"{strength:.1f} % vol is above 70: its vapour lights at room temperature.",
            )
        )
    elif strength > limit:
        found.append(
            Guard(
                GuardLevel.WARNING,
                "strong",
                f"{strength:.1f} % vol is above {limit:g}, the most that is usual in wood.",
            )
        )
    for kind in dict.fromkeys(
        require_choice("ingredients", kind, list(IngredientKind)) for kind in ingredients
    ):
        if kind in FORBIDDEN_IN_WOOD:
            found.append(
                Guard(
                    GuardLevel.STOP,
                    f"never_in_wood_{kind}",
                    f"Not into wood: {FORBIDDEN_IN_WOOD[IngredientKind(kind)]}.",
                )
            )
        elif kind in CLOGS_WOOD:
            found.append(
                Guard(GuardLevel.WARNING, f"clogs_{kind}", f"Careful: {CLOGS_WOOD[IngredientKind(kind)]}.")
            )
    for name in dict.fromkeys(require_choice("allergens", name, list(Allergen)) for name in allergens):
        found.append(
            Guard(
                GuardLevel.WARNING,
                f"allergen_{name}",
                f"{name.replace('_', ' ').capitalize()}: marks the barrel for life and every later label.",
            )
        )
    found.extend(_fire_guards(strength, cellar_temp_c))
    return tuple(sorted(found, key=lambda guard: -GUARD_ORDER.index(guard.level)))


def _fire_guards(abv_pct: float, cellar_temp_c: float | None) -> list[Guard]:
    """Warns about fire where the vapour can be lit."""
    if abv_pct < 24.0:
        return []
    lights_at = float(flash_point_c(min(abv_pct, 96.0)))
    found = [
        Guard(
            GuardLevel.NOTE,
            "flammable",
            f"Vapour can be lit from about {lights_at:.0f} °C: no flame, no smoking, no open element while filling.",
        )
    ]
    if cellar_temp_c is not None:
        room = require_number("cellar_temp_c", cellar_temp_c, -20.0, 45.0, "degrees Celsius")
        if room >= lights_at - 5.0:
            found.append(
                Guard(
                    GuardLevel.WARNING,
                    "warm_room",
                    f"The room, {room:.0f} °C, is close to that: ventilate well and wipe up spills at once.",
                )
            )
    elif abv_pct >= 50.0:
        found.append(
            Guard(
                GuardLevel.WARNING,
                "ventilate",
                "At 50 % vol and more ventilate, and keep something to soak up spills at hand.",
            )
        )
    return found
