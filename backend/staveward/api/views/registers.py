"""Places and people: registered by PUT, edited by PATCH against their version, listed in pages."""

from __future__ import annotations

from typing import Any

from rest_framework.request import Request
from rest_framework.response import Response

from staveward.api.accounts import password_mail_send
from staveward.api.schema import (
    EDIT,
    IF_MATCH,
    NEW_ID,
    PAGE,
    READ,
    ROW_ID,
    SENT_AT,
    WRITE,
    documented,
    page_of,
)
from staveward.api.serializers.people import PersonEditInput, PersonInput, PersonOutput
from staveward.api.serializers.places import PlaceEditInput, PlaceInput, PlaceOutput
from staveward.api.validation import validated
from staveward.api.views.acts import EntryView
from staveward.api.views.base import ClubView, versioned
from staveward.models import Person, Place
from staveward.selectors.clubs import place_queryset, place_rows
from staveward.selectors.people import person_queryset, person_row, person_rows
from staveward.services.errors import Missing
from staveward.services.people import person_edit
from staveward.services.places import place_edit


class PlaceListView(ClubView):
    """All places, in walking order."""

    deed = "see"

    @documented(
        "placeList",
        {200: page_of("PlacePage", PlaceOutput)},
        problems=READ,
        parameters=PAGE,
        tag="registers",
        summary="List the places",
    )
    def get(self, request: Request, club: str) -> Response:
        places, pager = self.page(place_queryset(self.club), "walking_order", "id")
        return pager.get_paginated_response(place_rows(places))


class PlaceView(EntryView):
    """One place."""

    deed = "see"
    collection = "places"
    input_class = PlaceInput

    @documented("placeGet", {200: PlaceOutput}, parameters=(ROW_ID,), tag="registers", summary="Read a place")
    def get(self, request: Request, club: str, id: str) -> Response:
        return versioned(self.row(id))

    @documented(
        "placePut",
        {200: PlaceOutput, 201: PlaceOutput},
        request=PlaceInput,
        problems=WRITE,
        parameters=(NEW_ID, SENT_AT),
        tag="registers",
        summary="Open a place",
    )
    def put(self, request: Request, club: str, id: str) -> Response:
        act, is_new = self.receive(id)
        return versioned(self.row(str(act.pk)), status=201 if is_new else 200)

    @documented(
        "placePatch",
        {200: PlaceOutput},
        request=PlaceEditInput,
        problems=EDIT,
        parameters=(ROW_ID, IF_MATCH),
        tag="registers",
        summary="Change a place",
    )
    def patch(self, request: Request, club: str, id: str) -> Response:
        place_id = self.row_id(id)
        changes = validated(PlaceEditInput, self.body()[0])
        place = place_edit(self.edit(changes, "places", str(place_id)), place_id)
        return versioned(place_rows([place])[0])

    def row(self, id: str) -> dict[str, Any]:
        place: Place | None = place_queryset(self.club).filter(pk=self.row_id(id)).first()
        if place is None:
            raise Missing("There is no such place.")
        return place_rows([place])[0]


class PersonListView(ClubView):
    """Everybody the club knows by name."""

    deed = "see"

    @documented(
        "personList",
        {200: page_of("PersonPage", PersonOutput)},
        problems=READ,
        parameters=PAGE,
        tag="registers",
        summary="List the people",
    )
    def get(self, request: Request, club: str) -> Response:
        people, pager = self.page(person_queryset(self.club).select_related("user"), "name", "id")
        return pager.get_paginated_response(person_rows(people, self.person))


class PersonView(EntryView):
    """One person."""

    deed = "see"
    collection = "people"
    input_class = PersonInput

    @documented(
        "personGet", {200: PersonOutput}, parameters=(ROW_ID,), tag="registers", summary="Read a person"
    )
    def get(self, request: Request, club: str, id: str) -> Response:
        return versioned(person_row(self.found(id), self.person))

    @documented(
        "personPut",
        {200: PersonOutput, 201: PersonOutput},
        request=PersonInput,
        problems=WRITE,
        parameters=(NEW_ID, SENT_AT),
        tag="registers",
        summary="Add a person; with an address they get a mail to set their password",
    )
    def put(self, request: Request, club: str, id: str) -> Response:
        act, is_new = self.receive(id)
        person = self.found(str(act.pk))
        if is_new:
            password_mail_send(request, person)
        return versioned(person_row(person, self.person), status=201 if is_new else 200)

    @documented(
        "personPatch",
        {200: PersonOutput},
        request=PersonEditInput,
        problems=EDIT,
        parameters=(ROW_ID, IF_MATCH),
        tag="registers",
        summary="Change a person; an admin all of it, everybody what is their own affair",
    )
    def patch(self, request: Request, club: str, id: str) -> Response:
        person_id = self.row_id(id)
        changes = validated(PersonEditInput, self.body()[0])
        person = person_edit(self.edit(changes, "people", str(person_id)), person_id)
        if "email" in changes:
            password_mail_send(request, person)
        return versioned(person_row(person, self.person))

    def found(self, id: str) -> Person:
        person: Person | None = (
            person_queryset(self.club).select_related("user").filter(pk=self.row_id(id)).first()
        )
        if person is None:
            raise Missing("There is no such person.")
        return person
