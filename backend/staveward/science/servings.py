"""How much alcohol a country calls one drink."""

from __future__ import annotations

from functools import cache

from .errors import require_choice
from .tables import read_rows


@cache
def standard_drink_table() -> dict[str, float]:
    """Gives the ethanol in one standard drink, for every country that the table knows.

    Returns
    -------
    dict of str to float, shape (countries,)
        Grams by ISO 3166-1 alpha-2 code, and ``WHO`` [g].

    Source
    ------
    Table ``standard_drinks``: WHO AUDIT, national guidance as the table says.

    Examples
    --------
    >>> standard_drink_table()["GB"]
    8.0
    """
    return {row["country"]: float(row["grams"]) for row in read_rows("standard_drinks")}


def standard_drink_g(country: str) -> float:
    """Gives the ethanol in one standard drink of a country.

    Parameters
    ----------
    country : str, scalar
        ISO 3166-1 alpha-2 code, or ``WHO`` [text].

    Returns
    -------
    float, scalar
        Ethanol [g].

    Raises
    ------
    OutOfRange
        If the table does not know the country; it is never guessed.

    Notes
    -----
    Countries differ between 8 and 20 g; what a drink is says nothing of how many are safe.

    Source
    ------
    Table ``standard_drinks``; the span of 37 countries after Kalinowski and Humphreys, Addiction, 2016, doi
    10.1111/add.13341.

    Examples
    --------
    >>> standard_drink_g("US")
    14.0
    """
    return standard_drink_table()[require_choice("country", country, sorted(standard_drink_table()))]
