"""Refusals one by one, as a phone meets them: the field, what came, what is allowed, and nothing kept.

What is late, or comes from a clock a whole day off, is kept and says so.
"""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from staveward.models import Act, Barrel
from tests.api.cast import Cast, ago, uuid7
from tests.api.test_bad_input import only_field, refused
from tests.factories import BarrelFactory

pytestmark = pytest.mark.django_db


def refused_for(
    cast: Cast, collection: str, body: dict[str, Any], by: str = "keeper"
) -> tuple[str, Any, str]:
    """Returns the field, the value and what is allowed, of a refusal for an impossible value."""
    said = refused(cast, collection, body, by)
    field = only_field(said)
    assert (said["status"], said["code"]) == (422, "impossible_value")
    return field["field"], field["value"], field["allowed"]


def test_a_weight_of_nothing_is_refused(cast: Cast) -> None:
    field, value, allowed = refused_for(cast, "readings", cast.at_barrel(kind="weight", mass_kg=0))

    assert (field, value) == ("mass_kg", 0)
    assert "more than 0" in allowed


def test_a_decant_of_more_than_110_percent_is_refused(cast: Cast) -> None:
    cast.fill()
    field, value, allowed = refused_for(cast, "decants", cast.at_barrel(measured_volume_l=5.6))

    assert (field, value) == ("measured_volume_l", 5.6)
    assert "5.50 L" in allowed


def test_a_decant_of_exactly_110_percent_is_kept(cast: Cast) -> None:
    cast.fill()

    assert cast.done("decants", cast.at_barrel(measured_volume_l=5.5))


@pytest.mark.parametrize(
    ("body", "missing"),
    [
        ({"kind": "weight"}, "mass_kg"),
        ({"kind": "alcoholmeter", "temp_c": 20}, "abv_apparent_pct"),
        ({"kind": "alcoholmeter", "abv_apparent_pct": 55}, "temp_c"),
        ({"kind": "climate", "temp_c": 12}, "rh"),
        ({"kind": "climate", "rh": 0.7}, "temp_c"),
        ({"kind": "so2_strip"}, "so2_mg_l"),
        ({"kind": "dip"}, "dip_mm"),
    ],
)
def test_a_reading_without_its_figure_is_refused(cast: Cast, body: dict[str, Any], missing: str) -> None:
    field, value, _ = refused_for(cast, "readings", cast.at_barrel(**body))

    assert (field, value) == (missing, None)


def test_a_climate_is_read_at_one_place_or_one_barrel(cast: Cast) -> None:
    climate = {"kind": "climate", "temp_c": 12, "rh": 0.7}
    both = cast.at_barrel(place=str(cast.place.pk), **climate)

    assert refused_for(cast, "readings", cast.entry(**climate))[0] == "place"
    assert refused_for(cast, "readings", both) == ("place", None, "a place, or a barrel")
    assert cast.done("readings", cast.entry(place=str(cast.place.pk), **climate))


def test_a_reading_of_no_barrel_is_refused(cast: Cast) -> None:
    assert refused_for(cast, "readings", cast.entry(kind="weight", mass_kg=6))[0] == "barrel"


def test_a_rod_wet_deeper_than_the_barrel_is_refused(cast: Cast) -> None:
    field, value, allowed = refused_for(cast, "readings", cast.at_barrel(kind="dip", dip_mm=900))

    assert (field, value) == ("dip_mm", 900)
    assert allowed.startswith("0 to ")
    assert allowed.endswith(" mm")


def test_a_top_up_without_its_litres_is_refused(cast: Cast) -> None:
    cast.fill()

    assert refused_for(cast, "tendings", cast.at_barrel(tasks=["top_up"])) == (
        "volume_l",
        None,
        "a volume, for a top-up",
    )


def test_the_trouble_of_another_barrel_is_not_settled_here(cast: Cast) -> None:
    other = BarrelFactory(club=cast.club, place=cast.place, name="Ebb")
    trouble = cast.done("troubles", cast.entry(barrel=str(other.pk), kind="leak"))
    body = cast.at_barrel(trouble=trouble, outcome="all_lost")

    assert refused_for(cast, "trouble-settlements", body) == ("trouble", trouble, "a trouble of this barrel")


def test_a_fill_for_another_barrels_reservation_is_refused(cast: Cast) -> None:
    unknown = uuid7()

    assert refused_for(cast, "fills", cast.fill_body(reservation=unknown)) == (
        "reservation",
        unknown,
        "a reservation of this barrel",
    )


@pytest.mark.parametrize("volume_l", [0, -1])
def test_a_fill_of_nothing_is_refused(cast: Cast, volume_l: float) -> None:
    parts = [{"name": "rye", "volume_l": volume_l, "abv_pct": 55.0}]
    field, value, allowed = refused_for(cast, "fills", cast.fill_body(parts=parts))

    assert field.endswith("volume_l")
    assert value == volume_l
    assert "more than 0" in allowed


def test_a_wish_is_withdrawn_and_not_voided(cast: Cast) -> None:
    day = ago(days=-30)[:10]
    wish = cast.done(
        "reservations",
        cast.at_barrel(
            starts_on=day,
            ends_on=ago(days=-60)[:10],
            fill_name="rye",
            spirit="whisky",
            family="spirit",
            volume_l=4.5,
        ),
        by="member",
    )
    field, value, _ = refused_for(cast, "voids", cast.entry(act=wish, reason="Not now."))

    assert (field, value) == ("act", wish)


def test_more_wood_used_at_least_than_at_most_is_refused(cast: Cast) -> None:
    body = cast.entry(name="Ebb", nominal_l=5, place=str(cast.place.pk))
    used = {"adopted_wood_used_low": 0.6, "adopted_wood_used_high": 0.4}

    assert refused_for(cast, "barrels", body | used)[:2] == ("adopted_wood_used_high", 0.4)
    assert not Barrel.objects.filter(name="Ebb").exists()


def kept(cast: Cast, body: dict[str, Any], **headers: str) -> tuple[Act, list[str]]:
    """Puts a tending that is kept, and returns it with its flags."""
    key = uuid7()
    answer = cast["keeper"].put(cast.url("tendings", key), body, headers=headers)
    assert answer.status_code == 201, answer.content
    return Act.objects.get(pk=key), answer.json()["flags"]


@pytest.mark.parametrize("days", [1, -1])
def test_a_clock_off_by_a_whole_day_is_taken_off(cast: Cast, days: int) -> None:
    cast.fill()
    clock = timedelta(days=days)
    shown = ago(days=-days, seconds=60)
    body = cast.at_barrel(tasks=["roll"]) | {"happened_at": shown, "entered_at": shown}
    act, flags = kept(cast, body, **{"Sent-At": ago(days=-days)})

    assert "clock" in flags
    # Within the seconds that a test takes.
    assert abs(act.ordered_at - (act.happened_at - clock)) < timedelta(seconds=30)


def test_what_arrives_more_than_a_day_later_says_late(cast: Cast) -> None:
    cast.fill()
    soon, said_soon = kept(cast, cast.at_barrel(0.9, tasks=["roll"]))
    late, said_late = kept(cast, cast.at_barrel(3, tasks=["leak_check"]))

    assert (said_soon, said_late) == ([], ["late"])
    assert (soon.placement, late.placement) == ("placed", "placed")
