"""A day's work of the clock in a big club: every barrel's forecast made anew, and what to do with each fill."""

from __future__ import annotations

import time
from datetime import UTC, datetime

from staveward.models import Club, Stay, StayKind
from staveward.services.ticks import tick
from tests.bench.rounds import yardstick

# So that a nightly run never meets the morning's walk; ours, no source.
GOAL_S = 300.0


def passed(club: Club) -> str:
    """Returns the line."""
    fills = Stay.objects.filter(club=club, ended_at__isnull=True, kind=StayKind.FILL).count()
    block_ms = 1000 * yardstick()
    start = time.perf_counter()
    report = tick(datetime.now(UTC))
    seconds = time.perf_counter() - start
    # The small club's day may be due as well; it is counted with it.
    assert min(report.forecasts, report.pulls) >= fills, report
    assert not report.failed, report
    verdict = "within" if seconds <= GOAL_S else "MISSES"
    return (
        f"A day of {fills:,} fills: {report.forecasts:,} forecasts and {report.pulls:,} pull forecasts "
        f"in {seconds:.1f} s, {verdict} the goal of {GOAL_S:g} s   [yardstick {block_ms:.0f} ms]"
    )
