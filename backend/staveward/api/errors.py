"""One error body for every refusal: problem details (RFC 9457) with a stable code and the fields it is about.

Services and the science floor raise; nothing below this module knows of HTTP. A rule that stands against a request
is 409, a well-formed body with an impossible value 422, a body that cannot be read 400.
"""

from __future__ import annotations

import math
from http import HTTPStatus
from typing import Any

from django.core.exceptions import ObjectDoesNotExist, PermissionDenied, RequestDataTooBig, ValidationError
from django.db.models import ProtectedError
from django.http import Http404
from rest_framework import exceptions
from rest_framework.response import Response
from rest_framework.serializers import as_serializer_error

from staveward.science.errors import ScienceError
from staveward.services.errors import FieldProblem, Impossible, Malformed, Refusal

MEDIA_TYPE = "application/problem+json"
SHOWN_VALUE_LENGTH = 200

# Django REST framework's own codes, in the words of this API.
CODES = {
    "not_authenticated": "signed_out",
    "authentication_failed": "signed_out",
    "permission_denied": "forbidden",
    "parse_error": "malformed",
    "invalid": "malformed",
    "error": "malformed",
}
SENTENCES = {
    "signed_out": "Sign in first.",
    "not_found": "There is nothing at this address.",
    "forbidden": "Your part in the club does not allow this.",
}


class CsrfFailed(exceptions.PermissionDenied):
    """The page's security token is missing or too old; the device reads the cookie again and repeats."""

    default_code = "csrf_failed"
    default_detail = "The page's security token is missing or too old. Load it again."


class VersionMissing(Refusal):
    """An edit came without the version it was made against."""

    status = 428
    default_code = "version_required"


def problem(
    status: int,
    code: str,
    detail: str,
    fields: list[FieldProblem] | None = None,
    headers: dict[str, str] | None = None,
) -> Response:
    """Builds the answer to a refusal."""
    return Response(
        {
            "type": "about:blank",
            "title": HTTPStatus(status).phrase,
            "status": status,
            "code": code,
            "detail": detail,
            "fields": [{**field.as_dict(), "value": shown(field.value)} for field in fields or []],
        },
        status=status,
        content_type=MEDIA_TYPE,
        headers=headers,
    )


def shown(value: Any) -> Any:
    """Returns a value that JSON can carry back and a person can read: long text is cut, the rest is written out."""
    if value is None or isinstance(value, bool | int):
        return value if not isinstance(value, int) or abs(value) < 2**53 else str(value)[:SHOWN_VALUE_LENGTH]
    if isinstance(value, float):
        return value if math.isfinite(value) else str(value)
    text = value if isinstance(value, str) else repr(value) if isinstance(value, list | dict) else str(value)
    return text.encode("utf-8", "replace").decode()[:SHOWN_VALUE_LENGTH]


def problem_handler(exc: Exception, context: dict[str, Any]) -> Response | None:
    """Turns what a view raised into problem details; None lets an unforeseen error become a 500."""
    if isinstance(exc, Refusal):
        return problem(exc.status, exc.code, exc.detail, exc.fields)
    if isinstance(exc, ScienceError):
        return problem(
            Impossible.status,
            Impossible.default_code,
            f"{exc}.",
            [FieldProblem(exc.argument, exc.value, exc.bound, f"{exc}.")],
        )
    if isinstance(exc, Http404 | ObjectDoesNotExist):
        return problem(404, "not_found", SENTENCES["not_found"])
    if isinstance(exc, PermissionDenied):
        return problem(403, "forbidden", SENTENCES["forbidden"])
    if isinstance(exc, RequestDataTooBig):
        return problem(413, "body_too_large", "The request is larger than the server reads.")
    if isinstance(exc, ValidationError):
        return _from_model(exc)
    if isinstance(exc, ProtectedError):
        return problem(409, "in_use", "Other entries name this one, so it stays.")
    if isinstance(exc, exceptions.ValidationError):
        rows = [
            FieldProblem(name, None, "", " ".join(str(text) for text in _texts(details)))
            for name, details in as_serializer_error(exc).items()
        ]
        return problem(Malformed.status, Malformed.default_code, _sentence(rows), rows)
    if isinstance(exc, exceptions.APIException):
        return _from_framework(exc)
    return None


def _from_framework(exc: exceptions.APIException) -> Response:
    raw = str(exc.get_codes()) if not isinstance(exc.get_codes(), list | dict) else exc.default_code
    code = CODES.get(raw, raw)
    headers = {}
    scheme, wait = getattr(exc, "auth_header", None), getattr(exc, "wait", None)
    if scheme:
        headers["WWW-Authenticate"] = scheme
    if wait:
        headers["Retry-After"] = str(math.ceil(wait))
    detail = SENTENCES.get(code) if code in ("signed_out", "not_found") else None
    return problem(exc.status_code, code, detail or str(exc.detail), headers=headers)


def _from_model(exc: ValidationError) -> Response:
    """A constraint of a model stood against a value that the serializer let through."""
    if hasattr(exc, "error_dict"):
        rows = [FieldProblem(name, None, "", " ".join(texts)) for name, texts in exc.message_dict.items()]
    else:
        rows = [FieldProblem("", None, "", " ".join(exc.messages))]
    return problem(Impossible.status, Impossible.default_code, _sentence(rows), rows)


def _texts(details: Any) -> list[Any]:
    if isinstance(details, dict):
        return [text for value in details.values() for text in _texts(value)]
    if isinstance(details, list | tuple):
        return [text for value in details for text in _texts(value)]
    return [details]


def _sentence(rows: list[FieldProblem]) -> str:
    return rows[0].detail if rows else "The request could not be understood."
