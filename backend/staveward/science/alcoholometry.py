"""Density and strength of mixtures of ethanol and water, after the international alcoholometric formula.

The strength of a liquid is its volume of pure ethanol at 20 degrees Celsius over its own volume at 20
degrees Celsius. It does not change with temperature; only a reading does. All functions take numbers or
arrays and work in double precision (single precision loses up to 0.2 kg/m3).
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import ArrayLike

from .errors import Array, NoSolution, require_numbers, require_same_shape, unwrap
from .tables import read_column
from .vocabulary import BOUNDS

REFERENCE_TEMP_C = 20.0
US_REFERENCE_TEMP_C = (60.0 - 32.0) / 1.8
SODA_LIME_GLASS_PER_C = 25e-6
STEEL_MEASURE_PER_C = 36e-6
AIR_KG_M3 = 1.2
SCALE_WEIGHTS_KG_M3 = 8000.0
US_GALLON_L = 3.785411784

_TEMP = BOUNDS["temp_c"]


@cache
def _coefficients() -> Array:
    """Gives the matrix of coefficients of p^k u^i, one row per k, one column per i."""
    matrix = np.zeros((12, 7))
    rows = read_column("oiml_r22", "k").astype(int)
    columns = read_column("oiml_r22", "i").astype(int)
    matrix[rows, columns] = read_column("oiml_r22", "coefficient")
    return matrix


def _density_and_slope(mass_fraction: Array, temp_c: Array) -> tuple[Array, Array]:
    """Evaluates density and its derivative by mass fraction, Horner in u and then in p."""
    u = temp_c - REFERENCE_TEMP_C
    density = np.zeros(np.broadcast_shapes(mass_fraction.shape, u.shape))
    slope = np.zeros_like(density)
    for row in _coefficients()[::-1]:
        in_u = np.zeros_like(u)
        for coefficient in row[::-1]:
            in_u = in_u * u + coefficient
        slope = slope * mass_fraction + density
        density = density * mass_fraction + in_u
    return density, slope


@cache
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
    return unwrap(_density_and_slope(fraction, temperature)[0])


def _strength_fraction(fraction: Array, reference_c: float) -> Array:
    """Gives strength by volume (0 to 1) at a reference temperature from mass fraction."""
    at = np.asarray(reference_c)
    return fraction * _density_and_slope(fraction, at)[0] / _density_and_slope(np.asarray(1.0), at)[0]


def _mass_fraction(strength: Array, reference_c: float) -> Array:
    """Solves for mass fraction from strength by volume (0 to 1) by Newton's method from 0.8 q."""
    at = np.asarray(reference_c)
    pure = _density_and_slope(np.asarray(1.0), at)[0]
    fraction = 0.8 * strength
    for _ in range(20):
        density, slope = _density_and_slope(fraction, at)
        step = (fraction * density / pure - strength) * pure / (density + fraction * slope)
        fraction = fraction - step
        if np.all(np.abs(step) < 1e-12):
            break
    # Newton's floor is 3e-13, so a pure liquid may land just outside 0 to 1.
    return np.where(strength == 0.0, 0.0, np.where(strength == 1.0, 1.0, fraction))


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
    return unwrap(100.0 * _strength_fraction(fraction, REFERENCE_TEMP_C))


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
    return unwrap(_mass_fraction(strength, REFERENCE_TEMP_C))


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
    return unwrap(_solve_density(density, temperature))


