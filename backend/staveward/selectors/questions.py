"""Questions about the barrels of a club that Django puts into SQL once and then only sends.

To open one barrel some twenty of them are asked. Each is answered from an index in a fraction of the millisecond that
Django takes to write its SQL; so the SQL of the first asking is kept, and the next sends it with its own keys.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Any, NamedTuple
from uuid import UUID

from django.db import connections
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.models import Q, QuerySet

# Stand-ins for what differs from one asking to the next; nothing else in a statement is ever equal to one of them.
_CLUB = UUID("00000000-0000-4000-8000-c1b000000000")
_BARREL = UUID("00000000-0000-4000-8000-ba44e1000000")
_DAY = date(1, 2, 3)
# Of one question: a statement for each power of two up to the longest page, and one for all of a club.
_STATEMENTS_KEPT = 32


@dataclass(frozen=True)
class Scope:
    """Which barrels a read is about: some of a club's, or all of them."""

    club_id: UUID
    barrel_ids: tuple[UUID, ...] | None = None

    def on(self, barrel: str, club: str) -> Q:
        """Returns the condition, given the paths from a table to its barrel and its club."""
        if self.barrel_ids is None:
            return Q(**{club: self.club_id})
        return Q(**{club: self.club_id, f"{barrel}__in": self.barrel_ids})


class _Statement(NamedTuple):
    """SQL, its values, which of them are stand-ins, and how Django reads each column of the answer."""

    sql: str
    values: tuple[Any, ...]
    stand_ins: dict[int, int]
    converters: list[tuple[int, list[Callable[..., Any]], Any]]


class Question:
    """A question that is asked of a scope, and of days where it needs any: calling it returns the rows."""

    def __init__(self, ask: Callable[..., QuerySet[Any, Any]]) -> None:
        self.ask = ask
        self.statement = lru_cache(_STATEMENTS_KEPT)(self._statement)

    def __call__(self, scope: Scope, *days: date) -> list[tuple[Any, ...]]:
        keys = scope.barrel_ids
        if keys is not None:
            if not keys:
                return []
            # Filled up with its last key, a list of any length is one of a few lengths.
            keys += keys[-1:] * (_room(len(keys)) - len(keys))
        connection = connections["default"]
        statement = self.statement(connection.vendor, None if keys is None else len(keys), len(days))
        meant = _sent(connection, (scope.club_id, *(keys or ()), *days))
        values = list(statement.values)
        for position, number in statement.stand_ins.items():
            values[position] = meant[number]
        with connection.cursor() as cursor:
            cursor.execute(statement.sql, values)
            rows = cursor.fetchall()
        return _read(rows, statement.converters, connection)

    def _statement(self, vendor: str, key_count: int | None, day_count: int) -> _Statement:
        keys = None if key_count is None else tuple(UUID(int=_BARREL.int + n) for n in range(key_count))
        days = [date(_DAY.year + n, _DAY.month, _DAY.day) for n in range(day_count)]
        connection = connections["default"]
        compiler = self.ask(Scope(_CLUB, keys), *days).query.get_compiler(connection=connection)
        sql, values = compiler.as_sql()
        sent = _sent(connection, (_CLUB, *(keys or ()), *days))
        stand_in = {value: number for number, value in enumerate(sent)}
        stand_ins = {
            position: stand_in[value]
            for position, value in enumerate(values)
            if isinstance(value, str | UUID | date) and value in stand_in
        }
        if set(stand_ins.values()) != set(stand_in.values()):
            raise LookupError(f"{self.ask.__name__} does not ask for the whole of its scope")
        columns = [column[0] for column in compiler.select[: compiler.col_count]]
        converters = [
            (position, convert, expression)
            for position, (convert, expression) in compiler.get_converters(columns).items()
        ]
        return _Statement(sql, tuple(values), stand_ins, converters)


def _room(length: int) -> int:
    return 1 << (length - 1).bit_length()


def _sent(connection: BaseDatabaseWrapper, values: Sequence[UUID | date]) -> list[Any]:
    """Returns keys and days as the database takes them."""
    if connection.features.has_native_uuid_field:
        return list(values)
    return [value.hex if isinstance(value, UUID) else str(value) for value in values]


def _read(
    rows: list[tuple[Any, ...]],
    converters: list[tuple[int, list[Callable[..., Any]], Any]],
    connection: BaseDatabaseWrapper,
) -> list[tuple[Any, ...]]:
    if not converters:
        return rows
    # In its own place, so that a long answer is not held twice.
    for number, row in enumerate(rows):
        values = list(row)
        for position, convert, expression in converters:
            value = values[position]
            for one in convert:
                value = one(value, expression, connection)
            values[position] = value
        rows[number] = tuple(values)
    return rows
