"""How views describe themselves in the OpenAPI file: one name an operation, and every answer it can give."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from drf_spectacular.extensions import OpenApiSerializerFieldExtension
from drf_spectacular.openapi import AutoSchema
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import (
    Direction,
    OpenApiParameter,
    OpenApiResponse,
    extend_schema,
    inline_serializer,
)
from rest_framework import serializers

from staveward.api.fields import NumberField, QuantityField
from staveward.api.idempotency import UUID7_PATTERN
from staveward.api.pagination import MOST_ROWS
from staveward.api.serializers.problems import ProblemOutput

SENTENCES = {
    400: "The request cannot be read: broken JSON, an unknown name, a value of the wrong type.",
    401: "Nobody is signed in.",
    403: "Forbidden to this person, or (code csrf_failed) the page's token is missing or stale.",
    404: "There is nothing here that this person may know of.",
    405: "The address does not know this method.",
    409: "A rule or another entry stands against it.",
    410: "The cursor cannot be continued (code resync): read everything anew.",
    413: "The body is larger than the server reads.",
    415: "The body is not of a kind that this address reads.",
    422: "Well-formed, and no such value can exist.",
    428: "The edit does not say which version it was made against.",
}
READ = (400, 401, 403, 404)
WRITE = (400, 401, 403, 404, 409, 413, 415, 422)
EDIT = (*WRITE, 428)

CLUB = OpenApiParameter(
    "club", str, OpenApiParameter.PATH, description="The club's short name in addresses, or its id."
)
NEW_ID = OpenApiParameter(
    "id",
    {"type": "string", "format": "uuid", "pattern": UUID7_PATTERN},
    OpenApiParameter.PATH,
    description="A UUID of version 7 made on the device. The same id, address and body again give the same row.",
)
ROW_ID = OpenApiParameter("id", OpenApiTypes.UUID, OpenApiParameter.PATH)
SENT_AT = OpenApiParameter(
    "Sent-At",
    OpenApiTypes.DATETIME,
    OpenApiParameter.HEADER,
    description="The device's clock when it sent the request, so that a wrong clock is noticed.",
)
IF_MATCH = OpenApiParameter(
    "If-Match",
    {"type": "string", "pattern": r'^"[0-9]{1,9}"$'},
    OpenApiParameter.HEADER,
    required=True,
    description='The version the edit was made against, as the ETag had it: "3".',
)


def paged(most: int = MOST_ROWS) -> tuple[OpenApiParameter, ...]:
    """Describes what a list may be asked for."""
    return (
        OpenApiParameter("cursor", str, description="Where the page starts; taken from next or previous."),
        OpenApiParameter(
            "limit",
            {"type": "integer", "minimum": 1, "maximum": most},
            description="Rows on a page, 100 if not said.",
        ),
    )


PAGE = paged()


def page_of(name: str, row: type[serializers.Serializer[Any]]) -> serializers.Serializer[Any]:
    """Describes one page of a list."""
    return inline_serializer(
        name,
        {
            "next": serializers.CharField(allow_null=True, help_text="Address of the next page."),
            "previous": serializers.CharField(allow_null=True, help_text="Address of the page before."),
            "results": row(many=True),
        },
    )


def documented(
    operation: str,
    answers: dict[Any, Any],
    *,
    request: Any = None,
    problems: tuple[int, ...] = READ,
    parameters: tuple[OpenApiParameter, ...] = (),
    tag: str,
    summary: str,
    **options: Any,
) -> Callable[[Any], Any]:
    """Describes one method of a view: its name, its answers and every refusal."""
    responses: dict[Any, Any] = dict(answers)
    for status in problems:
        responses[(status, "application/problem+json")] = OpenApiResponse(ProblemOutput, SENTENCES[status])
    return extend_schema(
        operation_id=operation,
        request=request,
        responses=responses,
        parameters=list(parameters),
        tags=[tag],
        summary=summary,
        **options,
    )


def close_inputs(result: dict[str, Any], **_: Any) -> dict[str, Any]:
    """Says in the OpenAPI file that a request of unknown names is refused."""
    for name, component in result["components"]["schemas"].items():
        if name.endswith("Input") and component.get("type") == "object":
            component["additionalProperties"] = False
    return result


class QuantityScheme(OpenApiSerializerFieldExtension):
    """A quantity enters as a number in its own unit or as text with a unit, and leaves as a number."""

    target_class = QuantityField
    match_subclasses = True

    def map_serializer_field(self, auto_schema: AutoSchema, direction: Direction) -> dict[str, Any]:
        field = self.target
        number: dict[str, Any] = {"type": "number", "format": "double"}
        if field.low is not None:
            number["exclusiveMinimum" if field.above_low else "minimum"] = field.low
        if field.high is not None:
            number["maximum"] = field.high
        if direction == "response" or isinstance(field, NumberField):
            return number
        text = {"type": "string", "maxLength": 60, "description": "A number with a unit, such as 25 fl oz."}
        return {"oneOf": [number, text]}
