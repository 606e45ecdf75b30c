"""Blind flights as their people may see them: codes while it lasts, names once it is open.

Which barrel stands behind which code is the pourer's alone until then, so a row says neither key nor score of others
to anybody else. The two scores of a doubled fill are their taster's own; others read their mean.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import Any
from uuid import UUID

from django.db.models import Prefetch, Q, QuerySet

from staveward.models import BlindTasting, Club, Flight, FlightGlass, Person
from staveward.science.agreement import LEAST_DUPLICATES, own_noise
from staveward.selectors.authority import permits
from staveward.selectors.shapes import instant_text

_SCORES = (
    BlindTasting.objects.filter(act__is_head=True).select_related("act").order_by("act__ordered_at", "act_id")
)


def flight_queryset(club: Club, reader: Person) -> QuerySet[Flight]:
    """Returns the flights a reader may know of, newest first: those they pour or taste in; keepers all."""
    flights = Flight.objects.for_club(club)
    if not permits(reader, "flights"):
        return flights.none()
    if not permits(reader, "close_flight"):
        tasting = Flight.objects.filter(tasters__person=reader).values("pk")
        flights = flights.filter(Q(pourer=reader) | Q(pk__in=tasting))
    return flights.prefetch_related(
        "tasters", Prefetch("glasses", FlightGlass.objects.prefetch_related(Prefetch("scores", _SCORES)))
    ).order_by("-poured_at", "-id")


def flight_rows(flights: Iterable[Flight], club: Club, reader: Person) -> list[dict[str, Any]]:
    """Returns flights as the reader may see them; the number of queries does not depend on how many."""
    page = list(flights)
    whose = {reader.pk}
    if permits(reader, "close_flight"):
        whose |= {taster.person_id for flight in page for taster in flight.tasters.all()}
    noise = _noise(club, whose) if any(flight.opened_at for flight in page) else {}
    return [_row(flight, reader, noise) for flight in page]


def scores_standing(glass: FlightGlass) -> dict[UUID, BlindTasting]:
    """Returns the score of a glass that each taster gave last."""
    return {score.taster_id: score for score in glass.scores.all()}


def _row(flight: Flight, reader: Person, noise: dict[UUID, tuple[int, float | None]]) -> dict[str, Any]:
    is_pourer = flight.pourer_id == reader.pk
    is_open = flight.opened_at is not None
    glasses = list(flight.glasses.all())
    scores = {glass.code: scores_standing(glass) for glass in glasses}
    tasters = list(flight.tasters.all())
    return {
        "id": str(flight.pk),
        "pourer": str(flight.pourer_id),
        "poured_at": instant_text(flight.poured_at),
        "sample_ml": flight.sample_ml,
        "ethanol_ml": flight.ethanol_ml,
        "allergens": list(flight.allergens),
        "note": flight.note,
        "opened_at": instant_text(flight.opened_at),
        "opened_by": flight.opened_by or None,
        "glasses": len(glasses),
        "tasters": [
            {
                "person": str(taster.person_id),
                "scored": sum(taster.person_id in given for given in scores.values()),
                "codes": list(taster.codes) if is_pourer or taster.person_id == reader.pk else None,
            }
            for taster in tasters
        ],
        "mine": [
            {
                "code": code,
                "act": str(given[reader.pk].act_id),
                "liking": given[reader.pk].liking,
                "oak": given[reader.pk].act.body.get("oak"),
            }
            for code, given in scores.items()
            if reader.pk in given
        ],
        "key": [
            {"code": glass.code, "barrel": str(glass.barrel_id), "fill": str(glass.fill_id)}
            for glass in glasses
        ]
        if is_pourer or is_open
        else None,
        "scores": _shown(glasses) if is_open else None,
        "noise": [
            {"person": str(taster.person_id), "pairs": pairs, "sd": sd}
            for taster in tasters
            if is_open and taster.person_id in noise
            for pairs, sd in (noise[taster.person_id],)
        ],
    }


def _shown(glasses: Sequence[FlightGlass]) -> list[dict[str, Any]]:
    """Returns what each taster gave each fill; of a fill that stood there twice, the mean."""
    given: defaultdict[tuple[UUID, UUID, UUID], list[float]] = defaultdict(list)
    for glass in glasses:
        for taster_id, score in scores_standing(glass).items():
            given[glass.barrel_id, glass.fill_id, taster_id].append(score.liking)
    return [
        {
            "person": str(taster_id),
            "barrel": str(barrel_id),
            "fill": str(fill_id),
            "liking": round(sum(likings) / len(likings), 2),
        }
        for (barrel_id, fill_id, taster_id), likings in given.items()
    ]


def _noise(club: Club, tasters: Iterable[UUID]) -> dict[UUID, tuple[int, float | None]]:
    """Returns how many hidden duplicates each of these scored twice, and from five on their own noise."""
    twice: defaultdict[tuple[UUID, UUID, UUID], dict[int, float]] = defaultdict(dict)
    rows = (
        BlindTasting.objects.filter(
            glass__flight__club=club,
            glass__flight__opened_at__isnull=False,
            glass__is_doubled=True,
            taster__in=set(tasters),
            act__is_head=True,
        )
        .order_by("act__ordered_at", "act_id")
        .values_list("taster_id", "glass__flight_id", "glass__fill_id", "glass_id", "liking")
    )
    for taster_id, flight_id, fill_id, glass_id, liking in rows:
        twice[taster_id, flight_id, fill_id][glass_id] = liking
    pairs: defaultdict[UUID, list[tuple[float, float]]] = defaultdict(list)
    for (taster_id, _, _), given in twice.items():
        if len(given) == 2:
            one, other = given.values()
            pairs[taster_id].append((one, other))
    return {taster_id: (len(both), _sd(both)) for taster_id, both in pairs.items()}


def _sd(pairs: Sequence[tuple[float, float]]) -> float | None:
    if len(pairs) < LEAST_DUPLICATES:
        return None
    return round(own_noise([one for one, _ in pairs], [other for _, other in pairs]), 2)
