"""The committed OpenAPI file is the running code's own description, complete and without a warning."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from drf_spectacular.drainage import GENERATOR_STATS
from drf_spectacular.generators import SchemaGenerator
from drf_spectacular.validation import validate_schema

from staveward.api.schema import READ, WRITE
from tests.api.cast import Cast

FILE = Path(__file__).parents[2] / "backend" / "openapi.json"


@pytest.fixture(scope="module")
def schema() -> dict[str, Any]:
    GENERATOR_STATS.reset()
    made: dict[str, Any] = SchemaGenerator().get_schema(request=None, public=True)
    return made


def test_the_committed_file_is_current(schema: dict[str, Any]) -> None:
    """If this fails: backend/manage.py spectacular --format openapi-json --file backend/openapi.json"""
    assert json.loads(FILE.read_text()) == json.loads(json.dumps(schema))


def test_it_is_valid_and_nothing_was_guessed(schema: dict[str, Any]) -> None:
    validate_schema(schema)

    assert schema["openapi"].startswith("3.1")
    assert not GENERATOR_STATS._warn_cache
    assert not GENERATOR_STATS._error_cache


def test_every_operation_has_a_plain_name_and_every_refusal(schema: dict[str, Any]) -> None:
    names: list[str] = []
    for path, methods in schema["paths"].items():
        for method, operation in methods.items():
            names.append(operation["operationId"])
            assert operation["operationId"].isalpha()
            assert operation["summary"]
            if "{club}" not in path:
                continue
            expected = READ if method == "get" else WRITE
            missing = {str(status) for status in expected} - operation["responses"].keys()
            assert not missing, (path, method, missing)
    assert len(set(names)) == len(names)


@pytest.mark.django_db
def test_the_service_shows_the_same_description(cast: Cast) -> None:
    shown = cast["nobody"].get("/api/v1/schema")

    assert shown.status_code == 200
    assert json.loads(shown.content) == json.loads(FILE.read_text())
