"""Reads the imports and calls of the Python floors and says which break the rules of the house.

The table below is the one of docs/architecture.md, "Who may import whom".
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

PACKAGE = "staveward"

# Floor -> the parts of the project it may import, each a dotted prefix below the package.
OWN: dict[str, tuple[str, ...]] = {
    "science": ("science",),
    "models": ("models", "science.vocabulary"),
    "selectors": ("selectors", "models", "science"),
    "services": ("services", "selectors", "models", "science"),
    # The edge speaks of errors, words and units; proof is a unit whose definition is the science's.
    "api": (
        "api",
        "services",
        "selectors",
        "models",
        "science.errors",
        "science.vocabulary",
        "science.alcoholometry",
    ),
    "management": ("management", "demo", "services", "selectors", "models"),
    # The demo club's history is made by the science itself and written through the services.
    "demo": ("demo", "services", "selectors", "models", "science"),
    "migrations": ("migrations", "models"),
    "config": ("config", "api", "services", "selectors", "models", "science"),
    "": ("models", "services", "selectors"),
}
# Floor -> libraries that may not be imported there.
BANNED_LIBRARIES: dict[str, tuple[str, ...]] = {
    "models": ("rest_framework", "drf_spectacular", "django.http", "allauth"),
    "selectors": ("rest_framework", "drf_spectacular", "django.http", "allauth"),
    "services": ("rest_framework", "drf_spectacular", "django.http"),
}
SCIENCE_LIBRARIES = {"numpy", "scipy", "__future__"}
SCIENCE_BANNED_MODULES = {"random", "secrets", "time", "os", "socket", "urllib", "subprocess", "logging"}
CLOCK_CALLS = {"now", "utcnow", "today"}
WRITES = {"save", "create", "bulk_create", "bulk_update", "get_or_create", "update_or_create", "delete"}
NO_WRITES = {"selectors", "api"}
# The sign-in library calls it "save" when its form sends the mail with which a person sets their password.
MAILS = {("api/accounts.py", "form.save")}


@dataclass(frozen=True)
class Breach:
    """One broken rule: where, and what it says."""

    path: str
    line: int
    rule: str

    def __str__(self) -> str:
        return f"{self.path}:{self.line}: {self.rule}"


def floor_of(path: Path) -> str:
    """Returns the floor of a file given relative to the package, "" for the package's own files."""
    return path.parts[0] if len(path.parts) > 1 else ""


def imports_of(tree: ast.AST, path: Path) -> Iterator[tuple[int, str]]:
    """Yields line and dotted name of everything imported, type-only and late imports included."""
    package = (PACKAGE, *path.parts[:-1])
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, name.name) for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            if node.level:
                above = package[: len(package) - node.level + 1]
                base = ".".join([*above, *([base] if base else [])])
            yield from ((node.lineno, f"{base}.{name.name}") for name in node.names)


def breaches(package: Path) -> list[Breach]:
    """Returns every breach in the package that lives in the given folder."""
    found: list[Breach] = []
    for file in sorted(package.rglob("*.py")):
        path = file.relative_to(package)
        tree = ast.parse(file.read_text(encoding="utf-8"))
        floor = floor_of(path)
        found += _import_breaches(tree, path, floor)
        if floor == "science":
            found += _science_breaches(tree, path)
        if floor in NO_WRITES:
            found += _write_breaches(tree, path, floor)
    return found + [Breach(f"services/{name}.py", 1, rule) for name, rule in _service_cycles(package)]


def _import_breaches(tree: ast.AST, path: Path, floor: str) -> Iterator[Breach]:
    if floor not in OWN:
        yield Breach(str(path), 1, f"{floor} is no floor of the house")
        return
    for line, name in imports_of(tree, path):
        if name == PACKAGE or name.startswith(f"{PACKAGE}."):
            inner = name.removeprefix(PACKAGE).lstrip(".")
            allowed = any(_is_below(inner, part) for part in OWN[floor])
            if not allowed:
                yield Breach(str(path), line, f"{floor or 'the package'} may not import {name}")
        elif any(_is_below(name, banned) for banned in BANNED_LIBRARIES.get(floor, ())):
            yield Breach(str(path), line, f"{floor} may not import {name}")
        elif floor == "science":
            top = name.split(".")[0]
            is_known = top in SCIENCE_LIBRARIES or top in sys.stdlib_module_names
            if not is_known or top in SCIENCE_BANNED_MODULES:
                yield Breach(str(path), line, f"science may not import {name}")


def _is_below(name: str, prefix: str) -> bool:
    return name == prefix or name.startswith(f"{prefix}.")


def _science_breaches(tree: ast.AST, path: Path) -> Iterator[Breach]:
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        called = ast.unparse(node.func)
        last = called.rsplit(".", maxsplit=1)[-1]
        if last in CLOCK_CALLS and "." in called:
            yield Breach(str(path), node.lineno, f"science has no clock: {called}()")
        if "random." in called and not (last == "default_rng" and (node.args or node.keywords)):
            yield Breach(str(path), node.lineno, f"science takes its chance from a passed seed: {called}()")
        if called == "open" or (
            last in ("read_text", "read_bytes", "write_text") and path.name != "tables.py"
        ):
            yield Breach(str(path), node.lineno, f"science reads no file but its own tables: {called}()")


def _write_breaches(tree: ast.AST, path: Path, floor: str) -> Iterator[Breach]:
    for node in ast.walk(tree):
        if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute)):
            continue
        name, owner = node.func.attr, ast.unparse(node.func.value)
        # dict.update and super().create() are no writes; a query set's update is.
        is_query = ".objects" in owner or "for_club" in owner or ".filter(" in owner
        if (str(path), f"{owner}.{name}") in MAILS:
            continue
        if (name in WRITES and not owner.startswith("super()")) or (name == "update" and is_query):
            yield Breach(str(path), node.lineno, f"{floor} never writes: .{name}()")


def _service_cycles(package: Path) -> Iterator[tuple[str, str]]:
    """Yields each service that can reach itself through its siblings' imports."""
    folder = package / "services"
    names = {file.stem for file in folder.glob("*.py")} - {"__init__"}
    reach: dict[str, set[str]] = {}
    for name in names:
        tree = ast.parse((folder / f"{name}.py").read_text(encoding="utf-8"))
        seen = set()
        for _, imported in imports_of(tree, Path("services") / f"{name}.py"):
            parts = imported.split(".")
            if parts[:2] == [PACKAGE, "services"] and len(parts) > 2 and parts[2] in names:
                seen.add(parts[2])
        reach[name] = seen
    for name in sorted(names):
        path = _path_back(name, reach)
        if path:
            yield name, f"services import each other in a circle: {' -> '.join(path)}"


def _path_back(start: str, reach: dict[str, set[str]]) -> list[str]:
    waiting = [[start, following] for following in sorted(reach[start])]
    seen = set()
    while waiting:
        path = waiting.pop(0)
        if path[-1] == start:
            return path
        if path[-1] not in seen:
            seen.add(path[-1])
            waiting += [[*path, following] for following in sorted(reach[path[-1]])]
    return []
