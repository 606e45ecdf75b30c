"""The self-check: silent on a club in order, and it names each thing that does not agree."""

from __future__ import annotations

from datetime import timedelta
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from staveward.models import Act, Change, Club, Forecast, ReservationDay, Stay
from staveward.services.club_check import club_check
from staveward.services.feed import feed_publish
from staveward.services.forecasts import forecast_refresh
from tests.ledger import DAY0, ClubScene
from tests.reserving import ReservingScene

pytestmark = pytest.mark.django_db

NOW = DAY0 + timedelta(days=40)


@pytest.fixture
def scene() -> ClubScene:
    """A club at work, in order."""
    scene = ClubScene()
    barrel = scene.barrel("Ebb")
    scene.send("curings", barrel, day=0, water_l=5.0)
    scene.send("curing-verdicts", barrel, day=2, verdict="tight")
    fill = scene.fill(barrel, day=3)
    scene.taste(barrel, fill, day=10)
    scene.send("decants", barrel, day=24, measured_volume_l=4.3)
    scene.send("holds", barrel, day=24.1, water_l=2.5)
    second = scene.barrel("Lee Shore")
    wrong = scene.fill(second, day=5, name="wrong name")
    scene.fill(second, day=5, name="right name", replaces=wrong.pk)
    forecast_refresh(
        stay_ids=list(Stay.objects.filter(ended_at__isnull=True).values_list("id", flat=True)), now=NOW
    )
    feed_publish(
        scene.club,
        [
            *(("people", person.pk) for person in scene.people.values()),
            ("places", scene.place.pk),
        ],
    )
    return scene


def codes(scene: ClubScene) -> list[str]:
    return sorted({fault.code for fault in club_check(Club.objects.get(pk=scene.club.pk), NOW)})


def test_a_club_at_work_is_in_order(scene: ClubScene) -> None:
    assert club_check(Club.objects.get(pk=scene.club.pk), NOW) == []


def test_it_finds_stays_that_overlap(scene: ClubScene) -> None:
    Stay.objects.filter(kind="fill", barrel__name="Ebb").update(ended_at=DAY0 + timedelta(days=30))

    assert codes(scene) == ["stays_differ", "stays_overlap"]


def test_it_finds_a_stay_that_no_act_opened(scene: ClubScene) -> None:
    Stay.objects.filter(barrel__name="Ebb", kind="hold").delete()

    assert codes(scene) == ["stays_differ"]


def test_it_finds_an_act_that_is_not_what_was_sent(scene: ClubScene) -> None:
    act = Act.objects.get(collection="decants")
    Act.objects.filter(pk=act.pk).update(body={**act.body, "measured_volume_l": 4.9})

    faults = club_check(Club.objects.get(pk=scene.club.pk), NOW)

    assert [fault.code for fault in faults] == ["body_changed"]
    assert str(act.pk) in faults[0].detail


def test_it_finds_values_that_are_lost(scene: ClubScene) -> None:
    Act.objects.get(collection="decants").decant.delete()

    assert codes(scene) == ["half_missing"]


def test_it_finds_a_corrected_entry_that_still_counts(scene: ClubScene) -> None:
    Act.objects.filter(body__name="wrong name").update(is_head=True)

    assert "two_heads" in codes(scene)


def test_it_finds_a_feed_behind_its_rows(scene: ClubScene) -> None:
    Club.objects.filter(pk=scene.club.pk).update(change_seq=1)
    assert codes(scene) == ["feed_behind"]


def test_it_finds_rows_the_feed_lacks(scene: ClubScene) -> None:
    Change.objects.filter(collection="log").first().delete()  # type: ignore[union-attr]

    assert codes(scene) == ["feed_lacks"]


def test_it_finds_forecasts_that_are_missing_old_foreign_or_upside_down(scene: ClubScene) -> None:
    hold, fill = (
        Stay.objects.get(barrel__name="Ebb", ended_at=None),
        Stay.objects.get(barrel__name="Lee Shore"),
    )
    assert hold.forecast is not None

    Stay.objects.filter(pk=hold.pk).update(forecast=fill.forecast)
    assert codes(scene) == ["forecast_foreign"]
    Stay.objects.filter(pk=hold.pk).update(forecast=None)
    assert codes(scene) == ["forecast_missing"]
    Stay.objects.filter(pk=hold.pk).update(forecast=hold.forecast)
    Forecast.objects.filter(pk=hold.forecast.pk).update(made_at=NOW - timedelta(days=3))
    assert codes(scene) == ["forecast_stale"]
    near = {**hold.forecast.near, "volume_l": [[2.0, 1.0, 3.0]]}
    Forecast.objects.filter(pk=hold.forecast.pk).update(made_at=NOW, near=near)
    assert codes(scene) == ["forecast_disordered"]


def test_it_finds_samples_that_do_not_add_up(scene: ClubScene) -> None:
    Stay.objects.filter(kind="fill", barrel__name="Ebb").update(sample_used_ml=11.0)

    assert codes(scene) == ["samples_differ"]


def test_it_finds_a_reservation_that_does_not_own_its_days() -> None:
    scene = ReservingScene()
    scene.ask(scene.barrel())
    assert "days_differ" not in codes(scene)

    ReservationDay.objects.first().delete()  # type: ignore[union-attr]

    assert "days_differ" in codes(scene)


def test_the_command_prints_what_it_found_and_fails(scene: ClubScene) -> None:
    Stay.objects.filter(kind="fill", barrel__name="Ebb").update(sample_used_ml=11.0)
    # The command looks at today's clock, long after the scene's forecasts were made.
    said = StringIO()

    with pytest.raises(CommandError, match="do not agree"):
        call_command("check_club", scene.club.slug, stdout=said)
    assert (
        "samples_differ: Ebb: 11 mL are noted as drawn, its tastings and samples add up to 10 mL."
        in said.getvalue()
    )


def test_the_command_refuses_a_club_it_does_not_know() -> None:
    with pytest.raises(CommandError, match="no club called elsewhere"):
        call_command("check_club", "elsewhere")
