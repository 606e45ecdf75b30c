"""The club and its places, as their members see them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from staveward.models import Club, Place
from staveward.science.servings import standard_drink_g, standard_drink_table
from staveward.selectors.care_lines import care_settings

# Whose standard drink a club may count in.
DRINK_COUNTRIES = sorted(standard_drink_table())


def club_today_text(club: Club, now: datetime) -> str:
    """Returns the date of ``now`` on the club's wall, as text."""
    return now.astimezone(ZoneInfo(club.timezone)).date().isoformat()


def club_row(club: Club, now: datetime) -> dict[str, Any]:
    """Returns the club's settings with its care schedule resolved."""
    return {
        "id": str(club.pk),
        "slug": club.slug,
        "version": club.version,
        "name": club.name,
        "timezone": club.timezone,
        "currency": club.currency,
        "drink_country": club.drink_country,
        "drink_g": standard_drink_g(club.drink_country),
        "drink_sizes": [
            {"country": country, "grams": grams} for country, grams in sorted(standard_drink_table().items())
        ],
        "today": club_today_text(club, now),
        "members_may_tend": club.members_may_tend,
        "sharers_may_fill": club.sharers_may_fill,
        "members_may_taste_all": club.members_may_taste_all,
        "pull_by": club.pull_by,
        "sample_budget_pct": club.sample_budget_pct,
        "pencil_days": club.pencil_days,
        "turnaround_days": club.turnaround_days,
        "strict_water": club.strict_water,
        "law": club.law,
        "care": care_settings(club),
    }


def place_queryset(club: Club) -> QuerySet[Place]:
    """Returns the club's places in walking order."""
    return Place.objects.for_club(club)


def place_rows(places: Iterable[Place]) -> list[dict[str, Any]]:
    """Returns places with the climate assumed for them until somebody measures it."""
    return [
        {
            "id": str(place.pk),
            "version": place.version,
            "name": place.name,
            "walking_order": place.walking_order,
            "temp_c": place.temp_c,
            "rh": place.rh,
        }
        for place in places
    ]
