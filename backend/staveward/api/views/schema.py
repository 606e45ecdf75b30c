"""The OpenAPI description of the API, from the running code."""

from __future__ import annotations

import json
from functools import lru_cache
from typing import Any

from django.http import HttpResponse
from drf_spectacular.generators import SchemaGenerator
from drf_spectacular.utils import extend_schema
from rest_framework.permissions import AllowAny
from rest_framework.request import Request

from staveward.api.views.base import ApiView


@lru_cache(maxsize=1)
def schema_text() -> str:
    """Writes the description once a process: it does not change while the code does not."""
    schema: dict[str, Any] = SchemaGenerator().get_schema(request=None, public=True)
    return json.dumps(schema, indent=2, sort_keys=True)


class SchemaView(ApiView):
    """The description itself; it holds nothing about any club."""

    authentication_classes = ()
    permission_classes = (AllowAny,)

    @extend_schema(exclude=True)
    def get(self, request: Request) -> HttpResponse:
        return HttpResponse(schema_text(), content_type="application/vnd.oai.openapi+json")
