"""From wood to glass with no signal: decanted, bottled and shared out on the phone, and on the server exactly once."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from playwright.sync_api import Browser, expect

from tests.e2e.browsing import PHONE, Api, Complaints, eventually, sign_in, worker_in_control
from tests.machine import Server


def test_a_fill_is_decanted_and_bottled_without_signal(
    server: Server, browser: Browser, apis: Callable[[str], Api], complaints: Complaints
) -> None:
    keeper = apis("alder")
    row = _shared_fill(keeper)
    before = {one["id"] for one in keeper.get("vessels")["results"]}
    context = browser.new_context(**PHONE)
    page = context.new_page()
    complaints.listen(page)
    sign_in(page, server.url, "alder")
    worker_in_control(page)

    # Down in the cellar.
    context.set_offline(True)
    page.goto(f"{server.url}/barrels/{row['id']}/pull")
    # The echo of a tap is ignored for a moment, so each press waits for its screen.
    expect(page.get_by_role("heading", name=re.compile("^Pull "))).to_be_visible(timeout=60_000)
    page.get_by_role("navigation", name="Acts").get_by_role("button", name="Pull it").tap()
    page.get_by_role("link", name="Decant it").tap()
    page.get_by_label("What came out").fill("3.1")
    page.get_by_label("Into which vessel?").fill("the short demijohn")
    page.wait_for_timeout(500)
    page.get_by_role("button", name="Decanted").tap()
    expect(page).to_have_title(re.compile("^Decanted "))
    page.get_by_role("link", name="Bottle it").tap()
    expect(page.get_by_role("heading", name="Bottle the short demijohn")).to_be_visible()
    expect(page.get_by_label("How many")).to_have_value("6")
    page.get_by_role("button", name="Bottled").tap()
    expect(page.get_by_role("heading", name="Bottled")).to_be_visible()
    expect(page.get_by_role("main")).to_contain_text("Kept on this phone")

    # Up again: everything arrives, in its order and once.
    context.set_offline(False)
    made = eventually(page, lambda: _new_vessel(keeper, before))
    assert (made["name"], made["volume_l"]) == ("the short demijohn", 3.1)
    assert made["left_l"] == 0
    assert len(made["shares"]) > 1
    (division,) = made["bottlings"]
    assert sum(share["bottles"] for share in division["shares"]) == 6
    named = [(line["collection"], (line["body"] or {}).get("vessel")) for line in keeper.log(row["id"])]
    assert (named.count(("pulls", None)), named.count(("bottlings", made["id"]))) == (1, 1)
    assert keeper.barrels()[row["name"]]["state"] == "empty"

    # A bottle's own tag opens its story, and what is drunk from it shows at once.
    bottle = next(one for one in keeper.get("bottles", limit=200)["results"] if one["vessel"] == made["id"])
    page.goto(f"{server.url}/b/{bottle['tag_code']}")
    expect(page.get_by_role("heading", name="the short demijohn")).to_be_visible(timeout=30_000)
    expect(page.get_by_role("list", name="Its story")).to_contain_text("Decanted: 3.1")
    context.set_offline(True)
    page.get_by_role("button", name="Open it").tap()
    expect(page.get_by_text("Open since today")).to_be_visible()
    context.set_offline(False)
    eventually(page, lambda: keeper.get(f"bottles/{bottle['id']}")["opened_at"])
    context.close()


def _shared_fill(keeper: Api) -> Any:
    for row in keeper.barrels().values():
        contents = row["contents"]
        if row["state"] == "filled" and row["capacity_l"] > 4 and len(contents["sharers"]) > 1:
            return row
    raise AssertionError("The demo has no shared fill to decant.")


def _new_vessel(keeper: Api, before: set[str]) -> Any:
    found = [one for one in keeper.get("vessels")["results"] if one["id"] not in before]
    return found[0] if found and found[0]["bottlings"] else None
