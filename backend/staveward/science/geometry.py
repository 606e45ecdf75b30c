"""The inside of a barrel: capacity, level, wetted wood and how to turn it.

A barrel is a body of revolution. Its profile r(x) is measured from the bung plane (x = 0) to a head
(x = half the length). All measures are inside measures in centimetres; volumes are litres. The level of a
lying barrel is the integral of circular segments along its axis, split where the liquid's surface meets the
stave so that the integrand stays smooth.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from .errors import (
    Array,
    Inconsistent,
    OutOfRange,
    require_choice,
    require_numbers,
    require_same_shape,
    unwrap,
)
from .vocabulary import BOUNDS, BarrelProfile

CM3_PER_L = 1000.0

# The usual proportions: a 200 L barrel of 61.2 cm at the bung, 48.4 cm at the heads, 78.2 cm long, parabolic.
REFERENCE_BILGE_CM, REFERENCE_HEAD_CM, REFERENCE_LENGTH_CM = 61.2, 48.4, 78.2

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(40)
_S = 0.5 * (_NODES + 1.0)
_W = 0.5 * _WEIGHTS


class _Curve:
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


def _column(numbers: Array) -> Array:
    return np.asarray(numbers)[..., None]


def _lying(curve: _Curve, dip: Array) -> tuple[Array, Array]:
    """Gives liquid volume and free surface of a lying barrel [cm3, cm2] for depths at the bung.

    Each half is integrated over x = split (1 - s^2): the segment area falls as the 3/2 power of the distance
    to the split, so this makes the integrand smooth and 40 Gauss points are exact to about 1e-12.
    """
    y = dip - curve.bilge_r
    split = curve.where_radius_is(np.abs(y))
    wide = _Curve(_column(curve.head_r), _column(curve.bilge_r), _column(curve.half), curve.profile)
    x = _column(split) * (1.0 - _S**2)
    r = wide.radius(x)
    with np.errstate(divide="ignore", invalid="ignore"):
        cosine = np.where(r > 0, -_column(y) / np.where(r > 0, r, 1.0), 0.0)
    cosine = np.clip(cosine, -1.0, 1.0)
    angle = np.arccos(cosine)
    sine = np.sqrt(1.0 - cosine**2)
    step = 2.0 * _column(split) * _S * _W
    volume = np.sum(r**2 * (angle - cosine * sine) * step, axis=-1)
    surface = np.sum(2.0 * r * sine * step, axis=-1)
    # Past the split, towards the head, the section is either wholly dry or wholly full.
    length = curve.half - split
    beyond = _column(split) + _column(length) * _S
    full = np.sum(np.pi * wide.radius(beyond) ** 2 * _column(length) * _W, axis=-1)
    return 2.0 * (volume + np.where(y > 0, full, 0.0)), 2.0 * surface


def _whole(curve: _Curve) -> Array:
    """Gives the whole inner volume [cm3]."""
    wide = _Curve(_column(curve.head_r), _column(curve.bilge_r), _column(curve.half), curve.profile)
    return 2.0 * np.sum(np.pi * wide.radius(wide.half * _S) ** 2 * wide.half * _W, axis=-1)


def _level_for(curve: _Curve, fraction: Array) -> Array:
    """Solves for the depth [cm] that holds a share of the whole volume, by Newton's method inside a bracket."""
    whole, depth = _whole(curve), 2.0 * curve.bilge_r
    # A whole ellipsoid has the share 3 f^2 - 2 f^3; its inverse is a close start for any barrel.
    start = 0.5 - np.sin(np.arcsin(np.clip(1.0 - 2.0 * fraction, -1.0, 1.0)) / 3.0)
    fraction, depth = np.broadcast_arrays(fraction, depth)
    dip = np.broadcast_to(start, fraction.shape) * depth
    low, high = np.zeros(dip.shape), depth.copy()
    for _ in range(60):
        volume, surface = _lying(curve, dip)
        miss = volume - fraction * whole
        low, high = np.where(miss >= 0, low, dip), np.where(miss >= 0, dip, high)
        with np.errstate(divide="ignore", invalid="ignore"):
            newton = dip - miss / surface
        usable = np.isfinite(newton) & (newton > low) & (newton < high)
        moved = np.where(usable, newton, 0.5 * (low + high))
        settled = np.all(np.abs(moved - dip) <= 1e-11 * depth)
        dip = moved
        if settled:
            break
    return np.where(fraction <= 0.0, 0.0, np.where(fraction >= 1.0, depth, dip))


