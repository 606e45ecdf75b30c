"""How far tasters agree: each one's offset, and figures for the panel as a whole.

Offsets compare tasters on the glasses they shared, so whoever tasted only good fills is not called generous. Of the
figures for the panel, Kendall's W ignores level and scale, ICC(3) ignores offsets, ICC(2) and alpha count them. They
judge the panel, not persons; nobody's vote is weighted by them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .errors import Inconsistent, OutOfRange, Underdetermined, require_choice, require_number, require_numbers

Array = NDArray[np.float64]

# Working assumptions of this project, in points of liking.
TASTER_SD, NOISE_SD = 1.2, 0.9
SD_OF_80 = 1.2816
LEAST_SHARED_GLASSES = 8
LEAST_DUPLICATES = 5
LEAST_TARGETS, LEAST_TASTERS = 5, 2
NARROW_SCALE, WIDE_SCALE = 0.6, 1.6
# Krippendorff's customary limits; from memory.
FIRM_ALPHA, TENTATIVE_ALPHA = 0.80, 0.667
LEVELS = ("nominal", "ordinal", "interval")


class Glass(NamedTuple):
    """Holds one score of one glass: what was served (fill, evening and strength), who tasted, the liking [0 to 10]."""

    glass: str
    taster: str
    liking: float


@dataclass(frozen=True, slots=True)
class TasterOffset:
    """Holds how much higher than the others a taster scores [points of liking], how sure that is, and on how many
    shared glasses; ``scale_use`` is the spread of the taster's scores over that of the others' means, None when few.
    """

    offset: float
    sd: float
    shared_glasses: int
    scale_use: float | None

    @property
    def is_told(self) -> bool:
        """Says whether the offset is sure enough to be shown: beyond its 80 % band, on 8 shared glasses."""
        return self.shared_glasses >= LEAST_SHARED_GLASSES and abs(self.offset) > SD_OF_80 * self.sd

    @property
    def scale_word(self) -> str | None:
        """Gives ``narrow``, ``wide`` or ``usual`` for the use of the scale; None when too few glasses were shared."""
        if self.scale_use is None:
            return None
        if self.scale_use < NARROW_SCALE:
            return "narrow"
        return "wide" if self.scale_use > WIDE_SCALE else "usual"


@dataclass(frozen=True, slots=True)
class IntraclassCorrelations:
    """Holds mean squares and the six intraclass correlations: one taster's score, and the mean of all k [1]."""

    between_targets: float
    within_targets: float
    between_tasters: float
    residual: float
    icc11: float
    icc21: float
    icc31: float
    icc1k: float
    icc2k: float
    icc3k: float


@dataclass(frozen=True, slots=True)
class PanelAgreement:
    """Holds what can be said of a panel: figures, or None where the data do not carry them, and why.

    ``verdict`` is ``firm``, ``tentative``, ``weak``, ``no_spread`` or ``too_few``; ``targets`` and ``tasters`` count
    what was shared.
    """

    targets: int
    tasters: int
    verdict: str
    alpha: float | None = None
    kendall_w: float | None = None
    icc_one_taster: float | None = None
    icc_our_evening: float | None = None


def rater_offsets(scores: Sequence[Glass]) -> Mapping[str, TasterOffset]:
    """Gives each taster's offset from the others on shared glasses, shrunk towards none.

    Within each glass the mean is taken off scores and indicators: b = (Z'Z + lambda I)^-1 Z'y,
    lambda = (0.9/1.2)^2, sd = 0.9 sqrt(diag (Z'Z + lambda I)^-1).

    Parameters
    ----------
    scores : sequence of Glass, shape (n,)
        Every score, with the glass it belongs to [0 to 10].

    Returns
    -------
    dict of str to TasterOffset, shape (tasters,)
        Offset and its standard deviation [points of liking].

    Raises
    ------
    Underdetermined
        If there is no score.
    OutOfRange
        If a score lies outside 0 to 10.

    Notes
    -----
    Equal to the best linear unbiased prediction of a mixed model with glasses fixed and these variances. A taster who
    shares no glass gets offset 0 and the prior's 1.2. For the taster and the keeper alone.

    Source
    ------
    C. R. Henderson, Best linear unbiased estimation and prediction under a selection model, Biometrics 31, 1975,
    423-447 (from memory); the variances are working assumptions of this project.

    Examples
    --------
    >>> said = rater_offsets([Glass("g", "a", 6.0), Glass("g", "b", 8.0)])
    >>> round(said["b"].offset, 2)
    0.64
    """
    if not scores:
        raise Underdetermined("scores", scores, "at least one score")
    liking = np.array([require_number("liking", one.liking, 0, 10, "points") for one in scores])
    glasses, glass = np.unique([one.glass for one in scores], return_inverse=True)
    names, taster = np.unique([one.taster for one in scores], return_inverse=True)
    indicator = (taster[:, None] == np.arange(names.size)).astype(np.float64)
    in_glass = (glass[:, None] == np.arange(glasses.size)).astype(np.float64)
    poured = in_glass.sum(axis=0)
    y = liking - (in_glass.T @ liking / poured)[glass]
    z = indicator - ((in_glass.T @ indicator) / poured[:, None])[glass]
    solved = np.linalg.inv(z.T @ z + (NOISE_SD / TASTER_SD) ** 2 * np.eye(names.size))
    offset, sd = solved @ (z.T @ y), NOISE_SD * np.sqrt(np.diag(solved))
    return {
        str(name): TasterOffset(float(offset[row]), float(sd[row]), *_scale_use(row, taster, glass, liking))
        for row, name in enumerate(names)
    }


