"""The inside of a barrel: capacity, level, wetted wood and how to turn it.

A barrel is a body of revolution. Its profile r(x) is measured from the bung plane (x = 0) to a head
(x = half the length). All measures are inside measures in centimetres; volumes are litres. The level of a
lying barrel is the integral of circular segments along its axis, split where the liquid's surface meets the
stave so that the integrand stays smooth.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from .barrel_curve import (
    CM3_PER_L,
    UNIT_POINTS,
    UNIT_WEIGHTS,
    StaveCurve,
    column,
    level_for,
    lying_volume_and_surface,
)
from .barrel_measures import REFERENCE_BILGE_CM, REFERENCE_LENGTH_CM, BarrelMeasures
from .errors import (
    Array,
    require_choice,
    require_number,
    require_numbers,
    require_same_shape,
    unwrap,
)
from .vocabulary import BarrelProfile


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
    curve = StaveCurve(0.5 * ratio, np.full(shape, 0.5), 0.5 * stretch, kind)
    return unwrap(level_for(curve, filled))


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
class BarrelShape(BarrelMeasures):
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
        share = lying_volume_and_surface(self._curve, dip)[0] / (self.shape_capacity_l * CM3_PER_L)
        return unwrap(share * self.capacity_l)

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
        return unwrap(level_for(self._curve, np.asarray(volume / self.capacity_l)))

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
        return unwrap(lying_volume_and_surface(self._curve, self._dip(dip_cm))[1])

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
        x = column(np.abs(reach)) * UNIT_POINTS
        part = np.sum(np.pi * self._curve.radius(x) ** 2 * column(np.abs(reach)) * UNIT_WEIGHTS, axis=-1)
        share = 0.5 + np.sign(reach) * part / (self.shape_capacity_l * CM3_PER_L)
        return unwrap(share * self.capacity_l)

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
        # Towards a pointed end volume rises with the cube of depth: there rounding would decide, not the volume.
        filled = np.where(volume >= self.capacity_l, self.length_cm, 0.5 * (low + high))
        return unwrap(np.where(volume <= 0.0, 0.0, filled))

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
        x = column(split) * (1.0 - UNIT_POINTS**2)
        r = curve.radius(x)
        cosine = np.clip(np.where(r > 0, -column(y) / np.where(r > 0, r, 1.0), 0.0), -1.0, 1.0)
        arc = np.sqrt(r**2 + curve.radius_times_slope(x) ** 2)
        part = np.sum(
            2.0 * np.arccos(cosine) * arc * 2.0 * column(split) * UNIT_POINTS * UNIT_WEIGHTS, axis=-1
        )
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
        overlap = require_number("overlap_deg", overlap_deg, 0.0, 60.0, "degrees")
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