def level_fraction(
    volume_fraction: ArrayLike,
    head_to_bilge: ArrayLike,
    length_to_bilge: ArrayLike = REFERENCE_LENGTH_CM / REFERENCE_BILGE_CM,
    profile: str = BarrelProfile.PARABOLIC,
) -> Array:
    """Gives the height of the level, h/D, of many lying barrels from how full they are, in one call.

    Parameters
    ----------
    volume_fraction : float or array_like, shape (n,)
        Volume over capacity [0 to 1].
    head_to_bilge : float or array_like, shape (n,)
        Inside head diameter over inside bung diameter [0 to 1].
    length_to_bilge : float or array_like, shape (n,)
        Inside length over inside bung diameter; it matters for the circular arc alone [0.1 to 10].
    profile : str, scalar
        The stave's curve [a BarrelProfile].

    Returns
    -------
    ndarray, shape (n,)
        Depth of liquid over bung diameter [0 to 1].

    Raises
    ------
    OutOfRange
        If a fraction is outside 0 to 1 or the profile is unknown.
    Inconsistent
        If the shapes do not fit each other.

    Notes
    -----
    A weighed capacity changes litres, not this fraction.

    Source
    ------
    C. Hutton, A Treatise on Mensuration (ullage as circular segments along the axis); closed form of limits.

    Examples
    --------
    >>> level_fraction([0.25, 0.5, 1.0], 0.8).round(3).tolist()
    [0.311, 0.5, 1.0]
    """
    filled = require_numbers("volume_fraction", volume_fraction, 0.0, 1.0, "of the capacity")
    ratio = require_numbers("head_to_bilge", head_to_bilge, 0.0, 1.0, "of the bung diameter")
    stretch = require_numbers("length_to_bilge", length_to_bilge, 0.1, 10.0, "of the bung diameter")
    kind = require_choice("profile", profile, list(BarrelProfile))
    shape = require_same_shape(volume_fraction=filled, head_to_bilge=ratio, length_to_bilge=stretch)
    filled, ratio, stretch = (np.broadcast_to(a, shape) for a in (filled, ratio, stretch))
    if kind == BarrelProfile.CYLINDER:
        ratio = np.ones(shape)
    curve = _Curve(0.5 * ratio, np.full(shape, 0.5), 0.5 * stretch, kind)
    return unwrap(_level_for(curve, filled))


@dataclass(frozen=True)
class RotationPlan:
    """Holds how to turn a lying barrel so that all its wood is wetted in turn.

    ``positions`` and ``step_deg`` are None when the level is too low to wet all the wood: top up first.
    """

    narrowest_wet_arc_deg: float
    positions: int | None
    step_deg: float | None
    longest_dry_periods: int | None

    @property
    def clock_positions(self) -> tuple[float, ...]:
        """Gives the place of the bung in each position as hours on a clock face, 12 being up."""
        if self.positions is None or self.step_deg is None:
            return ()
        return tuple((n * self.step_deg / 30.0) % 12.0 or 12.0 for n in range(self.positions))


@dataclass(frozen=True)
class WettedArea:
    """Holds the wood that the liquid touches [cm2] and its share of all inner wood [0 to 1]."""

    side_cm2: Array
    heads_cm2: Array
    fraction: Array

    @property
    def total_cm2(self) -> Array:
        """Gives side and heads together [cm2]."""
        return self.side_cm2 + self.heads_cm2


