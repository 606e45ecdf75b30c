"""A fill from its mix: amounts by measure and by scale, the copy of the recipe, the gates, and what is odd."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

import pytest

from staveward.models import Act, Fill, FillPart, VesselDraw
from staveward.selectors.barrels import barrel_row
from staveward.selectors.log import log_row
from staveward.services.errors import Forbidden, Impossible
from tests.ledger import DAY0, ClubScene

pytestmark = pytest.mark.django_db

RECIPE: dict[str, Any] = {
    "name": "rye with herbal aperitif",
    "spirit": "cocktail",
    "family": "cocktail",
    "parts": [
        {
            "name": "rye",
            "kind": "spirit",
            "volume_l": 2.0,
            "abv_pct": 46.0,
            "bottle_ml": 700,
            "bottle_cost_minor": 2800,
        },
        {
            "name": "aperitif",
            "kind": "liqueur",
            "volume_l": 1.0,
            "abv_pct": 22.0,
            "sugar_g_l": 180,
            "allergens": [],
        },
    ],
    "is_club": True,
}


@pytest.fixture
def scene() -> ClubScene:
    return ClubScene()


def test_a_weighed_part_counts_as_the_volume_it_has_at_20_degrees(scene: ClubScene) -> None:
    """10 kg on a scale in air of 45 % vol is 10.655 L (OIML R 22 density; air 1.2, weights 8000 kg/m3)."""
    barrel = scene.barrel(nominal_l=12.0)

    fill = scene.fill(barrel, parts=[{"name": "rye", "mass_kg": 10.0, "abv_pct": 45.0, "temp_c": 8.0}])

    part = FillPart.objects.get(fill_id=fill.pk)
    assert part.volume_l == pytest.approx(10.655, abs=0.001)
    assert part.temp_c == 20.0
    assert Fill.objects.get(pk=fill.pk).volume_l == pytest.approx(10.655, abs=0.001)


def test_a_weight_and_a_volume_that_disagree_are_kept_and_flagged(scene: ClubScene) -> None:
    part = {"name": "rye", "mass_kg": 4.0, "volume_l": 4.7, "abv_pct": 45.0}

    assert "weight_disagrees" in scene.fill(scene.barrel(), parts=[part]).flags
    assert "weight_disagrees" not in scene.fill(scene.barrel("Ebb"), parts=[{**part, "mass_kg": 4.4}]).flags


def test_a_reading_is_put_right_for_its_temperature(scene: ClubScene) -> None:
    """An alcoholmeter made for 20 degrees that shows 40 at 15 degrees floats in 42.00 % vol (OIML R 22, Table VIII)."""
    fill = scene.fill(scene.barrel(), abv_apparent_pct=40.0, abv_temp_c=15.0)

    kept = Fill.objects.get(pk=fill.pk)
    assert (round(kept.abv_pct, 1), kept.abv_basis) == (42.0, "measured")
    assert "sweet_reading" not in fill.flags


def test_a_reading_in_a_sweet_mix_is_kept_but_not_believed(scene: ClubScene) -> None:
    """Above 400 mg of solids in 100 mL a hydrometer may not be used uncorrected (27 CFR 30.31)."""
    fill = scene.fill(scene.barrel(), parts=RECIPE["parts"], abv_apparent_pct=20.0, abv_temp_c=20.0)

    kept = Fill.objects.get(pk=fill.pk)
    assert kept.abv_pct == pytest.approx(38.0, abs=0.3)
    assert kept.abv_basis == "calculated"
    assert "sweet_reading" in fill.flags


def test_what_never_belongs_in_wood_was_poured_all_the_same_and_is_flagged(scene: ClubScene) -> None:
    parts = [*RECIPE["parts"], {"name": "lemon", "kind": "juice", "volume_l": 0.3, "abv_pct": 0.0}]

    fill = scene.fill(scene.barrel(), parts=parts)

    assert fill.placement == "placed"
    assert "never_in_wood" in fill.flags
    assert list(FillPart.objects.filter(fill_id=fill.pk).values_list("name", "kind")) == [
        ("rye", "spirit"),
        ("aperitif", "liqueur"),
        ("lemon", "juice"),
    ]


def test_a_gate_somebody_went_through_by_choice_stands_in_the_entry(scene: ClubScene) -> None:
    gates = [
        {"gate": "tight", "ok": True, "reason": "Found tight on 3 May."},
        {"gate": "wood", "ok": False, "reason": "Its wood is spent.", "accepted_by_choice": True},
    ]

    fill = scene.fill(scene.barrel(), gates=gates)

    assert "gate_open" in fill.flags
    assert fill.body["gates"] == gates
    assert "gate_open" not in scene.fill(scene.barrel("Ebb"), gates=gates[:1]).flags


def test_a_fill_into_a_barrel_in_quarantine_is_kept_and_flagged(scene: ClubScene) -> None:
    barrel = scene.barrel()
    scene.send("troubles", barrel, day=1, kind="off_smell", quarantine=True)

    assert "quarantine" not in scene.fill(barrel, day=0).flags
    late = scene.barrel("Ebb")
    scene.send("troubles", late, day=1, kind="off_smell", quarantine=True)
    assert "quarantine" in scene.fill(late, day=2).flags


def test_shares_that_do_not_add_up_to_the_whole_are_refused(scene: ClubScene) -> None:
    barrel = scene.barrel()
    with pytest.raises(Impossible) as refused:
        scene.fill(barrel, shares_total=6)
    assert refused.value.detail == "The shares add up to 3, not to 6."
    assert scene.fill(barrel, shares_total=3).placement == "placed"
    assert not Act.objects.filter(collection="fills").exclude(body__shares_total=3).exists()


def test_the_clubs_own_share_counts_in_the_whole(scene: ClubScene) -> None:
    barrel = scene.barrel()
    with pytest.raises(Impossible):
        scene.fill(barrel, shares_total=3, club_weight=1)
    assert scene.fill(barrel, shares_total=4, club_weight=1).placement == "placed"
    row = barrel_row(barrel, scene.club, scene.people["member"], DAY0)
    assert (row["contents"]["club_weight"], len(row["contents"]["sharers"])) == (1, 2)


def test_a_fill_keeps_its_copy_of_the_recipe_whatever_becomes_of_it(scene: ClubScene) -> None:
    recipe = scene.send("recipes", None, **RECIPE)
    plan = {
        "name": RECIPE["name"],
        "capacity_l": 5.0,
        "headroom_pct": 4.0,
        "parts": RECIPE["parts"],
    }
    fill = scene.fill(scene.barrel(), parts=RECIPE["parts"], recipe=recipe.pk, recipe_version=1, plan=plan)
    kept = Fill.objects.get(pk=fill.pk)
    assert (kept.recipe_id, kept.recipe_version) == (recipe.pk, 1)

    kept.recipe.delete()  # type: ignore[union-attr]

    assert log_row(Act.objects.get(pk=fill.pk), scene.people["keeper"])["body"]["plan"] == plan
    kept.refresh_from_db()
    assert kept.recipe_id is None


def test_the_prices_in_the_copy_are_its_sharers_and_the_keepers(scene: ClubScene) -> None:
    plan = {"name": "rye", "parts": RECIPE["parts"]}
    parts = [{**part, "cost_minor": 900} for part in RECIPE["parts"]]
    fill = Act.objects.get(pk=scene.fill(scene.barrel(), parts=parts, plan=plan).pk)

    def told(who: str) -> tuple[bool, bool]:
        body = log_row(fill, scene.people[who])["body"]
        return (
            any("cost_minor" in part for part in body["parts"]),
            any("bottle_cost_minor" in part for part in body["plan"]["parts"]),
        )

    assert [told(who) for who in ("keeper", "sharer")] == [(True, True)] * 2
    assert [told(who) for who in ("member", "owner")] == [(False, False)] * 2


@pytest.mark.parametrize("named", [{"recipe_version": 7}, {"recipe": "0198a3a0-0000-7000-8000-000000000000"}])
def test_a_recipe_nobody_knows_does_not_undo_what_was_poured(scene: ClubScene, named: dict[str, Any]) -> None:
    recipe = scene.send("recipes", None, **RECIPE)

    fill = scene.fill(scene.barrel(), **{"recipe": recipe.pk, **named})

    assert "recipe_unknown" in fill.flags
    assert Fill.objects.get(pk=fill.pk).recipe_id is None


def test_somebody_elses_own_recipe_is_unknown_to_a_sharer(scene: ClubScene) -> None:
    scene.club.sharers_may_fill = True
    scene.club.save()
    recipe = scene.send("recipes", None, by="other_sharer", **{**RECIPE, "is_club": False})

    assert "recipe_unknown" in scene.fill(scene.barrel(), by="sharer", recipe=recipe.pk).flags
    assert "recipe_unknown" not in scene.fill(scene.barrel("Ebb"), by="other_sharer", recipe=recipe.pk).flags


def test_a_recipe_no_liquid_can_be_is_refused(scene: ClubScene) -> None:
    from staveward.science.errors import Inconsistent

    sweet = {"name": "syrup", "volume_l": 1.0, "abv_pct": 70.0, "sugar_g_l": 600.0}
    with pytest.raises(Inconsistent):
        scene.send("recipes", None, **{**RECIPE, "parts": [sweet]})
    with pytest.raises(Forbidden):
        scene.send("recipes", None, by="tablet", **RECIPE)


def test_a_part_out_of_a_vessel_brings_its_allergens_and_its_cost(scene: ClubScene) -> None:
    """Finishing in another barrel: 2 of the 4 litres that came out go on, with half of what they cost."""
    first = scene.barrel()
    nutty = [{"name": "liqueur", "volume_l": 4.7, "abv_pct": 30.0, "allergens": ["nuts"], "cost_minor": 8000}]
    scene.fill(first, parts=nutty)
    decant = scene.send("decants", first, day=30, measured_volume_l=4.0)
    part = {"name": "first run", "volume_l": 2.0, "abv_pct": 30.0, "vessel": decant.pk}

    fill = scene.fill(scene.barrel("Ebb"), day=31, parts=[part])

    kept = Fill.objects.get(pk=fill.pk)
    assert kept.allergens == ["nuts"]
    assert FillPart.objects.get(fill_id=fill.pk).cost_minor == 4000
    assert VesselDraw.objects.get(act_id=fill.pk).volume_l == pytest.approx(2.0)


def test_more_than_a_vessel_ever_held_cannot_be_poured_out_of_it(scene: ClubScene) -> None:
    first = scene.barrel()
    scene.fill(first)
    decant = scene.send("decants", first, day=30, measured_volume_l=2.0)
    part = {"name": "first run", "volume_l": 1.2, "abv_pct": 50.0, "vessel": decant.pk}

    with pytest.raises(Impossible):
        scene.fill(scene.barrel("Ebb"), day=31, parts=[part, part])
    with pytest.raises(Impossible):
        scene.fill(scene.barrel("Fetch"), day=31, parts=[{**part, "vessel": uuid4()}])
    assert not VesselDraw.objects.exists()
