"""Vessels: what lies between barrel and bottle."""

from __future__ import annotations

from rest_framework.request import Request
from rest_framework.response import Response

from staveward.api.schema import PAGE, READ, ROW_ID, documented, page_of
from staveward.api.serializers.vessels import VesselOutput
from staveward.api.views.base import ClubView
from staveward.models import Vessel
from staveward.selectors.vessels import vessel_queryset, vessel_rows
from staveward.services.errors import Forbidden, Missing


class VesselListView(ClubView):
    """The vessels a reader may know of, newest first."""

    deed = "bottles"

    @documented(
        "vesselList",
        {200: page_of("VesselPage", VesselOutput)},
        problems=READ,
        parameters=PAGE,
        tag="vessels",
        summary="List the vessels with what is left in them",
    )
    def get(self, request: Request, club: str) -> Response:
        vessels, pager = self.page(vessel_queryset(self.club, self.person), "-made_at", "-id")
        return pager.get_paginated_response(vessel_rows(vessels))


class VesselView(ClubView):
    """One vessel."""

    deed = "bottles"

    @documented(
        "vesselGet", {200: VesselOutput}, parameters=(ROW_ID,), tag="vessels", summary="Read a vessel"
    )
    def get(self, request: Request, club: str, id: str) -> Response:
        row_id = self.row_id(id)
        found = vessel_queryset(self.club, self.person).filter(pk=row_id).first()
        if found is None:
            if Vessel.objects.for_club(self.club).filter(pk=row_id, stands=True).exists():
                raise Forbidden("That vessel is its sharers' and the keeper's.")
            raise Missing("There is no such vessel.")
        return Response(vessel_rows([found])[0])
