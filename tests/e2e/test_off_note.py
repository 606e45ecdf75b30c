"""An alarming taste without signal: trouble at its barrel at once, and settled by the keeper for the whole club."""

from __future__ import annotations

import os
import re
from collections.abc import Callable

from playwright.sync_api import Browser, Page, expect

from tests.e2e.browsing import (
    PHONE,
    Api,
    Complaints,
    all_sent,
    at,
    kill,
    press,
    said,
    sign_in,
    worker_in_control,
)
from tests.machine import Server

BARREL = "Slack Water"


def look(page: Page, name: str) -> None:
    """Takes a picture where somebody asked for pictures."""
    if folder := os.environ.get("LOOK"):
        page.screenshot(path=f"{folder}/{name}.png", full_page=True)


def test_a_taste_of_vinegar_is_trouble_at_its_barrel(
    server: Server, browser: Browser, apis: Callable[[str], Api], complaints: Complaints
) -> None:
    row = apis("alder").barrels()[BARREL]
    assert row["troubles"] == []
    context = browser.new_context(**PHONE)
    context.set_default_timeout(10_000)
    page = context.new_page()
    complaints.listen(page)
    sign_in(page, server.url, "sedge")
    worker_in_control(page)

    context.set_offline(True)
    at(page, f"/barrels/{row['id']}/taste")
    rod = page.get_by_role("slider", name="How do you like it?")
    rod.focus()
    rod.press("ArrowUp")
    press(page, "Something off?")
    sheet = page.get_by_role("dialog")
    sheet.get_by_role("checkbox", name="Vinegar", exact=True).check()
    expect(sheet).to_contain_text("Stop here and do not swallow it.")
    press(page, "Done")
    press(page, "Save")

    # Saved, and trouble at once; whoever saved it is still told so.
    expect(page).to_have_title(f"Saved: {BARREL} · Staveward")
    main = page.get_by_role("main")
    expect(main).to_contain_text(f"Vinegar: this taste is trouble at {BARREL} now")
    look(page, "saved")
    page.get_by_role("link", name="What to do first").click()
    expect(main).to_contain_text("It smells wrong.")
    expect(main).to_contain_text("A taste found it.")
    look(page, "trouble")
    at(page, f"/barrels/{row['id']}/taste")
    expect(main).to_contain_text("No tasting until the keeper clears it.")

    context.set_offline(False)
    all_sent(page)
    (trouble,) = apis("alder").barrels()[BARREL]["troubles"]
    assert (trouble["kind"], trouble["sign"], len(trouble["tastes"])) == ("off_smell", "vinegar", 1)

    # The keeper settles it out of signal as well, under the same key.
    desk = browser.new_context(**PHONE)
    desk.set_default_timeout(10_000)
    keeper = desk.new_page()
    complaints.listen(keeper)
    sign_in(keeper, server.url, "alder")
    worker_in_control(keeper)
    desk.set_offline(True)
    at(keeper, f"/barrels/{row['id']}/trouble")
    expect(keeper.get_by_role("main")).to_contain_text("A taste found it.")
    look(keeper, "settle")
    press(keeper, "Settle it")
    said(keeper, re.compile("^Settled"))
    expect(keeper.get_by_role("main")).not_to_contain_text("A taste found it.")
    desk.set_offline(False)
    all_sent(keeper)
    assert apis("alder").barrels()[BARREL]["troubles"] == []
    kill(context)
    kill(desk)
