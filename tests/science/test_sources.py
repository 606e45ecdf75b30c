"""The page of sources names every source that a docstring, a table or a check row leans on."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from staveward.science.tables import read_header

from .test_docstrings import FUNCTIONS, sections_of
from .vectors import OWN_FOLDER

ROOT = Path(__file__).parents[2]
PAGE = " ".join((ROOT / "docs" / "sources.md").read_text(encoding="utf-8").split())
TABLES = sorted(path.stem for path in (ROOT / "backend" / "staveward" / "science" / "data").glob("*.csv"))
# Laws, standards and collections by their own names; authors by a capital word and a year.
STANDARD = re.compile(
    r"OIML R 22|JCGM 100:2008|IAPWS|USP 29|OEIS A\d+|(?:27|49) CFR(?: part)? \d+|ISO \d+(?::\d+)?"
    r"|Regulation \(E[CU]\) (?:No )?\d+/\d+|Directive \d+/\d+|DECHEMA|DescTools|HiGHS|WineMaker|[a-z]+\.com"
)
AUTHOR = re.compile(r"\b([A-Z][a-zé]{3,})\b(?=[^;|]{0,160}?\b(1[6-9]\d\d|20[0-3]\d)\b)")
# Words that stand before a year and are no author.
NO_AUTHOR = {
    "International", "Table", "Tables", "Annex", "Shape", "Fitted", "Form", "Working", "Weekday", "Best", "Source",
    "Unit", "Spreads", "Typical", "Where", "Range", "Largest", "Standard", "Alcoholometric", "Guide", "Probable",
    "Statistical", "Regression", "Strictly", "Intraclass", "Parallelizing", "Vapor", "Fair", "University", "Press",
    "Council", "Regulation", "Critical", "Quality", "Closed", "Ideal", "Common",
}  # fmt: skip


def rows_of(found: Any) -> list[str]:
    """Gives every source of a check file as text."""
    if isinstance(found, dict):
        own = found.get("source")
        said = [own if isinstance(own, str) else " ".join(str(part) for part in own.values())] if own else []
        return said + [text for value in found.values() for text in rows_of(value)]
    return [text for value in found for text in rows_of(value)] if isinstance(found, list) else []


def told() -> dict[str, str]:
    """Gives what each function, table and check file says of its sources."""
    said = {name: sections_of(function)[1].get("Source", "") for name, function in FUNCTIONS}
    said |= {f"table {name}": read_header(name) for name in TABLES}
    for path in OWN_FOLDER.glob("*_checks.json"):
        texts = sorted(set(rows_of(json.loads(path.read_text(encoding="utf-8")))))
        said |= {f"{path.stem} {number}": text for number, text in enumerate(texts)}
    return {name: " ".join(text.split()) for name, text in said.items()}


TOLD = told()


def is_named(standard: str) -> bool:
    """A section of the code of regulations is named by its part."""
    short = re.sub(r"(\d+ CFR)(?: part)? (\d+)", r"\1", standard)
    number = re.search(r"CFR(?: part)? (\d+)", standard)
    return (short in PAGE and (number is None or number.group(1) in PAGE)) or standard.replace(
        "No ", ""
    ) in PAGE


@pytest.mark.parametrize("name", sorted(TOLD))
def test_the_page_names_its_sources(name: str):
    """Each standard by its number, each author by name and year."""
    text = TOLD[name]

    for standard in set(STANDARD.findall(text)):
        assert is_named(standard), standard
    for piece in re.split(r";|\. (?=[A-Z])", text):
        found = AUTHOR.search(piece)
        if found is None or STANDARD.search(piece) or set(re.findall(r"[A-Z][a-zé]{3,}", piece)) <= NO_AUTHOR:
            continue
        names = [word for word, _ in AUTHOR.findall(piece) if word not in NO_AUTHOR]
        assert any(word in PAGE for word in names), piece


def test_a_source_that_is_missing_is_seen():
    """The look-up is no formality."""
    assert not is_named("ISO 99999:2031")
    assert AUTHOR.search("Nobody and Noone, Journal 1 (1999) 2")
    assert "Nobody" not in PAGE
