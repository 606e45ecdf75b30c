"""Table files are whole: row counts and sums are pinned, so that a damaged digit shows. Sources stand in the files."""

from __future__ import annotations

import pytest

from staveward.science.errors import OutOfRange
from staveward.science.tables import read_column, read_header, read_rows
from staveward.science.vocabulary import Family, SpiritKind

# Table, rows, a column and its sum.
TABLES = [
    ("oiml_r22", 54, "coefficient", 788.3836),
    ("saturation_pressure", 12, "coefficient", -27.8749),
    ("wood_limits", 7, "typical", 51.5),
    ("carry_over_pairs", 25, "value", 34.0),
    ("flash_point", 10, "published_c", 306.0),
    ("keeping", 5, "spirit_days", 1380.0),
    ("keeping", 5, "mix_days", 674.0),
    ("keeping", 5, "wine_days", 112.0),
    ("standard_drinks", 7, "grams", 95.45),
]


@pytest.mark.parametrize(("name", "rows", "column", "total"), TABLES, ids=[row[0] for row in TABLES])
def test_the_table_is_whole(name: str, rows: int, column: str, total: float):
    """Rows and sum as when it was checked against its source."""
    assert len(read_rows(name)) == rows
    assert float(read_column(name, column).sum()) == pytest.approx(total, abs=1e-3)


@pytest.mark.parametrize("name", [row[0] for row in TABLES])
def test_the_table_says_unit_and_source(name: str):
    """At the top of the file."""
    header = read_header(name)

    assert "Source" in header
    assert "Unit" in header


def test_the_tables_cover_the_vocabulary():
    """A limit for every kind of spirit, a verdict for every pair of families."""
    assert {row["spirit"] for row in read_rows("wood_limits")} == set(SpiritKind)
    pairs = {(row["held"], row["next"]) for row in read_rows("carry_over_pairs")}
    assert pairs == {(held, following) for held in Family for following in Family}


def test_a_table_cannot_be_changed_by_a_reader():
    """Columns are kept and shared, so they are read-only."""
    column = read_column("wood_limits", "typical")

    with pytest.raises(ValueError, match="read-only"):
        column[0] = 99.0


def test_an_unknown_table_or_column_is_refused():
    """With the names that there are."""
    for call in (lambda: read_rows("../errors"), lambda: read_column("wood_limits", "median")):
        with pytest.raises(OutOfRange) as caught:
            call()
        assert "one of" in caught.value.bound
