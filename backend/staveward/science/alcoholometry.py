"""Density and strength of mixtures of ethanol and water, after the international alcoholometric formula.

The strength of a liquid is its volume of pure ethanol at 20 degrees Celsius over its own volume at 20
degrees Celsius. It does not change with temperature; only a reading does. All functions take numbers or
arrays and work in double precision (single precision loses up to 0.2 kg/m3).
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import ArrayLike

from .density_formula import (
    REFERENCE_TEMP_C,
    density_and_slope,
    fraction_of_density,
    mass_fraction_at,
    strength_at,
)
from .errors import Array, Inconsistent, require_number, require_numbers, require_same_shape, unwrap
from .vocabulary import BOUNDS

US_REFERENCE_TEMP_C = (60.0 - 32.0) / 1.8
SODA_LIME_GLASS_PER_C = 25e-6
US_GALLON_L = 3.785411784
# Up to here solids may be left out of account: 400 mg in 100 mL, 27 CFR 30.31.
READABLE_SUGAR_G_L = 4.0

_TEMP = BOUNDS["temp_c"]


def ethanol_density_kg_m3(temp_c: float = REFERENCE_TEMP_C) -> float:
    """Gives the density of pure ethanol.

    Parameters
    ----------
    temp_c : float, scalar
        Temperature [degrees Celsius].

    Returns
    -------
    float, scalar
        Density in vacuo [kg/m3].

    Raises
    ------
    OutOfRange
        If the temperature is outside -20 to 40 degrees Celsius.

    Source
    ------
    OIML R 22, International Alcoholometric Tables, 1975.

    Examples
    --------
    >>> round(ethanol_density_kg_m3(20.0), 4)
    789.2391
    """
    return _ethanol_density(require_number("temp_c", temp_c, _TEMP.low, _TEMP.high, _TEMP.unit))


@cache
def _ethanol_density(temp_c: float) -> float:
    return float(density_kg_m3(1.0, temp_c))


def density_kg_m3(mass_fraction: ArrayLike, temp_c: ArrayLike) -> Array:
    """Gives the density of a mixture of ethanol and water.

    rho(p, t) = sum over k and i of M[k, i] p^k u^i with u = t - 20.

    Parameters
    ----------
    mass_fraction : float or array_like, shape (n,)
        Mass of ethanol over mass of mixture [0 to 1].
    temp_c : float or array_like, shape (n,)
        Temperature [degrees Celsius].

    Returns
    -------
    ndarray, shape (n,)
        Density in vacuo [kg/m3].

    Raises
    ------
    OutOfRange
        If the fraction is outside 0 to 1 or the temperature outside -20 to 40 degrees Celsius.
    Inconsistent
        If the shapes do not fit each other.

    Notes
    -----
    Below 0 degrees Celsius only for mixtures that are still liquid. Measurements older than the formula lie
    within about 0.1 kg/m3 of it.

    Source
    ------
    OIML R 22, International Alcoholometric Tables, 1975; Council Directive 76/766/EEC, Annex.

    Examples
    --------
    >>> round(float(density_kg_m3(0.5, 20.0)), 3)
    913.771
    """
    fraction = require_numbers("mass_fraction", mass_fraction, 0.0, 1.0, "(a fraction)")
    temperature = require_numbers("temp_c", temp_c, _TEMP.low, _TEMP.high, _TEMP.unit)
    require_same_shape(mass_fraction=fraction, temp_c=temperature)
    return unwrap(density_and_slope(fraction, temperature)[0])


def abv_pct_from_mass_fraction(mass_fraction: ArrayLike) -> Array:
    """Gives strength by volume from mass fraction: q = p rho(p, 20) / rho(1, 20).

    Parameters
    ----------
    mass_fraction : float or array_like, shape (n,)
        Mass of ethanol over mass of mixture [0 to 1].

    Returns
    -------
    ndarray, shape (n,)
        Strength [% vol at 20 °C].

    Raises
    ------
    OutOfRange
        If the fraction is outside 0 to 1.

    Source
    ------
    OIML R 22, International Alcoholometric Tables, 1975, Table IIIb.

    Examples
    --------
    >>> round(float(abv_pct_from_mass_fraction(0.5)), 2)
    57.89
    """
    fraction = require_numbers("mass_fraction", mass_fraction, 0.0, 1.0, "(a fraction)")
    return unwrap(100.0 * strength_at(fraction, REFERENCE_TEMP_C))


def mass_fraction_from_abv_pct(abv_pct: ArrayLike) -> Array:
    """Gives mass fraction from strength by volume, by Newton's method on q = p rho(p, 20) / rho(1, 20).

    Parameters
    ----------
    abv_pct : float or array_like, shape (n,)
        Strength [% vol at 20 °C].

    Returns
    -------
    ndarray, shape (n,)
        Mass of ethanol over mass of mixture [0 to 1].

    Raises
    ------
    OutOfRange
        If the strength is outside 0 to 100 % vol.

    Notes
    -----
    Round trips hold to 2e-13.

    Source
    ------
    OIML R 22, International Alcoholometric Tables, 1975, Table IVb.

    Examples
    --------
    >>> round(float(mass_fraction_from_abv_pct(40.0)), 6)
    0.332996
    """
    strength = require_numbers("abv_pct", abv_pct, 0.0, 100.0, "% vol") / 100.0
    return unwrap(mass_fraction_at(strength, REFERENCE_TEMP_C))


def density_from_abv_kg_m3(abv_pct: ArrayLike, temp_c: ArrayLike = REFERENCE_TEMP_C) -> Array:
    """Gives the density of an unsweetened spirit at a temperature from its strength.

    Parameters
    ----------
    abv_pct : float or array_like, shape (n,)
        Strength [% vol at 20 °C].
    temp_c : float or array_like, shape (n,)
        Temperature [degrees Celsius].

    Returns
    -------
    ndarray, shape (n,)
        Density in vacuo [kg/m3].

    Raises
    ------
    OutOfRange
        If the strength is outside 0 to 100 % vol or the temperature outside -20 to 40 degrees Celsius.

    Source
    ------
    OIML R 22, International Alcoholometric Tables, 1975, Table II.

    Examples
    --------
    >>> round(float(density_from_abv_kg_m3(50.0, 20.0)), 2)
    930.14
    """
    return density_kg_m3(mass_fraction_from_abv_pct(abv_pct), temp_c)


def mass_fraction_from_density(density_kg_m3: ArrayLike, temp_c: ArrayLike) -> Array:
    """Solves for the mass fraction whose density at a temperature is the one given.

    Parameters
    ----------
    density_kg_m3 : float or array_like, shape (n,)
        Density in vacuo [kg/m3].
    temp_c : float or array_like, shape (n,)
        Temperature [degrees Celsius].

    Returns
    -------
    ndarray, shape (n,)
        Mass of ethanol over mass of mixture [0 to 1].

    Raises
    ------
    OutOfRange
        If an input is not finite or the temperature is outside -20 to 40 degrees Celsius.
    NoSolution
        If no plain spirit has this density at this temperature.

    Notes
    -----
    Newton's method inside a bracket that bisection keeps; density falls strictly with strength.

    Source
    ------
    OIML R 22, International Alcoholometric Tables, 1975, Table Va.

    Examples
    --------
    >>> round(float(mass_fraction_from_density(848.4, 20.0)), 4)
    0.7796
    """
    known = BOUNDS["density_kg_m3"]
    density = require_numbers("density_kg_m3", density_kg_m3, known.low, known.high, known.unit)
    temperature = require_numbers("temp_c", temp_c, _TEMP.low, _TEMP.high, _TEMP.unit)
    require_same_shape(density_kg_m3=density, temp_c=temperature)
    return unwrap(fraction_of_density(density, temperature))


def abv_pct_from_density(density_kg_m3: ArrayLike, temp_c: ArrayLike = REFERENCE_TEMP_C) -> Array:
    """Gives the strength of an unsweetened spirit from its density at a temperature.

    Parameters
    ----------
    density_kg_m3 : float or array_like, shape (n,)
        Density in vacuo [kg/m3].
    temp_c : float or array_like, shape (n,)
        Temperature [degrees Celsius].

    Returns
    -------
    ndarray, shape (n,)
        Strength [% vol at 20 °C].

    Raises
    ------
    OutOfRange
        If an input is not finite or the temperature is outside -20 to 40 degrees Celsius.
    NoSolution
        If no plain spirit has this density at this temperature.

    Notes
    -----
    Never use it on a sweetened liquid: sugar makes it denser and hides strength.

    Source
    ------
    OIML R 22, International Alcoholometric Tables, 1975, Table Vb.

    Examples
    --------
    >>> round(float(abv_pct_from_density(950.0, 20.0)), 2)
    38.76
    """
    return abv_pct_from_mass_fraction(mass_fraction_from_density(density_kg_m3, temp_c))


def mass_fraction_from_instrument(
    density_mark_kg_m3: ArrayLike, temp_c: ArrayLike, calibrated_c: float = REFERENCE_TEMP_C
) -> Array:
    """Gives the mass fraction from the density mark a glass instrument floats at away from its temperature.

    rho_t = mark (1 - 25e-6 (t - t0)), then rho(p, t) = rho_t is solved for p.

    Parameters
    ----------
    density_mark_kg_m3 : float or array_like, shape (n,)
        Density that the mark stands for at the instrument's own temperature [kg/m3].
    temp_c : float or array_like, shape (n,)
        Temperature of the liquid [degrees Celsius].
    calibrated_c : float, scalar
        Temperature the instrument was made for [degrees Celsius].

    Returns
    -------
    ndarray, shape (n,)
        Mass of ethanol over mass of mixture [0 to 1].

    Raises
    ------
    OutOfRange
        If an input is not finite or a temperature is outside -20 to 40 degrees Celsius.
    NoSolution
        If no plain spirit would float the instrument there.

    Source
    ------
    OIML R 22, International Alcoholometric Tables, 1975, Tables VIII and IX (soda-lime glass).

    Examples
    --------
    >>> round(float(mass_fraction_from_instrument(900.0, 0.0)), 4)
    0.6296
    """
    known = BOUNDS["density_kg_m3"]
    mark = require_numbers("density_mark_kg_m3", density_mark_kg_m3, known.low, known.high, known.unit)
    temperature = require_numbers("temp_c", temp_c, _TEMP.low, _TEMP.high, _TEMP.unit)
    made_for = require_number("calibrated_c", calibrated_c, _TEMP.low, _TEMP.high, _TEMP.unit)
    require_same_shape(density_mark_kg_m3=mark, temp_c=temperature)
    true_density = mark * (1.0 - SODA_LIME_GLASS_PER_C * (temperature - made_for))
    return unwrap(fraction_of_density(true_density, temperature))


def abv_pct_from_reading(
    apparent_pct: ArrayLike,
    temp_c: ArrayLike,
    calibrated_c: float = REFERENCE_TEMP_C,
    sugar_g_l: ArrayLike = 0.0,
) -> Array:
    """Corrects the reading of a glass alcoholmeter to true strength at 20 degrees Celsius.

    Parameters
    ----------
    apparent_pct : float or array_like, shape (n,)
        What the instrument shows [% vol at its own temperature; half the proof on a US instrument].
    temp_c : float or array_like, shape (n,)
        Temperature of the liquid [degrees Celsius].
    calibrated_c : float, scalar
        Temperature the instrument was made for; 60 degrees Fahrenheit is 15.5556 [degrees Celsius].
    sugar_g_l : float or array_like, shape (n,)
        Dissolved sugar, where there is any [g/L].

    Returns
    -------
    ndarray, shape (n,)
        Strength [% vol at 20 °C].

    Raises
    ------
    OutOfRange
        If the reading is outside 0 to 100 % vol or a temperature outside -20 to 40 degrees Celsius.
    Inconsistent
        If the liquid holds more than 4 g/L of sugar: it hides strength, and the instrument tells nothing.
    NoSolution
        If no plain spirit would float the instrument there.

    Notes
    -----
    For clear unsweetened spirit only. About 0.4 % vol a degree at 40 % vol, so the thermometer matters most. Solids up
    to 400 mg in 100 mL may be left out of account in the United States; they hide up to 0.8 % vol.

    Source
    ------
    OIML R 22, International Alcoholometric Tables, 1975, Table VIIIb; 27 CFR 30.31 and 30.32 (400 mg of solids).

    Examples
    --------
    >>> round(float(abv_pct_from_reading(40.0, 25.0)), 2)
    37.99
    """
    apparent = require_numbers("apparent_pct", apparent_pct, 0.0, 100.0, "% vol") / 100.0
    sweet = BOUNDS["sugar_g_l"]
    sugar = require_numbers("sugar_g_l", sugar_g_l, sweet.low, sweet.high, sweet.unit)
    if np.any(sugar > READABLE_SUGAR_G_L):
        raise Inconsistent(
            "sugar_g_l",
            float(sugar.max()),
            f"at most {READABLE_SUGAR_G_L:g} g/L for a reading: sugar hides strength",
        )
    made_for = require_number("calibrated_c", calibrated_c, _TEMP.low, _TEMP.high, _TEMP.unit)
    mark = density_and_slope(mass_fraction_at(apparent, made_for), np.asarray(made_for))[0]
    return abv_pct_from_mass_fraction(mass_fraction_from_instrument(mark, temp_c, made_for))


def us_proof_from_abv_pct(abv_pct: ArrayLike) -> Array:
    """Gives US proof: twice the strength by volume at 60 degrees Fahrenheit.

    proof = 200 p rho(p, 60 F) / rho(1, 60 F).

    Parameters
    ----------
    abv_pct : float or array_like, shape (n,)
        Strength [% vol at 20 °C].

    Returns
    -------
    ndarray, shape (n,)
        Proof [US degrees of proof, 60 °F].

    Raises
    ------
    OutOfRange
        If the strength is outside 0 to 100 % vol.

    Source
    ------
    27 CFR 30.11 (definition of proof); OIML R 22, 1975 (density).

    Examples
    --------
    >>> round(float(us_proof_from_abv_pct(40.0)), 2)
    79.86
    """
    fraction = mass_fraction_from_abv_pct(abv_pct)
    return unwrap(200.0 * strength_at(np.asarray(fraction), US_REFERENCE_TEMP_C))


def abv_pct_from_us_proof(proof: ArrayLike) -> Array:
    """Gives strength at 20 degrees Celsius from US proof at 60 degrees Fahrenheit.

    Parameters
    ----------
    proof : float or array_like, shape (n,)
        Proof [US degrees of proof, 60 °F].

    Returns
    -------
    ndarray, shape (n,)
        Strength [% vol at 20 °C].

    Raises
    ------
    OutOfRange
        If the proof is outside 0 to 200.

    Source
    ------
    27 CFR 30.11 (definition of proof); OIML R 22, 1975 (density).

    Examples
    --------
    >>> round(float(abv_pct_from_us_proof(100.0)), 2)
    50.06
    """
    strength = require_numbers("proof", proof, 0.0, 200.0, "proof") / 200.0
    return abv_pct_from_mass_fraction(mass_fraction_at(strength, US_REFERENCE_TEMP_C))


def pure_alcohol_l(volume_l: ArrayLike, abv_pct: ArrayLike) -> Array:
    """Gives litres of pure alcohol: volume times strength, both at 20 degrees Celsius.

    Parameters
    ----------
    volume_l : float or array_like, shape (n,)
        Volume [L at 20 °C].
    abv_pct : float or array_like, shape (n,)
        Strength [% vol at 20 °C].

    Returns
    -------
    ndarray, shape (n,)
        Pure alcohol [L at 20 °C].

    Raises
    ------
    OutOfRange
        If a volume is negative or a strength outside 0 to 100 % vol.

    Source
    ------
    Council Directive 76/766/EEC, Annex (definition of strength by volume).

    Examples
    --------
    >>> float(pure_alcohol_l(5.0, 60.0))
    3.0
    """
    volume = require_numbers("volume_l", volume_l, 0.0, None, "L")
    strength = require_numbers("abv_pct", abv_pct, 0.0, 100.0, "% vol")
    require_same_shape(volume_l=volume, abv_pct=strength)
    return unwrap(volume * strength / 100.0)


def ethanol_g(volume_l: ArrayLike, abv_pct: ArrayLike) -> Array:
    """Gives grams of ethanol: 789.24 times litres of pure alcohol.

    Parameters
    ----------
    volume_l : float or array_like, shape (n,)
        Volume [L at 20 °C].
    abv_pct : float or array_like, shape (n,)
        Strength [% vol at 20 °C].

    Returns
    -------
    ndarray, shape (n,)
        Ethanol [g].

    Raises
    ------
    OutOfRange
        If a volume is negative or a strength outside 0 to 100 % vol.

    Source
    ------
    OIML R 22, International Alcoholometric Tables, 1975 (density of ethanol at 20 °C).

    Examples
    --------
    >>> round(float(ethanol_g(0.010, 100.0)), 2)
    7.89
    """
    return pure_alcohol_l(volume_l, abv_pct) * ethanol_density_kg_m3()


def proof_gallons(volume_l: ArrayLike, abv_pct: ArrayLike) -> Array:
    """Gives US proof gallons: gallons at 60 degrees Fahrenheit times proof over 100.

    Parameters
    ----------
    volume_l : float or array_like, shape (n,)
        Volume [L at 20 °C].
    abv_pct : float or array_like, shape (n,)
        Strength [% vol at 20 °C].

    Returns
    -------
    ndarray, shape (n,)
        Proof gallons [US gal at 100 proof, 60 °F].

    Raises
    ------
    OutOfRange
        If a volume is negative or a strength outside 0 to 100 % vol.

    Source
    ------
    27 CFR 30.11 (proof gallon).

    Examples
    --------
    >>> round(float(proof_gallons(1.9018, 100.0)), 4)
    1.0
    """
    volume = require_numbers("volume_l", volume_l, 0.0, None, "L")
    fraction = mass_fraction_from_abv_pct(abv_pct)
    require_same_shape(volume_l=volume, abv_pct=np.asarray(fraction))
    shrink = density_kg_m3(fraction, REFERENCE_TEMP_C) / density_kg_m3(fraction, US_REFERENCE_TEMP_C)
    return unwrap(volume * shrink / US_GALLON_L * us_proof_from_abv_pct(abv_pct) / 100.0)


def standard_drinks(volume_l: ArrayLike, abv_pct: ArrayLike, grams: ArrayLike) -> Array:
    """Gives how many standard drinks a volume holds, for a country's grams of ethanol in one drink.

    Parameters
    ----------
    volume_l : float or array_like, shape (n,)
        Volume [L at 20 °C].
    abv_pct : float or array_like, shape (n,)
        Strength [% vol at 20 °C].
    grams : float or array_like, shape (n,)
        Ethanol in one standard drink, 1 to 50; among countries it is 8 to 20 [g].

    Returns
    -------
    ndarray, shape (n,)
        Standard drinks [count].

    Raises
    ------
    OutOfRange
        If a volume is negative, a strength outside 0 to 100 % vol or the grams outside 1 to 50.

    Source
    ------
    Kalinowski and Humphreys, Addiction, 2016, doi 10.1111/add.13341 (grams by country).

    Examples
    --------
    >>> round(float(standard_drinks(0.025, 40.0, 8.0)), 2)
    0.99
    """
    each = require_numbers("grams", grams, 1.0, 50.0, "g")
    alcohol = ethanol_g(volume_l, abv_pct)
    require_same_shape(volume_l=np.asarray(alcohol), grams=each)
    return unwrap(alcohol / each)
