"""One barrel as a grid of barrels it might be: every k and leak run forward through its own climate and its events.

``calibration`` weighs the nodes by what was read. Beside them runs one course in wood that lets nothing through, with
the same samples and top-ups, from which what was lost is counted.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from .courses import LiquidEvent, liquid_of
from .errors import Array, Inconsistent, require_numbers
from .evaporation import climate_factors
from .mass_balance import (
    EMPTY_AT_FRACTION,
    Flags,
    State,
    advance,
    selectivity_u_pct,
    strength_of_pct,
    total_g,
    volume_of_l,
)
from .vocabulary import BOUNDS

K_NODES, LEAK_NODES, REACH = 61, 41, 3.0


@dataclass(frozen=True)
class NodeGrid:
    """Holds k [1], leak [g/day] and log prior of every node, shape (nodes,)."""

    k: Array
    leak_g_per_day: Array
    log_prior: Array


def node_grid(k_spread: float, leak_median: float, leak_spread: float) -> NodeGrid:
    """Lays the nodes out over three prior standard deviations of ln k and ln leak."""
    z_k = np.repeat(np.linspace(-REACH, REACH, K_NODES), LEAK_NODES)
    z_leak = np.tile(np.linspace(-REACH, REACH, LEAK_NODES), K_NODES)
    return NodeGrid(k_spread**z_k, leak_median * leak_spread**z_leak, -(z_k**2 + z_leak**2) / 2.0)


@dataclass(frozen=True)
class Climate:
    """Holds the daily mean climate since the fill, shape (days,), or one value of each for all days."""

    temp_c: Array
    rh_fraction: Array

    @property
    def is_steady(self) -> bool:
        """Says whether one climate holds for all days."""
        return self.temp_c.size == 1


def climate_of(temp_c: ArrayLike, rh_fraction: ArrayLike, days: float) -> Climate:
    """Checks one barrel's climate: a number, or a number a day that reaches as far as is asked."""
    cellar, humid = BOUNDS["cellar_temp_c"], BOUNDS["rh_fraction"]
    temperature = require_numbers("temp_c", temp_c, cellar.low, cellar.high, cellar.unit)
    humidity = require_numbers("rh_fraction", rh_fraction, humid.low, humid.high, humid.unit)
    wanted = max(int(np.ceil(days - 1e-12)), 1)
    for name, series in (("temp_c", temperature), ("rh_fraction", humidity)):
        if series.ndim > 1 or (series.ndim == 1 and series.size < wanted):
            raise Inconsistent(name, series.shape, f"a number, or a number a day for {wanted} days")
    if temperature.ndim == 0 and humidity.ndim == 0:
        return Climate(temperature[None], humidity[None])
    return Climate(
        *(np.broadcast_to(one[:wanted] if one.ndim else one, (wanted,)) for one in (temperature, humidity))
    )


@dataclass(frozen=True)
class NodeCourse:
    """Holds every node by day asked for; the last column of each state is the wood that lets nothing through."""

    state: dict[float, State]
    leak_g_per_day: Array

    def mass_kg(self, day: float) -> Array:
        """Gives the mass of the contents at every node [kg]."""
        return total_g(self.state[day])[:-1] / 1000.0

    def volume_l(self, day: float) -> Array:
        """Gives the volume at every node [L]."""
        return volume_of_l(self.state[day])[:-1]

    def abv_pct(self, day: float) -> Array:
        """Gives the strength at every node [% vol]."""
        state = self.state[day]
        return strength_of_pct(state, volume_of_l(state))[:-1]

    def lost_l(self, day: float) -> Array:
        """Gives what every node has lost through the wood and by leaking [L]."""
        volume = volume_of_l(self.state[day])
        lost: Array = volume[-1] - volume[:-1]
        return lost

    def drift_pct(self, day: float) -> Array:
        """Gives by how much the strength of every node has moved in the wood [% vol]."""
        state = self.state[day]
        strength = strength_of_pct(state, volume_of_l(state))
        moved: Array = strength[:-1] - strength[-1]
        return moved

    def selectivity_u_pct(self, day: float) -> Array:
        """Gives how unsure every node's strength is for not knowing how wood tells ethanol from water [% vol]."""
        nodes, still = (
            State(*(mass[some] for mass in self.state[day])) for some in (slice(-1), slice(-1, None))
        )
        return selectivity_u_pct(nodes, still, self.leak_g_per_day * day)


def _after(event: LiquidEvent, state: State, empty: Flags) -> tuple[State, Flags]:
    """Pours a top-up in or takes a sample out, at the strength each node has."""
    taken_l, poured = liquid_of(event, 1, BOUNDS["days"].high)
    if poured is not None:
        return State(*(mass + more for mass, more in zip(state, poured, strict=True))), np.zeros_like(empty)
    volume = volume_of_l(state)
    drained = taken_l > 0.99 * volume
    share = np.where(drained, 0.0, taken_l / np.where(volume > 0, volume, 1.0))
    return State(*(mass * (1.0 - share) for mass in state)), empty | (drained & (taken_l > 0.0))


def run_nodes(
    start: State,
    grid: NodeGrid,
    per_area: float,
    climate: Climate,
    days: Sequence[float],
    events: Iterable[LiquidEvent] = (),
) -> NodeCourse:
    """Runs all nodes through the days asked for, in steps of at most a day.

    An event acts at its own moment; a reading of the same moment comes before it.
    """
    path, leak = np.append(grid.k * per_area, 0.0), np.append(grid.leak_g_per_day, 0.0)
    state = State(*(np.full(path.shape, float(mass)) for mass in start))
    empty = np.zeros(path.shape, dtype=bool)
    floor = EMPTY_AT_FRACTION * total_g(state)
    last = max(days, default=0.0)
    waiting = sorted((event for event in events if event.day < last), key=lambda event: event.day)
    knots = {0.0, *days, *(float(event.day) for event in waiting)}
    if not climate.is_steady:
        knots |= {float(day) for day in range(int(np.ceil(last)))}
    asked, found, now = set(days), {}, 0.0
    at, rh = climate_factors(climate.temp_c[0]), climate.rh_fraction[0]
    for knot in sorted(knots):
        if not climate.is_steady and knot > now:
            today = min(int(now), climate.temp_c.size - 1)
            at, rh = climate_factors(climate.temp_c[today]), climate.rh_fraction[today]
        steps = int(np.ceil(knot - now - 1e-12))
        for _ in range(steps):
            state, empty = advance(state, empty, floor, at, rh, path, leak, (knot - now) / steps)
        now = knot
        if knot in asked:
            found[knot] = state
        while waiting and waiting[0].day <= now:
            state, empty = _after(waiting.pop(0), state, empty)
    return NodeCourse(found, grid.leak_g_per_day)
