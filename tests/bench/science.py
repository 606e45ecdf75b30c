"""The science against a plain way to do the same: one call for many against one at a time.

A peer that would run for minutes is run on a part and scaled up; the line says how large the part was.
"""

from __future__ import annotations

import random
import statistics
import time
from collections.abc import Callable, Iterator

import numpy as np

from staveward.science.ageing import Weighing, calibrate, simulate
from staveward.science.alcoholometry import density_kg_m3
from staveward.science.club_course import club_course
from staveward.science.evaporation import climate_factors, usual_stave_mm, usual_wood_area_m2
from staveward.science.mass_balance import EMPTY_AT_FRACTION, State, start_of, volume_of_l
from staveward.science.mass_balance import _rates as rates_of
from staveward.science.season import SeasonBarrel, SeasonRequest, SeasonRow, season_plan
from tests.bench.rounds import interleaved

DAYS = 365
BARRELS = 1000
PEER_BARRELS = 2
LEAK_G_PER_DAY = 0.3
SLOTS = 26


def lines() -> Iterator[str]:
    """Gives one line a comparison."""
    yield density()
    yield course()
    yield posterior()
    for barrels, requests in ((30, 60), (200, 400)):
        yield season(barrels, requests)


def seconds(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def density() -> str:
    """A million densities at one temperature against a bare polynomial of the same degree."""
    share = np.random.default_rng(1).random(1_000_000)
    coefficients = np.random.default_rng(2).random(12)

    def bare() -> object:
        total = np.zeros_like(share)
        for one in coefficients:
            total = total * share + one
        return total

    pair = interleaved(lambda: density_kg_m3(share, 20.0), bare)
    return pair.line("Density at a million points against a bare polynomial of degree 11", 3.0)


def course() -> str:
    """A year of daily climate for 1,000 barrels against scipy's solver, barrel by barrel and day by day."""
    draw = np.random.default_rng(3)
    volume = draw.uniform(1.0, 20.0, BARRELS)
    area, stave = usual_wood_area_m2(volume), usual_stave_mm(volume)
    temp_c = 15.0 + 5.0 * np.sin(np.arange(DAYS) / 58.0) + draw.normal(0.0, 1.0, (BARRELS, DAYS))
    humid = np.clip(0.6 + draw.normal(0.0, 0.05, (BARRELS, DAYS)), 0.0, 1.0)

    def all_at_once() -> np.ndarray:
        found = club_course(volume, 60.0, DAYS, temp_c, humid, area, stave, leak_g_per_day=LEAK_G_PER_DAY)
        return np.asarray(found.volume_l)

    ours = statistics.median(seconds(all_at_once) for _ in range(3))
    got = all_at_once()[:, -1]
    misses, peer = [], 0.0
    for row in range(PEER_BARRELS):
        start = time.perf_counter()
        last = _by_solver(volume[row], area[row] / stave[row], temp_c[row], humid[row])
        peer += time.perf_counter() - start
        misses.append(abs(last / got[row] - 1.0))
    ratio = peer / PEER_BARRELS * BARRELS / ours
    verdict = "within" if ratio >= 100 else "MISSES"
    return (
        f"{BARRELS:,} barrels x {DAYS} days: {ratio:.0f} times as fast as solve_ivp a barrel, {verdict} the goal of 100"
        f"   [{ours:.2f} s against {peer / PEER_BARRELS * BARRELS:.0f} s, scaled from {PEER_BARRELS} barrels;"
        f" they differ by {max(misses):.0e}]"
    )


def _by_solver(volume_l: float, path: float, temp_c: np.ndarray, humid: np.ndarray) -> float:
    """Gives the last volume of one barrel; the climate is steady within a day, so each day is a run of its own."""
    from scipy.integrate import solve_ivp

    masses = np.array([float(mass) for mass in start_of(volume_l, 60.0, 0.0)])
    floor = EMPTY_AT_FRACTION * masses.sum()
    for day in range(DAYS):
        at = climate_factors(temp_c[day])

        def rate(_: float, now: np.ndarray, at: object = at, rh: float = humid[day]) -> np.ndarray:
            return np.array(rates_of(State(*now), at, rh, path, LEAK_G_PER_DAY))  # type: ignore[arg-type]

        masses = solve_ivp(rate, (0.0, 1.0), masses, rtol=1e-7, atol=1e-6).y[:, -1]
        if masses.sum() <= floor:
            break
    return float(volume_of_l(State(*masses)))


def posterior() -> str:
    """What 20 weighings say of each of 100 barrels, against the same grid run node by node."""
    draw = np.random.default_rng(4)
    days = np.linspace(5.0, 100.0, 20)
    area, stave = float(usual_wood_area_m2(5.0)), float(usual_stave_mm(5.0))
    truth = [simulate(4.75, 60.0, 18.0, 0.6, area, stave, day, k=1.2, leak_g_per_day=0.5) for day in days]
    gross = np.array([float(one.water_g + one.ethanol_g) / 1000.0 + 2.0 for one in truth])
    barrels = [
        [Weighing(day, kg, 0.005) for day, kg in zip(days, gross + draw.normal(0, 0.003, 20), strict=True)]
        for _ in range(100)
    ]

    def learn(weighings: list[Weighing]) -> object:
        return calibrate(4.75, 60.0, 18.0, 0.6, area, stave, 5.0, 120.0, weighings=weighings, tare_kg=2.0)

    ours = seconds(lambda: [learn(one) for one in barrels])
    part = 25
    nodes = draw.uniform(0.5, 2.0, part)
    one_by_one = seconds(
        lambda: [simulate(4.75, 60.0, 18.0, 0.6, area, stave, day, k=k) for k in nodes for day in days]
    )
    peer = one_by_one / part * 61 * 41 * 100
    return (
        f"Posterior of 100 barrels with 20 readings: {ours:.2f} s; the same 61 x 41 grid node by node {peer:.0f} s"
        f" (scaled from {part} nodes), {peer / ours:.0f} times as long"
    )


def season(barrels: int, requests: int) -> str:
    """A made-up club's season, against taking requests by their best value."""
    who, casks, rows = club_of(barrels, requests)
    start = time.perf_counter()
    plan = season_plan(
        who, casks, rows, slots=SLOTS, keeper_jobs_per_slot=max(4, barrels // 6), max_fills_per_member=2
    )
    took = time.perf_counter() - start
    greedy = _by_priority(rows, who, casks, max(4, barrels // 6))
    gap = "no bound" if plan.gap is None else f"gap {100 * plan.gap:.2f} %"
    cut = ", each request's best rows only" if plan.is_cut else ""
    share = 100 * greedy / max(plan.value, 1)
    return (
        f"Season of {barrels} barrels x {requests} requests, {len(rows):,} rows: {took:.1f} s, {gap}{cut},"
        f" value {plan.value:.0f} with {len(plan.rows)} fills; by priority alone {share:.0f} % of it"
    )


def club_of(barrels: int, requests: int) -> tuple[list[SeasonRequest], list[SeasonBarrel], list[SeasonRow]]:
    """Makes a club by chance: nine sizes of barrel, windows of weeks, families that do not all go together."""
    draw = random.Random(barrels)
    families = ["neutral", "spirit", "spirit", "smoke", "wine", "cocktail"]
    sizes = [1, 2, 3, 5, 8, 10, 15, 20, 30]
    size_of = {f"B{row}": draw.choice(sizes) for row in range(barrels)}
    casks = [
        SeasonBarrel(
            code=code,
            fills_left=draw.randint(1, 4),
            families_held=frozenset([draw.choice(families)] if draw.random() < 0.5 else []),
        )
        for code in size_of
    ]
    who, rows = [], []
    for row in range(requests):
        members = frozenset(f"m{draw.randrange(requests)}" for _ in range(draw.choice([1, 1, 2, 3])))
        who.append(SeasonRequest(code=f"R{row}", family=draw.choice(families), members=members))
        wanted, opens = draw.choice(sizes), draw.randrange(SLOTS - 4)
        worth = draw.randint(200, 440)
        for code, size in size_of.items():
            if not wanted <= size <= 1.6 * wanted:
                continue
            fit, duration = draw.randint(40, 100), draw.randint(3, 12)
            for slot in range(opens, min(opens + 8, SLOTS)):
                rows.append(SeasonRow(f"R{row}", code, slot, duration, worth + fit - 2 * (slot - opens)))
    return who, casks, rows


def _by_priority(
    rows: list[SeasonRow], who: list[SeasonRequest], casks: list[SeasonBarrel], jobs: int
) -> float:
    """Gives the value when each request in turn, best first, takes its best row that still stands."""
    taken: list[SeasonRow] = []
    wish = {one.code: one for one in who}
    best: dict[str, list[SeasonRow]] = {}
    for row in sorted(rows, key=lambda row: -row.value):
        best.setdefault(row.request, []).append(row)
    for offered in best.values():
        for row in offered:
            if _stands(row, taken, wish, {one.code: one for one in casks}, jobs):
                taken.append(row)
                break
    return sum(row.value for row in taken)


def _stands(
    row: SeasonRow,
    taken: list[SeasonRow],
    wish: dict[str, SeasonRequest],
    casks: dict[str, SeasonBarrel],
    jobs: int,
) -> bool:
    from staveward.science.planning import carry_values

    values, asked, cask = carry_values(), wish[row.request], casks[row.barrel]
    here = [other for other in taken if other.barrel == row.barrel]
    end = row.slot + row.duration
    if any(other.slot < end and row.slot < other.slot + other.duration for other in here):
        return False
    if len(here) >= cask.fills_left or any(values[held, asked.family] == 0 for held in cask.families_held):
        return False
    for other in here:
        first, second = (other, row) if other.slot < row.slot else (row, other)
        if values[wish[first.request].family, wish[second.request].family] == 0:
            return False
    for slot in (row.slot, end):
        busy = sum((other.slot == slot) + (other.slot + other.duration == slot) for other in taken)
        if slot < SLOTS and busy >= jobs:
            return False
    fills = [member for other in taken for member in wish[other.request].members]
    return all(fills.count(member) < 2 for member in asked.members)


if __name__ == "__main__":
    for line in lines():
        print(line, flush=True)
