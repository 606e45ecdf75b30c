"""Pull forecasts: from the scores that stand, stored when they say something new, scored when the fill has ended."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from staveward.models import Barrel, Forecast, ForecastScore, Job, Stay
from staveward.selectors.barrels import barrel_row
from staveward.selectors.forecast_scores import pull_honesty
from staveward.selectors.pull_forecasts import pull_cases
from staveward.services.pull_forecasts import pull_refresh
from staveward.services.ticks import tick
from tests.ledger import DAY0, ClubScene
from tests.reading import queries_of

pytestmark = pytest.mark.django_db

RISING = [(7, 5.0), (14, 6.0), (21, 7.0), (28, 7.8)]


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


def refreshed(scene: ClubScene, day: float) -> int:
    stays = Stay.objects.for_club(scene.club).values_list("id", flat=True)
    return pull_refresh(stay_ids=list(stays), now=DAY0 + timedelta(days=day))


def newest(scene: ClubScene) -> dict[str, Any]:
    stay = Stay.objects.for_club(scene.club).select_related("pull").get()
    assert stay.pull is not None
    return stay.pull.near


def shown(scene: ClubScene, barrel: Barrel, day: float, by: str = "sharer") -> Any:
    row = barrel_row(barrel, scene.club, scene.people[by], DAY0 + timedelta(days=day))
    return row["contents"]["pull"]


def test_before_any_score_the_usual_week_is_expected(scene: ClubScene) -> None:
    """Common practice, no source: five weeks for a 5 L barrel; the interval is exp(+-1.2816 x 0.55) in week + 1."""
    barrel = scene.barrel()
    scene.fill(barrel, day=0)

    refreshed(scene, 3)

    said = shown(scene, barrel, 3)
    assert said["best_week"]["mid"] == pytest.approx(5.0, abs=0.05)
    assert said["best_week"]["low"] == pytest.approx(6 * np.exp(-1.2816 * 0.55) - 1, abs=0.1)
    assert said["best_week"]["high"] == pytest.approx(6 * np.exp(1.2816 * 0.55) - 1, abs=0.25)
    assert (said["verdict"], said["reason"], said["log_more"]) == ("too_few", "few_scores", 3)
    assert (said["prior_basis"], said["curve"], said["agreement"]) == ("table", None, None)


def test_a_plan_made_at_the_fill_is_expected_first(scene: ClubScene) -> None:
    scene.fill(scene.barrel(), day=0, planned_days=84)

    refreshed(scene, 3)

    assert (newest(scene)["prior_week"], newest(scene)["prior_basis"]) == (12.0, "keeper")


def test_the_clubs_own_fills_move_the_week_to_expect(scene: ClubScene) -> None:
    """By hand: three fills best at week b and the table's 5 weigh evenly, ln(W0 + 1) = (3 ln(b + 1) + 3 ln 6)/6."""
    for name in ("Ebb", "Flood", "Spring"):
        barrel = scene.barrel(name)
        fill = scene.fill(barrel, day=0)
        for day, liking in [(28, 5.0), (42, 6.5), (56, 7.5), (70, 8.0), (84, 6.5), (98, 5.0)]:
            scene.taste(barrel, fill, day=day, liking=liking)
        scene.send("decants", barrel, day=99, measured_volume_l=4.0)
    refreshed(scene, 100)
    best = [stay.pull.near["best_week"][1] for stay in Stay.objects.select_related("pull") if stay.pull]
    scene.fill(scene.barrel("Neap"), day=101)
    # Another size and another family say nothing of it.
    scene.fill(scene.barrel("Slack", nominal_l=20.0), day=101)

    cases = pull_cases(
        Stay.objects.filter(ended_at__isnull=True).values_list("id", flat=True), DAY0 + timedelta(days=102)
    )

    prior = {Barrel.objects.get(pk=case.barrel_id).name: case.prior for case in cases}
    expected = np.exp((np.log1p(best).sum() + 3 * np.log(6.0)) / 6.0) - 1.0
    assert prior["Neap"].basis == "own_fills"
    assert prior["Neap"].week == pytest.approx(expected, abs=1e-2)
    assert prior["Slack"].basis == "table"


def test_a_score_is_followed_by_the_job_not_by_the_write(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel, day=0)
    refreshed(scene, 1)
    before = Forecast.objects.filter(kind="pull").count()
    for day, liking in RISING:
        scene.taste(barrel, fill, day=day, liking=liking)

    assert Forecast.objects.filter(kind="pull").count() == before
    assert Job.objects.filter(name="pull_forecast", done_at__isnull=True).count() == 1

    # The jobs are due by the server's clock, which is months ahead of the scene's.
    Job.objects.update(run_after=DAY0)
    tick(DAY0 + timedelta(days=28.1))

    assert not Job.objects.filter(name="pull_forecast", done_at__isnull=True).exists()
    said = shown(scene, barrel, 28.1)
    assert (said["scores"], said["tasters"], said["verdict"]) == (4, 1, "keep_going")
    assert said["best_week"]["low"] <= said["best_week"]["mid"] <= said["best_week"]["high"]
    assert len(said["curve"]["weeks"]) == len(said["curve"]["low"]) == len(said["curve"]["mean"])
    # Today is a knot of the picture, so that the solid line ends at it.
    assert 4.0 in said["curve"]["weeks"]


