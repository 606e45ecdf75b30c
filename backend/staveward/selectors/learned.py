"""What a fill's own readings teach of it: weights, dips and strengths since it was poured sharpen its forecast.

The science learns one barrel's pace and leak and predicts the liquid in it with the wood's drink still inside; that is
taken off here, as the plain course does. Where nothing was read, or what was read cannot be used, the plain course
holds.
"""

from __future__ import annotations

import logging
from collections import defaultdict
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from staveward.models import Reading, StayKind
from staveward.science.ageing import SOAK_RELATIVE_U
from staveward.science.calibration import DipReading, StrengthReading, Weighing, calibrate
from staveward.science.courses import LiquidEvent
from staveward.science.errors import ScienceError
from staveward.science.geometry import BarrelShape
from staveward.science.liking import SD_OF_80
from staveward.science.soaking import mixed_strength_pct, soaked_l
from staveward.science.vocabulary import BOUNDS, ReadingKind
from staveward.selectors import stays as facts
from staveward.selectors.questions import Scope

# More readings than this teach no more, and the science refuses them: the newest count.
MOST_READINGS = 100
MM_PER_CM = 10.0
# What a dip is good for (design value), and for how long it stands for the level at a later reading.
ROD_MM = 2.0
DIP_HOLDS_DAYS = 7.0

Numbers = NDArray[np.float64]
logger = logging.getLogger(__name__)


@dataclass
class ReadOff:
    """What was read of one fill: (instant, figure) of each kind, oldest first."""

    masses_kg: list[tuple[datetime, float]] = field(default_factory=list)
    volumes_l: list[tuple[datetime, float]] = field(default_factory=list)
    strengths_pct: list[tuple[datetime, float]] = field(default_factory=list)

    @property
    def last_at(self) -> datetime | None:
        """Returns when something was read last."""
        newest = [rows[-1][0] for rows in (self.masses_kg, self.volumes_l, self.strengths_pct) if rows]
        return max(newest, default=None)


def readings_by_fill(scope: Scope, now: datetime) -> dict[UUID, ReadOff]:
    """Returns what was read of each open fill."""
    found: defaultdict[UUID, ReadOff] = defaultdict(ReadOff)
    rows = (
        Reading.objects.filter(
            scope.on("act__stay__barrel_id", "act__stay__club_id"),
            facts.standing(),
            act__collection="readings",
            act__stay__kind=StayKind.FILL,
            act__stay__ended_at__isnull=True,
            act__ordered_at__lte=now,
        )
        .order_by("act__ordered_at", "act_id")
        .values_list("act__stay_id", "act__ordered_at", "kind", "mass_kg", "volume_l", "abv_pct")
    )
    for stay_id, at, kind, mass_kg, volume_l, abv_pct in rows:
        if kind == ReadingKind.WEIGHT and mass_kg is not None:
            found[stay_id].masses_kg.append((at, mass_kg))
        elif kind == ReadingKind.DIP and volume_l is not None:
            found[stay_id].volumes_l.append((at, volume_l))
        elif kind == ReadingKind.ALCOHOLMETER and abv_pct is not None:
            found[stay_id].strengths_pct.append((at, abv_pct))
    return dict(found)


def litres_per_mm(shape: BarrelShape, volume_l: float) -> float:
    """Returns what a millimetre of depth means at the level that a volume stands at."""
    dip_cm = float(shape.dip_at_volume_cm(min(max(volume_l, 0.0), shape.capacity_l)))
    low_cm, high_cm = max(0.0, dip_cm - 0.1), min(shape.bilge_diameter_cm, dip_cm + 0.1)
    held_l = shape.volume_at_dip_l([low_cm, high_cm])
    return float((held_l[1] - held_l[0]) / (high_cm - low_cm)) / MM_PER_CM


@dataclass(frozen=True)
class Lesson:
    """One fill as its learning needs it: what was poured, its wood, its air, and what was read."""

    volume_l: float
    abv_pct: float
    sugar_g_l: float
    wood_state: str
    held_abv_pct: float
    shape: BarrelShape
    area_m2: float
    stave_mm: float
    temp_c: Numbers
    rh: Numbers
    events: list[LiquidEvent]
    read: ReadOff
    tare_kg: float | None
    started_at: datetime

    def day(self, at: datetime) -> float:
        """Returns the days since the fill."""
        return min(max(0.0, (at - self.started_at).total_seconds() / 86_400.0), float(BOUNDS["days"].high))


