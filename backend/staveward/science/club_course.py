"""The whole club in one call: every barrel's most likely course, day by day, without bands.

``ageing.trajectory`` runs some eighty courses a barrel for its bands; a club's yearly picture needs one.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from .courses import LiquidEvent, climate_series, figures_of, plan_events, refuse_overdraft, run_courses
from .errors import Array, OutOfRange, require_number, require_numbers, require_same_shape
from .evaporation import require_transport
from .mass_balance import Flags, State, start_of
from .vocabulary import BOUNDS


@dataclass(frozen=True, slots=True)
class ClubCourse:
    """Holds volume [L at 20 °C] and strength [% vol at 20 °C], shape (barrels, days + 1), and the days."""

    day: Array
    volume_l: Array
    abv_pct: Array
    is_empty: Flags


def club_course(
    volume_l: ArrayLike,
    abv_pct: ArrayLike,
    days: int,
    temp_c: ArrayLike,
    rh_fraction: ArrayLike,
    area_m2: ArrayLike,
    stave_mm: ArrayLike,
    *,
    k: ArrayLike = 1.0,
    leak_g_per_day: ArrayLike = 0.0,
    sugar_g_l: ArrayLike = 0.0,
    events: Iterable[LiquidEvent] = (),
) -> ClubCourse:
    """Gives volume and strength of many barrels day by day, for a known k and leak.

    Parameters
    ----------
    volume_l : float or array_like, shape (n,)
        Volume at the fill, above zero [L at 20 °C].
    abv_pct : float or array_like, shape (n,)
        Strength at the fill, up to 96 [% vol at 20 °C].
    days : int, scalar
        Whole days to run, 0 to 3650 [days].
    temp_c : float or array_like, scalar, shape (n,) or shape (n, days)
        Daily mean temperature, 0 to 45 [degrees Celsius].
    rh_fraction : float or array_like, scalar, shape (n,) or shape (n, days)
        Daily mean relative humidity [0 to 1, not percent].
    area_m2, stave_mm : float or array_like, shape (n,)
        Inner wood [m2] and mean stave thickness [mm].
    k : float or array_like, shape (n,)
        Multiplier of this barrel [1].
    leak_g_per_day : float or array_like, shape (n,)
        Leak of liquid as it is, 0 to 500 [g/day].
    sugar_g_l : float or array_like, shape (n,)
        Dissolved sugar at the fill [g/L].
    events : iterable of LiquidEvent, shape (n_events,)
        Samples and top-ups since the fill [days, L, % vol].

    Returns
    -------
    ClubCourse, each shape (n, days + 1)
        Volume [L at 20 °C], strength [% vol at 20 °C] and whether a barrel has run dry [1].

    Raises
    ------
    OutOfRange
        If an input is outside its bound or an event names no barrel or day of this run.
    Inconsistent
        If shapes do not fit, a top-up has no strength, or more is taken than was ever in.

    Notes
    -----
    One Runge-Kutta step of fourth order a day; against an adaptive solver of high accuracy the difference is below
    1e-6 of the volume. Soaking is not in it: take ``soaking.soaked_l`` off.

    Source
    ------
    As ``ageing.simulate``.

    Examples
    --------
    >>> course = club_course([4.75, 19.0], 60.0, 28, 20.0, 0.55, [0.164, 0.413], [14.5, 17.5])
    >>> [round(float(volume), 3) for volume in course.volume_l[:, 28]]
    [4.566, 18.615]
    """
    whole = require_number("days", days, 0.0, BOUNDS["days"].high, "days")
    if whole != int(whole):
        raise OutOfRange("days", days, "a whole number of days, 0 to 3650")
    length = int(whole)
    cellar = BOUNDS["cellar_temp_c"]
    temperature = require_numbers("temp_c", temp_c, cellar.low, cellar.high, cellar.unit)
    humidity, area, stave, own = require_transport(rh_fraction, area_m2, stave_mm, k)
    leak = require_numbers("leak_g_per_day", leak_g_per_day, 0.0, 500.0, "g/day")
    start = start_of(volume_l, abv_pct, sugar_g_l)
    barrels = require_same_shape(
        volume_l=np.atleast_1d(start.water_g), area_m2=area, stave_mm=stave, k=own, leak_g_per_day=leak
    )[-1]
    start = State(*(np.broadcast_to(mass, (barrels,))[:, None] for mass in start))
    plan = plan_events(events, barrels, length)
    refuse_overdraft(plan, start)
    path, drip = (np.broadcast_to(one, (barrels,))[:, None] for one in (own * area / stave, leak))
    masses, empty = run_courses(
        start,
        path,
        drip,
        climate_series("temp_c", temperature, barrels, length)[..., None],
        climate_series("rh_fraction", humidity, barrels, length)[..., None],
        plan,
    )
    volume, strength = figures_of(masses)
    return ClubCourse(
        np.arange(length + 1, dtype=np.float64), volume[..., 0], strength[..., 0], empty[..., 0]
    )
