"""Vessels as their people read them: what each holds, whose it is, and what was taken out."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.db.models import Exists, OuterRef, Prefetch, Q, QuerySet

from staveward.models import Bottling, Club, FillPart, Person, Vessel, VesselDraw
from staveward.selectors.authority import permits
from staveward.selectors.bottles import WINE_FAMILIES, WINE_KINDS, division_rows
from staveward.selectors.forecasts import as_range, forecast_at
from staveward.selectors.questions import Scope
from staveward.selectors.shapes import Range, instant_text, key_text
from staveward.selectors.stays import barrels_owned_by
from staveward.selectors.ties import Sharing, Ties, ties_of


def vessel_queryset(club: Club, reader: Person) -> QuerySet[Vessel]:
    """Returns the vessels a reader may know of: all for keepers, else one's own liquid and one's own barrel's."""
    vessels = Vessel.objects.for_club(club).filter(stands=True)
    if not permits(reader, "vessels"):
        owned = barrels_owned_by(reader.pk, Scope(club.pk))
        vessels = vessels.filter(
            Q(pk__in=Vessel.objects.filter(shares__person=reader).values("pk")) | Q(barrel_id__in=owned)
        )
    return (
        vessels.select_related("act__stay__forecast")
        .annotate(has_wine=Exists(FillPart.objects.filter(fill_id=OuterRef("fill_id"), kind__in=WINE_KINDS)))
        .prefetch_related(
            "shares",
            Prefetch(
                "bottlings",
                Bottling.objects.filter(act__is_head=True, act__is_void=False)
                .select_related("act")
                .prefetch_related("shares")
                .order_by("act__ordered_at", "act_id"),
            ),
            Prefetch(
                "draws",
                VesselDraw.objects.filter(act__is_head=True, act__is_void=False)
                .select_related("act")
                .order_by("act__ordered_at", "act_id"),
            ),
        )
        .order_by("-made_at", "-id")
    )


def vessel_rows(vessels: Iterable[Vessel]) -> list[dict[str, Any]]:
    """Returns vessels with what is left in them; the number of queries does not depend on how many."""
    known = list(vessels)
    if not known:
        return []
    ties = ties_of(known)
    return [_row(vessel, ties.sharings[vessel.pk], ties) for vessel in known]


def vessel_left_l(volume_l: float, draws: Iterable[VesselDraw]) -> float:
    """Returns what is left, never below nothing; to the tenth of a millilitre, so that no sum shows its rounding."""
    return round(max(0.0, volume_l - sum(draw.volume_l for draw in draws)), 4)


def _expected_l(vessel: Vessel) -> Range | None:
    """Returns what the barrel's last forecast said of the moment it was decanted, to stand beside what was measured."""
    stay = vessel.act.stay
    if vessel.act.collection != "decants" or stay is None or stay.forecast is None:
        return None
    found = forecast_at(stay.forecast.near, vessel.made_at)
    return None if found is None else as_range(found.volume_l, 2)


def _row(vessel: Vessel, sharing: Sharing, ties: Ties) -> dict[str, Any]:
    draws = list(vessel.draws.all())
    return {
        "id": str(vessel.pk),
        "name": vessel.name,
        "made_by": vessel.act.collection,
        "made_at": instant_text(vessel.made_at),
        "barrel": key_text(vessel.barrel_id),
        "fill": key_text(vessel.fill_id),
        "volume_l": vessel.volume_l,
        "expected_l": _expected_l(vessel),
        "left_l": vessel_left_l(vessel.volume_l, draws),
        "abv_pct": vessel.abv_pct,
        "abv_basis": vessel.abv_basis,
        "sugar_g_l": vessel.sugar_g_l,
        "spirit": vessel.spirit,
        "family": vessel.family,
        "allergens": list(vessel.allergens),
        "is_private": vessel.is_private,
        "is_wine_based": vessel.family in WINE_FAMILIES or bool(getattr(vessel, "has_wine", False)),
        "cost_minor": vessel.cost_minor,
        "club_weight": vessel.club_weight,
        "shares": [{"person": str(share.person_id), "weight": share.weight} for share in vessel.shares.all()],
        "ties": [key_text(person_id) for person_id in sharing.winners_first],
        "ties_lost": [sharing.owed[row] for row in sharing.tie_order],
        "draws": [
            {
                "act": str(draw.act_id),
                "collection": draw.act.collection,
                "happened_at": instant_text(draw.act.happened_at),
                "volume_l": draw.volume_l,
                # Back into wood: whose wood that is stands in nobody's way to see.
                "into": key_text(draw.act.barrel_id if draw.act.collection == "fills" else None),
            }
            for draw in draws
        ],
        "bottlings": division_rows(vessel.bottlings.all(), ties.losers),
    }
