"""What the register knows of a barrel's masses and capacity follows the entries that stand."""

from __future__ import annotations

from typing import Any

import pytest

from staveward.models import Barrel
from staveward.services.errors import Impossible
from tests.ledger import ClubScene

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


def register_of(barrel: Barrel) -> tuple[float | None, float | None, float | None]:
    barrel.refresh_from_db()
    return barrel.dry_mass_kg, barrel.wet_mass_kg, barrel.weighed_capacity_l


def registered(scene: ClubScene, **register: Any) -> Barrel:
    act = scene.send("barrels", name="Fetch", place=scene.place.pk, nominal_l=5.0, **register)
    return Barrel.objects.get(pk=act.pk)


def test_a_verdict_taken_back_takes_its_weighed_capacity_with_it(scene: ClubScene) -> None:
    barrel = registered(scene)
    scene.send("curings", barrel, day=1, water_l=4.9, dry_mass_kg=3.1)
    verdict = scene.send(
        "curing-verdicts", barrel, day=3, verdict="tight", wet_mass_kg=3.6, weighed_capacity_l=5.2
    )
    assert register_of(barrel) == (3.1, 3.6, 5.2)

    scene.send("voids", barrel=None, day=3.1, act=verdict.pk, reason="that was the other barrel")

    assert register_of(barrel) == (3.1, None, None)


def test_what_was_registered_holds_again_once_the_verdict_is_taken_back(scene: ClubScene) -> None:
    barrel = registered(scene, weighed_capacity_l=4.8, wet_mass_kg=3.5)
    scene.send("curings", barrel, day=1, water_l=4.8)
    verdict = scene.send("curing-verdicts", barrel, day=3, verdict="tight", weighed_capacity_l=5.2)
    assert register_of(barrel) == (None, 3.5, 5.2)

    scene.send("voids", day=3.1, act=verdict.pk, reason="misread")

    assert register_of(barrel) == (None, 3.5, 4.8)


def test_a_corrected_verdict_weighs_what_the_correction_says(scene: ClubScene) -> None:
    barrel = registered(scene)
    scene.send("curings", barrel, day=1, water_l=4.9)
    verdict = scene.send("curing-verdicts", barrel, day=3, verdict="tight", weighed_capacity_l=5.2)
    scene.send("curing-verdicts", barrel, day=3, verdict="tight", weighed_capacity_l=5.1, replaces=verdict.pk)
    assert register_of(barrel)[2] == 5.1


def test_a_barrel_that_no_entry_weighed_keeps_its_register(scene: ClubScene) -> None:
    barrel = scene.barrel(weighed_capacity_l=5.05)
    scene.send("holds", barrel, water_l=2.5)
    assert register_of(barrel)[2] == 5.05


def test_two_weights_make_the_capacity(scene: ClubScene) -> None:
    """5.000 kg of water, weighed in air at 20 degC: 5.0138 L.

    998.203 kg/m3 (OIML R 22, 1975: water at 20 degC) less the lift of the air, 1.2 kg/m3, against steel weights.
    """
    barrel = registered(scene)
    scene.send("curings", barrel, day=1, water_l=4.9)
    scene.send(
        "curing-verdicts",
        barrel,
        day=3,
        verdict="tight",
        full_mass_kg=8.6,
        wet_mass_kg=3.6,
        water_temp_c=20.0,
    )
    weighed = register_of(barrel)[2]
    assert weighed == pytest.approx(5.0 * (1 - 1.2 / 8000.0) / (0.998203 - 0.0012), abs=2e-4)


def test_a_full_barrel_lighter_than_a_drained_one_is_impossible(scene: ClubScene) -> None:
    barrel = registered(scene)
    scene.send("curings", barrel, day=1, water_l=4.9)
    with pytest.raises(Impossible) as refused:
        scene.send("curing-verdicts", barrel, day=3, verdict="tight", full_mass_kg=3.0, wet_mass_kg=3.6)
    assert refused.value.fields[0].field == "full_mass_kg"


def test_weights_that_make_another_barrel_are_impossible(scene: ClubScene) -> None:
    barrel = registered(scene)
    scene.send("curings", barrel, day=1, water_l=4.9)
    with pytest.raises(Impossible) as refused:
        scene.send("curing-verdicts", barrel, day=3, verdict="tight", full_mass_kg=13.6, wet_mass_kg=3.6)
    assert refused.value.fields[0].allowed == "2.5 to 7.5 L"
