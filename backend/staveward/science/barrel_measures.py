"""What a tape says about a barrel: inside measures, capacity, inner wood, and how sure they are.

``geometry`` builds on this and adds the level.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Self

import numpy as np

from .barrel_curve import CM3_PER_L, UNIT_POINTS, UNIT_WEIGHTS, StaveCurve, column, whole_volume
from .errors import Array, Inconsistent, OutOfRange, require_choice, require_number, require_numbers
from .vocabulary import BarrelProfile

# The forms hold at any size; this only catches a slip of the unit.
LARGEST_MEASURE_CM = 1000.0

# The usual proportions: a 200 L barrel of 61.2 cm at the bung, 48.4 cm at the heads, 78.2 cm long, parabolic.
REFERENCE_BILGE_CM, REFERENCE_HEAD_CM, REFERENCE_LENGTH_CM = 61.2, 48.4, 78.2

# Of a small barrel measured outside whose heads nobody measured: how thick they are, and how deep they sit below the
# ends of the staves. Common practice, no source.
USUAL_HEAD_MM, USUAL_CHIME_MM = 14.0, 12.0


@dataclass(frozen=True)
class BarrelMeasures:
    """Holds the inside measures of one barrel and what follows from them without a level.

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
    >>> round(BarrelMeasures(48.4, 61.2, 78.2).capacity_l, 2)
    199.98
    """

    head_diameter_cm: float
    bilge_diameter_cm: float
    length_cm: float
    profile: str = BarrelProfile.PARABOLIC
    weighed_capacity_l: float | None = None

    def __post_init__(self) -> None:
        require_choice("profile", self.profile, list(BarrelProfile))
        bilge = require_number(
            "bilge_diameter_cm", self.bilge_diameter_cm, 0.0, LARGEST_MEASURE_CM, "cm", above_low=True
        )
        head = require_number("head_diameter_cm", self.head_diameter_cm, 0.0, LARGEST_MEASURE_CM, "cm")
        length = require_number("length_cm", self.length_cm, 0.0, LARGEST_MEASURE_CM, "cm", above_low=True)
        if head > bilge:
            raise OutOfRange("head_diameter_cm", head, f"at most the bung diameter, {bilge:g} cm")
        if self.profile == BarrelProfile.CYLINDER and head != bilge:
            raise Inconsistent("head_diameter_cm", head, f"the bung diameter, {bilge:g} cm, for a cylinder")
        if self.profile == BarrelProfile.CIRCULAR_ARC and bilge - head > length:
            raise Inconsistent("length_cm", length, f"at least {bilge - head:g} cm for a circular arc")
        if self.weighed_capacity_l is not None:
            require_numbers("weighed_capacity_l", self.weighed_capacity_l, 0.0, None, "L", above_low=True)

    @classmethod
    def from_capacity(cls, capacity_l: float, profile: str = BarrelProfile.PARABOLIC) -> Self:
        """Gives a barrel of usual proportions that holds this capacity.

        Parameters
        ----------
        capacity_l : float, scalar
            Capacity [L].
        profile : str, scalar
            The stave's curve [a BarrelProfile].

        Returns
        -------
        BarrelMeasures, scalar
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
        >>> round(BarrelMeasures.from_capacity(5.0).area_to_volume_cm2_per_l)
        306
        """
        capacity = require_number("capacity_l", capacity_l, 0.0, None, "L", above_low=True)
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
    ) -> Self:
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
        BarrelMeasures, scalar
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
        >>> round(BarrelMeasures.from_outside(55.5, 69.0, 94.5, 2.7, 4.0, 2.5).capacity_l, 2)
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
            require_numbers(name, value, 0.0, LARGEST_MEASURE_CM, "cm", above_low=True)
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
    def _curve(self) -> StaveCurve:
        head = self.head_diameter_cm / 2.0
        return StaveCurve(
            np.asarray(head),
            np.asarray(self.bilge_diameter_cm / 2.0),
            np.asarray(self.length_cm / 2.0),
            self.profile,
        )

    @cached_property
    def shape_capacity_l(self) -> float:
        """Gives the capacity that the measures alone make [L]."""
        return float(whole_volume(self._curve)) / CM3_PER_L

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
        x = column(start) + column(end - start) * UNIT_POINTS
        arc = np.sqrt(self._curve.radius(x) ** 2 + self._curve.radius_times_slope(x) ** 2)
        area: Array = np.sum(2.0 * column(half_angle) * arc * column(end - start) * UNIT_WEIGHTS, axis=-1)
        return area

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
        >>> round(BarrelMeasures(12.0, 14.2, 15.8).capacity_uncertainty(shape_u=0.01), 6)
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
        >>> BarrelMeasures(48.4, 61.2, 78.2).odd_proportions()
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
