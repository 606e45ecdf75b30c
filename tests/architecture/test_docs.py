"""Every link and every command that the documents name is there."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from django.core.management import get_commands

from tests.architecture.house import ROOT, read, text_files

DOCS = text_files(".md")
LINK = re.compile(r"(?<!\\)\[[^\]]*\]\(([^)\s]+)\)")
IMAGE_OR_LINK_TARGET = re.compile(r"""<(?:img|a)\b[^>]*?(?:src|href)=["']([^"']+)["']""")
CODE = re.compile(r"```[^\n]*\n(.*?)```|`([^`\n]+)`", re.DOTALL)
MAKE = re.compile(r"(?:^|&& |\n|\$ )make ((?:[a-z.]+ ?)+)")
MANAGE = re.compile(r"manage\.py ([a-z_]+)")
SCRIPT = re.compile(
    r"\b((?:backend|tests|frontend|\.ci)/[\w./-]+\.(?:py|mjs|ts|tsx|json|csv|in|txt|toml)|\.ci/run)\b"
)
NPM = re.compile(r"npm run (?:--silent )?([a-z]+)")


def code_of(text: str) -> list[str]:
    return [block or inline for block, inline in CODE.findall(text)]


def anchors_of(text: str) -> set[str]:
    """Returns the anchors that the usual Markdown viewers give to headings."""
    titles = re.findall(r"^#+ (.+)$", text, re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", title.lower()).replace(" ", "-") for title in titles}


@pytest.mark.parametrize("path", DOCS, ids=str)
def test_every_link_leads_somewhere(path: Path):
    text = read(path)

    broken = []
    for target in LINK.findall(text) + IMAGE_OR_LINK_TARGET.findall(text):
        if re.match(r"[a-z]+:", target):
            continue
        name, _, anchor = target.partition("#")
        file = (ROOT / path).parent / name if name else ROOT / path
        if not file.exists() or (anchor and anchor not in anchors_of(file.read_text(encoding="utf-8"))):
            broken.append(target)

    assert broken == []


@pytest.mark.parametrize("path", DOCS, ids=str)
def test_every_command_exists(path: Path):
    code = "\n".join(code_of(read(path)))
    targets = set(re.findall(r"^([a-z]+):", read(Path("Makefile")), re.MULTILINE))
    scripts = json.loads(read(Path("frontend/package.json")))["scripts"]

    assert {word for words in MAKE.findall(code) for word in words.split()} - targets == set()
    assert set(MANAGE.findall(code)) - set(get_commands()) == set()
    assert {name for name in SCRIPT.findall(code) if not (ROOT / name).exists()} == set()
    assert set(NPM.findall(code)) - set(scripts) == set()


def test_the_readme_opens_with_the_job_and_shows_a_picture():
    lines = read(Path("README.md")).splitlines()

    assert lines[0] == "# Staveward"
    assert len(lines[2]) > 100 or len(" ".join(lines[2:8])) > 300
    assert any("docs/pictures/" in line for line in lines[:40])
    assert 100 <= len(lines) <= 180


def test_every_doc_is_in_the_index():
    index = read(Path("docs/index.md"))
    pages = [path for path in DOCS if path.parts[0] == "docs" and path.name != "index.md"]

    assert [str(path) for path in pages if str(path.relative_to("docs")) not in index] == []


def test_every_setting_of_a_deployment_is_in_the_operating_page():
    env = read(Path("backend/staveward/config/env.py"))
    table = env.split('"""')[1]
    named = set(re.findall(r"^([A-Z_]{4,}) +", table, re.MULTILINE))

    assert len(named) > 8
    assert {name for name in named if f"`{name}`" not in read(Path("docs/operating.md"))} == set()
