"""Problem details (RFC 9457) for answers that are given outside the API's own views."""

from __future__ import annotations

from http import HTTPStatus

from django.http import JsonResponse


def problem(status: int, code: str, detail: str) -> JsonResponse:
    """Returns the one error body of the API: a stable code and a sentence a member understands."""
    return JsonResponse(
        {
            "type": "about:blank",
            "title": HTTPStatus(status).phrase,
            "status": status,
            "code": code,
            "detail": detail,
            "fields": [],
        },
        status=status,
        content_type="application/problem+json",
    )
