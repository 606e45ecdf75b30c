"""Edits in place (a register, a setting, a role): compare the version, set the named fields, write the ledger.

What people edit has a ``version``; an edit made against an older one is refused, so nobody overwrites what they have
not seen. The edit itself is an act like any other, so the audit trail is whole.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.db import models

from staveward.models import Act, Barrel, Club, Person
from staveward.services.acts import act_note
from staveward.services.errors import Conflict, FieldProblem, Impossible


@dataclass(frozen=True)
class EditCommand:
    """One edit as it arrived: who, against which version, and the named fields with their typed values."""

    club: Club
    author: Person
    path: str
    body: dict[str, Any]
    body_sha256: str
    version: int
    changes: dict[str, Any]
    now: datetime


def edit_save(
    command: EditCommand,
    row: models.Model,
    changes: dict[str, Any],
    *,
    collection: str,
    barrel: Barrel | None = None,
) -> Act:
    """Sets fields of a row if its version is still the one the edit was made against; returns the entry it leaves.

    Runs inside the caller's transaction.
    """
    model = type(row)
    for name, value in changes.items():
        setattr(row, name, value)
    unique_checked(row, changes)
    found = model._default_manager.filter(pk=row.pk, version=command.version).update(
        **changes, version=command.version + 1
    )
    if not found:
        current = model._default_manager.filter(pk=row.pk).values_list("version", flat=True).first()
        raise Conflict(
            "Somebody else changed this in the meantime. Look at it anew, then change it.",
            code="version_changed",
            fields=[
                FieldProblem("version", command.version, str(current), f"The version is {current} by now.")
            ],
        )
    row.refresh_from_db()
    return act_note(
        club=command.club,
        author=command.author,
        collection=collection,
        path=command.path,
        body=command.body,
        body_sha256=command.body_sha256,
        now=command.now,
        barrel=barrel,
    )


def unique_checked(row: models.Model, named: dict[str, Any]) -> None:
    """Runs the model's own checks and says a refusal with the value that was sent."""
    try:
        row.full_clean(validate_unique=False, validate_constraints=False)
    except ValidationError as error:
        name, texts = next(iter(error.message_dict.items()))
        raise Impossible.field(name, named.get(name), "", " ".join(texts)) from None
    try:
        row.validate_unique()
        row.validate_constraints()
    except ValidationError as error:
        codes = getattr(error, "error_dict", {"": error.error_list if hasattr(error, "error_list") else []})
        raise _constraint_refusal(row, codes, named) from None


def _constraint_refusal(
    row: models.Model, codes: dict[str, Any], named: dict[str, Any]
) -> Conflict | Impossible:
    texts = [problem for problems in codes.values() for problem in problems]
    if any(getattr(problem, "code", "") in ("unique", "unique_together") for problem in texts):
        taken = [name for name in ("name", "tag_code", "user") if _is_taken(row, name)]
        field = taken[0] if taken else ""
        return Conflict(
            "This is taken already; each stands once in a club.",
            code="taken",
            fields=[FieldProblem(field, named.get(field), "one that no other has", "This is taken already.")],
        )
    return Impossible(
        "The values contradict one another.",
        fields=[FieldProblem(name, value, "", "Contradicts the rest.") for name, value in named.items()],
    )


def _is_taken(row: models.Model, name: str) -> bool:
    if not any(field.name == name for field in row._meta.concrete_fields):
        return False
    value = getattr(row, name)
    if value in (None, ""):
        return False
    others = type(row)._default_manager.filter(club_id=getattr(row, "club_id"), **{name: value})  # noqa: B009
    return others.exclude(pk=row.pk).exists()
