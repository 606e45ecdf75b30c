"""Checks a body against a serializer and says of each refused field what was sent and what is allowed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from rest_framework import serializers
from rest_framework.exceptions import ErrorDetail

from staveward.api.fields import IMPOSSIBLE_CODES
from staveward.services.errors import FieldProblem, Impossible, Malformed

MANY_FIELDS = 20


def validated(
    serializer_class: type[serializers.Serializer[Any]], body: Any, *, partial: bool = False, **context: Any
) -> dict[str, Any]:
    """Returns the body typed, or refuses it: 400 where something is malformed, else 422."""
    serializer = serializer_class(data=body, partial=partial, context=context)
    if serializer.is_valid():
        return dict(serializer.validated_data)
    rows: list[FieldProblem] = []
    is_malformed = False
    for path, field, value, error in _walk(serializer.errors, serializer, body, ()):
        # An unknown name has no field of its own, so the body that holds it says what it knows.
        allowed = str(getattr(field, "allowed", ""))
        name = ".".join(str(step) for step in path)
        rows.append(FieldProblem(name, value, allowed, _sentence(name, str(error), allowed)))
        is_malformed = is_malformed or error.code not in IMPOSSIBLE_CODES
    refusal = Malformed if is_malformed else Impossible
    raise refusal(rows[0].detail, fields=rows[:MANY_FIELDS])


def _sentence(name: str, text: str, allowed: str) -> str:
    head = f"{name}: {text}" if name else text
    return f"{head} Allowed: {allowed}." if allowed else head


Found = tuple[tuple[str | int, ...], Any, Any, ErrorDetail]


def _walk(errors: Any, field: Any, value: Any, path: tuple[str | int, ...]) -> Iterator[Found]:
    """Pairs every error with its field and the value as sent, however deep it lies."""
    if isinstance(errors, Mapping):
        for name, inner in errors.items():
            if name == "non_field_errors":
                yield from _walk(inner, field, value, path)
                continue
            child = _child(field, name)
            yield from _walk(inner, child if child is not None else field, _pick(value, name), (*path, name))
    elif isinstance(errors, Sequence) and not isinstance(errors, str):
        for index, inner in enumerate(errors):
            if isinstance(inner, ErrorDetail):
                yield path, field, value, inner
            elif inner:
                yield from _walk(inner, _child(field, index), _pick(value, index), (*path, index))


def _child(field: Any, name: str | int) -> Any:
    if isinstance(field, serializers.ListSerializer | serializers.ListField):
        return field.child
    if isinstance(field, serializers.Serializer):
        return field.fields.get(str(name))
    return None


def _pick(value: Any, name: str | int) -> Any:
    if isinstance(value, Mapping):
        return value.get(name)
    if (
        isinstance(value, Sequence)
        and not isinstance(value, str)
        and str(name).isdigit()
        and int(name) < len(value)
    ):
        return value[int(name)]
    return None
