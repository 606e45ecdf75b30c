"""The club and its settings."""

from __future__ import annotations

from rest_framework.request import Request
from rest_framework.response import Response

from staveward.api.schema import EDIT, IF_MATCH, documented
from staveward.api.serializers.clubs import ClubEditInput, ClubOutput
from staveward.api.validation import validated
from staveward.api.views.base import ClubView, versioned
from staveward.selectors.clubs import club_row
from staveward.services.clubs import club_edit


class ClubDetailView(ClubView):
    """One club."""

    deed = "see"

    @documented("clubGet", {200: ClubOutput}, tag="club", summary="Read the club and its settings")
    def get(self, request: Request, club: str) -> Response:
        return versioned(club_row(self.club, self.now))

    @documented(
        "clubPatch",
        {200: ClubOutput},
        request=ClubEditInput,
        problems=EDIT,
        parameters=(IF_MATCH,),
        tag="club",
        summary="Change the club's settings",
    )
    def patch(self, request: Request, club: str) -> Response:
        changes = validated(ClubEditInput, self.body()[0])
        edited = club_edit(self.edit(changes))
        return versioned(club_row(edited, self.now))
