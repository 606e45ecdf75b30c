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


def _cask(**measures: ArrayLike) -> list[Array]:
    """Checks inside measures of a cask and gives them as arrays."""
    arrays = {
        name: require_numbers(name, value, 0.0, 500.0, "cm", above_low=True)
        for name, value in measures.items()
    }
    require_same_shape(**arrays)
    return list(arrays.values())


def capacity_by_four_measures_l(
    bilge_diameter_cm: ArrayLike,
    head_diameter_cm: ArrayLike,
    length_cm: ArrayLike,
    middle_diameter_cm: ArrayLike,
) -> Array:
    """Gives a cask's capacity from four measures: pi L (D^2 + d^2 + 4 m^2)/24.

    Parameters
    ----------
    bilge_diameter_cm, head_diameter_cm, length_cm : float or array_like, shape (n,)
        Inside diameters at bung and head, inside length [cm].
    middle_diameter_cm : float or array_like, shape (n,)
        Inside diameter half-way between bung and head [cm].

    Returns
    -------
    ndarray, shape (n,)
        Capacity [L].

    Raises
    ------
    OutOfRange
        If a measure is not above zero.
    Inconsistent
        If the shapes do not fit each other.

    Notes
    -----
    Simpson's rule on each half: the best rule from a tape, when the middle can be measured.

    Source
    ------
    C. Hutton, A Treatise on Mensuration, gauging by four dimensions.

    Examples
    --------
    >>> round(float(capacity_by_four_measures_l(14.2, 12.0, 15.8, 13.7)), 6)
    2.267591
    """
    wide, narrow, length, middle = _cask(
        bilge_diameter_cm=bilge_diameter_cm,
        head_diameter_cm=head_diameter_cm,
        length_cm=length_cm,
        middle_diameter_cm=middle_diameter_cm,
    )
    return unwrap(np.pi * length * (wide**2 + narrow**2 + 4.0 * middle**2) / 24.0 / 1000.0)


def end_volume_by_three_diameters_l(
    surface_diameter_cm: ArrayLike,
    middle_diameter_cm: ArrayLike,
    end_diameter_cm: ArrayLike,
    depth_cm: ArrayLike,
) -> Array:
    """Gives the liquid between surface and nearer end of a standing cask: pi l (D_s^2 + d^2 + 4 m^2)/24.

    Parameters
    ----------
    surface_diameter_cm, middle_diameter_cm, end_diameter_cm : float or array_like, shape (n,)
        Inside diameters at the surface, half-way, and at the end [cm].
    depth_cm : float or array_like, shape (n,)
        Distance between surface and end [cm].

    Returns
    -------
    ndarray, shape (n,)
        Volume [L].

    Raises
    ------
    OutOfRange
        If a measure is not above zero.
    Inconsistent
        If the shapes do not fit each other.

    Source
    ------
    J. Day, Mensuration, gauging Prob. VII (attribution from memory).

    Examples
    --------
    >>> round(float(end_volume_by_three_diameters_l(81.28, 73.66, 60.96, 30.48)), 1)
    127.8
    """
    top, middle, end, depth = _cask(
        surface_diameter_cm=surface_diameter_cm,
        middle_diameter_cm=middle_diameter_cm,
        end_diameter_cm=end_diameter_cm,
        depth_cm=depth_cm,
    )
    return unwrap(np.pi * depth * (top**2 + end**2 + 4.0 * middle**2) / 24.0 / 1000.0)


def capacity_by_general_rule_l(
    bilge_diameter_cm: ArrayLike, head_diameter_cm: ArrayLike, length_cm: ArrayLike
) -> Array:
    """Gives a cask's capacity by the eighteenth-century rule for any cask: pi L (39 D^2 + 25 d^2 + 26 D d)/360.

    Parameters
    ----------
    bilge_diameter_cm, head_diameter_cm, length_cm : float or array_like, shape (n,)
        Inside diameters at bung and head, inside length [cm].

    Returns
    -------
    ndarray, shape (n,)
        Capacity [L].

    Raises
    ------
    OutOfRange
        If a measure is not above zero.
    Inconsistent
        If the shapes do not fit each other.

    Notes
    -----
    2 to 6 % under a parabolic stave; to explain old books.

    Source
    ------
    Household Cyclopedia, Contents of Casks.

    Examples
    --------
    >>> round(float(capacity_by_general_rule_l(81.28, 60.96, 101.6)), 1)
    425.0
    """
    wide, narrow, length = _cask(
        bilge_diameter_cm=bilge_diameter_cm, head_diameter_cm=head_diameter_cm, length_cm=length_cm
    )
    return unwrap(
        np.pi * length * (39.0 * wide**2 + 25.0 * narrow**2 + 26.0 * wide * narrow) / 360.0 / 1000.0
    )


