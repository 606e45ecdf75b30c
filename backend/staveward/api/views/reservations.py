"""Reserving: ask for a barrel, decide about it, read what is reserved, and find the barrel that suits."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django.db.models import QuerySet
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter
from rest_framework.request import Request
from rest_framework.response import Response

from staveward.api import choices
from staveward.api.fields import DayField, IdField, StrictSerializer, WordField
from staveward.api.schema import NEW_ID, PAGE, READ, ROW_ID, SENT_AT, WRITE, documented, page_of
from staveward.api.serializers.reservations import (
    LONGEST_WEEKS,
    ReservationAnswerOutput,
    ReservationDecisionInput,
    ReservationInput,
    ReservationOutput,
    SuggestionQuery,
    SuggestionsOutput,
    query_values,
)
from staveward.api.validation import validated
from staveward.api.views.acts import EntryView
from staveward.api.views.base import ClubView
from staveward.models import Act, Reservation
from staveward.selectors.reservations import (
    barrel_suggestions,
    reservation_answer,
    reservation_queryset,
    reservation_row,
    reservation_rows,
    wish_of,
)
from staveward.services.errors import Missing


class ReservationAnswers(EntryView):
    """A view that answers with a reservation and who stands in its way."""

    deed = "reserve"

    def answered(self, reservation_id: str, is_new: bool) -> Response:
        answer = reservation_answer(
            club=self.club, reservation=self.found(reservation_id), reader=self.person, now=self.now
        )
        return Response(answer, status=201 if is_new else 200)

    def found(self, reservation_id: str) -> Reservation:
        found = reservation_queryset(self.club).filter(pk=self.row_id(reservation_id)).first()
        if found is None:
            raise Missing("There is no such reservation.")
        return found


class ReservationView(ReservationAnswers):
    """One reservation; its key is that of the request that asked for it."""

    collection = "reservations"
    input_class = ReservationInput

    @documented(
        "reservationGet",
        {200: ReservationOutput},
        parameters=(ROW_ID,),
        tag="reservations",
        summary="Read a reservation",
    )
    def get(self, request: Request, club: str, id: str) -> Response:
        return Response(reservation_row(self.found(id), self.person))

    @documented(
        "reservationPut",
        {200: ReservationAnswerOutput, 201: ReservationAnswerOutput},
        request=ReservationInput,
        problems=WRITE,
        parameters=(NEW_ID, SENT_AT),
        tag="reservations",
        summary="Ask for a barrel; when its days are taken the wish waits in line",
    )
    def put(self, request: Request, club: str, id: str) -> Response:
        act, is_new = self.receive(id)
        return self.answered(str(act.pk), is_new)


class ReservationDecisionView(ReservationAnswers):
    """What becomes of a reservation."""

    collection = "reservation-decisions"
    input_class = ReservationDecisionInput

    @documented(
        "reservationDecisionPut",
        {200: ReservationAnswerOutput, 201: ReservationAnswerOutput},
        request=ReservationDecisionInput,
        problems=WRITE,
        parameters=(NEW_ID, SENT_AT),
        tag="reservations",
        summary="Confirm, refuse, move or withdraw a reservation",
    )
    def put(self, request: Request, club: str, id: str) -> Response:
        act, is_new = self.receive(id)
        return self.answered(_reservation_of(act), is_new)


def _reservation_of(act: Act) -> str:
    return str(act.body["reservation"])


class ReservationFilter(StrictSerializer):
    """Which reservations a list is about."""

    barrel = IdField(required=False)
    person = IdField(required=False)
    state = WordField(choices=choices.RESERVATION_STATES, required=False)
    ends_after = DayField(required=False)


class ReservationListView(ClubView):
    """All reservations, soonest first."""

    deed = "reserve"

    @documented(
        "reservationList",
        {200: page_of("ReservationPage", ReservationOutput)},
        problems=(*READ, 422),
        parameters=(
            *PAGE,
            OpenApiParameter("barrel", OpenApiTypes.UUID, description="Only those of this barrel."),
            OpenApiParameter("person", OpenApiTypes.UUID, description="Only those this person asked for."),
            OpenApiParameter(
                "state", str, enum=choices.RESERVATION_STATES, description="Only those in this state."
            ),
            OpenApiParameter(
                "ends_after", OpenApiTypes.DATE, description="Only those that end after this day."
            ),
        ),
        tag="reservations",
        summary="List the reservations",
    )
    def get(self, request: Request, club: str) -> Response:
        rows, pager = self.page(self.filtered(), "starts_on", "id")
        return pager.get_paginated_response(reservation_rows(rows, self.person))

    def filtered(self) -> QuerySet[Reservation]:
        query = self.request.query_params
        named = {name: query[name] for name in query if name not in ("limit", "cursor")}
        asked = validated(ReservationFilter, named)
        rows = reservation_queryset(self.club)
        if "ends_after" in asked:
            rows = rows.filter(ends_on__gt=asked.pop("ends_after"))
        return rows.filter(**asked)


class BarrelSuggestionsView(ClubView):
    """The barrels that suit what somebody wants to fill."""

    deed = "reserve"

    @documented(
        "barrelSuggestions",
        {200: SuggestionsOutput},
        problems=(*READ, 422),
        parameters=(
            OpenApiParameter("volume_l", {"type": "number"}, required=True, description="Litres to fill."),
            OpenApiParameter("spirit", str, enum=choices.SPIRITS, required=True),
            OpenApiParameter("family", str, enum=choices.FAMILIES, required=True),
            OpenApiParameter(
                "abv_pct", {"type": "number", "minimum": 0, "maximum": 100}, description="% vol at 20 °C."
            ),
            OpenApiParameter(
                "earliest", OpenApiTypes.DATE, required=True, description="The first day that would do."
            ),
            OpenApiParameter(
                "weeks", {"type": "integer", "minimum": 1, "maximum": LONGEST_WEEKS}, required=True
            ),
            OpenApiParameter("oak", {"type": "integer", "minimum": 1, "maximum": 5, "default": 3}),
            OpenApiParameter("allergens_seen", {"type": "boolean", "default": False}),
        ),
        tag="reservations",
        summary="Rank the barrels for a fill, with reasons",
    )
    def get(self, request: Request, club: str) -> Response:
        asked: dict[str, Any] = validated(SuggestionQuery, query_values(request.query_params))
        asked["length"] = timedelta(weeks=asked.pop("weeks"))
        wish = wish_of(club=self.club, reader=self.person, now=self.now, **asked)
        return Response(barrel_suggestions(club=self.club, reader=self.person, wish=wish, now=self.now))
