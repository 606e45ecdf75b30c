"""What the top-ups and wiped joints of a curing say when somebody calls it tight."""

from __future__ import annotations

from typing import Any

import pytest

from staveward.models import Act, Barrel
from staveward.science.vocabulary import CuringVerdict
from staveward.selectors.curings import curing_observed, curing_tightness
from staveward.services.errors import Impossible
from tests.ledger import DAY0, ClubScene

pytestmark = pytest.mark.django_db
HOUR = 1.0 / 24.0


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


def cured(scene: ClubScene, *, drops_ml: tuple[float, ...], joint: bool = True) -> Barrel:
    """A 5 L barrel full of water, topped up every 6 hours, one joint wiped at 20 h and looked at at 48 h."""
    barrel = scene.barrel()
    scene.send("curings", barrel, water_l=5.0)
    for number, drop_ml in enumerate(drops_ml, 1):
        scene.send(
            "tendings",
            barrel,
            day=6 * number * HOUR,
            tasks=["top_up"],
            volume_l=drop_ml / 1000.0,
            reading_u_ml=2.0,
        )
    if joint:
        for hours, state in ((20, "wiped"), (48, "dry")):
            scene.send(
                "tendings",
                barrel,
                day=hours * HOUR,
                tasks=["leak_check"],
                joints=[{"part": "stave", "clock": 5, "state": state}],
            )
    return barrel


def verdict(scene: ClubScene, barrel: Barrel, hours: float = 49) -> Act:
    return scene.send("curing-verdicts", barrel, day=hours * HOUR, verdict="tight")


def test_top_ups_that_fade_and_a_dry_joint_show_it_tight(scene: ClubScene) -> None:
    barrel = cured(scene, drops_ml=(150, 40, 10, 4, 4, 3, 3, 3))
    assert verdict(scene, barrel).flags == []


def test_without_a_wiped_joint_it_is_not_shown_to_be_tight(scene: ClubScene) -> None:
    barrel = cured(scene, drops_ml=(150, 40, 10, 4, 4, 3, 3, 3), joint=False)
    assert verdict(scene, barrel).flags == ["not_shown_tight"]


def test_a_barrel_that_still_runs_is_called_tight_all_the_same_and_flagged(scene: ClubScene) -> None:
    barrel = cured(scene, drops_ml=(600, 580, 600, 590, 600, 600, 600, 600))
    said = verdict(scene, barrel)
    assert (said.placement, said.flags) == ("placed", ["not_shown_tight"])


def test_giving_up_needs_no_figures(scene: ClubScene) -> None:
    barrel = cured(scene, drops_ml=(600, 580))
    for said in ({}, {"reason": "  "}):
        with pytest.raises(Impossible) as refused:
            scene.send("curing-verdicts", barrel, day=7, verdict="given_up", **said)
        assert refused.value.fields[0].field == "reason"
    given_up = scene.send("curing-verdicts", barrel, day=7, verdict="given_up", reason="a split head")
    assert given_up.flags == []


def test_nothing_is_judged_without_a_top_up_or_a_curing(scene: ClubScene) -> None:
    barrel = scene.barrel()
    assert curing_tightness(barrel, DAY0) is None
    scene.send("curings", barrel, water_l=5.0)
    assert curing_tightness(barrel, DAY0) is None


def test_a_top_up_taken_back_counts_no_more(scene: ClubScene) -> None:
    barrel = cured(scene, drops_ml=(150, 40, 10, 4, 4, 3, 3, 900))
    last = Act.objects.filter(barrel=barrel, collection="tendings", body__volume_l=0.9).get()
    assert verdict(scene, barrel, 48.5).flags == ["not_shown_tight"]
    scene.send("voids", day=2.1, act=last.pk, reason="that was the jug, not the barrel")
    judged = curing_tightness(barrel, DAY0.replace(day=3, hour=12))
    assert judged is not None
    assert judged.verdict == CuringVerdict.TIGHT


def tending(hours: float, **body: Any) -> tuple[Any, dict[str, Any]]:
    from datetime import timedelta

    return DAY0 + timedelta(hours=hours), body


def test_filling_up_and_changing_the_water_set_a_new_mark() -> None:
    seen = curing_observed(
        DAY0,
        2.5,
        5.0,
        [
            tending(2, tasks=["top_up"], volume_l=0.1),
            tending(4, tasks=["top_up"], volume_l=2.4, is_filling_up=True),
            tending(10, tasks=["top_up"], volume_l=0.05),
            tending(48, tasks=["water_change"], volume_l=5.0),
            tending(60, tasks=["top_up"], volume_l=0.0),
        ],
    )
    # Half full there is no mark: half the staves are dry. A level that stood is a stretch of nothing.
    assert seen.stretches == [(4.0, 10.0, 50.0), (48.0, 60.0, 0.0)]


def test_two_top_ups_in_one_look_are_one_stretch() -> None:
    seen = curing_observed(
        DAY0,
        5.0,
        5.0,
        [tending(6, tasks=["top_up"], volume_l=0.05), tending(6.01, tasks=["top_up"], volume_l=0.02)],
    )
    assert seen.stretches == [(0.0, 6.0, 70.0)]


def test_a_joint_is_dry_since_it_was_last_wiped_and_the_wettest_one_counts() -> None:
    def joint(hours: float, clock: int, state: str) -> tuple[Any, dict[str, Any]]:
        return tending(
            hours, tasks=["leak_check"], joints=[{"part": "stave", "clock": clock, "state": state}]
        )

    dry_twice = [joint(10, 5, "wiped"), joint(12, 7, "wiped"), joint(24, 5, "dry"), joint(30, 7, "dry")]
    assert curing_observed(DAY0, 5.0, 5.0, dry_twice).dry_joint_h == 14.0
    beaded = [*dry_twice, joint(36, 5, "beads")]
    assert curing_observed(DAY0, 5.0, 5.0, beaded).dry_joint_h == 0.0
    assert curing_observed(DAY0, 5.0, 5.0, [*beaded, joint(50, 5, "dry")]).dry_joint_h == 14.0


def test_a_corrected_weight_makes_another_capacity_though_the_old_figure_is_sent_along(
    scene: ClubScene,
) -> None:
    barrel = cured(scene, drops_ml=(150, 40, 10, 4, 4, 3, 3, 3))
    weights = {"full_mass_kg": 8.0, "weighed_capacity_l": 5.0091}
    first = scene.send("curing-verdicts", barrel, day=2.1, verdict="tight", wet_mass_kg=3.0, **weights)
    scene.send(
        "curing-verdicts", barrel, day=2.1, verdict="tight", wet_mass_kg=3.5, replaces=first.pk, **weights
    )
    barrel.refresh_from_db()
    # Water of 20 degrees Celsius is 998.2 kg/m3; weighed in air of 1.2 with weights of 8000 (handbooks' air buoyancy).
    assert barrel.weighed_capacity_l == pytest.approx(4.5 * (1 - 1.2 / 8000) / 0.997, rel=1e-4)
