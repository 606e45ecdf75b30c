"""Cursor pages: the next page starts where the last one ended, whatever was added in between."""

from __future__ import annotations

from typing import Any

from rest_framework.exceptions import NotFound
from rest_framework.pagination import Cursor, CursorPagination
from rest_framework.request import Request

from staveward.services.errors import FieldProblem, Malformed


class ClubPagination(CursorPagination):
    """Pages of 100 rows, or as many as ``limit`` says up to 200."""

    page_size = 100
    page_size_query_param = "limit"
    max_page_size = 200

    def __init__(self, *ordering: str) -> None:
        self.ordering = ordering

    def get_ordering(self, request: Request, queryset: Any, view: Any) -> tuple[str, ...]:
        return tuple(self.ordering)

    def get_page_size(self, request: Request) -> int:
        text = request.query_params.get(self.page_size_query_param)
        if text is None:
            return self.page_size
        if not (text.isascii() and text.isdigit() and 1 <= int(text[:6]) <= self.max_page_size):
            allowed = f"1 to {self.max_page_size}"
            raise Malformed(
                f"limit: not a number of rows. Allowed: {allowed}.",
                fields=[FieldProblem("limit", text, allowed, "Not a number of rows.")],
            )
        return int(text)

    def decode_cursor(self, request: Request) -> Cursor | None:
        try:
            return super().decode_cursor(request)
        except (NotFound, ValueError):
            raise Malformed(
                "cursor: not one that this list gave out.",
                fields=[
                    FieldProblem(
                        "cursor",
                        request.query_params.get("cursor"),
                        "the cursor in next or previous",
                        "Not a cursor of this list.",
                    )
                ],
            ) from None