@dataclass(frozen=True)
class BarrelShape:
    """Holds the inside of one barrel and answers what follows from it.

    Parameters
    ----------
    head_diameter_cm, bilge_diameter_cm, length_cm : float, scalar
        Inside diameters at head and bung, inside length head to head [cm].
    profile : str, scalar
        The stave's curve [a BarrelProfile].
    weighed_capacity_l : float or None, scalar
        Capacity by weighing, used for every volume when it is known; the shape then gives shares only [L].

    Raises
    ------
    OutOfRange
        If a measure is not above zero, the head is wider than the bung, or the profile is unknown.
    Inconsistent
        If a circular arc could not join bung and head over this length.

    Notes
    -----
    A head of zero is the limit of a whole spindle. An unmeasured curve is uncertain by about 1.5 %.

    Source
    ------
    C. Hutton, A Treatise on Mensuration (gauging of casks, four varieties); closed forms of solids of revolution.

    Examples
    --------
    >>> round(BarrelShape(48.4, 61.2, 78.2).capacity_l, 2)
    199.98
    """

    head_diameter_cm: float
    bilge_diameter_cm: float
    length_cm: float
    profile: str = BarrelProfile.PARABOLIC
    weighed_capacity_l: float | None = None

    def __post_init__(self) -> None:
        widest, longest = BOUNDS["diameter_cm"], BOUNDS["length_cm"]
        require_choice("profile", self.profile, list(BarrelProfile))
        bilge = float(
            require_numbers(
                "bilge_diameter_cm", self.bilge_diameter_cm, 0.0, widest.high, "cm", above_low=True
            )
        )
        head = float(require_numbers("head_diameter_cm", self.head_diameter_cm, 0.0, widest.high, "cm"))
        length = float(require_numbers("length_cm", self.length_cm, 0.0, longest.high, "cm", above_low=True))
        if head > bilge:
            raise OutOfRange("head_diameter_cm", head, f"at most the bung diameter, {bilge:g} cm")
        if self.profile == BarrelProfile.CYLINDER and head != bilge:
            raise Inconsistent("head_diameter_cm", head, f"the bung diameter, {bilge:g} cm, for a cylinder")
        if self.profile == BarrelProfile.CIRCULAR_ARC and bilge - head > length:
            raise Inconsistent("length_cm", length, f"at least {bilge - head:g} cm for a circular arc")
        if self.weighed_capacity_l is not None:
            require_numbers("weighed_capacity_l", self.weighed_capacity_l, 0.0, None, "L", above_low=True)

    @classmethod
    def from_capacity(cls, capacity_l: float, profile: str = BarrelProfile.PARABOLIC) -> BarrelShape:
        """Gives a barrel of usual proportions that holds this capacity.

        Parameters
        ----------
        capacity_l : float, scalar
            Capacity [L].
        profile : str, scalar
            The stave's curve [a BarrelProfile].

        Returns
        -------
        BarrelShape, scalar
            The shape [cm].

        Raises
        ------
        OutOfRange
            If the capacity is not above zero or the profile is unknown.

        Notes
        -----
        Similar to a 200 L barrel of 61.2, 48.4 and 78.2 cm, so its area over volume is about 524 V^(-1/3) cm2/L.

        Source
        ------
        Common practice, no source (proportions); closed form (similarity).

        Examples
        --------
        >>> round(BarrelShape.from_capacity(5.0).area_to_volume_cm2_per_l)
        306
        """
        capacity = float(require_numbers("capacity_l", capacity_l, 0.0, None, "L", above_low=True))
        straight = profile == BarrelProfile.CYLINDER
        head = REFERENCE_BILGE_CM if straight else REFERENCE_HEAD_CM
        unit = cls(head, REFERENCE_BILGE_CM, REFERENCE_LENGTH_CM, profile)
        scale = (capacity / unit.shape_capacity_l) ** (1.0 / 3.0)
        return cls(head * scale, REFERENCE_BILGE_CM * scale, REFERENCE_LENGTH_CM * scale, profile)

    @classmethod
    def from_outside(
        cls,
        head_diameter_cm: float,
        bilge_diameter_cm: float,
        length_cm: float,
        stave_cm: float,
        chime_cm: float,
        head_thickness_cm: float,
        tapered: bool = True,
        profile: str = BarrelProfile.PARABOLIC,
    ) -> BarrelShape:
        """Gives the inside from outside measures.

        D = D_o - 2t; L = L_o - 2(c + t_h); the head sits inside the stave end, where the barrel is wider:
        d = D - (D - d_end)(L/L_o)^2, or simply d_end when not tapered.

        Parameters
        ----------
        head_diameter_cm, bilge_diameter_cm, length_cm : float, scalar
            Outside diameter at the stave end and at the bung, outside length [cm].
        stave_cm, chime_cm, head_thickness_cm : float, scalar
            Stave thickness, stave end to outer face of head, head thickness [cm].
        tapered : bool, scalar
            True to allow for the barrel being wider at the head than at the stave end [1].
        profile : str, scalar
            The stave's curve [a BarrelProfile].

        Returns
        -------
        BarrelShape, scalar
            The inside [cm].

        Raises
        ------
        OutOfRange
            If a measure is not above zero.
        Inconsistent
            If the wood is thicker than the barrel.

        Source
        ------
        Closed form; common practice, no source.

        Examples
        --------
        >>> round(BarrelShape.from_outside(55.5, 69.0, 94.5, 2.7, 4.0, 2.5).capacity_l, 2)
        232.96
        """
        given = {
            "head_diameter_cm": head_diameter_cm,
            "bilge_diameter_cm": bilge_diameter_cm,
            "length_cm": length_cm,
            "stave_cm": stave_cm,
            "head_thickness_cm": head_thickness_cm,
        }
        for name, value in given.items():
            require_numbers(name, value, 0.0, BOUNDS["length_cm"].high, "cm", above_low=True)
        require_numbers("chime_cm", chime_cm, 0.0, 20.0, "cm")
        bilge = bilge_diameter_cm - 2.0 * stave_cm
        end = head_diameter_cm - 2.0 * stave_cm
        length = length_cm - 2.0 * (chime_cm + head_thickness_cm)
        if bilge <= 0 or end <= 0:
            raise Inconsistent("stave_cm", stave_cm, "less than half of each outside diameter")
        if length <= 0:
            raise Inconsistent("length_cm", length_cm, "more than twice chime and head thickness")
        head = bilge - (bilge - end) * (length / length_cm) ** 2 if tapered else end
        return cls(head, bilge, length, profile)

    @cached_property
    def _curve(self) -> _Curve:
        head = self.head_diameter_cm / 2.0
        return _Curve(
            np.asarray(head),
            np.asarray(self.bilge_diameter_cm / 2.0),
            np.asarray(self.length_cm / 2.0),
            self.profile,
        )

    @cached_property
    def shape_capacity_l(self) -> float:
        """Gives the capacity that the measures alone make [L]."""
        return float(_whole(self._curve)) / CM3_PER_L

    @property
    def capacity_l(self) -> float:
        """Gives the capacity: weighed if it was, else from the measures [L]."""
        return self.shape_capacity_l if self.weighed_capacity_l is None else float(self.weighed_capacity_l)

    @cached_property
    def side_area_cm2(self) -> float:
        """Gives the inner area of the staves [cm2]."""
        return float(2.0 * self._side(np.asarray(0.0), self._curve.half, np.asarray(np.pi)))

    @property
    def head_area_cm2(self) -> float:
        """Gives the inner area of both heads [cm2]."""
        return math.pi * self.head_diameter_cm**2 / 2.0

    @property
    def wood_area_cm2(self) -> float:
        """Gives all inner wood, staves and heads [cm2]."""
        return self.side_area_cm2 + self.head_area_cm2

    @property
    def area_to_volume_cm2_per_l(self) -> float:
        """Gives inner wood per litre of capacity [cm2/L]."""
        return self.wood_area_cm2 / self.capacity_l

    def _side(self, start: Array, end: Array, half_angle: Array) -> Array:
        """Integrates 2 w sqrt(r^2 + (r r')^2) over an axial stretch with a constant wet half-angle w."""
        x = _column(start) + _column(end - start) * _S
        arc = np.sqrt(self._curve.radius(x) ** 2 + self._curve.radius_times_slope(x) ** 2)
        return np.sum(2.0 * _column(half_angle) * arc * _column(end - start) * _W, axis=-1)

    def _dip(self, dip_cm: ArrayLike) -> Array:
        return require_numbers("dip_cm", dip_cm, 0.0, self.bilge_diameter_cm, "cm, the bung diameter")

    def volume_at_dip_l(self, dip_cm: ArrayLike) -> Array:
        """Gives the volume in a lying barrel, bung up, from the wet depth on a rod at the bung.

        Parameters
        ----------
        dip_cm : float or array_like, shape (n,)
            Wet depth from the opposite stave [cm].

        Returns
        -------
        ndarray, shape (n,)
            Volume [L].

        Raises
        ------
        OutOfRange
            If a depth is negative or above the bung diameter.

        Source
        ------
        C. Hutton, A Treatise on Mensuration (ullage as circular segments along the axis).

        Examples
        --------
        >>> round(float(BarrelShape(12.0, 14.2, 15.8).volume_at_dip_l(7.1)), 5)
        1.12789
        """
        dip = self._dip(dip_cm)
        share = _lying(self._curve, dip)[0] / (self.shape_capacity_l * CM3_PER_L)
        return unwrap((share * self.capacity_l))

    def dip_at_volume_cm(self, volume_l: ArrayLike) -> Array:
        """Gives the wet depth at the bung of a lying barrel from its volume: the level's true height.

        Parameters
        ----------
        volume_l : float or array_like, shape (n,)
            Volume [L].

        Returns
        -------
        ndarray, shape (n,)
            Wet depth [cm].

        Raises
        ------
        OutOfRange
            If a volume is negative or above the capacity.

        Source
        ------
        C. Hutton, A Treatise on Mensuration (ullage as circular segments along the axis), solved by Newton's method.

        Examples
        --------
        >>> round(float(BarrelShape(12.0, 14.2, 15.8).dip_at_volume_cm(0.5639444)), 4)
        4.3728
        """
        volume = require_numbers("volume_l", volume_l, 0.0, self.capacity_l, "L, the capacity")
        return unwrap(_level_for(self._curve, np.asarray(volume / self.capacity_l)))

    def surface_at_dip_cm2(self, dip_cm: ArrayLike) -> Array:
        """Gives the free surface of a lying barrel, which is also how fast volume rises with depth.

        Parameters
        ----------
        dip_cm : float or array_like, shape (n,)
            Wet depth at the bung [cm].

        Returns
        -------
        ndarray, shape (n,)
            Surface [cm2], or dV/dh [cm3 per cm].

        Raises
        ------
        OutOfRange
            If a depth is negative or above the bung diameter.

        Source
        ------
        Closed form: L(2D + d)/3 at half depth of a parabolic stave.

        Examples
        --------
        >>> round(float(BarrelShape(12.0, 14.2, 15.8).surface_at_dip_cm2(7.1)), 3)
        212.773
        """
        return unwrap(_lying(self._curve, self._dip(dip_cm))[1])

    def standing_volume_l(self, depth_cm: ArrayLike) -> Array:
        """Gives the volume in a barrel that stands on a head, from the depth above the lower head.

        Parameters
        ----------
        depth_cm : float or array_like, shape (n,)
            Wet depth above the lower head [cm].

        Returns
        -------
        ndarray, shape (n,)
            Volume [L].

        Raises
        ------
        OutOfRange
            If a depth is negative or above the inside length.

        Source
        ------
        Nineteenth-century excise gauging manual, the rule to inch a standing cask (closed form per profile).

        Examples
        --------
        >>> round(float(BarrelShape(12.0, 14.2, 15.8).standing_volume_l(4.0)), 5)
        0.52563
        """
        depth = require_numbers("depth_cm", depth_cm, 0.0, self.length_cm, "cm, the inside length")
        reach = depth - self.length_cm / 2.0
        x = _column(np.abs(reach)) * _S
        part = np.sum(np.pi * self._curve.radius(x) ** 2 * _column(np.abs(reach)) * _W, axis=-1)
        share = 0.5 + np.sign(reach) * part / (self.shape_capacity_l * CM3_PER_L)
        return unwrap((share * self.capacity_l))

    def standing_depth_cm(self, volume_l: ArrayLike) -> Array:
        """Gives the depth above the lower head of a standing barrel from its volume.

        Parameters
        ----------
        volume_l : float or array_like, shape (n,)
            Volume [L].

        Returns
        -------
        ndarray, shape (n,)
            Wet depth [cm].

        Raises
        ------
        OutOfRange
            If a volume is negative or above the capacity.

        Source
        ------
        Nineteenth-century excise gauging manual, the rule to inch a standing cask, solved by bisection.

        Examples
        --------
        >>> round(float(BarrelShape(12.0, 14.2, 15.8).standing_depth_cm(0.5256257)), 3)
        4.0
        """
        volume = require_numbers("volume_l", volume_l, 0.0, self.capacity_l, "L, the capacity")
        low, high = np.zeros(volume.shape), np.full(volume.shape, self.length_cm)
        for _ in range(52):
            middle = 0.5 * (low + high)
            under = np.asarray(self.standing_volume_l(middle)) < volume
            low, high = np.where(under, middle, low), np.where(under, high, middle)
        return unwrap((0.5 * (low + high)))

    def wetted_at_dip(self, dip_cm: ArrayLike) -> WettedArea:
        """Gives the wood that the liquid of a lying barrel touches, from the depth at the bung.

        Parameters
        ----------
        dip_cm : float or array_like, shape (n,)
            Wet depth at the bung [cm].

        Returns
        -------
        WettedArea, each shape (n,)
            Side and heads [cm2], share of all inner wood [0 to 1].

        Raises
        ------
        OutOfRange
            If a depth is negative or above the bung diameter.

        Source
        ------
        Closed form (wet half-angle acos(-y/r) integrated along the stave).

        Examples
        --------
        >>> round(float(BarrelShape(12.0, 14.2, 15.8).wetted_at_dip(7.1).fraction), 6)
        0.5
        """
        dip = self._dip(dip_cm)
        curve, y = self._curve, dip - self.bilge_diameter_cm / 2.0
        split = curve.where_radius_is(np.abs(y))
        x = _column(split) * (1.0 - _S**2)
        r = curve.radius(x)
        cosine = np.clip(np.where(r > 0, -_column(y) / np.where(r > 0, r, 1.0), 0.0), -1.0, 1.0)
        arc = np.sqrt(r**2 + curve.radius_times_slope(x) ** 2)
        part = np.sum(2.0 * np.arccos(cosine) * arc * 2.0 * _column(split) * _S * _W, axis=-1)
        beyond = np.where(
            y > 0,
            self._side(split, np.broadcast_to(curve.half, split.shape), np.full(split.shape, np.pi)),
            0.0,
        )
        side = 2.0 * (part + beyond)
        head_r = self.head_diameter_cm / 2.0
        head_cosine = np.clip(-y / head_r if head_r > 0 else -np.sign(y), -1.0, 1.0)
        angle = np.arccos(head_cosine)
        heads = 2.0 * head_r**2 * (angle - head_cosine * np.sqrt(1.0 - head_cosine**2))
        return WettedArea(side[()], heads[()], ((side + heads) / self.wood_area_cm2)[()])

    def wetted_area_cm2(self, volume_l: ArrayLike) -> Array:
        """Gives the wood that the liquid of a lying barrel touches, from its volume.

        Parameters
        ----------
        volume_l : float or array_like, shape (n,)
            Volume [L].

        Returns
        -------
        ndarray, shape (n,)
            Wetted wood, staves and heads [cm2].

        Raises
        ------
        OutOfRange
            If a volume is negative or above the capacity.

        Source
        ------
        Closed form (wet half-angle acos(-y/r) integrated along the stave).

        Examples
        --------
        >>> shape = BarrelShape.from_capacity(5.0)
        >>> round(float(shape.wetted_area_cm2(2.5)) / shape.wood_area_cm2, 6)
        0.5
        """
        return self.wetted_at_dip(self.dip_at_volume_cm(volume_l)).total_cm2

    def wetted_standing(self, depth_cm: ArrayLike) -> WettedArea:
        """Gives the wood that the liquid of a standing barrel touches.

        Parameters
        ----------
        depth_cm : float or array_like, shape (n,)
            Wet depth above the lower head [cm].

        Returns
        -------
        WettedArea, each shape (n,)
            Side and heads [cm2], share of all inner wood [0 to 1].

        Raises
        ------
        OutOfRange
            If a depth is negative or above the inside length.

        Notes
        -----
        An empty barrel wets nothing; the lower head counts as soon as there is liquid, the upper when it is full.

        Source
        ------
        Closed form (surface of revolution).

        Examples
        --------
        >>> round(float(BarrelShape(12.0, 14.2, 15.8).wetted_standing(7.9).side_cm2), 2)
        338.31
        """
        depth = require_numbers("depth_cm", depth_cm, 0.0, self.length_cm, "cm, the inside length")
        reach = depth - self.length_cm / 2.0
        part = self._side(np.zeros(reach.shape), np.abs(reach), np.full(reach.shape, np.pi))
        side = self.side_area_cm2 / 2.0 + np.sign(reach) * part
        one_head = self.head_area_cm2 / 2.0
        heads = np.where(depth > 0, one_head, 0.0) + np.where(depth >= self.length_cm, one_head, 0.0)
        return WettedArea(side[()], heads[()], ((side + heads) / self.wood_area_cm2)[()])

    def rotation_plan(self, dip_cm: float, overlap_deg: float = 10.0) -> RotationPlan:
        """Gives in how many positions a lying barrel must rest in turn for all its wood to be wetted.

        a = 2 acos(-y/r*), r* the head radius below half depth and the bung radius above; n = ceil(360/(a - 2m)).

        Parameters
        ----------
        dip_cm : float, scalar
            Wet depth at the bung [cm].
        overlap_deg : float, scalar
            Overlap m at each edge of the wet arc [degrees].

        Returns
        -------
        RotationPlan, scalar
            Narrowest wet arc and step [degrees], positions [count].

        Raises
        ------
        OutOfRange
            If the depth is negative or above the bung diameter or the overlap outside 0 to 60 degrees.

        Source
        ------
        Closed form.

        Examples
        --------
        >>> BarrelShape(12.0, 14.2, 15.8).rotation_plan(7.1).positions
        3
        """
        dip = float(self._dip(dip_cm))
        overlap = float(require_numbers("overlap_deg", overlap_deg, 0.0, 60.0, "degrees"))
        y = dip - self.bilge_diameter_cm / 2.0
        radius = self.head_diameter_cm / 2.0 if y < 0 else self.bilge_diameter_cm / 2.0
        cosine = min(1.0, max(-1.0, -y / radius)) if radius > 0 else 1.0
        arc = 2.0 * math.degrees(math.acos(cosine))
        if arc >= 360.0:
            return RotationPlan(360.0, 1, 360.0, 0)
        if arc <= 2.0 * overlap:
            return RotationPlan(arc, None, None, None)
        # The wet arc is computed, so a quotient a hair above a whole number is that number.
        positions = math.ceil(360.0 / (arc - 2.0 * overlap) - 1e-9)
        step = 360.0 / positions
        return RotationPlan(arc, positions, step, math.ceil((360.0 - arc) / step - 1e-9))

    def capacity_uncertainty(
        self,
        bilge_u_cm: float = 0.1,
        head_u_cm: float = 0.1,
        length_u_cm: float = 0.1,
        shape_u: float = 0.015,
    ) -> float:
        """Gives the relative standard uncertainty of a capacity taken with a tape.

        Parameters
        ----------
        bilge_u_cm, head_u_cm, length_u_cm : float, scalar
            Standard uncertainty of each inside measure [cm].
        shape_u : float, scalar
            Relative uncertainty from not knowing the stave's curve [1].

        Returns
        -------
        float, scalar
            Relative standard uncertainty [1].

        Raises
        ------
        OutOfRange
            If an uncertainty is negative.

        Notes
        -----
        Sensitivities are those of the parabolic stave; a weighed capacity is better than any tape.

        Source
        ------
        JCGM 100:2008, Guide to the expression of uncertainty in measurement (law of propagation).

        Examples
        --------
        >>> round(BarrelShape(12.0, 14.2, 15.8).capacity_uncertainty(shape_u=0.01), 6)
        0.016255
        """
        for name, value in {
            "bilge_u_cm": bilge_u_cm,
            "head_u_cm": head_u_cm,
            "length_u_cm": length_u_cm,
            "shape_u": shape_u,
        }.items():
            require_numbers(name, value, 0.0, None, "cm" if name != "shape_u" else "")
        wide, narrow = self.bilge_diameter_cm, self.head_diameter_cm
        total = 8.0 * wide**2 + 4.0 * wide * narrow + 3.0 * narrow**2
        by_bilge = (16.0 * wide**2 + 4.0 * wide * narrow) / total
        by_head = (4.0 * wide * narrow + 6.0 * narrow**2) / total
        head_part = by_head * head_u_cm / narrow if narrow > 0 else 0.0
        return math.sqrt(
            (by_bilge * bilge_u_cm / wide) ** 2
            + head_part**2
            + (length_u_cm / self.length_cm) ** 2
            + shape_u**2
        )

    def odd_proportions(self) -> tuple[str, ...]:
        """Gives sentences about measures that are possible but unlike a barrel, so that slips show.

        Returns
        -------
        tuple of str, shape (n_warnings,)
            One sentence each [text].

        Source
        ------
        Common practice, no source.

        Examples
        --------
        >>> BarrelShape(48.4, 61.2, 78.2).odd_proportions()
        ()
        """
        said = []
        ratio = self.head_diameter_cm / self.bilge_diameter_cm
        if ratio < 0.70:
            said.append(f"The head is only {ratio:.0%} of the bung diameter; usual is 70 to 95 %.")
        stretch = self.length_cm / self.bilge_diameter_cm
        if not 0.9 <= stretch <= 2.0:
            said.append(f"The length is {stretch:.2f} times the bung diameter; usual is 0.9 to 2.")
        return tuple(said)
