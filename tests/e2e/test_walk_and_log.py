"""A keeper walks an hour underground while another walks above; an entry is corrected, and a photo outlives the app."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

from PIL import Image
from playwright.sync_api import BrowserContext, Page, Playwright, expect

from tests.e2e.browsing import (
    ONLINE,
    PHONE,
    Api,
    Complaints,
    eventually,
    kill,
    photo_file,
    press,
    sign_in,
    worker_in_control,
)
from tests.machine import CHROMIUM_ARGUMENTS, Server, chromium_path

HOUR_MS = 3_600_000


def tendings(api: Api, barrel: str) -> list[Any]:
    return [row for row in api.log(barrel) if row["collection"] == "tendings" and row["is_head"]]


def row_of(page: Page, barrel: str) -> Any:
    return page.get_by_role("listitem").filter(has_text=barrel)


def test_an_hour_underground_and_another_keeper_above(
    server: Server, apis: Callable[[str], Api], phone: Callable[..., Page]
) -> None:
    api = apis("alder")
    barrels = api.barrels()
    above, below = phone(), phone()
    sign_in(above, server.url, "wick")
    sign_in(below, server.url, "alder")
    worker_in_control(below)
    below.clock.install()
    below.goto(f"{server.url}/walk")
    expect(below.get_by_role("button", name=re.compile("^All well")).first).to_be_visible()
    marked = [
        name
        for name in barrels
        if below.get_by_role("button", name=f"All well {name}", exact=True).count() > 0
    ]
    assert len(marked) >= 2, marked
    first, other = marked[:2]
    before = {name: len(tendings(api, barrels[name]["id"])) for name in (first, other)}

    # Down the steps: no signal for an hour. A mark is made at once, undone, and made again.
    below.context.set_offline(True)
    below.reload()
    expect(below.get_by_role("banner")).to_contain_text("no signal")
    well = below.get_by_role("button", name=f"All well {first}", exact=True)
    well.tap()
    undo = below.get_by_role("button", name=f"Undo {first}")
    expect(undo).to_be_visible()
    # A second tap at the same spot within 400 ms is nobody's wish and does nothing.
    below.wait_for_timeout(600)
    undo.tap()
    expect(well).to_be_visible()
    below.wait_for_timeout(600)
    well.tap()
    expect(below.get_by_role("button", name=f"Undo {first}")).to_be_visible()
    below.clock.fast_forward(HOUR_MS)
    expect(row_of(below, first)).to_contain_text("Rolled, looked at, spigot wiped")
    expect(below.get_by_role("main")).to_contain_text("Your marks stay on this phone")

    # Meanwhile another keeper walks with signal.
    above.goto(f"{server.url}/walk")
    above.get_by_role("button", name=f"All well {other}", exact=True).tap()
    # Its taste is due as well, and no look settles that.
    expect(above.get_by_role("link", name=f"Taste {other}")).to_be_visible(timeout=15_000)
    expect(above.get_by_role("button", name=f"All well {first}", exact=True)).to_be_visible()

    # Up again: each sees the other's marks, and each mark stands once, at its own time.
    below.context.set_offline(False)
    below.evaluate(ONLINE)
    expect(below.get_by_role("link", name=f"Taste {other}")).to_be_visible(timeout=30_000)
    above.wait_for_timeout(1_000)
    above.evaluate(ONLINE)
    expect(row_of(above, first)).to_contain_text("Alder", timeout=30_000)
    after = {name: tendings(api, barrels[name]["id"]) for name in (first, other)}
    assert {name: len(rows) - before[name] for name, rows in after.items()} == {first: 1, other: 1}
    assert sorted(after[first][0]["body"]["tasks"]) == ["leak_check", "roll", "spigot_check"]


def test_a_photo_taken_without_signal_outlives_the_app_and_an_entry_is_corrected(
    server: Server,
    playwright: Playwright,
    apis: Callable[[str], Api],
    complaints: Complaints,
    tmp_path: Path,
) -> None:
    api = apis("alder")
    barrel = api.barrels()["Lee Shore"]

    def open_app() -> tuple[BrowserContext, Page]:
        context = playwright.chromium.launch_persistent_context(
            tmp_path / "phone", executable_path=chromium_path(), args=CHROMIUM_ARGUMENTS, **PHONE
        )
        context.set_default_timeout(10_000)
        complaints.listen(context.pages[0])
        return context, context.pages[0]

    context, page = open_app()
    sign_in(page, server.url, "alder")
    worker_in_control(page)
    context.set_offline(True)
    page.goto(f"{server.url}/barrels/{barrel['id']}/log")

    # A photo to the newest tending, and another time for it.
    page.get_by_label("Show").select_option(label="Care")
    newest = next(row for row in tendings(api, barrel["id"]) if "roll" in row["body"]["tasks"])
    page.get_by_role("button", name=re.compile("^Open.*Rolled")).first.tap()
    sheet = page.get_by_role("dialog")
    sheet.get_by_label("A photo").set_input_files(photo_file(tmp_path / "photo.jpg"))
    expect(sheet.get_by_role("img", name=re.compile("on this phone"))).to_be_visible()
    sheet.get_by_role("button", name="Correct it").tap()
    sheet.get_by_label("A note").fill("The other spigot")
    sheet.get_by_role("button", name="Save the correction").tap()
    expect(page.get_by_role("main")).to_contain_text("The other spigot")
    expect(page.locator("s").first).to_contain_text("Rolled")

    # What waits is told one by one, the photo too.
    page.goto(f"{server.url}/not-yet-sent")
    waiting = page.get_by_role("list", name="Only on this phone")
    expect(waiting).to_contain_text("A photo of Lee Shore")
    expect(page.get_by_role("heading", name="Two are on this phone only")).to_be_visible()

    # The app is killed before it had signal.
    kill(context)
    context, page = open_app()
    page.goto(f"{server.url}/not-yet-sent")
    page.evaluate(ONLINE)
    expect(page.get_by_role("heading", name="All has been sent")).to_be_visible(timeout=60_000)

    photos: list[Any] = []
    deadline = 30
    while not photos and deadline:
        page.wait_for_timeout(1_000)
        deadline -= 1
        photos = [row["row"] for row in _feed(api) if row["collection"] == "photos"]
    assert [photo["act"] for photo in photos] == [newest["id"]]
    kept = api.request.get(f"/api/v1/clubs/{api.club}/photos/{photos[0]['id']}")
    picture = Image.open(io.BytesIO(kept.body()))
    assert picture.size == (1067, 1600)
    assert not picture.getexif()
    log = {row["id"]: row for row in api.log(barrel["id"])}
    mended = [row for row in log.values() if row["replaces"] == newest["id"]]
    assert [row["body"]["note"] for row in mended] == ["The other spigot"]
    assert log[newest["id"]]["is_head"] is False

    # The picture is there for another phone, beside the corrected line.
    page.goto(f"{server.url}/barrels/{barrel['id']}/log")
    shown = page.get_by_role("img", name=re.compile("Photo by Alder")).first
    expect(shown).to_be_visible()
    page.wait_for_function(
        "() => [...document.querySelectorAll('.photo-strip img')].every((i) => i.naturalWidth > 0)"
    )

    # Taken back with no signal it is struck here at once; with signal its file is gone for everybody.
    context.set_offline(True)
    page.get_by_role("button", name=re.compile("Photo by Alder")).first.click()
    press(page, "Take it back")
    press(page, "Delete the picture")
    struck = page.get_by_text("Photo by Alder, taken back by Alder today")
    expect(struck.first).to_be_visible()
    expect(page.get_by_role("img", name=re.compile("Photo by Alder"))).to_have_count(0)
    context.set_offline(False)
    page.evaluate(ONLINE)
    address = f"/api/v1/clubs/{api.club}/photos/{photos[0]['id']}"
    eventually(page, lambda: api.request.get(address).status == 404, seconds=60)
    expect(struck.first).to_be_visible()
    context.close()


def _feed(api: Api) -> list[Any]:
    rows: list[Any] = []
    page = api.get("changes", limit=500)
    rows += page["rows"]
    while page["more"]:
        page = api.get("changes", limit=500, after=page["cursor"])
        rows += page["rows"]
    return rows