def _scale_use(
    row: int, taster: NDArray[np.intp], glass: NDArray[np.intp], liking: Array
) -> tuple[int, float | None]:
    """Gives how many glasses a taster shared, and the spread of the scores there over that of the others' means."""
    own, others = [], []
    for one in np.unique(glass[taster == row]):
        here = glass == one
        rest = liking[here & (taster != row)]
        if rest.size:
            own.append(liking[here & (taster == row)].mean())
            others.append(rest.mean())
    if len(own) < LEAST_SHARED_GLASSES or np.std(others) == 0.0:
        return len(own), None
    return len(own), float(np.std(own) / np.std(others))


def own_noise(first: ArrayLike, second: ArrayLike) -> float:
    """Gives a taster's own noise from blind duplicates: sqrt(mean(difference^2)/2).

    Parameters
    ----------
    first, second : array_like, shape (n,)
        The two scores of each hidden duplicate, at least five [0 to 10].

    Returns
    -------
    float, scalar
        Standard deviation of one score [points of liking].

    Raises
    ------
    OutOfRange
        If a score lies outside 0 to 10.
    Inconsistent
        If the two differ in length.
    Underdetermined
        If there are fewer than five duplicates.

    Source
    ------
    G. Dahlberg, Statistical Methods for Medical and Biological Students, 1940 (from memory).

    Examples
    --------
    >>> own_noise([5, 6, 7, 8, 6], [6, 6, 7, 7, 6])
    0.4472135954999579
    """
    one = np.atleast_1d(require_numbers("first", first, 0, 10, "points"))
    two = np.atleast_1d(require_numbers("second", second, 0, 10, "points"))
    if one.shape != two.shape or one.ndim != 1:
        raise Inconsistent("second", two.shape, f"a row of the shape of first, {one.shape}")
    if one.size < LEAST_DUPLICATES:
        raise Underdetermined("first", one.size, f"at least {LEAST_DUPLICATES} duplicates")
    return float(np.sqrt(np.mean((one - two) ** 2) / 2.0))


def intraclass_correlations(ratings: ArrayLike) -> IntraclassCorrelations:
    """Gives the six intraclass correlations of a complete table.

    With mean squares BMS (targets), WMS (within), JMS (tasters), EMS (residual), n targets and k tasters:
    ICC(1,1) = (BMS - WMS)/(BMS + (k-1) WMS); ICC(2,1) = (BMS - EMS)/(BMS + (k-1) EMS + k (JMS - EMS)/n);
    ICC(3,1) = (BMS - EMS)/(BMS + (k-1) EMS); ICC(1,k) = (BMS - WMS)/BMS;
    ICC(2,k) = (BMS - EMS)/(BMS + (JMS - EMS)/n); ICC(3,k) = (BMS - EMS)/BMS.

    Parameters
    ----------
    ratings : array_like, shape (n, k)
        One row a target, one column a taster, no gap [any one scale].

    Returns
    -------
    IntraclassCorrelations, scalar
        Mean squares [points squared] and correlations [1].

    Raises
    ------
    OutOfRange
        If a rating is not a finite number.
    Underdetermined
        If there are fewer than two targets or two tasters, or the targets do not differ.
    Inconsistent
        If the table is not one of rows and columns.

    Source
    ------
    P. E. Shrout and J. L. Fleiss, Intraclass correlations: uses in assessing rater reliability, Psychological
    Bulletin 86, 1979, 420-428.

    Examples
    --------
    >>> table = [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]
    >>> round(intraclass_correlations(table).icc21, 2)
    0.29
    """
    table = _table("ratings", ratings)
    n, k = table.shape
    grand = table.mean()
    targets, tasters = table.mean(axis=1), table.mean(axis=0)
    bms = float(k * ((targets - grand) ** 2).sum() / (n - 1))
    wms = float(((table - targets[:, None]) ** 2).sum() / (n * (k - 1)))
    jms = float(n * ((tasters - grand) ** 2).sum() / (k - 1))
    ems = float(((table - targets[:, None] - tasters + grand) ** 2).sum() / ((n - 1) * (k - 1)))
    # A table of equal targets leaves only rounding in BMS; dividing by it would print noise.
    if bms <= 1e-12 * max(1.0, float((table**2).max())):
        raise Underdetermined("ratings", bms, "targets whose means differ")
    return IntraclassCorrelations(
        between_targets=bms,
        within_targets=wms,
        between_tasters=jms,
        residual=ems,
        icc11=(bms - wms) / (bms + (k - 1) * wms),
        icc21=(bms - ems) / (bms + (k - 1) * ems + k * (jms - ems) / n),
        icc31=(bms - ems) / (bms + (k - 1) * ems),
        icc1k=(bms - wms) / bms,
        icc2k=(bms - ems) / (bms + (jms - ems) / n),
        icc3k=(bms - ems) / bms,
    )


