"""Barrels: the register, one barrel's log, and the way from a tag to its barrel."""

from __future__ import annotations

from typing import Any

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter
from rest_framework.request import Request
from rest_framework.response import Response

from staveward.api import choices
from staveward.api.filters import barrels_filtered
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
    paged,
)
from staveward.api.serializers.barrels import BarrelEditInput, BarrelInput, BarrelOutput, TagOutput
from staveward.api.serializers.log import LogEntryOutput
from staveward.api.validation import validated
from staveward.api.views.acts import EntryView
from staveward.api.views.base import ClubView, versioned
from staveward.models import Barrel, FormerTag
from staveward.selectors.barrels import barrel_queryset, barrel_row, barrel_rows
from staveward.selectors.log import lines_of, log_of_barrel, log_rows
from staveward.services.barrels import barrel_edit
from staveward.services.errors import Missing
from staveward.services.tags import tag_code_checked

FILTERS = (
    OpenApiParameter("state", str, enum=choices.BARREL_STATES, description="Only barrels in this state."),
    OpenApiParameter("place", OpenApiTypes.UUID, description="Only barrels that stand here."),
)


class BarrelListView(ClubView):
    """All barrels, by name."""

    deed = "see"

    @documented(
        "barrelList",
        {200: page_of("BarrelPage", BarrelOutput)},
        problems=READ,
        parameters=(*PAGE, *FILTERS),
        tag="barrels",
        summary="List the barrels as they are now",
    )
    def get(self, request: Request, club: str) -> Response:
        asked = barrels_filtered(request.query_params, barrel_queryset(self.club))
        barrels, pager = self.page(asked, "name", "id")
        return pager.get_paginated_response(barrel_rows(barrels, self.club, self.person, self.now))


class BarrelView(EntryView):
    """One barrel."""

    deed = "see"
    collection = "barrels"
    input_class = BarrelInput

    @documented(
        "barrelGet",
        {200: BarrelOutput},
        parameters=(ROW_ID,),
        tag="barrels",
        summary="Read a barrel as it is now",
    )
    def get(self, request: Request, club: str, id: str) -> Response:
        return versioned(self.row(self.found(id)))

    @documented(
        "barrelPut",
        {200: BarrelOutput, 201: BarrelOutput},
        request=BarrelInput,
        problems=WRITE,
        parameters=(NEW_ID, SENT_AT),
        tag="barrels",
        summary="Register a barrel",
    )
    def put(self, request: Request, club: str, id: str) -> Response:
        act, is_new = self.receive(id)
        return versioned(self.row(self.found(str(act.pk))), status=201 if is_new else 200)

    @documented(
        "barrelPatch",
        {200: BarrelOutput},
        request=BarrelEditInput,
        problems=EDIT,
        parameters=(ROW_ID, IF_MATCH),
        tag="barrels",
        summary="Change a barrel's register",
    )
    def patch(self, request: Request, club: str, id: str) -> Response:
        barrel_id = self.row_id(id)
        changes = validated(BarrelEditInput, self.body()[0])
        barrel_edit(self.edit(changes, "barrels", str(barrel_id)), barrel_id)
        return versioned(self.row(self.found(id)))

    def found(self, id: str) -> Barrel:
        barrel: Barrel | None = barrel_queryset(self.club).filter(pk=self.row_id(id)).first()
        if barrel is None:
            raise Missing("There is no such barrel.")
        return barrel

    def row(self, barrel: Barrel) -> dict[str, Any]:
        return barrel_row(barrel, self.club, self.person, self.now)


# A row of a log is cheap and its reader mostly wants all: five years of one barrel are two pages.
LOG_ROWS = 1_000


class BarrelLogView(ClubView):
    """All that ever happened to one barrel."""

    deed = "see"

    @documented(
        "barrelLogList",
        {200: page_of("LogPage", LogEntryOutput)},
        problems=READ,
        parameters=(ROW_ID, *paged(LOG_ROWS)),
        tag="barrels",
        summary="Read a barrel's log, newest first",
    )
    def get(self, request: Request, club: str, id: str) -> Response:
        barrel_id = self.row_id(id)
        if not Barrel.objects.for_club(self.club).filter(pk=barrel_id).exists():
            raise Missing("There is no such barrel.")
        rows, pager = self.page(
            log_of_barrel(self.club, barrel_id, self.person), "-ordered_at", "-id", most=LOG_ROWS
        )
        return pager.get_paginated_response(log_rows(lines_of(rows), self.person))


class TagView(ClubView):
    """The barrel that carries a tag."""

    deed = "see"

    @documented(
        "tagGet",
        {200: TagOutput},
        problems=(*READ, 422),
        parameters=(
            OpenApiParameter(
                "code",
                {"type": "string", "minLength": 1, "maxLength": 40},
                OpenApiParameter.PATH,
                description="Five characters and their check character (ISO/IEC 7064 MOD 37,36).",
            ),
        ),
        tag="barrels",
        summary="Find the barrel that carries a tag",
    )
    def get(self, request: Request, club: str, code: str) -> Response:
        checked = tag_code_checked(code)
        found = (
            Barrel.objects.for_club(self.club).filter(tag_code=checked).values_list("pk", flat=True).first()
        )
        if found is not None:
            return Response({"barrel": found, "reissued_at": None})
        former = FormerTag.objects.for_club(self.club).filter(code=checked).first()
        if former is None:
            raise Missing("No barrel of this club carries that tag.")
        return Response({"barrel": former.barrel_id, "reissued_at": former.replaced_at})
