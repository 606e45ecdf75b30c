"""Integrals along a stave: the curve r(x), liquid in a lying barrel, and the level that holds a volume.

Lengths are centimetres, x runs from the bung plane to a head. Everything broadcasts over barrels and levels.
"""

from __future__ import annotations

import numpy as np

from .errors import Array
from .vocabulary import BarrelProfile

CM3_PER_L = 1000.0
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(24)
UNIT_POINTS = 0.5 * (_NODES + 1.0)
UNIT_WEIGHTS = 0.5 * _WEIGHTS


class StaveCurve:
    """Holds the stave's curve of one or many barrels, ready for arrays of level."""

    def __init__(self, head_r: Array, bilge_r: Array, half: Array, profile: str) -> None:
        self.head_r, self.bilge_r, self.half, self.profile = head_r, bilge_r, half, profile
        self.drop = bilge_r - head_r
        if profile == BarrelProfile.CIRCULAR_ARC:
            with np.errstate(divide="ignore", invalid="ignore"):
                radius = (half**2 + self.drop**2) / (2.0 * self.drop)
            self.arc_r = np.where(self.drop > 0, radius, np.inf)

    def radius(self, x: Array) -> Array:
        """Gives r(x)."""
        u = x / self.half
        if self.profile == BarrelProfile.PARABOLIC:
            return self.bilge_r - self.drop * u**2
        if self.profile == BarrelProfile.CONES:
            return self.bilge_r - self.drop * u
        if self.profile == BarrelProfile.CIRCULAR_ARC:
            with np.errstate(invalid="ignore"):
                bend = x**2 / (self.arc_r + np.sqrt(np.maximum(self.arc_r**2 - x**2, 0.0)))
            return self.bilge_r - np.where(np.isfinite(self.arc_r), bend, 0.0)
        power = 2 if self.profile == BarrelProfile.SPHEROID else 1
        squared = self.bilge_r**2 - (self.bilge_r**2 - self.head_r**2) * u**power
        return np.sqrt(np.maximum(squared, 0.0))

    def radius_times_slope(self, x: Array) -> Array:
        """Gives r r'(x), which stays finite even where the stave stands upright."""
        u = x / self.half
        if self.profile == BarrelProfile.PARABOLIC:
            return -self.radius(x) * 2.0 * self.drop * u / self.half
        if self.profile == BarrelProfile.CONES:
            return -self.radius(x) * self.drop / self.half
        if self.profile == BarrelProfile.CIRCULAR_ARC:
            with np.errstate(invalid="ignore", divide="ignore"):
                slope = -x / np.sqrt(np.maximum(self.arc_r**2 - x**2, 0.0))
            return self.radius(x) * np.where(np.isfinite(self.arc_r), slope, 0.0)
        squares = self.bilge_r**2 - self.head_r**2
        if self.profile == BarrelProfile.SPHEROID:
            return -squares * u / self.half
        return -squares / (2.0 * self.half) + np.zeros_like(u)

    def where_radius_is(self, height: Array) -> Array:
        """Gives the x at which r(x) equals a height between head and bilge radius; else the head."""
        gap = np.maximum(self.bilge_r - height, 0.0)
        with np.errstate(divide="ignore", invalid="ignore"):
            if self.profile == BarrelProfile.PARABOLIC:
                u = np.sqrt(gap / self.drop)
            elif self.profile == BarrelProfile.CONES:
                u = gap / self.drop
            elif self.profile == BarrelProfile.CIRCULAR_ARC:
                u = np.sqrt(np.maximum(gap * (2.0 * self.arc_r - gap), 0.0)) / self.half
            else:
                share = (self.bilge_r**2 - height**2) / (self.bilge_r**2 - self.head_r**2)
                u = np.sqrt(np.maximum(share, 0.0)) if self.profile == BarrelProfile.SPHEROID else share
        inside = (height > self.head_r) & (self.drop > 0)
        return np.where(inside, np.clip(np.where(inside, u, 1.0), 0.0, 1.0), 1.0) * self.half


def column(numbers: Array) -> Array:
    """Turns numbers so that each meets all points of the integral."""
    return np.asarray(numbers)[..., None]


def lying_volume_and_surface(curve: StaveCurve, dip: Array) -> tuple[Array, Array]:
    """Gives liquid volume and free surface of a lying barrel [cm3, cm2] for depths at the bung.

    Each half is integrated over x = split (1 - s^2): the segment area falls as the 3/2 power of the distance
    to the split, so this makes the integrand smooth and 24 Gauss points are exact to about 1e-11.
    """
    y = dip - curve.bilge_r
    split = curve.where_radius_is(np.abs(y))
    wide = StaveCurve(column(curve.head_r), column(curve.bilge_r), column(curve.half), curve.profile)
    x = column(split) * (1.0 - UNIT_POINTS**2)
    r = wide.radius(x)
    with np.errstate(divide="ignore", invalid="ignore"):
        cosine = np.where(r > 0, -column(y) / np.where(r > 0, r, 1.0), 0.0)
    cosine = np.clip(cosine, -1.0, 1.0)
    angle = np.arccos(cosine)
    sine = np.sqrt(1.0 - cosine**2)
    step = 2.0 * column(split) * UNIT_POINTS * UNIT_WEIGHTS
    volume = np.sum(r**2 * (angle - cosine * sine) * step, axis=-1)
    surface = np.sum(2.0 * r * sine * step, axis=-1)
    # Past the split, towards the head, the section is either wholly dry or wholly full.
    length = curve.half - split
    beyond = column(split) + column(length) * UNIT_POINTS
    full = np.sum(np.pi * wide.radius(beyond) ** 2 * column(length) * UNIT_WEIGHTS, axis=-1)
    return 2.0 * (volume + np.where(y > 0, full, 0.0)), 2.0 * surface


def whole_volume(curve: StaveCurve) -> Array:
    """Gives the whole inner volume [cm3]."""
    wide = StaveCurve(column(curve.head_r), column(curve.bilge_r), column(curve.half), curve.profile)
    half: Array = np.sum(
        np.pi * wide.radius(wide.half * UNIT_POINTS) ** 2 * wide.half * UNIT_WEIGHTS, axis=-1
    )
    return 2.0 * half


def level_for(curve: StaveCurve, fraction: Array) -> Array:
    """Solves for the depth [cm] that holds a share of the whole volume, by Newton's method inside a bracket."""
    whole, depth = whole_volume(curve), 2.0 * curve.bilge_r
    # A whole ellipsoid has the share 3 f^2 - 2 f^3; its inverse is a close start for any barrel.
    start = 0.5 - np.sin(np.arcsin(np.clip(1.0 - 2.0 * fraction, -1.0, 1.0)) / 3.0)
    fraction, depth = np.broadcast_arrays(fraction, depth)
    dip = np.broadcast_to(start, fraction.shape) * depth
    low, high = np.zeros(dip.shape), depth.copy()
    for _ in range(60):
        volume, surface = lying_volume_and_surface(curve, dip)
        miss = volume - fraction * whole
        low, high = np.where(miss <= 0, dip, low), np.where(miss >= 0, dip, high)
        with np.errstate(divide="ignore", invalid="ignore"):
            newton = dip - miss / surface
        usable = np.isfinite(newton) & (newton >= low) & (newton <= high)
        moved = np.where(usable, newton, 0.5 * (low + high))
        settled = np.all(np.abs(moved - dip) <= 1e-11 * depth)
        dip = moved
        if settled:
            break
    return np.where(fraction <= 0.0, 0.0, np.where(fraction >= 1.0, depth, dip))
