"""The house keeps its shape, and nothing of the machine it was built on is left in it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.architecture.house import house_files, read, text_files

TOP = {
    "pyproject.toml",
    "README.md",
    "DEVELOPERS.md",
    "CHANGELOG.md",
    "LICENSE",
    "Makefile",
    ".ci",
    ".editorconfig",
    ".gitattributes",
    ".gitignore",
    "backend",
    "frontend",
    "tests",
    "fixtures",
    "docs",
}
BACKEND = {
    "manage.py",
    "requirements",
    "staveward",
    "preflight.py",
    "gunicorn.conf.py",
    "tick_loop.py",
    "openapi.json",
}
TESTS = {
    "__init__.py",
    "conftest.py",
    "factories.py",
    "ids.py",
    "ledger.py",
    "reading.py",
    "reserving.py",
    "settings.py",
    "run.py",
    "machine.py",
    "served.py",
    "postgres.py",
    "mutants.py",
    "pictures",
    "science",
    "services",
    "selectors",
    "api",
    "architecture",
    "web",
    "e2e",
    "bench",
    "lighthouse",
}
LONGEST_LINES = 600
GENERATED = {"schema.d.ts", "package-lock.json", "openapi.json"}
GENERATED_FOLDERS = {"migrations"}
CODE = (".py", ".ts", ".tsx", ".css", ".mjs")

# Put together from halves, so that this file does not hold what it looks for.
MACHINE = re.compile(
    "|".join(
        [
            r"(?<![\w.])/(?:root|home/\w+|wor" + r"k/\w+|tm" + r"p/)",
            "py" + r"pi\.(?:org|python)",
            "python" + "hosted",
            "registry" + r"\.(?:npm|yarn)",
            "npm" + r"js\.(?:org|com)",
            "deb" + r"\.debian\.org",
        ]
    )
)
UNFINISHED = re.compile(
    r"\b(?:TO" + r"DO|FIX" + r"ME|XX" + r"X)\b"
    r"|mark\.(?:xf" + r"ail|sk" + r"ip)|pytest\.(?:xf" + r"ail|sk" + r"ip|importor" + r"skip)"
    r"|\b(?:it|test|describe)\.(?:sk" + r"ip|todo|only)\("
)
OUTSIDE = re.compile(
    r"\biss" + r"ues?\s+#?\d+\b|\biss" + r"ues show\b|\b(?:this|the) br" + r"ief\b", re.IGNORECASE
)


def test_the_top_level_holds_only_what_belongs_there():
    assert {path.parts[0] for path in house_files()} - TOP == set()


def test_backend_and_tests_hold_only_what_belongs_there():
    assert {path.parts[1] for path in house_files() if path.parts[0] == "backend"} - BACKEND == set()
    assert {path.parts[1] for path in house_files() if path.parts[0] == "tests"} - TESTS == set()


def test_no_module_is_too_long_to_tell_one_story():
    long = {
        str(path): lines
        for path in text_files(*CODE)
        if path.name not in GENERATED
        and not GENERATED_FOLDERS & set(path.parts)
        and (lines := read(path).count("\n")) > LONGEST_LINES
    }

    assert long == {}


@pytest.mark.parametrize(
    ("pattern", "what"),
    [
        (MACHINE, "a path or host of some machine"),
        (UNFINISHED, "something unfinished"),
        (OUTSIDE, "an outside note"),
    ],
    ids=["machine", "unfinished", "outside"],
)
def test_no_file_holds(pattern: re.Pattern[str], what: str):
    found = [
        f"{path}:{number}: {what}: {match.group()}"
        for path in text_files()
        for number, line in enumerate(read(path).splitlines(), 1)
        if (match := pattern.search(line))
    ]

    assert found == []


@pytest.mark.parametrize(
    ("pattern", "line"),
    [
        (MACHINE, "see /wor" + "k/main/x"),
        (MACHINE, '"/tm' + 'p/x"'),
        (MACHINE, "https://files.python" + "hosted.org"),
        (UNFINISHED, "# TO" + "DO: later"),
        (UNFINISHED, "@pytest.mark.sk" + "ip"),
        (UNFINISHED, "it.sk" + "ip('x')"),
        (OUTSIDE, "as iss" + "ue 2 says"),
    ],
)
def test_the_search_finds(pattern: re.Pattern[str], line: str):
    assert pattern.search(line)


def test_locks_name_no_host():
    for path in text_files(".txt"):
        if "requirements" in path.parts:
            assert "://" not in read(path), path
    for path in house_files():
        if path.name == "package-lock.json":
            assert '"resolved"' not in read(path), path


def test_every_lock_line_has_a_hash():
    for name in ("base", "dev", "node"):
        blocks = re.split(r"\n(?=\S)", read(Path(f"backend/requirements/{name}.txt")).strip())

        assert blocks
        assert all("--hash=sha256:" in block for block in blocks)
