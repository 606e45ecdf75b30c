"""Rules of the trade and of this project that are not numbers: guards, families, allergens, care, words.

Most are common practice, no source; where a regulation or paper stands behind one it is named."""

from __future__ import annotations

import pytest

from staveward.science import vocabulary
from staveward.science.blending import mix_guards
from staveward.science.curing import TopUpInterval, tightness
from staveward.science.geometry import BarrelShape
from staveward.science.oak import oak_index, oak_strength
from staveward.science.sharing import divide_bottles
from staveward.science.vocabulary import Allergen, CuringVerdict, GuardLevel, SpiritKind, care_rules_for
from staveward.science.wood import (
    FillsLeft,
    WoodEvent,
    WoodUsed,
    allergen_conflicts,
    allergen_memory,
    carry_over_fraction,
    fills_left,
    suits_next,
    wood_used,
)


def codes(**mix: object) -> dict[str, GuardLevel]:
    return {guard.code: guard.level for guard in mix_guards(**mix)}  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("mix", "code", "level"),
    [
        # Film yeasts and acetic bacteria below 15 % vol: Ibeas et al., Am. J. Enol. Vitic. 48 (1997) 71-74.
        ({"abv_pct": 14.9}, "too_weak", GuardLevel.STOP),
        ({"abv_pct": 15.0}, "may_spoil", GuardLevel.STRONG_WARNING),
        ({"abv_pct": 17.9, "sugar_g_l": 200}, "may_spoil", GuardLevel.STRONG_WARNING),
        # Bacteria of fortified wine at 20 % vol: Gini and Vaughn, Am. J. Enol. Vitic. 13 (1962) 20-31.
        ({"abv_pct": 20.0, "is_wine_based": True}, "wine_based", GuardLevel.WARNING),
        ({"abv_pct": 25.0, "is_wine_based": True}, "oxidises", GuardLevel.NOTE),
        # A slack barrel is one level worse: a rule of this project.
        (
            {"abv_pct": 20.0, "is_wine_based": True, "fill_fraction": 0.7, "weeks_slack": 3},
            "wine_based",
            GuardLevel.STRONG_WARNING,
        ),
        ({"abv_pct": 16.0, "fill_fraction": 0.7, "weeks_slack": 3}, "may_spoil", GuardLevel.STOP),
        # 62.5 % vol into new wood: 27 CFR 5.143; 70 % vol: 49 CFR 173.150(d).
        ({"abv_pct": 63.0}, "strong", GuardLevel.WARNING),
        ({"abv_pct": 70.1}, "too_strong", GuardLevel.STOP),
        ({"abv_pct": 30.0, "ingredients": ["dairy"]}, "never_in_wood_dairy", GuardLevel.STOP),
        ({"abv_pct": 30.0, "ingredients": ["egg"]}, "never_in_wood_egg", GuardLevel.STOP),
        ({"abv_pct": 30.0, "ingredients": ["juice"]}, "never_in_wood_juice", GuardLevel.STOP),
        ({"abv_pct": 30.0, "ingredients": ["honey"]}, "clogs_honey", GuardLevel.WARNING),
        ({"abv_pct": 30.0, "allergens": ["nuts"]}, "allergen_nuts", GuardLevel.WARNING),
        ({"abv_pct": 24.0}, "flammable", GuardLevel.NOTE),
        ({"abv_pct": 50.0}, "ventilate", GuardLevel.WARNING),
        ({"abv_pct": 40.0, "cellar_temp_c": 22.0}, "warm_room", GuardLevel.WARNING),
    ],
)
def test_it_warns_about_a_mix(mix: dict[str, object], code: str, level: GuardLevel):
    """The level of one guard, by its code."""
    assert codes(**mix)[code] == level


def test_it_lets_a_sound_mix_pass():
    """A plain spirit of 30 % vol in a cool room: no more than the word about fire."""
    assert codes(abv_pct=30.0, cellar_temp_c=12.0) == {"flammable": GuardLevel.NOTE}
    assert codes(abv_pct=22.0) == {}


