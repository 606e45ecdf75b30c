"""Many courses of many barrels: each barrel is run at a spread of k and leak, with its samples and top-ups.

``ageing`` asks for the courses and reads the bands from them.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from .blending import Part, masses_of
from .errors import Array, Inconsistent, OutOfRange, require_number, require_numbers
from .evaporation import climate_factors
from .mass_balance import EMPTY_AT_FRACTION, Flags, State, advance, strength_of_pct, total_g, volume_of_l
from .vocabulary import BOUNDS

# Equally likely slices of the model's own error, and the quantiles that make the 80 % band.
_ERROR_POINTS = 5
_LOW, _MIDDLE, _HIGH = 0.1, 0.5, 0.9

# Where nobody read the climate: standard uncertainty of a guess (the sites of the fit, 1.5 to 3 K, 0.04 to 0.12).
GUESSED_TEMP_U_C = 3.0
GUESSED_RH_U = 0.10


@dataclass(frozen=True)
class LiquidEvent:
    """Holds one sample (negative volume) or top-up (positive) of one barrel.

    It acts at the start of the day it falls in; a top-up names its strength, a sample has the barrel's own.
    """

    barrel: int
    day: float
    volume_l: float
    abv_pct: float | None = None
    sugar_g_l: float = 0.0


@dataclass(frozen=True)
class EventPlan:
    """Holds samples and top-ups by day as arrays over barrels."""

    taken_l: Array
    added: dict[int, list[tuple[int, State]]]

    @property
    def days(self) -> int:
        """Gives the days of the run."""
        return int(self.taken_l.shape[0]) - 1

    def rows(self, some: slice) -> EventPlan:
        """Gives the plan of some of the barrels, counted from the first of them."""
        wanted = range(*some.indices(self.taken_l.shape[1]))
        added = {
            day: [(barrel - wanted.start, poured) for barrel, poured in arrivals if barrel in wanted]
            for day, arrivals in self.added.items()
        }
        return EventPlan(self.taken_l[:, some], added)


def equal_slices(points: int) -> Array:
    """Gives the midpoints, in standard deviations, of equally likely slices of a normal variable."""
    from scipy.special import ndtri

    return np.asarray(ndtri((np.arange(points) + 0.5) / points), dtype=np.float64)


def liquid_of(event: LiquidEvent, barrels: int, days: float) -> tuple[float, State | None]:
    """Checks one sample or top-up; gives the litres taken, or the masses that were poured in."""
    if isinstance(event.barrel, bool) or not 0 <= event.barrel < barrels:
        raise OutOfRange("events barrel", event.barrel, f"0 to {barrels - 1}, a row of the barrels given")
    require_numbers("events day", event.day, 0.0, float(days), "days, the time asked for")
    volume = require_number("events volume_l", event.volume_l, -400.0, 400.0, "L")
    if volume <= 0.0:
        return -volume, None
    if event.abv_pct is None:
        raise Inconsistent("events abv_pct", None, "a strength in % vol for a top-up")
    ethanol, water, sugar, _ = masses_of(Part(volume, event.abv_pct, event.sugar_g_l))
    return 0.0, State(1000.0 * water, 1000.0 * ethanol, 1000.0 * sugar)


def plan_events(events: Iterable[LiquidEvent], barrels: int, days: int) -> EventPlan:
    """Checks samples and top-ups and lays them out by day."""
    taken = np.zeros((days + 1, barrels))
    added: dict[int, list[tuple[int, State]]] = {}
    for event in events:
        sample_l, poured = liquid_of(event, barrels, days)
        day = int(float(event.day))
        taken[day, event.barrel] += sample_l
        if poured is not None:
            added.setdefault(day, []).append((event.barrel, poured))
    return EventPlan(taken, added)


def refuse_overdraft(plan: EventPlan, start: State) -> None:
    """Refuses samples that exceed all that was ever poured in."""
    poured = volume_of_l(start)[:, 0].copy()
    for arrivals in plan.added.values():
        for barrel, masses in arrivals:
            poured[barrel] += float(volume_of_l(masses))
    taken = plan.taken_l.sum(axis=0)
    if np.any(taken > poured):
        at = int(np.flatnonzero(taken > poured)[0])
        raise Inconsistent(
            "events volume_l",
            float(-taken[at]),
            f"at most the {float(poured[at]):.3f} L poured into barrel {at}",
        )


def apply_events(plan: EventPlan, day: int, state: State, empty: Flags) -> tuple[State, Flags]:
    """Pours top-ups in, then takes samples out, at the strength each course has."""
    for barrel, poured in plan.added.get(day, []):
        state = State(*(mass.copy() for mass in state))
        for mass, more in zip(state, poured, strict=True):
            mass[barrel] += more
        empty = empty.copy()
        empty[barrel] = False
    taken = plan.taken_l[day][:, None]
    if not taken.any():
        return state, empty
    volume = volume_of_l(state)
    drained = taken > 0.99 * volume
    share = np.where(drained, 0.0, taken / np.where(volume > 0, volume, 1.0))
    return State(*(mass * (1.0 - share) for mass in state)), empty | (drained & (taken > 0))


def climate_series(name: str, numbers: Array, barrels: int, days: int) -> Array:
    """Lays a climate out as (barrels, days): one number, one a barrel, or one a barrel and day."""
    wanted = (barrels, max(days, 1))
    if numbers.ndim == 1 and numbers.shape[0] == barrels:
        numbers = numbers[:, None]
    try:
        return np.broadcast_to(numbers, wanted)
    except ValueError:
        raise Inconsistent(name, numbers.shape, f"a number, shape ({barrels},) or shape {wanted}") from None


def run_courses(
    start: State, path: Array, leak: Array, temperature: Array, humidity: Array, plan: EventPlan
) -> tuple[State, Flags]:
    """Runs every course of every barrel; gives masses and emptiness, shape (barrels, days + 1, courses).

    ``path`` and ``leak`` have shape (barrels, courses); the climate has shape (barrels, days, 1), or (barrels,
    days, courses) where the courses differ in it.
    """
    state = State(*(np.broadcast_to(mass, path.shape) for mass in start))
    empty = np.zeros(path.shape, dtype=bool)
    floor = EMPTY_AT_FRACTION * total_g(state)
    kept: list[State] = []
    dry: list[Flags] = []
    steady = bool(np.all(temperature == temperature[:, :1]))
    at = climate_factors(temperature[:, 0])
    for day in range(plan.days + 1):
        state, empty = apply_events(plan, day, state, empty)
        kept.append(state)
        dry.append(empty)
        if day < plan.days:
            if not steady:
                at = climate_factors(temperature[:, day])
            state, empty = advance(state, empty, floor, at, humidity[:, day], path, leak, 1.0)
    masses = State(*(np.stack([one[part] for one in kept], axis=1) for part in range(3)))
    return masses, np.stack(dry, axis=1)


def figures_of(masses: State) -> tuple[Array, Array]:
    """Gives volume [L] and strength [% vol] of masses."""
    volume = volume_of_l(masses)
    return volume, strength_of_pct(masses, volume)


def climate_error(
    start: State, path: Array, leak: Array, temperature: Array, humidity: Array, plan: EventPlan
) -> tuple[Array, Array]:
    """Gives what a guessed climate adds: half the change over plus and minus one standard uncertainty.

    Volume [L] and strength [% vol], shape (barrels, days + 1).
    """
    cellar = BOUNDS["cellar_temp_c"]
    # A shift beyond the valid climate is cut to it: this is a spread, not an input.
    warmer = np.clip(
        temperature + GUESSED_TEMP_U_C * np.array([-1.0, 1.0, 0.0, 0.0]), cellar.low, cellar.high
    )
    damper = np.clip(humidity + GUESSED_RH_U * np.array([0.0, 0.0, -1.0, 1.0]), 0.0, 1.0)
    four = (path.shape[0], 4)
    masses, _ = run_courses(
        start, np.broadcast_to(path, four), np.broadcast_to(leak, four), warmer, damper, plan
    )
    halves = [0.5 * np.diff(figure.reshape(*figure.shape[:2], 2, 2))[..., 0] for figure in figures_of(masses)]
    volume, strength = (np.hypot(half[..., 0], half[..., 1]) for half in halves)
    return volume, strength


def band_of(courses: Array, spread: Array, lowest: Array, highest: float) -> Array:
    """Reads the 10 %, 50 % and 90 % quantiles of equally likely courses with a normal error on each.

    Shape (3, barrels, days + 1). A normal error may reach below nothing or above pure alcohol, which what is in a
    barrel cannot; there the band ends at the bound.
    """
    error = equal_slices(_ERROR_POINTS)
    found = []
    for rows, wide in zip(courses, spread, strict=True):
        cloud = rows[:, :, None] + wide[:, :, None] * error
        flat = cloud.reshape(rows.shape[0], -1)
        found.append(np.quantile(flat, (_LOW, _MIDDLE, _HIGH), axis=-1, method="hazen"))
    band: Array = np.clip(np.stack(found, axis=1), lowest, highest)
    return band
