"""Reads the import lines of the web app and says which break the rules of the house.

A type-only import counts: what a floor knows, it knows. The table is the one of docs/architecture.md.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path, PurePosixPath

from tests.architecture.python_layers import Breach

# Floor -> floors it may import; "" is what holds the app together (main, app, routes).
OWN: dict[str, set[str]] = {
    "science": {"science"},
    "api": {"api", "science"},
    "store": {"store", "api", "science"},
    "outbox": {"outbox", "store", "api", "science"},
    "sync": {"sync", "outbox", "store", "api", "science"},
    "scan": {"scan", "science"},
    "components": {"components", "sync", "outbox", "store", "api", "science", "styles"},
    "pages": {"pages", "components", "scan", "sync", "outbox", "store", "api", "science", "styles", ""},
    "sw": {"sw"},
    "styles": {"styles"},
    "": {"", "pages", "components", "scan", "sync", "outbox", "store", "api", "science", "styles"},
}
# What holds the app together is imported by pages only for the addresses of other pages.
ROOT_FILES_FOR_PAGES = {"routes"}
# Floors that must run without a page: libraries they may use.
LIBRARIES: dict[str, tuple[str, ...]] = {
    "science": (),
    "store": ("idb", "@preact/signals"),
    "outbox": ("idb", "uuid", "@preact/signals"),
    "sw": ("workbox-",),
}
NO_PAGE = re.compile(r"\b(?:document|window|localStorage|navigator|indexedDB)\s*\.|\bfetch\s*\(")
IMPORT = re.compile(
    r"""^\s*(?:import|export)\b[^'"`;]*?\bfrom\s*['"](?P<a>[^'"]+)['"]"""
    r"""|^\s*import\s*['"](?P<b>[^'"]+)['"]"""
    r"""|\bimport\s*\(\s*['"](?P<c>[^'"]+)['"]\s*\)""",
    re.MULTILINE,
)
COMMENT = re.compile(r"/\*.*?\*/|(?<!:)//[^\n]*", re.DOTALL)


def breaches(source: Path) -> list[Breach]:
    """Returns every breach in the web app's source folder."""
    found: list[Breach] = []
    for file in sorted([*source.rglob("*.ts"), *source.rglob("*.tsx")]):
        if not file.name.endswith(".d.ts"):
            found += _file_breaches(file.read_text(encoding="utf-8"), PurePosixPath(file.relative_to(source)))
    return found


def _file_breaches(text: str, path: PurePosixPath) -> Iterator[Breach]:
    floor = path.parts[0] if len(path.parts) > 1 else ""
    if floor not in OWN:
        yield Breach(str(path), 1, f"{floor} is no floor of the house")
        return
    code = COMMENT.sub(lambda comment: "\n" * comment.group().count("\n"), text)
    for match in IMPORT.finditer(code):
        name = match["a"] or match["b"] or match["c"]
        line = code.count("\n", 0, match.start(match.lastgroup or 0)) + 1
        rule = _import_rule(name, floor, path)
        if rule:
            yield Breach(str(path), line, rule)
    if floor == "science":
        for match in NO_PAGE.finditer(code):
            yield Breach(
                str(path), code.count("\n", 0, match.start()) + 1, "science knows no page and no network"
            )


def _import_rule(name: str, floor: str, path: PurePosixPath) -> str:
    """Returns what is wrong with one import, or nothing."""
    if name.startswith("~/"):
        target = PurePosixPath(name[2:])
    elif name.startswith("."):
        target = _resolved(path.parent, name)
    else:
        allowed = LIBRARIES.get(floor)
        if (
            allowed is not None
            and not name.startswith("virtual:")
            and not any(name.startswith(one) for one in allowed)
        ):
            return f"{floor} may not use the library {name}"
        return ""
    other = target.parts[0] if len(target.parts) > 1 or target.parts[0] in OWN else ""
    if other not in OWN[floor]:
        return f"{floor or 'the app'} may not import {other or target}"
    if floor == "pages" and other == "" and target.stem not in ROOT_FILES_FOR_PAGES:
        return f"pages may not import {target}"
    return ""


def _resolved(folder: PurePosixPath, name: str) -> PurePosixPath:
    parts = list(folder.parts)
    for part in PurePosixPath(name).parts:
        if part == "..":
            if not parts:
                return PurePosixPath("outside", name)
            parts.pop()
        elif part != ".":
            parts.append(part)
    return PurePosixPath(*parts)
