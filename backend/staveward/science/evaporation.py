"""What goes out through the wood: the loss of water and ethanol, and the humidity at which strength stays.

Water and ethanol leave by diffusion through the staves, each driven by its own partial pressure over the
liquid; water also meets the humidity of the air and can flow inwards. The two permeabilities were fitted to
published losses of whole barrels, so they include joints, heads and bung; one barrel differs from another by
a multiplier k whose prior spread is a factor 1.6.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from .alcoholometry import mass_fraction_from_abv_pct
from .errors import Array, require_numbers, require_same_shape, unwrap
from .vapour import (
    ETHANOL_KG_MOL,
    SUCROSE_KG_MOL,
    WATER_KG_MOL,
    ZERO_CELSIUS_K,
    ClimateFactors,
    PartialPressures,
    activity_coefficients,
    climate_factors,
    mole_fraction_from_mass_fraction,
    partial_pressures,
    pressures_of,
    vapour_pressure_ethanol_kpa,
    vapour_pressure_water_kpa,
)
from .vocabulary import BOUNDS

__all__ = [
    "ETHANOL_KG_MOL",
    "ETHANOL_PERMEABILITY",
    "SUCROSE_KG_MOL",
    "WATER_KG_MOL",
    "WATER_PERMEABILITY",
    "ZERO_CELSIUS_K",
    "ClimateFactors",
    "Loss",
    "PartialPressures",
    "activity_coefficients",
    "climate_factors",
    "crossover_rh",
    "loss_g_per_day",
    "mole_fraction_from_mass_fraction",
    "partial_pressures",
    "pressures_of",
    "require_transport",
    "usual_stave_mm",
    "usual_wood_area_m2",
    "vapour_pressure_ethanol_kpa",
    "vapour_pressure_water_kpa",
]

# g mm / (m2 day kPa); fitted, geometric spread 1.27 and 1.18.
WATER_PERMEABILITY = 600.0
ETHANOL_PERMEABILITY = 60.0


@dataclass(frozen=True)
class Loss:
    """Holds what leaves through the wood in a day [g/day]; water is negative when it flows inwards."""

    water_g_per_day: Array
    ethanol_g_per_day: Array

    @property
    def total_g_per_day(self) -> Array:
        """Gives water and ethanol together [g/day]."""
        return self.water_g_per_day + self.ethanol_g_per_day


def require_transport(
    rh_fraction: ArrayLike, area_m2: ArrayLike, stave_mm: ArrayLike, k: ArrayLike
) -> tuple[Array, Array, Array, Array]:
    """Checks what the flow through wood needs and gives it as arrays.

    Parameters
    ----------
    rh_fraction : float or array_like, shape (n,)
        Relative humidity of the air [0 to 1, not percent].
    area_m2 : float or array_like, shape (n,)
        Inner wood, staves and heads [m2].
    stave_mm : float or array_like, shape (n,)
        Mean stave thickness [mm].
    k : float or array_like, shape (n,)
        The barrel's multiplier, 0 or 0.05 to 20 [1].

    Returns
    -------
    tuple of ndarray, each shape (n,)
        The four in the same order [same units].

    Raises
    ------
    OutOfRange
        If one is outside its bound; humidity above 1 is refused, never divided by 100.

    Source
    ------
    Common practice, no source (bounds of the fit's validity).

    Examples
    --------
    >>> [float(x) for x in require_transport(0.6, 0.16, 14.5, 1.0)]
    [0.6, 0.16, 14.5, 1.0]
    """
    humid, area, stave = BOUNDS["rh_fraction"], BOUNDS["area_m2"], BOUNDS["stave_mm"]
    multiplier = require_numbers("k", k, 0.0, 20.0, "")
    require_numbers("k", np.where(multiplier == 0.0, 1.0, multiplier), 0.05, 20.0, "(or 0)")
    return (
        require_numbers("rh_fraction", rh_fraction, humid.low, humid.high, humid.unit),
        require_numbers("area_m2", area_m2, area.low, area.high, area.unit),
        require_numbers("stave_mm", stave_mm, stave.low, stave.high, stave.unit),
        multiplier,
    )


def loss_g_per_day(
    abv_pct: ArrayLike,
    temp_c: ArrayLike,
    rh_fraction: ArrayLike,
    area_m2: ArrayLike,
    stave_mm: ArrayLike,
    k: ArrayLike = 1.0,
    *,
    sugar_kg_per_kg: ArrayLike = 0.0,
    wetted_fraction: ArrayLike = 1.0,
    dry_wood_share: ArrayLike = 1.0,
    ambient_ethanol_kpa: ArrayLike = 0.0,
) -> Loss:
    """Gives what leaves through the wood in a day.

    E_w = k 600 (A/L)(p_w - RH Psat_w), E_e = k 60 (A/L) p_e, A = area (w + (1 - w) r).

    Parameters
    ----------
    abv_pct : float or array_like, shape (n,)
        Strength of the ethanol and water part, up to 96 [% vol at 20 °C].
    temp_c : float or array_like, shape (n,)
        Temperature of the wood, 0 to 45 [degrees Celsius].
    rh_fraction : float or array_like, shape (n,)
        Relative humidity of the air [0 to 1, not percent].
    area_m2 : float or array_like, shape (n,)
        Inner wood, staves and heads [m2].
    stave_mm : float or array_like, shape (n,)
        Mean stave thickness [mm].
    k : float or array_like, shape (n,)
        The barrel's multiplier; prior median 1, geometric spread 1.6 [1].
    sugar_kg_per_kg : float or array_like, shape (n,)
        Dissolved sugar over ethanol and water [kg/kg].
    wetted_fraction : float or array_like, shape (n,)
        Share w of the wood that the liquid touches [0 to 1].
    dry_wood_share : float or array_like, shape (n,)
        What wood over the headspace loses against wetted wood, r [0.5 to 1].
    ambient_ethanol_kpa : float or array_like, shape (n,)
        Pressure of ethanol in the room's air [kPa].

    Returns
    -------
    Loss, each shape (n,)
        Water and ethanol [g/day]; water is negative when it flows inwards.

    Raises
    ------
    OutOfRange
        If an input is outside its bound.
    Inconsistent
        If the shapes do not fit each other.

    Notes
    -----
    Fitted to eight published losses (wine 225 L to rum 200 L): spread of observed over computed 1.25. The
    climates of those sites are assumptions. Small barrels rest on the 1/L scaling; hence the wide prior on k.

    Source
    ------
    Roussey et al., J. Food Eng. 291 (2021) 110233, and Schoeneman et al., JAOAC 54 (1971) 1247, among the data
    fitted; the form follows from Fick's law.

    Examples
    --------
    >>> loss = loss_g_per_day(60.0, 20.0, 0.55, 0.16374499, 14.529928)
    >>> round(float(loss.water_g_per_day), 5), round(float(loss.ethanol_g_per_day), 5)
    (4.21921, 2.05239)
    """
    require_numbers("abv_pct", abv_pct, 0.0, 96.0, "% vol")
    cellar = BOUNDS["cellar_temp_c"]
    temperature = require_numbers("temp_c", temp_c, cellar.low, cellar.high, cellar.unit)
    humidity, area, stave, multiplier = require_transport(rh_fraction, area_m2, stave_mm, k)
    wetted = require_numbers("wetted_fraction", wetted_fraction, 0.0, 1.0, "of the wood")
    dry_share = require_numbers("dry_wood_share", dry_wood_share, 0.5, 1.0, "")
    ambient = require_numbers("ambient_ethanol_kpa", ambient_ethanol_kpa, 0.0, 10.0, "kPa")
    over = partial_pressures(abv_pct, temperature, sugar_kg_per_kg)
    require_same_shape(
        abv_pct=np.asarray(over.ethanol_kpa),
        rh_fraction=humidity,
        area_m2=area,
        stave_mm=stave,
        k=multiplier,
        wetted_fraction=wetted,
        dry_wood_share=dry_share,
        ambient_ethanol_kpa=ambient,
    )
    path = multiplier * area * (wetted + (1.0 - wetted) * dry_share) / stave
    water = WATER_PERMEABILITY * path * (over.water_kpa - humidity * vapour_pressure_water_kpa(temperature))
    ethanol = ETHANOL_PERMEABILITY * path * (over.ethanol_kpa - ambient)
    return Loss(water[()], ethanol[()])


def crossover_rh(
    abv_pct: ArrayLike,
    temp_c: ArrayLike,
    permeability_ratio: ArrayLike = ETHANOL_PERMEABILITY / WATER_PERMEABILITY,
) -> Array:
    """Gives the humidity at which strength stays as it is: below it strength rises, above it falls.

    RH* = [p_w - (P_e/P_w) p_e (1 - p)/p] / Psat_w.

    Parameters
    ----------
    abv_pct : float or array_like, shape (n,)
        Strength, above 0 and up to 96 [% vol at 20 °C].
    temp_c : float or array_like, shape (n,)
        Temperature, 0 to 45 [degrees Celsius].
    permeability_ratio : float or array_like, shape (n,)
        Ethanol over water permeability of the wood; 0.1 with a spread of 1.34 [1].

    Returns
    -------
    ndarray, shape (n,)
        Relative humidity [fraction].

    Raises
    ------
    OutOfRange
        If a strength, temperature or ratio is outside its bound.
    Inconsistent
        If the shapes do not fit each other.

    Source
    ------
    Closed form from Fick's law with the permeabilities of ``loss_g_per_day``; trade talk says 60 to 75 %.

    Examples
    --------
    >>> round(float(crossover_rh(60.0, 20.0)), 4)
    0.6974
    """
    strength = require_numbers("abv_pct", abv_pct, 0.0, 96.0, "% vol", above_low=True)
    cellar = BOUNDS["cellar_temp_c"]
    temperature = require_numbers("temp_c", temp_c, cellar.low, cellar.high, cellar.unit)
    ratio = require_numbers("permeability_ratio", permeability_ratio, 0.0, 1.0, "", above_low=True)
    over = partial_pressures(strength, temperature)
    fraction = mass_fraction_from_abv_pct(strength)
    require_same_shape(abv_pct=np.asarray(over.water_kpa), permeability_ratio=ratio)
    driven = over.water_kpa - ratio * over.ethanol_kpa * (1.0 - fraction) / fraction
    return unwrap(driven / vapour_pressure_water_kpa(temperature))


def usual_wood_area_m2(capacity_l: ArrayLike) -> Array:
    """Gives the inner wood of a barrel whose measures are unknown: 5.6 (V/1000)^(2/3).

    Parameters
    ----------
    capacity_l : float or array_like, shape (n,)
        Capacity [L].

    Returns
    -------
    ndarray, shape (n,)
        Inner wood, staves and heads [m2].

    Raises
    ------
    OutOfRange
        If a capacity is outside 0.5 to 350 L.

    Source
    ------
    From memory (barrel shape; gives 2.07 m2 at 225 L).

    Examples
    --------
    >>> round(float(usual_wood_area_m2(5.0)), 6)
    0.163745
    """
    size = BOUNDS["capacity_l"]
    capacity = require_numbers("capacity_l", capacity_l, size.low, size.high, size.unit)
    return unwrap(5.6 * (capacity / 1000.0) ** (2.0 / 3.0))


def usual_stave_mm(capacity_l: ArrayLike) -> Array:
    """Gives the stave thickness of a barrel whose measures are unknown: 9.4 + 3.0 V^(1/3).

    Parameters
    ----------
    capacity_l : float or array_like, shape (n,)
        Capacity [L].

    Returns
    -------
    ndarray, shape (n,)
        Mean stave thickness [mm].

    Raises
    ------
    OutOfRange
        If a capacity is outside 0.5 to 350 L.

    Source
    ------
    Common practice, no source (fitted to usual thicknesses, 12 to 27 mm).

    Examples
    --------
    >>> round(float(usual_stave_mm(5.0)), 4)
    14.5299
    """
    size = BOUNDS["capacity_l"]
    capacity = require_numbers("capacity_l", capacity_l, size.low, size.high, size.unit)
    return unwrap(9.4 + 3.0 * np.cbrt(capacity))
