"""Whatever is sent, the service answers as its OpenAPI file says: no 5xx, no status and no shape that is not in there.

Requests are made from the OpenAPI file by schemathesis, well-formed ones and others, and sent by a signed-in admin.
Made-up ids would only ever miss, so most of them are replaced by ids that are there; each request is rolled back.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
import schemathesis
from django.core.signals import request_finished, request_started
from django.core.wsgi import get_wsgi_application
from django.db import close_old_connections, transaction
from hypothesis import HealthCheck, settings
from schemathesis.checks import (
    content_type_conformance,
    not_a_server_error,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
)
from schemathesis.generation import GenerationMode
from schemathesis.generation.meta import TestPhase

from tests.api.cast import Cast, uuid7

pytestmark = pytest.mark.django_db

# Together they keep the whole within a minute. The broken requests of the coverage phase are many and much alike.
EXAMPLES = 6
BROKEN_SENT = 0.08
CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
]

schema = schemathesis.openapi.from_wsgi("/api/v1/schema", get_wsgi_application())


class Scene(Cast):
    """A club with something of everything, and the ids of it by the name of the field that asks for one."""

    def __post_init__(self) -> None:
        super().__post_init__()
        curing = self.done("curings", self.at_barrel(30, water_l=4.5))
        self.done("curing-verdicts", self.at_barrel(28, verdict="tight"))
        fill = self.fill()
        taste = self.done("tastings", self.tasting_body(fill, 10), by="sharer")
        trouble = self.done("troubles", self.at_barrel(kind="leak"))
        late = self.done("curings", self.at_barrel(9, water_l=2))
        # Signed in here, once: a session made within one test would be rolled back with it.
        self["admin"]
        self.known = {
            "barrel": [str(self.barrel.pk)],
            "place": [str(self.place.pk)],
            "person": [self.id(name) for name in self.people],
            "taster": [self.id("member")],
            "supplied_by": [self.id("sharer")],
            "fill": [fill],
            "trouble": [trouble],
            "act": [curing, fill, taste, late],
            "replaces": [curing, fill, taste],
        }
        self.rows = {
            "barrels": [str(self.barrel.pk)],
            "places": [str(self.place.pk)],
            "people": [self.id("member")],
            "fills": [fill],
            "curings": [curing],
            "tastings": [taste],
            "troubles": [trouble],
        }

    def there(self, value: Any, chance: random.Random) -> Any:
        """Returns a body whose ids mostly name something."""
        if isinstance(value, dict):
            return {
                name: chance.choice(self.known[name])
                if name in self.known and isinstance(inner, str) and chance.random() < 0.9
                else self.there(inner, chance)
                for name, inner in value.items()
            }
        if isinstance(value, list):
            return [self.there(inner, chance) for inner in value]
        return value


@pytest.fixture(scope="module")
def scene(django_db_setup: None, django_db_blocker: Any) -> Iterator[Scene]:
    """One club for all requests."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield Scene()
        transaction.set_rollback(True)


@contextmanager
def taken_back() -> Iterator[None]:
    """Undoes a request. A server lets go of old connections between two; here they share one open transaction."""
    for signal in (request_started, request_finished):
        signal.disconnect(close_old_connections)
    try:
        with transaction.atomic():
            yield
            transaction.set_rollback(True)
    finally:
        for signal in (request_started, request_finished):
            signal.connect(close_old_connections)


def is_broken_on_purpose(case: schemathesis.Case) -> bool:
    """Whether a request stems from the walk along the file's bounds, on the wrong side of one."""
    made = case.meta
    return (
        made is not None
        and made.phase.name == TestPhase.COVERAGE
        and made.generation.mode == GenerationMode.NEGATIVE
    )


@schema.parametrize()
@settings(
    max_examples=EXAMPLES,
    derandomize=True,
    database=None,
    deadline=None,
    suppress_health_check=list(HealthCheck),
)
def test_every_answer_is_in_the_file(case: schemathesis.Case, scene: Scene) -> None:
    chance = random.Random(repr((case.operation.label, case.path_parameters, case.query, case.body)))
    if is_broken_on_purpose(case) and chance.random() > BROKEN_SENT:
        return
    in_path = dict(case.path_parameters or {})
    if "club" in in_path and chance.random() < 0.95:
        in_path["club"] = scene.club.slug
    if "id" in in_path:
        collection = case.path.split("/")[5]
        if case.method.upper() == "PUT":
            in_path["id"] = uuid7() if chance.random() < 0.95 else in_path["id"]
        elif collection in scene.rows and chance.random() < 0.8:
            in_path["id"] = chance.choice(scene.rows[collection])
    if "code" in in_path and chance.random() < 0.5:
        in_path["code"] = scene.barrel.tag_code
    case.path_parameters = in_path
    if isinstance(case.body, dict):
        case.body = scene.there(case.body, chance)
    if "If-Match" in (case.headers or {}) and chance.random() < 0.9:
        case.headers["If-Match"] = '"1"'
    browser = scene["admin"].client.cookies
    # The in-process transport does not unpack what the server compressed, so it asks for plain bytes.
    headers = {"X-CSRFToken": browser["csrftoken"].value, "Accept-Encoding": "identity"}
    cookies = {name: browser[name].value for name in ("csrftoken", "sessionid")}

    with taken_back():
        answer = case.call(headers=headers, cookies=cookies)

    case.validate_response(answer, checks=CHECKS)