def test_the_loudest_warning_comes_first():
    """Whatever else there is."""
    levels = [guard.level for guard in mix_guards(16.0, ingredients=["dairy", "honey"], allergens=["milk"])]

    assert levels[0] == GuardLevel.STOP
    assert levels == sorted(levels, key=list(GuardLevel).index, reverse=True)


@pytest.mark.parametrize(
    ("held", "following", "value"),
    [
        ([], "neutral", 2),
        (["spirit"], "spirit", 2),
        (["spirit"], "neutral", 1),
        (["smoke"], "neutral", 0),
        (["smoke"], "smoke", 2),
        (["wine"], "spirit", 2),
        (["cocktail"], "cocktail", 1),
        (["wine", "cocktail"], "wine", 0),
        (["spirit", "smoke"], "spirit", 1),
    ],
)
def test_it_says_how_a_past_suits_the_next_fill(held: list[str], following: str, value: int):
    """The lowest verdict over the families held, with a sentence for it."""
    found = suits_next(held, following)

    assert found.value == value
    assert found.match == ("avoid", "ask", "welcome")[value]
    assert all(found.reasons)


def test_an_allergen_is_never_forgotten():
    """Regulation (EU) 1169/2011, Annex II, has fourteen; nothing removes a mark."""
    assert len(Allergen) == 14
    marks = allergen_memory([["nuts"], [], ["sulphites"]])
    assert marks == {Allergen.NUTS, Allergen.SULPHITES}
    assert allergen_conflicts(marks, ["nuts", "egg"]) == {Allergen.NUTS}
    assert allergen_memory([marks, []]) == marks


def test_a_rinse_carries_sulphite_below_the_label():
    """150 mg/L leaves 9.1 mg/L in the next 5 L fill, under the 10 mg/L of Regulation (EU) 1169/2011."""
    carried = 150.0 * carry_over_fraction(0.16374499, 14.529928, 5.0)

    assert carried == pytest.approx(9.06, abs=0.05)
    assert carried < vocabulary.SULPHITE_LABEL_MG_L


def test_the_wood_is_told_in_words():
    """Ranges, never a decimal."""
    assert FillsLeft(0.0, 0.0, 0.0).in_words() == "none left"
    assert FillsLeft(1.2, 2.0, 3.1).in_words() == "about 1 to 3 left"
    assert FillsLeft(0.2, 0.5, 1.0).in_words() == "up to 1 left"
    assert FillsLeft(2.0, 2.1, 2.2).in_words() == "about 2 left"
    assert [WoodUsed(u, u, u).status.value for u in (0.1, 0.5, 0.9, 1.0)] == [
        "fresh",
        "middle",
        "nearly_spent",
        "spent",
    ]


def test_spent_wood_is_a_warning_and_stays_countable():
    """The barrel may go on as a neutral vessel, so the share runs past one."""
    used = wood_used([WoodEvent("whisky", 28)] * 6)

    assert used.is_spent
    assert used.typical > 1.0
    assert all(fills_left(used, kind).typical == 0.0 for kind in SpiritKind)


def test_a_repair_gives_life_back_in_all_three_figures():
    """0.3 after scraping and re-charring, 0.6 after re-toasting (assumptions of this project)."""
    before = wood_used([WoodEvent("rum", 56)])
    for kind, factor in (("scrape_and_rechar", 0.3), ("retoast", 0.6)):
        after = wood_used([WoodEvent("rum", 56), WoodEvent(kind)])
        assert after.pessimistic == pytest.approx(factor * before.pessimistic)
        assert after.optimistic == pytest.approx(factor * before.optimistic)


def test_the_oak_index_falls_with_use_and_size():
    """Small barrels and new wood give more; the three words follow the typical figure."""
    small, large = (oak_index(28, size, area, 60.0, 20.0) for size, area in ((2.0, 0.089), (20.0, 0.4126)))
    used = oak_index(28, 5.0, 0.16374499, 60.0, 20.0, wood_used=1.0)

    assert small.typical_months > large.typical_months
    assert used.low_months <= used.typical_months <= used.high_months
    assert [oak_strength(months).value for months in (1.0, 8.0, 30.0)] == ["weak", "medium", "strong"]


