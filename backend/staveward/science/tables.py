"""Reads the table files in ``data``.

Each file is comma-separated text. Lines that begin with ``#`` come first and say what the table is, its
unit and its source; the next line names the columns. A table is read once and kept.
"""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import numpy as np

from .errors import Array, OutOfRange

_FOLDER = Path(__file__).parent / "data"


@cache
def read_rows(name: str) -> tuple[dict[str, str], ...]:
    """Reads a table as text, one dict a row.

    Parameters
    ----------
    name : str, scalar
        File name in ``data`` without its ending [text].

    Returns
    -------
    tuple of dict, shape (n_rows,)
        Column name to cell [text].

    Raises
    ------
    OutOfRange
        If there is no such table.

    Source
    ------
    Common practice, no source; each file carries its own.

    Examples
    --------
    >>> read_rows("wood_limits")[0]["spirit"]
    'agave'
    """
    path = _FOLDER / f"{name}.csv"
    known = sorted(entry.stem for entry in _FOLDER.glob("*.csv"))
    if name not in known:
        raise OutOfRange("name", name, "one of " + ", ".join(known))
    lines = [line for line in path.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    return tuple(csv.DictReader(lines))


def read_header(name: str) -> str:
    """Reads the comment lines of a table: what it is, its unit, its source.

    Parameters
    ----------
    name : str, scalar
        File name in ``data`` without its ending [text].

    Returns
    -------
    str, scalar
        The comment lines without their marks [text].

    Raises
    ------
    OutOfRange
        If there is no such table.

    Source
    ------
    Common practice, no source; each file carries its own.

    Examples
    --------
    >>> "Source" in read_header("oiml_r22")
    True
    """
    read_rows(name)
    lines = (_FOLDER / f"{name}.csv").read_text(encoding="utf-8").splitlines()
    return "\n".join(line.lstrip("# ") for line in lines if line.startswith("#"))


@cache
def read_column(name: str, column: str) -> Array:
    """Reads one column of a table as doubles (read-only).

    Parameters
    ----------
    name : str, scalar
        File name in ``data`` without its ending [text].
    column : str, scalar
        The column's name [text].

    Returns
    -------
    ndarray, shape (n_rows,)
        The numbers [unit given in the file].

    Raises
    ------
    OutOfRange
        If there is no such table or column.

    Source
    ------
    Common practice, no source; each file carries its own.

    Examples
    --------
    >>> float(read_column("wood_limits", "typical")[0])
    10.0
    """
    rows = read_rows(name)
    if column not in rows[0]:
        raise OutOfRange("column", column, "one of " + ", ".join(rows[0]))
    numbers = np.array([float(row[column]) for row in rows])
    numbers.flags.writeable = False
    return numbers
