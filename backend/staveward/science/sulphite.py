"""Sulphite: doses of a holding solution, the share that works, and what the next fill takes up.

Keeper only; the cautions stand with the doses.
"""

from __future__ import annotations

from dataclasses import dataclass

from numpy.typing import ArrayLike

from .errors import Array, require_numbers, require_same_shape, unwrap
from .vocabulary import BOUNDS

# Half SO2's molar mass twice over that of K2S2O5: 2 x 64.064 / 222.32.
SO2_PER_METABISULPHITE = 2.0 * 64.064 / 222.32
SULPHUROUS_PKA = 1.81
DEFAULT_CITRIC_G_L = 0.8
DEFAULT_METABISULPHITE_G_L = 0.7


@dataclass(frozen=True)
class HoldingSolution:
    """Holds the doses for a full barrel of holding solution [g] and the sulphite it makes [mg/L]."""

    citric_acid_g: Array
    metabisulphite_g: Array
    total_so2_mg_l: Array


def holding_solution(
    volume_l: ArrayLike,
    citric_g_l: ArrayLike = DEFAULT_CITRIC_G_L,
    metabisulphite_g_l: ArrayLike = DEFAULT_METABISULPHITE_G_L,
) -> HoldingSolution:
    """Gives the doses of a holding solution for a full barrel, and the sulphite it makes.

    SO2 = 2 x 64.064 / 222.32 of the potassium metabisulphite's mass.

    Parameters
    ----------
    volume_l : float or array_like, shape (n,)
        Volume of solution: the whole capacity [L].
    citric_g_l : float or array_like, shape (n,)
        Citric acid, 0 to 10 [g/L].
    metabisulphite_g_l : float or array_like, shape (n,)
        Potassium metabisulphite, 0 to 5 [g/L].

    Returns
    -------
    HoldingSolution, each shape (n,)
        Doses [g] and total sulphur dioxide [mg/L].

    Raises
    ------
    OutOfRange
        If an input is outside its bound.
    Inconsistent
        If the shapes do not fit each other.

    Notes
    -----
    Keeper only, never alone, never with asthma, outdoors or with strong ventilation; acid first; never with
    chlorine. The barrel bears a sulphite mark from then on. Local rules and the packet's label decide.

    Source
    ------
    WineMaker magazine, Preserving Oak Barrels (180 g and 160 g a barrel); molar masses, IUPAC.

    Examples
    --------
    >>> doses = holding_solution(2.26)
    >>> round(float(doses.metabisulphite_g), 3), round(float(doses.total_so2_mg_l), 1)
    (1.582, 403.4)
    """
    volume = require_numbers("volume_l", volume_l, 0.0, BOUNDS["volume_l"].high, "L", above_low=True)
    citric = require_numbers("citric_g_l", citric_g_l, 0.0, 10.0, "g/L")
    salt = require_numbers("metabisulphite_g_l", metabisulphite_g_l, 0.0, 5.0, "g/L")
    require_same_shape(volume_l=volume, citric_g_l=citric, metabisulphite_g_l=salt)
    return HoldingSolution(
        (volume * citric)[()], (volume * salt)[()], (1000.0 * SO2_PER_METABISULPHITE * salt)[()]
    )


def active_so2_share(ph: ArrayLike) -> Array:
    """Gives the share of free sulphite that works against microbes: 1/(1 + 10^(pH - 1.81)).

    Parameters
    ----------
    ph : float or array_like, shape (n,)
        pH of the solution, 0 to 14 [1].

    Returns
    -------
    ndarray, shape (n,)
        Active share [0 to 1].

    Raises
    ------
    OutOfRange
        If a pH is outside 0 to 14.

    Source
    ------
    Closed form; pKa 1.81 from memory.

    Examples
    --------
    >>> round(float(active_so2_share(3.0)), 3)
    0.061
    """
    acidity = require_numbers("ph", ph, 0.0, 14.0, "")
    return unwrap(1.0 / (1.0 + 10.0 ** (acidity - SULPHUROUS_PKA)))


def so2_carried_mg_l(total_so2_mg_l: ArrayLike, carried_fraction: ArrayLike) -> Array:
    """Gives the sulphite that the next fill takes up from what the wood keeps.

    Parameters
    ----------
    total_so2_mg_l : float or array_like, shape (n,)
        Sulphur dioxide in the earlier liquid [mg/L].
    carried_fraction : float or array_like, shape (n,)
        Share of the next fill that is the earlier liquid [0 to 1].

    Returns
    -------
    ndarray, shape (n,)
        Sulphur dioxide in the next fill [mg/L].

    Raises
    ------
    OutOfRange
        If an input is outside its bound.
    Inconsistent
        If the shapes do not fit each other.

    Notes
    -----
    Above 10 mg/L a label must name sulphites; below it still say that traces are possible.

    Source
    ------
    Closed form; the 10 mg/L are Regulation (EU) No 1169/2011, Annex II.

    Examples
    --------
    >>> round(float(so2_carried_mg_l(403.4, 0.05)), 1)
    20.2
    """
    before = require_numbers("total_so2_mg_l", total_so2_mg_l, 0.0, 5000.0, "mg/L")
    share = require_numbers("carried_fraction", carried_fraction, 0.0, 1.0, "(a share)")
    require_same_shape(total_so2_mg_l=before, carried_fraction=share)
    return unwrap(before * share)
