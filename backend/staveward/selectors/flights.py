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

from staveward.models import Act, BlindTasting, Club, Flight, FlightGlass, Person
from staveward.selectors.authority import permits
from staveward.selectors.shapes import instant_text, key_text
from staveward.selectors.tasters import taster_own

_SCORES = (
    BlindTasting.objects.filter(act__is_head=True).select_related("act").order_by("act__ordered_at", "act_id")
)


def glasses_with_scores() -> QuerySet[FlightGlass]:
    """Returns glasses with the scores of each that stand, in the order in which they were given."""
    return FlightGlass.objects.prefetch_related(Prefetch("scores", _SCORES))


def flight_queryset(club: Club, reader: Person) -> QuerySet[Flight]:
    """Returns the flights a reader may know of, newest first: those they pour or taste in; keepers all."""
    flights = Flight.objects.for_club(club)
    if not permits(reader, "flights"):
        return flights.none()
    if not permits(reader, "close_flight"):
        tasting = Flight.objects.filter(tasters__person=reader).values("pk")
        flights = flights.filter(Q(pourer=reader) | Q(pk__in=tasting))
    return flights.prefetch_related("tasters", Prefetch("glasses", glasses_with_scores())).order_by(
        "-poured_at", "-id"
    )


def flight_rows(flights: Iterable[Flight], club: Club, reader: Person) -> list[dict[str, Any]]:
    """Returns flights as the reader may see them; the number of queries does not depend on how many."""
    page = list(flights)
    own = taster_own(club, reader) if any(flight.opened_at for flight in page) else None
    return [_row(flight, reader, own) for flight in page]


def flight_of(act: Act) -> UUID | None:
    """Returns the flight that an entry is about; none for a score that waits for it."""
    if act.collection != "blind-tastings":
        return UUID(str(act.body["flight"]))
    glass = act.blind_tasting.glass
    return None if glass is None else glass.flight_id


def scores_standing(glass: FlightGlass) -> dict[UUID, BlindTasting]:
    """Returns the score of a glass that each taster gave last."""
    return {score.taster_id: score for score in glass.scores.all()}


def _row(flight: Flight, reader: Person, own: dict[str, Any] | None) -> dict[str, Any]:
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
        "called_off_at": instant_text(flight.called_off_at),
        "called_off_by": key_text(flight.called_off_by_id),
        "called_off_reason": flight.called_off_reason,
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
                "sample_ml": _sample_ml(flight, given[reader.pk]),
                "is_spat": given[reader.pk].act.body.get("is_spat") is True,
                "tasted_on": given[reader.pk].act.body["tasted_on"],
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
        "own": own if is_open and any(taster.person_id == reader.pk for taster in tasters) else None,
    }


def _sample_ml(flight: Flight, score: BlindTasting) -> float:
    return flight.sample_ml if score.sample_ml is None else score.sample_ml


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