def capacity_by_mean_diameter_l(
    bilge_diameter_cm: ArrayLike, head_diameter_cm: ArrayLike, length_cm: ArrayLike, factor: ArrayLike
) -> Array:
    """Gives a cask's capacity as a cylinder of a mean diameter: pi L (d + f (D - d))^2/4.

    Parameters
    ----------
    bilge_diameter_cm, head_diameter_cm, length_cm : float or array_like, shape (n,)
        Inside diameters at bung and head, inside length [cm].
    factor : float or array_like, shape (n,)
        0.70, 0.65, 0.60 or 0.55 by falling curve of the stave; 2/3 in other books [0 to 1].

    Returns
    -------
    ndarray, shape (n,)
        Capacity [L].

    Raises
    ------
    OutOfRange
        If a measure is not above zero or the factor outside 0 to 1.
    Inconsistent
        If the shapes do not fit each other.

    Source
    ------
    Olney, Science of Arithmetic, 1876, p. 277; a builders' handbook of the nineteenth century.

    Examples
    --------
    >>> round(float(capacity_by_mean_diameter_l(81.28, 60.96, 101.6, 0.7)), 1)
    451.1
    """
    wide, narrow, length = _cask(
        bilge_diameter_cm=bilge_diameter_cm, head_diameter_cm=head_diameter_cm, length_cm=length_cm
    )
    share = require_numbers("factor", factor, 0.0, 1.0, "")
    require_same_shape(bilge_diameter_cm=wide, factor=share)
    return unwrap(np.pi * length * (narrow + share * (wide - narrow)) ** 2 / 4.0 / 1000.0)


def capacity_by_diagonal_l(diagonal_cm: ArrayLike) -> Array:
    """Gives about a cask's capacity from one rod, bung to far edge of a head: pi s^3/(3 sqrt 3).

    Parameters
    ----------
    diagonal_cm : float or array_like, shape (n,)
        Inside diagonal from the bung's middle to the far edge of a head [cm].

    Returns
    -------
    ndarray, shape (n,)
        Capacity, within about 10 % [L].

    Raises
    ------
    OutOfRange
        If the diagonal is not above zero.

    Notes
    -----
    To catch a slip in typed measures, never as a result.

    Source
    ------
    Kepler's optimum cylinder: Cardil, Kepler: The Volume of a Wine Barrel, MAA Convergence.

    Examples
    --------
    >>> round(float(capacity_by_diagonal_l(50.0)), 3)
    75.575
    """
    (diagonal,) = _cask(diagonal_cm=diagonal_cm)
    return unwrap(np.pi * diagonal**3 / (3.0 * np.sqrt(3.0)) / 1000.0)


def old_ullage_fraction(level_fraction: ArrayLike, is_standing: bool = False) -> Array:
    """Gives the share of a cask's capacity by the excise rules of thumb: 0.5 + 1.25 (q - 0.5), standing 1.10.

    Parameters
    ----------
    level_fraction : float or array_like, shape (n,)
        Wet depth over bung diameter, or over length when standing [0 to 1].
    is_standing : bool, scalar
        True for a cask on its head [1].

    Returns
    -------
    ndarray, shape (n,)
        Share of the capacity, negative or above 1 near the ends [1].

    Raises
    ------
    OutOfRange
        If a level is outside 0 to 1.

    Notes
    -----
    3 to 4 % of the capacity too low at a tenth; for comparison with old books only.

    Source
    ------
    A builders' handbook of the nineteenth century, How to Ullage; excise gauging manual, p. 408.

    Examples
    --------
    >>> float(old_ullage_fraction(0.75))
    0.8125
    """
    level = require_numbers("level_fraction", level_fraction, 0.0, 1.0, "of the depth")
    return unwrap(0.5 + (1.10 if is_standing else 1.25) * (level - 0.5))
