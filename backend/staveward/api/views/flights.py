"""Blind flights: begun, scored and ended by PUT, read by those who pour or taste in them."""

from __future__ import annotations

from typing import Any

from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.serializers import Serializer

from staveward.api.schema import NEW_ID, PAGE, READ, ROW_ID, SENT_AT, WRITE, documented, page_of
from staveward.api.serializers.flights import (
    BlindTastingInput,
    FlightAnswerOutput,
    FlightCancellationInput,
    FlightClosingInput,
    FlightInput,
    FlightOutput,
)
from staveward.api.views.acts import EntryView
from staveward.api.views.base import ClubView
from staveward.models import Flight
from staveward.selectors.flights import flight_of, flight_queryset, flight_rows
from staveward.services.errors import Forbidden, Missing


class FlightListView(ClubView):
    """The flights a reader may know of, newest first."""

    deed = "flights"

    @documented(
        "flightList",
        {200: page_of("FlightPage", FlightOutput)},
        problems=READ,
        parameters=PAGE,
        tag="flights",
        summary="List the blind flights one pours or tastes in",
    )
    def get(self, request: Request, club: str) -> Response:
        flights, pager = self.page(flight_queryset(self.club, self.person), "-poured_at", "-id")
        return pager.get_paginated_response(flight_rows(flights, self.club, self.person))


class FlightEntryView(EntryView):
    """A view whose answers carry a flight as the reader may see it."""

    deed = "flights"

    def row(self, id: str) -> dict[str, Any]:
        row_id = self.row_id(id)
        found = flight_queryset(self.club, self.person).filter(pk=row_id).first()
        if found is None:
            if Flight.objects.for_club(self.club).filter(pk=row_id).exists():
                raise Forbidden("That flight is poured for others.")
            raise Missing("There is no such flight.")
        return flight_rows([found], self.club, self.person)[0]

    def answered(self, id: str) -> Response:
        act, is_new = self.receive(id)
        flight_id = flight_of(act)
        answer = {
            "id": str(act.pk),
            "collection": act.collection,
            "placement": act.placement,
            "flags": act.flags,
            "flight": None if flight_id is None else self.row(str(flight_id)),
        }
        return Response(answer, status=201 if is_new else 200)


class FlightView(FlightEntryView):
    """One flight; its key is that of the entry that began it."""

    collection = "flights"
    input_class = FlightInput

    @documented(
        "flightGet", {200: FlightOutput}, parameters=(ROW_ID,), tag="flights", summary="Read a blind flight"
    )
    def get(self, request: Request, club: str, id: str) -> Response:
        return Response(self.row(id))

    @documented(
        "flightPut",
        {200: FlightOutput, 201: FlightOutput},
        request=FlightInput,
        problems=WRITE,
        parameters=(NEW_ID, SENT_AT),
        tag="flights",
        summary="Begin a blind flight, with codes or for the answer's",
    )
    def put(self, request: Request, club: str, id: str) -> Response:
        act, is_new = self.receive(id)
        return Response(self.row(str(act.pk)), status=201 if is_new else 200)


def _entry_view(
    collection: str, operation: str, summary: str, input_class: type[Serializer[Any]]
) -> type[FlightEntryView]:
    """Builds the view of one collection of entries of a flight: they differ in what they take, not in what they do."""

    class View(FlightEntryView):
        @documented(
            operation,
            {200: FlightAnswerOutput, 201: FlightAnswerOutput},
            request=input_class,
            problems=WRITE,
            parameters=(NEW_ID, SENT_AT),
            tag="flights",
            summary=summary,
        )
        def put(self, request: Request, club: str, id: str) -> Response:
            return self.answered(id)

    View.collection, View.input_class = collection, input_class
    return View


FLIGHT_ENTRY_VIEWS = {
    collection: _entry_view(collection, *described)
    for collection, described in {
        "blind-tastings": ("blindTastingPut", "Score a code of a blind flight", BlindTastingInput),
        "flight-closings": (
            "flightClosingPut",
            "Open a blind flight before all have scored",
            FlightClosingInput,
        ),
        "flight-cancellations": (
            "flightCancellationPut",
            "Call a blind flight off before its names are told",
            FlightCancellationInput,
        ),
    }.items()
}
