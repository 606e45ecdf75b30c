"""A keeper puts three entries right with no signal: a fill's strength, a strip's colour, a taste's oak."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

from playwright.sync_api import Locator, Page, expect

from tests.e2e.browsing import Api, all_sent, at, sign_in, worker_in_control
from tests.machine import Server


def opened(page: Page, barrel: str, what: str) -> Locator:
    """Opens the newest entry of these words in a barrel's log, with its form."""
    at(page, f"/barrels/{barrel}/log")
    page.get_by_role("button", name=re.compile(f"^Open.*{what}")).first.click()
    sheet = page.get_by_role("dialog")
    sheet.get_by_role("button", name="Correct it").click()
    return sheet


def saved(page: Page, sheet: Locator, told: str) -> None:
    """Saves a correction; the log says it at once."""
    sheet.get_by_role("button", name="Save the correction").click()
    expect(sheet).to_have_count(0)
    expect(page.get_by_role("main")).to_contain_text(told)


def standing(api: Api, barrel: str, collection: str, replaced: str) -> list[Any]:
    """Returns the bodies that took the place of an entry."""
    return [
        row["body"]
        for row in api.log(barrel)
        if row["collection"] == collection and row["replaces"] == replaced and row["is_head"]
    ]


def test_a_fill_a_strip_and_a_taste_are_corrected_without_signal(
    server: Server, apis: Callable[[str], Api], phone: Callable[..., Page]
) -> None:
    api = apis("alder")
    barrels = list(api.barrels().values())
    filled = next(row for row in barrels if row["state"] == "filled" and len(row["contents"]["parts"]) == 1)
    held = next(row for row in barrels if row["state"] == "held")
    fill = filled["contents"]["stay"]
    strip = api.put("readings", {"barrel": held["id"], "kind": "so2_strip", "so2_mg_l": 10})
    today = datetime.now(UTC).date().isoformat()
    taste = api.put(
        "tastings",
        {"barrel": filled["id"], "fill": fill, "tasted_on": today, "liking": 6.5, "sample_ml": 5},
    )
    page = phone()
    sign_in(page, server.url, "alder")
    worker_in_control(page)
    for barrel in (filled, held):
        at(page, f"/barrels/{barrel['id']}/log")
        expect(page.get_by_role("button", name=re.compile("^Open")).first).to_be_visible()
    page.context.set_offline(True)

    sheet = opened(page, filled["id"], "Filled with")
    sheet.get_by_label("Its name").fill("By another name")
    sheet.get_by_label("Strength").fill("61.5")
    sheet.get_by_label("Strength").blur()
    saved(page, sheet, "By another name")
    # The barrel's own page tells it too, its strength by its parts, before anything was sent.
    at(page, f"/barrels/{filled['id']}")
    expect(page.get_by_role("main")).to_contain_text("By another name")

    sheet = opened(page, filled["id"], "Alder gave 6.5")
    sheet.get_by_role("radio", name="too much", exact=True).check()
    sheet.get_by_label("Sawdust").check()
    saved(page, sheet, "Corrected. The old entry stays in the log, struck.")

    sheet = opened(page, held["id"], "Strip: 10")
    sheet.get_by_label("Sulphite").fill("25")
    saved(page, sheet, "25")

    page.context.set_offline(False)
    all_sent(page)
    (mended,) = standing(api, filled["id"], "fills", fill)
    assert (mended["name"], mended["parts"][0]["abv_pct"]) == ("By another name", 61.5)
    (said,) = standing(api, filled["id"], "tastings", taste)
    assert (said["oak"], said["off_notes"], said["liking"]) == (1, ["sawdust"], 6.5)
    assert [body["so2_mg_l"] for body in standing(api, held["id"], "readings", strip)] == [25]
    now = api.barrels()[filled["name"]]["contents"]
    assert (now["name"], now["parts"][0]["abv_pct"]) == ("By another name", 61.5)
