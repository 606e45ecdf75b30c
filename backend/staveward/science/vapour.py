"""What stands over a liquid: saturation pressures, activities, and the partial pressures of ethanol and water.

The driving forces of ``evaporation``, from published equations alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from .alcoholometry import mass_fraction_from_abv_pct
from .errors import Array, require_numbers, require_same_shape, unwrap
from .tables import read_column, read_rows

ETHANOL_KG_MOL = 0.04606844
WATER_KG_MOL = 0.01801528
SUCROSE_KG_MOL = 0.342297
ZERO_CELSIUS_K = 273.15

# Parameters of the two critical points: temperature [K], pressure [kPa].
_CRITICAL = {"water": (647.096, 22064.0), "ethanol": (514.71, 6268.0)}
_NRTL_ALPHA = 0.3


@dataclass(frozen=True)
class PartialPressures:
    """Holds the pressures of ethanol and water over a liquid [kPa]."""

    ethanol_kpa: Array
    water_kpa: Array


def _saturation_kpa(substance: str, temp_c: ArrayLike) -> Array:
    temperature = require_numbers("temp_c", temp_c, 0.0, 100.0, "degrees Celsius")
    critical_k, critical_kpa = _CRITICAL[substance]
    chosen = np.array([row["substance"] == substance for row in read_rows("saturation_pressure")])
    coefficients = read_column("saturation_pressure", "coefficient")[chosen]
    exponents = read_column("saturation_pressure", "exponent")[chosen]
    kelvin = temperature + ZERO_CELSIUS_K
    tau = 1.0 - kelvin / critical_k
    series = np.sum(coefficients * tau[..., None] ** exponents, axis=-1)
    return unwrap(critical_kpa * np.exp(critical_k / kelvin * series))


def vapour_pressure_water_kpa(temp_c: ArrayLike) -> Array:
    """Gives the saturation pressure of water.

    Parameters
    ----------
    temp_c : float or array_like, shape (n,)
        Temperature [degrees Celsius].

    Returns
    -------
    ndarray, shape (n,)
        Pressure [kPa].

    Raises
    ------
    OutOfRange
        If the temperature is outside 0 to 100 degrees Celsius.

    Source
    ------
    IAPWS SR1-86 (1992); Wagner and Pruss, J. Phys. Chem. Ref. Data 31 (2002) 387.

    Examples
    --------
    >>> round(float(vapour_pressure_water_kpa(20.0)), 5)
    2.33919
    """
    return _saturation_kpa("water", temp_c)


def vapour_pressure_ethanol_kpa(temp_c: ArrayLike) -> Array:
    """Gives the saturation pressure of ethanol.

    Parameters
    ----------
    temp_c : float or array_like, shape (n,)
        Temperature [degrees Celsius].

    Returns
    -------
    ndarray, shape (n,)
        Pressure [kPa].

    Raises
    ------
    OutOfRange
        If the temperature is outside 0 to 100 degrees Celsius.

    Source
    ------
    Schroeder, Penoncello and Schroeder, J. Phys. Chem. Ref. Data 43 (2014) 043102.

    Examples
    --------
    >>> round(float(vapour_pressure_ethanol_kpa(20.0)), 5)
    5.87446
    """
    return _saturation_kpa("ethanol", temp_c)


class ClimateFactors(NamedTuple):
    """Holds what depends on temperature alone, so that a long run computes it once a day."""

    water_kpa: Array
    ethanol_kpa: Array
    tau_12: Array
    tau_21: Array
    g_12: Array
    g_21: Array


def climate_factors(temp_c: ArrayLike) -> ClimateFactors:
    """Gives the saturation pressures and the NRTL terms of a temperature.

    t12 = -0.8009 + 246.18/T, t21 = 3.4578 - 586.0809/T, G = exp(-0.3 t).

    Parameters
    ----------
    temp_c : float or array_like, shape (n,)
        Temperature [degrees Celsius].

    Returns
    -------
    ClimateFactors, each shape (n,)
        Saturation pressures [kPa] and NRTL terms [1].

    Raises
    ------
    OutOfRange
        If the temperature is outside 0 to 100 degrees Celsius.

    Source
    ------
    Gmehling and Onken, Vapor-Liquid Equilibrium Data Collection, DECHEMA Chemistry Data Series I/1, 1977.

    Examples
    --------
    >>> round(float(climate_factors(20.0).tau_12), 5)
    0.03887
    """
    water, ethanol = vapour_pressure_water_kpa(temp_c), vapour_pressure_ethanol_kpa(temp_c)
    kelvin = np.asarray(temp_c, dtype=np.float64) + ZERO_CELSIUS_K
    tau_12 = -0.8009 + 246.18 / kelvin
    tau_21 = 3.4578 - 586.0809 / kelvin
    return ClimateFactors(
        water, ethanol, tau_12, tau_21, np.exp(-_NRTL_ALPHA * tau_12), np.exp(-_NRTL_ALPHA * tau_21)
    )


def _gammas(x1: Array, at: ClimateFactors) -> tuple[Array, Array]:
    """Evaluates the NRTL activity coefficients of ethanol (1) and water (2)."""
    x2 = 1.0 - x1
    share_21 = 1.0 / (x1 + x2 * at.g_21)
    share_12 = 1.0 / (x2 + x1 * at.g_12)
    ethanol = np.exp(x2**2 * (at.tau_21 * (at.g_21 * share_21) ** 2 + at.tau_12 * at.g_12 * share_12**2))
    water = np.exp(x1**2 * (at.tau_12 * (at.g_12 * share_12) ** 2 + at.tau_21 * at.g_21 * share_21**2))
    return ethanol, water


def pressures_of(mass_fraction: Array, sugar_kg_per_kg: Array, at: ClimateFactors) -> tuple[Array, Array]:
    """Gives partial pressures from mass fraction, without checks: the inner step of a long run.

    Parameters
    ----------
    mass_fraction : ndarray, shape (n,)
        Mass of ethanol over mass of ethanol and water [0 to 1].
    sugar_kg_per_kg : ndarray, shape (n,)
        Dissolved sugar over ethanol and water [kg/kg].
    at : ClimateFactors, each shape (n,)
        What the temperature fixes [kPa and 1].

    Returns
    -------
    tuple of ndarray, each shape (n,)
        Ethanol and water [kPa].

    Source
    ------
    Gmehling and Onken, DECHEMA Chemistry Data Series I/1, 1977; sugar as an inert solute is a working assumption.

    Examples
    --------
    >>> ethanol, water = pressures_of(np.asarray(0.0), np.asarray(0.0), climate_factors(20.0))
    >>> float(ethanol), round(float(water), 5)
    (0.0, 2.33919)
    """
    moles_1 = mass_fraction / ETHANOL_KG_MOL
    moles = moles_1 + (1.0 - mass_fraction) / WATER_KG_MOL
    x1 = moles_1 / moles
    gamma_1, gamma_2 = _gammas(x1, at)
    diluted = moles / (moles + sugar_kg_per_kg / SUCROSE_KG_MOL)
    return x1 * gamma_1 * at.ethanol_kpa * diluted, (1.0 - x1) * gamma_2 * at.water_kpa * diluted


def mole_fraction_from_mass_fraction(mass_fraction: ArrayLike) -> Array:
    """Gives the mole fraction of ethanol from its mass fraction.

    Parameters
    ----------
    mass_fraction : float or array_like, shape (n,)
        Mass of ethanol over mass of mixture [0 to 1].

    Returns
    -------
    ndarray, shape (n,)
        Mole fraction of ethanol [0 to 1].

    Raises
    ------
    OutOfRange
        If the fraction is outside 0 to 1.

    Source
    ------
    Molar masses 46.06844 and 18.01528 g/mol, IUPAC standard atomic weights.

    Examples
    --------
    >>> round(float(mole_fraction_from_mass_fraction(0.5)), 5)
    0.28112
    """
    fraction = require_numbers("mass_fraction", mass_fraction, 0.0, 1.0, "(a fraction)")
    moles = fraction / ETHANOL_KG_MOL
    return unwrap(moles / (moles + (1.0 - fraction) / WATER_KG_MOL))


def activity_coefficients(mole_fraction_ethanol: ArrayLike, temp_c: ArrayLike) -> tuple[Array, Array]:
    """Gives the activity coefficients of ethanol and water by the NRTL equation.

    ln g1 = x2^2 [t21 (G21/(x1 + x2 G21))^2 + t12 G12/(x2 + x1 G12)^2], and the same with 1 and 2 changed.

    Parameters
    ----------
    mole_fraction_ethanol : float or array_like, shape (n,)
        Mole fraction of ethanol [0 to 1].
    temp_c : float or array_like, shape (n,)
        Temperature [degrees Celsius].

    Returns
    -------
    tuple of ndarray, each shape (n,)
        Ethanol and water [1].

    Raises
    ------
    OutOfRange
        If the fraction is outside 0 to 1 or the temperature outside 0 to 100 degrees Celsius.
    Inconsistent
        If the shapes do not fit each other.

    Notes
    -----
    Within 4 % of published partial pressures of ethanol from 10 to 90 mol %; 3 to 15 % high below 8 mol %.

    Source
    ------
    Gmehling and Onken, Vapor-Liquid Equilibrium Data Collection, DECHEMA Chemistry Data Series I/1, 1977.

    Examples
    --------
    >>> ethanol, water = activity_coefficients(0.25, 20.0)
    >>> round(float(ethanol), 5), round(float(water), 5)
    (1.92728, 1.11803)
    """
    x1 = require_numbers("mole_fraction_ethanol", mole_fraction_ethanol, 0.0, 1.0, "(a fraction)")
    at = climate_factors(temp_c)
    require_same_shape(mole_fraction_ethanol=x1, temp_c=np.asarray(at.tau_12))
    ethanol, water = _gammas(x1, at)
    return ethanol[()], water[()]


def partial_pressures(
    abv_pct: ArrayLike, temp_c: ArrayLike, sugar_kg_per_kg: ArrayLike = 0.0
) -> PartialPressures:
    """Gives the pressures of ethanol and water over a liquid.

    Parameters
    ----------
    abv_pct : float or array_like, shape (n,)
        Strength of the ethanol and water part [% vol at 20 °C].
    temp_c : float or array_like, shape (n,)
        Temperature [degrees Celsius].
    sugar_kg_per_kg : float or array_like, shape (n,)
        Dissolved sugar over ethanol and water [kg/kg].

    Returns
    -------
    PartialPressures, each shape (n,)
        Ethanol and water [kPa].

    Raises
    ------
    OutOfRange
        If a strength is outside 0 to 100 % vol, a temperature outside 0 to 100 °C or sugar outside 0 to 3.
    Inconsistent
        If the shapes do not fit each other.

    Notes
    -----
    Sugar is treated as an inert solute, fine to about 0.3 kg/kg.

    Source
    ------
    Gmehling and Onken, DECHEMA Chemistry Data Series I/1, 1977; IAPWS SR1-86 (1992); Schroeder et al. (2014).

    Examples
    --------
    >>> over = partial_pressures(40.0, 20.0)
    >>> round(float(over.ethanol_kpa), 4), round(float(over.water_kpa), 4)
    (2.3293, 2.0611)
    """
    fraction = np.asarray(mass_fraction_from_abv_pct(abv_pct))
    sugar = require_numbers("sugar_kg_per_kg", sugar_kg_per_kg, 0.0, 3.0, "kg/kg")
    at = climate_factors(temp_c)
    require_same_shape(abv_pct=fraction, temp_c=np.asarray(at.tau_12), sugar_kg_per_kg=sugar)
    ethanol, water = pressures_of(fraction, sugar, at)
    return PartialPressures(ethanol[()], water[()])
