"""The peak of liking over time as a finite mixture in closed form: the inner step of ``liking``, without checks.

Score of taster r on evening s, u = ln((week + 1)/(W0 + 1)):
y = h - k phi(u - m) + d(u) + b_r + e_s + eps, phi(z) = 2 (sqrt(1 + z^2) - 1). Given m, k and sigma all the rest is
Gaussian, so the posterior is an exact sum over their nodes. Priors are working assumptions of this project, tuned on
simulated fills; no published series of liking against weeks in small barrels was found.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

LEVEL_MEAN, LEVEL_SD = 6.5, 1.5
TASTER_SD, EVENING_SD = 1.2, 0.3
SHAPE_SD, SHAPE_REACH = 0.4, 0.4
PEAK_NODES, PEAK_REACH = 61, 3.0
FLAT_WEIGHT = 0.10
BEND_CENTRE, BEND_LOG_SD = 2.0, 0.6
NOISE_SD = np.array([0.6, 0.9, 1.4])
NOISE_WEIGHT = np.array([0.3, 0.4, 0.3])


def _bend_nodes() -> tuple[Array, Array]:
    """Gives how sharp the peak may be and how likely each is; the first node is flat."""
    z = np.arange(-2.0, 3.0)
    weight = np.exp(-(z**2) / 2.0)
    weight *= (1.0 - FLAT_WEIGHT) / weight.sum()
    return np.append(0.0, BEND_CENTRE * np.exp(BEND_LOG_SD * z)), np.append(FLAT_WEIGHT, weight)


BENDS, BEND_WEIGHT = _bend_nodes()


def bump(z: Array) -> Array:
    """Gives phi: z^2 near the top and straight far from it, so that a lopsided truth misleads less."""
    return 2.0 * (np.sqrt(1.0 + z**2) - 1.0)


def shape_covariance(first: Array, second: Array) -> Array:
    """Gives how the error of the curve's shape goes together at two times."""
    apart: Array = first[:, None] - second[None, :]
    return SHAPE_SD**2 * np.exp(-(apart**2) / (2.0 * SHAPE_REACH**2))


@dataclass(frozen=True, slots=True)
class PeakMixture:
    """Holds the posterior of one fill: weights over noise, peak and bend, and what a prediction needs.

    ``weight`` has shape (noise, peak, bend); ``lower`` holds the Cholesky factor of the scores' covariance S and
    ``pulled`` S^-1 [r, g of every peak], each per noise.
    """

    peaks: Array
    weight: Array
    u: Array
    taster: NDArray[np.intp]
    evening: NDArray[np.intp]
    lower: Array
    pulled: Array

    def predict(
        self, u: Array, taster: NDArray[np.intp] | None = None, evening: int | None = None
    ) -> tuple[Array, Array]:
        """Gives mean and sd of a typical taster's liking at times u, or of one score at each, of the taster named."""
        across = LEVEL_SD**2 + shape_covariance(u, self.u)
        own = LEVEL_SD**2 + SHAPE_SD**2
        if taster is not None:
            across = across + TASTER_SD**2 * (self.taster == taster[:, None])
            across += EVENING_SD**2 * (self.evening == evening)
            own += TASTER_SD**2 + EVENING_SD**2
        # Shapes from here: (noise, peak, bend, time).
        shift = bump(u[None, :] - self.peaks[:, None])
        learned = np.einsum("tn,snc->sct", across, self.pulled)
        centre = (
            LEVEL_MEAN
            - BENDS[None, None, :, None] * shift[None, :, None, :]
            + learned[:, :1, None, :]
            + BENDS[None, None, :, None] * learned[:, 1:, None, :]
        )
        spread = own - (_solved(self.lower, across.T) ** 2).sum(axis=1)
        if taster is not None:
            spread = spread + NOISE_SD[:, None] ** 2
        mean = np.einsum("smb,smbt->t", self.weight, centre)
        second = np.einsum("smb,smbt->t", self.weight, (centre - mean) ** 2)
        second += np.einsum("s,st->t", self.weight.sum(axis=(1, 2)), spread)
        return mean, np.sqrt(second)

    def offsets(self, tasters: int) -> Array:
        """Gives how much higher than a typical taster each one scores in this fill."""
        indicator = (self.taster[None, :] == np.arange(tasters)[:, None]).astype(np.float64)
        learned = np.einsum("rn,snc->scr", indicator, self.pulled)
        by_noise = self.weight.sum(axis=(1, 2))
        by_bend = np.einsum("smb,b->sm", self.weight, BENDS)
        level = np.einsum("s,sr->r", by_noise, learned[:, 0])
        return np.asarray(TASTER_SD**2 * (level + np.einsum("sm,smr->r", by_bend, learned[:, 1:])))


def _solved(lower: Array, columns: Array, *, transposed: bool = False) -> Array:
    """Gives L^-1 of columns, or L^-T, per noise: by substitution, for the factor is a triangle."""
    from scipy.linalg import solve_triangular

    per_noise = np.broadcast_to(columns, (lower.shape[0], *columns.shape[-2:]))
    if per_noise.size == 0:
        return np.zeros_like(per_noise)
    found = solve_triangular(
        lower, per_noise, lower=True, trans="T" if transposed else "N", check_finite=False
    )
    return np.asarray(found, dtype=np.float64)


def posterior(
    u: Array, scores: Array, taster: Sequence[int], evening: Sequence[int], prior_log_sd: float
) -> PeakMixture:
    """Gives the mixture after the scores; without any, the prior."""
    of_taster, of_evening = np.asarray(taster, dtype=np.intp), np.asarray(evening, dtype=np.intp)
    peaks = np.linspace(-PEAK_REACH * prior_log_sd, PEAK_REACH * prior_log_sd, PEAK_NODES)
    peak_weight = np.exp(-(peaks**2) / (2.0 * prior_log_sd**2))
    peak_weight /= peak_weight.sum()
    shared = (
        LEVEL_SD**2
        + TASTER_SD**2 * (of_taster[:, None] == of_taster[None, :])
        + EVENING_SD**2 * (of_evening[:, None] == of_evening[None, :])
        + shape_covariance(u, u)
    )
    covariance = shared + NOISE_SD[:, None, None] ** 2 * np.eye(u.size)
    columns = np.column_stack([scores - LEVEL_MEAN, bump(u[:, None] - peaks[None, :])])
    lower = np.linalg.cholesky(covariance)
    white = _solved(lower, columns)
    pulled = _solved(lower, white, transposed=True)
    rest, bumps = white[:, :, 0], white[:, :, 1:]
    misfit = (
        np.einsum("sn,sn->s", rest, rest)[:, None, None]
        + 2.0 * BENDS * np.einsum("snm,sn->sm", bumps, rest)[:, :, None]
        + BENDS**2 * np.einsum("snm,snm->sm", bumps, bumps)[:, :, None]
    )
    half_log_det = np.log(np.diagonal(lower, axis1=1, axis2=2)).sum(axis=1)
    log_weight = (
        np.log(NOISE_WEIGHT)[:, None, None]
        + np.log(peak_weight)[None, :, None]
        + np.log(BEND_WEIGHT)[None, None, :]
        - half_log_det[:, None, None]
        - 0.5 * misfit
    )
    weight = np.exp(log_weight - log_weight.max())
    return PeakMixture(
        peaks,
        weight / weight.sum(),
        u,
        of_taster,
        of_evening,
        lower,
        pulled,
    )
