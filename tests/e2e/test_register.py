"""A barrel's register, edited in a cellar without signal: its bung, its measures, and what follows from them."""

from __future__ import annotations

import re
from collections.abc import Callable

from playwright.sync_api import Page, expect

from tests.e2e.browsing import Api, all_sent, at, press, said, signed_in, worker_in_control
from tests.machine import Server

Phones = Callable[..., Page]


def test_an_edit_without_signal_turns_the_bung_and_moves_the_marks(
    phone: Phones, server: Server, apis: Callable[[str], Api]
) -> None:
    api = apis("alder")
    held = next(row for row in api.barrels().values() if row["state"] == "held" and not row["bung_tight"])
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

    # Two visits later the bung has gone on by a third, and the barrel's page shows where it points.
    at(keeper, f"/barrels/{held['id']}")
    expect(keeper.get_by_text(re.compile(r"Bung (up|at \d+ o’clock)\. Next \d+"))).to_be_visible()
    keeper.context.set_offline(False)
    all_sent(keeper)
    row = api.get(f"barrels/{held['id']}")
    assert (row["bung_tight"], row["register"]["bilge_diameter_cm"]) == (True, wide)
    assert row["version"] == held["version"] + 1
