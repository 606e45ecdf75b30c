"""A taster's blind evening, and the names of the one before."""

from __future__ import annotations

import re

from playwright.sync_api import Browser

from tests.machine import Server
from tests.pictures.camera import FOLDER, settle, side_by_side, signed_in


def blind_flight(browser: Browser, server: Server, people: dict[str, tuple[str, str]]) -> None:
    """The numbers, one of them being scored, and what came out last time."""
    page = signed_in(browser, server, people["member"], "dark")
    page.get_by_role("link", name="The glasses").first.click()
    settle(page)
    shots = [page.screenshot()]
    page.get_by_role("navigation", name="Acts").get_by_role("link", name=re.compile("^Taste")).click()
    settle(page)
    rod = page.get_by_role("slider")
    rod.focus()
    rod.press("7")
    page.evaluate("document.activeElement.blur()")
    page.wait_for_timeout(500)
    shots.append(page.screenshot())
    page.goto(f"{server.url}/flights")
    settle(page)
    told = page.get_by_role("list", name="Over").get_by_role("listitem").filter(has_text="scored five")
    told.get_by_role("link").first.click()
    settle(page)
    shots.append(page.screenshot())
    page.context.close()
    side_by_side(browser, shots, FOLDER / "blind-flight.png")
