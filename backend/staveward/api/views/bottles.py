"""The bottle ledger, and the way from a bottle's tag to its story."""

from __future__ import annotations

from rest_framework.request import Request
from rest_framework.response import Response

from staveward.api.schema import PAGE, READ, ROW_ID, documented, page_of
from staveward.api.serializers.bottles import BottleOutput
from staveward.api.views.base import ClubView
from staveward.models import Bottle
from staveward.selectors.bottles import bottle_queryset, bottle_rows
from staveward.services.errors import Forbidden, Missing
from staveward.services.tags import tag_code_checked


class BottleListView(ClubView):
    """The bottles a reader may know of, newest first."""

    deed = "bottles"

    @documented(
        "bottleList",
        {200: page_of("BottlePage", BottleOutput)},
        problems=READ,
        parameters=PAGE,
        tag="bottles",
        summary="List the bottles, who holds them and how full they are",
    )
    def get(self, request: Request, club: str) -> Response:
        asked = bottle_queryset(self.club, self.person)
        bottles, pager = self.page(asked, "-bottled_at", "number", "id")
        return pager.get_paginated_response(bottle_rows(bottles, self.club))


class BottleView(ClubView):
    """One bottle."""

    deed = "bottles"

    @documented(
        "bottleGet", {200: BottleOutput}, parameters=(ROW_ID,), tag="bottles", summary="Read a bottle"
    )
    def get(self, request: Request, club: str, id: str) -> Response:
        return self.answered(pk=self.row_id(id))

    def answered(self, **wanted: object) -> Response:
        found = bottle_queryset(self.club, self.person).filter(**wanted).first()
        if found is None:
            if Bottle.objects.for_club(self.club).filter(**wanted).exists():
                raise Forbidden("That bottle's story is its sharers' and its holder's.")
            raise Missing("There is no such bottle.")
        return Response(bottle_rows([found], self.club)[0])


class BottleTagView(BottleView):
    """One bottle by the code on its tag."""

    @documented(
        "bottleTagGet",
        {200: BottleOutput},
        problems=(*READ, 422),
        tag="bottles",
        summary="Read the bottle that carries a tag",
    )
    def get(self, request: Request, club: str, code: str) -> Response:
        return self.answered(tag_code=tag_code_checked(code))
