"""The demo's blind flights: one whose names are told, and one that still stands on the table.

Its numbers stand in the story's file, so that they are the same at every loading.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from typing import Any
from uuid import UUID

from staveward.demo.story import Story
from staveward.models import Barrel, Person

# A glass and its pause.
GLASS_TAKES = timedelta(minutes=4)


def flights_tell(
    story: Story, plan: list[dict[str, Any]], people: Mapping[str, Person], barrels: Mapping[str, Barrel]
) -> None:
    """Tells each flight: how it was poured, what was scored of it in which order, and how it was closed."""
    for one in plan:
        _flight_tell(story, one, people, barrels)


def _flight_tell(
    story: Story, one: dict[str, Any], people: Mapping[str, Person], barrels: Mapping[str, Barrel]
) -> None:
    takes = GLASS_TAKES * len(one["glasses"])
    # The evening of one that is on the table has begun, whatever the hour of loading.
    begun_at = min(story.at(-one["days_ago"], one["hour"]), story.now - takes - timedelta(hours=1))
    fills: dict[str, UUID] = {
        key: barrels[key].stays.filter(kind="fill", ended_at__isnull=True).get().pk
        for key in dict.fromkeys(one["glasses"].values())
    }
    flight = story.tell(
        "flights",
        one["pourer"],
        begun_at,
        fills=list(fills.values()),
        tasters=[people[who].pk for who in one["tasters"]],
        sample_ml=float(one["sample_ml"]),
        glasses=[{"code": code, "fill": fills[key]} for code, key in one["glasses"].items()],
    )
    for who, scores in one["scores"].items():
        for number, (code, liking) in enumerate(scores.items(), start=1):
            tasted_at = begun_at + number * GLASS_TAKES
            story.tell(
                "blind-tastings",
                who,
                tasted_at,
                flight=flight,
                code=code,
                tasted_on=tasted_at.astimezone(story.zone).date(),
                liking=float(liking),
            )
    if "closed_after_h" in one:
        closed_at = begun_at + timedelta(hours=one["closed_after_h"])
        story.tell("flight-closings", one["pourer"], closed_at, flight=flight)
