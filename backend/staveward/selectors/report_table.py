"""The cellar report as a table for a spreadsheet: one line a barrel, one figure a cell, units in the head."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any
from uuid import UUID

from staveward.models import Club, Person, Place
from staveward.science.vocabulary import SpiritKind

Cell = str | float | int | None

_FIRST = (
    "barrel",
    "tag",
    "place",
    "capacity_l",
    "state",
    "since",
    "holds",
    "spirit",
    "days",
    "start_volume_l",
    "volume_low_l",
    "volume_mid_l",
    "volume_high_l",
    "start_abv_pct",
    "abv_low_pct",
    "abv_mid_pct",
    "abv_high_pct",
    "loss_low_pct",
    "loss_high_pct",
    "wood_used_low",
    "wood_used_typical",
    "wood_used_high",
)
_LAST = (
    "water_changed_at",
    "days_since_water_changed",
    "level_low",
    "level_mid",
    "level_high",
    "top_up_on",
    "overdue",
    "troubles",
    "next_fill_from",
    "next_fill_to",
    "next_fill_by",
    "reservations",
)
HEAD: tuple[str, ...] = (
    *_FIRST,
    *(f"{kind.value}_fills_left_{end}" for kind in SpiritKind for end in ("low", "high")),
    *_LAST,
)


def report_table(club: Club, rows: list[dict[str, Any]]) -> Iterator[tuple[Cell, ...]]:
    """Yields the head and one line for each row of a report."""
    places = {str(key): name for key, name in Place.objects.for_club(club).values_list("id", "name")}
    booked = {UUID(row["next_reservation"]["person"]) for row in rows if row["next_reservation"] is not None}
    people = {str(one.pk): one.shown_name for one in Person.objects.for_club(club).filter(pk__in=booked)}
    yield HEAD
    for row in rows:
        yield _line(row, places, people)


def _line(row: Mapping[str, Any], places: Mapping[str, str], people: Mapping[str, str]) -> tuple[Cell, ...]:
    water = row["water"] or {}
    booked = row["next_reservation"] or {}
    loss = row["loss_pct"] or {}
    return (
        row["name"],
        row["tag_code"],
        places.get(row["place"], ""),
        row["capacity_l"],
        row["state"],
        row["state_since"],
        row["holds_now"],
        row["spirit"],
        row["days"],
        row["start_volume_l"],
        *_band(row["volume_l"]),
        row["start_abv_pct"],
        *_band(row["abv_pct"]),
        loss.get("low"),
        loss.get("high"),
        row["wood_used"]["low"],
        row["wood_used"]["typical"],
        row["wood_used"]["high"],
        *(end for kind in SpiritKind for end in row["fills_left"][kind.value]),
        water.get("changed_at"),
        water.get("days_since_change"),
        *_band(row["level"]),
        water.get("top_up_on"),
        "; ".join(f"{task['task']} due {task['due_at']}" for task in row["overdue"]),
        "; ".join(row["troubles"]),
        booked.get("starts_on"),
        booked.get("ends_on"),
        people.get(booked.get("person", "")),
        row["wanted_by"],
    )


def _band(band: Mapping[str, float] | None) -> tuple[Cell, Cell, Cell]:
    return (None, None, None) if band is None else (band["low"], band["mid"], band["high"])
