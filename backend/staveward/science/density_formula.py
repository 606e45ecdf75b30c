"""The international alcoholometric formula itself, its derivative and its inverses, without checks of input.

``alcoholometry`` is the room with doors; this is the stone under it.
"""

from __future__ import annotations

from functools import cache

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


def density_and_slope(mass_fraction: Array, temp_c: Array) -> tuple[Array, Array]:
    """Evaluates density and its derivative by mass fraction, Horner in u and then in p."""
    u = temp_c - REFERENCE_TEMP_C
    density = np.zeros(np.broadcast_shapes(mass_fraction.shape, u.shape))
    slope = np.zeros_like(density)
    for row in _coefficients()[::-1]:
        in_u = np.zeros_like(u)
        for coefficient in row[::-1]:
            in_u = in_u * u + coefficient
        slope = slope * mass_fraction + density
        density = density * mass_fraction + in_u
    return density, slope


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
