"""Mixing by mass, sugar included, and the guards on what goes into wood.

Masses of ethanol, water and sugar are each conserved; volumes are not, since ethanol and water contract and
sugar takes up room. So each part is turned into masses, the masses are added, and the volume follows. The
sweetened model takes 0.62 L of room for each kilogram of sugar.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from .alcoholometry import (
    density_kg_m3,
    ethanol_density_kg_m3,
    mass_fraction_from_abv_pct,
)
from .errors import (
    Array,
    Inconsistent,
    NoSolution,
    Underdetermined,
    require_number,
    require_numbers,
    require_same_shape,
    unwrap,
)
from .gauging import volume_at_20c_l
from .guards import (
    CLOGS_WOOD,
    FORBIDDEN_IN_WOOD,
    GUARD_ORDER,
    Guard,
    delle_units,
    flash_point_c,
    mix_guards,
)
from .vocabulary import BOUNDS, IngredientKind

__all__ = [
    "ASSUMED_SUGAR_G_L",
    "CLOGS_WOOD",
    "FORBIDDEN_IN_WOOD",
    "GUARD_ORDER",
    "SUGAR_ROOM_L_KG",
    "WATER_KG_L",
    "Blend",
    "Guard",
    "Part",
    "apparent_abv_pct",
    "blend",
    "delle_units",
    "flash_point_c",
    "masses_of",
    "mix_guards",
    "scale_to_barrel",
    "syrup_density_kg_m3",
    "syrup_sugar_g_l",
    "volume_of_masses_l",
    "water_to_reach_kg",
    "water_to_reach_l",
]

SUGAR_ROOM_L_KG = 0.62
WATER_KG_L = 0.99820123
_SYRUP_COEFFICIENTS = (998.2012, 385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.2890)

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
    return unwrap(1000.0 * both / density_kg_m3(ethanol / both, 20.0) + SUGAR_ROOM_L_KG * sugar)


def syrup_density_kg_m3(sugar_mass_fraction: ArrayLike) -> Array:
    """Gives the density of a plain sugar syrup at 20 °C: a polynomial in the share of sugar by mass.

    Parameters
    ----------
    sugar_mass_fraction : float or array_like, shape (n,)
        Sucrose over syrup, 0 to 0.85; 0.5 is one to one by mass, 2/3 is two to one [0 to 1].

    Returns
    -------
    ndarray, shape (n,)
        Density [kg/m3 at 20 °C].

    Raises
    ------
    OutOfRange
        If the share is outside 0 to 0.85.

    Notes
    -----
    Within 0.1 kg/m3 of the sucrose table of the CRC Handbook from 10 to 50 %.

    Source
    ------
    ICUMSA polynomial at 20 °C (Emmerich, Zuckerindustrie 119 (1994) 120-123); coefficients from memory,
    checked against the CRC Handbook's sucrose table.

    Examples
    --------
    >>> round(float(syrup_density_kg_m3(0.5)), 1)
    1229.7
    """
    share = require_numbers("sugar_mass_fraction", sugar_mass_fraction, 0.0, 0.85, "(a fraction)")
    return unwrap(np.polynomial.polynomial.polyval(share, _SYRUP_COEFFICIENTS))


def syrup_sugar_g_l(sugar_mass_fraction: ArrayLike) -> Array:
    """Gives the sugar in a litre of plain syrup from its share by mass.

    Parameters
    ----------
    sugar_mass_fraction : float or array_like, shape (n,)
        Sucrose over syrup, 0 to 0.85 [0 to 1].

    Returns
    -------
    ndarray, shape (n,)
        Sugar [g/L at 20 °C].

    Raises
    ------
    OutOfRange
        If the share is outside 0 to 0.85.

    Source
    ------
    As ``syrup_density_kg_m3``.

    Examples
    --------
    >>> round(float(syrup_sugar_g_l(0.5)))
    615
    """
    return unwrap(
        syrup_density_kg_m3(sugar_mass_fraction) * np.asarray(sugar_mass_fraction, dtype=np.float64)
    )


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
    wanted = require_number("volume_l", volume_l, 0.0, None, "L", above_low=True)
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
