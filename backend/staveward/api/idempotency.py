"""The fingerprint of a body as sent, so that a repeated act is known and another one under its id is refused."""

from __future__ import annotations

import hashlib
import re
from typing import Any
from uuid import UUID

import rfc8785

from staveward.services.errors import FieldProblem, Malformed

UUID7_PATTERN = r"^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$"
_UUID7 = re.compile(UUID7_PATTERN)


def body_sha256(body: dict[str, Any]) -> str:
    """Returns the SHA-256 of a body in canonical form (RFC 8785), in hexadecimal."""
    try:
        return hashlib.sha256(rfc8785.dumps(body)).hexdigest()
    except (rfc8785.CanonicalizationError, UnicodeError, RecursionError) as error:
        raise Malformed(f"The body cannot be written as canonical JSON (RFC 8785): {error}.") from None


def uuid7_checked(text: str) -> UUID:
    """Returns the id in an address, or refuses one that is not a UUID of version 7."""
    if not _UUID7.fullmatch(text.lower()):
        raise Malformed(
            f"{text[:60]!r} cannot be the id of a new entry.",
            fields=[
                FieldProblem(
                    "id", text, "a UUID version 7", "The id in the address must be a UUID version 7."
                )
            ],
        )
    return UUID(text)
