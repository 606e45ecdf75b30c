"""What every view is built on: one parser, one renderer, one way to be signed in, one club."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import datetime
from typing import Any, ClassVar
from uuid import UUID

from django.db.models import QuerySet
from django.middleware.csrf import get_token
from django.utils import timezone
from rest_framework.authentication import BaseAuthentication
from rest_framework.exceptions import NotAuthenticated
from rest_framework.parsers import BaseParser
from rest_framework.permissions import BasePermission, IsAuthenticated
from rest_framework.renderers import JSONRenderer
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from staveward.api.authentication import CookieAuthentication
from staveward.api.errors import VersionMissing
from staveward.api.fields import AwareDateTimeField
from staveward.api.idempotency import body_sha256
from staveward.api.pagination import MOST_ROWS, ClubPagination
from staveward.api.parsers import StrictJSONParser
from staveward.api.permissions import member_of
from staveward.models import Club, Person, User
from staveward.services.authority import require
from staveward.services.edits import EditCommand
from staveward.services.errors import FieldProblem, Malformed, Missing

_ETAG = re.compile(r'^(?:W/)?"(\d{1,9})"$')


class ApiView(APIView):
    """A view that speaks JSON, whatever the request prefers."""

    authentication_classes: Sequence[type[BaseAuthentication]] = (CookieAuthentication,)
    permission_classes: Sequence[type[BasePermission]] = (IsAuthenticated,)
    parser_classes: Sequence[type[BaseParser]] = (StrictJSONParser,)
    renderer_classes = (JSONRenderer,)
    metadata_class = None

    def perform_content_negotiation(self, request: Request, force: bool = False) -> Any:
        return super().perform_content_negotiation(request, force=True)

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        # A page that has only just loaded needs the token's cookie before it can sign in or write.
        get_token(request)  # type: ignore[arg-type]
        super().initial(request, *args, **kwargs)

    def finalize_response(self, request: Request, response: Any, *args: Any, **kwargs: Any) -> Any:
        final = super().finalize_response(request, response, *args, **kwargs)
        if isinstance(final, Response):
            final.add_post_render_callback(_rows_let_go)
        return final

    def user(self) -> User:
        """Returns the account of the session."""
        user = self.request.user
        if not isinstance(user, User):
            raise NotAuthenticated
        return user


def _rows_let_go(response: Response) -> None:
    # Once written out they are of no use, and the answer, which knows its view and is known by it, would hold them
    # until the collector next comes by: several pages of the feed at a time.
    response.data = None


class ClubView(ApiView):
    """A view within one club: the address names it, the session says who asks."""

    deed: ClassVar[str | None] = None
    club: Club
    person: Person

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        super().initial(request, *args, **kwargs)
        self.now: datetime = timezone.now()
        self.person = member_of(self.user(), kwargs["club"])
        self.club = self.person.club
        if request.method in ("GET", "HEAD") and self.deed is not None:
            require(self.person, self.deed)

    def body(self) -> tuple[dict[str, Any], str]:
        """Returns the JSON object that was sent, and its fingerprint."""
        body = self.request.data
        if type(body) is not dict:
            raise Malformed(
                "The body must be one JSON object.",
                fields=[
                    FieldProblem(
                        "", None if body is None else type(body).__name__, "an object", "Not an object."
                    )
                ],
            )
        return body, body_sha256(body)

    def row_id(self, text: str) -> UUID:
        """Returns the id in an address; what is no id names nothing."""
        try:
            if len(text) == 36:
                return UUID(text)
        except ValueError:
            pass
        raise Missing("There is nothing at this address.")

    def address(self, *parts: str) -> str:
        """Returns the address in its one canonical form, as the ledger keeps it."""
        return "/".join(("/api/v1/clubs", self.club.slug, *parts))

    def sent_at(self) -> datetime | None:
        """Returns the device's clock as the request's header says it."""
        text = self.request.headers.get("Sent-At")
        if text is None:
            return None
        field = AwareDateTimeField()
        try:
            instant: datetime = field.run_validation(text)
        except Exception:  # whatever is wrong with it, the header is not a time
            raise Malformed(
                f"Sent-At: {text[:60]!r} is not a time. Allowed: {field.allowed}.",
                fields=[FieldProblem("Sent-At", text, field.allowed, "Not a time.")],
            ) from None
        return instant

    def version(self) -> int:
        """Returns the version that an edit was made against."""
        text = self.request.headers.get("If-Match")
        if text is None:
            raise VersionMissing('An edit says which version it was made against: If-Match: "3".')
        match = _ETAG.match(text.strip())
        if match is None:
            raise Malformed(
                "If-Match: not a version.",
                fields=[FieldProblem("If-Match", text, 'a version such as "3"', "Not a version.")],
            )
        return int(match[1])

    def edit(self, changes: dict[str, Any], *parts: str) -> EditCommand:
        """Builds the command of an edit from this request."""
        body, fingerprint = self.body()
        return EditCommand(
            club=self.club,
            author=self.person,
            path=self.address(*parts),
            body=body,
            body_sha256=fingerprint,
            version=self.version(),
            changes=changes,
            now=self.now,
        )

    def page(
        self, rows: QuerySet[Any, Any], *ordering: str, most: int = MOST_ROWS
    ) -> tuple[list[Any], ClubPagination]:
        """Returns one page of a list, and the pager that knows the way on."""
        pager = ClubPagination(*ordering, most=most)
        return list(pager.paginate_queryset(rows, self.request, view=self) or []), pager


def versioned(row: dict[str, Any], status: int = 200) -> Response:
    """Answers with a row that people edit, and its version as the ETag."""
    return Response(row, status=status, headers={"ETag": f'"{row["version"]}"'})
