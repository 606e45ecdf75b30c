"""Refusals: what a service answers when it will not do what was asked.

Each carries a stable ``code``, a sentence a member understands (``detail``) and the fields it is about. The API
turns them into problem details; services never build an HTTP answer.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar


@dataclass(frozen=True)
class FieldProblem:
    """One field that was refused: its name, the value as sent, and what is allowed."""

    field: str
    value: Any
    allowed: str
    detail: str

    def as_dict(self) -> dict[str, Any]:
        """Returns the problem as the API shows it."""
        return {"field": self.field, "value": self.value, "allowed": self.allowed, "detail": self.detail}


class Refusal(Exception):
    """The base of all refusals."""

    status: ClassVar[int] = 409
    default_code: ClassVar[str] = "refused"

    def __init__(
        self, detail: str, *, code: str | None = None, fields: list[FieldProblem] | None = None
    ) -> None:
        super().__init__(detail)
        self.detail = detail
        self.code = code or self.default_code
        self.fields = fields or []


class Malformed(Refusal):
    """The body cannot be read as what it claims to be."""

    status = 400
    default_code = "malformed"


class Forbidden(Refusal):
    """The person is known, and may not do this."""

    status = 403
    default_code = "forbidden"


class Missing(Refusal):
    """There is nothing here that the person may know of."""

    status = 404
    default_code = "not_found"


class Conflict(Refusal):
    """A rule or another entry stands against it; the detail says which."""

    status = 409
    default_code = "conflict"


class ViewOutdated(Refusal):
    """What the device holds can no longer be brought up to date in steps; it must be read anew."""

    status = 410
    default_code = "resync"


class Impossible(Refusal):
    """Well-formed, and no such value can exist."""

    status = 422
    default_code = "impossible_value"

    @classmethod
    def field(cls, field: str, value: Any, allowed: str, detail: str) -> Impossible:
        """Builds the refusal of one field."""
        return cls(detail, fields=[FieldProblem(field, value, allowed, detail)])