def _solve_density(density: Array, temp_c: Array) -> Array:
    """Finds the mass fraction of a density, refusing densities that no plain spirit has."""
    density, temp_c = np.broadcast_arrays(density, temp_c)
    heaviest = _density_and_slope(np.zeros(density.shape), temp_c)[0]
    lightest = _density_and_slope(np.ones(density.shape), temp_c)[0]
    slack = 1e-9 * density
    outside = (density > heaviest + slack) | (density < lightest - slack)
    if outside.any():
        at = np.flatnonzero(outside)[0]
        bound = (
            f"{float(lightest.flat[at]):.2f} to {float(heaviest.flat[at]):.2f} kg/m3, "
            f"a plain spirit at {float(temp_c.flat[at]):g} degrees Celsius"
        )
        raise NoSolution("density_kg_m3", float(density.flat[at]), bound)
    low, high = np.zeros(density.shape), np.ones(density.shape)
    fraction = np.full(density.shape, 0.5)
    for _ in range(80):
        got, slope = _density_and_slope(fraction, temp_c)
        miss = got - density
        low, high = np.where(miss >= 0, fraction, low), np.where(miss <= 0, fraction, high)
        with np.errstate(divide="ignore", invalid="ignore"):
            newton = fraction - miss / slope
        usable = np.isfinite(newton) & (newton >= low) & (newton <= high)
        moved = np.where(usable, newton, 0.5 * (low + high))
        done = np.abs(moved - fraction) < 1e-13
        fraction = moved
        if np.all(done | (high - low < 1e-14)):
            break
    return fraction


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
    made_for = float(require_numbers("calibrated_c", calibrated_c, _TEMP.low, _TEMP.high, _TEMP.unit))
    require_same_shape(density_mark_kg_m3=mark, temp_c=temperature)
    true_density = mark * (1.0 - SODA_LIME_GLASS_PER_C * (temperature - made_for))
    return unwrap(_solve_density(true_density, temperature))


