"""The international alcoholometric formula itself, its derivative and its inverses, without checks of input.

``alcoholometry`` is the room with doors; this is the stone under it.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, lru_cache
from typing import Any

import numpy as np

from .errors import Array, NoSolution
from .tables import read_column

REFERENCE_TEMP_C = 20.0


@cache
def _coefficients() -> Array:
    """Gives the matrix of coefficients of p^k u^i, one row per k, one column per i."""
    matrix = np.zeros((12, 7))
    rows = read_column("oiml_r22", "k").astype(int)
    columns = read_column("oiml_r22", "i").astype(int)
    matrix[rows, columns] = read_column("oiml_r22", "coefficient")
    return matrix


@lru_cache(maxsize=512)
def _in_mass_fraction(temp_c: float) -> tuple[float, ...]:
    """Gives the twelve coefficients of p^k at one temperature."""
    u = temp_c - REFERENCE_TEMP_C
    return tuple(_horner([float(c) for c in row], u) for row in _coefficients())


def _horner(coefficients: Sequence[float], u: Any) -> Any:
    """Evaluates a polynomial given from its constant term up; u may be a number or an array."""
    total: Any = 0.0
    for coefficient in reversed(coefficients):
        total = total * u + coefficient
    return total


def density_and_slope(mass_fraction: Array, temp_c: Array) -> tuple[Array, Array]:
    """Evaluates density and its derivative by mass fraction, Horner in u and then in p.

    One temperature for all, the usual case, needs its coefficients once; one mass fraction is a plain number,
    which Python multiplies faster than an array of one.
    """
    if np.ndim(temp_c) == 0:
        in_u: Sequence[Any] = _in_mass_fraction(float(temp_c))
    else:
        u = temp_c - REFERENCE_TEMP_C
        in_u = [_horner([float(c) for c in row], u) for row in _coefficients()]
    p: Any = float(mass_fraction) if np.ndim(mass_fraction) == 0 else mass_fraction
    density: Any = 0.0
    slope: Any = 0.0
    for coefficient in reversed(in_u):
        slope = slope * p + density
        density = density * p + coefficient
    return np.asarray(density, dtype=np.float64), np.asarray(slope, dtype=np.float64)


def strength_at(fraction: Array, reference_c: float) -> Array:
    """Gives strength by volume (0 to 1) at a reference temperature from mass fraction."""
    at = np.asarray(reference_c)
    return fraction * density_and_slope(fraction, at)[0] / density_and_slope(np.asarray(1.0), at)[0]


def mass_fraction_at(strength: Array, reference_c: float) -> Array:
    """Solves for mass fraction from strength by volume (0 to 1) by Newton's method from 0.8 q."""
    at = np.asarray(reference_c)
    pure = density_and_slope(np.asarray(1.0), at)[0]
    fraction = 0.8 * strength
    for _ in range(20):
        density, slope = density_and_slope(fraction, at)
        step = (fraction * density / pure - strength) * pure / (density + fraction * slope)
        fraction = fraction - step
        if np.all(np.abs(step) < 1e-12):
            break
    # Newton's floor is 3e-13, so what is all but pure may land that far outside 0 to 1.
    return np.clip(fraction, 0.0, 1.0)


def fraction_of_density(density: Array, temp_c: Array) -> Array:
    """Finds the mass fraction of a density, refusing densities that no plain spirit has."""
    density, temp_c = np.broadcast_arrays(density, temp_c)
    heaviest = density_and_slope(np.zeros(density.shape), temp_c)[0]
    lightest = density_and_slope(np.ones(density.shape), temp_c)[0]
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
        got, slope = density_and_slope(fraction, temp_c)
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
