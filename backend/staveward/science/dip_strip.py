"""The numbers for a dip strip: where the litre marks go on a rod for one very barrel."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .errors import Array, Inconsistent, require_number
from .geometry import BarrelShape

# A line on wood is about half a millimetre and a meniscus wets one: closer marks cannot be told apart.
CLOSEST_MARKS_MM = 2.0
MOST_MARKS = 400


@dataclass(frozen=True, slots=True)
class DipStrip:
    """Holds the marks of a rod that stands on the wood opposite the bung, from its foot upwards.

    ``volume_l`` and ``from_foot_mm`` have shape (n,): what is in the barrel when the rod is wet to the mark [L], and
    the distance of the mark from the foot [mm]. ``spacing_mm`` is the distance to the mark below, or to the foot.
    """

    volume_l: Array
    from_foot_mm: Array
    spacing_mm: Array
    full_mm: float
    closest_mm: float

    @property
    def is_too_fine(self) -> bool:
        """Says whether some marks lie too close to be told apart; then a larger step is wanted."""
        return self.closest_mm < CLOSEST_MARKS_MM


def dip_strip(shape: BarrelShape, step_l: float = 1.0) -> DipStrip:
    """Gives where the marks of a dip strip go, one a step of volume, up to the last whole step below full.

    Each mark is the true dip of its volume, so the marks are wide apart near the foot and the bung and close in the
    middle.

    Parameters
    ----------
    shape : BarrelShape, scalar
        The inside of the barrel [cm].
    step_l : float, scalar
        Volume between two marks, above 0 [L].

    Returns
    -------
    DipStrip, each shape (n,)
        Volumes [L], distances from the foot and spacings [mm].

    Raises
    ------
    OutOfRange
        If the step is not above 0.
    Inconsistent
        If the step is larger than the barrel, or so small that there would be more than 400 marks.

    Notes
    -----
    For a lying barrel with the bung up and a rod held upright in the middle of the bung. Mark it in the barrel's name:
    a strip of another barrel of the same size is wrong by what the two differ in.

    Source
    ------
    As ``BarrelShape.dip_at_volume_cm``; the least distance is common practice, no source.

    Examples
    --------
    >>> strip = dip_strip(BarrelShape(12.0, 14.2, 15.8), 0.5)
    >>> [round(float(mark), 1) for mark in strip.from_foot_mm]
    [40.4, 65.0, 88.7, 115.5]
    """
    step = require_number("step_l", step_l, 0.0, None, "L", above_low=True)
    capacity = float(shape.capacity_l)
    if step > capacity:
        raise Inconsistent("step_l", step, f"at most the barrel's {capacity:.3f} L")
    # A capacity a hair below a whole number of steps is that number.
    marks = int(capacity / step + 1e-9)
    if marks > MOST_MARKS:
        raise Inconsistent(
            "step_l", step, f"at least {capacity / MOST_MARKS:.3g} L, for no more than {MOST_MARKS} marks"
        )
    volume = np.minimum(step * np.arange(1, marks + 1), capacity)
    from_foot = 10.0 * np.asarray(shape.dip_at_volume_cm(volume), dtype=np.float64)
    spacing = np.diff(from_foot, prepend=0.0)
    return DipStrip(volume, from_foot, spacing, 10.0 * shape.bilge_diameter_cm, float(spacing.min()))
