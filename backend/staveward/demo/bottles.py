"""What became of the demo's decants: bottled a day later and shared out; the newest still waits in its vessel.

No chance is used here, so that the story before it stays as it was.
"""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from staveward.demo.story import Story
from staveward.services.bottlings import bottle_id

BOTTLE_ML = 500
LOSS_ML = 20
# The bottle that wants drinking: opened long ago, with more air than spirit in it.
OPENED_DAYS_AGO, LEFT_ML = 75, 120


@dataclass(frozen=True)
class Decanted:
    """One decant of the story: its key, its day and the litres that came out."""

    act: UUID
    day: int
    volume_l: float


def bottles_tell(story: Story, decants: list[Decanted]) -> None:
    """Tells the bottlings, and of one bottle that it was opened and mostly drunk."""
    in_order = sorted(decants, key=lambda one: (one.day, str(one.act)))
    bottled: list[UUID] = []
    for one in in_order[:-1]:
        left_ml = round(1000 * one.volume_l) - LOSS_ML
        count = left_ml // BOTTLE_ML
        if count < 1:
            continue
        bottled.append(
            story.tell(
                "bottlings",
                "alder",
                story.at(one.day + 1, 17.0),
                vessel=one.act,
                bottles=[{"size_ml": BOTTLE_ML, "fill_ml": BOTTLE_ML, "count": count}],
                loss_ml=LOSS_ML,
                heel_ml=left_ml - count * BOTTLE_ML,
            )
        )
    if bottled:
        bottle = bottle_id(bottled[0], 1)
        for change, level_ml in (("opened", BOTTLE_ML), ("level", LEFT_ML)):
            story.tell(
                "bottle-changes",
                "alder",
                story.at(-OPENED_DAYS_AGO, 20.0 if change == "opened" else 22.0),
                bottle=bottle,
                change=change,
                level_ml=level_ml,
            )