def test_the_usual_barrels_have_the_usual_area():
    """About 524 V^(-1/3) cm2 of wood per litre: common proportions, no source."""
    for size, area in ((1, 524), (2, 416), (5, 306), (10, 243), (20, 193), (60, 134)):
        assert BarrelShape.from_capacity(size).area_to_volume_cm2_per_l == pytest.approx(area, abs=1.0)
        assert BarrelShape.from_capacity(size).capacity_l == pytest.approx(size)


def test_odd_measures_are_told_and_not_refused():
    """A head under 70 % of the bung, or a length out of the usual, is a slip more often than a barrel."""
    assert len(BarrelShape(10.0, 20.0, 50.0).odd_proportions()) == 2
    assert BarrelShape(16.0, 20.0, 25.0).odd_proportions() == ()


def test_curing_asks_for_a_finer_vessel_before_it_calls_a_leak():
    """When the figure passes and its upper bound does not, the measurement is too coarse."""
    judged = tightness([TopUpInterval(0, 24, 6.0), TopUpInterval(24, 48, 6.0)], 9.0, 24.0, 5.0)

    assert judged.leak_ml_per_dm2_day <= 1.0 < judged.leak_upper_ml_per_dm2_day
    assert judged.is_too_coarse
    assert judged.verdict != CuringVerdict.TIGHT


def test_curing_is_not_tight_while_a_joint_is_wet():
    """A wiped joint that stays dry for twelve hours decides; the figure supports it."""
    steps = [TopUpInterval(0, 24, 1.0), TopUpInterval(24, 48, 1.0)]

    assert tightness(steps, 40.0, 24.0, 1.0).verdict == CuringVerdict.TIGHT
    assert tightness(steps, 40.0, 2.0, 1.0).verdict != CuringVerdict.TIGHT


def test_curing_is_given_up_after_a_week():
    """Warned at 96 h, given up at 168 h (makers' care sheets, common practice)."""
    steps = [TopUpInterval(24.0 * day, 24.0 * (day + 1), 200.0) for day in range(7)]

    assert tightness(steps[:4], 20.0, 0.0).is_slow
    assert not tightness(steps[:4], 20.0, 0.0).is_given_up
    assert tightness(steps, 20.0, 0.0).is_given_up


def test_a_tie_goes_to_the_order_given():
    """Equal shares at the last bottle: the order decides, and the tie is told."""
    first, second = (divide_bottles([1, 1, 1], 4, order) for order in ([0, 1, 2], [2, 1, 0]))

    assert first.bottles == (2, 1, 1)
    assert second.bottles == (1, 1, 2)
    assert first.tied == (0, 1, 2)


def test_the_care_schedule_fits_the_barrel():
    """Small barrels are tasted and dipped sooner; each code is there once for every size."""
    small, middle, large = (care_rules_for(size) for size in (2.0, 10.0, 60.0))

    assert set(small) == set(middle) == set(large) == {rule.code for rule in vocabulary.CARE_SCHEDULE}
    assert [rules["age.taste"].first_hours / 24 for rules in (small, middle, large)] == [7, 14, 28]
    assert small["age.level"].every_hours == 14 * 24
    assert middle["age.level"].every_hours == 28 * 24
    assert all(rule.basis for rule in vocabulary.CARE_SCHEDULE)
    with pytest.raises(ValueError, match="more than 0"):
        care_rules_for(0.0)


def test_bounds_are_ordered_and_named_by_unit():
    """Low below high, with a unit for the sentence."""
    for name, bound in vocabulary.BOUNDS.items():
        assert bound.low < bound.high, name
        assert bound.unit, name


@pytest.mark.parametrize(("shares", "bottles"), [([1, 1], 4), ([1, 1, 2], 8), ([1], 3)])
def test_where_all_comes_out_whole_nobody_stands_level(shares: list[int], bottles: int):
    """No bottle is left to be drawn for."""
    division = divide_bottles(shares, bottles)

    assert division.tied == ()
    assert list(division.bottles) == [bottles * share // sum(shares) for share in shares]
