"""The climate of the demo's rooms: a year's swing, some days' weather, and what was read of it once a week."""

from __future__ import annotations

from typing import Any
from uuid import UUID

import numpy as np

from staveward.demo.story import Story

FIRST_DAY = -440
WARMEST_DAY_OF_YEAR = 205
DAYS_A_YEAR = 365.25


class Weather:
    """Daily mean temperature and humidity of one room, from the story's first day to some weeks ahead."""

    def __init__(self, story: Story, place: dict[str, Any]) -> None:
        days = np.arange(FIRST_DAY, 60)
        of_year = (story.today.timetuple().tm_yday + days - WARMEST_DAY_OF_YEAR) / DAYS_A_YEAR
        drift = np.convolve(story.chance.standard_normal(days.size + 6), np.ones(7) / np.sqrt(7.0), "valid")
        self.temp_c = place["temp_c"] + place["temp_swing_c"] * np.cos(2 * np.pi * of_year) + 0.6 * drift
        self.rh = np.clip(place["rh"] - 0.04 * np.cos(2 * np.pi * of_year) - 0.015 * drift, 0.35, 0.95)

    def between(self, start: int, days: int) -> tuple[np.ndarray[Any, Any], np.ndarray[Any, Any]]:
        """Returns the days from ``start`` on."""
        first = start - FIRST_DAY
        return self.temp_c[first : first + days], self.rh[first : first + days]

    def tell_readings(self, story: Story, place: UUID, author: str, start: int) -> None:
        """Reads the room once a week since it was opened."""
        for day in range(start, 0, 7):
            story.tell(
                "readings",
                author,
                story.at(day, 9.0),
                kind="climate",
                place=place,
                temp_c=round(story.near(self.temp_c[day - FIRST_DAY], 0.2), 1),
                rh=round(float(np.clip(story.near(self.rh[day - FIRST_DAY], 0.01), 0.3, 0.98)), 2),
            )
