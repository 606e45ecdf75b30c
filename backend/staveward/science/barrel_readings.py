"""What scales, rod and alcoholmeter say of one barrel, and how each reading may miss.

A reading is compared with every node of a grid of barrels that might be this one. All weighings of a fill share one
unknown offset (tare, what was poured, wet wood), so they are judged together; the others stand alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from .errors import Array, Inconsistent, OutOfRange, require_number, require_numbers
from .vocabulary import BOUNDS

MOST_READINGS = 200
ODD_BEYOND_SD = 4.0
SCALE_U_KG, _SCALE_RELATIVE_U, _OFFSET_U_KG = 0.005, 2e-4, 0.05
_DIP_U_MM, _SOAK_RELATIVE_U = 2.0, 0.3
_READING_U_PCT, _EXTRACT_PCT_PER_G_L = 0.3, 0.22


@dataclass(frozen=True)
class Weighing:
    """Holds one weighing of barrel and contents [kg] on a day since the fill [days]."""

    day: float
    gross_kg: float
    readability_kg: float = SCALE_U_KG


@dataclass(frozen=True)
class DipReading:
    """Holds one dip as litres [L], with how many litres a millimetre is there [L/mm], on a day [days]."""

    day: float
    volume_l: float
    l_per_mm: float


@dataclass(frozen=True)
class StrengthReading:
    """Holds one alcoholmeter reading corrected to 20 °C [% vol], its uncertain extract [g/L] and day [days]."""

    day: float
    abv_pct: float
    extract_u_g_l: float = 0.3


@dataclass(frozen=True)
class OddReading:
    """Holds one reading that lies far off: which, its day [days], what was read and what the others lead to expect.

    ``kind`` is weighings, dips or strengths and ``row`` its place in that list; ``value``, ``expected`` and ``spread``
    (one standard deviation) are kg, L or % vol. It is kept and shown, asked for again, and left out of what is learned.
    """

    kind: str
    row: int
    day: float
    value: float
    expected: float
    spread: float

    @property
    def is_low(self) -> bool:
        """Says whether less was read than expected."""
        return self.value < self.expected


class Seen(NamedTuple):
    """Holds one reading against the nodes: what each node expects and the variance of the miss, shape (nodes,)."""

    kind: str
    row: int
    day: float
    value: float
    expected: Array
    variance: Array

    @property
    def is_weighing(self) -> bool:
        """Says whether it shares the offset of the scales."""
        return self.kind == "weighings"


class Offset(NamedTuple):
    """Holds what the weighings say of their shared offset: sums of 1/s², r/s² and r²/s², shape (nodes,)."""

    s_0: Array
    s_1: Array
    s_2: Array

    @property
    def precision(self) -> Array:
        """Gives 1/variance of the offset, its prior of 50 g included [1/kg²]."""
        return self.s_0 + 1.0 / _OFFSET_U_KG**2

    def fit(self) -> Array:
        """Gives the log likelihood of the weighings, their offset integrated out."""
        fitted: Array = -0.5 * (self.s_2 - self.s_1**2 / self.precision)
        return fitted


def checked_readings(
    weighings: Sequence[Weighing],
    tare_kg: float | None,
    dips: Sequence[DipReading],
    strengths: Sequence[StrengthReading],
    sugar_g_l: float,
) -> float:
    """Checks the figures of all readings and gives the tare."""
    kinds: tuple[tuple[str, Sequence[Weighing | DipReading | StrengthReading]], ...] = (
        ("weighings", weighings),
        ("dips", dips),
        ("strengths", strengths),
    )
    for name, readings in kinds:
        if len(readings) > MOST_READINGS:
            raise OutOfRange(name, len(readings), f"at most {MOST_READINGS} readings")
        for reading in readings:
            require_numbers(f"{name} day", reading.day, 0.0, BOUNDS["days"].high, "days")
    for weighing in weighings:
        require_numbers("weighings gross_kg", weighing.gross_kg, 0.0, 1000.0, "kg", above_low=True)
        require_numbers("weighings readability_kg", weighing.readability_kg, 0.0, 1.0, "kg", above_low=True)
    for dip in dips:
        require_numbers("dips volume_l", dip.volume_l, 0.0, BOUNDS["volume_l"].high, "L")
        require_numbers("dips l_per_mm", dip.l_per_mm, 0.0, 10.0, "L/mm", above_low=True)
    for strength in strengths:
        require_numbers("strengths abv_pct", strength.abv_pct, 0.0, 96.0, "% vol")
        require_numbers("strengths extract_u_g_l", strength.extract_u_g_l, 0.0, 10.0, "g/L")
    if strengths and sugar_g_l > 0:
        raise Inconsistent("strengths", len(strengths), "none in a sweetened fill: sugar hides strength")
    if weighings and tare_kg is None:
        raise Inconsistent(
            "tare_kg", None, "the mass of the wet empty barrel in kg, when there are weighings"
        )
    return 0.0 if tare_kg is None else require_number("tare_kg", tare_kg, 0.0, 500.0, "kg", above_low=True)


def seen_weighing(row: int, reading: Weighing, tare_kg: float, mass_kg: Array) -> Seen:
    """Lays a weighing beside the masses of the nodes; soaked liquid stays on the scale, so nothing is taken off."""
    variance = np.hypot(reading.readability_kg, _SCALE_RELATIVE_U * reading.gross_kg) ** 2
    expected = tare_kg + mass_kg
    return Seen("weighings", row, reading.day, reading.gross_kg, expected, np.full_like(expected, variance))


def seen_dip(row: int, reading: DipReading, soaked_l: float, volume_l: Array) -> Seen:
    """Lays a dip beside the volumes of the nodes, less what the wood drank."""
    variance = (_DIP_U_MM * reading.l_per_mm) ** 2 + (_SOAK_RELATIVE_U * soaked_l) ** 2
    return Seen(
        "dips", row, reading.day, reading.volume_l, volume_l - soaked_l, np.full_like(volume_l, variance)
    )


def seen_strength(row: int, reading: StrengthReading, abv_pct: Array, wood_u_pct: Array) -> Seen:
    """Lays an alcoholmeter reading beside the strengths of the nodes, each as unsure as the wood makes it."""
    variance = _READING_U_PCT**2 + (_EXTRACT_PCT_PER_G_L * reading.extract_u_g_l) ** 2 + wood_u_pct**2
    return Seen("strengths", row, reading.day, reading.abv_pct, abv_pct, variance)


def _offset_of(seen: Iterable[Seen], nodes: int) -> Offset:
    sums = np.zeros((3, nodes))
    for one in seen:
        if one.is_weighing:
            miss = one.value - one.expected
            sums += np.stack([1.0 / one.variance, miss / one.variance, miss**2 / one.variance])
    return Offset(*sums)


def _alone(one: Seen) -> Array:
    """Gives the log likelihood of a dip or an alcoholmeter reading."""
    fit: Array = -0.5 * (one.value - one.expected) ** 2 / one.variance - 0.5 * np.log(one.variance)
    return fit


def log_likelihood(seen: Sequence[Seen], nodes: int) -> Array:
    """Gives the log likelihood of all readings at every node, shape (nodes,)."""
    fit = _offset_of(seen, nodes).fit()
    for one in seen:
        if not one.is_weighing:
            fit = fit + _alone(one)
    return fit


def _normalised(log_weight: Array) -> Array:
    weight = np.exp(log_weight - log_weight.max())
    shares: Array = weight / weight.sum()
    return shares


def _foretold(seen: Sequence[Seen], prior: Array) -> Iterator[tuple[Seen, float, float]]:
    """Gives for each reading what all the others lead to expect of it: mean and standard deviation."""
    nodes = prior.size
    whole = _offset_of(seen, nodes)
    alone = {id(one): _alone(one) for one in seen if not one.is_weighing}
    of_alone = prior + sum(alone.values(), np.zeros(nodes))
    for one in seen:
        if one.is_weighing:
            miss = one.value - one.expected
            others = Offset(
                whole.s_0 - 1.0 / one.variance,
                whole.s_1 - miss / one.variance,
                whole.s_2 - miss**2 / one.variance,
            )
            weight = _normalised(of_alone + others.fit())
            centre = one.expected + others.s_1 / others.precision
            spread = one.variance + 1.0 / others.precision
        else:
            weight = _normalised(of_alone - alone[id(one)] + whole.fit())
            centre, spread = one.expected, one.variance
        mean = float(np.sum(weight * centre))
        yield one, mean, float(np.sqrt(np.sum(weight * (spread + (centre - mean) ** 2))))


def set_odd_apart(seen: Sequence[Seen], prior: Array) -> tuple[list[Seen], list[OddReading]]:
    """Parts readings that fit from odd ones: the worst beyond four standard deviations goes, and all is judged anew.

    Each is held against what the prior and all the other readings lead to expect of it, so a slip does not vouch for
    itself.
    """
    kept, odd = list(seen), []
    while kept:
        worst, mean, sd = max(_foretold(kept, prior), key=lambda one: abs(one[0].value - one[1]) / one[2])
        if not is_odd_reading(worst.value, mean, sd):
            break
        kept = [one for one in kept if one is not worst]
        odd.append(OddReading(worst.kind, worst.row, worst.day, worst.value, mean, sd))
    odd.sort(key=lambda one: (one.day, one.kind, one.row))
    return kept, odd


def is_odd_reading(value: float, expected: float, spread: float) -> bool:
    """Says whether a reading lies more than four standard deviations from what is expected.

    Parameters
    ----------
    value, expected : float, scalar
        Reading and what was expected [same unit].
    spread : float, scalar
        Standard deviation of the difference, above zero [same unit].

    Returns
    -------
    bool, scalar
        True to store it, flag it and ask for a repeat [1].

    Raises
    ------
    OutOfRange
        If a number is not finite or the spread is not above zero.

    Source
    ------
    Design value of this project.

    Examples
    --------
    >>> is_odd_reading(4.2, 4.6, 0.05)
    True
    """
    seen = require_number("value", value)
    usual = require_number("expected", expected)
    wide = require_number("spread", spread, 0.0, None, "", above_low=True)
    return abs(seen - usual) / wide > ODD_BEYOND_SD
