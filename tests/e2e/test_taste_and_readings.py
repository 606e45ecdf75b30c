"""A taste with its full profile and a reading, both without signal; the forecast follows them when they have gone."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import Page, expect

from tests.e2e.browsing import Api, photo_file, sign_in, worker_in_control
from tests.machine import Server

BARREL = "Slack Water"


def test_others_scores_wait_for_ones_own_and_the_forecast_follows(
    server: Server, phone: Callable[..., Page], apis: Callable[[str], Api]
) -> None:
    api = apis("alder")
    row = api.barrels()[BARREL]
    before = row["contents"]["pull"]
    page = phone()
    sign_in(page, server.url, "pell")
    worker_in_control(page)

    # Pell never tasted it: what the others gave is covered, in the picture and in the log.
    page.goto(f"{server.url}/barrels/{row['id']}/forecast")
    picture = page.get_by_role("img", name="Liking by week")
    expect(picture).to_be_visible()
    expect(page.get_by_role("heading", level=2).first).to_contain_text("best in weeks")
    expect(page.get_by_text("show when yours is saved")).to_be_visible()
    assert "Sedge" not in (picture.get_attribute("aria-label") or "")
    page.goto(f"{server.url}/barrels/{row['id']}/log")
    expect(page.get_by_text("gave a score; it shows when yours is saved").first).to_be_visible()

    # In the cellar: no signal, a score with its profile, spat out.
    page.context.set_offline(True)
    page.goto(f"{server.url}/barrels/{row['id']}/taste")
    page.get_by_role("slider", name="How do you like it?").press("8")
    page.get_by_role("button", name="Say more").click()
    page.get_by_label("I spat it out").check()
    page.get_by_role("button", name="The full profile").click()
    page.get_by_label("Vanilla, sweet spice").fill("6.5")
    page.get_by_role("button", name="Done").click()
    page.get_by_role("button", name="Done").click()
    # A tap where another was less than 400 ms ago is its echo, and is not heard.
    page.wait_for_timeout(500)
    page.get_by_role("button", name="Save").click()
    expect(page).to_have_title(f"Saved: {BARREL} · Staveward")
    expect(page.get_by_text("All spat this evening: nothing to count.")).to_be_visible()
    expect(
        page.get_by_role("list", name="What the others gave").get_by_role("listitem").first
    ).to_be_visible()

    page.context.set_offline(False)
    page.goto(f"{server.url}/not-yet-sent")
    expect(page.get_by_role("list", name="Only on this phone")).to_have_count(0, timeout=30_000)
    taste = next(one for one in api.log(row["id"]) if one["collection"] == "tastings")
    assert taste["body"]["profile"] == {"vanilla_spice": 6.5}
    assert (taste["body"]["is_spat"], taste["body"]["position"]) == (True, 1)

    # The clock's job counts it, and the phone hears of it.
    server.manage("tick")
    after = api.barrels()[BARREL]["contents"]["pull"]
    assert after["scores"] == before["scores"] + 1
    page.goto(f"{server.url}/barrels/{row['id']}/forecast")
    expect(page.get_by_role("img", name="Sedge")).to_be_visible(timeout=30_000)
    page.get_by_text("As a table").click()
    expect(page.get_by_role("row").filter(has_text="Pell")).to_have_count(1)


def test_a_reading_is_asked_for_again_and_says_what_it_changed(
    server: Server, phone: Callable[..., Page], apis: Callable[[str], Api], tmp_path: Path
) -> None:
    api = apis("alder")
    row = api.barrels()[BARREL]
    before = row["now"]["volume_l"]
    page = phone()
    sign_in(page, server.url, "alder")
    page.goto(f"{server.url}/barrels/{row['id']}")
    page.get_by_role("link", name="Take a reading").click()

    # An alcoholmeter means nothing in a sweet mix, and the screen says so instead of a strength.
    page.get_by_role("radio", name="Alcoholmeter").check()
    page.get_by_label("As it shows").fill("40")
    page.get_by_label("Its temperature").fill("10")
    expect(page.get_by_text("this is no true strength")).to_be_visible()
    expect(page.get_by_text("% vol at 20")).to_be_hidden()

    # A rod read wrongly is asked for again, and mended.
    page.get_by_role("radio", name="Rod").check()
    page.get_by_label("Wet part of the rod").fill("12")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("alert")).to_contain_text("Read it once more")
    depth = round(10 * row["shape"]["bilge_diameter_cm"] * row["now"]["level"]["mid"]) - 2
    page.get_by_label("Wet part of the rod").fill(str(depth))
    # A second tap within 400 ms is a glove's, and is not heard.
    page.wait_for_timeout(500)
    page.get_by_role("button", name="Save", exact=True).click()

    expect(page.get_by_role("main").get_by_text("Saved.")).to_be_visible()
    expect(page.get_by_text("In it:")).to_be_visible(timeout=30_000)
    after = api.barrels()[BARREL]["now"]["volume_l"]
    # A rod in a small barrel knows less than its weighings: it moves the band by a trace, and may sharpen nothing.
    assert after["high"] - after["low"] <= 1.05 * (before["high"] - before["low"])
    reading = next(one for one in api.log(row["id"]) if one["collection"] == "readings")
    assert (reading["body"]["dip_mm"], reading["flags"]) == (depth, [])

    # The rod's picture goes after its reading.
    page.get_by_label("A photo").set_input_files(photo_file(tmp_path / "rod.jpg"))
    expect(
        page.get_by_role("button", name=re.compile("^Photo by .*the rod, or its dip strip"))
    ).to_be_visible(timeout=30_000)