def learned_bands(lesson: Lesson, days: Numbers) -> tuple[Numbers, Numbers] | None:
    """Returns volume and strength, low, mid and high, on days not before the last reading; None where none taught."""
    last_at = lesson.read.last_at
    if last_at is None:
        return None
    weighings = [] if lesson.tare_kg is None else lesson.read.masses_kg[-MOST_READINGS:]
    # Sugar holds an alcoholmeter up: what it shows is no strength.
    strengths = [] if lesson.sugar_g_l > 0 else lesson.read.strengths_pct[-MOST_READINGS:]
    dips = lesson.read.volumes_l[-MOST_READINGS:]
    if not (weighings or strengths or dips):
        return None
    last = max(lesson.day(at) for at, _ in [*weighings, *strengths, *dips])
    # The day of the last reading goes first: there the figure is held against what was dipped.
    asked = np.append(last, np.maximum(days, last))
    mixed = float(
        mixed_strength_pct(
            lesson.volume_l, lesson.abv_pct, lesson.area_m2, lesson.stave_mm, lesson.held_abv_pct, days.max()
        )
    )
    try:
        said = calibrate(
            lesson.volume_l,
            mixed,
            lesson.temp_c,
            lesson.rh,
            lesson.area_m2,
            lesson.stave_mm,
            lesson.shape.capacity_l,
            asked,
            weighings=[Weighing(lesson.day(at), mass_kg) for at, mass_kg in weighings],
            tare_kg=lesson.tare_kg if weighings else None,
            dips=[
                DipReading(lesson.day(at), volume_l, litres_per_mm(lesson.shape, volume_l))
                for at, volume_l in dips
            ],
            strengths=[StrengthReading(lesson.day(at), abv_pct) for at, abv_pct in strengths],
            events=lesson.events,
            wood_state=lesson.wood_state,
            sugar_g_l=lesson.sugar_g_l,
        )
    except ScienceError as error:
        logger.warning("Nothing learned from the readings of a fill: %s", error)
        return None
    drunk = np.asarray(soaked_l(asked, lesson.area_m2, lesson.stave_mm, lesson.wood_state))[:, None]
    volume = np.stack([said.volume_low_l, said.volume_mid_l, said.volume_high_l], axis=-1) - drunk
    strength = np.stack([said.abv_low_pct, said.abv_mid_pct, said.abv_high_pct], axis=-1)
    dipped = dips[-1] if dips and last - lesson.day(dips[-1][0]) <= DIP_HOLDS_DAYS else None
    volume = _with_thirst(volume, drunk[0, 0], lesson.shape, None if dipped is None else dipped[1])
    return np.maximum(volume[1:], 0.0), strength[1:]


def _with_thirst(volume: Numbers, drunk_l: float, shape: BarrelShape, dipped_l: float | None) -> Numbers:
    """Adds how unsure the wood's drink is, and takes from the last dip what it says of it.

    The drink's error e ~ N(0, u^2) is the same on every day to come. A dip of sd r at a volume known to s leaves
    the residual d = e + noise, so e is put at d u^2/(u^2 + r^2 + s^2) and u^2 shrinks by the same share.
    """
    thirst = SOAK_RELATIVE_U * drunk_l
    shift, left = 0.0, thirst**2
    if dipped_l is not None and thirst > 0.0:
        low, mid, high = volume[0]
        known = (high - low) / (2.0 * SD_OF_80)
        rod = ROD_MM * litres_per_mm(shape, dipped_l)
        share = thirst**2 / (thirst**2 + rod**2 + known**2)
        shift, left = share * (dipped_l - mid), thirst**2 * (1.0 - share)
    middle = volume[:, 1:2]
    widened = np.hypot(volume - middle, SD_OF_80 * np.sqrt(left) * np.array([1.0, 0.0, 1.0]))
    laid: Numbers = middle + shift + widened * np.array([-1.0, 0.0, 1.0])
    return laid


def from_knot(days: Numbers, lesson: Lesson) -> Any:
    """Returns which knots lie at the last reading or after it; those before keep the plain course."""
    last_at = lesson.read.last_at
    return days >= np.floor(0.0 if last_at is None else lesson.day(last_at))
