"""How much to mix for a barrel: what goes in at once, and what is kept back for the wood and for tasting."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .blending import Part, scale_to_barrel
from .errors import Inconsistent, require_number
from .soaking import require_wood, soaked_l
from .vocabulary import BOUNDS

# Room for the liquid to swell with warmth: 4 % is common practice, no source.
USUAL_HEADROOM = 0.04


@dataclass(frozen=True, slots=True)
class FillPlan:
    """Holds what to mix for one barrel [L at 20 °C]: poured at once, kept back for the wood and for samples, all."""

    poured_l: float
    for_the_wood_l: float
    for_samples_l: float
    mixed_l: float
    parts: tuple[Part, ...]


def plan_fill(
    parts: Sequence[Part],
    capacity_l: float,
    area_m2: float,
    stave_mm: float,
    wood_state: str,
    top_up_days: float,
    *,
    samples_l: float = 0.0,
    headroom_fraction: float = USUAL_HEADROOM,
) -> FillPlan:
    """Scales a recipe to a barrel, with headroom, what the wood will drink and what will be tasted.

    poured = capacity (1 - headroom); mixed = poured + soaked(top_up_days) + samples. What is not poured at once is
    kept in glass and used to top up.

    Parameters
    ----------
    parts : sequence of Part, shape (n_parts,)
        The recipe in any amount [L, % vol, g/L, °C].
    capacity_l : float, scalar
        The barrel's capacity [L].
    area_m2, stave_mm : float, scalar
        Inner wood [m2] and mean stave thickness [mm].
    wood_state : str, scalar
        How thirsty the wood is [a WoodState].
    top_up_days : float, scalar
        For how many days from the fill topping up is meant to go on [days].
    samples_l : float, scalar
        What will be tasted before the decant [L].
    headroom_fraction : float, scalar
        Share of the capacity left empty, 0 to 0.5 [1].

    Returns
    -------
    FillPlan, scalar
        Volumes and the scaled parts [L].

    Raises
    ------
    OutOfRange
        If a number lies outside its bound.
    Inconsistent
        If more would be tasted than is poured.
    Underdetermined
        If there is no part.

    Notes
    -----
    Soaking has a geometric spread of 1.4. What evaporates is not made up here: it leaves the strength's drift to the
    barrel.

    Source
    ------
    As ``soaking.soaked_l`` and ``blending.scale_to_barrel``; the headroom is common practice, no source.

    Examples
    --------
    >>> plan = plan_fill([Part(1.0, 60.0)], 5.0, 0.164, 14.5, "cured", 28, samples_l=0.1)
    >>> round(plan.poured_l, 2), round(plan.for_the_wood_l, 2), round(plan.mixed_l, 2)
    (4.8, 0.09, 4.99)
    """
    size = BOUNDS["capacity_l"]
    capacity = require_number("capacity_l", capacity_l, size.low, size.high, size.unit)
    headroom = require_number("headroom_fraction", headroom_fraction, 0.0, 0.5, "")
    samples = require_number("samples_l", samples_l, 0.0, size.high, "L")
    days = require_number("top_up_days", top_up_days, 0.0, BOUNDS["days"].high, "days")
    poured = capacity * (1.0 - headroom)
    if samples > poured:
        raise Inconsistent("samples_l", samples, f"at most the {poured:.3f} L that are poured")
    soaked = float(soaked_l(days, *require_wood(area_m2, stave_mm), wood_state))
    mixed = poured + soaked + samples
    return FillPlan(poured, soaked, samples, mixed, scale_to_barrel(parts, mixed))
