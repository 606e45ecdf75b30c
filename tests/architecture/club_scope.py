"""Finds look-ups by key that could reach into another club.

The club comes from the address, so whatever a request names is looked up with ``for_club``. A look-up is suspect
when it asks a club's rows for a key that is not read off a row already at hand: ``filter(pk=data["barrel"])``,
``get(id=barrel_id)``. Reading the key off a row (``filter(pk=act.barrel_id)``) is sound, for that row was found so.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

KEYS = {"pk", "id", "pk__in", "id__in"}
SCOPES = {"club", "club_id", "barrel"}
LOOKUPS = {"filter", "get", "exclude", "in_bulk", "aget", "get_or_create", "update_or_create"}
FLOORS = ("selectors", "services", "api")


@dataclass(frozen=True)
class Suspect:
    """One look-up by key outside ``for_club``: file, function and line."""

    path: str
    function: str
    line: int
    code: str

    def __str__(self) -> str:
        return f"{self.path}:{self.line}: {self.function}: {self.code}"


def suspects(package: Path, club_models: set[str]) -> list[Suspect]:
    """Returns every suspect look-up of the given models below the package's folder."""
    found: list[Suspect] = []
    for floor in FLOORS:
        for file in sorted((package / floor).rglob("*.py")):
            tree = ast.parse(file.read_text(encoding="utf-8"))
            path = str(file.relative_to(package))
            for function, call in _calls(tree, ""):
                if _is_suspect(call, club_models):
                    found.append(Suspect(path, function, call.lineno, ast.unparse(call)))
    return found


def _calls(node: ast.AST, function: str) -> Iterator[tuple[str, ast.Call]]:
    for child in ast.iter_child_nodes(node):
        inside = child.name if isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef) else function
        if isinstance(child, ast.Call):
            yield inside, child
        yield from _calls(child, inside)


def _is_suspect(call: ast.Call, club_models: set[str]) -> bool:
    name = call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")
    if name in ("get_object_or_404", "get_list_or_404") and call.args:
        return _model_of(call.args[0]) in club_models and not _is_scoped(call.args[0])
    if name not in LOOKUPS or not isinstance(call.func, ast.Attribute):
        return False
    if _model_of(call.func.value) not in club_models or _is_scoped(call.func.value):
        return False
    if any(word.arg in SCOPES for word in call.keywords):
        return False
    values = [word.value for word in call.keywords if word.arg in KEYS]
    values += call.args if name == "in_bulk" else []
    return any(not _is_read_off_a_row(value) for value in values)


def _model_of(chain: ast.expr) -> str:
    """Returns the model that a chain such as ``Barrel.objects.filter(...)`` begins with."""
    while not isinstance(chain, ast.Name):
        if isinstance(chain, ast.Call):
            chain = chain.func
        elif isinstance(chain, ast.Attribute):
            chain = chain.value
        else:
            return ""
    return chain.id


def _is_scoped(chain: ast.expr) -> bool:
    return any(isinstance(node, ast.Attribute) and node.attr == "for_club" for node in ast.walk(chain))


def _is_read_off_a_row(value: ast.expr) -> bool:
    if isinstance(value, ast.Attribute):
        return value.attr in ("pk", "id") or value.attr.endswith("_id")
    if isinstance(value, ast.ListComp | ast.SetComp | ast.GeneratorExp):
        return _is_read_off_a_row(value.elt)
    if isinstance(value, ast.List | ast.Tuple | ast.Set):
        return all(_is_read_off_a_row(part) for part in value.elts)
    # A query set over rows that were themselves found soundly: a subquery.
    return (
        isinstance(value, ast.Call) and isinstance(value.func, ast.Attribute) and value.func.attr == "values"
    )
