"""What the log of a curing says: stretches between top-ups, wiped joints, and the verdict that follows from them.

The phone reads the same log by the same rule (``frontend/src/pages/curing/observed.ts``): a stretch runs from one
moment at which the water stood at its mark to the next; filling up and changing the water set a new mark; below nine
tenths of the capacity there is no mark yet, since half of the staves are dry.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from staveward.models import Act, Barrel, Placement, Stay, StayKind
from staveward.science.curing import Tightness, TopUpInterval, expected_drink, tightness
from staveward.science.errors import ScienceError
from staveward.science.evaporation import usual_stave_mm
from staveward.science.vocabulary import BOUNDS, TendingKind, WoodState
from staveward.selectors.geometry import barrel_shape

SECONDS_AN_HOUR = 3600.0
ML_PER_L = 1000.0
DM2_PER_CM2 = 0.01
M2_PER_CM2 = 1e-4
FULL_FRACTION = 0.9
# Two entries within a minute are one look at the barrel.
SAME_LOOK_H = 1.0 / 60.0
DEFAULT_READING_U_ML = 5.0


@dataclass(frozen=True)
class Observed:
    """What a curing's log holds: stretches (from, to [h], volume [mL]), dry joints' hours, the reading's doubt."""

    stretches: list[tuple[float, float, float]]
    dry_joint_h: float
    reading_u_ml: float


def curing_observed(
    started_at: datetime,
    water_l: float,
    capacity_l: float,
    tendings: Iterable[tuple[datetime, Mapping[str, Any]]],
) -> Observed:
    """Reads the tendings of a curing, oldest first: when, and the body with its volume in litres."""
    stretches: list[tuple[float, float, float]] = []
    mark_h: float | None = 0.0 if water_l >= FULL_FRACTION * capacity_l else None
    wiped: dict[tuple[str, int], float] = {}
    dry_h: dict[tuple[str, int], float] = {}
    reading_u_ml = DEFAULT_READING_U_ML
    for at, body in tendings:
        hours = (at - started_at).total_seconds() / SECONDS_AN_HOUR
        tasks = body.get("tasks") or ()
        volume_l = body.get("volume_l")
        if TendingKind.WATER_CHANGE in tasks or (TendingKind.TOP_UP in tasks and body.get("is_filling_up")):
            mark_h = hours
        elif TendingKind.TOP_UP in tasks and isinstance(volume_l, int | float) and mark_h is not None:
            reading_u_ml = float(body.get("reading_u_ml") or DEFAULT_READING_U_ML)
            if hours - mark_h > SAME_LOOK_H:
                stretches.append((mark_h, hours, ML_PER_L * volume_l))
                mark_h = hours
            elif stretches:
                begin, end, already = stretches[-1]
                stretches[-1] = (begin, end, already + ML_PER_L * volume_l)
        for joint in body.get("joints") or ():
            key = (str(joint["part"]), int(joint.get("clock") or 0))
            if joint["state"] == "dry" and key in wiped:
                dry_h[key] = hours - wiped[key]
            elif joint["state"] != "dry":
                wiped[key], dry_h[key] = hours, 0.0
    return Observed(stretches, min(dry_h.values(), default=0.0), reading_u_ml)


def curing_tightness(barrel: Barrel, moment: datetime) -> Tightness | None:
    """Returns what the top-ups of the curing at a moment say; None without any, or beyond the model."""
    stay = (
        Stay.objects.filter(barrel=barrel, kind=StayKind.CURING, started_at__lte=moment)
        .order_by("-started_at", "-id")
        .first()
    )
    if stay is None:
        return None
    rows = (
        Act.objects.filter(
            stay=stay,
            collection="tendings",
            is_head=True,
            is_void=False,
            placement=Placement.PLACED,
            ordered_at__lte=moment,
        )
        .order_by("ordered_at", "id")
        .prefetch_related("tendings")
    )
    tendings = []
    for act in rows:
        # The body keeps what was typed, "250 ml" too; the typed half has the litres.
        typed = next((one.volume_l for one in act.tendings.all() if one.volume_l is not None), None)
        tendings.append((act.ordered_at, {**act.body, "volume_l": typed}))
    water_l: float = stay.acts.filter(pk=stay.pk).values_list("curing__water_l", flat=True).first() or 0.0
    shape = barrel_shape(barrel)
    seen = curing_observed(stay.started_at, water_l, shape.capacity_l, tendings)
    if not seen.stretches:
        return None
    area_m2 = shape.wood_area_cm2 * M2_PER_CM2
    stave_mm = barrel.stave_mm or float(usual_stave_mm(shape.capacity_l))
    cellar = BOUNDS["cellar_temp_c"]
    temp_c = min(max(barrel.place.temp_c, cellar.low), cellar.high)
    wood_state = WoodState.STORED_DRY if barrel.adopted else WoodState.DRY
    try:
        intervals = []
        for begin, end, volume_ml in seen.stretches:
            drunk = expected_drink(begin, end, temp_c, barrel.place.rh, area_m2, stave_mm, wood_state)
            intervals.append(TopUpInterval(begin, end, volume_ml, drunk.total_ml, drunk.u_ml))
        return tightness(
            intervals,
            shape.wood_area_cm2 * DM2_PER_CM2,
            seen.dry_joint_h,
            seen.reading_u_ml,
            capacity_l=shape.capacity_l,
        )
    except ScienceError:
        # A barrel smaller or larger than the model knows: whoever stands there decides without it.
        return None
