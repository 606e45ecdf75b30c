"""Cursor pages: the next page starts where the last one ended, whatever was added in between."""

from __future__ import annotations

from typing import Any

from django.core.exceptions import ValidationError
from rest_framework.exceptions import NotFound
from rest_framework.pagination import Cursor, CursorPagination
from rest_framework.request import Request

from staveward.services.errors import FieldProblem, Malformed


def rows_asked(text: str | None, usual: int, most: int) -> int:
    """Returns how many rows a query's ``limit`` asks for."""
    if text is None:
        return usual
    # The length first: a number of thousands of digits is no number to Python.
    if not (text.isascii() and text.isdigit() and len(text) <= 6 and 1 <= int(text) <= most):
        allowed = f"1 to {most}"
        raise Malformed(
            f"limit: not a number of rows. Allowed: {allowed}.",
            fields=[FieldProblem("limit", text, allowed, "Not a number of rows.")],
        )
    return int(text)


# How many rows one page of a list may have.
MOST_ROWS = 200


class ClubPagination(CursorPagination):
    """Pages of 100 rows, or as many as ``limit`` says."""

    page_size = 100
    page_size_query_param = "limit"

    def __init__(self, *ordering: str, most: int = MOST_ROWS) -> None:
        self.ordering = ordering
        self.most = most

    def get_ordering(self, request: Request, queryset: Any, view: Any) -> tuple[str, ...]:
        return tuple(self.ordering)

    def get_page_size(self, request: Request) -> int:
        return rows_asked(request.query_params.get(self.page_size_query_param), self.page_size, self.most)

    def paginate_queryset(self, queryset: Any, request: Request, view: Any = None) -> list[Any] | None:
        try:
            return super().paginate_queryset(queryset, request, view=view)
        except ValidationError:
            # The cursor was well made, but names a date or an instant that is none.
            raise _not_ours(request) from None

    def decode_cursor(self, request: Request) -> Cursor | None:
        try:
            cursor = super().decode_cursor(request)
        except (NotFound, ValueError):
            raise _not_ours(request) from None
        if cursor is not None and "\x00" in str(cursor.position or ""):
            raise _not_ours(request)
        return cursor


def _not_ours(request: Request) -> Malformed:
    return Malformed(
        "cursor: not one that this list gave out.",
        fields=[
            FieldProblem(
                "cursor",
                request.query_params.get("cursor"),
                "the cursor in next or previous",
                "Not a cursor of this list.",
            )
        ],
    )
