"""Offsets, agreement and scores of forecasts against statsmodels, scipy and a second way of adding up."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
import statsmodels.api as sm
import statsmodels.formula.api as smf
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import trapezoid
from scipy.special import ndtr
from scipy.stats import friedmanchisquare
from statsmodels.stats.proportion import proportion_confint

from staveward.science import agreement
from staveward.science.agreement import (
    Glass,
    intraclass_correlations,
    kendall_w,
    krippendorff_alpha,
    own_noise,
    rater_agreement,
    rater_offsets,
)
from staveward.science.errors import Inconsistent, OutOfRange, ScienceError, Underdetermined
from staveward.science.forecast_scores import (
    Coverage,
    coverage,
    crps_normal,
    interval_score,
    is_hindsight_fit,
    lead_bucket,
    pinball_loss,
    score_forecasts,
    score_next_scores,
    wilson_interval,
)


def evening(seed: int, glasses: int = 14, tasters: int = 5) -> np.ndarray:
    """Makes a complete table of likings by chance."""
    draw = np.random.default_rng(seed)
    table = (
        6
        + draw.normal(0, 1.2, (glasses, 1))
        + draw.normal(0, 0.8, tasters)
        + draw.normal(0, 0.8, (glasses, tasters))
    )
    return np.clip(np.round(2 * table) / 2, 0, 10)


def test_offsets_are_the_mixed_models_prediction(monkeypatch: pytest.MonkeyPatch):
    """statsmodels MixedLM with glasses fixed and tasters random, at the variances it found itself."""
    draw = np.random.default_rng(3)
    table = evening(3)
    rows = [
        {"glass": f"g{glass:02}", "taster": f"t{taster}", "liking": table[glass, taster], "all": 1}
        for glass in range(table.shape[0])
        for taster in range(table.shape[1])
        if draw.random() < 0.8
    ]
    frame = pd.DataFrame(rows)
    fitted = smf.mixedlm(
        "liking ~ C(glass)", frame, groups="all", re_formula="0", vc_formula={"taster": "0 + C(taster)"}
    ).fit()
    monkeypatch.setattr(agreement, "TASTER_SD", float(np.sqrt(fitted.vcomp[0])))
    monkeypatch.setattr(agreement, "NOISE_SD", float(np.sqrt(fitted.scale)))

    said = rater_offsets([Glass(row["glass"], row["taster"], row["liking"]) for row in rows])

    predicted = {
        name[name.index("[t") + 1 : -1].removeprefix("C(taster)[").rstrip("]"): value
        for name, value in fitted.random_effects[1].items()
    }
    assert set(predicted) == set(said)
    for name, value in predicted.items():
        assert said[name].offset == pytest.approx(value, abs=1e-4)


@pytest.mark.parametrize("seed", range(5))
def test_mean_squares_are_those_of_an_analysis_of_variance(seed: int):
    """statsmodels, two-way without interaction."""
    table = evening(seed)
    rows = [
        {"target": target, "taster": taster, "liking": table[target, taster]}
        for target in range(table.shape[0])
        for taster in range(table.shape[1])
    ]
    lines = sm.stats.anova_lm(smf.ols("liking ~ C(target) + C(taster)", pd.DataFrame(rows)).fit())
    squares = lines["sum_sq"] / lines["df"]

    said = intraclass_correlations(table)

    assert said.between_targets == pytest.approx(squares["C(target)"])
    assert said.between_tasters == pytest.approx(squares["C(taster)"])
    assert said.residual == pytest.approx(squares["Residual"])
    within = lines.loc[["C(taster)", "Residual"]]
    assert said.within_targets == pytest.approx(within["sum_sq"].sum() / within["df"].sum())


@pytest.mark.parametrize("seed", range(5))
def test_w_is_friedmans_statistic(seed: int):
    """Chi square = m (n - 1) W, ties included, as scipy counts it."""
    table = evening(seed)
    n, m = table.shape
    statistic, _ = friedmanchisquare(*table)

    assert m * (n - 1) * kendall_w(table) == pytest.approx(statistic, rel=1e-9)


@settings(deadline=None, max_examples=50)
@given(st.integers(0, 10_000))
def test_alpha_is_one_less_observed_over_expected_disagreement(seed: int):
    """Pair by pair, without coincidences: mean squared difference inside glasses over that of all pairs."""
    draw = np.random.default_rng(seed)
    table = evening(seed, 8, 4).T
    table[draw.random(table.shape) < 0.2] = np.nan
    units = [column[~np.isnan(column)] for column in table.T if (~np.isnan(column)).sum() >= 2]
    pooled = np.concatenate(units)
    inside = sum(((one[:, None] - one) ** 2).sum() / (one.size - 1) for one in units) / pooled.size
    everywhere = ((pooled[:, None] - pooled) ** 2).sum() / (pooled.size * (pooled.size - 1))

    assert krippendorff_alpha(table) == pytest.approx(1 - inside / everywhere, abs=1e-12)


@settings(deadline=None, max_examples=50)
@given(st.integers(0, 10_000), st.floats(-3, 3))
def test_what_each_figure_counts(seed: int, shift: float):
    """A constant for one taster moves neither W nor ICC(3); everybody higher moves none of them."""
    table = evening(seed)
    one_higher = table + np.where(np.arange(table.shape[1]) == 0, shift, 0.0)

    assert kendall_w(one_higher) == pytest.approx(kendall_w(table), abs=1e-9)
    before, after = intraclass_correlations(table), intraclass_correlations(one_higher)
    assert after.icc31 == pytest.approx(before.icc31, abs=1e-9)
    all_higher = intraclass_correlations(table + shift)
    assert all_higher.icc21 == pytest.approx(before.icc21, abs=1e-9)
    assert krippendorff_alpha((table + shift).T) == pytest.approx(krippendorff_alpha(table.T), abs=1e-9)
    assert 0 <= kendall_w(table) <= 1


def test_full_agreement_is_one_and_no_spread_is_not_a_number_to_give():
    """Equal tasters; equal scores of everything."""
    column = np.array([3.0, 5.0, 6.0, 8.0, 9.0])
    table = np.stack([column, column, column])

    assert krippendorff_alpha(table) == kendall_w(table.T) == intraclass_correlations(table.T).icc21 == 1.0
    flat = np.full((3, 5), 7.0)
    assert rater_agreement(flat).verdict == "no_spread"
    for figure in (krippendorff_alpha, kendall_w, intraclass_correlations):
        with pytest.raises(Underdetermined, match="ratings"):
            figure(flat)


def test_a_panel_is_judged_and_too_little_is_said_to_be_too_little():
    """Firm, tentative, weak by alpha; no number under five glasses or two tasters; gaps leave the rest."""
    table = evening(1).T
    said = rater_agreement(table)

    assert said.alpha == pytest.approx(krippendorff_alpha(table))
    assert said.kendall_w == pytest.approx(kendall_w(table.T))
    assert (said.icc_one_taster, said.icc_our_evening) == (
        intraclass_correlations(table.T).icc21,
        intraclass_correlations(table.T).icc2k,
    )
    assert said.verdict == ("firm" if said.alpha >= 0.8 else "tentative" if said.alpha >= 0.667 else "weak")
    few, alone = rater_agreement(table[:, :4]), rater_agreement(table[:1])
    assert (few.verdict, few.alpha, few.targets) == ("too_few", None, 4)
    assert alone.verdict == "too_few"
    gappy = table.copy()
    gappy[0, 4:] = np.nan
    told = rater_agreement(gappy)
    assert told.alpha is not None
    assert told.kendall_w is None


def test_two_values_are_spread_enough():
    """Yes and no on six glasses."""
    said = rater_agreement([[4, 4, 6, 6, 4, 6], [4, 4, 6, 6, 6, 6]])

    assert said.verdict == "tentative"
    assert said.alpha == pytest.approx(
        krippendorff_alpha([[4, 4, 6, 6, 4, 6], [4, 4, 6, 6, 6, 6]], "nominal")
    )


def test_offsets_are_shown_only_when_sure():
    """Ten shared glasses two points apart are shown; two glasses are not; the use of the scale needs eight."""
    rows = [
        Glass(f"g{row}", who, base + lift)
        for row, base in enumerate([2, 3, 4, 5, 6, 7, 4, 5, 6, 3])
        for who, lift in (("a", 0.0), ("b", 2.0), ("c", 0.0))
    ]
    many, few = rater_offsets(rows), rater_offsets(rows[:6])

    assert many["b"].is_told
    assert many["b"].offset > 1
    assert many["b"].scale_use == pytest.approx(1.0)
    assert many["b"].scale_word == "usual"
    assert not few["b"].is_told
    assert few["b"].scale_word is None
    narrow = rater_offsets(
        [one._replace(liking=5 + 0.2 * one.liking) if one.taster == "a" else one for one in rows]
    )
    assert narrow["a"].scale_word == "narrow"


def test_own_noise_is_that_of_duplicates():
    """Two readings with noise s differ by s sqrt 2; at least five are wanted."""
    draw = np.random.default_rng(5)
    first, second = 5 + draw.normal(0, 0.7, (2, 4000))

    assert own_noise(first, second) == pytest.approx(0.7, rel=0.03)
    with pytest.raises(Underdetermined, match="first"):
        own_noise([5.0] * 4, [6.0] * 4)
    with pytest.raises(Inconsistent, match="second"):
        own_noise([5.0] * 6, [6.0] * 5)


@settings(deadline=None, max_examples=50)
@given(st.floats(-5, 5), st.floats(0.1, 4), st.floats(-8, 8))
def test_the_crps_is_its_integral(mean: float, sd: float, observed: float):
    """Integral of (F - step)^2, by the trapezoidal rule on both sides of what came."""
    left = np.linspace(min(mean, observed) - 10 * sd, observed, 20_001)
    right = np.linspace(observed, max(mean, observed) + 10 * sd, 20_001)
    below, above = (
        trapezoid(ndtr((left - mean) / sd) ** 2, left),
        trapezoid(ndtr((mean - right) / sd) ** 2, right),
    )

    assert float(crps_normal(mean, sd, observed)) == pytest.approx(below + above, abs=1e-5)


@settings(deadline=None, max_examples=50)
@given(st.integers(1, 400), st.data())
def test_the_wilson_interval_is_that_of_statsmodels(n: int, data: st.DataObject):
    """proportion_confint, method wilson."""
    hits = data.draw(st.integers(0, n))

    assert wilson_interval(hits, n) == pytest.approx(proportion_confint(hits, n, 0.05, "wilson"), abs=1e-6)


def test_the_interval_score_is_two_pinballs():
    """2/(1 - level) times the pinball losses of both ends."""
    low, high, seen = np.array([3.0, 5.0, 4.0]), np.array([8.0, 9.0, 6.0]), np.array([5.0, 11.0, 1.0])
    pinballs = pinball_loss(low, seen, 0.1) + pinball_loss(high, seen, 0.9)

    assert np.allclose(interval_score(low, high, seen), 10 * pinballs)


def test_coverage_keeps_its_words_until_there_is_enough():
    """Under 10 nothing, under 30 dots; then whether the Wilson interval excludes 80 %."""
    assert Coverage(8, 9, 8 / 9, *wilson_interval(8, 9)).verdict == "too_few"
    assert Coverage(20, 29, 20 / 29, *wilson_interval(20, 29)).verdict == "dots_only"
    assert Coverage(24, 30, 0.8, *wilson_interval(24, 30)).verdict == "holds"
    assert Coverage(15, 30, 0.5, *wilson_interval(15, 30)).verdict == "narrow"
    assert Coverage(100, 100, 1.0, *wilson_interval(100, 100)).verdict == "wide"
    assert coverage([1, 2, 3], [2, 3, 4], [1, 3, 5])[:2] == (2, 3)


def test_ledgers_add_up():
    """Means of the single scores; a perfect baseline has no skill to compare with."""
    ledger = score_forecasts([4, 5], [6, 7], [9, 9], [6, 10], {"prior": [6, 10], "naive": [2, 5]})

    assert ledger.pinball_50 == pytest.approx(np.mean([0.0, 1.5]))
    assert ledger.interval_score == pytest.approx(np.mean([5.0, 14.0]))
    assert ledger.coverage[:2] == (1, 2)
    assert ledger.skill == {"prior": None, "naive": pytest.approx(1 - 0.75 / 2.25)}
    draw = np.random.default_rng(1)
    told = score_next_scores(np.full(5000, 5.0), 1.0, np.clip(draw.normal(5.0, 1.0, 5000), 0, 10))
    assert told.coverage.share == pytest.approx(0.8, abs=0.02)
    assert max(told.pit_counts) < 1.2 * min(told.pit_counts)


def test_a_good_baseline_is_still_a_measure():
    """However little it misses by; only one that never misses measures nothing."""
    skill = score_forecasts([5], [7], [9], [7], {"near": [7.5], "exact": [7]}).skill

    assert skill == {"near": 1.0, "exact": None}


def test_leads_fall_into_buckets():
    """0-1, 2-4, 5-8 and 9 or more weeks."""
    assert [lead_bucket(week) for week in (0, 1.4, 2, 4, 5, 8, 9, 60)] == [0, 0, 1, 1, 2, 2, 3, 3]
    assert not is_hindsight_fit(2.0, 5.0, 9.0, 20.0)


REFUSED = {
    "no scores": (lambda: rater_offsets([]), Underdetermined, "scores"),
    "a liking of eleven": (lambda: rater_offsets([Glass("g", "a", 11.0)]), OutOfRange, "liking"),
    "one row": (lambda: intraclass_correlations([[1, 2, 3]]), Underdetermined, "ratings"),
    "one column": (lambda: kendall_w([[1], [2]]), Underdetermined, "ratings"),
    "a gap where none may be": (lambda: kendall_w([[1, np.nan], [2, 3]]), OutOfRange, "ratings"),
    "a row of numbers": (lambda: krippendorff_alpha([1, 2, 3]), Inconsistent, "ratings"),
    "infinite": (lambda: krippendorff_alpha([[1, np.inf], [2, 3]]), OutOfRange, "ratings"),
    "words": (lambda: krippendorff_alpha([["good", "bad"]]), OutOfRange, "ratings"),
    "ratio level": (lambda: krippendorff_alpha([[1, 2], [2, 3]], "ratio"), OutOfRange, "level"),
    "nobody shared": (lambda: krippendorff_alpha([[1, np.nan], [np.nan, 3]]), Underdetermined, "ratings"),
    "a panel of words": (lambda: rater_agreement([["good"]]), OutOfRange, "ratings"),
    "a panel of eleven": (lambda: rater_agreement([[11, 2]]), OutOfRange, "ratings"),
    "a panel in a row": (lambda: rater_agreement([1, 2]), Inconsistent, "ratings"),
    "no spread of a forecast": (lambda: crps_normal(5, 0, 5), OutOfRange, "sd"),
    "shapes": (lambda: crps_normal([5, 6], 1, [1, 2, 3]), Inconsistent, "observed"),
    "tau of one": (lambda: pinball_loss(1, 2, 1.0), OutOfRange, "tau"),
    "tau of nought": (lambda: pinball_loss(1, 2, 0.0), OutOfRange, "tau"),
    "level of one": (lambda: interval_score(1, 2, 3, 1.0), OutOfRange, "level"),
    "upside down": (lambda: interval_score(3, 2, 3), Inconsistent, "high"),
    "no trials": (lambda: wilson_interval(0, 0), OutOfRange, "n"),
    "more than all": (lambda: wilson_interval(6, 5), OutOfRange, "hits"),
    "half a hit": (lambda: wilson_interval(0.5, 5), OutOfRange, "hits"),  # type: ignore[arg-type]
    "nothing to score": (lambda: score_forecasts([], [], [], []), Underdetermined, "low_week"),
    "quantiles out of order": (lambda: score_forecasts([5], [4], [6], [5]), Inconsistent, "mid_week"),
    "a liking that came of twelve": (lambda: score_next_scores([5], [1], [12]), OutOfRange, "observed"),
    "a negative lead": (lambda: lead_bucket(-1), OutOfRange, "lead_weeks"),
    "a week of none": (lambda: is_hindsight_fit(1, 2, float("nan"), 4), OutOfRange, "high_week"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_it_refuses_what_cannot_be(name: str):
    """With the argument's name."""
    call, error, argument = REFUSED[name]

    with pytest.raises(ScienceError, match=argument) as caught:
        call()
    assert type(caught.value) is error


@pytest.mark.parametrize("figure", [intraclass_correlations, kendall_w, krippendorff_alpha, rater_agreement])
@pytest.mark.parametrize("table", [[5.0, 6.0, 7.0], 5.0, np.full((2, 2, 2), 5.0)])
def test_a_table_has_rows_and_columns(figure, table):
    """A list, a number and a cube are none."""
    with pytest.raises(Inconsistent, match="ratings"):
        figure(table)


@pytest.mark.parametrize("figure", [intraclass_correlations, kendall_w])
@pytest.mark.parametrize("table", [[[5.0, 6.0, 7.0]], [[5.0], [6.0], [7.0]]])
def test_one_target_or_one_taster_is_too_little(figure, table):
    """Two of each at least."""
    with pytest.raises(Underdetermined, match="ratings"):
        figure(table)