def kendall_w(ratings: ArrayLike) -> float:
    """Gives Kendall's coefficient of concordance, with mid-ranks and the correction for ties.

    W = 12 S/(m^2 (n^3 - n) - m T): S the squares of the rank sums about their mean, T the sum of t^3 - t over each
    taster's groups of t equal ratings.

    Parameters
    ----------
    ratings : array_like, shape (n, m)
        One row a target, one column a taster, no gap [any one scale].

    Returns
    -------
    float, scalar
        Concordance, 0 none to 1 full [1].

    Raises
    ------
    OutOfRange
        If a rating is not a finite number.
    Underdetermined
        If there are fewer than two targets or two tasters, or nobody told any two targets apart.
    Inconsistent
        If the table is not one of rows and columns.

    Source
    ------
    M. G. Kendall and B. Babington Smith, The problem of m rankings, Annals of Mathematical Statistics 10, 1939,
    275-287 (from memory); the correction for ties as in the R package DescTools, page KendallW.

    Examples
    --------
    >>> kendall_w([[1, 2, 1], [2, 1, 2], [3, 3, 3]])
    0.7777777777777778
    """
    table = _table("ratings", ratings)
    n, m = table.shape
    below = (table[:, None, :] > table[None, :, :]).sum(axis=1)
    level = (table[:, None, :] == table[None, :, :]).sum(axis=1)
    ranks = below + (level + 1) / 2.0
    sums = ranks.sum(axis=1)
    # Every member of a group of t adds t^2 - 1, so the group adds t^3 - t.
    ties = float((level**2 - 1).sum())
    room = m**2 * (n**3 - n) - m * ties
    if room <= 0.0:
        raise Underdetermined("ratings", "all equal", "at least one taster who tells two targets apart")
    return float(12.0 * ((sums - sums.mean()) ** 2).sum() / room)


def krippendorff_alpha(ratings: ArrayLike, level: str = "interval") -> float:
    """Gives Krippendorff's alpha, with gaps allowed.

    alpha = 1 - (n - 1) sum o_ck d^2 / sum n_c n_k d^2, where each unit with m_u >= 2 ratings adds 1/(m_u - 1) to o_ck
    per ordered pair; d^2 is 1 (nominal), (sum of n_g from c to k - (n_c + n_k)/2)^2 (ordinal), (c - k)^2 (interval).

    Parameters
    ----------
    ratings : array_like, shape (tasters, units)
        One row a taster, one column a unit; not a number where a taster did not rate [0 to 10, or a code].
    level : str, scalar
        ``nominal``, ``ordinal`` or ``interval`` [text].

    Returns
    -------
    float, scalar
        Alpha: 1 full agreement, 0 as by chance [1].

    Raises
    ------
    OutOfRange
        If a rating is infinite, or the level is not one of the three.
    Underdetermined
        If no unit has two ratings, or there is no spread at all: alpha is then undefined, neither 1 nor 0.
    Inconsistent
        If the table is not one of rows and columns.

    Source
    ------
    K. Krippendorff, Computing Krippendorff's Alpha-Reliability, University of Pennsylvania, 2011.

    Examples
    --------
    >>> krippendorff_alpha([[1, 2, 3, 3], [1, 2, 3, 4]])
    0.8888888888888888
    """
    require_choice("level", level, LEVELS)
    try:
        table = np.asarray(ratings, dtype=np.float64)
    except (TypeError, ValueError):
        raise OutOfRange("ratings", ratings, "numbers, and no number where there is a gap") from None
    if table.ndim != 2:
        raise Inconsistent("ratings", table.shape, "rows of tasters and columns of units")
    if np.isinf(table).any():
        raise OutOfRange("ratings", float("inf"), "finite numbers")
    rated = ~np.isnan(table)
    table, rated = table[:, rated.sum(axis=0) >= 2], rated[:, rated.sum(axis=0) >= 2]
    if not table.size:
        raise Underdetermined("ratings", "no pair", "at least one unit that two tasters rated")
    values, place = np.unique(table[rated], return_inverse=True)
    unit = np.nonzero(rated)[1]
    counts = np.zeros((table.shape[1], values.size))
    np.add.at(counts, (unit, place), 1.0)
    share = 1.0 / (counts.sum(axis=1) - 1.0)
    together = np.einsum("u,uc,uk->ck", share, counts, counts) - np.diag(share @ counts)
    totals = counts.sum(axis=0)
    if values.size < 2:
        raise Underdetermined("ratings", float(values[0]), "ratings with any spread")
    apart = _distances(values, totals, level)
    n = totals.sum()
    return float(1.0 - (n - 1.0) * (together * apart).sum() / (np.outer(totals, totals) * apart).sum())


