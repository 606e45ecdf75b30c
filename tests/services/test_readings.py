"""Readings: an unusual one is kept and flagged, and what was read of a fill sharpens its forecast."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest

from staveward.models import Stay
from staveward.selectors.forecasts import Contents, forecast_at
from staveward.selectors.geometry import barrel_shape
from staveward.selectors.learned import litres_per_mm
from staveward.services.forecasts import forecast_refresh
from tests.ledger import DAY0, ClubScene
from tests.reading import queries_of

pytestmark = pytest.mark.django_db

# Half the width of an interval that holds 80 % of cases, in standard deviations.
SD_OF_80 = 1.2816


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


def inside(scene: ClubScene, day: float, name: str = "Neap") -> Contents:
    stays = Stay.objects.for_club(scene.club).filter(ended_at__isnull=True)
    forecast_refresh(stay_ids=list(stays.values_list("id", flat=True)), now=DAY0 + timedelta(days=day))
    stay = stays.select_related("forecast").get(barrel__name=name)
    assert stay.forecast is not None
    found = forecast_at(stay.forecast.near, DAY0 + timedelta(days=day))
    assert found is not None
    return found


def test_a_dip_moves_the_forecast_towards_it_and_narrows_it(scene: ClubScene) -> None:
    """Against two normal figures put together: the mean weighed by precision, the variance their harmonic sum."""
    barrel = scene.barrel()
    scene.fill(barrel, day=0)
    before = inside(scene, 60)
    low, mid, high = before.volume_l
    prior_sd = (high - low) / (2 * SD_OF_80)
    dipped = mid - 0.8 * prior_sd
    rod_sd = 1.5 * litres_per_mm(barrel_shape(barrel), dipped)
    scene.send("readings", barrel, day=60, kind="dip", volume_l=dipped)

    after = inside(scene, 60)

    weight = prior_sd**2 / (prior_sd**2 + rod_sd**2)
    assert after.volume_l[1] == pytest.approx(mid + weight * (dipped - mid), abs=0.35 * prior_sd)
    assert after.volume_l[2] - after.volume_l[0] < 0.8 * (high - low)
    assert low < after.volume_l[1] < mid


def test_a_corrected_strength_moves_the_strength(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.fill(barrel, day=0)
    before = inside(scene, 60)
    assert before.abv_pct is not None
    low, mid, high = before.abv_pct
    # At 20 degrees an alcoholmeter of 20 degrees needs no correction.
    scene.send(
        "readings", barrel, day=60, kind="alcoholmeter", abv_apparent_pct=mid - 0.7 * (mid - low), temp_c=20.0
    )

    after = inside(scene, 60).abv_pct

    assert after is not None
    assert low < after[1] < mid
    assert after[2] - after[0] < high - low


def test_a_scale_teaches_only_where_the_wet_barrel_was_weighed(scene: ClubScene) -> None:
    for name, register in (("Ebb", {}), ("Neap", {"wet_mass_kg": 3.0})):
        scene.fill(scene.barrel(name, **register), day=0)
    plain = inside(scene, 60, "Ebb").volume_l
    for stay in Stay.objects.select_related("barrel"):
        scene.send("readings", stay.barrel, day=60, kind="weight", mass_kg=3.0 + 0.93 * (plain[1] - 0.05))

    assert inside(scene, 60, "Ebb").volume_l == plain
    assert inside(scene, 60, "Neap").volume_l[1] < plain[1]


def test_a_sweetened_fill_learns_no_strength_from_an_alcoholmeter(scene: ClubScene) -> None:
    barrel = scene.barrel()
    parts = [{"name": "liqueur", "volume_l": 4.7, "abv_pct": 30.0, "sugar_g_l": 200.0}]
    scene.fill(barrel, day=0, spirit="cocktail", family="cocktail", parts=parts)
    before = inside(scene, 30)
    scene.send("readings", barrel, day=30, kind="alcoholmeter", abv_apparent_pct=8.0, temp_c=20.0)

    assert inside(scene, 30) == before


def test_a_reading_is_followed_as_soon_as_it_is_committed(
    scene: ClubScene, django_capture_on_commit_callbacks: Callable[..., Any]
) -> None:
    barrel = scene.barrel()
    scene.fill(barrel, day=0)
    inside(scene, 10)
    with django_capture_on_commit_callbacks() as waiting:
        scene.send("readings", barrel, day=10, kind="dip", volume_l=4.4)
        scene.send("readings", day=10, kind="climate", place=scene.place.pk, temp_c=12.0, rh=0.7)

    assert len(waiting) == 1


@pytest.mark.parametrize(
    ("reading", "flags"),
    [
        ({"kind": "dip", "volume_l": 4.45}, []),
        ({"kind": "dip", "volume_l": 2.0}, ["outlier"]),
        ({"kind": "weight", "mass_kg": 7.2}, []),
        ({"kind": "weight", "mass_kg": 4.0}, ["outlier"]),
        ({"kind": "alcoholmeter", "abv_apparent_pct": 54.0, "temp_c": 20.0}, []),
        ({"kind": "alcoholmeter", "abv_apparent_pct": 30.0, "temp_c": 20.0}, ["outlier"]),
        # 54 % vol read in a cold cellar shows less on the glass: the correction comes before the judgement.
        ({"kind": "alcoholmeter", "abv_apparent_pct": 49.5, "temp_c": 8.0}, []),
    ],
)
def test_a_reading_far_off_is_kept_and_flagged(
    scene: ClubScene, reading: dict[str, Any], flags: list[str]
) -> None:
    barrel = scene.barrel(wet_mass_kg=3.0)
    scene.fill(barrel, day=0)
    inside(scene, 10)

    act = scene.send("readings", barrel, day=10, **reading)

    assert (act.placement, act.flags) == ("placed", flags)


@pytest.mark.parametrize(
    ("reading", "flags"),
    [
        # A litre of 30 % vol with 200 g/L: 0.876 L of 34.25 % vol at 0.957 kg/L (OIML R 22), and 0.2 kg of sugar.
        ({"kind": "weight", "mass_kg": 3.0 + 4.6 * 1.038}, []),
        ({"kind": "weight", "mass_kg": 3.0 + 3.9 * 1.038}, ["outlier"]),
        # Sugar hides the strength from the instrument: it is no reason to read once more.
        ({"kind": "alcoholmeter", "abv_apparent_pct": 8.0, "temp_c": 20.0}, []),
    ],
)
def test_a_sweetened_fill_is_held_against_its_own_weight(
    scene: ClubScene, reading: dict[str, Any], flags: list[str]
) -> None:
    barrel = scene.barrel(wet_mass_kg=3.0)
    parts = [{"name": "liqueur", "volume_l": 4.7, "abv_pct": 30.0, "sugar_g_l": 200.0}]
    scene.fill(barrel, day=0, spirit="cocktail", family="cocktail", parts=parts)
    inside(scene, 10)

    assert scene.send("readings", barrel, day=10, **reading).flags == flags


def test_nothing_is_far_off_where_nothing_is_expected(scene: ClubScene) -> None:
    barrel = scene.barrel()

    assert scene.send("readings", barrel, day=1, kind="dip", volume_l=0.4).flags == []
    scene.fill(barrel, day=2)
    # Before the fill, and with no forecast yet.
    assert scene.send("readings", barrel, day=1.5, kind="dip", volume_l=0.4).flags == []


def test_readings_of_many_fills_are_one_query(scene: ClubScene) -> None:
    def refresh() -> None:
        inside(scene, 30)

    for name in ("Neap", "Ebb"):
        scene.fill(scene.barrel(name), day=0)
    few = queries_of(refresh)
    for stay in Stay.objects.select_related("barrel"):
        scene.send("readings", stay.barrel, day=20, kind="dip", volume_l=4.5)

    assert queries_of(refresh) == few
