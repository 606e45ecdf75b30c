"""Answers that belong to no subject: the web app's page and the errors outside the API."""

from __future__ import annotations

from django.conf import settings
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.http import require_safe

from staveward.config.problems import problem

NOT_BUILT = "The web app is not built yet. Run: make build\n"


@require_safe
def web_app(request: HttpRequest) -> HttpResponse:
    """Answers any address of the web app with its one page; the page itself knows which screen that is."""
    try:
        page = (settings.WEB_APP_DIR / "index.html").read_bytes()
    except FileNotFoundError:
        return HttpResponse(NOT_BUILT, status=503, content_type="text/plain; charset=utf-8")
    response = HttpResponse(page, content_type="text/html; charset=utf-8")
    response.headers["Cache-Control"] = "no-cache"
    return response


def not_found(request: HttpRequest, exception: Exception | None = None) -> JsonResponse:
    return problem(404, "not_found", "There is nothing at this address.")


def bad_request(request: HttpRequest, exception: Exception | None = None) -> JsonResponse:
    return problem(400, "bad_request", "The request could not be understood.")


def forbidden(request: HttpRequest, exception: Exception | None = None) -> JsonResponse:
    return problem(403, "forbidden", "This is not open to you.")


def server_error(request: HttpRequest) -> JsonResponse:
    return problem(500, "server_error", "Something went wrong on the server, and nothing was saved.")


def csrf_failure(request: HttpRequest, reason: str = "") -> JsonResponse:
    return problem(403, "csrf_failed", "The page's security token is missing or too old. Load it again.")