def _distances(values: Array, totals: Array, level: str) -> Array:
    """Gives the squared distance between every two values."""
    if level == "nominal":
        return 1.0 - np.eye(values.size)
    if level == "interval":
        return np.asarray((values[:, None] - values[None, :]) ** 2)
    middle = np.cumsum(totals) - totals / 2.0
    return np.asarray((middle[:, None] - middle[None, :]) ** 2)


def rater_agreement(ratings: ArrayLike) -> PanelAgreement:
    """Says how far a panel agrees, or that there is too little to say it.

    Parameters
    ----------
    ratings : array_like, shape (tasters, units)
        One row a taster, one column a glass; not a number where a taster did not rate [0 to 10].

    Returns
    -------
    PanelAgreement, scalar
        Alpha on all glasses; W and the correlations on those that all rated [1].

    Raises
    ------
    OutOfRange
        If a rating lies outside 0 to 10.
    Inconsistent
        If the table is not one of rows and columns.

    Notes
    -----
    Fewer than 5 shared glasses or 2 tasters give no number. ICC(2,1) is one taster's score, ICC(2,k) the mean of the
    evening.

    Source
    ------
    The functions it asks; the least numbers are design values of this project, the limits of alpha from memory.

    Examples
    --------
    >>> said = rater_agreement([[5, 6, 7, 8, 4], [5.5, 6, 7.5, 8, 4]])
    >>> said.verdict, round(said.alpha, 2)
    ('firm', 0.98)
    """
    try:
        table = np.asarray(ratings, dtype=np.float64)
    except (TypeError, ValueError):
        raise OutOfRange("ratings", ratings, "numbers, and no number where there is a gap") from None
    if table.ndim != 2:
        raise Inconsistent("ratings", table.shape, "rows of tasters and columns of glasses")
    known = table[~np.isnan(table)]
    if known.size:
        require_numbers("ratings", known, 0, 10, "points")
    shared = (~np.isnan(table)).sum(axis=0) >= 2
    targets = int(shared.sum())
    tasters = int((~np.isnan(table[:, shared])).any(axis=1).sum())
    if targets < LEAST_TARGETS or tasters < LEAST_TASTERS:
        return PanelAgreement(targets, tasters, "too_few")
    if np.unique(table[:, shared][~np.isnan(table[:, shared])]).size < 2:
        return PanelAgreement(targets, tasters, "no_spread")
    alpha = krippendorff_alpha(table)
    verdict = "firm" if alpha >= FIRM_ALPHA else "tentative" if alpha >= TENTATIVE_ALPHA else "weak"
    complete = table[:, ~np.isnan(table).any(axis=0)].T
    if complete.shape[0] < LEAST_TARGETS:
        return PanelAgreement(targets, tasters, verdict, alpha)
    try:
        concordance, icc = kendall_w(complete), intraclass_correlations(complete)
    except Underdetermined:
        return PanelAgreement(targets, tasters, verdict, alpha)
    return PanelAgreement(targets, tasters, verdict, alpha, concordance, icc.icc21, icc.icc2k)


def _table(argument: str, ratings: ArrayLike) -> Array:
    """Checks a complete table of targets and tasters."""
    table = require_numbers(argument, ratings)
    if table.ndim != 2:
        raise Inconsistent(argument, table.shape, "rows of targets and columns of tasters")
    if table.shape[0] < 2 or table.shape[1] < 2:
        raise Underdetermined(argument, table.shape, "at least two targets and two tasters")
    return table
