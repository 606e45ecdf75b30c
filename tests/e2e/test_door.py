"""The door, the keys, the first visit and the next version: what holds for the app whatever the screen."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, expect

from tests.e2e.browsing import Api, address, sign_in, worker_in_control
from tests.e2e.layout import layout_faults
from tests.e2e.screens import LONG, SCREENS, axe_faults, open_screen
from tests.machine import Server, running_server


def test_the_door_is_whole(phone: Callable[..., Page], server: Server) -> None:
    page = phone()
    page.goto(server.url)
    expect(page).to_have_title("Sign in · Staveward")
    for theme in ("dark", "light"):
        page.emulate_media(color_scheme=theme)
        assert axe_faults(page) == [], theme
    assert layout_faults(page) == []


def test_the_door_opens_and_closes(phone: Callable[..., Page], server: Server) -> None:
    page = phone()
    page.goto(server.url)
    page.get_by_label("E-mail").fill(address("pell"))
    page.get_by_label("Password").fill("below-the-tide-line")
    page.keyboard.press("Enter")
    expect(page.get_by_role("alert")).to_contain_text("do not belong together")
    sign_in(page, server.url, "pell")
    page.goto(f"{server.url}/mine")
    page.get_by_role("button", name="Sign out").click()
    expect(page).to_have_title("Sign in · Staveward")
    page.goto(f"{server.url}/barrels")
    expect(page).to_have_title("Sign in · Staveward")
    kept = page.evaluate("async () => (await indexedDB.databases()).map((one) => one.name)")
    assert not [name for name in kept if "club" in name], kept


def test_a_taste_is_scored_with_keys_alone(
    phone: Callable[..., Page], server: Server, barrels: dict[str, Any], apis: Callable[[str], Api]
) -> None:
    page = phone()
    sign_in(page, server.url, "wick")
    page.goto(f"{server.url}/barrels/{barrels[LONG]['id']}/taste")
    rod = page.get_by_role("slider", name="How do you like it?")
    expect(rod).to_have_attribute("aria-valuetext", "not scored yet")
    _tab_to(page, "slider")
    for key in ("8", "ArrowDown"):
        page.keyboard.press(key)
    expect(rod).to_have_attribute("aria-valuetext", "7.5, like it")
    _tab_to(page, "Save")
    page.keyboard.press("Enter")
    expect(page).to_have_title(f"Saved: {LONG} · Staveward")
    page.goto(f"{server.url}/not-yet-sent")
    expect(page.get_by_role("heading", name="All has been sent")).to_be_visible(timeout=30_000)
    newest = [one for one in apis("alder").log(barrels[LONG]["id"]) if one["collection"] == "tastings"]
    assert any(one["body"]["liking"] == 7.5 and one["author"] == _person(apis, "Wick") for one in newest)


def test_every_screen_starts_with_no_signal_after_the_first_visit(
    phone: Callable[..., Page], server: Server, barrels: dict[str, Any]
) -> None:
    page = phone()
    sign_in(page, server.url, "sedge")
    worker_in_control(page)
    page.context.set_offline(True)
    for path, title in SCREENS["sedge"].items():
        open_screen(page, server, path, barrels, f"{title} · Staveward")
        expect(page.get_by_role("main").get_by_role("heading").first).to_be_attached()
    open_screen(page, server, "/barrels", barrels, "Barrels · Staveward")
    expect(page.get_by_role("banner")).to_contain_text("no signal")
    for name in ("Slack Water", "Undertow"):
        expect(page.get_by_role("heading", name=name)).to_be_visible()


def test_a_new_version_waits_until_it_is_asked_for(
    phone: Callable[..., Page], seeded: Path, web_app: Path, tmp_path: Path
) -> None:
    data = Path(shutil.copytree(seeded, tmp_path / "data"))
    newer = Path(shutil.copytree(web_app, tmp_path / "newer"))
    worker = newer / "sw.js"
    worker.write_text(worker.read_text() + "\n// a newer version\n")
    for packed in newer.glob("sw.js.*"):
        packed.unlink()
    page = phone()
    with running_server(demo=False, made=True, data_dir=data, web_app=web_app) as older:
        sign_in(page, older.url, "sedge")
        worker_in_control(page)
        port = int(older.environment["PORT"])
    with running_server(demo=False, made=True, data_dir=data, web_app=newer, port=port) as server:
        page.goto(f"{server.url}/reserve")
        offer = page.get_by_role("button", name="Take it now")
        page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
        _until(page, "async () => Boolean((await navigator.serviceWorker.ready).waiting)")
        page.evaluate("window.before = true")
        page.wait_for_timeout(1500)
        # Over a half-said wish nothing is offered, and nothing has been swapped.
        expect(offer).to_have_count(0)
        assert page.evaluate("async () => Boolean((await navigator.serviceWorker.ready).waiting)")
        assert page.evaluate("window.before")
        page.get_by_role("link", name="Back").click()
        expect(offer).to_be_visible()
        assert page.evaluate("window.before")
        offer.click()
        _until(page, "async () => !window.before && !(await navigator.serviceWorker.ready).waiting")
        expect(page.get_by_role("navigation", name="Acts")).to_be_visible()
        expect(offer).to_have_count(0)


def test_the_looks_at_a_screen_see_what_is_broken(phone: Callable[..., Page]) -> None:
    page = phone()
    page.set_content(
        """<title>Broken</title><main>
        <p style="width: 600px; white-space: nowrap">a line that runs on and on past the edge of every phone</p>
        <p style="height: 9px; overflow: hidden">its lower half is gone</p>
        <p>one sentence</p><p style="margin-top: -30px">another sentence</p>
        <img src="data:,"></main>"""
    )
    seen = " ".join(layout_faults(page))
    for fault in ("the page is", "off the edge: a line", "cut: its lower", "over each other: one"):
        assert fault in seen
    assert [fault for fault in axe_faults(page) if fault.startswith("image-alt")]


def _tab_to(page: Page, what: str) -> None:
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate(
            "(what) => { const at = document.activeElement;"
            " return at.getAttribute('role') === what || at.textContent.trim() === what }",
            what,
        ):
            return
    raise AssertionError(f"Forty presses of Tab do not reach {what}.")


def _until(page: Page, question: str) -> None:
    for _ in range(60):
        try:
            if page.evaluate(question):
                return
        except Exception as error:
            # The page may be loading anew just now.
            if "context" not in str(error).lower():
                raise
        page.wait_for_timeout(250)
    raise AssertionError(f"Not within 15 s: {question}")


def _person(apis: Callable[[str], Api], name: str) -> str:
    return apis("alder").people()[name]
