"""What a forecast is computed from: how each open stay began, what was taken and given since, and its air.

A fill's course begins with what was poured and is never begun anew: samples and top-ups are events on the way. Water
is measured every time somebody changes it, tops it up or dips it, so a hold's or a curing's course begins there.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import NamedTuple
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from staveward.models import (
    Act,
    Barrel,
    Place,
    Placement,
    Reading,
    Sample,
    Stay,
    StayKind,
    Tasting,
    Tending,
    TroubleSettlement,
)
from staveward.science.evaporation import usual_stave_mm
from staveward.science.geometry import BarrelShape
from staveward.science.vocabulary import BOUNDS, TendingKind, WoodState
from staveward.selectors import stays as facts
from staveward.selectors.geometry import barrel_shape
from staveward.selectors.learned import ReadOff, readings_by_fill
from staveward.selectors.questions import Scope
from staveward.selectors.stays import FillFacts, StayFacts

SECONDS_A_DAY = 86_400.0
# A reading older than this says little of the air a barrel stands in now.
CLIMATE_REACH_DAYS = 30.0
ML_PER_L = 1000.0

Series = NDArray[np.float64]


class Liquid(NamedTuple):
    """Something poured in (positive) or taken out (negative) at an instant; a strength only where it was said."""

    at: datetime
    volume_l: float
    abv_pct: float | None
    is_sample: bool = True


@dataclass(frozen=True)
class Air:
    """The climate of one barrel since a day: where it stood, what was read there, and what is assumed else."""

    stood: Sequence[tuple[datetime, UUID]]
    readings: Mapping[UUID, Sequence[tuple[datetime, float, float]]]
    assumed: Mapping[UUID, tuple[float, float]]

    def daily(self, start: datetime, days: int, now: datetime) -> tuple[Series, Series, bool]:
        """Returns daily temperature and humidity from ``start`` on, and whether they are a guess.

        Between two readings the air changes evenly; from the last one on the mean of the last month holds.
        """
        count = max(days, 1)
        noons: Series = np.arange(count, dtype=np.float64) * SECONDS_A_DAY + (
            start.timestamp() + SECONDS_A_DAY / 2.0
        )
        temp_c, rh = np.empty(count), np.empty(count)
        guessed = False
        for number, (since, place_id) in enumerate(self.stood):
            until = self.stood[number + 1][0] if number + 1 < len(self.stood) else None
            here = np.ones(count, dtype=bool) if number == 0 else noons >= since.timestamp()
            if until is not None:
                here &= noons < until.timestamp()
            if not here.any():
                continue
            reach = timedelta(days=CLIMATE_REACH_DAYS)
            usable = [row for row in self.readings.get(place_id, ()) if start - reach <= row[0] <= now]
            if usable:
                temp_c[here], rh[here] = _through(usable, noons[here], now)
            else:
                temp_c[here], rh[here] = self.assumed[place_id]
                guessed = True
        cellar = BOUNDS["cellar_temp_c"]
        # The model is valid from 0 degrees up; a colder place is taken as 0, and said to be a guess.
        guessed = guessed or bool(np.any(temp_c < cellar.low))
        return np.clip(temp_c, cellar.low, cellar.high), rh, guessed


@dataclass(frozen=True)
class Course:
    """One open stay as the science needs it."""

    stay_id: UUID
    club_id: UUID
    barrel_id: UUID
    kind: str
    started_at: datetime
    volume_l: float
    shape: BarrelShape
    stave_mm: float
    air: Air
    fill: FillFacts | None = None
    held_abv_pct: float = 0.0
    events: list[Liquid] = field(default_factory=list)
    # Water that was changed or dipped is known anew: instant and litres, oldest first.
    known: list[tuple[datetime, float]] = field(default_factory=list)
    # What was read of a fill, and the wet barrel's own mass where it was weighed.
    read: ReadOff = field(default_factory=ReadOff)
    tare_kg: float | None = None

    @property
    def area_m2(self) -> float:
        return self.shape.wood_area_cm2 / 1e4

    @property
    def capacity_l(self) -> float:
        return self.shape.capacity_l

    @property
    def added_l(self) -> float:
        """Returns what was topped up."""
        return sum(event.volume_l for event in self.events if event.volume_l > 0)

    @property
    def sampled_l(self) -> float:
        """Returns what was drunk."""
        return -sum(event.volume_l for event in self.events if event.volume_l < 0 and event.is_sample)


def course_list(stay_ids: Iterable[UUID], now: datetime) -> list[Course]:
    """Returns the courses of these stays; those that have ended meanwhile are left out."""
    rows = list(
        Stay.objects.filter(pk__in=set(stay_ids), ended_at__isnull=True)
        .order_by("club_id", "id")
        .values_list("id", "club_id", "barrel_id")
    )
    by_club: defaultdict[UUID, list[UUID]] = defaultdict(list)
    wanted = set()
    for stay_id, club_id, barrel_id in rows:
        by_club[club_id].append(barrel_id)
        wanted.add(stay_id)
    found: list[Course] = []
    for club_id, barrel_ids in by_club.items():
        found += _club_courses(Scope(club_id, tuple(barrel_ids)), wanted, now)
    return found


def _club_courses(scope: Scope, wanted: set[UUID], now: datetime) -> list[Course]:
    assert scope.barrel_ids is not None
    barrels = Barrel.objects.filter(club_id=scope.club_id, pk__in=scope.barrel_ids).in_bulk()
    stays = facts.stays_by_barrel(scope)
    fills = facts.fills_by_stay(scope)
    water_l = facts.water_by_stay(scope)
    events, known = _liquids(scope, water_l, now)
    decanted = _decanted_abv_pct(scope)
    read = readings_by_fill(scope, now)
    began = min((own[-1].started_at for own in stays.values() if own[-1].id in wanted), default=now)
    airs = _airs(scope, barrels, began - timedelta(days=CLIMATE_REACH_DAYS), now)
    courses = []
    for barrel_id, own in stays.items():
        last = own[-1]
        if last.id not in wanted or last.ended_at is not None:
            continue
        barrel, fill = barrels[barrel_id], fills.get(last.id)
        if last.kind == StayKind.FILL and fill is None:
            continue
        if (now - last.started_at).days >= BOUNDS["days"].high:
            # Longer than the model is valid for: the last forecast stays, and says how old it is.
            continue
        shape = barrel_shape(barrel)
        courses.append(
            Course(
                stay_id=last.id,
                club_id=scope.club_id,
                barrel_id=barrel_id,
                kind=last.kind,
                started_at=last.started_at,
                volume_l=fill.volume_l if fill is not None else water_l.get(last.id, 0.0),
                shape=shape,
                stave_mm=barrel.stave_mm or float(usual_stave_mm(shape.capacity_l)),
                air=airs[barrel_id],
                fill=fill,
                held_abv_pct=0.0 if fill is None else _held_abv_pct(own, fill, fills, decanted),
                events=events.get(last.id, []),
                known=known.get(last.id, []),
                read=read.get(last.id, ReadOff()),
                tare_kg=barrel.wet_mass_kg,
            )
        )
    return courses


def _liquids(
    scope: Scope, water_l: Mapping[UUID, float], now: datetime
) -> tuple[dict[UUID, list[Liquid]], dict[UUID, list[tuple[datetime, float]]]]:
    """Returns samples and top-ups of each open stay, and the levels that its water is known to have had."""
    events: defaultdict[UUID, list[Liquid]] = defaultdict(list)
    known: defaultdict[UUID, list[tuple[datetime, float]]] = defaultdict(list)
    mine = scope.on("act__stay__barrel_id", "act__stay__club_id") & facts.standing()
    open_now = {"act__stay__ended_at__isnull": True, "act__ordered_at__lte": now}
    tastings = Tasting.objects.filter(mine, **open_now, act__collection="tastings", sample_ml__gt=0)
    drawn = Sample.objects.filter(mine, **open_now, act__collection="samples")
    for samples in (tastings, drawn):
        for stay_id, at, sample_ml in samples.values_list("act__stay_id", "act__ordered_at", "sample_ml"):
            events[stay_id].append(Liquid(at, -sample_ml / ML_PER_L, None))
    water_tasks = (TendingKind.TOP_UP, TendingKind.WATER_CHANGE)
    tendings = Tending.objects.filter(mine, **open_now, act__collection="tendings", task__in=water_tasks)
    rows = tendings.values_list("act__stay_id", "act__ordered_at", "task", "volume_l", "abv_pct")
    for stay_id, at, task, volume_l, abv_pct in rows:
        if task == TendingKind.TOP_UP and volume_l:
            events[stay_id].append(Liquid(at, volume_l, abv_pct))
        elif task == TendingKind.WATER_CHANGE:
            # Unless somebody said how much, the new water is as much as the hold began with.
            known[stay_id].append((at, volume_l or water_l.get(stay_id, 0.0)))
    lost = TroubleSettlement.objects.filter(
        mine, **open_now, act__collection="trouble-settlements", outcome="part_lost", volume_l__gt=0
    )
    for stay_id, at, volume_l in lost.values_list("act__stay_id", "act__ordered_at", "volume_l"):
        events[stay_id].append(Liquid(at, -(volume_l or 0.0), None, is_sample=False))
    dips = Reading.objects.filter(
        mine, **open_now, act__collection="readings", volume_l__isnull=False
    ).exclude(act__stay__kind=StayKind.FILL)
    for stay_id, at, volume_l in dips.values_list("act__stay_id", "act__ordered_at", "volume_l"):
        known[stay_id].append((at, volume_l or 0.0))
    for lists in (events, known):
        for one in lists.values():
            one.sort(key=lambda row: row[0])
    return dict(events), dict(known)


def _held_abv_pct(
    stays: Sequence[StayFacts],
    fill: FillFacts,
    fills: Mapping[UUID, FillFacts],
    decanted: Mapping[UUID, float],
) -> float:
    """Returns the strength of what the wood held when the fill went in: water, or the last fill.

    Dry wood holds nothing to mix with, which is the same as holding the fill itself.
    """
    if fill.wood_state in (WoodState.DRY, WoodState.STORED_DRY):
        return fill.abv_pct
    before = stays[-2] if len(stays) > 1 else None
    if before is None or before.kind != StayKind.FILL or before.id not in fills:
        return 0.0
    return decanted.get(before.id, fills[before.id].abv_pct)


def _decanted_abv_pct(scope: Scope) -> dict[UUID, float]:
    """Returns the measured strength of each fill at its decant, where somebody measured it."""
    rows = Act.objects.filter(
        scope.on("barrel_id", "barrel__club_id"),
        collection="decants",
        is_head=True,
        is_void=False,
        placement=Placement.PLACED,
        decant__abv_pct__isnull=False,
        stay__isnull=False,
    ).values_list("stay_id", "decant__abv_pct")
    return {stay_id: abv_pct for stay_id, abv_pct in rows if abv_pct is not None}


def _airs(scope: Scope, barrels: Mapping[UUID, Barrel], since: datetime, now: datetime) -> dict[UUID, Air]:
    """Returns the air of each barrel: the places it stood in, and the climate read in them since."""
    assert scope.barrel_ids is not None
    assumed = {
        place_id: (temp_c, rh)
        for place_id, temp_c, rh in Place.objects.filter(club_id=scope.club_id).values_list(
            "id", "temp_c", "rh"
        )
    }
    readings: defaultdict[UUID, list[tuple[datetime, float, float]]] = defaultdict(list)
    rows = (
        Reading.objects.filter(
            facts.standing(),
            place__club_id=scope.club_id,
            act__ordered_at__range=(since, now),
            kind="climate",
            temp_c__isnull=False,
            rh__isnull=False,
        )
        .order_by("act__ordered_at", "act_id")
        .values_list("place_id", "act__ordered_at", "temp_c", "rh")
    )
    for place_id, at, temp_c, rh in rows:
        if temp_c is not None and rh is not None:
            readings[place_id].append((at, temp_c, rh))
    stood: dict[UUID, list[tuple[datetime, UUID]]] = {
        barrel_id: [(barrel.registered_at, barrel.place_id)] for barrel_id, barrel in barrels.items()
    }
    moves: defaultdict[UUID, list[tuple[datetime, UUID]]] = defaultdict(list)
    carried = (
        Act.objects.filter(
            scope.on("barrel_id", "barrel__club_id"),
            collection__in=("moves", "barrels"),
            is_head=True,
            is_void=False,
            placement=Placement.PLACED,
        )
        .order_by("ordered_at", "id")
        .values_list("barrel_id", "ordered_at", "body__place")
    )
    for barrel_id, at, place in carried:
        place_id = UUID(str(place))
        if place_id in assumed:
            moves[barrel_id].append((at, place_id))
    for barrel_id, steps in moves.items():
        # The register says where it stands now; the moves say since when, and where it stood before.
        stood[barrel_id] = [*steps[:-1], (steps[-1][0], barrels[barrel_id].place_id)]
    return {barrel_id: Air(steps, readings, assumed) for barrel_id, steps in stood.items()}


def _through(
    rows: Sequence[tuple[datetime, float, float]], noons: Series, now: datetime
) -> tuple[Series, Series]:
    """Returns temperature and humidity at the given moments, along the readings and then at their recent mean."""
    at = np.array([row[0].timestamp() for row in rows])
    values = np.array([row[1:] for row in rows])
    recent = values[at >= at[-1] - CLIMATE_REACH_DAYS * SECONDS_A_DAY].mean(axis=0)
    later = noons > max(at[-1], now.timestamp())
    temp_c = np.where(later, recent[0], np.interp(noons, at, values[:, 0]))
    rh = np.where(later, recent[1], np.interp(noons, at, values[:, 1]))
    return temp_c, rh
