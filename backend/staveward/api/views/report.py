"""The cellar report, on a page and as a file for a spreadsheet."""

from __future__ import annotations

from typing import Any

from django.http import StreamingHttpResponse
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, OpenApiResponse
from rest_framework.request import Request
from rest_framework.response import Response

from staveward.api import choices
from staveward.api.csv import csv_response
from staveward.api.filters import barrels_filtered
from staveward.api.schema import documented
from staveward.api.serializers.report import ReportOutput
from staveward.api.views.base import ClubView
from staveward.models import Barrel
from staveward.selectors.clubs import club_today_text
from staveward.selectors.forecast_scores import pull_honesty
from staveward.selectors.report import ORDERS, report
from staveward.selectors.report_table import report_table
from staveward.services.errors import FieldProblem, Malformed

CSV_ANSWER: dict[Any, Any] = {
    (200, "text/csv"): OpenApiResponse(OpenApiTypes.STR, "One line a barrel; units stand in the head.")
}
ORDER_WORDS = [*ORDERS, *(f"-{name}" for name in ORDERS)]
ASKED = (
    OpenApiParameter("state", str, enum=choices.BARREL_STATES, description="Only barrels in this state."),
    OpenApiParameter("place", OpenApiTypes.UUID, description="Only barrels that stand here."),
    OpenApiParameter(
        "order", str, enum=ORDER_WORDS, description="The column to order by; a minus turns it round."
    ),
)


class ReportAsked(ClubView):
    """What both forms of the report share: who may read it, and which barrels were asked for."""

    deed = "report"

    def report(self) -> dict[str, Any]:
        query = self.request.query_params
        order = query.get("order", "name")
        if order not in ORDER_WORDS:
            allowed = "one of " + ", ".join(ORDERS) + ", with a minus to turn it round"
            raise Malformed(
                f"order: not a column of the report. Allowed: {allowed}.",
                fields=[FieldProblem("order", order[:60], allowed, "Not a column of the report.")],
            )
        barrels = barrels_filtered(query, Barrel.objects.for_club(self.club))
        return report(self.club, self.now, barrels, order)


class ReportView(ReportAsked):
    """The whole programme on one page."""

    @documented(
        "reportGet", {200: ReportOutput}, parameters=ASKED, tag="report", summary="Read the cellar report"
    )
    def get(self, request: Request, club: str) -> Response:
        return Response({**self.report(), "forecasts": pull_honesty(self.club)})


class ReportCsvView(ReportAsked):
    """The same as a file for a spreadsheet."""

    @documented(
        "reportCsvGet",
        CSV_ANSWER,
        parameters=ASKED,
        tag="report",
        summary="Take the cellar report as CSV",
    )
    def get(self, request: Request, club: str) -> StreamingHttpResponse:
        rows = self.report()["barrels"]
        today = club_today_text(self.club, self.now)
        return csv_response(report_table(self.club, rows), f"cellar-report-{today}.csv")
