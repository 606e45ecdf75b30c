"""Who is asking: the session cookie of the web app, with 401 for nobody and a plain code for a stale token."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.middleware.csrf import CsrfViewMiddleware
from drf_spectacular.extensions import OpenApiAuthenticationExtension
from rest_framework.authentication import SessionAuthentication
from rest_framework.request import Request

from staveward.api.errors import CsrfFailed


class _CsrfCheck(CsrfViewMiddleware):
    """Gives the reason of a failed check instead of an answer."""

    def _reject(self, request: HttpRequest, reason: str) -> str:  # type: ignore[override]
        return reason


class CookieAuthentication(SessionAuthentication):
    """Signs a request in by its session cookie; a writing one must carry the page's token too."""

    def authenticate_header(self, request: Request) -> str:
        """Names the scheme, which makes a missing sign-in 401 and not 403."""
        return 'Session realm="Staveward"'

    def enforce_csrf(self, request: Request) -> None:
        check = _CsrfCheck(lambda _: HttpResponse())
        check.process_request(request)  # type: ignore[arg-type]
        if check.process_view(request, None, (), {}):  # type: ignore[arg-type]
            raise CsrfFailed


class CookieScheme(OpenApiAuthenticationExtension):
    """Describes the sign-in in the OpenAPI file."""

    target_class = "staveward.api.authentication.CookieAuthentication"
    name = "cookieAuth"

    def get_security_definition(self, auto_schema: object) -> dict[str, str]:
        return {
            "type": "apiKey",
            "in": "cookie",
            "name": "sessionid",
            "description": (
                "Session of the web app. A request that writes also sends the cookie csrftoken as X-CSRFToken."
            ),
        }
