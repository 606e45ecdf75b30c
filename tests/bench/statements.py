"""Catches the statements a request sends to the database, and sends them again without the program around them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any
from uuid import UUID

from django.db import connection

Statement = tuple[str, Any]


@contextmanager
def caught() -> Iterator[list[Statement]]:
    """Yields the list that every statement of the block is written to."""
    statements: list[Statement] = []

    def note(execute: Callable[..., Any], sql: str, params: Any, many: bool, context: dict[str, Any]) -> Any:
        statements.append((sql, params))
        return execute(sql, params, many, context)

    with connection.execute_wrapper(note):
        yield statements


def replay(statements: list[Statement]) -> int:
    """Sends statements raw and reads all rows; returns how many there were."""
    rows = 0
    with connection.cursor() as cursor:
        for sql, params in statements:
            cursor.execute(sql, params)
            if cursor.description is not None:
                rows += len(cursor.fetchall())
    return rows


def with_new_key(statements: list[Statement], old: UUID, new: UUID) -> list[Statement]:
    """Returns the statements with one key put for another, however the database writes keys."""

    def changed(value: Any) -> Any:
        if value == old or value == old.hex:
            return new if value == old else new.hex
        if isinstance(value, str):
            return value.replace(str(old), str(new)).replace(old.hex, new.hex)
        return value

    return [(sql, tuple(changed(one) for one in params) if params else params) for sql, params in statements]
