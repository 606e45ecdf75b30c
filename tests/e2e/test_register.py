"""In a cellar without signal: a barrel's register is edited, and what was done before is entered with its time."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from playwright.sync_api import Page, expect

from tests.e2e.browsing import Api, all_sent, at, press, said, signed_in, worker_in_control
from tests.machine import Server

Phones = Callable[..., Page]


def test_an_edit_without_signal_turns_the_bung_and_moves_the_marks(
    phone: Phones, server: Server, apis: Callable[[str], Api]
) -> None:
    api = apis("alder")
    scend = api.barrels()["Scend"]
    assert scend["bung_tight"] is False
    api.put("holds", {"barrel": scend["id"], "water_l": round(scend["capacity_l"] / 2, 2)})
    held = api.get(f"barrels/{scend['id']}")
    keeper = phone()
    signed_in(keeper.context, api)
    keeper.goto(f"{server.url}/barrels/{held['id']}")
    expect(keeper.get_by_role("link", name="Its register")).to_be_visible()
    worker_in_control(keeper)
    keeper.context.set_offline(True)

    keeper.get_by_role("link", name="Its register").click()
    keeper.get_by_label(re.compile("Rests tight on any side")).check()
    keeper.locator("label").filter(has_text=re.compile("^Inside$")).click()
    wide = round(held["shape"]["bilge_diameter_cm"] * 1.05, 1)
    keeper.get_by_label("Across the middle").fill(str(wide))
    keeper.get_by_label("Across a head").fill(str(wide + 1))
    keeper.get_by_label("Length", exact=True).fill(f"{held['shape']['length_cm']:.1f}")
    press(keeper, "Save")
    said(keeper, re.compile("A head is never wider than the middle"))
    keeper.get_by_label("Across a head").fill(f"{held['shape']['head_diameter_cm']:.1f}")
    half_mm = round(wide * 10 / 2)
    said(keeper, re.compile(rf"Half full .* wets {half_mm}.mm of the rod; before, \d+.mm"))
    press(keeper, "Save")
    said(keeper, re.compile("on this phone", re.I))

    # Behind a tight bung a hold is turned on by a third, and the barrel's page says where the bung points next.
    at(keeper, f"/barrels/{held['id']}")
    expect(keeper.get_by_text("Bung up. Next 4.")).to_be_visible()
    press(keeper, "Water changed")
    expect(keeper.get_by_label("The bung now stands")).to_have_value("4")
    press(keeper, "Save")
    expect(keeper.get_by_text("Bung at 4 o’clock. Next 8.")).to_be_visible()

    keeper.context.set_offline(False)
    all_sent(keeper)
    row = api.get(f"barrels/{held['id']}")
    assert (row["bung_tight"], row["bung_clock"]) == (True, 4)
    assert row["register"]["bilge_diameter_cm"] == wide
    assert row["version"] == held["version"] + 1


def test_a_top_up_of_the_evening_before_is_entered_late(
    phone: Phones, server: Server, apis: Callable[[str], Api]
) -> None:
    api = apis("alder")
    curing = next(row for row in api.barrels().values() if row["state"] == "curing")
    keeper = phone(timezone_id="Europe/London")
    signed_in(keeper.context, api)
    keeper.goto(f"{server.url}/barrels/{curing['id']}/curing")
    expect(keeper.get_by_role("button", name=re.compile("^(Top|Fill) up$"))).to_be_visible()
    worker_in_control(keeper)
    keeper.context.set_offline(True)

    press(keeper, re.compile("^(Top|Fill) up$"))
    keeper.get_by_label("Poured in").fill("35")
    press(keeper, "It was earlier")
    field = keeper.get_by_label("When it was done")
    opened = datetime.fromisoformat(curing["contents"]["started_at"])
    zone = ZoneInfo(api.get("")["timezone"])
    field.fill(f"{(opened - timedelta(hours=3)).astimezone(zone):%Y-%m-%dT%H:%M}")
    press(keeper, "Save")
    expect(keeper.get_by_text(re.compile("when this began"))).to_be_visible()
    late = (datetime.now(UTC) - timedelta(hours=5)).replace(second=0, microsecond=0)
    field.fill(f"{late.astimezone(zone):%Y-%m-%dT%H:%M}")
    press(keeper, "Save")
    said(keeper, re.compile("on this phone", re.I))

    keeper.context.set_offline(False)
    all_sent(keeper)
    (entry,) = [
        one
        for one in api.log(curing["id"])
        if one["collection"] == "tendings" and one["body"].get("volume_l") == 0.035
    ]
    assert datetime.fromisoformat(entry["happened_at"]) == late
    assert (entry["body"]["time_typed"], entry["placement"]) == (True, "placed")
    assert datetime.fromisoformat(entry["entered_at"]) > late + timedelta(hours=4)