def abv_pct_from_reading(
    apparent_pct: ArrayLike, temp_c: ArrayLike, calibrated_c: float = REFERENCE_TEMP_C
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

    Returns
    -------
    ndarray, shape (n,)
        Strength [% vol at 20 °C].

    Raises
    ------
    OutOfRange
        If the reading is outside 0 to 100 % vol or a temperature outside -20 to 40 degrees Celsius.
    NoSolution
        If no plain spirit would float the instrument there.

    Notes
    -----
    For clear unsweetened spirit only. About 0.4 % vol a degree at 40 % vol, so the thermometer matters most.

    Source
    ------
    OIML R 22, International Alcoholometric Tables, 1975, Table VIIIb.

    Examples
    --------
    >>> round(float(abv_pct_from_reading(40.0, 25.0)), 2)
    37.99
    """
    apparent = require_numbers("apparent_pct", apparent_pct, 0.0, 100.0, "% vol") / 100.0
    made_for = float(require_numbers("calibrated_c", calibrated_c, _TEMP.low, _TEMP.high, _TEMP.unit))
    mark = _density_and_slope(_mass_fraction(apparent, made_for), np.asarray(made_for))[0]
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
    return unwrap(200.0 * _strength_fraction(np.asarray(fraction), US_REFERENCE_TEMP_C))


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
    return abv_pct_from_mass_fraction(_mass_fraction(strength, US_REFERENCE_TEMP_C))


def volume_at_20c_l(
    volume_l: ArrayLike, abv_pct: ArrayLike, temp_c: ArrayLike, steel_measure: bool = False
) -> Array:
    """Reduces a volume measured at some temperature to 20 degrees Celsius: V20 = V rho(p, t) / rho(p, 20).

    Parameters
    ----------
    volume_l : float or array_like, shape (n,)
        Volume as measured [L at temp_c].
    abv_pct : float or array_like, shape (n,)
        Strength [% vol at 20 °C].
    temp_c : float or array_like, shape (n,)
        Temperature of the liquid [degrees Celsius].
    steel_measure : bool, scalar
        True when it was read in a steel measure calibrated at 20 degrees Celsius, which grows too [1].

    Returns
    -------
    ndarray, shape (n,)
        Volume [L at 20 °C].

    Raises
    ------
    OutOfRange
        If a volume is negative, a strength outside 0 to 100 % vol or a temperature outside -20 to 40 °C.

    Source
    ------
    OIML R 22, International Alcoholometric Tables, 1975, Table XI (steel 36e-6 per K).

    Examples
    --------
    >>> round(float(volume_at_20c_l(10.0, 60.0, 10.0)), 3)
    10.087
    """
    measured = require_numbers("volume_l", volume_l, 0.0, None, "L")
    fraction = mass_fraction_from_abv_pct(abv_pct)
    ratio = density_kg_m3(fraction, temp_c) / density_kg_m3(fraction, REFERENCE_TEMP_C)
    if steel_measure:
        ratio = ratio * (
            1.0 + STEEL_MEASURE_PER_C * (np.asarray(temp_c, dtype=np.float64) - REFERENCE_TEMP_C)
        )
    require_same_shape(volume_l=measured, abv_pct=np.asarray(ratio))
    return unwrap((measured * ratio))


def volume_from_weight_l(weight_kg: ArrayLike, density_20c_kg_m3: ArrayLike) -> Array:
    """Gives the volume of a liquid from its weight on a scale, with the lift of the air taken out.

    V20 = 1000 W (1 - 1.2/8000) / (rho - 1.2).

    Parameters
    ----------
    weight_kg : float or array_like, shape (n,)
        What the scale shows for the liquid alone [kg].
    density_20c_kg_m3 : float or array_like, shape (n,)
        Density of the liquid at 20 degrees Celsius [kg/m3].

    Returns
    -------
    ndarray, shape (n,)
        Volume [L at 20 °C].

    Raises
    ------
    OutOfRange
        If a weight is negative or a density outside 700 to 1450 kg/m3.

    Source
    ------
    OIML R 22, International Alcoholometric Tables, 1975, Table XII (air 1.2 kg/m3, weights 8000 kg/m3).

    Examples
    --------
    >>> round(float(volume_from_weight_l(10.0, density_from_abv_kg_m3(45.0))), 3)
    10.655
    """
    known = BOUNDS["density_kg_m3"]
    weight = require_numbers("weight_kg", weight_kg, 0.0, None, "kg")
    density = require_numbers("density_20c_kg_m3", density_20c_kg_m3, known.low, known.high, known.unit)
    require_same_shape(weight_kg=weight, density_20c_kg_m3=density)
    return unwrap((1000.0 * weight * (1.0 - AIR_KG_M3 / SCALE_WEIGHTS_KG_M3) / (density - AIR_KG_M3)))


def weight_in_air_kg(volume_l: ArrayLike, density_kg_m3: ArrayLike) -> Array:
    """Gives what a scale in air shows for a volume of liquid.

    Parameters
    ----------
    volume_l : float or array_like, shape (n,)
        Volume at the temperature of the density [L].
    density_kg_m3 : float or array_like, shape (n,)
        Density in vacuo [kg/m3].

    Returns
    -------
    ndarray, shape (n,)
        Weight in air [kg].

    Raises
    ------
    OutOfRange
        If a volume is negative or a density outside 700 to 1450 kg/m3.

    Source
    ------
    OIML R 22, International Alcoholometric Tables, 1975, Table XII (air 1.2 kg/m3, weights 8000 kg/m3).

    Examples
    --------
    >>> round(float(weight_in_air_kg(1.0, density_from_abv_kg_m3(0.0))), 5)
    0.99715
    """
    known = BOUNDS["density_kg_m3"]
    volume = require_numbers("volume_l", volume_l, 0.0, None, "L")
    density = require_numbers("density_kg_m3", density_kg_m3, known.low, known.high, known.unit)
    require_same_shape(volume_l=volume, density_kg_m3=density)
    return unwrap((volume * (density - AIR_KG_M3) / (1.0 - AIR_KG_M3 / SCALE_WEIGHTS_KG_M3) / 1000.0))


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
    return unwrap((volume * strength / 100.0))


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
    return unwrap((volume * shrink / US_GALLON_L * us_proof_from_abv_pct(abv_pct) / 100.0))


def standard_drinks(volume_l: ArrayLike, abv_pct: ArrayLike, grams: ArrayLike) -> Array:
    """Gives how many standard drinks a volume holds, for a country's grams of ethanol in one drink.

    Parameters
    ----------
    volume_l : float or array_like, shape (n,)
        Volume [L at 20 °C].
    abv_pct : float or array_like, shape (n,)
        Strength [% vol at 20 °C].
    grams : float or array_like, shape (n,)
        Ethanol in one standard drink, 8 to 20 among countries [g].

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
    return unwrap((alcohol / each))
