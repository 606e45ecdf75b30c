"""The clock: what is due is done once, by one of however many call."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from django.core.management import CommandError, call_command

from staveward.models import Forecast, Job, Stay
from staveward.services import ticks
from staveward.services.forecasts import forecast_queue
from staveward.services.ticks import tick
from tests.ledger import DAY0, ClubScene

pytestmark = pytest.mark.django_db

NOW = DAY0 + timedelta(days=10)


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


def test_it_forecasts_every_open_stay_once_a_day(scene: ClubScene) -> None:
    scene.fill(scene.barrel("Neap"), day=0)
    scene.send("holds", scene.barrel("Fetch"), day=0, water_l=2.5)

    made = [tick(NOW + timedelta(hours=hours)).forecasts for hours in (0, 1, 5, 24)]

    assert made == [2, 0, 0, 2]
    assert Forecast.objects.filter(kind="contents").count() == 4


def test_the_day_is_the_clubs_own(scene: ClubScene) -> None:
    type(scene.club).objects.filter(pk=scene.club.pk).update(timezone="Pacific/Auckland")
    scene.fill(scene.barrel(), day=0)
    # Noon UTC on the 11th is one in the morning of the 12th in Auckland (UTC+13 in March).
    tick(NOW)

    assert Job.objects.get(name="forecast_daily").key.endswith("@2026-03-12")


def test_it_does_what_was_asked_for(scene: ClubScene) -> None:
    barrel = scene.barrel()
    fill = scene.fill(barrel, day=0)
    tick(NOW)
    scene.taste(barrel, fill, day=10, sample_ml=20.0)
    forecast_queue([fill.pk], NOW)

    assert tick(NOW + timedelta(minutes=1)).forecasts == 1
    assert tick(NOW + timedelta(minutes=2)).forecasts == 0
    assert Stay.objects.get(pk=fill.pk).forecast.near["sampled_l"] == 0.02  # type: ignore[union-attr]


def test_asking_twice_is_asking_once_and_asking_again_is_asking_anew(scene: ClubScene) -> None:
    fill = scene.fill(scene.barrel(), day=0)
    tick(NOW)
    forecast_queue([fill.pk], NOW)
    forecast_queue([fill.pk], NOW)
    assert tick(NOW + timedelta(minutes=1)).forecasts == 1

    forecast_queue([fill.pk], NOW + timedelta(minutes=2))

    assert tick(NOW + timedelta(minutes=3)).forecasts == 1


def test_a_leased_job_is_left_to_who_has_it_until_the_lease_runs_out(scene: ClubScene) -> None:
    fill = scene.fill(scene.barrel(), day=0)
    tick(NOW)
    forecast_queue([fill.pk], NOW)
    Job.objects.filter(name="forecast").update(leased_until=NOW + timedelta(minutes=10))

    assert tick(NOW + timedelta(minutes=5)).forecasts == 0
    assert tick(NOW + timedelta(minutes=11)).forecasts == 1


def test_of_two_clocks_one_gets_the_job(scene: ClubScene) -> None:
    job = Job.objects.create(name="forecast", key="x", run_after=NOW)

    assert [ticks._lease(job, NOW), ticks._lease(job, NOW)] == [True, False]


def test_what_is_asked_for_while_it_runs_is_done_again(
    scene: ClubScene, monkeypatch: pytest.MonkeyPatch
) -> None:
    fill = scene.fill(scene.barrel(), day=0)
    tick(NOW)
    forecast_queue([fill.pk], NOW)
    asked = []

    def refresh(**given: object) -> int:
        if not asked:
            asked.append(given)
            forecast_queue([fill.pk], NOW + timedelta(minutes=2))
        return 1

    monkeypatch.setattr(ticks, "forecast_refresh", refresh)
    tick(NOW + timedelta(minutes=1))

    assert tick(NOW + timedelta(minutes=3)).forecasts == 1


def test_a_failure_is_noted_and_tried_again_later(scene: ClubScene, monkeypatch: pytest.MonkeyPatch) -> None:
    scene.fill(scene.barrel(), day=0)

    def fail(**given: object) -> int:
        raise RuntimeError("no disk left")

    monkeypatch.setattr(ticks, "forecast_refresh", fail)
    assert tick(NOW).failed == ["forecast_daily"]
    job = Job.objects.get(name="forecast_daily")
    assert (job.done_at, job.leased_until, job.last_error) == (None, None, "RuntimeError: no disk left")
    assert job.run_after > NOW
    assert tick(NOW + timedelta(seconds=30)).failed == []

    monkeypatch.undo()
    assert tick(NOW + timedelta(minutes=5)).forecasts == 1


def test_done_jobs_are_tidied_after_a_week(scene: ClubScene) -> None:
    tick(NOW)
    assert tick(NOW + timedelta(days=6)).pruned == 0
    assert tick(NOW + timedelta(days=8)).pruned == 1


def test_old_courses_are_tidied_and_what_a_stay_shows_stays(scene: ClubScene) -> None:
    barrel = scene.barrel("Neap")
    fill = scene.fill(barrel, day=0)
    for day in (0, 1, 20):
        tick(NOW + timedelta(days=day))
    shown = Stay.objects.get(pk=fill.pk).forecast_id
    ages = [(NOW + timedelta(days=20) - made_at).days for made_at in _made("contents")]
    assert ages == [0]
    assert _made("pull")[0] == NOW

    # A fill that has ended keeps its last course, however old that grows.
    scene.send("decants", barrel, day=31, measured_volume_l=4.0)
    tick(NOW + timedelta(days=400))
    assert Stay.objects.get(pk=fill.pk).forecast_id == shown
    assert Forecast.objects.filter(pk=shown).exists()


def _made(kind: str) -> list[datetime]:
    return list(Forecast.objects.filter(kind=kind).order_by("made_at").values_list("made_at", flat=True))


def test_the_command_runs_it_and_says_what_failed(scene: ClubScene, monkeypatch: pytest.MonkeyPatch) -> None:
    scene.fill(scene.barrel(), day=0)
    call_command("tick")
    assert Forecast.objects.filter(kind="contents").count() == 1

    def fail(**given: object) -> int:
        raise RuntimeError("no")

    monkeypatch.setattr(ticks, "reservation_expire", fail)
    Job.objects.filter(name="reservation_expire").delete()
    with pytest.raises(CommandError, match="reservation_expire"):
        call_command("tick")
