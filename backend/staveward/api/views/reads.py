"""What is computed for a reader: the changes feed, the tray and today's walk."""

from __future__ import annotations

from drf_spectacular.utils import OpenApiParameter
from rest_framework.request import Request
from rest_framework.response import Response

from staveward.api.pagination import rows_asked
from staveward.api.schema import READ, documented
from staveward.api.serializers.changes import ChangesOutput, TrayOutput
from staveward.api.serializers.walk import WalkOutput
from staveward.api.views.base import ClubView
from staveward.selectors.changes import LIMIT_DEFAULT, LIMIT_MOST, CursorInvalid, ResyncNeeded, changes_page
from staveward.selectors.tray import tray
from staveward.selectors.walk import walk
from staveward.services.errors import FieldProblem, Malformed, ViewOutdated


class ChangesView(ClubView):
    """Everything that changed since a cursor, as far as this reader may see it."""

    deed = "see"

    @documented(
        "changesList",
        {200: ChangesOutput},
        problems=(*READ, 410),
        parameters=(
            OpenApiParameter(
                "after", str, description="The cursor of the last page; without it from the start."
            ),
            OpenApiParameter("limit", {"type": "integer", "minimum": 1, "maximum": LIMIT_MOST}),
        ),
        tag="changes",
        summary="Read what changed since a cursor",
    )
    def get(self, request: Request, club: str) -> Response:
        after = request.query_params.get("after") or None
        limit = rows_asked(request.query_params.get("limit"), LIMIT_DEFAULT, LIMIT_MOST)
        try:
            return Response(changes_page(self.club, self.person, after, self.now, limit))
        except CursorInvalid:
            raise Malformed(
                "after: not a cursor of this feed.",
                fields=[
                    FieldProblem(
                        "after", after, "the cursor of an earlier page", "Not a cursor of this feed."
                    )
                ],
            ) from None
        except ResyncNeeded:
            raise ViewOutdated(
                "What this device holds is too old to be continued. Read everything anew."
            ) from None


class TrayView(ClubView):
    """What was set aside: all of it for keepers, their own for everybody else."""

    deed = "tray"

    @documented("trayGet", {200: TrayOutput}, tag="tray", summary="Read what was set aside")
    def get(self, request: Request, club: str) -> Response:
        return Response(tray(self.club, self.person, self.now))


class WalkView(ClubView):
    """What is due in the cellar today."""

    deed = "see"

    @documented("walkGet", {200: WalkOutput}, tag="walk", summary="Read today's walk")
    def get(self, request: Request, club: str) -> Response:
        return Response(walk(self.club, self.person, self.now))