def test_the_answer_is_that_of_a_plain_posterior(scene: ClubScene) -> None:
    """Against the definition, evaluated with scipy.stats on the same nodes (reference: model of the best week)."""
    barrel = scene.barrel()
    fill = scene.fill(barrel, day=0)
    for day, liking in RISING:
        scene.taste(barrel, fill, day=day, liking=liking)
    refreshed(scene, 28)

    days, y = np.array([7.0, 14, 21, 28]), np.array([5.0, 6, 7, 7.8])
    u = np.log1p(days / 7) - np.log(6.0)
    nodes = np.linspace(-1.65, 1.65, 61)
    z = np.arange(-2, 3)
    bends = [
        (0.0, 0.10),
        *zip(2 * np.exp(0.6 * z), 0.9 * np.exp(-(z**2) / 2) / np.exp(-(z**2) / 2).sum(), strict=True),
    ]
    weight = np.zeros((61, len(bends)))
    for sigma, p_sigma in ((0.6, 0.3), (0.9, 0.4), (1.4, 0.3)):
        cov = 1.5**2 + 1.2**2 + 0.16 * np.exp(-((u[:, None] - u) ** 2) / 0.32)
        cov = cov + (0.3**2 + sigma**2) * np.eye(4)
        for row, m in enumerate(nodes):
            bump = 2 * (np.sqrt(1 + (u - m) ** 2) - 1)
            for column, (k, p_k) in enumerate(bends):
                density = multivariate_normal.pdf(y, 6.5 - k * bump, cov)
                weight[row, column] += p_sigma * p_k * np.exp(-(m**2) / (2 * 0.55**2)) * density
    weight /= weight.sum()
    edges = np.append(nodes - 0.0275, nodes[-1] + 0.0275)
    peak = np.append(0.0, np.cumsum(weight.sum(axis=1)))
    weeks = [6 * np.exp(np.interp(share, peak, edges)) - 1 for share in (0.1, 0.5, 0.9)]
    bent = np.append(0.0, np.cumsum(weight[:, 1:].sum(axis=1)))
    middle = (np.log(5.0) + np.log(6.0)) / 2 - np.log(6.0)

    said = newest(scene)
    assert said["best_week"] == pytest.approx(weeks, abs=2e-3)
    assert said["p_flat"] == pytest.approx(weight[:, 0].sum(), abs=2e-3)
    assert said["p_more"] == pytest.approx(1 - weight[:, 0].sum() - np.interp(middle, edges, bent), abs=2e-3)


def test_a_snapshot_is_stored_only_when_it_says_something_else(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel, day=0)
    scene.taste(barrel, fill, day=7, liking=6.0)

    assert refreshed(scene, 7) == 1
    assert refreshed(scene, 7.2) == 0
    first = Forecast.objects.get(kind="pull")
    scene.taste(barrel, fill, day=8, liking=8.0, by="other_sharer")
    assert refreshed(scene, 8) == 1
    first.refresh_from_db()
    assert first.near["scores"] == 1
    assert newest(scene)["scores"] == 2


def test_a_corrected_and_a_taken_back_score_count_no_more(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel, day=0)
    wrong = scene.taste(barrel, fill, day=7, liking=1.0)
    scene.taste(barrel, fill, day=7, liking=8.0, replaces=wrong.pk)
    gone = scene.taste(barrel, fill, day=14, liking=9.0, by="other_sharer")
    scene.send("voids", day=14.1, act=gone.pk, reason="another barrel", by="keeper")

    refreshed(scene, 15)

    (case,) = pull_cases([fill.pk], DAY0 + timedelta(days=15))
    assert [(one.day, one.liking) for one in case.scores] == [(7.0, 8.0)]


def test_days_are_the_clubs_own(scene: ClubScene) -> None:
    """A quarter past eleven at night by UTC is past midnight in London's summer: the fill's day is London's."""
    barrel = scene.barrel()
    fill = scene.fill(barrel, day=60.47)
    scene.taste(barrel, fill, day=67.47, tasted_on=(DAY0 + timedelta(days=68)).date())

    (case,) = pull_cases([fill.pk], DAY0 + timedelta(days=67.47))

    assert case.filled_on == (DAY0 + timedelta(days=61)).date()
    assert case.scores[0].day == 7.0


def test_agreement_waits_for_five_shared_evenings(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel, day=0)
    for week in range(1, 5):
        scene.taste(barrel, fill, day=7 * week, liking=4.0 + week)
        scene.taste(barrel, fill, day=7 * week, liking=4.5 + week, by="other_sharer")
    refreshed(scene, 29)
    few = newest(scene)["agreement"]
    scene.taste(barrel, fill, day=35, liking=4.0)
    scene.taste(barrel, fill, day=35, liking=4.5, by="other_sharer")
    refreshed(scene, 36)

    assert (few["verdict"], few["alpha"], few["evenings"]) == ("too_few", None, 4)
    enough = newest(scene)["agreement"]
    assert (enough["evenings"], enough["tasters"], enough["verdict"]) == (5, 2, "firm")


