"""Mixing by mass, sugar included, and the guards on what goes into wood.

Masses of ethanol, water and sugar are each conserved; volumes are not, since ethanol and water contract and
sugar takes up room. So each part is turned into masses, the masses are added, and the volume follows. The
sweetened model takes 0.62 L of room for each kilogram of sugar.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from .alcoholometry import (
    density_kg_m3,
    ethanol_density_kg_m3,
    mass_fraction_from_abv_pct,
    volume_at_20c_l,
)
from .errors import (
    Array,
    Inconsistent,
    NoSolution,
    Underdetermined,
    require_choice,
    require_numbers,
    require_same_shape,
    unwrap,
)
from .tables import read_column
from .vocabulary import BOUNDS, Allergen, GuardLevel, IngredientKind

SUGAR_ROOM_L_KG = 0.62
WATER_KG_L = 0.99820123

# Sugar to assume when a label is silent [g/L]; always shown and open to change. Table wine from memory; the
# aromatised classes: Regulation (EU) No 251/2014, Annex II; liqueurs: at least 100 by Regulation (EC) 110/2008.
ASSUMED_SUGAR_G_L = {
    IngredientKind.SPIRIT: 0.0,
    IngredientKind.BITTERS: 0.0,
    IngredientKind.WATER: 0.0,
    IngredientKind.LIQUEUR: 250.0,
    IngredientKind.CREAM_LIQUEUR: 250.0,
    IngredientKind.AROMATISED_WINE: 150.0,
    IngredientKind.FORTIFIED_WINE: 100.0,
    IngredientKind.WINE: 3.0,
}

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
class Part:
    """Holds one thing that is poured in: volume at its temperature, label strength, sugar.

    A weighed density [kg/m3 at 20 °C] replaces the sweetened model for this part's water.
    """

    volume_l: ArrayLike
    abv_pct: ArrayLike
    sugar_g_l: ArrayLike = 0.0
    temp_c: ArrayLike = 20.0
    density_kg_m3: ArrayLike | None = None


@dataclass(frozen=True)
class Blend:
    """Holds a mixture: volume and strength at 20 degrees Celsius, masses, and what contraction took."""

    volume_l: Array
    abv_pct: Array
    sugar_g_l: Array
    mass_kg: Array
    contraction_l: Array
    ethanol_kg: Array
    water_kg: Array
    sugar_kg: Array

    @property
    def density_kg_m3(self) -> Array:
        """Gives the density of the mixture at 20 degrees Celsius [kg/m3]."""
        return 1000.0 * self.mass_kg / self.volume_l

    @property
    def mass_fraction(self) -> Array:
        """Gives ethanol over ethanol and water [0 to 1]."""
        return self.ethanol_kg / (self.ethanol_kg + self.water_kg)


@dataclass(frozen=True)
class Guard:
    """Holds one warning about a mix: how loud, a stable code and the sentence to show."""

    level: GuardLevel
    code: str
    reason: str


def volume_of_masses_l(ethanol_kg: ArrayLike, water_kg: ArrayLike, sugar_kg: ArrayLike = 0.0) -> Array:
    """Gives the volume that masses of ethanol, water and sugar make: 1000 (m_e + m_w)/rho(p, 20) + 0.62 m_s.

    Parameters
    ----------
    ethanol_kg, water_kg, sugar_kg : float or array_like, shape (n,)
        Masses; ethanol and water not both zero [kg].

    Returns
    -------
    ndarray, shape (n,)
        Volume [L at 20 °C].

    Raises
    ------
    OutOfRange
        If a mass is negative or ethanol and water are both zero.
    Inconsistent
        If the shapes do not fit each other.

    Source
    ------
    OIML R 22, 1975 (density); sugar's room after the sucrose densities of the CRC Handbook.

    Examples
    --------
    >>> round(float(volume_of_masses_l(0.0, 0.99820123)), 6)
    1.0
    """
    ethanol = require_numbers("ethanol_kg", ethanol_kg, 0.0, None, "kg")
    water = require_numbers("water_kg", water_kg, 0.0, None, "kg")
    sugar = require_numbers("sugar_kg", sugar_kg, 0.0, None, "kg")
    require_same_shape(ethanol_kg=ethanol, water_kg=water, sugar_kg=sugar)
    both = require_numbers("ethanol_kg and water_kg", ethanol + water, 0.0, None, "kg", above_low=True)
    return unwrap((1000.0 * both / density_kg_m3(ethanol / both, 20.0) + SUGAR_ROOM_L_KG * sugar))


def masses_of(part: Part) -> tuple[Array, Array, Array, Array]:
    """Gives the masses of ethanol, water and sugar in a part, and its volume at 20 degrees Celsius.

    V_ew = V (1 - c v), q_ew = q/(1 - c v), m_e = V q rho_e, m_w = V_ew rho(p(q_ew)) - m_e, m_s = V c.

    Parameters
    ----------
    part : Part, each shape (n,)
        What is poured in [L, % vol, g/L, °C].

    Returns
    -------
    tuple of ndarray, each shape (n,)
        Ethanol, water, sugar [kg] and volume [L at 20 °C].

    Raises
    ------
    OutOfRange
        If a volume is negative, a strength outside 0 to 97 % vol (100 unsweetened is refused too: no bottle holds
        it), sugar outside 0 to 900 g/L or a temperature outside -5 to 40 °C.
    Inconsistent
        If strength and sugar leave no room for water, or the weighed density is too small for both.

    Source
    ------
    OIML R 22, 1975 (density); sugar's room after the sucrose densities of the CRC Handbook.

    Examples
    --------
    >>> [round(float(x), 4) for x in masses_of(Part(1.5, 24.0, 250.0))]
    [0.2841, 0.9379, 0.375, 1.5]
    """
    strongest, sweetest = BOUNDS["spirit_abv_pct"], BOUNDS["sugar_g_l"]
    strength = require_numbers("abv_pct", part.abv_pct, strongest.low, strongest.high, "% vol") / 100.0
    sugar = require_numbers("sugar_g_l", part.sugar_g_l, sweetest.low, sweetest.high, sweetest.unit) / 1000.0
    measured = require_numbers("volume_l", part.volume_l, 0.0, None, "L")
    temperature = require_numbers("temp_c", part.temp_c, -5.0, 40.0, "degrees Celsius")
    require_same_shape(volume_l=measured, abv_pct=strength, sugar_g_l=sugar, temp_c=temperature)
    room = 1.0 - sugar * SUGAR_ROOM_L_KG
    if np.any(strength >= room):
        at = np.flatnonzero(
            np.broadcast_to(strength >= room, np.broadcast_shapes(strength.shape, room.shape))
        )[0]
        shown = float(
            np.broadcast_to(strength, np.broadcast_shapes(strength.shape, room.shape)).flat[at] * 100.0
        )
        limit = float(np.broadcast_to(room, np.broadcast_shapes(strength.shape, room.shape)).flat[at] * 100.0)
        raise Inconsistent("abv_pct", shown, f"less than {limit:.1f} % vol beside this much sugar")
    plain_pct = 100.0 * strength / room
    volume = np.asarray(volume_at_20c_l(measured, plain_pct, temperature))
    ethanol = volume * strength * ethanol_density_kg_m3() / 1000.0
    dissolved = volume * sugar
    if part.density_kg_m3 is None:
        fraction = mass_fraction_from_abv_pct(plain_pct)
        water = volume * room * density_kg_m3(fraction, 20.0) / 1000.0 - ethanol
    else:
        known = BOUNDS["density_kg_m3"]
        weighed = require_numbers("density_kg_m3", part.density_kg_m3, known.low, known.high, known.unit)
        require_same_shape(volume_l=volume, density_kg_m3=weighed)
        water = volume * weighed / 1000.0 - ethanol - dissolved
        if np.any(water < 0):
            raise Inconsistent(
                "density_kg_m3", float(np.min(weighed)), "dense enough for the ethanol and sugar named"
            )
    # Rounding alone may leave a hair below zero for a part that holds no water.
    return ethanol, np.where(np.abs(water) < 1e-12, 0.0, water), dissolved, volume


def blend(parts: Sequence[Part]) -> Blend:
    """Mixes parts by mass.

    Parameters
    ----------
    parts : sequence of Part, shape (n_parts,), each shape (n,)
        What is poured together [L, % vol, g/L, °C].

    Returns
    -------
    Blend, each shape (n,)
        Volume [L at 20 °C], strength [% vol at 20 °C], sugar [g/L], masses [kg], contraction [L].

    Raises
    ------
    Underdetermined
        If there is no part, or all volumes are zero.
    OutOfRange
        If a value of a part is outside its bound.
    Inconsistent
        If strength and sugar of a part contradict each other, or shapes do not fit.

    Notes
    -----
    Sugar wrong by 0.01 L/kg of room shifts the volume by 1 mL/L at 100 g/L. Label strength is the larger error.

    Source
    ------
    27 CFR 30.66 (contraction shown by its worked examples); OIML R 22, 1975 (density).

    Examples
    --------
    >>> mix = blend([Part(1.5, 45.0), Part(1.5, 24.0, 250.0), Part(1.5, 16.0, 150.0)])
    >>> round(float(mix.volume_l), 4), round(float(mix.abv_pct), 2), round(float(mix.sugar_g_l), 1)
    (4.492, 28.38, 133.6)
    """
    if len(parts) == 0:
        raise Underdetermined("parts", parts, "at least one part")
    ethanol, water, sugar, poured = (
        sum(column) for column in zip(*(masses_of(part) for part in parts), strict=True)
    )
    total = np.asarray(poured)
    if np.any(total <= 0):
        raise Underdetermined("volume_l", 0.0, "at least one part with more than 0 L")
    volume = volume_of_masses_l(ethanol, water, sugar)
    return Blend(
        volume_l=volume,
        abv_pct=100.0 * 1000.0 * ethanol / (ethanol_density_kg_m3() * volume),
        sugar_g_l=1000.0 * sugar / volume,
        mass_kg=np.asarray(ethanol + water + sugar)[()],
        contraction_l=(total - volume)[()],
        ethanol_kg=np.asarray(ethanol)[()],
        water_kg=np.asarray(water)[()],
        sugar_kg=np.asarray(sugar)[()],
    )


def water_to_reach_kg(
    volume_l: ArrayLike, abv_pct: ArrayLike, target_abv_pct: ArrayLike, sugar_g_l: ArrayLike = 0.0
) -> Array:
    """Gives the mass of water that brings a liquid down to a strength.

    The final volume is V q1/q2, since ethanol's volume is conserved; water fills what is left by mass.

    Parameters
    ----------
    volume_l : float or array_like, shape (n,)
        Volume [L at 20 °C].
    abv_pct : float or array_like, shape (n,)
        Strength [% vol at 20 °C].
    target_abv_pct : float or array_like, shape (n,)
        Strength to reach, above zero [% vol at 20 °C].
    sugar_g_l : float or array_like, shape (n,)
        Dissolved sugar [g/L].

    Returns
    -------
    ndarray, shape (n,)
        Water to add [kg].

    Raises
    ------
    OutOfRange
        If a value is outside its bound.
    NoSolution
        If the target is above the strength: water cannot raise it.

    Notes
    -----
    Water goes in at bottling or serving, not into the wood: it lowers the strength that protects the batch.

    Source
    ------
    27 CFR 30.66 (water = alcohol ratio times its water less the water there is); OIML R 22, 1975.

    Examples
    --------
    >>> round(float(water_to_reach_kg(5.0, 62.5, 57.0)), 4)
    0.503
    """
    target = require_numbers("target_abv_pct", target_abv_pct, 0.0, 97.0, "% vol", above_low=True)
    ethanol, water, sugar, volume = masses_of(Part(volume_l, abv_pct, sugar_g_l))
    strength = np.asarray(abv_pct, dtype=np.float64)
    shape = require_same_shape(volume_l=ethanol, target_abv_pct=target)
    above = np.broadcast_to(target > strength, np.broadcast_shapes(shape, strength.shape))
    if above.any():
        wanted = float(np.broadcast_to(target, above.shape)[above].flat[0])
        raise NoSolution(
            "target_abv_pct", wanted, "at most the strength of the liquid; water cannot raise it"
        )
    final_volume = volume * strength / target
    plain_volume = final_volume - SUGAR_ROOM_L_KG * sugar
    plain_pct = np.where(
        plain_volume > 0,
        100.0 * final_volume * target / 100.0 / np.where(plain_volume > 0, plain_volume, 1.0),
        0.0,
    )
    total = plain_volume * density_kg_m3(mass_fraction_from_abv_pct(plain_pct), 20.0) / 1000.0
    added = total - ethanol - water
    return unwrap(np.where(np.broadcast_to(target == strength, added.shape), 0.0, added))


def water_to_reach_l(
    volume_l: ArrayLike, abv_pct: ArrayLike, target_abv_pct: ArrayLike, sugar_g_l: ArrayLike = 0.0
) -> Array:
    """Gives the volume of water that brings a liquid down to a strength.

    Parameters
    ----------
    volume_l : float or array_like, shape (n,)
        Volume [L at 20 °C].
    abv_pct : float or array_like, shape (n,)
        Strength [% vol at 20 °C].
    target_abv_pct : float or array_like, shape (n,)
        Strength to reach, above zero [% vol at 20 °C].
    sugar_g_l : float or array_like, shape (n,)
        Dissolved sugar [g/L].

    Returns
    -------
    ndarray, shape (n,)
        Water to add [L at 20 °C].

    Raises
    ------
    OutOfRange
        If a value is outside its bound.
    NoSolution
        If the target is above the strength.

    Source
    ------
    27 CFR 30.66; OIML R 22, 1975.

    Examples
    --------
    >>> round(float(water_to_reach_l(1.0, 60.0, 40.0)), 3)
    0.514
    """
    return water_to_reach_kg(volume_l, abv_pct, target_abv_pct, sugar_g_l) / WATER_KG_L


def scale_to_barrel(parts: Sequence[Part], volume_l: float) -> tuple[Part, ...]:
    """Scales every part by one factor so that the blend fills a volume.

    Parameters
    ----------
    parts : sequence of Part, shape (n_parts,)
        The recipe [L, % vol, g/L, °C].
    volume_l : float, scalar
        Volume the blend should have, above zero [L at 20 °C].

    Returns
    -------
    tuple of Part, shape (n_parts,)
        The same proportions [L].

    Raises
    ------
    OutOfRange
        If the volume is not above zero or a value of a part is outside its bound.
    Underdetermined
        If there is no part, or all volumes are zero.

    Notes
    -----
    Masses scale with volume, so contraction is allowed for exactly.

    Source
    ------
    Closed form (the masses are proportional).

    Examples
    --------
    >>> scaled = scale_to_barrel([Part(1.0, 40.0), Part(1.0, 16.0)], 4.75)
    >>> round(float(blend(scaled).volume_l), 9)
    4.75
    """
    wanted = float(require_numbers("volume_l", volume_l, 0.0, None, "L", above_low=True))
    factor = wanted / blend(parts).volume_l
    return tuple(
        replace(part, volume_l=np.asarray(part.volume_l, dtype=np.float64) * factor) for part in parts
    )


def apparent_abv_pct(abv_pct: ArrayLike, sugar_g_l: ArrayLike) -> Array:
    """Gives what an alcoholmeter would wrongly show in a sweetened liquid at 20 degrees Celsius.

    Parameters
    ----------
    abv_pct : float or array_like, shape (n,)
        True strength [% vol at 20 °C].
    sugar_g_l : float or array_like, shape (n,)
        Dissolved sugar [g/L].

    Returns
    -------
    ndarray, shape (n,)
        Apparent strength [% vol at 20 °C].

    Raises
    ------
    OutOfRange
        If a value is outside its bound.
    NoSolution
        If the liquid is denser than water: the instrument would not read at all.

    Notes
    -----
    To explain why a reading is refused; it is no way back to the true strength.

    Source
    ------
    27 CFR 30.32 (0.1 g of solids in 100 mL hides about 0.4 degree of proof at 80 to 100 proof).

    Examples
    --------
    >>> round(float(apparent_abv_pct(45.0, 1.0)), 2)
    44.79
    """
    from .alcoholometry import abv_pct_from_density

    return abv_pct_from_density(blend([Part(1.0, abv_pct, sugar_g_l)]).density_kg_m3, 20.0)


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
    return unwrap((4.5 * strength + sugar / 10.0))


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
    strength = float(require_numbers("abv_pct", abv_pct, 0.0, 100.0, "% vol"))
    units = float(delle_units(strength, sugar_g_l))
    filled = float(require_numbers("fill_fraction", fill_fraction, 0.0, 1.1, "of the capacity"))
    slack_weeks = float(require_numbers("weeks_slack", weeks_slack, 0.0, None, "weeks"))
    limit = float(require_numbers("strongest_allowed_pct", strongest_allowed_pct, 0.0, 100.0, "% vol"))
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
        room = float(require_numbers("cellar_temp_c", cellar_temp_c, -20.0, 45.0, "degrees Celsius"))
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
