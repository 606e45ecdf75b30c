"""Reads a JSON body, and refuses what JSON or a database cannot carry on."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import IO, Any, NoReturn

from rest_framework.exceptions import ParseError
from rest_framework.parsers import JSONParser


def _unique(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for name, value in pairs:
        if name in found:
            raise ValueError(f"the name {name[:60]!r} stands twice in one object")
        found[name] = value
    return found


def _no_constant(name: str) -> NoReturn:
    raise ValueError(f"{name} is not a JSON number")


class StrictJSONParser(JSONParser):
    """JSON as RFC 8259 has it: UTF-8, no NaN, no name twice, and no nesting deeper than the reader can follow."""

    def parse(
        self,
        stream: IO[bytes],
        media_type: str | None = None,
        parser_context: Mapping[str, Any] | None = None,
    ) -> Any:
        try:
            return json.loads(
                stream.read().decode("utf-8"), object_pairs_hook=_unique, parse_constant=_no_constant
            )
        except (ValueError, RecursionError) as error:
            reason = "it is nested too deeply" if isinstance(error, RecursionError) else str(error)
            raise ParseError(f"The body is not JSON: {reason}.") from None