def test_a_private_fill_keeps_its_forecast_to_its_sharers(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.fill(barrel, day=0, is_private=True)
    refreshed(scene, 3)

    assert shown(scene, barrel, 3, by="member") is None
    assert shown(scene, barrel, 3, by="sharer")["scores"] == 0
    assert "next" not in shown(scene, barrel, 3, by="sharer")


def test_many_fills_take_the_queries_of_one(scene: ClubScene) -> None:
    for name in ("Ebb", "Flood"):
        barrel = scene.barrel(name)
        scene.taste(barrel, scene.fill(barrel, day=0), day=7)
    few = queries_of(lambda: pull_cases(Stay.objects.values_list("id", flat=True), DAY0 + timedelta(days=9)))
    for number in range(5):
        barrel = scene.barrel(f"more {number}")
        scene.taste(barrel, scene.fill(barrel, day=0), day=7)

    assert (
        queries_of(lambda: pull_cases(Stay.objects.values_list("id", flat=True), DAY0 + timedelta(days=9)))
        == few
    )


def decanted(scene: ClubScene, name: str = "Neap", **ending: Any) -> Stay:
    """A fill tasted weekly with a forecast after each evening, decanted in week 6."""
    barrel = scene.barrel(name)
    fill = scene.fill(barrel, day=0)
    refreshed(scene, 0.5)
    for week, liking in enumerate([5.0, 6.0, 7.0, 7.5, 7.5], start=1):
        scene.taste(barrel, fill, day=7 * week, liking=liking, **ending)
        refreshed(scene, 7 * week + 0.1)
    scene.send("decants", barrel, day=42, measured_volume_l=4.0)
    refreshed(scene, 42.1)
    return Stay.objects.get(pk=fill.pk)


def test_a_decanted_fill_is_scored_against_what_was_foretold(scene: ClubScene) -> None:
    """Interval score and pinball by their definitions (Gneiting and Raftery, JASA 102, 2007)."""
    stay = decanted(scene)

    score = ForecastScore.objects.get(stay=stay)
    assert (score.decanted_week, score.counts) == (6.0, True)
    # Snapshots of weeks 5 (lead 1), 2 to 4 (leads 2 to 4: the last is week 4's) and 0 to 1 (leads 5 and 6).
    assert [row["lead"] for row in score.pull_week] == [0, 1, 2]
    for row in score.pull_week:
        low, mid, high = row["low"], row["mid"], row["high"]
        outside = max(0.0, low - 6.0) + max(0.0, 6.0 - high)
        assert row["interval"] == pytest.approx(high - low + 10 * outside, abs=1e-3)
        assert row["pinball"][1] == pytest.approx(0.5 * abs(mid - 6.0), abs=1e-3)
        assert row["is_inside"] == (low <= 6.0 <= high)
    # Every evening but none before the first forecast: five scores, each held against the forecast before it.
    assert len(score.next_score) == 5
    nodes = np.linspace(-1.65, 1.65, 61)
    peak = np.exp(-(nodes**2) / (2 * 0.55**2))
    z = np.arange(-2, 3)
    bend = 0.9 * np.sum(np.exp(-(z**2) / 2) * 2 * np.exp(0.6 * z)) / np.sum(np.exp(-(z**2) / 2))
    bump = 2 * (np.sqrt(1 + (np.log(2.0 / 6.0) - nodes) ** 2) - 1)
    # Before any score: level less the mean bend at week 1, by the priors alone.
    assert score.next_score[0]["mean"] == pytest.approx(6.5 - bend * (bump @ peak) / peak.sum(), abs=1e-2)


def test_a_fill_pulled_for_its_smell_does_not_count(scene: ClubScene) -> None:
    assert not ForecastScore.objects.get(stay=decanted(scene, off_notes=["musty"])).counts
    assert pull_honesty(scene.club)["fills"] == 0


def test_a_decant_taken_back_takes_its_score_with_it(scene: ClubScene) -> None:
    stay = decanted(scene)
    assert stay.closing_id is not None
    scene.send("voids", day=43, act=stay.closing_id, reason="not yet")
    Job.objects.update(run_after=DAY0)
    tick(DAY0 + timedelta(days=43.1))

    assert not ForecastScore.objects.exists()


def test_the_clubs_honesty_counts_one_forecast_a_fill(scene: ClubScene) -> None:
    for name in ("Ebb", "Neap"):
        decanted(scene, name)

    said = pull_honesty(scene.club)

    assert (said["fills"], said["pull_week"]["n"], said["next_score"]["n"]) == (2, 2, 10)
    assert said["pull_week"]["verdict"] == "too_few"
