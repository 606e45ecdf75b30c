"""Runs courses through the science and lays the answers out as a forecast keeps them.

``near`` has daily knots from the last thing that happened (a day back at most) to six weeks on; ``curve`` has weekly
knots from the start of the course to its horizon. Knots lie whole days after the course's start, because samples and
top-ups act at the start of the day they fall in; so no knot lies between an event and what it changed.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from staveward.models import StayKind
from staveward.science.ageing import trajectory
from staveward.science.courses import LiquidEvent
from staveward.science.geometry import BarrelShape, level_fraction
from staveward.science.holding import top_up_due, water_level_now
from staveward.science.soaking import soaked_l
from staveward.science.vocabulary import BOUNDS, HOLD_TOP_UP_FRACTION, WoodState
from staveward.selectors.courses import Course
from staveward.selectors.learned import Lesson, from_knot, learned_bands
from staveward.selectors.shapes import instant_text

SECONDS_A_DAY = 86_400.0
NEAR_DAYS = 46
CURVE_LEAST_DAYS = 84
WEEK = 7
LONGEST_DAYS = int(BOUNDS["days"].high)
# Barrel-days run at once: each is followed through some eighty courses, so this is what fits a small machine.
BATCH_BARREL_DAYS = 12_000

Numbers = NDArray[np.float64]


class Bands(NamedTuple):
    """Low, mid and high of one figure at each knot, shape (knots, 3)."""

    days: Numbers
    volume_l: Numbers
    abv_pct: Numbers | None


@dataclass(frozen=True)
class Answer:
    """What a forecast row keeps of one stay."""

    near: dict[str, Any]
    curve: dict[str, Any]
    climate_guessed: bool


@dataclass(frozen=True)
class _Run:
    """A course with what its run gave: its own start, knots near today, knots of the curve."""

    course: Course
    start: datetime
    near: Bands
    curve: Bands
    guessed: bool
    top_up_at: str | None = None


def course_answers(courses: Sequence[Course], now: datetime) -> list[Answer]:
    """Returns one answer for each course, in order."""
    runs: dict[int, _Run] = {}
    fills = [number for number, course in enumerate(courses) if course.kind == StayKind.FILL]
    for batch in _batches(courses, fills, now):
        for number, run in zip(batch, _fill_runs([courses[number] for number in batch], now), strict=True):
            runs[number] = run
    for number, course in enumerate(courses):
        if course.kind != StayKind.FILL:
            runs[number] = _water_run(course, now)
    in_order = [runs[number] for number in range(len(courses))]
    near_levels = _levels(in_order, [run.near.volume_l for run in in_order])
    curve_levels = _levels(in_order, [run.curve.volume_l for run in in_order])
    return [
        _answer(run, near, curve)
        for run, near, curve in zip(in_order, near_levels, curve_levels, strict=True)
    ]


def _age_days(course: Course, now: datetime) -> int:
    return max(0, int((now - course.started_at).total_seconds() // SECONDS_A_DAY))


def _horizon_days(course: Course, now: datetime) -> int:
    """Returns the whole days to run: far enough for today's knots, the plan and a picture, in whole weeks."""
    planned = course.fill.planned_days if course.fill is not None and course.fill.planned_days else 0
    days = max(_age_days(course, now) + NEAR_DAYS, planned, CURVE_LEAST_DAYS)
    return min(-(-days // WEEK) * WEEK, LONGEST_DAYS)


def _batches(courses: Sequence[Course], numbers: Iterable[int], now: datetime) -> list[list[int]]:
    """Groups courses of like length, so that a young fill is not run as long as an old one."""
    batches: list[list[int]] = []
    for number in sorted(numbers, key=lambda one: _horizon_days(courses[one], now)):
        length = _horizon_days(courses[number], now)
        last = batches[-1] if batches else None
        if (
            last is not None
            and (len(last) + 1) * length <= BATCH_BARREL_DAYS
            and length <= 2 * _horizon_days(courses[last[0]], now)
        ):
            last.append(number)
        else:
            batches.append([number])
    return batches


def _fill_runs(courses: Sequence[Course], now: datetime) -> list[_Run]:
    length = max(_horizon_days(course, now) for course in courses)
    airs = [course.air.daily(course.started_at, length, now) for course in courses]
    fills = [course.fill for course in courses if course.fill is not None]
    events: list[LiquidEvent] = []
    last_event: list[int] = []
    for number, course in enumerate(courses):
        days = [min(_day(course.started_at, event.at), _age_days(course, now)) for event in course.events]
        last_event.append(max(days, default=0))
        for day, event in zip(days, course.events, strict=True):
            # A top-up of unsaid strength is taken to be more of the same.
            own = fills[number].abv_pct if event.volume_l > 0 and event.abv_pct is None else event.abv_pct
            sugar = fills[number].sugar_g_l if event.volume_l > 0 and event.abv_pct is None else 0.0
            events.append(LiquidEvent(number, float(day), event.volume_l, own, sugar))
    found = trajectory(
        [fill.volume_l for fill in fills],
        [fill.abv_pct for fill in fills],
        length,
        np.stack([air[0] for air in airs]),
        np.stack([air[1] for air in airs]),
        [course.capacity_l for course in courses],
        [course.area_m2 for course in courses],
        [course.stave_mm for course in courses],
        sugar_g_l=[fill.sugar_g_l for fill in fills],
        events=events,
        wood_state=[fill.wood_state for fill in fills],
        held_abv_pct=[course.held_abv_pct for course in courses],
        is_climate_guessed=[air[2] for air in airs],
    )
    volume = np.stack([found.volume_low_l, found.volume_mid_l, found.volume_high_l], axis=-1)
    # What a top-up poured beyond the brim ran over; a fill that was said to be over it stays what was said.
    brim = [max(course.capacity_l, fill.volume_l) for course, fill in zip(courses, fills, strict=True)]
    volume = np.minimum(volume, np.asarray(brim)[:, None, None])
    strength = np.stack([found.abv_low_pct, found.abv_mid_pct, found.abv_high_pct], axis=-1)
    runs = []
    for number, course in enumerate(courses):
        age = _age_days(course, now)
        near = np.arange(min(max(age - 1, last_event[number], 0), age), min(age + NEAR_DAYS, length) + 1)
        weeks = np.arange(0, min(_horizon_days(course, now), length) + 1, WEEK)
        runs.append(
            _Run(
                course,
                course.started_at,
                _sharpened(
                    course,
                    airs[number],
                    [event for event in events if event.barrel == number],
                    Bands(near.astype(np.float64), volume[number, near], strength[number, near]),
                ),
                Bands(weeks.astype(np.float64), volume[number, weeks], strength[number, weeks]),
                airs[number][2],
            )
        )
    return runs


def _sharpened(
    course: Course, air: tuple[Numbers, Numbers, bool], events: Sequence[LiquidEvent], plain: Bands
) -> Bands:
    """Puts what a fill's own readings teach in the place of the plain course, from the last of them on."""
    if course.fill is None or course.read.last_at is None or plain.abv_pct is None:
        return plain
    lesson = Lesson(
        volume_l=course.fill.volume_l,
        abv_pct=course.fill.abv_pct,
        sugar_g_l=course.fill.sugar_g_l,
        wood_state=course.fill.wood_state,
        held_abv_pct=course.held_abv_pct,
        shape=course.shape,
        area_m2=course.area_m2,
        stave_mm=course.stave_mm,
        temp_c=air[0],
        rh=air[1],
        events=[replace(event, barrel=0) for event in events],
        read=course.read,
        tare_kg=course.tare_kg,
        started_at=course.started_at,
    )
    later = from_knot(plain.days, lesson)
    learned = learned_bands(lesson, plain.days[later]) if later.any() else None
    if learned is None:
        return plain
    volume, strength = plain.volume_l.copy(), plain.abv_pct.copy()
    volume[later], strength[later] = learned
    volume = np.minimum(volume, max(course.capacity_l, course.volume_l))
    return Bands(plain.days, volume, strength)


def _day(start: datetime, at: datetime) -> int:
    return max(0, int((at - start).total_seconds() // SECONDS_A_DAY))


def _water_run(course: Course, now: datetime) -> _Run:
    """Runs a hold or a curing on from the last level that is known: changed, topped up, dipped, or poured in."""
    known_at, known_l = _known_level(course, now)
    age = max(0, int((now - known_at).total_seconds() // SECONDS_A_DAY))
    length = min(age + NEAR_DAYS, LONGEST_DAYS)
    near = np.arange(max(age - 1, 0), length + 1, dtype=np.float64)
    weeks = np.arange(0, max(CURVE_LEAST_DAYS, age + NEAR_DAYS) + 1, WEEK, dtype=np.float64)
    temp_c, rh, guessed = course.air.daily(known_at, length, now)
    volumes = []
    for days in (near, weeks):
        volumes.append(_water_l(course, known_at, known_l, days, float(temp_c.mean()), float(rh.mean())))
    top_up_at = None
    if course.kind == StayKind.HOLD:
        due = top_up_due(
            known_l,
            temp_c.mean(),
            rh.mean(),
            course.capacity_l,
            course.area_m2,
            course.stave_mm,
            at_fraction=HOLD_TOP_UP_FRACTION,
        )
        days_left = float(due.middle_days)
        if days_left <= LONGEST_DAYS:
            top_up_at = instant_text(known_at + timedelta(days=days_left))
    return _Run(
        course, known_at, Bands(near, volumes[0], None), Bands(weeks, volumes[1], None), guessed, top_up_at
    )


def _water_l(
    course: Course, known_at: datetime, known_l: float, days: Numbers, temp_c: float, rh: float
) -> Numbers:
    """Returns the water left some days after it was known, less what a curing's dry wood drinks meanwhile."""
    level = water_level_now(known_l, days, temp_c, rh, course.capacity_l, course.area_m2, course.stave_mm)
    volume = np.stack([level.volume_low_l, level.volume_mid_l, level.volume_high_l], axis=-1)
    if course.kind == StayKind.CURING:
        before = (known_at - course.started_at).total_seconds() / SECONDS_A_DAY
        longest = np.minimum(days + before, LONGEST_DAYS)
        drunk = soaked_l(longest, course.area_m2, course.stave_mm, WoodState.DRY) - soaked_l(
            before, course.area_m2, course.stave_mm, WoodState.DRY
        )
        # The wood cannot drink what is not there.
        volume = np.maximum(volume - np.asarray(drunk)[:, None], 0.0)
    return volume


def _known_level(course: Course, now: datetime) -> tuple[datetime, float]:
    """Returns the last instant at which the water's level is known, and the level."""
    at, volume_l = course.started_at, course.volume_l
    steps = sorted(
        [(when, level, False) for when, level in course.known]
        + [(event.at, event.volume_l, True) for event in course.events if event.volume_l > 0],
        key=lambda step: step[0],
    )
    for when, litres, is_top_up in steps:
        if when < at or when > now:
            continue
        if not is_top_up:
            at, volume_l = when, min(litres, course.capacity_l)
            continue
        if course.kind == StayKind.CURING:
            # A curing is topped up to the brim; what was poured in is what had gone.
            at, volume_l = when, course.capacity_l
            continue
        days = (when - at).total_seconds() / SECONDS_A_DAY
        temp_c, rh, _ = course.air.daily(at, int(days) + 1, now)
        left = _water_l(course, at, volume_l, np.array([days]), float(temp_c.mean()), float(rh.mean()))[0, 1]
        at, volume_l = when, min(float(left) + litres, course.capacity_l)
    return at, volume_l


def _levels(runs: Sequence[_Run], volumes: Sequence[Numbers]) -> list[Numbers]:
    """Returns the height of the level for each volume; barrels of one profile are solved together."""
    found: list[Numbers] = [np.empty(0)] * len(runs)
    by_profile: defaultdict[str, list[int]] = defaultdict(list)
    for number, run in enumerate(runs):
        by_profile[run.course.shape.profile].append(number)
    for profile, numbers in by_profile.items():
        shares = [np.clip(volumes[n] / runs[n].course.capacity_l, 0.0, 1.0).ravel() for n in numbers]
        ratios = [
            np.full(len(share), _ratio(runs[n].course.shape))
            for n, share in zip(numbers, shares, strict=True)
        ]
        stretch = [
            np.full(len(share), _stretch(runs[n].course.shape))
            for n, share in zip(numbers, shares, strict=True)
        ]
        level = np.asarray(
            level_fraction(np.concatenate(shares), np.concatenate(ratios), np.concatenate(stretch), profile)
        )
        ends = np.cumsum([len(share) for share in shares])[:-1]
        for number, part in zip(numbers, np.split(level, ends), strict=True):
            found[number] = part.reshape(volumes[number].shape)
    return found


def _ratio(shape: BarrelShape) -> float:
    return shape.head_diameter_cm / shape.bilge_diameter_cm


def _stretch(shape: BarrelShape) -> float:
    return shape.length_cm / shape.bilge_diameter_cm


def _answer(run: _Run, near_level: Numbers, curve_level: Numbers) -> Answer:
    near = _laid(run.start, 1.0, run.near, near_level)
    near |= {
        "added_l": round(run.course.added_l, 4),
        "sampled_l": round(run.course.sampled_l, 4),
        "top_up_at": run.top_up_at,
    }
    return Answer(near, _laid(run.start, float(WEEK), run.curve, curve_level), run.guessed)


def _laid(start: datetime, step_days: float, bands: Bands, level: Numbers) -> dict[str, Any]:
    return {
        "from": instant_text(start + timedelta(days=float(bands.days[0]))),
        "step_days": step_days,
        "volume_l": np.round(bands.volume_l, 4).tolist(),
        "abv_pct": None if bands.abv_pct is None else np.round(bands.abv_pct, 3).tolist(),
        "level": np.round(level, 4).tolist(),
    }
