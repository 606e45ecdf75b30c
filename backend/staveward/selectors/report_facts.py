"""What the report reads of a whole club, in the leanest form the database gives it.

A thousand barrels have ten thousand stays, most of which go straight back out: their keys and instants are asked for
as text, and only the few that are reckoned with (the last stay of a barrel, its care) become instants.
"""

from __future__ import annotations

from collections import defaultdict
from datetime import datetime
from typing import Any, NamedTuple
from uuid import UUID

from django.db.models import Case, F, FilteredRelation, JSONField, Q, QuerySet, When

from staveward.models import Barrel, CareMark, Placement, Stay
from staveward.selectors.forecasts import TODAY_REACH
from staveward.selectors.texts import as_text, instant_of


class Register(NamedTuple):
    """The columns of a barrel that the report needs; keys and instants as text."""

    id: str
    name: str
    tag_code: str
    place_id: str
    registered_at: str
    adopted_wood_used_low: float
    adopted_wood_used_high: float
    adopted_wood_kept: float
    nominal_l: float
    weighed_capacity_l: float | None
    profile: str
    bilge_diameter_cm: float | None
    head_diameter_cm: float | None
    length_cm: float | None
    outside_bilge_diameter_cm: float | None
    outside_head_diameter_cm: float | None
    outside_length_cm: float | None
    stave_mm: float | None
    head_mm: float | None
    chime_mm: float | None


class Period(NamedTuple):
    """One stay of a barrel, with what its fill was; keys and instants as text."""

    barrel: str
    id: str
    kind: str
    started_at: str
    ended_at: str | None
    outcome: str
    wood_before_low: float
    wood_before_typical: float
    wood_before_high: float
    wood_after_low: float
    wood_after_typical: float
    wood_after_high: float
    sample_used_ml: float
    name: str | None
    spirit: str | None
    volume_l: float | None
    abv_pct: float | None
    planned_days: int | None


class Open(NamedTuple):
    """What is known of a stay that is going on besides its period."""

    near: dict[str, Any] | None
    hold_l: float | None
    curing_l: float | None
    is_solution: bool | None

    @property
    def water_l(self) -> float | None:
        """Returns how much water it began with."""
        return self.curing_l if self.hold_l is None else self.hold_l


# Of a stay that ended between two queries of one report.
NOTHING_KNOWN = Open(None, None, None, None)


def registers(barrels: QuerySet[Barrel]) -> list[Register]:
    """Returns the barrels asked for, by name."""
    columns: list[Any] = [
        as_text(name) if name in ("id", "place_id", "registered_at") else name for name in Register._fields
    ]
    return [Register._make(row) for row in barrels.order_by("name", "id").values_list(*columns)]


def periods(club_id: UUID) -> dict[str, list[Period]]:
    """Returns the stays of every barrel of a club, in order."""
    found: defaultdict[str, list[Period]] = defaultdict(list)
    rows = (
        Stay.objects.filter(club_id=club_id)
        .annotate(opening=_opening(collection="fills"))
        .order_by("started_at", "id")
        .values_list(
            as_text("barrel_id"),
            as_text("id"),
            "kind",
            as_text("started_at"),
            as_text("ended_at"),
            *Period._fields[5:13],
            *(f"opening__fill__{name}" for name in Period._fields[13:]),
        )
    )
    for row in rows:
        found[row[0]].append(Period._make(row))
    return dict(found)


def opens(club_id: UUID, now: datetime) -> dict[str, Open]:
    """Returns what is going on in a club's barrels by its stay, with the part of the forecast that is about today."""
    near = Case(
        When(
            forecast__made_at__gte=now - TODAY_REACH,
            forecast__today__isnull=False,
            then=F("forecast__today"),
        ),
        default=F("forecast__near"),
        output_field=JSONField(),
    )
    rows = (
        Stay.objects.filter(club_id=club_id, ended_at__isnull=True)
        .annotate(opening=_opening(collection__in=("fills", "holds", "curings")))
        .order_by()
        .values_list(
            as_text("id"),
            near,
            "opening__hold__water_l",
            "opening__curing__water_l",
            "opening__hold__is_solution",
        )
    )
    return {row[0]: Open._make(row[1:]) for row in rows}


def care_marks(club_id: UUID) -> dict[str, dict[str, datetime]]:
    """Returns when each task of care was last done in each open stay."""
    found: defaultdict[str, dict[str, datetime]] = defaultdict(dict)
    rows = CareMark.objects.filter(stay__club_id=club_id, stay__ended_at__isnull=True)
    for stay, task, last_at in rows.values_list(as_text("stay_id"), "task", as_text("last_at")):
        found[stay][task] = instant_of(last_at)
    return dict(found)


def _opening(**which: Any) -> FilteredRelation:
    """Returns the act that opened a stay, in the version that stands."""
    standing = {"is_head": True, "is_void": False, "placement": Placement.PLACED, **which}
    return FilteredRelation(
        "acts", condition=Q(**{f"acts__{name}": value for name, value in standing.items()})
    )
