"""What every answer carries, and what no request may exceed."""

from __future__ import annotations

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponseBase
from django.utils.cache import patch_cache_control

from staveward.config.problems import problem

GetResponse = Callable[[HttpRequest], HttpResponseBase]
DRAIN_LIMIT_BYTES = 32 * 1024 * 1024
DRAIN_CHUNK_BYTES = 64 * 1024


class ResponseHeaders:
    """Lets the page use the camera and nothing else, and keeps answers about a club out of shared caches."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        response = self.get_response(request)
        response.headers.setdefault(
            "Permissions-Policy", "camera=(self), geolocation=(), microphone=(), payment=(), usb=()"
        )
        if request.path.startswith(("/api/", "/_allauth/")) and not response.has_header("Cache-Control"):
            patch_cache_control(response, private=True, no_cache=True)
        return response


class BodyLimit:
    """Answers 413 to a body that is larger than any act can be, before anything parses it.

    The body is read and thrown away first: a connection closed on unread data reaches the sender as a broken
    pipe instead of as this answer. What is larger than the drain limit is cut off.
    """

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        limit = settings.DATA_UPLOAD_MAX_MEMORY_SIZE
        try:
            length = int(request.META.get("CONTENT_LENGTH") or 0)
        except ValueError:
            return problem(400, "bad_content_length", "The request does not say how long its body is.")
        if length <= limit:
            return self.get_response(request)
        left = min(length, DRAIN_LIMIT_BYTES)
        while left > 0:
            chunk = request.read(min(left, DRAIN_CHUNK_BYTES))
            if not chunk:
                break
            left -= len(chunk)
        return problem(
            413,
            "body_too_large",
            f"The request is {length} bytes long; at most {limit} bytes are read.",
        )
