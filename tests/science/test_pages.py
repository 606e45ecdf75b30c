"""Each room of the science has its page, and the numbers on the page are worked out again."""

from __future__ import annotations

import doctest
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PAGES = sorted((ROOT / "docs" / "science").glob("*.md"))
ROOMS = {path.stem for path in (ROOT / "backend" / "staveward" / "science").glob("*.py")} - {"__init__"}
# Words, errors and tables have no formula; the inner steps are told on the page of the room above them.
WITHOUT_PAGE = {"vocabulary", "errors", "tables"}
ON_ANOTHER_PAGE = {
    "density_formula": "alcoholometry",
    "known_course": "ageing",
    "sulphite": "holding",
    "vapour": "evaporation",
    "barrel_curve": "geometry",
    "barrel_measures": "geometry",
    "barrel_readings": "calibration",
    "node_courses": "calibration",
    "mass_balance": "ageing",
    "courses": "ageing",
    "bookings": "planning",
    "dip_strip": "geometry",
    "fill_plan": "blending",
    "oak_plan": "planning",
    "peak_mixture": "liking",
    "season_model": "season",
}


def examples_of(page: Path) -> doctest.DocTest:
    """Joins the page's blocks of Python into one example run from top to bottom."""
    blocks = re.findall(r"```python\n(.*?)```", page.read_text(encoding="utf-8"), flags=re.S)
    return doctest.DocTestParser().get_doctest("\n".join(blocks), {}, page.stem, str(page), 0)


def test_every_room_has_its_page():
    """A page for each room, and no page without a room; inner steps are named where they are told."""
    named = {path.stem for path in PAGES}

    assert named <= ROOMS
    assert ROOMS - WITHOUT_PAGE - set(ON_ANOTHER_PAGE) <= named
    for inner, room in ON_ANOTHER_PAGE.items():
        page = ROOT / "docs" / "science" / f"{room}.md"
        assert f"science/{inner}.py" in page.read_text(encoding="utf-8")


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_its_page_names_room_and_sources(page: Path):
    """Which file it pairs with, and what stands behind it."""
    text = page.read_text(encoding="utf-8")

    assert f"science/{page.stem}.py" in text
    assert "## Sources" in text
    assert "## Worked example" in text


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_its_numbers_are_worked_out_again(page: Path):
    """What the page shows is what the code answers."""
    examples = examples_of(page)
    runner = doctest.DocTestRunner(optionflags=doctest.NORMALIZE_WHITESPACE)
    told: list[str] = []
    outcome = runner.run(examples, out=told.append)

    assert outcome.attempted >= 2
    assert not outcome.failed, "".join(told)
