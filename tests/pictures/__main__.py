"""Takes the pictures in docs/pictures from the demo club, so that they always show the app as it is.

make pictures
"""

from __future__ import annotations

import re
import sys

from playwright.sync_api import Browser, sync_playwright

from tests.machine import CHROMIUM_ARGUMENTS, Missing, Server, chromium_path, running_server
from tests.pictures.camera import DESK, FOLDER, accounts, experienced, settle, side_by_side, signed_in, small
from tests.pictures.flight import blind_flight
from tests.pictures.life import LIFE


def first_screens(browser: Browser, server: Server, people: dict[str, tuple[str, str]]) -> None:
    """What each role opens on."""
    shots = []
    for role in ("member", "keeper", "admin"):
        page = signed_in(browser, server, people[role], "light" if role == "admin" else "dark")
        shots.append(page.screenshot())
        page.context.close()
    side_by_side(browser, shots, FOLDER / "first-screens.png")


def at_the_barrel(browser: Browser, server: Server, people: dict[str, tuple[str, str]]) -> None:
    """A member's three acts: the barrel, its taste, and the next one reserved."""
    page = signed_in(browser, server, people["member"], "dark")
    page.get_by_role("link", name="Slack Water").first.click()
    settle(page)
    shots = [page.screenshot()]
    page.get_by_role("link", name="Taste", exact=True).click()
    settle(page)
    rod = page.get_by_role("slider")
    rod.focus()
    for key in ("8", "ArrowDown"):
        rod.press(key)
    page.get_by_role("radio", name="right", exact=True).check()
    page.evaluate("document.activeElement.blur()")
    page.wait_for_timeout(500)
    shots.append(page.screenshot())
    page.goto(f"{server.url}/reserve")
    settle(page)
    shots.append(page.screenshot())
    page.context.close()
    side_by_side(browser, shots, FOLDER / "at-the-barrel.png")


def keepers_round(browser: Browser, server: Server, people: dict[str, tuple[str, str]]) -> None:
    """A keeper's round: today's walk, a barrel's log with an entry opened, and how often care comes round."""
    page = signed_in(browser, server, people["keeper"], "dark")
    # Whoever has done it twice has the lessons folded; here the barrels are to be seen.
    experienced(page, "walk", "look", "roll")
    page.goto(f"{server.url}/walk")
    settle(page)
    shots = [page.screenshot()]
    page.goto(f"{server.url}/barrels")
    settle(page)
    page.get_by_role("link", name="Lee Shore").first.click()
    settle(page)
    page.goto(f"{page.url}/log")
    settle(page)
    page.get_by_role("button", name="Open").first.click()
    page.wait_for_timeout(600)
    shots.append(page.screenshot())
    page.context.close()
    page = signed_in(browser, server, people["admin"], "light")
    page.goto(f"{server.url}/settings/care")
    settle(page)
    shots.append(page.screenshot())
    page.context.close()
    side_by_side(browser, shots, FOLDER / "keepers-round.png")


def first_time(browser: Browser, server: Server, people: dict[str, tuple[str, str]]) -> None:
    """What somebody sees who walks the cellar for the first time, and after it: what is only on this phone."""
    page = signed_in(browser, server, people["keeper"], "light")
    page.goto(f"{server.url}/walk")
    settle(page)
    shots = [page.screenshot()]
    page.context.set_offline(True)
    page.get_by_role("button", name=re.compile("^All well")).first.click()
    page.wait_for_timeout(8_000)
    shots.append(page.screenshot())
    page.context.close()
    side_by_side(browser, shots, FOLDER / "first-walk.png")


def cellar_report(browser: Browser, server: Server, people: dict[str, tuple[str, str]]) -> None:
    """The report at a desk."""
    page = signed_in(browser, server, people["admin"], "light", DESK)
    small(page.screenshot(), FOLDER / "cellar-report.png")
    page.context.close()


def main() -> int:
    FOLDER.mkdir(parents=True, exist_ok=True)
    try:
        path = chromium_path()
        with running_server() as server, sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=path, args=CHROMIUM_ARGUMENTS)
            people = accounts(server)
            for take in (
                first_screens,
                at_the_barrel,
                keepers_round,
                first_time,
                blind_flight,
                cellar_report,
                *LIFE,
            ):
                take(browser, server, people)
            browser.close()
    except Missing as missing:
        print(missing)
        return 1
    print(f"docs/pictures: {', '.join(sorted(file.name for file in FOLDER.glob('*.png')))}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
