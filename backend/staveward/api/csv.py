"""Tables as CSV for spreadsheets: sent line by line, and safe to open.

A spreadsheet takes a text cell that begins with one of a few characters for a formula and runs it, so a barrel named
"=..." could act on whoever opens the file. Such text gets an apostrophe in front, which spreadsheets do not show.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from django.http import StreamingHttpResponse

# What makes a spreadsheet compute (OWASP, "CSV Injection"): = + - @, a tab and a carriage return.
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
# Tells spreadsheets that the text is UTF-8.
BYTE_ORDER_MARK = "\ufeff"


class _Echo:
    """Gives back what is written, so that the writer's line can be sent instead of stored."""

    def write(self, text: str) -> str:
        return text


def cell_safe(value: Any) -> Any:
    """Returns a cell that no spreadsheet computes; numbers stay numbers."""
    if isinstance(value, str) and value.startswith(FORMULA_STARTS):
        return "'" + value
    return value


def csv_lines(table: Iterable[Sequence[Any]]) -> Iterator[str]:
    """Yields a table as lines of CSV (RFC 4180)."""
    writer = csv.writer(_Echo())
    yield BYTE_ORDER_MARK
    for row in table:
        yield writer.writerow([cell_safe(value) for value in row])  # type: ignore[misc]


def csv_response(table: Iterable[Sequence[Any]], filename: str) -> StreamingHttpResponse:
    """Answers with a table as a file to keep."""
    response = StreamingHttpResponse(csv_lines(table), content_type="text/csv; charset=utf-8")
    response.headers["Content-Disposition"] = f'attachment; filename="{filename}"'
    return response
