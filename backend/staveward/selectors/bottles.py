"""The bottle ledger: who holds which bottle, how full it is, and until when it is at its best.

A private fill's bottles are known to its sharers, to whoever holds one, and to the keepers; all others to the club.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Count, Exists, F, OuterRef, Q, QuerySet

from staveward.models import Bottle, BottleChange, Club, FillPart, Person, VesselDraw
from staveward.science.bottles import keeping_days
from staveward.science.vocabulary import Family, IngredientKind
from staveward.selectors.authority import permits
from staveward.selectors.care_lines import club_lines
from staveward.selectors.shapes import date_text, instant_text, key_text

# What is done with liquid that has left the wood; whose it is follows from the vessel, not from the barrel's fill.
FROM_GLASS = frozenset({"bottlings", "blends", "discards", "bottle-changes"})
# What makes a bottle one to keep cold: a wine, or a mix that was built on one.
WINE_FAMILIES = frozenset({Family.WINE.value})
WINE_KINDS = (
    IngredientKind.WINE.value,
    IngredientKind.FORTIFIED_WINE.value,
    IngredientKind.AROMATISED_WINE.value,
)


def bottle_queryset(club: Club, reader: Person) -> QuerySet[Bottle]:
    """Returns the bottles a reader may know of, newest bottling first."""
    bottles = Bottle.objects.for_club(club).filter(
        bottling__act__is_head=True, bottling__act__is_void=False, bottling__vessel__stands=True
    )
    if not permits(reader, "see_private"):
        shared = Q(bottling__vessel_id__in=_shared_vessels(reader))
        bottles = bottles.filter(Q(bottling__vessel__is_private=False) | Q(holder=reader) | shared)
    return (
        bottles.select_related("bottling__act", "bottling__vessel")
        .annotate(
            made=Count("bottling__bottles"),
            bottled_at=F("bottling__act__ordered_at"),
            has_wine=Exists(
                FillPart.objects.filter(fill_id=OuterRef("bottling__vessel__fill_id"), kind__in=WINE_KINDS)
            ),
        )
        .order_by("-bottled_at", "number", "id")
    )


def _shared_vessels(reader: Person) -> QuerySet[Any]:
    return VesselDraw.objects.filter(vessel__shares__person=reader).values("vessel_id")


def bottle_rows(bottles: Iterable[Bottle], club: Club) -> list[dict[str, Any]]:
    """Returns bottles as the ledger shows them; the number of queries does not depend on how many."""
    zone = ZoneInfo(club.timezone)
    before = timedelta(hours=club_lines(club)["bottle.by"].first_hours)
    return [_row(bottle, zone, before) for bottle in bottles]


def _row(bottle: Bottle, zone: ZoneInfo, before: timedelta) -> dict[str, Any]:
    bottling, vessel = bottle.bottling, bottle.bottling.vessel
    abv_pct = bottling.abv_pct if bottling.abv_pct is not None else vessel.abv_pct
    best_before, is_cold = None, False
    if bottle.ended_at is None and abv_pct is not None:
        gap = max(0.0, 1.0 - bottle.level_ml / bottle.size_ml)
        is_wine = vessel.family in WINE_FAMILIES or bool(getattr(bottle, "has_wine", False))
        keeping = keeping_days(gap, abv_pct, is_wine_based=is_wine)
        best_before = (bottle.air_at + timedelta(days=keeping.days)).astimezone(zone).date()
        is_cold = keeping.is_kept_cold
    return {
        "id": str(bottle.pk),
        "tag_code": bottle.tag_code,
        "number": bottle.number,
        "made": getattr(bottle, "made", None),
        "bottling": str(bottling.pk),
        "vessel": str(vessel.pk),
        "barrel": key_text(vessel.barrel_id),
        "fill": key_text(vessel.fill_id),
        "name": vessel.name,
        "spirit": vessel.spirit,
        "family": vessel.family,
        "allergens": list(vessel.allergens),
        "is_private": vessel.is_private,
        "abv_pct": abv_pct,
        "abv_basis": vessel.abv_basis if bottling.abv_pct is None else "measured",
        "size_ml": bottle.size_ml,
        "fill_ml": bottle.fill_ml,
        "level_ml": bottle.level_ml,
        "holder": key_text(bottle.holder_id),
        "bottled_at": instant_text(bottling.act.happened_at),
        "opened_at": instant_text(bottle.opened_at),
        "ended_at": instant_text(bottle.ended_at),
        "end": bottle.end,
        "best_before": date_text(best_before),
        # From here on it is drunk before the others: as long before as the club's care schedule says.
        "drink_from": date_text(None if best_before is None else best_before + before),
        "is_kept_cold": is_cold,
    }


def division_rows(
    bottlings: Iterable[Any], losers: Mapping[UUID, Collection[UUID | None]]
) -> list[dict[str, Any]]:
    """Returns how each bottling was divided, and what it cost each; the shares must be fetched already.

    ``losers`` names who lost a tie in which of them.
    """
    return [
        {
            "act": str(bottling.pk),
            "happened_at": instant_text(bottling.act.happened_at),
            "heel_ml": bottling.heel_ml,
            "loss_ml": bottling.loss_ml,
            "cost_minor": bottling.cost_minor,
            "is_drawn_apart": "drawn_apart" in bottling.act.flags,
            "shares": [
                {
                    "person": key_text(share.person_id),
                    "bottles": share.bottles,
                    "heel_ml": share.heel_ml,
                    "received_ml": share.received_ml,
                    "fair_ml": share.fair_ml,
                    "cost_minor": share.cost_minor,
                    "lost_tie": share.person_id in losers.get(bottling.pk, ()),
                }
                for share in bottling.shares.all()
            ],
        }
        for bottling in bottlings
    ]


def glass_closed(ids: Sequence[UUID], reader: Person) -> frozenset[UUID]:
    """Returns which entries about vessels and bottles tell of private liquid that is not the reader's."""
    if not ids or permits(reader, "see_private"):
        return frozenset()
    private = {
        *VesselDraw.objects.filter(act_id__in=ids, vessel__is_private=True).values_list("act_id", flat=True),
        *BottleChange.objects.filter(act_id__in=ids, bottle__bottling__vessel__is_private=True).values_list(
            "act_id", flat=True
        ),
    }
    if not private:
        return frozenset()
    own = {
        *VesselDraw.objects.filter(act_id__in=private, vessel__shares__person=reader).values_list(
            "act_id", flat=True
        ),
        *BottleChange.objects.filter(act_id__in=private)
        .filter(Q(bottle__bottling__vessel__shares__person=reader) | Q(bottle__holder=reader))
        .values_list("act_id", flat=True),
    }
    return frozenset(private - own)
