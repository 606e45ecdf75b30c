"""Gauging: how much liquid there is, by weight, by temperature, or by the old rules for casks.

Weighing is the best way a club has. The old rules stand here to check a tape for slips and to explain old
books; no volume that the product shows comes from them.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from .alcoholometry import density_kg_m3, mass_fraction_from_abv_pct
from .density_formula import REFERENCE_TEMP_C
from .errors import Array, require_numbers, require_same_shape, unwrap
from .vocabulary import BOUNDS

STEEL_MEASURE_PER_C = 36e-6
AIR_KG_M3 = 1.2
SCALE_WEIGHTS_KG_M3 = 8000.0


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
    return unwrap(measured * ratio)


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
    >>> round(float(volume_from_weight_l(10.0, 939.62)), 3)
    10.655
    """
    known = BOUNDS["density_kg_m3"]
    weight = require_numbers("weight_kg", weight_kg, 0.0, None, "kg")
    density = require_numbers("density_20c_kg_m3", density_20c_kg_m3, known.low, known.high, known.unit)
    require_same_shape(weight_kg=weight, density_20c_kg_m3=density)
    return unwrap(1000.0 * weight * (1.0 - AIR_KG_M3 / SCALE_WEIGHTS_KG_M3) / (density - AIR_KG_M3))


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
    >>> round(float(weight_in_air_kg(1.0, 998.20123)), 5)
    0.99715
    """
    known = BOUNDS["density_kg_m3"]
    volume = require_numbers("volume_l", volume_l, 0.0, None, "L")
    density = require_numbers("density_kg_m3", density_kg_m3, known.low, known.high, known.unit)
    require_same_shape(volume_l=volume, density_kg_m3=density)
    return unwrap(volume * (density - AIR_KG_M3) / (1.0 - AIR_KG_M3 / SCALE_WEIGHTS_KG_M3) / 1000.0)
